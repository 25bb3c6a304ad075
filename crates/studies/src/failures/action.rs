//! What the pilot does, and why.

use aircraft::records::failure::LandingTimes;
use model::standing::Standing;

/// Action of the pilot, from the least to the most pressing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Action {
    /// The mission goes on: every required margin is kept to its end.
    #[default]
    None,
    /// Site and duration are the pilot's choice.
    AsSoonAsPracticable,
    /// Land at the nearest site where a safe landing is reasonably assured.
    AsSoonAsPossible,
    /// Continuing may be fatal.
    Immediately,
}

impl Action {
    /// Word used in files.
    pub fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::AsSoonAsPracticable => "as_soon_as_practicable",
            Self::AsSoonAsPossible => "as_soon_as_possible",
            Self::Immediately => "immediately",
        }
    }

    /// Words for people: in the window and in tables.
    pub fn words(self) -> &'static str {
        match self {
            Self::None => "no action",
            Self::AsSoonAsPracticable => "land as soon as practicable",
            Self::AsSoonAsPossible => "land as soon as possible",
            Self::Immediately => "land immediately",
        }
    }
}

/// Why the pilot does it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reason {
    /// Danger at once, whatever the temperatures.
    Hazard,
    /// A required margin is lost after so long.
    Time,
    /// What stood by is gone.
    Redundancy,
}

impl Reason {
    /// Word, used in files and in words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Hazard => "hazard",
            Self::Time => "time",
            Self::Redundancy => "redundancy",
        }
    }
}

/// What is asked of the pilot, and by what.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Asked {
    /// Action.
    pub(super) action: Action,
    /// By what.
    pub(super) reason: Reason,
    /// What is to be said of it; empty where nothing is.
    pub(super) note: String,
}

