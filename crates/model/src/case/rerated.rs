//! Notices on measurements with another liquid: by how much they were re-rated, or why they were not.

use crate::assembly::{CircuitPart, Parts};
use crate::result::Notice;
use aircraft::records::core::Transfer;
use aircraft::records::device::{Device, FlowResistance, devices};
use aircraft::records::measured::Statement;
use aircraft::records::project::Project;
use solver::{ElementId, Reading};

/// Notices on the measured laws of all liquid sides of a solved case.
pub(super) fn notices(project: &Project, parts: &Parts, reading: &Reading<'_>, found: &mut Vec<Notice>) {
    for (spec, part) in project.loops.iter().zip(&parts.loops) {
        let mut told = Told { flown: &spec.fluid, found };
        for device in devices(&spec.path) {
            let name = device.name();
            let Some(element) = element(part, name) else { continue };
            if let Some(flow) = loss_of(project, device, spec.name.as_str()) {
                told.judge(name, "pressure loss", Statement::of_loss(flow), || {
                    reading.element(element).rerating
                });
            }
            match device {
                Device::ColdPlate(plate) | Device::Jacket(plate) => {
                    told.judge(name, "conductance", Statement::of_film(&plate.film), || {
                        reading.wall(element, 0).and_then(|wall| wall.rerating)
                    });
                }
                Device::Core(_) => {
                    let statement = match transfer_of(project, name) {
                        Some(Transfer::Map(map)) => Some(Statement::of_map(map)),
                        Some(Transfer::Sides(sides)) => Statement::of_film(&sides.liquid),
                        _ => None,
                    };
                    told.judge(name, "conductance UA", statement, || {
                        let (_, id) = parts.exchangers.iter().find(|(known, _)| known == name)?;
                        reading.exchanger(*id).rerating
                    });
                }
                _ => {}
            }
        }
    }
}

fn element(part: &CircuitPart, name: &str) -> Option<ElementId> {
    part.devices().into_iter().find(|device| device.name == name).map(|device| device.element)
}

fn transfer_of<'a>(project: &'a Project, core: &str) -> Option<&'a Transfer> {
    project.cores.iter().find(|known| known.name.as_str() == core).map(|core| &core.transfer)
}

/// The pressure loss that a device of a loop states.
fn loss_of<'a>(project: &'a Project, device: &'a Device, circuit: &str) -> Option<&'a FlowResistance> {
    match device {
        Device::ColdPlate(plate) | Device::Jacket(plate) => Some(&plate.flow),
        Device::Restrictor(part) | Device::Filter(part) => Some(&part.flow),
        Device::Core(core) => {
            project.cores.iter().find(|known| known.name == core.name).map(|core| &core.liquid_flow)
        }
        Device::Exchanger(exchanger) => {
            let exchanger = project.exchangers.iter().find(|known| known.name == exchanger.name)?;
            Some(if exchanger.first == circuit { &exchanger.first_flow } else { &exchanger.second_flow })
        }
        Device::GroundConnection(connection) => Some(&connection.apart),
        _ => None,
    }
}

struct Told<'a> {
    /// Liquid of the loop.
    flown: &'a str,
    found: &'a mut Vec<Notice>,
}

impl Told<'_> {
    fn judge(
        &mut self,
        place: &str,
        what: &'static str,
        statement: Option<Statement<'_>>,
        rerating: impl FnOnce() -> Option<f64>,
    ) {
        let Some(statement) = statement else { return };
        if statement.fluid.is_none() && statement.passages.is_none() {
            return;
        }
        let flown = self.flown;
        let (kind, message) = match (rerating(), statement.not_rerated(flown)) {
            (Some(ratio), _) if ratio.is_finite() => {
                let with = statement.fluid.unwrap_or(flown);
                let at = statement.temperature.map_or("", |temperature| temperature.text());
                let message = format!(
                    "{what} {:+.1} % against the measured one at equal flow: measured with {with} at {at}, carried to {flown} by the \
                     relation of its passages",
                    100.0 * (ratio - 1.0)
                );
                ("rerated", message)
            }
            (_, Some(why)) => ("not_rerated", format!("{what} {why}")),
            _ => return,
        };
        self.found.push(Notice { about: what, kind, place: place.to_owned(), message });
    }
}
