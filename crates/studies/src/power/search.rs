//! The greatest power at the output shaft that no bound forbids.

use super::bounds::{Bound, LIFE_USED, bounds};
use super::setup::{Lost, Setup};
use aircraft::records::powertrain::{Motor, Rating};
use aircraft::records::study::{Point, PointPower};
use aircraft::records::surroundings::Condition;
use model::assembly::Situation;
use model::case::Beside;
use model::rating;
use model::result::{CaseResult, ElectricResult, WORTH_A_WORD_W, reason};
use schema::Input;

/// How closely a bound is met, as a share of it.
const CLOSE: f64 = 1e-6;
/// Where the search begins if no rating says, W.
const UNRATED_W: f64 = 100e3;
/// Cases solved at most for one power.
const STEPS: usize = 40;

/// Power that is there at a rating.
#[derive(Clone, Debug, PartialEq)]
pub struct RatedPower {
    /// Name of the rating; empty where motors state none.
    pub name: String,
    /// Power at the output shaft, W; none where nothing bounds it.
    pub power_w: Option<f64>,
    /// How long it is allowed for, s; none is always.
    pub time_s: Option<f64>,
    /// What forbids more.
    pub limited_by: String,
}

impl RatedPower {
    /// How long it is allowed for, s: infinite where there is no limit.
    pub fn lasts_s(&self) -> f64 {
        self.time_s.unwrap_or(f64::INFINITY)
    }
}

/// The power that lasts longest, of those the greatest.
pub(super) fn longest(there: &[RatedPower]) -> Option<&RatedPower> {
    let key = |rated: &RatedPower| (rated.lasts_s(), rated.power_w.unwrap_or(0.0));
    there.iter().max_by(|a, b| {
        let (a, b) = (key(a), key(b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    })
}

/// The greatest power that lasts so long, W; without a time, of any rating.
pub(super) fn there_for_w(there: &[RatedPower], for_s: Option<f64>) -> f64 {
    let long = there.iter().filter(|rated| for_s.is_none_or(|for_s| rated.lasts_s() >= for_s));
    long.filter_map(|rated| rated.power_w).fold(0.0, f64::max)
}

/// What a case at some power says.
enum Probe {
    /// It has no state.
    Without(String),
    /// The bound that is used most, and the power that arrives once a derate has taken its part, W.
    Solved { bound: Option<Bound>, arrives_w: f64, derate: String },
}

/// The search at one condition with one loss.
struct Search<'a> {
    setup: &'a Setup<'a>,
    condition: &'a Condition,
    lost: &'a Lost,
    rating: Option<&'a str>,
    beside: &'a Beside,
}

impl Setup<'_> {
    /// Power that is there at every rating, the greatest first.
    pub(super) fn there(&self, condition: &Condition, lost: &Lost, beside: &Beside) -> Vec<RatedPower> {
        let nothing = |why: &str| {
            vec![RatedPower {
                name: String::new(),
                power_w: Some(0.0),
                time_s: None,
                limited_by: why.to_owned(),
            }]
        };
        if matches!(lost, Lost::All) {
            return nothing("the pack and the high-voltage bus are shared: all power is lost");
        }
        let search = Search { setup: self, condition, lost, rating: None, beside };
        let point = search.point(0.0);
        let situation = search.situation(&point);
        let left: Vec<&Motor> =
            self.powertrain.motors.iter().filter(|motor| is_in_service(&situation, motor)).collect();
        if left.is_empty() {
            return nothing("no motor is left: all power is lost");
        }
        let names = self.rating_names(&left, lost);
        let mut there: Vec<RatedPower> = if names.is_empty() {
            vec![search.rated(None, &situation, &left)]
        } else {
            let one = |name| Search { rating: Some(name), ..search }.rated(Some(name), &situation, &left);
            names.into_iter().map(one).collect()
        };
        there.sort_by(|a, b| b.power_w.unwrap_or(0.0).total_cmp(&a.power_w.unwrap_or(0.0)));
        there
    }

    /// Names of the ratings. The sound aircraft has no use of those that only failures name.
    fn rating_names<'b>(&self, motors: &[&'b Motor], lost: &Lost) -> Vec<&'b str> {
        let project = self.project;
        let is_of_failures = |name: &str| {
            let of_points = project.points.iter().filter_map(|point| point.rating.as_deref());
            let segments = project.missions.iter().flat_map(|mission| &mission.segments);
            let mut flown = of_points.chain(segments.filter_map(|segment| segment.rating.as_deref()));
            let mut failures = project.failures.iter().filter_map(|failure| failure.rating.as_deref());
            failures.any(|used| used == name) && !flown.any(|used| used == name)
        };
        let mut names: Vec<&str> = Vec::new();
        for name in motors.iter().flat_map(|motor| &motor.ratings).map(|rating| rating.name.as_str()) {
            let is_named = lost.failure().is_some_and(|failure| failure.rating.as_deref() == Some(name));
            let is_free = lost.is_one_out() || is_named || !is_of_failures(name);
            if is_free && !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }
}

fn is_in_service(situation: &Situation<'_>, motor: &Motor) -> bool {
    let name = motor.name.as_str();
    let has_sets = motor.winding_sets() > situation.winding_sets_out(name);
    motor.share.si() > 0.0 && has_sets && !situation.is_motor_out(name)
}

