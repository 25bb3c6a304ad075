//! What types cannot check: names that must exist, circuits that must close, values that contradict each other.

mod bounds;
mod failures;
mod ground;
mod missions;
mod powertrain;
mod sizing;

pub use bounds::LONGEST_FLIGHT_S;
pub use sizing::cores_of;

use crate::records::core::AirResistance;
use crate::records::device::devices;
use crate::records::device::{Control, Device, FlowResistance, Loop, Machine, MachinePower};
use crate::records::powertrain::Bus;
use crate::records::project::{FORMAT, Project, VERSION};
use crate::records::study::{Point, PointPower, Recirculation};
use crate::records::surroundings::Day;
use crate::records::surroundings::OUTSIDE_AIR;
use schema::{Problem, Problems, nearest};
use std::collections::BTreeMap;

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

    fn circuits(&mut self) {
        let components = self.components();
        for circuit in &self.project.loops {
            self.one_loop(circuit, &components);
        }
        for duct in &self.project.ducts {
            let path = format!("ducts.{}.path", duct.name.as_str());
            self.branches(duct.name.as_str(), &path, &duct.path);
            let inside = devices(&duct.path);
            for device in &inside {
                self.device(device, &path, &components);
                if !matches!(
                    device,
                    Device::Fan(_)
                        | Device::Core(_)
                        | Device::Surface(_)
                        | Device::Screen(_)
                        | Device::Restrictor(_)
                        | Device::Shutter(_)
                        | Device::Flap(_)
                        | Device::Inlet(_)
                        | Device::Outlet(_)
                ) {
                    self.error(
                        format!("{path}.{}", device.name()),
                        format!("a {} has no place in a duct", device.kind()),
                        "use Inlet, Screen, Core, Surface, Fan, Restrictor, Shutter, Flap, Outlet or Parallel",
                    );
                }
            }
            if inside.is_empty() {
                self.error(
                    &*path,
                    "the duct is empty",
                    "add at least an inlet, a core or fan, and an outlet",
                );
            }
        }
    }

    fn one_loop(&mut self, circuit: &Loop, components: &[&str]) {
        let name = circuit.name.as_str();
        let path = format!("loops.{name}.path");
        self.branches(name, &path, &circuit.path);
        let inside = devices(&circuit.path);
        for device in &inside {
            self.device(device, &path, components);
            if matches!(
                device,
                Device::Fan(_)
                    | Device::Inlet(_)
                    | Device::Outlet(_)
                    | Device::Surface(_)
                    | Device::Screen(_)
                    | Device::Shutter(_)
                    | Device::Flap(_)
            ) {
                self.error(
                    format!("{path}.{}", device.name()),
                    format!("a {} has no place in a loop", device.kind()),
                    "put it in a duct",
                );
            }
        }
        if !inside.iter().any(|d| matches!(d, Device::Pump(_))) {
            self.error(&*path, format!("the loop {name:?} has no pump"), "add a Pump(..) to its path");
        }
        let reservoirs: Vec<&str> =
            inside.iter().filter(|d| matches!(d, Device::Reservoir(_))).map(|d| d.name()).collect();
        if let [_, second, ..] = reservoirs.as_slice() {
            self.error(
                format!("{path}.{second}"),
                format!("the loop {name:?} has {} reservoirs: two pressure references", reservoirs.len()),
                "keep one reservoir in each loop",
            );
        }
        if reservoirs.is_empty() {
            self.problems.push(Problem::warning(
                &*path,
                format!(
                    "the loop {name:?} has no reservoir: its first device is taken to be at ambient pressure"
                ),
                "add a Reservoir(..), or boiling margins are those of an open loop",
            ));
        }
        for (index, limit) in circuit.limits.iter().enumerate() {
            let known: Vec<&str> = inside.iter().map(|d| d.name()).collect();
            self.refers(
                format!("loops.{name}.limits.{}.device", index + 1),
                &limit.device,
                "device of this loop",
                &known,
            );
        }
    }

    /// A machine has a curve or, as a pump, a displacement, and then an efficiency.
    fn rise_law(&mut self, machine: &Machine, is_fan: bool, path: &str) {
        match (&machine.curve, &machine.displacement) {
            (None, None) => self.error(
                path.to_owned(),
                "nothing says what it does to the pressure",
                if is_fan { "give its `curve`" } else { "give its `curve`, or its `displacement`" },
            ),
            (Some(_), Some(_)) => self.error(
                format!("{path}.displacement"),
                "the pump has a curve and a displacement",
                "keep one of them",
            ),
            (None, Some(_)) if machine.stopped.is_some() => self.error(
                format!("{path}.stopped"),
                "a displacement pump that stands lets through what slips",
                "leave `stopped` out",
            ),
            (None, Some(_)) if is_fan => self.error(
                format!("{path}.displacement"),
                "a fan displaces no fixed volume",
                "give its `curve`",
            ),
            (None, Some(_)) if !matches!(machine.power, MachinePower::Efficiency(_)) => self.error(
                format!("{path}.power"),
                "the power of a displacement pump follows from what it displaces",
                "give `Efficiency(...)`: pressure rise times displaced flow over the power taken",
            ),
            _ => {}
        }
    }

    fn device(&mut self, device: &Device, path: &str, components: &[&str]) {
        let path = format!("{path}.{}", device.name());
        let supplies: Vec<&str> = self.project.supplies.iter().map(|s| s.name.as_str()).collect();
        match device {
            Device::Pump(machine) | Device::Fan(machine) => {
                if let Some(supply) = &machine.supply {
                    self.refers(format!("{path}.supply"), supply, "supply", &supplies);
                }
                self.rise_law(machine, matches!(device, Device::Fan(_)), &path);
                let rises = machine.curve.as_ref().map_or_else(Vec::new, |curve| curve.si().to_vec());
                if let Some(at) = rises.windows(2).position(|pair| pair[1].1 >= pair[0].1) {
                    self.error(
                        format!("{path}.curve.{}", at + 2),
                        "the curve rises here: the flow would not be determined",
                        "list points whose pressure rise falls with rising flow",
                    );
                }
                if let Some(on_off) = &machine.on_off {
                    self.sensor(format!("{path}.on_off.sensor"), &on_off.sensor);
                    if !(on_off.off_below.si() < on_off.on_above.si()) {
                        self.error(
                            format!("{path}.on_off.off_below"),
                            "it switches off where it has not yet switched on",
                            "lower `off_below` below `on_above`",
                        );
                    }
                    if machine.control.is_some() {
                        self.error(
                            format!("{path}.on_off"),
                            "the speed follows a ramp and a switch at once",
                            "keep `control` or `on_off`",
                        );
                    }
                }
                if let Some(control) = &machine.control {
                    self.control(&path, control);
                }
                if machine.shaft_drive.is_some() {
                    self.shaft_drive(machine, &path);
                }
            }
            Device::Shutter(shutter) => {
                if let Some(control) = &shutter.control {
                    self.control(&path, control);
                    for (field, opening) in [("at_from", &control.at_from), ("at_to", &control.at_to)] {
                        self.opening(&format!("{path}.control.{field}"), opening.si());
                    }
                }
            }
            Device::Thermostat(valve) => {
                self.sensor(format!("{path}.sensor"), &valve.sensor);
                self.ramp(&path, valve.from.si(), valve.to.si());
            }
            Device::ColdPlate(plate) | Device::Jacket(plate) | Device::Surface(plate) => {
                for wall in &plate.walls {
                    self.refers(format!("{path}.walls"), wall, "component", components);
                }
            }
            Device::Hose(hose) => {
                if let Some(around) = &hose.surroundings {
                    let mut known = components.to_vec();
                    known.push(OUTSIDE_AIR);
                    self.refers(format!("{path}.surroundings.to"), &around.to, "component", &known);
                }
            }
            _ => {}
        }
    }

    fn control(&mut self, path: &str, control: &Control) {
        self.sensor(format!("{path}.control.sensor"), &control.sensor);
        self.ramp(&format!("{path}.control"), control.from.si(), control.to.si());
    }

    fn opening(&mut self, path: &str, opening: f64) {
        if opening > 1.0 {
            self.error(path, format!("a shutter cannot be open by {opening}"), "give an opening from 0 to 1");
        }
    }

    /// A machine that the shaft turns has no other drive.
    fn shaft_drive(&mut self, machine: &Machine, path: &str) {
        let others = [
            ("control", machine.control.is_some()),
            ("on_off", machine.on_off.is_some()),
            ("supply", machine.supply.is_some()),
            ("speed", machine.speed.stated()),
        ];
        for (field, is_there) in others {
            if is_there {
                self.error(
                    format!("{path}.{field}"),
                    "the output shaft turns this machine: nothing else sets its speed or feeds it",
                    format!("leave out `{field}` or `shaft_drive`"),
                );
            }
        }
        if self.project.powertrain.is_none() {
            self.error(
                format!("{path}.shaft_drive"),
                "there is no powertrain whose shaft could turn it",
                "add a powertrain, or leave out `shaft_drive`",
            );
        }
    }

    fn sensor(&mut self, path: String, sensor: &str) {
        let project = self.project;
        let mut known = self.components();
        for circuit in &project.loops {
            known.extend(devices(&circuit.path).iter().map(|d| d.name()));
        }
        for duct in &project.ducts {
            known.extend(devices(&duct.path).iter().map(|d| d.name()));
        }
        self.refers(path, sensor, "component or device", &known);
    }

    fn ramp(&mut self, path: &str, from: f64, to: f64) {
        if !(from < to) {
            self.error(
                format!("{path}.to"),
                "the end of the ramp does not lie above its start",
                "raise `to` above `from`",
            );
        }
    }

    fn cores(&mut self) {
        let project = self.project;
        let in_loops = |name: &str| {
            project
                .loops
                .iter()
                .filter(|l| has(&l.path, |d| matches!(d, Device::Core(c) if c.name.as_str() == name)))
                .count()
        };
        let in_ducts = |name: &str| {
            project
                .ducts
                .iter()
                .filter(|l| has(&l.path, |d| matches!(d, Device::Core(c) if c.name.as_str() == name)))
                .count()
        };
        for core in &project.cores {
            let name = core.name.as_str();
            let path = format!("cores.{name}");
            let (loops, ducts) = (in_loops(name), in_ducts(name));
            if ducts != 1 {
                let message =
                    if ducts == 0 { "has no duct".to_owned() } else { format!("stands in {ducts} ducts") };
                self.error(
                    &*path,
                    format!("the core {name:?} {message}"),
                    "put Core(..) into the path of exactly one duct",
                );
            }
            if loops != 1 {
                let message =
                    if loops == 0 { "has no loop".to_owned() } else { format!("stands in {loops} loops") };
                self.error(
                    &*path,
                    format!("the core {name:?} {message}"),
                    "put Core(..) into the path of exactly one loop",
                );
            }
            let built = matches!(
                core.transfer,
                crate::records::core::Transfer::Louvered(_) | crate::records::core::Transfer::OffsetStrip(_)
            );
            if matches!(core.air_flow, AirResistance::OfFins) && !built {
                self.error(
                    format!("{path}.air_flow"),
                    "OfFins needs a core given by its fins",
                    "state the air-side loss by Point(..) or Face(..)",
                );
            }
            let has_film = built || matches!(core.transfer, crate::records::core::Transfer::Sides(_));
            if matches!(core.liquid_flow, FlowResistance::OfFilm) && !has_film {
                self.error(
                    format!("{path}.liquid_flow"),
                    "OfFilm needs a core given by its dimensions",
                    "state the liquid-side loss by Point(..), Table(..) or Loss(..)",
                );
            }
        }
        let cores: Vec<&str> = project.cores.iter().map(|c| c.name.as_str()).collect();
        let paths = (project.loops.iter().map(|l| (format!("loops.{}.path", l.name.as_str()), &l.path)))
            .chain(project.ducts.iter().map(|d| (format!("ducts.{}.path", d.name.as_str()), &d.path)));
        for (path, inside) in paths {
            for device in devices(inside) {
                if let Device::Core(core) = device {
                    self.refers(format!("{path}.{}", device.name()), core.name.as_str(), "core", &cores);
                }
            }
        }
        let loops: Vec<&str> = project.loops.iter().map(|l| l.name.as_str()).collect();
        for exchanger in &project.exchangers {
            let path = format!("exchangers.{}", exchanger.name.as_str());
            for (field, wanted) in [("first", &exchanger.first), ("second", &exchanger.second)] {
                self.refers(format!("{path}.{field}"), wanted, "loop", &loops);
                let stands =
                    project.loops.iter().filter(|l| l.name.as_str() == wanted).any(|l| {
                        has(&l.path, |d| matches!(d, Device::Exchanger(e) if e.name == exchanger.name))
                    });
                if !stands && loops.contains(&wanted.as_str()) {
                    self.error(
                        format!("{path}.{field}"),
                        format!("the loop {wanted:?} does not pass through it"),
                        "put Exchanger(..) into the path of both loops",
                    );
                }
            }
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

    fn studies(&mut self) {
        let project = self.project;
        let conditions: Vec<&str> = project.conditions.iter().map(|c| c.name.as_str()).collect();
        let points: Vec<&str> = project.points.iter().map(|p| p.name.as_str()).collect();
        let missions: Vec<&str> = project.missions.iter().map(|m| m.name.as_str()).collect();
        let failures: Vec<&str> = project.failures.iter().map(|f| f.name.as_str()).collect();
        for (index, group) in project.cases.iter().enumerate() {
            let path = format!("cases.{}", index + 1);
            for (field, what, names, known) in [
                ("conditions", "condition", &group.conditions, &conditions),
                ("points", "point", &group.points, &points),
                ("missions", "mission", &group.missions, &missions),
                ("failures", "failure", &group.failures, &failures),
            ] {
                for name in names {
                    self.refers(format!("{path}.{field}"), name, what, known);
                }
            }
            if group.conditions.is_empty() || (group.points.is_empty() && group.missions.is_empty()) {
                let remedy = "name at least one condition, and one point or mission";
                self.error(path, "the group has no case", remedy);
            }
        }
        if project.cases.is_empty() {
            self.error("cases", "there is no case to solve", "add a group with a condition and a point");
        }
        for point in &project.points {
            self.point(point);
        }
        for failure in &project.failures {
            self.failure(failure);
        }
        self.sensors();
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

    fn recirculations(&mut self, path: &str, stated: &[Recirculation]) {
        let ducts: Vec<&str> = self.project.ducts.iter().map(|duct| duct.name.as_str()).collect();
        for recirculation in stated {
            let name = recirculation.name.as_str();
            self.refers(format!("{path}.recirculations.{name}"), name, "duct", &ducts);
        }
    }

    fn point(&mut self, point: &Point) {
        let path = format!("points.{}", point.name.as_str());
        let heats: Vec<&str> = self.project.heats.iter().map(|h| h.name.as_str()).collect();
        for heat in &point.heats {
            self.refers(
                format!("{path}.heats.{}", heat.name.as_str()),
                heat.name.as_str(),
                "heat source",
                &heats,
            );
        }
        self.recirculations(&path, &point.recirculations);
        let devices = self.devices();
        let known: Vec<&str> = devices.iter().filter(|d| is_settable(d)).map(|d| d.name()).collect();
        for setting in &point.settings {
            let name = setting.name.as_str();
            let path = format!("{path}.settings.{name}");
            match devices.iter().find(|d| d.name() == name) {
                Some(Device::Shutter(_)) => self.opening(&path, setting.speed.si()),
                Some(Device::Pump(machine) | Device::Fan(machine)) if machine.shaft_drive.is_some() => {
                    let message = format!("the output shaft turns {name:?}: a point does not set its speed");
                    self.error(path, message, "leave the setting out, or the shaft_drive");
                }
                _ => self.refers(path, name, "pump, fan or shutter", &known),
            }
        }
        let is_asked = point.shaft_power.is_asked();
        if matches!(point.shaft_power, PointPower::Estimated(_)) && self.project.craft.is_none() {
            self.error(
                format!("{path}.shaft_power"),
                "no craft record tells how much power flight takes",
                "add `craft` to the project, or give the power",
            );
        }
        if is_asked && self.project.powertrain.is_none() {
            self.error(
                format!("{path}.shaft_power"),
                "there is shaft power but no powertrain",
                "add a powertrain, or give heats instead",
            );
        }
        if is_asked && point.shaft_speed.si() <= 0.0 {
            self.error(
                format!("{path}.shaft_speed"),
                "there is shaft power at no speed",
                "give the speed of the output shaft",
            );
        }
    }

    /// A law with an offset is another day than the one it is named after.
    fn days(&mut self) {
        for condition in self.project.conditions.iter().filter(|condition| condition.offset.si() != 0.0) {
            let (law, remedy) = match &condition.day {
                Day::Standard | Day::Offset(_) => continue,
                Day::Fixed(_) => ("the stated temperature", "state the temperature that is meant"),
                Day::HotDay => (
                    "the hot day of 14 CFR 27.1043(b)",
                    "keep a condition without offset for what is shown to an authority",
                ),
                Day::Hot | Day::Tropical | Day::Cold | Day::Polar => (
                    "the day of MIL-STD-210A",
                    "keep a condition without offset for what is shown to an authority",
                ),
            };
            self.problems.push(Problem::warning(
                format!("conditions.{}.offset", condition.name.as_str()),
                format!("outside air is not that of {law}: {} are added", condition.offset.text()),
                remedy,
            ));
        }
    }
}

/// Whether a point may set it.
fn is_settable(device: &Device) -> bool {
    matches!(device, Device::Pump(_) | Device::Fan(_) | Device::Shutter(_))
}

fn has(path: &[Device], wanted: impl Fn(&Device) -> bool) -> bool {
    devices(path).into_iter().any(wanted)
}
