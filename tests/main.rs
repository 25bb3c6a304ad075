//! Checks of the whole project against the outside.

mod architecture;
mod gates;
mod validation;
