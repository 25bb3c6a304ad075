//! The outside-air limit as it is found.

use super::options::CaseSet;
use crate::infeasible::Infeasible;
use model::case_name::CaseName;
use model::result::Margin;

/// What a curve is a limit of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitOf {
    /// Temperatures, boiling, and whether there is a state at all: a limitation.
    Cooling,
    /// Ratings of machines, and what the pack can deliver: performance.
    Rating,
}

impl LimitOf {
    /// Word used in files and tables.
    pub fn word(self) -> &'static str {
        match self {
            Self::Cooling => "cooling",
            Self::Rating => "rating",
        }
    }
}

/// How far up the outside air may go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HighestAir {
    /// Up to this temperature, K.
    UpTo(f64),
    /// The limit lies above the highest temperature looked at, K.
    AtLeast(f64),
    /// At no temperature down to the lowest one looked at, K.
    Nowhere(f64),
}

impl HighestAir {
    /// The temperature that the air may surely have, K.
    pub fn oat_k(self) -> Option<f64> {
        match self {
            Self::UpTo(oat_k) | Self::AtLeast(oat_k) => Some(oat_k),
            Self::Nowhere(_) => None,
        }
    }
}

/// What stands against warmer air.
#[derive(Clone, Debug, PartialEq)]
pub struct OatBinding {
    /// Case; its condition names the airspeed, ramp rise and sun that count.
    pub case: CaseName,
    /// Component, device or loop.
    pub place: String,
    /// Name of the limit; where there is no state, the outcome.
    pub limit: String,
    /// The margin just above the limit; none where there is no state.
    pub margin: Option<Margin>,
    /// Why there is no state.
    pub message: Option<String>,
}

/// The limit at one pressure altitude.
#[derive(Clone, Debug, PartialEq)]
pub struct OatPoint {
    /// Pressure altitude, m.
    pub pressure_altitude_m: f64,
    /// Whether the curve is asked for here, or this is a half-way altitude.
    pub on_curve: bool,
    /// How far up the outside air may go.
    pub reach: HighestAir,
    /// What stands against warmer air; none where the limit lies above the range.
    pub binding: Option<OatBinding>,
    /// Largest power at the output shaft that the limiting case asks for at this altitude and limit, W; without a limiting case, that of all
    /// cases. None where no case asks for power, or no temperature holds.
    pub shaft_power_w: Option<f64>,
    /// Lowest temperature of the scan above the limit at which the limiting case would hold again: its margins do not simply
    /// shrink with temperature. The limit given is the lower one.
    pub holds_again_k: Option<f64>,
}

/// Up to which pressure altitude everything holds on the hot day of 14 CFR 27.1043(b).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HotDay {
    /// Up to the highest altitude looked at, m.
    Throughout(f64),
    /// Up to this altitude, m.
    UpTo(f64),
    /// Not even at the lowest altitude looked at.
    Nowhere,
}

impl HotDay {
    /// The highest altitude at which it is known to be met, m.
    pub fn met_up_to_m(self) -> Option<f64> {
        match self {
            Self::Throughout(altitude_m) | Self::UpTo(altitude_m) => Some(altitude_m),
            Self::Nowhere => None,
        }
    }
}

/// The limit over altitude of one set of cases, in one respect.
#[derive(Clone, Debug, PartialEq)]
pub struct OatCurve {
    /// Which cases.
    pub set: CaseSet,
    /// Limit of what.
    pub of: LimitOf,
    /// How many cases it is made of, infeasible ones left out.
    pub cases: usize,
    /// Points by rising altitude; of a study that was stopped, those that were done.
    pub points: Vec<OatPoint>,
    /// Cases that hold at no temperature of the scan at any altitude of the curve: set apart.
    pub infeasible: Vec<Infeasible>,
    /// Up to which altitude the hot day is met; none where no case is left, or the study was stopped before.
    pub hot_day: Option<HotDay>,
}

/// The outside-air limit.
#[derive(Clone, Debug, PartialEq)]
pub struct OatStudy {
    /// Normal cases before failed ones, cooling before rating; a curve that nothing is asked of is left out.
    pub curves: Vec<OatCurve>,
    /// What is missing because the study was stopped, in words; empty if it is whole.
    pub missing: String,
}

impl OatStudy {
    /// Whether everything was worked out.
    pub fn is_whole(&self) -> bool {
        self.missing.is_empty()
    }
}
