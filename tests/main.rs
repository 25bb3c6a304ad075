//! Checks of the whole project against the outside.

mod architecture;
mod charging_points;
mod validation;
