//! Failures of what a random project has.

use super::dice::{names, short};
use super::{Dice, Growing};

impl Growing {
    /// Adds a few failures of parts that exist, and sometimes two together.
    pub(super) fn fail(&mut self, dice: &mut Dice) {
        for number in 0..dice.count(1, 4) {
            if let Some(what) = self.failed(dice) {
                let name = format!("failure {number}");
                self.failures.push((name.clone(), format!("Failure(name: \"{name}\", what: {what})")));
            }
        }
        if self.failures.len() >= 2 && dice.chance(0.3) {
            // two failures of the drive may leave no motor at all, which `check` refuses
            let of_the_drive = |text: &str| text.contains("MotorOut(") || text.contains("WindingSetOut(");
            if !self.failures[..2].iter().all(|(_, text)| of_the_drive(text)) {
                let both: Vec<String> = self.failures[..2].iter().map(|(name, _)| name.clone()).collect();
                let text = format!("Failure(name: \"together\", what: Together(failures: {}))", names(&both));
                self.failures.push(("together".to_owned(), text));
            }
        }
    }

    /// One failure, if the part it would strike is there.
    fn failed(&self, dice: &mut Dice) -> Option<String> {
        let parts = &self.parts;
        let machines: Vec<String> = parts.pumps.iter().chain(&parts.fans).cloned().collect();
        let of = |dice: &mut Dice, list: &[String]| {
            (!list.is_empty()).then(|| list[dice.count(0, list.len() - 1)].clone())
        };
        Some(match dice.count(0, 13) {
            0 | 1 => format!("Stopped(\"{}\")", of(dice, &machines)?),
            2 => {
                format!("Slowed(machine: \"{}\", share: {:.2})", of(dice, &machines)?, dice.between(0.1, 0.9))
            }
            3 => format!("SupplyLost(\"{}\")", dice.one(&["bus A", "bus B"])),
            4 if parts.motors.len() > 1 => format!("MotorOut(\"{}\")", of(dice, &parts.motors)?),
            4 | 5 => format!("WindingSetOut(\"{}\")", of(dice, &parts.two_sets)?),
            6 => format!(
                "CoreBlocked(core: \"{}\", share: {:.2})",
                of(dice, &parts.cores)?,
                dice.between(0.1, 0.9)
            ),
            7 => format!(
                "InletBlocked(inlet: \"{}\", share: {:.2})",
                of(dice, &parts.inlets)?,
                dice.between(0.1, 0.95)
            ),
            8 => format!(
                "Clogged(device: \"{}\", factor: {})",
                of(dice, &parts.resistances)?,
                short(dice.spread(1.5, 40.0))
            ),
            9 => {
                let valves: Vec<String> = parts.thermostats.iter().chain(&parts.shutters).cloned().collect();
                format!(
                    "ThermostatStuck(thermostat: \"{}\", opening: {:.2})",
                    of(dice, &valves)?,
                    dice.between(0.0, 1.0)
                )
            }
            10 => format!(
                "SensorOff(controls: \"{}\", by: {})",
                of(dice, &parts.controlled)?,
                dice.even(-15.0, 15.0, "K")
            ),
            11 => format!("CapOpen(\"{}\")", of(dice, &parts.reservoirs)?),
            12 => format!(
                "Leak(circuit: \"{}\", empties_in: {}, lost: {:.2})",
                of(dice, &parts.loops)?,
                dice.log(10.0, 1200.0, "s"),
                dice.between(0.2, 1.0)
            ),
            _ if parts.strings > 2 => "StringsOut(1)".to_owned(),
            _ => format!("Stopped(\"{}\")", of(dice, &machines)?),
        })
    }
}
