//! What the page Failures shows, as plain data in display units.

use crate::views::figure::{Figure, Sign};
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
    /// From the failure to that limit with the power of the moment kept; nothing when it is not reached.
    pub time_to_limit_s: Option<f64>,
    /// What a landing by that action takes.
    pub time_to_land_s: Option<f64>,
    /// What the pilot does.
    pub action: String,
    /// Whether what is flown after the failure keeps every limit until touchdown.
    pub is_kept: bool,
    /// Why there is no result, if there is none.
    pub outcome: String,
    /// Peaks until touchdown, worst first.
    pub peaks: Vec<PeakUntilTouchdown>,
    /// Warnings.
    pub alerts: Vec<Alert>,
}

/// What a failure leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FailureStanding {
    /// No limit is reached.
    NoLimit,
    /// The aircraft is on the ground before the limit is reached.
    LandsFirst,
    /// The limit would come first with the power of the moment, but not with what is flown after the failure.
    LessPower,
    /// The limit is reached in the air.
    LimitFirst,
    /// There is no result.
    Unknown,
}

impl FailureRow {
    /// What the failure leaves.
    pub fn standing(&self) -> FailureStanding {
        if !self.outcome.is_empty() {
            return FailureStanding::Unknown;
        }
        match (self.time_to_limit_s, self.time_to_land_s) {
            (None, _) => FailureStanding::NoLimit,
            (Some(limit), Some(land)) if land < limit => FailureStanding::LandsFirst,
            (Some(_), _) if self.is_kept => FailureStanding::LessPower,
            (Some(_), _) => FailureStanding::LimitFirst,
        }
    }
}

impl FailureStanding {
    /// The word on screen.
    pub fn word(self) -> &'static str {
        match self {
            Self::NoLimit => "no limit reached",
            Self::LandsFirst => "lands before the limit",
            Self::LessPower => "holds with less power",
            Self::LimitFirst => "limit before touchdown",
            Self::Unknown => "no result",
        }
    }

    /// Its shape and colour.
    pub fn sign(self) -> Sign {
        match self {
            Self::NoLimit => Sign::Good,
            Self::LandsFirst | Self::LessPower => Sign::Warn,
            Self::LimitFirst => Sign::Bad,
            Self::Unknown => Sign::NoResult,
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
        let times = self.rows.iter().flat_map(|row| [row.time_to_limit_s, row.time_to_land_s]);
        times.flatten().filter(|time| time.is_finite()).fold(60.0, f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_first_decides() {
        let row = |limit, land| FailureRow {
            time_to_limit_s: limit,
            time_to_land_s: land,
            ..FailureRow::default()
        };
        assert_eq!(row(Some(100.0), Some(90.0)).standing(), FailureStanding::LandsFirst);
        assert_eq!(row(Some(80.0), Some(90.0)).standing(), FailureStanding::LimitFirst);
        assert_eq!(row(Some(80.0), None).standing(), FailureStanding::LimitFirst);
        let kept = FailureRow { is_kept: true, ..row(Some(80.0), Some(90.0)) };
        assert_eq!(kept.standing(), FailureStanding::LessPower);
        assert_eq!(row(None, Some(90.0)).standing(), FailureStanding::NoLimit);
        let failed = FailureRow { outcome: "no equilibrium".into(), ..row(None, None) };
        assert_eq!(failed.standing(), FailureStanding::Unknown);
    }
}
