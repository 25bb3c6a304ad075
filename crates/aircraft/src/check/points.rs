//! Steady points and days.

use super::{Check, is_settable};
use crate::records::craft::Craft;
use crate::records::device::Device;
use crate::records::one_motor_out::Ability;
use crate::records::study::{Point, PointPower, Recirculation};
use crate::records::surroundings::Day;
use schema::Problem;

impl Check<'_> {
    pub(super) fn studies(&mut self) {
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
        for (index, demand) in project.policy.one_motor_out.iter().enumerate() {
            let path = format!("policy.one_motor_out.{}", index + 1);
            for name in &demand.conditions {
                self.refers(format!("{path}.conditions"), name, "condition", &conditions);
            }
            let hovers = matches!(demand.what, Ability::HoverOutOfGround | Ability::HoverNearGround);
            if hovers && matches!(project.craft, Some(Craft::Aeroplane(_))) {
                let remedy = "ask for level flight or a climb";
                self.error(format!("{path}.what"), "an aeroplane does not hover", remedy);
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

    pub(super) fn recirculations(&mut self, path: &str, stated: &[Recirculation]) {
        let ducts: Vec<&str> = self.project.ducts.iter().map(|duct| duct.name.as_str()).collect();
        for recirculation in stated {
            let name = recirculation.name.as_str();
            self.refers(format!("{path}.recirculations.{name}"), name, "duct", &ducts);
        }
    }

    pub(super) fn point(&mut self, point: &Point) {
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
                "there is shaft power at zero speed",
                "give the speed of the output shaft",
            );
        }
    }

    /// A law with an offset is another day than the one it is named after.
    pub(super) fn days(&mut self) {
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
