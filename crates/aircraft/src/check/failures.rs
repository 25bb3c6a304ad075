//! Mistakes in failures, in what is flown after them, and in sensors.

use super::Check;
use crate::records::device::Device;
use crate::records::device::devices;
use crate::records::failure::{Failed, Failure};
use crate::records::powertrain::Bus;

/// Whether deposits can narrow the device.
fn can_clog(device: &Device) -> bool {
    matches!(
        device,
        Device::Hose(_)
            | Device::Filter(_)
            | Device::Restrictor(_)
            | Device::Screen(_)
            | Device::ColdPlate(_)
            | Device::Jacket(_)
            | Device::Surface(_)
    )
}

/// Whether a sensor controls the device.
fn follows_a_temperature(device: &Device) -> bool {
    match device {
        Device::Pump(machine) | Device::Fan(machine) => machine.control.is_some() || machine.on_off.is_some(),
        Device::Shutter(shutter) => shutter.control.is_some(),
        Device::Thermostat(_) => true,
        _ => false,
    }
}

impl<'a> Check<'a> {
    pub(super) fn failure(&mut self, failure: &'a Failure) {
        let name = failure.name.as_str();
        let path = format!("failures.{name}.what");
        let project = self.project;
        match &failure.what {
            Failed::Stopped(machine) => self.refers(path, machine, "pump or fan", &self.machines()),
            Failed::Slowed(slowed) => self.refers(path, &slowed.machine, "pump or fan", &self.machines()),
            Failed::SupplyLost(supply) => {
                let known: Vec<&str> = project.supplies.iter().map(|s| s.name.as_str()).collect();
                self.refers(path, supply, "supply", &known);
            }
            Failed::MotorOut(motor) | Failed::WindingSetOut(motor) => {
                let motors = project.powertrain.iter().flat_map(|p| &p.motors);
                let known: Vec<&str> = motors.map(|motor| motor.name.as_str()).collect();
                self.refers(path, motor, "motor", &known);
            }
            Failed::CoreBlocked(blocked) => {
                let known: Vec<&str> = project.cores.iter().map(|c| c.name.as_str()).collect();
                self.refers(path, &blocked.core, "core", &known);
            }
            Failed::InletBlocked(blocked) => {
                let known = self.devices_that(|device| matches!(device, Device::Inlet(_)));
                self.refers(path, &blocked.inlet, "inlet", &known);
            }
            Failed::Clogged(clogged) => {
                let known = self.devices_that(can_clog);
                let what = "hose, filter, restrictor, screen, plate, jacket or surface";
                self.refers(path, &clogged.device, what, &known);
            }
            Failed::ThermostatStuck(stuck) => {
                let known =
                    self.devices_that(|device| matches!(device, Device::Thermostat(_) | Device::Shutter(_)));
                self.refers(path, &stuck.thermostat, "thermostat or shutter", &known);
            }
            Failed::SensorOff(sensor) => {
                let known = self.devices_that(follows_a_temperature);
                let what = "pump, fan, shutter or thermostat that follows a temperature";
                self.refers(path, &sensor.controls, what, &known);
            }
            Failed::CapOpen(reservoir) => {
                let known = self.devices_that(|device| matches!(device, Device::Reservoir(_)));
                self.refers(path, reservoir, "reservoir", &known);
            }
            Failed::Leak(leak) => {
                let known: Vec<&str> = project.loops.iter().map(|l| l.name.as_str()).collect();
                self.refers(path, &leak.circuit, "loop", &known);
            }
            Failed::Together(together) => self.together(&path, name, &together.failures),
            Failed::StringsOut(_) => {
                if !matches!(project.powertrain.as_ref().map(|p| &p.bus), Some(Bus::Pack(_))) {
                    let message = "there is no pack whose strings could fail";
                    self.error(path, message, "add a pack, or drop the failure");
                }
            }
        }
        self.segments(&failure.after, &format!("failures.{name}.after"));
    }

    /// Failures that come together are single ones, two at least.
    fn together(&mut self, path: &str, own: &str, names: &[String]) {
        let project = self.project;
        let is_single = |f: &&Failure| !matches!(f.what, Failed::Together(_));
        let known: Vec<&str> =
            project.failures.iter().filter(is_single).map(|failure| failure.name.as_str()).collect();
        for (index, name) in names.iter().enumerate() {
            let nested = project.failures.iter().any(|f| f.name == *name) && !known.contains(&name.as_str());
            if nested {
                self.error(
                    path,
                    format!("{own:?} holds {name:?}, which is made of several failures itself"),
                    "name the single failures",
                );
            } else if names[..index].contains(name) {
                self.error(path, format!("{name:?} is named twice"), "name each failure once");
            } else {
                self.refers(path.to_owned(), name, "failure", &known);
            }
        }
        if names.len() < 2 {
            self.error(path, "fewer than two failures come together here", "name at least two failures");
        }
    }

    fn devices_that(&self, wanted: impl Fn(&Device) -> bool) -> Vec<&'a str> {
        let project = self.project;
        let paths = project.loops.iter().map(|l| &l.path).chain(project.ducts.iter().map(|d| &d.path));
        paths.flat_map(|path| devices(path)).filter(|device| wanted(device)).map(Device::name).collect()
    }

    pub(super) fn sensors(&mut self) {
        for sensor in &self.project.sensors {
            self.sensor(format!("sensors.{}.at", sensor.name.as_str()), &sensor.at);
        }
    }
}
