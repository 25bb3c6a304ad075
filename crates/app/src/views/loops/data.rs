//! What the page Loops shows, as plain data in display units.

use crate::views::chart::Chart;
use crate::views::field::InputField;
use crate::views::figure::{Figure, Flag};

/// A closed circuit of coolant or an open path of air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum StripKind {
    /// Closed coolant circuit, from pump outlet back to pump inlet.
    #[default]
    Loop,
    /// Air path from inlet to outlet.
    Duct,
}

impl StripKind {
    /// The word in front of several of them.
    pub fn plural(self) -> &'static str {
        match self {
            Self::Loop => "Loops",
            Self::Duct => "Ducts",
        }
    }

    /// What follows the last device.
    pub fn end(self) -> &'static str {
        match self {
            Self::Loop => "back to\nthe start",
            Self::Duct => "outlet",
        }
    }
}

/// A wall or component temperature that a device exchanges heat with.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WallMark {
    /// Name of the component.
    pub name: String,
    /// Temperature in the strip's unit.
    pub temperature: f64,
}

/// One device in flow order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StripDevice {
    /// Name of the device.
    pub name: String,
    /// What it is: `cold plate`, `hose`.
    pub kind: String,
    /// Medium temperature at its inlet.
    pub temperature_in: f64,
    /// Medium temperature at its outlet.
    pub temperature_out: f64,
    /// Absolute static pressure at its inlet.
    pub pressure_in: f64,
    /// Absolute static pressure at its outlet.
    pub pressure_out: f64,
    /// Heat into the medium in kW; negative when the medium gives heat off.
    pub heat_kw: f64,
    /// Walls it touches.
    pub walls: Vec<WallMark>,
    /// Whether a relation was used outside its range.
    pub flag: Flag,
}

/// One of the ways through a parallel section.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Branch {
    /// Name of the branch.
    pub name: String,
    /// Part of the flow that goes this way, 0 to 1.
    pub share: f64,
    /// Its devices in flow order; may be empty (a plain bypass).
    pub entries: Vec<StripEntry>,
}

/// A device, or branches that share a pressure drop.
#[derive(Debug, Clone, PartialEq)]
pub enum StripEntry {
    /// One device.
    Device(StripDevice),
    /// Branches side by side.
    Parallel(Vec<Branch>),
}

/// A loop or duct unrolled in flow order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FlowStripData {
    /// Name of the loop or duct.
    pub name: String,
    /// Loop or duct.
    pub kind: StripKind,
    /// The medium in words: `ethylene glycol 50 % by mass`.
    pub medium: String,
    /// The flow with its unit.
    pub flow: String,
    /// Unit of all temperatures.
    pub temperature_unit: String,
    /// Unit of all pressures.
    pub pressure_unit: String,
    /// Devices and parallel sections in flow order.
    pub entries: Vec<StripEntry>,
}

impl FlowStripData {
    /// All devices in flow order, branch by branch.
    pub fn devices(&self) -> Vec<&StripDevice> {
        fn collect<'a>(entries: &'a [StripEntry], all: &mut Vec<&'a StripDevice>) {
            for entry in entries {
                match entry {
                    StripEntry::Device(device) => all.push(device),
                    StripEntry::Parallel(branches) => {
                        for branch in branches {
                            collect(&branch.entries, all);
                        }
                    }
                }
            }
        }
        let mut all = Vec::new();
        collect(&self.entries, &mut all);
        all
    }

    /// Heat taken up and heat given off by the medium, both positive, in kW.
    pub fn heat_totals(&self) -> (f64, f64) {
        let heats = || self.devices().into_iter().map(|device| device.heat_kw);
        (heats().filter(|q| *q > 0.0).sum(), -heats().filter(|q| *q < 0.0).sum::<f64>())
    }
}

/// A row of the device table.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DeviceRow {
    /// Name of the device; the same as in the strip.
    pub name: String,
    /// Its address in the project; empty where it cannot be changed.
    pub path: String,
    /// What it is.
    pub kind: String,
    /// Name of the branch it lies in.
    pub branch: Option<String>,
    /// Flow through it.
    pub flow: Figure,
    /// Medium temperature at its inlet.
    pub inlet: Figure,
    /// Medium temperature at its outlet.
    pub outlet: Figure,
    /// Absolute pressure at its outlet.
    pub pressure: Figure,
    /// Pressure drop; negative where the pressure rises.
    pub drop: Figure,
    /// Heat into the medium.
    pub heat: Figure,
    /// What can be edited.
    pub inputs: Vec<InputField>,
    /// Measured tables of it: short name and address.
    pub tables: Vec<(String, String)>,
    /// What a pump or fan can do and what its circuit asks for.
    pub duty: Option<Chart>,
}

/// The devices of one loop or duct.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DeviceTable {
    /// Unit of the flows.
    pub flow_unit: String,
    /// Unit of the temperatures.
    pub temperature_unit: String,
    /// Unit of the pressures.
    pub pressure_unit: String,
    /// Unit of the heat.
    pub heat_unit: String,
    /// Inputs of the loop as a whole: medium, fill, cap.
    pub inputs: Vec<InputField>,
    /// The rows in flow order.
    pub rows: Vec<DeviceRow>,
}

/// A loop or duct with its table.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StripPage {
    /// The figure.
    pub strip: FlowStripData,
    /// The table below it.
    pub table: DeviceTable,
}
