//! How a margin, and a whole case, stand: the one place where a verdict is made.
//!
//! # The rule
//! ```text
//! no result        margin or required margin is no finite number
//! past the limit   margin           < 0
//! short            margin - required < 0
//! holds            else
//! ```
//! Less than [`ROUNDING`] on the scale of the ranking counts as nothing, so that the last digit of a sum decides nothing.
//!
//! # The ranking
//! By standing, worst first; within a standing by the reserve (margin less required), least first. Reserves of different units are
//! compared on one scale: a kelvin for temperatures, a per cent of the limit for every other unit, and one per cent ranks as one kelvin.
//! A limit of zero has no per cent: its required margin takes its place. Where that is zero too there is no scale, and only the sign of
//! the reserve counts: it comes first where it is negative and last where it is positive.

use crate::case_name::CaseName;
use crate::result::{CaseResult, Margin, MarginKind, Notice, Status, reason};
use std::cmp::Ordering;

/// What is not told from zero on the scale of the ranking: K, or per cent of the limit.
pub const ROUNDING: f64 = 1e-9;

/// How a margin or a case stands, worst first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// There is no number to judge.
    #[default]
    NoResult,
    /// The limit is passed.
    PastLimit,
    /// Inside the limit, by less than required.
    Short,
    /// At or above the required margin.
    Holds,
}

impl Standing {
    /// All of them, worst first.
    pub const ALL: [Self; 4] = [Self::NoResult, Self::PastLimit, Self::Short, Self::Holds];

    /// The standing of a margin against what is required of it, both on the scale of the ranking.
    fn of(margin: f64, required: f64) -> Self {
        let reserve = margin - required;
        if !margin.is_finite() || !reserve.is_finite() {
            Self::NoResult
        } else if margin < -ROUNDING {
            Self::PastLimit
        } else if reserve < -ROUNDING {
            Self::Short
        } else {
            Self::Holds
        }
    }

    /// The standing of a case by how it ended and by its worst margin; without limits it holds.
    pub fn of_case(status: Status, worst: Option<&Margin>) -> Self {
        match worst {
            _ if !status.can_be_judged() => Self::NoResult,
            Some(margin) => margin.standing(),
            None => Self::Holds,
        }
    }

    /// Word used in files.
    pub fn word(self) -> &'static str {
        match self {
            Self::NoResult => "no_result",
            Self::PastLimit => "past_limit",
            Self::Short => "short",
            Self::Holds => "holds",
        }
    }

    /// Words for people: in the window and in tables.
    pub fn words(self) -> &'static str {
        match self {
            Self::NoResult => "no result",
            Self::PastLimit => "past the limit",
            Self::Short => "short",
            Self::Holds => "holds",
        }
    }

    /// Words behind a count of them.
    pub fn counted(self, count: usize) -> &'static str {
        match self {
            Self::Holds if count != 1 => "hold",
            Self::NoResult => "without result",
            standing => standing.words(),
        }
    }

    /// Whether the required margin is kept.
    pub fn holds(self) -> bool {
        self == Self::Holds
    }

    /// What it makes of the exit code of a command: 0, or 2 where something does not hold.
    pub fn exit_code(self) -> u8 {
        if self.holds() { 0 } else { 2 }
    }
}

/// Place of a margin in the ranking; the least is the worst.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rank {
    standing: Standing,
    /// Reserve, K or per cent.
    scaled: f64,
}

impl Rank {
    /// Before every margin: a case without a state.
    pub const NO_RESULT: Self = Self { standing: Standing::NoResult, scaled: f64::NEG_INFINITY };

    /// After every margin: a case without limits.
    pub const NO_LIMITS: Self = Self { standing: Standing::Holds, scaled: f64::INFINITY };

    /// The standing by which it is ranked first.
    pub fn standing(self) -> Standing {
        self.standing
    }

    /// The reserve on the scale of the ranking: K, or per cent of the limit.
    pub fn scaled(self) -> f64 {
        self.scaled
    }
}

impl Eq for Rank {}

impl PartialOrd for Rank {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Rank {
    fn cmp(&self, other: &Self) -> Ordering {
        self.standing.cmp(&other.standing).then(self.scaled.total_cmp(&other.scaled))
    }
}

impl Margin {
    /// What is left above the required margin: negative is short.
    pub fn reserve(&self) -> f64 {
        self.margin - self.required
    }

    /// How much of its own unit ranks as one kelvin; none where neither limit nor required margin gives a scale.
    pub fn one_kelvin(&self) -> Option<f64> {
        if self.kind.unit() == "K" {
            return Some(1.0);
        }
        [self.limit_value, self.required].iter().map(|size| 0.01 * size.abs()).find(|one| *one > 0.0)
    }

