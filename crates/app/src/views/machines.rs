//! The pages Machines and Pack: each machine of the drive with its curves at the case, its levels of description and its inputs.

mod data;
mod paint;

pub use data::MachineData;
pub use paint::machines_ui;
