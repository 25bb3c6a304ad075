//! What a failure asks of the pilot whatever the temperatures: dangers, and what stood by and is gone.

use super::action::{Action, Asked, Reason};
use aircraft::records::device::{Device, Loop, devices};
use aircraft::records::failure::{Failed, Failure, Hazard, Leak};
use aircraft::records::powertrain::{Bus, Powertrain};
use aircraft::records::project::Project;

/// Coolants that conduct: every other liquid counts as an oil.
const WATERY: [&str; 3] = ["water", "ethylene-glycol", "propylene-glycol"];

/// A gearbox or stage whose oil is lost.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct LostOil {
    /// What runs dry.
    pub(super) drive: String,
    /// Places of which no temperature tells anything from then on: the sump, and what is in the loop.
    pub(super) places: Vec<String>,
    /// Demonstrated time that it runs dry, s, and its source.
    pub(super) run_dry: Option<(f64, Option<String>)>,
}

/// Everything that has failed, failures that come together taken apart.
fn taken_apart<'a>(project: &'a Project, failure: &'a Failure) -> Vec<&'a Failure> {
    match &failure.what {
        Failed::Together(together) => {
            let named = |name: &String| project.failures.iter().find(|failure| failure.name.as_str() == name);
            std::iter::once(failure).chain(together.failures.iter().filter_map(named)).collect()
        }
        _ => vec![failure],
    }
}

fn leaks<'a>(project: &'a Project, failure: &'a Failure) -> Vec<(&'a Leak, &'a Loop)> {
    let leaks = taken_apart(project, failure).into_iter().filter_map(|failure| match &failure.what {
        Failed::Leak(leak) => Some(leak),
        _ => None,
    });
    leaks
        .filter_map(|leak| Some((leak, project.loops.iter().find(|l| l.name.as_str() == leak.circuit)?)))
        .collect()
}

/// Components that the liquid of a loop passes: plates, jackets and sumps.
fn passes(circuit: &Loop) -> Vec<&str> {
    let walls = devices(&circuit.path).into_iter().filter_map(|device| match device {
        Device::ColdPlate(part) | Device::Jacket(part) | Device::Surface(part) => Some(&part.walls),
        _ => None,
    });
    walls.flatten().map(String::as_str).collect()
}

/// Components at high voltage: cells and their connections, windings and the iron around them, inverters, cables, converters.
fn high_voltage(powertrain: &Powertrain) -> Vec<&str> {
    let mut parts: Vec<&str> = Vec::new();
    if let Bus::Pack(pack) = &powertrain.bus {
        parts.push(&pack.cells);
        parts.extend(pack.interconnect_into.as_deref());
    }
    for motor in &powertrain.motors {
        parts.extend([motor.winding.as_str(), &motor.iron, &motor.inverter]);
        parts.extend(motor.cable_into.as_deref());
    }
    parts.extend(powertrain.converters.iter().map(|converter| converter.into.as_str()));
    parts
}

/// The drives that a loop carries the oil of.
pub(super) fn lost_oil(project: &Project, failure: &Failure) -> Vec<LostOil> {
    let Some(powertrain) = &project.powertrain else { return Vec::new() };
    let gearbox =
        powertrain.gearbox.iter().map(|gearbox| ("gearbox", gearbox.sump.as_str(), &gearbox.run_dry));
    let stages = powertrain
        .stages
        .iter()
        .filter_map(|stage| Some((stage.name.as_str(), stage.into.as_deref()?, &stage.run_dry)));
    let drives: Vec<_> = gearbox.chain(stages).collect();
    let mut lost = Vec::new();
    for (_, circuit) in leaks(project, failure) {
        let fluid = circuit.fluid.split(':').next().unwrap_or_default();
        if WATERY.contains(&fluid) {
            continue;
        }
        for (name, sump, run_dry) in drives.iter().filter(|(_, sump, _)| passes(circuit).contains(sump)) {
            let devices = devices(&circuit.path).into_iter().map(|device| device.name().to_owned());
            let own = [(*sump).to_owned(), circuit.name.as_str().to_owned()];
            lost.push(LostOil {
                drive: (*name).to_owned(),
                places: devices.chain(own).collect(),
                run_dry: run_dry.as_ref().map(|time| (time.si(), time.source().map(str::to_owned))),
            });
        }
    }
    lost
}

