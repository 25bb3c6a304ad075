//! The levels at which the laws of a device can be given - a value, measurements, dimensions - and what each gives at a case.
//!
//! A law that the project does not use is filled from the one that it uses, so that both give the same at the case as far as they can.
//! Every number of it is marked: as computed from the law before, or as a placeholder that waits for the drawing. Temperatures and
//! flows are those of the case; nothing is solved again.

mod core;
mod filling;
mod film;
mod law;
mod loss;
mod power;

use crate::assembly::{Situation, assemble};
use crate::result::CaseResult;

use aircraft::records::device::{Device, Plate, devices};
use filling::{At, keep_loss, side};
use schema::Problem;

pub use crate::curves::Level;
pub use law::Law;

/// The laws of a device of a solved case; none for a device that has no levels, or is not there.
///
/// # Errors
/// As [`assemble`], and a [`Problem`] for a law whose numbers contradict each other.
pub fn laws_of(situation: Situation<'_>, result: &CaseResult, device: &str) -> Result<Vec<Law>, Problem> {
    let assembled = assemble(situation)?;
    let project = situation.project;
    let case = result.case.to_string();
    let loops = project.loops.iter().map(|l| ("loops", l.name.as_str(), &l.path));
    let ducts = project.ducts.iter().map(|d| ("ducts", d.name.as_str(), &d.path));
    let mut all = Vec::new();
    for (list, circuit, path) in loops.chain(ducts) {
        let Some(spec) = devices(path).into_iter().find(|known| known.name() == device) else { continue };
        if let Device::Core(_) = spec {
            let Some(core) = project.cores.iter().find(|core| core.name.as_str() == device) else { continue };
            let sides = (
                side(project, &case, &assembled.parts.loops, &result.loops, device),
                side(project, &case, &assembled.parts.ducts, &result.ducts, device),
            );
            let (Some(liquid), Some(air)) = sides else { return Ok(all) };
            return core::laws(core, &liquid, &air);
        }
        let parts = if list == "loops" { &assembled.parts.loops } else { &assembled.parts.ducts };
        let states = if list == "loops" { &result.loops } else { &result.ducts };
        let Some(at) = side(project, &case, parts, states, device) else { continue };
        all.extend(of_device(spec, &at, circuit, &format!("{list}.{circuit}.path.{device}"))?);
    }
    Ok(all)
}

fn of_device(spec: &Device, at: &At<'_>, circuit: &str, path: &str) -> Result<Vec<Law>, Problem> {
    Ok(match spec {
        Device::ColdPlate(plate) | Device::Jacket(plate) | Device::Surface(plate) => {
            of_plate(plate, at, path)?
        }
        Device::Restrictor(part) | Device::Filter(part) | Device::Screen(part) => {
            vec![loss::law(&part.flow, at, None, format!("{path}.flow"), "pressure loss")?]
        }
        Device::Pump(machine) | Device::Fan(machine) => vec![power::law(machine, at, path)?],
        Device::Exchanger(reference) => {
            let found = at.project.exchangers.iter().find(|exchanger| exchanger.name == reference.name);
            let Some(exchanger) = found else { return Ok(Vec::new()) };
            let (side, flow) = if exchanger.first == circuit {
                ("first_flow", &exchanger.first_flow)
            } else {
                ("second_flow", &exchanger.second_flow)
            };
            let path = format!("exchangers.{}.{side}", exchanger.name.as_str());
            vec![loss::law(flow, at, None, path, "pressure loss")?]
        }
        _ => Vec::new(),
    })
}

fn of_plate(plate: &Plate, at: &At<'_>, path: &str) -> Result<Vec<Law>, Problem> {
    let flow_path = format!("{path}.flow");
    let loss = loss::law(&plate.flow, at, Some(&plate.film), flow_path.clone(), "pressure loss")?;
    let mut film = film::law(&plate.film, at, format!("{path}.film"))?;
    if plate.flow == aircraft::records::device::FlowResistance::OfFilm {
        keep_loss(&mut film, &["Channels", "Tubes"], &flow_path, &loss);
    }
    Ok(vec![film, loss])
}

#[cfg(test)]
mod tests;
