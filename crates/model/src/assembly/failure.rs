//! What a failure changes in the numbers of a network. It never changes which parts there are.

use super::Situation;
use crate::aircraft::failure::Failed;
use crate::aircraft::powertrain::Pack;

/// Contact that an empty passage still has with its walls, as a share of that with liquid: air and vapour. Common practice, no source.
const LEAST_WET: f64 = 1e-3;
/// Liquid that stays behind in an empty loop, as a share.
const LEFT_BEHIND: f64 = 0.02;

impl<'a> Situation<'a> {
    pub(super) fn failed(&self) -> Option<&'a Failed> {
        self.failure.map(|f| &f.what)
    }

    /// Share of its speed that is left to a pump or fan in a circuit.
    pub(super) fn machine_share(&self, machine: &str, supply: Option<&str>, circuit: &str) -> f64 {
        match self.failed() {
            Some(Failed::Stopped(name)) if name == machine => 0.0,
            Some(Failed::SupplyLost(name)) if supply == Some(name.as_str()) => 0.0,
            Some(Failed::Slowed(slowed)) if slowed.machine == machine => slowed.share.si(),
            Some(Failed::Leak(_)) => 1.0 - self.lost(circuit),
            _ => 1.0,
        }
    }

    /// Share of the liquid of a loop that has leaked out.
    fn lost(&self, circuit: &str) -> f64 {
        match self.failed() {
            Some(Failed::Leak(leak)) if leak.circuit == circuit => leak.lost.si(),
            _ => 0.0,
        }
    }

    /// Share of its contact with walls that is left to the fluid of a circuit.
    pub(super) fn wet_share(&self, circuit: &str) -> f64 {
        (1.0 - self.lost(circuit)).max(LEAST_WET)
    }

    /// Share of its liquid that is left in a circuit.
    pub(super) fn filled_share(&self, circuit: &str) -> f64 {
        (1.0 - self.lost(circuit)).max(LEFT_BEHIND)
    }

    /// Pressure loss of a device over that of the sound one.
    pub(super) fn clogging(&self, device: &str) -> f64 {
        match self.failed() {
            Some(Failed::Clogged(clogged)) if clogged.device == device => clogged.factor.si(),
            Some(Failed::InletBlocked(blocked)) if blocked.inlet == device => {
                // the loss goes with the square of the velocity in what is left of the area
                (1.0 - blocked.share.si()).powi(-2)
            }
            _ => 1.0,
        }
    }

    /// What the sensor of a control reads too much, K.
    pub(super) fn sensor_error_k(&self, controls: &str) -> f64 {
        match self.failed() {
            Some(Failed::SensorOff(sensor)) if sensor.controls == controls => sensor.by.si(),
            _ => 0.0,
        }
    }

    /// Strings of the pack that are out.
    pub(super) fn strings_out(&self, pack: &Pack) -> usize {
        match self.failed() {
            Some(Failed::StringsOut(strings)) => *strings,
            _ => pack.strings_out,
        }
    }
}
