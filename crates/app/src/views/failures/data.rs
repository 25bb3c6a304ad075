//! What the page Failures shows, as plain data in display units.

use crate::views::figure::Figure;
use crate::views::sheet::SheetData;
use model::standing::Standing;

/// How hot something becomes until touchdown.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PeakUntilTouchdown {
    /// Component and limit.
    pub where_: String,
    /// The peak.
    pub temperature: Figure,
    /// The limit.
    pub limit: Figure,
    /// The margin, positive is good.
    pub margin: Figure,
    /// How it stands.
    pub standing: Standing,
}

/// Temperatures at which the pilot is warned, derived from the limit, the sensor and the time to land.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Alert {
    /// The component whose sensor it is.
    pub where_: String,
    /// Plan: the action is to be prepared.
    pub amber: Figure,
    /// Act: the action is to be done now.
    pub red: Figure,
    /// How it was derived, in words.
    pub basis: String,
}

/// One failure.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FailureRow {
    /// Its name.
    pub name: String,
    /// When it happens, in words: `12:30, climb`.
    pub start: String,
    /// The limit that is reached first; empty when none is.
    pub first_limit: String,
    /// The limit whose required margin is lost first; empty when none is.
    pub first_required: String,
    /// From the failure until that margin is lost; nothing when it is kept.
    pub time_to_required_s: Option<f64>,
    /// From the failure to that limit with the power of the moment kept; nothing when it is not reached.
    pub time_to_limit_s: Option<f64>,
    /// What a landing by that action takes.
    pub time_to_land_s: Option<f64>,
    /// What the pilot does.
    pub action: String,
    /// What asks for it: time, hazard or redundancy; empty without an action.
    pub action_reason: String,
    /// What is to be said of it.
    pub action_notes: Vec<String>,
    /// How what is flown after the failure stands until touchdown.
    pub standing: Standing,
    /// Why there is no result, if there is none.
    pub outcome: String,
    /// Peaks until touchdown, worst first.
    pub peaks: Vec<PeakUntilTouchdown>,
    /// Warnings.
    pub alerts: Vec<Alert>,
}

impl FailureRow {
    /// The action and what asks for it, in words.
    pub fn action_words(&self) -> String {
        if self.action_reason.is_empty() {
            self.action.clone()
        } else {
            format!("{} ({})", self.action, self.action_reason)
        }
    }
}

/// All failures.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FailuresData {
    /// In which mission, in words.
    pub during: String,
    /// How many failures are still being worked out.
    pub waiting: usize,
    /// The failures, the most pressing first.
    pub rows: Vec<FailureRow>,
    /// Unit of temperatures.
    pub temperature_unit: String,
    /// One motor out: what is asked for and not met, what is missing, how it was worked out.
    pub power_notes: Vec<String>,
    /// One motor out: the power that is there, what flight takes and what can be done, ceilings.
    pub power: Vec<SheetData>,
}

impl FailuresData {
    /// The longest time on the common scale.
    pub fn longest_s(&self) -> f64 {
        let times = self
            .rows
            .iter()
            .flat_map(|row| [row.time_to_required_s, row.time_to_limit_s, row.time_to_land_s]);
        times.flatten().filter(|time| time.is_finite()).fold(60.0, f64::max)
    }
}
