//! Which rating of the motors a case is flown at, and which temperature limits go with it.
//!
//! A steady state lasts, so only a rating without a time limit carries it. A point, or a failure, that names a rating says
//! that its time is kept in another way; the limits of that rating hold then (27.1521(b)(4): a take-off power that lasts
//! longer than two minutes has its own temperature limits).

use crate::assembly::Situation;
use crate::evidence::RequiredBy;
use aircraft::records::powertrain::{Motor, Rating};

use crate::result::{CaseResult, Margin, MarginKind};
use aircraft::records::component::{Bound, Limit};
use aircraft::records::device::{Side, StationLimit};

/// Name of the rating that a case is flown at; none where it has to last. That of the failure goes before that of the point.
pub fn of_case<'a>(situation: &Situation<'a>) -> Option<&'a str> {
    let of_failure = situation.failure.and_then(|failure| failure.rating.as_deref());
    of_failure.or(situation.point.rating.as_deref())
}

/// Power that a motor in service may give, W: that of a rating and of its control, whichever is less. With winding sets out it is their share of the
/// rating that is left, which errs towards less power, unless the failure names the rating: then it is stated for what is left. None where
/// nothing bounds it.
pub fn cap_w(situation: &Situation<'_>, motor: &Motor, rating: Option<&Rating>) -> Option<f64> {
    let rated_w = rating.map(|rating| left_share(situation, motor, rating) * rating.power.si());
    let most_w = motor.most_power.as_ref().map(|most| most.si());
    rated_w.into_iter().chain(most_w).min_by(f64::total_cmp)
}

/// Share of a rating that is left to a motor after the loss of winding sets.
pub fn left_share(situation: &Situation<'_>, motor: &Motor, rating: &Rating) -> f64 {
    let of_failure = situation.failure.and_then(|failure| failure.rating.as_deref());
    if of_failure == Some(rating.name.as_str()) {
        return 1.0;
    }
    let sets = motor.winding_sets();
    let left = sets.saturating_sub(situation.winding_sets_out(motor.name.as_str()));
    left as f64 / sets as f64
}

/// A limit that may belong to a rating.
pub trait Rated {
    /// The rating it belongs to.
    fn rating(&self) -> Option<&str>;
    /// Whether both judge the same value from the same side.
    fn judges_like(&self, other: &Self) -> bool;
}

impl Rated for Limit {
    fn rating(&self) -> Option<&str> {
        self.rating.as_deref()
    }
    fn judges_like(&self, other: &Self) -> bool {
        is_same_bound(&self.bound, &other.bound) && self.on_hot_spot == other.on_hot_spot
    }
}

impl Rated for StationLimit {
    fn rating(&self) -> Option<&str> {
        self.rating.as_deref()
    }
    fn judges_like(&self, other: &Self) -> bool {
        let same_side =
            matches!((&self.side, &other.side), (Side::Inlet, Side::Inlet) | (Side::Outlet, Side::Outlet));
        self.device == other.device && same_side && is_same_bound(&self.bound, &other.bound)
    }
}

fn is_same_bound(one: &Bound, other: &Bound) -> bool {
    matches!((one, other), (Bound::Maximum, Bound::Maximum) | (Bound::Minimum, Bound::Minimum))
}

/// The limits that hold at a rating: its own, and those of no rating that none of its own stands in for.
pub fn in_force<'a, L: Rated>(limits: &'a [L], rating: Option<&'a str>) -> impl Iterator<Item = &'a L> {
    let own = move |limit: &L| rating.is_some() && limit.rating() == rating;
    limits.iter().filter(move |limit| {
        own(limit)
            || (limit.rating().is_none()
                && !limits.iter().any(|other| own(other) && other.judges_like(limit)))
    })
}

/// Distance of one value of a motor to its rating.
pub(crate) fn rated(
    motor: &str,
    rating: &Rating,
    what: &str,
    kind: MarginKind,
    value: f64,
    limit_value: f64,
    source: Option<String>,
) -> Margin {
    Margin {
        place: motor.to_owned(),
        limit: format!("{} {what}", rating.name.as_str()),
        kind,
        value,
        limit_value,
        nominal_limit: None,
        margin: limit_value - value,
        required: 0.0,
        required_by: RequiredBy::Nothing,
        source,
        owner: None,
    }
}

/// How long each motor has been above its largest lasting rating, instant by instant of a run over time. A rating with a time
/// limit stands in for the lasting one only for its time, and only so many times in a flight.
#[derive(Clone, Debug, Default)]
pub struct RatingClock {
    uses: Vec<Use>,
}

#[derive(Clone, Copy, Debug, Default)]
struct Use {
    /// Start of the use that runs, s.
    since_s: Option<f64>,
    /// Uses begun.
    count: usize,
}

impl RatingClock {
    /// The margins to the lasting ratings of the motors that have used a rating for longer or more often than it allows. Called at
    /// rising times.
    pub fn overrun(&mut self, situation: &Situation<'_>, result: &CaseResult, time_s: f64) -> Vec<Margin> {
        let (Some(powertrain), Some(electric)) = (&situation.project.powertrain, &result.electric) else {
            return Vec::new();
        };
        self.uses.resize(powertrain.motors.len(), Use::default());
        let used = of_case(situation);
        let mut overrun = Vec::new();
        for ((motor, state), clock) in powertrain.motors.iter().zip(&electric.motors).zip(&mut self.uses) {
            let (Some(lasting), Some(rating)) = (motor.rating(None), motor.rating(used)) else {
                continue;
            };
            let lasting_w = lasting.power.si();
            let duration_s = rating.duration.as_ref().map(|duration| duration.si());
            let (Some(duration_s), true) = (duration_s, state.shaft_power_w > lasting_w) else {
                clock.since_s = None;
                continue;
            };
            if clock.since_s.is_none() {
                clock.count += 1;
            }
            let since_s = *clock.since_s.get_or_insert(time_s);
            let is_too_often = rating.uses.is_some_and(|uses| clock.count > uses);
            if is_too_often || time_s - since_s > duration_s + 1e-6 {
                let source = lasting.power.source().map(str::to_owned);
                let (kind, value) = (MarginKind::Rating, state.shaft_power_w);
                overrun.push(rated(&state.name, lasting, "power", kind, value, lasting_w, source));
            }
        }
        overrun
    }
}
