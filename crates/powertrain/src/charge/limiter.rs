//! The charge current and what binds it.

use numerics::{Scalar, constant};

use super::window::ChargeWindow;
use crate::error::{self, InputError};
use crate::smooth::positive_part;
use std::fmt;

/// Usual end of a charge at constant voltage: a twentieth of the rated capacity per hour (common practice, no source).
pub const DEFAULT_TAPER_C_RATE: f64 = 0.05;

/// Rounding of the corner between two limits, in rates (1/h); no taper may lie below it.
pub const CORNER_C_RATE: f64 = 0.01;

/// What the charger can do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Charger {
    /// Greatest power at the bus of the aircraft (W).
    pub bus_power_w: Option<f64>,
    /// Greatest power taken from the supply (W).
    pub supply_power_w: Option<f64>,
    /// Power at the bus over power from the supply.
    pub efficiency: f64,
}

impl Charger {
    /// A charger without limits and losses.
    pub const IDEAL: Self = Self { bus_power_w: None, supply_power_w: None, efficiency: 1.0 };

    fn check(&self) -> Result<(), InputError> {
        self.bus_power_w.map_or(Ok(()), |w| error::positive("charge power at the bus (W)", w))?;
        self.supply_power_w.map_or(Ok(()), |w| error::positive("charge power from the supply (W)", w))?;
        error::efficiency("efficiency of the charger", self.efficiency)
    }

    /// Greatest power at the bus (W), if anything limits it.
    pub fn power_cap_w(&self) -> Option<f64> {
        let supply = self.supply_power_w.map(|w| w * self.efficiency);
        match (self.bus_power_w, supply) {
            (Some(bus), Some(supply)) => Some(bus.min(supply)),
            (bus, supply) => bus.or(supply),
        }
    }

    /// Heat of the charger (W) at a power at the bus (W); where it goes is up to where the charger stands.
    #[inline]
    pub fn loss_w<S: Scalar>(&self, bus_power_w: S) -> S {
        bus_power_w * (self.efficiency.recip() - 1.0)
    }
}

/// What a charge follows.
#[derive(Clone, Debug, PartialEq)]
pub struct ChargeData {
    /// Rated capacity of the pack (A h): a rate of 1/h is this many ampere, at any age.
    pub rated_capacity_ah: f64,
    /// Rate of the constant-current part (1/h).
    pub c_rate: f64,
    /// Voltage held at the end (V), of all cells in series.
    pub constant_voltage_v: f64,
    /// Rate (1/h) of the current at constant voltage at which the charge ends; [`DEFAULT_TAPER_C_RATE`] is usual.
    pub taper_c_rate: f64,
    /// State of charge (0-1) at which the charge ends before that, if one is wanted.
    pub stop_soc: Option<f64>,
    /// Charger.
    pub charger: Charger,
    /// Allowed rate by cell temperature.
    pub window: ChargeWindow,
}

/// What the current depends on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PackCondition<S> {
    /// Coldest cell (K).
    pub coldest_k: S,
    /// Hottest cell (K), allowance included.
    pub hottest_k: S,
    /// State of charge (0-1).
    pub soc: S,
    /// Open-circuit voltage of all cells in series (V).
    pub open_circuit_v: S,
    /// Resistance between it and the place whose voltage is held (ohm), greater than 0: that of the cells for a charger that
    /// senses them, interconnects included for one that senses the terminals.
    pub cell_resistance_ohm: S,
    /// Resistance from there to the bus, where the power is limited (ohm).
    pub lead_resistance_ohm: S,
}

/// Whether a charge runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChargeState {
    /// It runs.
    Charging,
    /// It waits: a cell was too hot, and is not yet inside the limits for a start.
    TooHot,
    /// It waits: a cell was too cold, and is not yet inside the limits for a start.
    TooCold,
    /// It has ended.
    Done,
}

/// What changes a [`ChargeState`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChargeEvent {
    /// The hottest cell leaves the window.
    TooHot,
    /// The coldest cell leaves the window.
    TooCold,
    /// All cells are inside the limits for a start again.
    Rearmed,
    /// The current at constant voltage has fallen to the taper.
    Tapered,
    /// The wanted state of charge is reached.
    Reached,
}