/// The most pressing of several, of equals the first; none without any.
pub(super) fn most_pressing(all: &[Asked]) -> (Action, Option<Reason>) {
    let most = all.iter().rev().max_by_key(|asked| asked.action);
    most.map_or((Action::None, None), |asked| (asked.action, Some(asked.reason)))
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

/// What is left after a failure: the least of all moments, with the command of the moment kept and with what is flown after.
#[derive(Clone, Copy, Debug)]
pub(super) struct Left {
    /// Time until a required margin is lost, s; none if none is.
    pub(super) required_s: Option<f64>,
    /// Time until a limit is passed, s; none if none is.
    pub(super) limit_s: Option<f64>,
    /// How what is flown after the failure stands until touchdown.
    pub(super) flown: Standing,
    /// What is flown after the failure is the rest of the mission.
    pub(super) is_rest: bool,
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

    /// The least pressing action whose landing comes before a required margin is lost. None where nothing is lost and the mission was
    /// flown to its end.
    pub(super) fn asked(&self, left: &Left) -> Option<Asked> {
        let asked = |action, note: &str| Some(Asked { action, reason: Reason::Time, note: note.to_owned() });
        let before = |time_s: Option<f64>, landing_s: f64| time_s.is_none_or(|time_s| time_s > landing_s);
        match left.required_s {
            None if left.is_rest => None,
            None => asked(
                Action::AsSoonAsPracticable,
                "the rest of the mission is not flown after this failure: only the landing is shown to hold",
            ),
            required_s if before(required_s, self.practicable_s) => asked(Action::AsSoonAsPracticable, ""),
            required_s if before(required_s, self.soon_s) => asked(Action::AsSoonAsPossible, ""),
            required_s if before(required_s, self.at_once_s) => asked(Action::Immediately, ""),
            _ if before(left.limit_s, self.at_once_s) => asked(
                Action::Immediately,
                "landing immediately keeps every limit, but not every required margin",
            ),
            _ => asked(Action::Immediately, less_power(left.flown)),
        }
    }

    /// Time to land by an action, s; none where nothing is done.
    pub fn time_s(&self, action: Action) -> Option<f64> {
        match action {
            Action::None => None,
            Action::AsSoonAsPracticable => Some(self.practicable_s),
            Action::AsSoonAsPossible => Some(self.soon_s),
            Action::Immediately => Some(self.at_once_s),
        }
    }
}

/// What is said where the command of the moment, or what is flown after it, passes a limit before even an immediate landing.
fn less_power(flown: Standing) -> &'static str {
    match flown {
        Standing::Holds => {
            "reduce power and land immediately: the power of the moment cannot be kept; what is flown after the failure keeps every \
             required margin"
        }
        Standing::Short => {
            "reduce power and land immediately: the power of the moment cannot be kept; what is flown after the failure keeps every \
             limit, but not every required margin"
        }
        Standing::PastLimit => {
            "no action in time: what is flown after the failure passes a limit before touchdown"
        }
        Standing::NoResult => {
            "no action in time: what is flown after the failure has no result until touchdown"
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Action, Asked, Left, Reason, TimesToLand, most_pressing};
    use model::standing::Standing::{self, Holds, PastLimit, Short};

    const TIMES: TimesToLand = TimesToLand { at_once_s: 120.0, soon_s: 600.0, practicable_s: 1800.0 };

    fn asked(required_s: Option<f64>, limit_s: Option<f64>, flown: Standing) -> (Action, String) {
        let asked = TIMES.asked(&Left { required_s, limit_s, flown, is_rest: true });
        asked.map_or((Action::None, String::new()), |asked| (asked.action, asked.note))
    }

    /// Times of the policy defaults; an action must be over before the required margin is lost, not with it. The bare limit, which is
    /// passed later, makes no action gentler.
    #[test]
    fn action_follows_the_time_to_the_required_margin() {
        let cases = [
            (None, None, Action::None),
            (Some(1800.1), None, Action::AsSoonAsPracticable),
            (Some(1800.0), None, Action::AsSoonAsPossible),
            (Some(600.0), Some(2000.0), Action::Immediately),
            (Some(120.1), Some(2000.0), Action::Immediately),
        ];
        for (required_s, limit_s, expected) in cases {
            assert_eq!(asked(required_s, limit_s, Holds), (expected, String::new()), "{required_s:?}");
        }
    }

    #[test]
    fn what_an_immediate_landing_does_not_keep_is_said() {
        let says = |required_s, limit_s, flown, words: &str| {
            let (action, note) = asked(Some(required_s), Some(limit_s), flown);
            assert!(action == Action::Immediately && note.contains(words), "{action:?} {note}");
        };
        says(120.0, 121.0, Short, "not every required margin");
        says(0.0, 120.0, Holds, "reduce power");
        says(0.0, 120.0, Short, "reduce power");
        says(0.0, 0.0, PastLimit, "no action in time");
    }

    /// A landing that is flown in place of the mission shows nothing about the mission.
    #[test]
    fn a_mission_that_is_not_flown_on_is_not_gone_on_with() {
        let left = Left { required_s: None, limit_s: None, flown: Holds, is_rest: false };
        assert_eq!(TIMES.asked(&left).map(|asked| asked.action), Some(Action::AsSoonAsPracticable));
    }

    #[test]
    fn the_most_pressing_decides_and_of_equals_the_first() {
        let asked = |action, reason| Asked { action, reason, note: String::new() };
        let time = asked(Action::Immediately, Reason::Time);
        let hazard = asked(Action::Immediately, Reason::Hazard);
        let standby = asked(Action::AsSoonAsPracticable, Reason::Redundancy);
        assert_eq!(most_pressing(&[]), (Action::None, None));
        let all = [standby.clone(), hazard, time];
        assert_eq!(most_pressing(&all), (Action::Immediately, Some(Reason::Hazard)));
        assert_eq!(most_pressing(&[standby]), (Action::AsSoonAsPracticable, Some(Reason::Redundancy)));
    }
}
