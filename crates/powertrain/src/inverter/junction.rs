//! Temperature of the junctions above the baseplate, and the loss taken there.

use numerics::{Scalar, constant};

use super::{DeviceParameters, Inverter, InverterHeat, InverterLosses, InverterState};
use crate::error::{self, InputError};

/// Room below a gain of 1 that is always left to a junction, so that a solver on its way does not divide by zero: what comes so near
/// counts as running away.
const MIN_ROOM: f64 = 1e-3;

/// Thermal resistance from the junctions to the baseplate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum JunctionResistance {
    /// Of one switch and of one diode, each above its own loss; only where the loss is known by device.
    PerSwitch {
        /// From the junction of a switch (K/W).
        switch_k_w: f64,
        /// From the junction of a diode (K/W).
        diode_k_w: f64,
    },
    /// Of a whole bridge as one, above all of its loss (K/W).
    Whole(f64),
}

impl JunctionResistance {
    /// Checks the numbers, and that a loss by device stands behind a resistance by device.
    ///
    /// # Errors
    /// [`InputError::Value`] names the first one that is not physical.
    pub fn check(&self, losses: &InverterLosses) -> Result<(), InputError> {
        match self {
            Self::Whole(k_w) => {
                error::not_negative("resistance from the junctions to the baseplate (K/W)", *k_w)
            }
            Self::PerSwitch { switch_k_w, diode_k_w } => {
                error::not_negative("resistance from a switch to the baseplate (K/W)", *switch_k_w)?;
                error::not_negative("resistance from a diode to the baseplate (K/W)", *diode_k_w)?;
                if matches!(losses, InverterLosses::Devices(_)) {
                    Ok(())
                } else {
                    Err(InputError::Value {
                        what: "resistance from a switch to the baseplate (K/W)",
                        value: *switch_k_w,
                        rule: "given with the power devices: without them the loss of one switch is not known",
                    })
                }
            }
        }
    }
}

/// Temperatures of the junctions of one bridge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JunctionPoint<S> {
    /// Of the switches (K).
    pub switch_k: S,
    /// Of the diodes (K).
    pub diode_k: S,
    /// Kelvin that come back for one kelvin of the hotter junction, `R dP/dT`: from 1 on the junction runs away.
    pub gain: f64,
}

impl<S: Scalar> JunctionPoint<S> {
    /// The hotter of switch and diode (K).
    pub fn hottest_k(&self) -> S {
        if self.switch_k.value() >= self.diode_k.value() { self.switch_k } else { self.diode_k }
    }

    /// Whether there is no equilibrium: a kelvin of the junction brings a kelvin, but for a thousandth, or more.
    pub fn runs_away(&self) -> bool {
        self.gain >= 1.0 - MIN_ROOM
    }
}

impl Inverter {
    /// The working point of one bridge with the junctions above a baseplate, whose temperature `base` carries; the loss follows from
    /// [`Inverter::heat`] at what is returned.
    ///
    /// # Formula
    /// ```text
    /// T_j = T_base + R P(T_j)        P linear in T_j, so that    T_j = T_base + R P(T_base)/(1 - R dP/dT_j)
    /// ```
    /// per switch and per diode with its own part of the bridge loss over six positions and the devices in parallel, or for the
    /// bridge as one. Quasi-steady: a junction follows in 0.1 to 1 s. No heat of a neighbour, no ripple over the output period.
    ///
    /// # Range
    /// `R dP/dT_j` below 1; from 1 on there is no equilibrium. Within a thousandth of it the room is held, which keeps numbers finite, and the
    /// point counts as running away.
    ///
    /// # Source
    /// One-dimensional heat conduction; the closed form by own derivation.
    #[inline]
    pub fn at_junction<S: Scalar>(
        &self,
        base: InverterState<S>,
        resistance: &JunctionResistance,
    ) -> (InverterState<S>, JunctionPoint<S>) {
        let at = |rise_k: f64| InverterState {
            junction_k: base.junction_k + rise_k,
            diode_k: base.junction_k + rise_k,
            ..base
        };
        let rise = |cold_w: S, warm_w: S, k_w: f64| {
            let gain = (warm_w - cold_w) * k_w;
            let room = -gain + 1.0;
            let room = if room.value() > MIN_ROOM { room } else { constant(MIN_ROOM) };
            (cold_w * k_w / room, gain.value())
        };
        let ((switch, gain), (diode, diode_gain)) = match (resistance, &self.losses) {
            (JunctionResistance::PerSwitch { switch_k_w, diode_k_w }, InverterLosses::Devices(devices)) => {
                let [cold, warm] = [at(0.0), at(1.0)].map(|state| devices.position(&state));
                (rise(cold[0], warm[0], *switch_k_w), rise(cold[1], warm[1], *diode_k_w))
            }
            (JunctionResistance::PerSwitch { .. }, _) => ((constant(0.0), 0.0), (constant(0.0), 0.0)),
            (JunctionResistance::Whole(k_w), _) => {
                let [cold, warm] = [at(0.0), at(1.0)].map(|state| in_module(&self.heat(&state)));
                let whole = rise(cold, warm, *k_w);
                (whole, whole)
            }
        };
        let point = JunctionPoint {
            switch_k: base.junction_k + switch,
            diode_k: base.junction_k + diode,
            gain: gain.max(diode_gain),
        };
        (InverterState { junction_k: point.switch_k, diode_k: point.diode_k, ..base }, point)
    }
}

/// What leaves a module through its baseplate: neither bus capacitor nor gate drive.
fn in_module<S: Scalar>(heat: &InverterHeat<S>) -> S {
    heat.conduction_w + heat.switching_w + heat.undivided_w
}

impl DeviceParameters {
    /// Loss of one switch and of one diode (W).
    fn position<S: Scalar>(&self, state: &InverterState<S>) -> [S; 2] {
        let peak = state.phase_current_rms_a * (2.0_f64.sqrt() / f64::from(self.parallel_devices));
        let one = self.position_loss(peak, state);
        [
            one.transistor_conduction_w + one.transistor_switching_w,
            one.diode_conduction_w + one.diode_recovery_w,
        ]
    }
}

#[cfg(test)]
mod tests;
