//! Pressure along a loop: gas cushion, cap, friction and elevation. It starts from gas at rest and loses what friction takes, so that
//! it is the total pressure, which contains the velocity head.

use crate::assembly::{CircuitPart, DevicePart, Outside, Step};
use crate::pump_inlet::GRAVITY_M_S2;
use crate::result::CushionResult;
use aircraft::records::device::{Device, Reservoir};
use solver::{Fluid, Reading};
use std::collections::BTreeMap;

/// Share of the gas at the fill below which the cushion counts as squeezed to nothing.
const LEAST_GAS: f64 = 0.01;

/// Pressures of a device.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DevicePressure {
    /// Absolute total pressure at the inlet, Pa.
    pub inlet_pa: f64,
    /// Lost to friction, Pa; negative for a running pump or fan.
    pub friction_pa: f64,
    /// Lost to the rise of the outlet above the inlet, Pa; negative where the flow goes down.
    pub climb_pa: f64,
}

impl DevicePressure {
    /// Absolute total pressure at the outlet, Pa.
    pub fn outlet_pa(&self) -> f64 {
        self.inlet_pa - self.friction_pa - self.climb_pa
    }
}

/// Pressures of each device.
pub type Pressures = BTreeMap<String, DevicePressure>;

/// State of the gas cushion: the liquid of the loop grows into it, the gas is an ideal one at the temperature of the
/// liquid in the reservoir, the cap opens at its gauge pressure above the local ambient. Without a cap that holds it is at ambient.
pub fn cushion(
    part: &CircuitPart,
    reservoir: &Reservoir,
    reading: &Reading<'_>,
    outside: &Outside,
) -> CushionResult {
    let filled_k = reservoir.filled_at.si();
    let filled_density = part.fluid.density(filled_k);
    let mut expansion_m3 = 0.0;
    let mut gas_k = filled_k;
    for device in part.devices() {
        let cells: Vec<f64> = reading.cells_k(device.element).collect();
        let share = device.volume_m3 / cells.len() as f64;
        for cell_k in &cells {
            expansion_m3 += share * (filled_density / part.fluid.density(*cell_k) - 1.0);
        }
        if device.name == reservoir.name.as_str() {
            gas_k = cells[cells.len() - 1];
        }
    }
    let gas_at_fill = reservoir.volume.si() * (1.0 - reservoir.fill.si());
    let gas_volume_m3 = gas_at_fill - expansion_m3;
    let cap_pa = outside.pressure_pa + if part.cap_open { 0.0 } else { reservoir.cap.si() };
    // a cushion squeezed to nothing leaves the cap to hold the pressure
    let is_squeezed = gas_volume_m3 <= LEAST_GAS * gas_at_fill;
    let room_m3 = gas_volume_m3.max(LEAST_GAS * gas_at_fill);
    let gas_pa = reservoir.charge.si() * (gas_k / filled_k) * (gas_at_fill / room_m3);
    // what is open lets air in as well as out
    let is_vented = part.cap_open || reservoir.cap.si() == 0.0;
    let cap_open = is_vented || is_squeezed || gas_pa >= cap_pa;
    let pressure_pa = if cap_open { cap_pa } else { gas_pa };
    CushionResult {
        reservoir: reservoir.name.as_str().to_owned(),
        gas_m3: gas_volume_m3,
        gas_at_fill_m3: gas_at_fill,
        gauge_pa: pressure_pa - outside.pressure_pa,
        shut_gauge_pa: gas_pa - outside.pressure_pa,
        cap_gauge_pa: cap_pa - outside.pressure_pa,
        is_vented,
        cap_open,
        empty: gas_volume_m3 >= reservoir.volume.si(),
    }
}

/// Pressures along a circuit whose outlet of `reference` is at `reference_pa`; a duct is referred to its inlet.
pub fn along(
    part: &CircuitPart,
    reading: &Reading<'_>,
    reference: Option<&str>,
    reference_pa: f64,
) -> Pressures {
    let mut pressures = Pressures::new();
    walk(&part.course, &part.fluid, reading, 0.0, &mut pressures);
    let shift = match reference.and_then(|name| pressures.get(name)) {
        Some(at_reference) => reference_pa - at_reference.outlet_pa(),
        None => reference_pa,
    };
    for device in pressures.values_mut() {
        device.inlet_pa += shift;
    }
    pressures
}

fn walk(
    course: &[Step],
    fluid: &Fluid,
    reading: &Reading<'_>,
    start_pa: f64,
    pressures: &mut Pressures,
) -> f64 {
    let mut here = start_pa;
    for step in course {
        match step {
            Step::Device(device) => {
                let pressure = pressure_of(device, fluid, reading, here);
                here = pressure.outlet_pa();
                pressures.insert(device.name.clone(), pressure);
            }
            Step::Parallel(_, branches) => {
                // every branch ends at the same pressure
                let ends: Vec<f64> = branches
                    .iter()
                    .map(|(_, branch)| walk(branch, fluid, reading, here, pressures))
                    .collect();
                here = ends[0];
            }
        }
    }
    here
}

fn pressure_of(device: &DevicePart, fluid: &Fluid, reading: &Reading<'_>, inlet_pa: f64) -> DevicePressure {
    let element = reading.element(device.element);
    let climb_pa = match fluid {
        Fluid::Liquid(_) => element.density_kg_m3 * GRAVITY_M_S2 * device.climb_m,
        Fluid::Air { .. } => 0.0,
    };
    DevicePressure { inlet_pa, friction_pa: element.drop_pa, climb_pa }
}

/// The reservoir of a loop, wherever it stands.
pub fn reservoir(path: &[Device]) -> Option<&Reservoir> {
    path.iter().find_map(|device| match device {
        Device::Reservoir(reservoir) => Some(reservoir),
        Device::Parallel(parallel) => parallel.branches.iter().find_map(|b| reservoir(&b.path)),
        _ => None,
    })
}
