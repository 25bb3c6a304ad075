//! A measured motor map: total loss over torque, speed and bus voltage.

use super::heat::{LossSplit, Losses};
use super::state::MotorState;
use super::terminals::{PhaseCurrent, Terminals};
use crate::conductor::COPPER;
use crate::error;
use crate::error::InputError;
use crate::loss::LossSurface;
use crate::smooth::above_floor;
use numerics::Scalar;

/// Measured total loss (W) over torque and speed, for one or more bus voltages.
///
/// Along torque the table is a monotone cubic, along speed and bus voltage linear, held at its edges
/// ([`super::Motor::is_in_range`] tells). The torque counts by its magnitude unless the table reaches below 0.
///
/// # Temperature
/// The copper part of the measured loss is carried to the actual temperatures; the rest stays as measured:
/// ```text
/// copper = share * loss * (1 + a (Tw - 293.15)) / (1 + a (Tw0 - 293.15)) * (flux(Tm0) / flux(Tm))^2
/// ```
/// `Tw0`, `Tm0`: winding and magnet temperature of the measurement. The magnet term needs a torque constant with its
/// temperature coefficient in the terminals. The split is the same at every point of the map: check it at the critical ones.
#[derive(Clone, Debug, PartialEq)]
pub struct MotorMap {
    tables: Vec<(f64, LossSurface)>,
    split: LossSplit,
    measured_winding_k: f64,
    measured_magnet_k: f64,
    terminals: Terminals,
}

impl MotorMap {
    /// A map from tables of loss (W) over torque (N m) and speed (rad/s), one per bus voltage (V), measured at a winding
    /// and a magnet temperature (K).
    ///
    /// # Errors
    /// [`InputError`] for no table, bus voltages that do not rise, a wrong split or temperatures that are not positive.
    pub fn new(
        tables: Vec<(f64, LossSurface)>,
        split: LossSplit,
        measured_winding_k: f64,
        measured_magnet_k: f64,
        terminals: Terminals,
    ) -> Result<Self, InputError> {
        if tables.is_empty() {
            return Err(InputError::Empty("loss tables of a motor map"));
        }
        tables.iter().try_for_each(|t| error::positive("bus voltage of a motor map (V)", t.0))?;
        if let Some(pair) = tables.windows(2).find(|pair| pair[1].0 <= pair[0].0) {
            let rule = "above the one before it";
            return Err(InputError::Value { what: "bus voltage of a motor map (V)", value: pair[1].0, rule });
        }
        split.check()?;
        error::positive("winding temperature of a motor map (K)", measured_winding_k)?;
        error::positive("magnet temperature of a motor map (K)", measured_magnet_k)?;
        terminals.check()?;
        Ok(Self { tables, split, measured_winding_k, measured_magnet_k, terminals })
    }

    /// Winding sets and phase current.
    pub fn terminals(&self) -> &Terminals {
        &self.terminals
    }

    /// Where the loss goes.
    pub fn split(&self) -> &LossSplit {
        &self.split
    }

    /// Winding and magnet temperature of the measurement (K).
    pub fn measured_k(&self) -> (f64, f64) {
        (self.measured_winding_k, self.measured_magnet_k)
    }

    /// Whether a point lies inside the map: between its bus voltages, and inside the tables that are read there. One table
    /// alone holds at every bus voltage.
    pub fn contains(&self, torque_nm: f64, speed_rad_s: f64, bus_voltage_v: f64) -> bool {
        let last = self.tables.len() - 1;
        let voltage_inside = last == 0 || (self.tables[0].0..=self.tables[last].0).contains(&bus_voltage_v);
        let from = self.tables.partition_point(|t| t.0 <= bus_voltage_v).saturating_sub(1);
        let read = &self.tables[from..=(from + 1).min(last)];
        voltage_inside && read.iter().all(|(_, table)| table.contains(torque_nm, speed_rad_s.abs()))
    }

    /// Total loss as measured (W).
    #[inline]
    pub fn total_loss_w<S: Scalar>(&self, torque_nm: S, speed_rad_s: S, bus_voltage_v: S) -> S {
        // direction of rotation does not matter; a table may start above standstill, so a plain sign is enough here
        let speed = if speed_rad_s.value() < 0.0 { -speed_rad_s } else { speed_rad_s };
        let last = self.tables.len() - 1;
        let voltage = bus_voltage_v.value();
        if last == 0 || !(voltage > self.tables[0].0) {
            return self.tables[0].1.at(torque_nm, speed);
        }
        if voltage >= self.tables[last].0 {
            return self.tables[last].1.at(torque_nm, speed);
        }
        let j = self.tables.partition_point(|t| t.0 <= voltage) - 1;
        let ((u0, low), (u1, high)) = (&self.tables[j], &self.tables[j + 1]);
        let weight = (bus_voltage_v - *u0) / (u1 - u0);
        numerics::blend(low.at(torque_nm, speed), high.at(torque_nm, speed), weight)
    }

    pub(super) fn at<S: Scalar>(&self, state: &MotorState<S>, crowding: f64) -> Losses<S> {
        let total = self.total_loss_w(state.torque_nm, state.speed_rad_s, state.bus_voltage_v);
        let mut losses = Losses::from_split(total, &self.split);
        losses.copper_w *= COPPER.factor(state.winding_k, self.measured_winding_k) * crowding;
        if let PhaseCurrent::TorqueConstant(law) = &self.terminals.phase_current {
            let measured =
                above_floor(law.flux_factor(self.measured_magnet_k), super::torque_constant::FLUX_FLOOR);
            let ratio = law.at(state.magnet_k) / (law.nm_per_a_rms * measured);
            losses.copper_w /= ratio * ratio;
        }
        losses
    }
}
