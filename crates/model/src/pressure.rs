//! Static pressure along a loop: gas cushion, cap, friction and elevation.

use crate::assembly::{CircuitPart, DevicePart, Outside, Step};
use aircraft::records::device::{Device, Reservoir};
use solver::{Fluid, Reading};
use std::collections::BTreeMap;

/// Standard acceleration of gravity, m/s2.
const GRAVITY_M_S2: f64 = 9.80665;

/// Absolute pressures at the inlet and outlet of each device, Pa.
pub type Pressures = BTreeMap<String, (f64, f64)>;

/// What the gas cushion of a reservoir does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cushion {
    /// Absolute pressure of the gas, Pa.
    pub pressure_pa: f64,
    /// Volume left to the gas, m3.
    pub gas_volume_m3: f64,
    /// Growth of the liquid since the fill, m3.
    pub expansion_m3: f64,
    /// Whether the cap holds the pressure down.
    pub cap_open: bool,
}

/// State of the gas cushion: the liquid of the loop grows into it, the gas is an ideal one at the temperature of the
/// liquid in the reservoir, the cap opens at its gauge pressure above the local ambient.
pub fn cushion(
    part: &CircuitPart,
    reservoir: &Reservoir,
    reading: &Reading<'_>,
    outside: &Outside,
) -> Cushion {
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
    let gas_pa = if gas_volume_m3 > 0.01 * gas_at_fill {
        reservoir.charge.si() * (gas_k / filled_k) * (gas_at_fill / gas_volume_m3)
    } else {
        f64::INFINITY
    };
    Cushion { pressure_pa: gas_pa.min(cap_pa), gas_volume_m3, expansion_m3, cap_open: gas_pa >= cap_pa }
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
        Some((_, at_reference)) => reference_pa - at_reference,
        None => reference_pa,
    };
    for (inlet, outlet) in pressures.values_mut() {
        *inlet += shift;
        *outlet += shift;
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
                let after = here - drop_of(device, fluid, reading);
                pressures.insert(device.name.clone(), (here, after));
                here = after;
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

fn drop_of(device: &DevicePart, fluid: &Fluid, reading: &Reading<'_>) -> f64 {
    let element = reading.element(device.element);
    let head = match fluid {
        Fluid::Liquid(_) => element.density_kg_m3 * GRAVITY_M_S2 * device.climb_m,
        Fluid::Air { .. } => 0.0,
    };
    element.drop_pa + head
}

/// The reservoir of a loop, wherever it stands.
pub fn reservoir(path: &[Device]) -> Option<&Reservoir> {
    path.iter().find_map(|device| match device {
        Device::Reservoir(reservoir) => Some(reservoir),
        Device::Parallel(parallel) => parallel.branches.iter().find_map(|b| reservoir(&b.path)),
        _ => None,
    })
}
