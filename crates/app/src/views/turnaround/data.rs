//! What the page Turnaround shows, as plain data in display units; times in seconds from landing.

use crate::views::chart::Chart;
use crate::views::figure::{Figure, Sign};

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
    /// The pack is replaced.
    Swap,
}

impl Phase {
    /// All of them in the order in which they usually come.
    pub const ALL: [Self; 5] = [Self::Taxi, Self::Soak, Self::Cool, Self::Charge, Self::Swap];

    /// The word on screen.
    pub fn word(self) -> &'static str {
        match self {
            Self::Taxi => "taxi in",
            Self::Soak => "soak",
            Self::Cool => "cool",
            Self::Charge => "charge",
            Self::Swap => "swap the pack",
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
    /// State of charge when ready, with the unit.
    pub charged: String,
    /// Energy charged.
    pub energy: Figure,
    /// Pack temperature when ready.
    pub pack_temperature: Figure,
    /// How the pack stands against its limits on the way.
    pub sign: Sign,
}

/// What the ground team does at one pack temperature and outside air.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WaitCell {
    /// Waiting or cooling before the charge may begin; nothing when it may not.
    pub wait_s: Option<f64>,
    /// The charge that is allowed then, with the unit.
    pub rate: String,
    /// Why it may not begin; empty if it may.
    pub why: String,
}

/// Wait before a charge and its rate by indicated pack temperature and outside air.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WaitTable {
    /// The way it belongs to.
    pub option: String,
    /// Indicated pack temperatures, with the unit: the heads of the columns.
    pub pack_temperatures: Vec<String>,
    /// Outside air with the unit, and a cell for each column.
    pub rows: Vec<(String, Vec<WaitCell>)>,
}

/// The hottest pack with which a departure still lands with every required margin.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Departure {
    /// Outside air with the unit.
    pub outside: String,
    /// The mission flown.
    pub mission: String,
    /// Pack temperature; a dash if even a cold pack lands short.
    pub pack: Figure,
    /// The limit that is short just above it; empty if none is.
    pub limited_by: String,
}

/// All ways of turning the aircraft around.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TurnaroundData {
    /// Its name.
    pub name: String,
    /// After which flight: condition and mission.
    pub after: String,
    /// Outside air at the field with the unit.
    pub outside: String,
    /// The ways, fastest first.
    pub options: Vec<TurnaroundOption>,
    /// Pack temperature over time for each way, with the window in which the pack may be charged.
    pub curves: Chart,
    /// The wait/charge tables of the ground team, one for each way.
    pub tables: Vec<WaitTable>,
    /// The hottest pack at departure, by outside air.
    pub departure: Vec<Departure>,
    /// What else is to be known.
    pub remarks: Vec<String>,
    /// Whether the tables are worked out too.
    pub is_whole: bool,
    /// Unit of the energy.
    pub energy_unit: String,
    /// Unit of the pack temperature.
    pub temperature_unit: String,
}