impl ChargeEvent {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::TooHot, Self::TooCold, Self::Rearmed, Self::Tapered, Self::Reached];
}

/// What binds the current.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoundBy {
    /// The constant current asked for.
    ConstantCurrent,
    /// The voltage held at the end.
    ConstantVoltage,
    /// The power of the charger.
    Power,
    /// The stage of the window the coldest or hottest cell is in.
    Window,
    /// A cell outside the window, or not yet inside the limits for a start.
    Blocked,
    /// The end of the charge.
    Done,
}

impl fmt::Display for BoundBy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::ConstantCurrent => "constant current",
            Self::ConstantVoltage => "constant voltage",
            Self::Power => "charger power",
            Self::Window => "charge window",
            Self::Blocked => "blocked by cell temperature",
            Self::Done => "done",
        })
    }
}

/// The current of a charge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChargePoint<S> {
    /// Current into the pack (A), 0 or above.
    pub current_a: S,
    /// What binds it.
    pub bound_by: BoundBy,
}

impl<S: Scalar> ChargePoint<S> {
    /// The same as a bus current, which is negative on charge (A).
    pub fn bus_current_a(&self) -> S {
        -self.current_a
    }

    fn none(bound_by: BoundBy) -> Self {
        Self { current_a: constant(0.0), bound_by }
    }

    /// The lesser of this and another limit, the corner rounded downwards.
    #[inline]
    fn and(self, limit_a: S, bound_by: BoundBy, corner_a: f64) -> Self {
        let above = self.current_a - limit_a;
        let bound_by = if above.value() > 0.0 { bound_by } else { self.bound_by };
        Self { current_a: self.current_a - positive_part(above, corner_a), bound_by }
    }
}

/// Decides the current of a charge.
///
/// # Formula
/// ```text
/// I = least of    c C                            constant current
///                 c_window(T_coldest), c_window(T_hottest), times C
///                 (V - U0)/R                     constant voltage, not below 0
///                 2 P/(U0 + sqrt(U0^2 + 4 (R + R_l) P))      charger power at the bus, from P = I (U0 + I (R + R_l))
/// ```
/// Corners between them are parabolas of 1 % of the one-hour current, on the safe side: no limit is ever exceeded. Value and
/// slope are continuous, except where the coldest and the hottest cell change places as the one that binds.
#[derive(Clone, Debug, PartialEq)]
pub struct ChargeLimiter {
    data: ChargeData,
}

impl ChargeLimiter {
    /// A limiter from its data.
    ///
    /// # Errors
    /// [`InputError::Value`] names the first number that is not physical; the taper must lie between a hundredth of the rated
    /// capacity per hour and every other rate, or the charge would never or at once be done.
    pub fn new(data: ChargeData) -> Result<Self, InputError> {
        error::positive("rated capacity of the pack (A h)", data.rated_capacity_ah)?;
        error::positive("charge rate (1/h)", data.c_rate)?;
        error::positive("voltage at the end of charge (V)", data.constant_voltage_v)?;
        data.stop_soc.map_or(Ok(()), |soc| error::efficiency("state of charge at the end of charge", soc))?;
        data.charger.check()?;
        let least = data.c_rate.min(data.window.min_c_rate());
        if !(data.taper_c_rate >= CORNER_C_RATE && data.taper_c_rate < least) {
            let rule = "at least 0.01 and below the charge rate and every rate of the window";
            return Err(InputError::Value { what: "taper (1/h)", value: data.taper_c_rate, rule });
        }
        Ok(Self { data })
    }

    /// The data of the charge.
    pub fn data(&self) -> &ChargeData {
        &self.data
    }

    /// Current into the pack.
    #[inline]
    pub fn current<S: Scalar>(&self, state: ChargeState, pack: &PackCondition<S>) -> ChargePoint<S> {
        match state {
            ChargeState::TooHot | ChargeState::TooCold => ChargePoint::none(BoundBy::Blocked),
            ChargeState::Done => ChargePoint::none(BoundBy::Done),
            ChargeState::Charging => self.charging(pack),
        }
    }

