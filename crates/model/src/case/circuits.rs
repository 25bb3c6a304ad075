//! Loops and ducts station by station, exchangers, heat paths.

use super::named::Named;
use crate::assembly::{CircuitPart, DevicePart, Step};
use crate::pressure;
use crate::pressure::Pressures;
use crate::result::{CircuitResult, ExchangerResult, LinkPart, LinkResult, Notice, StationResult};
use aircraft::records::device::Loop;
use solver::{ElementReading, Fluid, LinkLaw, LinkReading};
use std::collections::BTreeMap;

impl Named<'_> {
    pub(super) fn loop_pressures(
        &self,
        spec: &Loop,
        part: &CircuitPart,
        notices: &mut Vec<Notice>,
    ) -> Pressures {
        let Some(reservoir) = pressure::reservoir(&spec.path) else {
            return pressure::along(part, &self.reading, None, self.outside.pressure_pa);
        };
        let cushion = pressure::cushion(part, reservoir, &self.reading, &self.outside);
        if cushion.gas_volume_m3 <= 0.0 {
            notices.push(Notice {
                about: "",
                kind: "no_air_space",
                place: reservoir.name.as_str().to_owned(),
                message: format!(
                    "the liquid grows by {:.2} L, the gas cushion has only {:.2} L; fill less or choose a larger reservoir",
                    1e3 * cushion.expansion_m3,
                    1e3 * reservoir.volume.si() * (1.0 - reservoir.fill.si())
                ),
            });
        }
        pressure::along(part, &self.reading, Some(reservoir.name.as_str()), cushion.pressure_pa)
    }

    pub(super) fn circuit(&self, part: &CircuitPart, pressures: &Pressures) -> CircuitResult {
        let mut stations = Vec::new();
        self.stations(&part.course, &[], pressures, &mut stations);
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
            stations,
        }
    }

    fn stations(
        &self,
        course: &[Step],
        branch: &[(String, String)],
        pressures: &Pressures,
        stations: &mut Vec<StationResult>,
    ) {
        for step in course {
            match step {
                Step::Device(device) => stations.push(self.station(device, branch, pressures)),
                Step::Parallel(group, branches) => {
                    for (name, inner) in branches {
                        let mut deeper = branch.to_vec();
                        deeper.push((group.clone(), name.clone()));
                        self.stations(inner, &deeper, pressures, stations);
                    }
                }
            }
        }
    }

    fn station(
        &self,
        device: &DevicePart,
        branch: &[(String, String)],
        pressures: &Pressures,
    ) -> StationResult {
        let ElementReading {
            mass_flow_kg_s, density_kg_m3, inlet_k, outlet_k, heat_w, power_w, setting, ..
        } = self.reading.element(device.element);
        let cells = self.reading.cells_k(device.element).count();
        let walls: Vec<_> = (0..cells).filter_map(|cell| self.reading.wall(device.element, cell)).collect();
        let (pressure_in_pa, pressure_out_pa) =
            pressures.get(&device.name).copied().unwrap_or((f64::NAN, f64::NAN));
        StationResult {
            name: device.name.clone(),
            kind: device.kind,
            branch: branch.to_vec(),
            mass_flow_kg_s,
            volume_flow_m3_s: mass_flow_kg_s / density_kg_m3,
            temperature_in_k: inlet_k,
            temperature_out_k: outlet_k,
            pressure_in_pa,
            pressure_out_pa,
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