impl<'a> Search<'a> {
    /// The point that is flown, with another power at the output shaft, at the lowest charge and with an old pack.
    fn point(&self, output_w: f64) -> Point {
        let mut point = self.setup.point.clone();
        if let Ok(power) = Input::from_si(output_w, "W") {
            point.shaft_power = PointPower::Fixed(power);
        }
        point.life_used = Input::from_si(LIFE_USED, "").ok();
        if let Some(charge) = self.setup.state_of_charge.and_then(|charge| Input::from_si(charge, "").ok()) {
            point.state_of_charge = charge;
        }
        point.rating = None;
        point
    }

    fn situation<'b>(&self, point: &'b Point) -> Situation<'b>
    where
        'a: 'b,
    {
        let Self { setup, condition, lost, .. } = *self;
        Situation { project: setup.project, condition, point, failure: lost.failure() }
    }

    fn probe(&self, output_w: f64) -> Probe {
        let point = self.point(output_w);
        let situation = self.situation(&point);
        match self.beside.solve(&situation) {
            Ok(result) => self.solved(&situation, &result, output_w),
            Err(problem) => Probe::Without(problem.message),
        }
    }

    fn solved(&self, situation: &Situation<'_>, result: &CaseResult, output_w: f64) -> Probe {
        let electric = result.electric.as_ref().filter(|_| result.status.can_be_judged());
        let Some(electric) = electric else {
            let place = reason(result.status, &result.notices).map_or("", |notice| notice.place.as_str());
            let word = result.status.word().replace('_', " ");
            return Probe::Without(format!("above it there is no steady state: {word}, {place}"));
        };
        let air_k = Setup::outside(self.condition).map_or(f64::NAN, |outside| outside.air_k);
        let coldest_k = self.setup.coldest_k(self.condition, air_k);
        let found = bounds(self.setup, situation, electric, (self.rating, coldest_k));
        Probe::Solved {
            bound: found.into_iter().max_by(|a, b| a.used.total_cmp(&b.used)),
            arrives_w: output_w - derated_w(electric),
            derate: self.derate(electric),
        }
    }

    /// What derates take, in words.
    fn derate(&self, electric: &ElectricResult) -> String {
        if derated_w(electric) <= WORTH_A_WORD_W {
            return String::new();
        }
        let motors = self.setup.powertrain.motors.iter().zip(&electric.reading.drives);
        let names = motors.filter(|(_, state)| state.point.is_some() && state.derate < 1.0);
        let names: Vec<&str> = names.map(|(motor, _)| motor.name.as_str()).collect();
        format!("derate of {} takes {:.1} kW; ", names.join(", "), 1e-3 * derated_w(electric))
    }

    /// The greatest power at one rating.
    fn rated(&self, name: Option<&str>, situation: &Situation<'_>, left: &[&Motor]) -> RatedPower {
        let ratings: Vec<&Rating> = left.iter().filter_map(|motor| motor.rating(name)).collect();
        let times = ratings.iter().filter_map(|rating| rating.duration.as_ref()).map(|time| time.si());
        let caps: Option<f64> = left.iter().map(|m| rating::cap_w(situation, m, m.rating(name))).sum();
        let (power_w, limited_by) = self.greatest(caps.unwrap_or(UNRATED_W));
        RatedPower {
            name: name.unwrap_or_default().to_owned(),
            power_w,
            time_s: times.min_by(f64::total_cmp),
            limited_by,
        }
    }

    /// The power at which the first bound is used up, W, and its name. What is used of a bound grows with the power, nearly in proportion, so
    /// that dividing by it comes close at once; where that leads outside what is known, and where there is no state, halving does.
    fn greatest(&self, start_w: f64) -> (Option<f64>, String) {
        let (mut low_w, mut high): (f64, Option<(f64, String)>) = (0.0, None);
        let mut arrives = 0.0;
        let mut power_w = start_w;
        for _ in 0..STEPS {
            let mut next_w = None;
            match self.probe(power_w) {
                Probe::Without(why) => high = Some((power_w, why)),
                Probe::Solved { bound: None, .. } => {
                    return (None, "nothing that is stated bounds it".to_owned());
                }
                Probe::Solved { bound: Some(bound), arrives_w, derate } => {
                    let by = format!("{derate}{}", bound.by);
                    if (bound.used - 1.0).abs() <= CLOSE {
                        return (Some(arrives_w), by);
                    }
                    next_w = Some(power_w / bound.used);
                    if bound.used < 1.0 {
                        (low_w, arrives) = (power_w, arrives_w);
                    } else {
                        high = Some((power_w, by));
                    }
                }
            }
            let end_w = high.as_ref().map_or(f64::INFINITY, |(end_w, _)| *end_w);
            if end_w - low_w <= CLOSE * end_w {
                break;
            }
            let is_inside = |next_w: &f64| *next_w > low_w && *next_w < end_w && next_w.is_finite();
            power_w = next_w
                .filter(is_inside)
                .unwrap_or_else(|| f64::midpoint(low_w, end_w.min(2.0 * low_w + start_w)));
        }
        match high {
            // without a state even at next to no power there is nothing to tell
            Some((_, why)) if low_w <= 0.0 => {
                (None, format!("no result: {why}; judged over time by `failures`"))
            }
            high => (Some(arrives.max(0.0)), high.map_or_else(String::new, |(_, by)| by)),
        }
    }
}

/// Power that derates take, W. What a control allows at most is a bound of its own.
fn derated_w(electric: &ElectricResult) -> f64 {
    let taken = electric.reading.drives.iter().filter(|state| state.point.is_some());
    taken.map(|state| (1.0 - state.derate) * state.asked_w).sum()
}
