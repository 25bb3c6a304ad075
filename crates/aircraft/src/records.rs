//! The aircraft by name: every record of the project file.
//!
//! These types are also version 1 of the file: each is declared once by the macros of [`schema`], which give its
//! reading, writing, documentation and addressable inputs. When a version 2 changes them, the version 1 declarations
//! move to the `project` crate together with their conversion; a mirrored second set is not kept before that.

mod ceiling;
mod channels;
pub mod charging;
pub mod component;
pub mod cooling_test;
pub mod core;
pub mod craft;
pub mod device;
pub mod failure;
pub mod gearbox;
pub mod ground;
pub mod measured;
pub mod mission;
pub mod one_motor_out;
pub mod power_path;
pub mod powertrain;
pub mod project;
mod pump_inlet;
pub mod relations;
mod shaft_power;
pub mod sizing;
pub mod stage;
mod statement;
pub mod study;
pub mod surroundings;

pub use ceiling::{ABOVE_HIGHEST_LIMIT_K, WITHOUT_LIMIT_K, ceiling_k};
