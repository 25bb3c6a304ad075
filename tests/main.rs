//! Checks of the whole project against the outside.

mod architecture;
mod validation;
