//! What the pilot has time to do.

use aircraft::records::failure::LandingTimes;

/// Action of the pilot, from the least to the most pressing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Action {
    /// Site and duration are the pilot's choice.
    LandAsSoonAsPracticable,
    /// Land at the nearest site where a safe landing is reasonably assured.
    LandAsSoonAsPossible,
    /// Continuing may be fatal.
    LandImmediately,
    /// The command of the moment cannot be kept even until an immediate landing; what is flown after the failure keeps every limit.
    ReducePowerAndLandImmediately,
    /// A limit is passed, or the flight has no solution, before any landing.
    NoneInTime,
}

impl Action {
    /// Words used in files and tables.
    pub fn words(self) -> &'static str {
        match self {
            Self::LandAsSoonAsPracticable => "land as soon as practicable",
            Self::LandAsSoonAsPossible => "land as soon as possible",
            Self::LandImmediately => "land immediately",
            Self::ReducePowerAndLandImmediately => "reduce power and land immediately",
            Self::NoneInTime => "no action in time",
        }
    }
}

/// Times that the actions take until touchdown, s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimesToLand {
    /// Immediately.
    pub at_once_s: f64,
    /// As soon as possible.
    pub soon_s: f64,
    /// As soon as practicable.
    pub practicable_s: f64,
}

impl TimesToLand {
    /// The times of a policy.
    pub fn of(landing: &LandingTimes) -> Self {
        Self {
            at_once_s: landing.at_once.si(),
            soon_s: landing.soon.si(),
            practicable_s: landing.practicable.si(),
        }
    }

    /// The least pressing action whose landing comes before the limit. `limit_s` is the time until a limit is passed, if one is;
    /// `is_kept` whether what is flown after the failure keeps every limit until touchdown.
    pub fn action(&self, limit_s: Option<f64>, is_kept: bool) -> Action {
        let in_time = |landing_s: f64| limit_s.is_none_or(|limit| limit > landing_s);
        if in_time(self.practicable_s) {
            Action::LandAsSoonAsPracticable
        } else if in_time(self.soon_s) {
            Action::LandAsSoonAsPossible
        } else if in_time(self.at_once_s) {
            Action::LandImmediately
        } else if is_kept {
            Action::ReducePowerAndLandImmediately
        } else {
            Action::NoneInTime
        }
    }

    /// Time to land by an action, s.
    pub fn time_s(&self, action: Action) -> f64 {
        match action {
            Action::LandAsSoonAsPracticable => self.practicable_s,
            Action::LandAsSoonAsPossible => self.soon_s,
            Action::LandImmediately | Action::ReducePowerAndLandImmediately | Action::NoneInTime => {
                self.at_once_s
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Action, TimesToLand};

    /// Times of the policy defaults; an action must be over before the limit, not with it.
    #[test]
    fn action_follows_the_time_that_is_left() {
        let times = TimesToLand { at_once_s: 120.0, soon_s: 600.0, practicable_s: 1800.0 };
        let cases = [
            (None, true, Action::LandAsSoonAsPracticable),
            (Some(1800.1), true, Action::LandAsSoonAsPracticable),
            (Some(1800.0), true, Action::LandAsSoonAsPossible),
            (Some(600.0), true, Action::LandImmediately),
            (Some(120.0), true, Action::ReducePowerAndLandImmediately),
            (Some(120.0), false, Action::NoneInTime),
            (Some(0.0), false, Action::NoneInTime),
        ];
        for (limit_s, is_kept, expected) in cases {
            assert_eq!(times.action(limit_s, is_kept), expected, "{limit_s:?}");
        }
    }
}