    /// How it stands.
    pub fn standing(&self) -> Standing {
        self.standing_against(self.required)
    }

    /// How it would stand if another margin were required of it.
    pub fn standing_against(&self, required: f64) -> Standing {
        self.judged(self.margin, required)
    }

    /// How it would stand at another distance from the same limit.
    pub fn standing_at(&self, distance: f64) -> Standing {
        self.judged(distance, self.required)
    }

    fn judged(&self, distance: f64, required: f64) -> Standing {
        let one = self.one_kelvin().unwrap_or(1.0);
        Standing::of(distance / one, required / one)
    }

    /// A reserve in its own unit on the scale of the ranking: K, or per cent of the limit.
    pub fn on_scale(&self, reserve: f64) -> f64 {
        match self.one_kelvin() {
            Some(one) => reserve / one,
            None if reserve == 0.0 => 0.0,
            None => reserve.signum() * f64::INFINITY,
        }
    }

    /// What the rule itself asks: 14 CFR 27.1041 and 27.1043 want component and fluid temperatures at or below their maxima, without a
    /// margin, in a corrected test. This says whether the prediction is there; it is no evidence of a test. None for every other limit.
    pub fn rule_standing(&self) -> Option<Standing> {
        (self.kind == MarginKind::Maximum).then(|| self.standing_against(0.0))
    }

    /// Whether the required margin is not kept, or there is no number.
    pub fn is_short(&self) -> bool {
        !self.standing().holds()
    }

    /// Its place in the ranking.
    pub fn rank(&self) -> Rank {
        self.rank_against(self.required)
    }

    /// Its place in the ranking if another margin were required of it.
    pub fn rank_against(&self, required: f64) -> Rank {
        match self.standing_against(required) {
            Standing::NoResult => Rank::NO_RESULT,
            // no minus before nothing: both zeros are the same place
            standing => Rank { standing, scaled: self.on_scale(self.margin - required) + 0.0 },
        }
    }

    /// The order of margins everywhere.
    pub fn worst_first(a: &Self, b: &Self) -> Ordering {
        a.rank().cmp(&b.rank())
    }
}

/// How a whole case stands, steady or flown, and why.
#[derive(Clone, Debug)]
pub struct CaseStanding<'a> {
    /// The case.
    pub case: &'a CaseName,
    /// How it stands: no result without a state, else as its worst margin; without limits it holds.
    pub standing: Standing,
    /// What it rests on.
    pub why: Why<'a>,
}

/// What the standing of a case rests on.
#[derive(Clone, Copy, Debug)]
pub enum Why<'a> {
    /// There is no state to judge: how the solve or flight ended, and the notice that says why.
    NoState(Status, Option<&'a Notice>),
    /// Its worst margin, with its time in a mission, s.
    Margin(&'a Margin, Option<f64>),
    /// It has no limits.
    NoLimits,
}

impl<'a> CaseStanding<'a> {
    /// The verdict on a case from how it ended, what is told of it, and its margins with their times.
    pub fn of(
        case: &'a CaseName,
        status: Status,
        notices: &'a [Notice],
        margins: impl IntoIterator<Item = (&'a Margin, Option<f64>)>,
    ) -> Self {
        let worst = margins.into_iter().min_by(|a, b| Margin::worst_first(a.0, b.0));
        let why = match worst {
            _ if !status.can_be_judged() => Why::NoState(status, reason(status, notices)),
            Some((margin, time_s)) => Why::Margin(margin, time_s),
            None => Why::NoLimits,
        };
        Self { case, standing: Standing::of_case(status, worst.map(|(margin, _)| margin)), why }
    }

    /// Its place among cases and margins; a case without limits comes last.
    pub fn rank(&self) -> Rank {
        match self.why {
            Why::NoState(..) => Rank::NO_RESULT,
            Why::Margin(margin, _) => margin.rank(),
            Why::NoLimits => Rank::NO_LIMITS,
        }
    }

    /// The worst of several; of equals the first.
    pub fn worst(all: impl IntoIterator<Item = Self>) -> Option<Self> {
        all.into_iter().min_by_key(Self::rank)
    }
}

impl CaseResult {
    /// How this case stands.
    pub fn standing(&self) -> CaseStanding<'_> {
        let margins = self.margins.iter().map(|margin| (margin, None));
        CaseStanding::of(&self.case, self.status, &self.notices, margins)
    }
}

#[cfg(test)]
mod tests;
