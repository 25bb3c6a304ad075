//! What the pages Machines and Pack show, in display units.

use crate::views::chart::Chart;
use crate::views::field::InputField;
use crate::views::levels::LawData;
use crate::views::sheet::SheetData;

/// A machine, or the pack.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MachineData {
    /// The name its owner gave it: `left motor`.
    pub name: String,
    /// What it is: `inverter`.
    pub sort: String,
    /// Whether it belongs to the pack and its conductors.
    pub is_pack: bool,
    /// What is to be known, such as that it does not work in this case; empty if nothing.
    pub note: String,
    /// Numbers of the case: name, and value with unit.
    pub values: SheetData,
    /// Its curves, each with what is held along it.
    pub charts: Vec<(Chart, String)>,
    /// The law of its loss with its levels, if it has any.
    pub law: Option<LawData>,
    /// Its measured tables: short name and address.
    pub tables: Vec<(String, String)>,
    /// Its inputs.
    pub fields: Vec<InputField>,
}

impl MachineData {
    /// Name and sort, unlike those of any other: `left motor, inverter`; a gearbox of that name is called so once.
    pub fn key(&self) -> String {
        if self.name == self.sort { self.name.clone() } else { format!("{}, {}", self.name, self.sort) }
    }
}