/// What is lost of the liquids: told before everything that follows from it.
pub(super) fn liquids_lost(project: &Project, failure: &Failure) -> Vec<String> {
    let told = leaks(project, failure).into_iter().map(|(leak, circuit)| {
        format!(
            "the liquid of {} is lost within {:.0} s: its flow, level or pressure tells first; temperatures in an empty loop tell nothing",
            circuit.name.as_str(),
            leak.empties_in.si()
        )
    });
    told.collect()
}

/// Dangers at once. `is_above_onset`: cells come to their onset of self-heating in what is flown after the failure.
pub(super) fn hazards(project: &Project, failure: &Failure, is_above_onset: bool) -> Vec<Asked> {
    let mut notes: Vec<String> = Vec::new();
    for failure in taken_apart(project, failure) {
        match failure.hazard {
            Some(Hazard::Fire) => notes.push("fire".to_owned()),
            Some(Hazard::Smoke) => notes.push("smoke or fumes".to_owned()),
            None => {}
        }
    }
    for (_, circuit) in leaks(project, failure) {
        let live: Vec<&str> = project.powertrain.as_ref().map_or_else(Vec::new, high_voltage);
        let mut wet: Vec<&str> = passes(circuit).into_iter().filter(|part| live.contains(part)).collect();
        wet.dedup();
        if !wet.is_empty() {
            notes.push(format!(
                "{} is lost near high voltage ({}): arcing, fire and loss of isolation are possible",
                circuit.fluid,
                wet.join(", ")
            ));
        }
    }
    for lost in lost_oil(project, failure) {
        notes.push(match &lost.run_dry {
            None => format!(
                "the oil of the {} is lost and no demonstrated run-dry time is stated (run_dry): no result",
                lost.drive
            ),
            Some((time_s, source)) => format!(
                "the oil of the {} is lost: demonstrated to run dry for {time_s:.0} s ({})",
                lost.drive,
                source.as_deref().unwrap_or("no source stated")
            ),
        });
    }
    if is_above_onset {
        notes.push("cells come to their onset of self-heating: fire is possible".to_owned());
    }
    let asked = |note| Asked { action: Action::Immediately, reason: Reason::Hazard, note };
    notes.into_iter().map(asked).collect()
}

/// What stood by and is gone: another of the same kind has to do its work from then on.
pub(super) fn redundancy_lost(project: &Project, failure: &Failure) -> Vec<Asked> {
    let gone = taken_apart(project, failure).into_iter().filter_map(|failure| match &failure.what {
        Failed::Stopped(machine) => {
            let others = beside(project, machine);
            (!others.is_empty()).then(|| format!("{machine} is gone: only {} is left", others.join(" and ")))
        }
        Failed::SupplyLost(supply) => Some(format!("supply {supply} is gone")),
        Failed::MotorOut(motor) => Some(format!("{motor} is gone: the next motor failure takes more power")),
        Failed::WindingSetOut(motor) => {
            Some(format!("a winding set of {motor} is gone: the next failure takes the motor"))
        }
        Failed::StringsOut(_) => Some("strings of the pack are gone".to_owned()),
        _ => None,
    });
    gone.map(|note| Asked { action: Action::AsSoonAsPracticable, reason: Reason::Redundancy, note }).collect()
}

/// The other pumps of the loop, or fans of the duct, of a machine.
fn beside<'a>(project: &'a Project, machine: &str) -> Vec<&'a str> {
    let loops = project.loops.iter().map(|circuit| &circuit.path);
    let paths = loops.chain(project.ducts.iter().map(|duct| &duct.path));
    let mut others = Vec::new();
    for path in paths {
        let machines: Vec<&str> = devices(path)
            .into_iter()
            .filter(|device| matches!(device, Device::Pump(_) | Device::Fan(_)))
            .map(Device::name)
            .collect();
        if machines.contains(&machine) {
            others.extend(machines.into_iter().filter(|other| *other != machine));
        }
    }
    others
}
