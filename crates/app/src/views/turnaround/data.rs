//! What the page Turnaround shows, as plain data in display units; times in seconds from landing.

use crate::views::chart::Chart;
use crate::views::figure::{Figure, Standing};

/// What is done with the aircraft.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Phase {
    /// Taxi from landing to the stand.
    Taxi,
    /// Standing, nothing is done.
    Soak,
    /// The pack is cooled.
    Cool,
    /// The pack is charged.
    Charge,
}

impl Phase {
    /// All of them in the order in which they usually come.
    pub const ALL: [Self; 4] = [Self::Taxi, Self::Soak, Self::Cool, Self::Charge];

    /// The word on screen.
    pub fn word(self) -> &'static str {
        match self {
            Self::Taxi => "taxi in",
            Self::Soak => "soak",
            Self::Cool => "cool",
            Self::Charge => "charge",
        }
    }
}

/// A phase from one time to another. Phases may overlap: cooling goes on while charging.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PhaseSpan {
    /// What is done.
    pub phase: Phase,
    /// From when.
    pub from_s: f64,
    /// Until when.
    pub to_s: f64,
}

/// One way from landing to ready.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TurnaroundOption {
    /// Its name: `cool, then charge`.
    pub name: String,
    /// What is done, in order of the start.
    pub phases: Vec<PhaseSpan>,
    /// When the aircraft is ready; nothing when it never is.
    pub ready_s: Option<f64>,
    /// Why it never is, or what is to be known.
    pub outcome: String,
    /// Energy charged.
    pub energy: Figure,
    /// Pack temperature when ready.
    pub pack_temperature: Figure,
    /// How the pack stands against its limits on the way.
    pub standing: Standing,
}

/// Waiting and charging time for one pack temperature and outside air.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WaitCell {
    /// Waiting or cooling before the charge may begin; nothing when it never may.
    pub wait_s: Option<f64>,
    /// Charging.
    pub charge_s: Option<f64>,
}

/// Waiting and charging time by pack temperature at landing and outside air.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WaitTable {
    /// Pack temperatures at landing, with the unit: the heads of the columns.
    pub pack_temperatures: Vec<String>,
    /// Outside air with the unit, and a cell for each column.
    pub rows: Vec<(String, Vec<WaitCell>)>,
}

/// All ways of turning the aircraft around.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TurnaroundData {
    /// After which flight, in words: `hot day / two circuits`.
    pub after: String,
    /// The state of charge to be reached, with the unit.
    pub until: String,
    /// The ways, fastest first.
    pub options: Vec<TurnaroundOption>,
    /// Pack temperature over time for each way, with the window in which the pack may be charged.
    pub curves: Chart,
    /// The wait/charge table.
    pub table: WaitTable,
    /// Unit of the energy.
    pub energy_unit: String,
    /// Unit of the pack temperature.
    pub temperature_unit: String,
}
