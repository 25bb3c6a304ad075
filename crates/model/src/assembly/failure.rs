//! What a failure changes in the numbers of a network. It never changes which parts there are.

use super::Situation;
use aircraft::records::device::{Device, Loop, devices};
use aircraft::records::failure::Failed;
use aircraft::records::powertrain::{Motor, MotorFailure, Pack};

/// Contact that an empty passage still has with its walls, as a share of that with liquid: air and vapour. Common practice, no source.
const MIN_WET: f64 = 1e-3;
/// Liquid that stays behind in an empty loop, as a share.
const LEFT_BEHIND: f64 = 0.02;

impl<'a> Situation<'a> {
    /// Everything that has failed, failures that come together taken apart.
    pub(crate) fn failed(&self) -> impl Iterator<Item = &'a Failed> {
        let what = self.failure.map(|failure| &failure.what);
        let together = match what {
            Some(Failed::Together(together)) => together.failures.as_slice(),
            _ => &[],
        };
        let failures = &self.project.failures;
        let named = together.iter().filter_map(|name| failures.iter().find(|f| f.name == *name));
        what.into_iter().filter(|_| together.is_empty()).chain(named.map(|failure| &failure.what))
    }

    /// How many winding sets of a motor are out.
    pub fn winding_sets_out(&self, motor: &str) -> usize {
        self.failed().filter(|f| matches!(f, Failed::WindingSetOut(name) if name == motor)).count()
    }

    /// Whether a motor is out.
    pub fn is_motor_out(&self, motor: &str) -> bool {
        self.failed().any(|failed| matches!(failed, Failed::MotorOut(out) if out == motor))
    }

    /// How many winding sets of a motor are shorted: those that are out, where an outage leaves a short behind.
    pub(crate) fn shorted_sets(&self, motor: &Motor, sets: u8) -> u8 {
        let name = motor.name.as_str();
        match motor.failure {
            MotorFailure::Open => 0,
            MotorFailure::Shorted if self.is_motor_out(name) => sets,
            MotorFailure::Shorted => u8::try_from(self.winding_sets_out(name)).unwrap_or(u8::MAX).min(sets),
        }
    }

    /// Share of its speed that is left to a pump or fan in a circuit.
    pub(super) fn machine_share(&self, machine: &str, supply: Option<&str>, circuit: &str) -> f64 {
        let shares = self.failed().map(|failed| match failed {
            Failed::Stopped(name) if name == machine => 0.0,
            Failed::SupplyLost(name) if supply == Some(name.as_str()) => 0.0,
            Failed::Slowed(slowed) if slowed.machine == machine => slowed.share.si(),
            Failed::Leak(leak) if leak.circuit == circuit => 1.0 - leak.lost.si(),
            _ => 1.0,
        });
        shares.fold(1.0, f64::min)
    }

    /// Share of the liquid of a loop that has leaked out.
    fn lost(&self, circuit: &str) -> f64 {
        let losses = self.failed().map(|failed| match failed {
            Failed::Leak(leak) if leak.circuit == circuit => leak.lost.si(),
            _ => 0.0,
        });
        losses.fold(0.0, f64::max)
    }

    /// Share of its contact with walls that is left to the fluid of a circuit.
    pub(super) fn wet_share(&self, circuit: &str) -> f64 {
        (1.0 - self.lost(circuit)).max(MIN_WET)
    }

    /// Share of its liquid that is left in a circuit.
    pub(super) fn filled_share(&self, circuit: &str) -> f64 {
        (1.0 - self.lost(circuit)).max(LEFT_BEHIND)
    }

    /// Pressure loss of a device over that of the sound one.
    pub(super) fn clogging(&self, device: &str) -> f64 {
        let factors = self.failed().map(|failed| match failed {
            Failed::Clogged(clogged) if clogged.device == device => clogged.factor.si(),
            Failed::InletBlocked(blocked) if blocked.inlet == device => {
                // the loss goes with the square of the velocity in what is left of the area
                (1.0 - blocked.share.si()).powi(-2)
            }
            _ => 1.0,
        });
        factors.fold(1.0, f64::max)
    }

    /// Whether the cap of a loop holds no pressure.
    pub(super) fn is_cap_open(&self, circuit: &Loop) -> bool {
        let open = |name: &str| self.failed().any(|f| matches!(f, Failed::CapOpen(cap) if cap == name));
        let inside = devices(&circuit.path);
        inside.into_iter().any(|device| matches!(device, Device::Reservoir(_)) && open(device.name()))
    }

    /// What the sensor of a control reads too much, K.
    pub(super) fn sensor_error_k(&self, controls: &str) -> f64 {
        let errors = self.failed().filter_map(|failed| match failed {
            Failed::SensorOff(sensor) if sensor.controls == controls => Some(sensor.by.si()),
            _ => None,
        });
        errors.sum()
    }

    /// Strings of the pack that are out.
    pub fn strings_out(&self, pack: &Pack) -> usize {
        let failed = self.failed().filter_map(|failed| match failed {
            Failed::StringsOut(strings) => Some(*strings),
            _ => None,
        });
        pack.strings_out + failed.sum::<usize>()
    }
}
