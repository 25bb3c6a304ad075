//! Loops and ducts station by station, exchangers, heat paths.

use super::named::Named;
use crate::assembly::{CircuitPart, DevicePart, Step};
use crate::pressure;
use crate::pressure::{DevicePressure, Pressures};
use crate::pressure_trouble::{notice, troubles};
use crate::pump_inlet::AtInlet;
use crate::result::{
    CircuitResult, CushionResult, ExchangerResult, LinkPart, LinkResult, Notice, StationResult,
};
use aircraft::records::device::Loop;
use solver::{ElementReading, Fluid, LinkLaw, LinkReading};
use std::collections::BTreeMap;

impl Named<'_> {
    /// Loops in the order of the project.
    pub(super) fn loops(&self) -> Vec<CircuitResult> {
        let project = self.naming.situation.project;
        let loops = project.loops.iter().zip(&self.naming.parts.loops);
        loops
            .map(|(spec, part)| {
                let (pressures, cushion) = self.loop_pressures(spec, part);
                CircuitResult { cushion, ..self.circuit(part, &pressures) }
            })
            .collect()
    }

    fn loop_pressures(&self, spec: &Loop, part: &CircuitPart) -> (Pressures, Option<CushionResult>) {
        let Some(reservoir) = pressure::reservoir(&spec.path) else {
            return (pressure::along(part, &self.reading, None, self.outside.pressure_pa), None);
        };
        let cushion = pressure::cushion(part, reservoir, &self.reading, &self.outside);
        let gas_pa = self.outside.pressure_pa + cushion.gauge_pa;
        let pressures = pressure::along(part, &self.reading, Some(reservoir.name.as_str()), gas_pa);
        (pressures, Some(cushion))
    }

    /// What is wrong with the pressures of loops.
    pub(super) fn pressure_notices(&self, loops: &[CircuitResult], notices: &mut Vec<Notice>) {
        let ambient_pa = self.outside.pressure_pa;
        for state in loops {
            let found = troubles(state, ambient_pa).into_iter();
            notices.extend(found.filter_map(|(trouble, _)| notice(trouble, state, ambient_pa)));
        }
    }

    pub(super) fn circuit(&self, part: &CircuitPart, pressures: &Pressures) -> CircuitResult {
        let mut stations = Vec::new();
        self.stations(&part.fluid, &part.course, &[], pressures, &mut stations);
        let mass_flow_kg_s = self.reading.circuit_flow_kg_s(part.id);
        let rise_pa = machine_rise(&stations);
        CircuitResult {
            name: part.name.clone(),
            fluid: match &part.fluid {
                Fluid::Liquid(liquid) => liquid.description(),
                Fluid::Air { .. } => "air".to_owned(),
            },
            volume_flow_m3_s: stations
                .iter()
                .find(|s| s.branch.is_empty())
                .or(stations.first())
                .map_or(0.0, |s| s.volume_flow_m3_s),
            mass_flow_kg_s,
            rise_pa,
            power_w: machines(&stations).fold(0.0, |sum, s| sum + s.power_w),
            drag_n: 0.0,
            inlet_k: None,
            cushion: None,
            stations,
        }
    }

    fn stations(
        &self,
        fluid: &Fluid,
        course: &[Step],
        branch: &[(String, String)],
        pressures: &Pressures,
        stations: &mut Vec<StationResult>,
    ) {
        for step in course {
            match step {
                Step::Device(device) => stations.push(self.station(fluid, device, branch, pressures)),
                Step::Parallel(group, branches) => {
                    for (name, inner) in branches {
                        let mut deeper = branch.to_vec();
                        deeper.push((group.clone(), name.clone()));
                        self.stations(fluid, inner, &deeper, pressures, stations);
                    }
                }
            }
        }
    }

    fn station(
        &self,
        fluid: &Fluid,
        device: &DevicePart,
        branch: &[(String, String)],
        pressures: &Pressures,
    ) -> StationResult {
        let ElementReading {
            mass_flow_kg_s, density_kg_m3, inlet_k, outlet_k, heat_w, power_w, setting, ..
        } = self.reading.element(device.element);
        let cells = self.reading.cells_k(device.element).count();
        let walls: Vec<_> = (0..cells).filter_map(|cell| self.reading.wall(device.element, cell)).collect();
        let nowhere = DevicePressure { inlet_pa: f64::NAN, friction_pa: f64::NAN, climb_pa: f64::NAN };
        let pressure = pressures.get(&device.name).copied().unwrap_or(nowhere);
        let inlet = match (&device.inlet, fluid) {
            (Some(inlet), Fluid::Liquid(liquid)) => {
                let (pressure_pa, speed) = (pressure.inlet_pa, setting);
                let temperature_k = inlet_k;
                Some(inlet.at(liquid, &AtInlet { pressure_pa, temperature_k, mass_flow_kg_s, speed }))
            }
            _ => None,
        };
        StationResult {
            name: device.name.clone(),
            kind: device.kind,
            branch: branch.to_vec(),
            mass_flow_kg_s,
            volume_flow_m3_s: mass_flow_kg_s / density_kg_m3,
            temperature_in_k: inlet_k,
            temperature_out_k: outlet_k,
            pressure_in_pa: pressure.inlet_pa,
            pressure_out_pa: pressure.outlet_pa(),
            friction_pa: pressure.friction_pa,
            climb_pa: pressure.climb_pa,
            inlet,
            heat_w,
            power_w,
            setting,
            conductance_w_k: walls.iter().map(|w| w.conductance_w_k).sum(),
            walls_k: walls.iter().map(|w| w.wall_k).collect(),
        }
    }

    pub(super) fn exchangers(&self) -> Vec<ExchangerResult> {
        self.naming
            .parts
            .exchangers
            .iter()
            .map(|(name, id)| {
                let read = self.reading.exchanger(*id);
                ExchangerResult {
                    name: name.clone(),
                    heat_w: read.heat_w,
                    conductance_w_k: read.conductance_w_k,
                    transfer_units: read.transfer_units,
                    capacity_ratio: read.capacity_ratio,
                    effectiveness: read.effectiveness,
                }
            })
            .collect()
    }

    /// Heat paths in the order of the project.
    pub(super) fn links(&self) -> Vec<LinkResult> {
        let parts = self.naming.parts;
        let paths = self.naming.situation.project.links.iter().zip(&parts.paths);
        paths
            .map(|(spec, numbers)| {
                let mut link = LinkResult {
                    name: spec.called(),
                    pressure_pa: self.outside.pressure_pa,
                    speed: 0.0,
                    parts: Vec::with_capacity(numbers.len()),
                };
                for id in numbers {
                    let LinkReading { law, first_k, second_k, heat_w, conductance_w_k, .. } =
                        self.reading.link(*id);
                    link.speed = match law {
                        LinkLaw::MovingAir { speed_m_s, .. } => *speed_m_s,
                        LinkLaw::RotatingGap { speed_rad_s, .. }
                        | LinkLaw::RotatingCylinder { speed_rad_s, .. } => *speed_rad_s,
                        _ => 0.0,
                    };
                    link.parts.push(LinkPart { first_k, second_k, heat_w, conductance_w_k });
                }
                link
            })
            .collect()
    }
}

fn machines(stations: &[StationResult]) -> impl Iterator<Item = &StationResult> {
    stations.iter().filter(|s| s.kind == "pump" || s.kind == "fan")
}

/// Pressure rise of the pumps or fans along the trunk, Pa. Of machines in a parallel group the branch with the greatest rise
/// counts: redundant pumps share one rise.
fn machine_rise(stations: &[StationResult]) -> f64 {
    let mut trunk = 0.0;
    let mut branches: BTreeMap<&str, BTreeMap<&str, f64>> = BTreeMap::new();
    for station in machines(stations) {
        let rise = station.pressure_out_pa - station.pressure_in_pa;
        match station.branch.first() {
            None => trunk += rise,
            Some((group, branch)) => *branches.entry(group).or_default().entry(branch).or_default() += rise,
        }
    }
    branches
        .values()
        .fold(trunk, |sum, group| sum + group.values().copied().fold(f64::NEG_INFINITY, f64::max))
}
