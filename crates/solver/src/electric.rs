//! The electric drive: motors with inverters, gearbox, and the bus that feeds them.
//!
//! Four unknowns join the temperatures: power into the gearbox, bus voltage, bus current, state of charge; each converter
//! adds its output power, each stage behind the gearbox the power into it. The loss of a machine, the sag of the bus and the temperature of the cells are circular, so they
//! are solved together. In a steady state the state of charge is held; over time the bus current empties or fills the pack.

mod charger;
mod drive;
mod heats;
mod numbered;
mod pieces;
mod points;
mod ramp;
mod reading;
mod settle;
mod spec;
mod stages;
mod wiring;

pub use charger::ActiveCharge;
pub(crate) use numbered::Electric;
pub use points::{DrivePoint, GearReading, GroupReading};
pub use reading::{DriveReading, ElectricReading};
pub use spec::{
    BusFeed, CellGroup, ChargerOnBoard, Drive, DriveNodes, DriveStage, ElectricSpec, Gear, PackCells,
};
pub(crate) use wiring::Numbering;
