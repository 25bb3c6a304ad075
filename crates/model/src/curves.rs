//! Curves of the machines and of the pack at a solved case: what each loss is at other speeds, torques, currents and temperatures
//! while everything else stays as it is in the case.
//!
//! The curves are those of the laws that the case was solved with, so that each goes through the working point of the case.
//! Nothing is solved again: the voltage does not sag and no temperature rises along a curve.

mod conductors;
mod figure;
mod gearbox;
mod inverter;
pub(crate) mod level;
mod motor;
mod pack;

use crate::assembly::Gears;
use crate::result::{CaseResult, ElectricReading};
use aircraft::records::project::Project;
use schema::Problem;

pub use figure::{Axis, Figure, Line, MachineCurves, MachineKind, Value};
pub use level::Level;

/// Curves of every machine of the power path, and of the pack, in the order of the project: motor with its inverter and cable,
/// gearbox, stages, converters, pack, conductors. A case without a state has none.
///
/// # Errors
/// A [`Problem`] for numbers that no law can have.
pub fn machines(project: &Project, result: &CaseResult) -> Result<Vec<MachineCurves>, Problem> {
    let (Some(powertrain), Some(electric)) = (&project.powertrain, &result.electric) else {
        return Ok(Vec::new());
    };
    let case = result.case.to_string();
    let reading: &ElectricReading = &electric.reading;
    let mut all = Vec::new();
    for (spec, drive) in powertrain.motors.iter().zip(&reading.drives) {
        let point = drive.point.as_ref();
        all.push(motor::machine(spec, point, &case)?);
        all.push(inverter::machine(spec, point, &case)?);
        all.push(conductors::cable(spec, point, &case)?);
    }
    if let Some(spec) = &powertrain.gearbox {
        all.push(gearbox::machine(project, &Gears::of_gearbox(spec), reading.gear.as_ref(), &case)?);
    }
    for (spec, state) in powertrain.stages.iter().zip(&reading.stages) {
        all.push(gearbox::machine(project, &Gears::of_stage(spec), Some(state), &case)?);
    }
    for (spec, state) in powertrain.converters.iter().zip(&reading.converters) {
        all.push(conductors::converter(spec, state, &case)?);
    }
    let life_used = project
        .points
        .iter()
        .find(|point| point.name.as_str() == result.case.point)
        .and_then(|point| point.life_used.as_ref())
        .map(|life| life.si());
    all.extend(pack::machines(powertrain, reading, life_used, &case)?);
    Ok(all)
}

#[cfg(test)]
mod tests;
