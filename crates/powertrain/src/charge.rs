//! Charging a pack: constant current, constant voltage, power of the charger, and the window of cell temperatures.
//!
//! Equations, sources and what is left out: `docs/theory/charge.md`.
//!
//! The continuous part is [`ChargeLimiter::current`], a smooth function of what an integrator solves for. What switches is a
//! [`ChargeState`], which changes only at a [`ChargeEvent`]: a number that rises through zero, for an integrator to locate.
//!
//! **Caution.** Charging below 0 degC cell temperature plates lithium and lowers the safety of the cell for good; fast charging
//! of cold or hot cells does the same to a lesser degree. The window must come from the maker of the cell. Outside its stages
//! nothing is charged here; a stage below freezing is accepted only because some makers allow one, and
//! [`ChargeWindow::reaches_below_freezing`] tells so.
//!
//! Sign: charge currents of this module are positive **into** the pack; a bus that counts discharge as positive takes
//! [`ChargePoint::bus_current_a`].

mod limiter;
mod time;
mod window;

#[cfg(test)]
mod tests;

pub use limiter::{
    BoundBy, CORNER_C_RATE, ChargeData, ChargeEvent, ChargeLimiter, ChargePoint, ChargeState, Charger,
    DEFAULT_TAPER_C_RATE, PackCondition,
};
pub use time::{constant_current_time_s, constant_voltage_time_s, mean_current_of_taper_a};
pub use window::{ChargeWindow, Stage};