    fn charging<S: Scalar>(&self, pack: &PackCondition<S>) -> ChargePoint<S> {
        let data = &self.data;
        let corner = CORNER_C_RATE * data.rated_capacity_ah;
        let rate = self.staged_rate(pack);
        let bound_by = if rate.value() < data.c_rate { BoundBy::Window } else { BoundBy::ConstantCurrent };
        let mut point = ChargePoint { current_a: rate * data.rated_capacity_ah, bound_by };
        if let Some(power_w) = data.charger.power_cap_w() {
            let resistance = pack.cell_resistance_ohm + pack.lead_resistance_ohm;
            let room = pack.open_circuit_v * pack.open_circuit_v + resistance * (4.0 * power_w);
            let limit = (pack.open_circuit_v + room.sqrt()).recip() * (2.0 * power_w);
            point = point.and(limit, BoundBy::Power, corner);
        }
        let voltage = positive_part(self.at_constant_voltage(pack), corner);
        point.and(voltage, BoundBy::ConstantVoltage, corner)
    }

    /// Rate (1/h) by window and constant current. The lesser by value: the two agree on the plateaus.
    fn staged_rate<S: Scalar>(&self, pack: &PackCondition<S>) -> S {
        let cold = self.data.window.c_rate(pack.coldest_k, self.data.c_rate);
        let hot = self.data.window.c_rate(pack.hottest_k, self.data.c_rate);
        if hot.value() < cold.value() { hot } else { cold }
    }

    /// Current (A) at the voltage of the end of charge; negative above it.
    fn at_constant_voltage<S: Scalar>(&self, pack: &PackCondition<S>) -> S {
        (-pack.open_circuit_v + self.data.constant_voltage_v) / pack.cell_resistance_ohm
    }

    /// State in which a charge begins: [`ChargeState::Charging`] inside the limits for a start.
    pub fn start(&self, pack: &PackCondition<f64>) -> ChargeState {
        let (cold, hot) = self.data.window.start_range_k();
        let ends = [ChargeEvent::Tapered, ChargeEvent::Reached];
        let is_over =
            |event| self.event_value(ChargeState::Charging, event, pack).is_some_and(|value| value >= 0.0);
        if ends.into_iter().any(is_over) {
            ChargeState::Done
        } else if !(pack.hottest_k <= hot) {
            ChargeState::TooHot
        } else if !(pack.coldest_k >= cold) {
            ChargeState::TooCold
        } else {
            ChargeState::Charging
        }
    }

    /// The number that rises through zero where an event happens; `None` where it cannot happen in this state. Continuous in
    /// the condition. In kelvin, ampere or state of charge.
    pub fn event_value(
        &self,
        state: ChargeState,
        event: ChargeEvent,
        pack: &PackCondition<f64>,
    ) -> Option<f64> {
        let data = &self.data;
        let (cold, hot) = data.window.start_range_k();
        let is_charging = state == ChargeState::Charging;
        match event {
            ChargeEvent::TooHot => is_charging.then(|| pack.hottest_k - data.window.stop_above_k()),
            ChargeEvent::TooCold => is_charging.then(|| data.window.stop_below_k() - pack.coldest_k),
            ChargeEvent::Rearmed => matches!(state, ChargeState::TooHot | ChargeState::TooCold)
                .then(|| (hot - pack.hottest_k).min(pack.coldest_k - cold)),
            ChargeEvent::Tapered => is_charging
                .then(|| data.taper_c_rate * data.rated_capacity_ah - self.at_constant_voltage(pack)),
            ChargeEvent::Reached => data.stop_soc.filter(|_| is_charging).map(|stop| pack.soc - stop),
        }
    }
}

impl ChargeState {
    /// The state after an event.
    #[must_use]
    pub fn after(self, event: ChargeEvent) -> Self {
        match (self, event) {
            (Self::Done, _) | (_, ChargeEvent::Tapered | ChargeEvent::Reached) => Self::Done,
            (_, ChargeEvent::TooHot) => Self::TooHot,
            (_, ChargeEvent::TooCold) => Self::TooCold,
            (_, ChargeEvent::Rearmed) => Self::Charging,
        }
    }
}
