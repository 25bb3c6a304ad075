//! One case at one outside air: what limits of cooling and what limits of rating say.

use super::options::{CaseSet, OatOptions};
use super::result::LimitOf;
use crate::StudyError;
use crate::infeasible::{Obstacle, is_rating};
use crate::missions::fly_case;
use aircraft::records::project::Project;
use aircraft::records::surroundings::{Condition, Day};
use model::assembly::Situation;
use model::case;
use model::cases::{self, Case};
use model::estimate::PointShaftPower;
use model::mission::{FlyOptions, MissionCase};
use model::outside::Outside;
use model::result::{Margin, MarginKind, Notice, Status, reason};
use schema::{Input, InputKind};

/// What stands in the way of a case at an outside air.
#[derive(Clone, Debug, Default)]
pub(super) struct AirVerdict {
    cooling: Option<Obstacle>,
    rating: Option<Obstacle>,
    /// Whether the case has a rating that can be judged, or a pack that can deliver too little.
    pub(super) has_rating: bool,
}

impl AirVerdict {
    pub(super) fn of(&self, of: LimitOf) -> Option<&Obstacle> {
        match of {
            LimitOf::Cooling => self.cooling.as_ref(),
            LimitOf::Rating => self.rating.as_ref(),
        }
    }

    /// Without a state nothing is cooled. What the pack cannot deliver is performance as well.
    fn without_state(obstacle: Obstacle, status: Option<Status>) -> Self {
        let is_power = status == Some(Status::InsufficientPackPower);
        let rating = is_power.then(|| obstacle.clone());
        Self { cooling: Some(obstacle), rating, has_rating: is_power }
    }
}

/// The set that a case belongs to.
pub(super) fn set_of(case: &Case<'_>) -> CaseSet {
    if case.name().failure.is_some() { CaseSet::Failed } else { CaseSet::Normal }
}

/// All that is judged, steady cases before missions. Cases that differ only in what is replaced anyway, altitude and temperature, are
/// judged once.
///
/// # Errors
/// [`StudyError::UnknownCase`].
pub(super) fn judged_cases<'a>(
    project: &'a Project,
    options: &OatOptions,
) -> Result<Vec<Case<'a>>, StudyError> {
    let wanted = crate::solving::picked(cases::all(project), &options.cases, &options.without)?;
    let mut all: Vec<Case<'a>> = Vec::new();
    for one in wanted.into_iter().filter(|one| options.sets.contains(&set_of(one))) {
        if all.iter().all(|known| !are_same(known, &one)) {
            all.push(one);
        }
    }
    // what the quick ones allow is as far as a mission has to be looked at
    all.sort_by_key(|one| matches!(one, Case::Flown(_)));
    Ok(all)
}

/// Whether two cases differ only in the altitude and the temperature of the air.
fn are_same(one: &Case<'_>, other: &Case<'_>) -> bool {
    let of = |c: &Condition| {
        [c.airspeed.si(), c.ramp_rise.si(), c.sun.si(), c.humidity.as_ref().map_or(-1.0, |h| h.si())]
    };
    let (first, second) = (one.name(), other.name());
    one.steady().is_some() == other.steady().is_some()
        && (first.point, first.failure) == (second.point, second.failure)
        && of(one.condition()) == of(other.condition())
}

/// What is short at an outside air.
pub(super) fn verdict(case: &Case<'_>, altitude_m: f64, oat_k: f64, fly: &FlyOptions) -> AirVerdict {
    let condition = air_at(case.condition(), altitude_m, oat_k);
    match *case {
        Case::Steady(point) => match case::solve(&Situation { condition: &condition, ..point }) {
            Ok(r) => {
                let margins = r.margins.into_iter().map(|margin| (margin, None)).collect();
                of_margins(r.status, reason(r.status, &r.notices), margins)
            }
            Err(problem) => AirVerdict::without_state(
                Obstacle::without_state(&problem.path, "cannot be put together", problem.message),
                None,
            ),
        },
        Case::Flown(mission) => match fly_case(&MissionCase { condition: &condition, ..mission }, fly) {
            Ok(flight) => {
                let timed = flight.margins(mission.project).into_iter();
                let margins = timed.map(|timed| (timed.margin, Some(timed.time_s))).collect();
                of_margins(flight.status, reason(flight.status, &flight.notices), margins)
            }
            Err(error) => AirVerdict::without_state(
                Obstacle::without_state("mission", "cannot be flown", error.to_string()),
                None,
            ),
        },
    }
}

fn of_margins(status: Status, notice: Option<&Notice>, margins: Vec<(Margin, Option<f64>)>) -> AirVerdict {
    if !status.can_be_judged() {
        let (place, message) = notice.map_or(("", ""), |n| (n.place.as_str(), n.message.as_str()));
        let obstacle = Obstacle::without_state(place, status.word(), message.to_owned());
        return AirVerdict::without_state(obstacle, Some(status));
    }
    let mut verdict = AirVerdict::default();
    for (margin, time_s) in margins {
        // limits on the cold side bound the temperature from below
        if matches!(margin.kind, MarginKind::Minimum | MarginKind::Freezing) {
            continue;
        }
        let is_rating = is_rating(margin.kind);
        verdict.has_rating |= is_rating;
        let worst = if is_rating { &mut verdict.rating } else { &mut verdict.cooling };
        let is_worse = |known: &Obstacle| {
            known.margin.as_ref().is_none_or(|known| Margin::worst_first(&margin, known).is_lt())
        };
        if margin.is_short() && worst.as_ref().is_none_or(is_worse) {
            *worst = Some(Obstacle::short(margin, time_s));
        }
    }
    verdict
}

/// Largest power at the output shaft that a case asks for at an outside air, W.
pub(super) fn largest_power_w(case: &Case<'_>, altitude_m: f64, oat_k: f64) -> Option<f64> {
    let condition = air_at(case.condition(), altitude_m, oat_k);
    match *case {
        Case::Steady(Situation { project, point, .. }) => {
            let outside = Outside::of(&condition, point).ok()?;
            let power = PointShaftPower::of(project.craft.as_ref(), point, &outside).ok()?;
            Some(power.shaft_power_w())
        }
        Case::Flown(mission) => {
            let schedule =
                model::mission::schedule(&MissionCase { condition: &condition, ..mission }).ok()?;
            let pieces = schedule.steps.iter().flat_map(|step| &step.pieces);
            let instants = pieces.flat_map(|piece| std::iter::once(&piece.from).chain(&piece.to));
            instants.map(|instant| instant.commanded.shaft_power_w).max_by(f64::total_cmp)
        }
    }
}

/// The condition with the air held at a temperature.
pub(crate) fn air_at(condition: &Condition, altitude_m: f64, oat_k: f64) -> Condition {
    Condition {
        day: Day::Fixed(input(oat_k, "K")),
        offset: input(0.0, "K"),
        pressure_altitude: input(altitude_m, "m"),
        ..condition.clone()
    }
}

/// A number of the study as an input.
fn input<K: InputKind>(si: f64, unit: &str) -> Input<K> {
    Input::from_si(si, unit)
        .expect("altitudes and temperatures of a search are finite, and these are units of the kind")
}
