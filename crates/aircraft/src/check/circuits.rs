//! Loops and ducts: what their devices name, and what stands where.

use super::Check;
use crate::records::device::{Control, Device, Loop, Machine, MachinePower, devices};
use crate::records::surroundings::OUTSIDE_AIR;
use schema::Problem;

impl Check<'_> {
    pub(super) fn circuits(&mut self) {
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

    pub(super) fn one_loop(&mut self, circuit: &Loop, components: &[&str]) {
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
                "a displacement pump at rest passes only its slip flow",
                "leave `stopped` out",
            ),
            (None, Some(_)) if is_fan => self.error(
                format!("{path}.displacement"),
                "a fan has no fixed displacement",
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

    /// Air does not boil at the inlet of a fan.
    fn no_inlet_of_liquid(&mut self, fan: &Machine, path: &str) {
        let stated = [("need", fan.need.is_some()), ("inlet_bore", fan.inlet_bore.is_some())];
        for (field, _) in stated.into_iter().filter(|(_, is_there)| *is_there) {
            let remedy = format!("leave `{field}` out");
            self.error(format!("{path}.{field}"), "only the inlet of a pump is judged", remedy);
        }
    }

    fn machine(&mut self, machine: &Machine, is_fan: bool, path: &str) {
        let supplies: Vec<&str> = self.project.supplies.iter().map(|s| s.name.as_str()).collect();
        if let Some(supply) = &machine.supply {
            self.refers(format!("{path}.supply"), supply, "supply", &supplies);
        }
        self.rise_law(machine, is_fan, path);
        if is_fan {
            self.no_inlet_of_liquid(machine, path);
        }
        let rises = machine.curve.as_ref().map_or_else(Vec::new, |curve| curve.si().clone());
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
                    "it would switch off before it has switched on",
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
            self.control(path, control);
        }
        if machine.shaft_drive.is_some() {
            self.shaft_drive(machine, path);
        }
    }

    pub(super) fn device(&mut self, device: &Device, path: &str, components: &[&str]) {
        let path = format!("{path}.{}", device.name());
        match device {
            Device::Pump(machine) | Device::Fan(machine) => {
                self.machine(machine, matches!(device, Device::Fan(_)), &path);
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

    pub(super) fn control(&mut self, path: &str, control: &Control) {
        self.sensor(format!("{path}.control.sensor"), &control.sensor);
        self.ramp(&format!("{path}.control"), control.from.si(), control.to.si());
    }

    pub(super) fn opening(&mut self, path: &str, opening: f64) {
        if opening > 1.0 {
            self.error(path, format!("a shutter cannot be open by {opening}"), "give an opening from 0 to 1");
        }
    }

    /// A machine that the shaft turns has no other drive.
    pub(super) fn shaft_drive(&mut self, machine: &Machine, path: &str) {
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

    pub(super) fn sensor(&mut self, path: String, sensor: &str) {
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

    pub(super) fn ramp(&mut self, path: &str, from: f64, to: f64) {
        if !(from < to) {
            self.error(
                format!("{path}.to"),
                "the end of the ramp does not lie above its start",
                "raise `to` above `from`",
            );
        }
    }
}
