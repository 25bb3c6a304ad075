//! What types cannot check: names that must exist, circuits that must close, values that contradict each other.

mod bounds;
mod circuits;
mod cores;
mod failures;
mod ground;
mod missions;
mod points;
mod powertrain;
mod sizing;
mod stages;

use crate::records::device::{Device, devices};
use crate::records::powertrain::Bus;
use crate::records::project::{FORMAT, Project, VERSION};
use crate::records::surroundings::OUTSIDE_AIR;
use schema::{Problem, Problems, nearest};
use std::collections::BTreeMap;

pub use bounds::LONGEST_FLIGHT_S;
pub use sizing::cores_of;

/// Checks how much there is of everything; with more, nothing further is looked at.
pub fn amounts(project: &Project) -> Problems {
    let mut check = Check::of(project);
    check.header();
    check.amounts();
    check.problems
}

/// Checks the names and the values of a decoded project: all that can be said without putting a case together. Every problem is told,
/// with the path of the input and what to do.
pub fn names_and_values(project: &Project) -> Check<'_> {
    let mut check = Check::of(project);
    check.variant_names();
    check.names();
    check.circuits();
    check.cores();
    check.dimensions();
    check.links_and_heats();
    check.powertrain();
    check.stages();
    check.ratings();
    check.studies();
    check.missions();
    check.ground();
    check.days();
    check.sizings();
    check
}

/// A check that goes on: the project, and what has been found.
#[derive(Debug)]
pub struct Check<'a> {
    /// What is checked.
    pub project: &'a Project,
    /// What was found.
    pub problems: Problems,
}

impl<'a> Check<'a> {
    /// A check that has found nothing yet.
    pub fn of(project: &'a Project) -> Self {
        Self { project, problems: Problems::default() }
    }

    /// Tells a mistake.
    pub fn error(&mut self, path: impl Into<String>, message: impl Into<String>, remedy: impl Into<String>) {
        self.problems.push(Problem::error(path, message, remedy));
    }

    fn header(&mut self) {
        if self.project.format != FORMAT {
            self.error(
                "format",
                format!("{:?} is not a format known here", self.project.format),
                format!("begin the file with format: {FORMAT:?}"),
            );
        }
        if self.project.version != VERSION as usize {
            self.error(
                "version",
                format!("version {} is not known here", self.project.version),
                format!("use version {VERSION}, or a newer program"),
            );
        }
    }

    /// Names of the components.
    pub fn components(&self) -> Vec<&'a str> {
        self.project.components.iter().map(|c| c.name.as_str()).collect()
    }

    /// A name must be one of `known`.
    pub fn refers(&mut self, path: String, name: &str, what: &str, known: &[&str]) {
        if known.contains(&name) {
            return;
        }
        let remedy = match nearest(name, known.iter().copied()) {
            Some(close) => format!("did you mean {close:?}?"),
            None if known.is_empty() => format!("add a {what} of this name"),
            None => format!("name one of: {}", known.join(", ")),
        };
        self.error(path, format!("no {what} is called {name:?}"), remedy);
    }

    /// Sensors, walls and ledger lines find things by name alone, so names are unique over the aircraft.
    fn names(&mut self) {
        let mut seen: BTreeMap<&str, String> = BTreeMap::new();
        let mut doubles = Vec::new();
        let project = self.project;
        let mut meet = |name, path: String| {
            if let Some(first) = seen.get(name) {
                doubles.push((path, first.clone(), String::from(name)));
            } else {
                seen.insert(name, path);
            }
        };
        for component in &project.components {
            meet(component.name.as_str(), format!("components.{}", component.name.as_str()));
        }
        for circuit in &project.loops {
            let circuit_path = format!("loops.{}", circuit.name.as_str());
            for device in devices(&circuit.path) {
                meet(device.name(), format!("{circuit_path}.path.{}", device.name()));
            }
        }
        for duct in &project.ducts {
            for device in devices(&duct.path).into_iter().filter(|d| !matches!(d, Device::Core(_))) {
                meet(device.name(), format!("ducts.{}.path.{}", duct.name.as_str(), device.name()));
            }
        }
        if let Some(powertrain) = &project.powertrain {
            for stage in &powertrain.stages {
                meet(stage.name.as_str(), format!("powertrain.stages.{}", stage.name.as_str()));
            }
            for converter in &powertrain.converters {
                let name = converter.name.as_str();
                meet(name, format!("powertrain.converters.{name}"));
            }
            if let Bus::Pack(pack) = &powertrain.bus {
                for conductor in &pack.conductors {
                    let name = conductor.name.as_str();
                    meet(name, format!("powertrain.bus.conductors.{name}"));
                }
            }
        }
        // an exchanger stands in two loops by design
        doubles.retain(|(_, _, name)| !project.exchangers.iter().any(|e| e.name.as_str() == name));
        for (path, first, name) in doubles {
            self.error(path, format!("{name:?} is already the name of {first}"), "give it another name");
        }
        if project.components.iter().any(|c| c.name.as_str() == OUTSIDE_AIR) {
            self.error(
                format!("components.{OUTSIDE_AIR}"),
                "\"outside air\" names the surroundings",
                "give the component another name",
            );
        }
    }

    fn links_and_heats(&mut self) {
        let components = self.components();
        let mut ends = components.clone();
        ends.push(OUTSIDE_AIR);
        for (index, link) in self.project.links.iter().enumerate() {
            let path = match &link.name {
                Some(name) => format!("links.{}", name.as_str()),
                None => format!("links.{}", index + 1),
            };
            self.refers(format!("{path}.from"), &link.from, "component", &components);
            self.refers(format!("{path}.to"), &link.to, "component", &ends);
        }
        for heat in &self.project.heats {
            self.refers(format!("heats.{}.into", heat.name.as_str()), &heat.into, "component", &components);
        }
    }

    /// All devices of loops and ducts.
    fn devices(&self) -> Vec<&'a Device> {
        let project = self.project;
        let paths = project.loops.iter().map(|l| &l.path).chain(project.ducts.iter().map(|d| &d.path));
        paths.flat_map(|path| devices(path)).collect()
    }

    /// Names of the pumps and fans.
    pub fn machines(&self) -> Vec<&'a str> {
        let is_machine = |d: &&Device| matches!(d, Device::Pump(_) | Device::Fan(_));
        self.devices().into_iter().filter(is_machine).map(Device::name).collect()
    }
}

/// Whether a point may set it.
fn is_settable(device: &Device) -> bool {
    matches!(device, Device::Pump(_) | Device::Fan(_) | Device::Shutter(_))
}

fn has(path: &[Device], wanted: impl Fn(&Device) -> bool) -> bool {
    devices(path).into_iter().any(wanted)
}
