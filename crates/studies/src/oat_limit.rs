//! The outside-air limit: the highest outside-air temperature, over pressure altitude, at which every required margin holds.
//!
//! Every steady case and every mission of the project is judged with the outside air held at one temperature. A mission that
//! climbs keeps that temperature all the way up, which is the careful reading of a limit in a flight manual: the air aloft is
//! taken to be as warm as below. Of the conditions of the project only airspeed, ramp rise, sun and humidity count. Limits on the
//! cold side (least temperatures, freezing) bound the temperature from below and are not judged here.

use crate::StudyError;
use crate::missions::fly_case;
use aircraft::records::project::Project;
use aircraft::records::surroundings::{Condition, Day};
use model::assembly::Situation;
use model::case;
use model::case_name::CaseName;
use model::cases::{self, Case};
use model::estimate::PointShaftPower;
use model::mission::{FlyOptions, MissionCase};
use model::outside::Outside;
use model::result::{Margin, MarginKind, Status, reason};
use rayon::prelude::*;
use schema::{Input, InputKind};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Metres in a foot.
const FOOT_M: f64 = 0.3048;
/// How closely a limit is searched, K.
const CLOSE_K: f64 = 0.1;

/// What is searched.
#[derive(Clone, Debug, PartialEq)]
pub struct OatOptions {
    /// Lowest temperature looked at, K.
    pub from_k: f64,
    /// Highest temperature looked at, K.
    pub to_k: f64,
    /// Step of the coarse scan of steady cases, K; missions, which cost more, are scanned at twice this.
    pub step_k: f64,
    /// Pressure altitudes of the curve, rising, m; each interval is also tried half-way.
    pub altitudes_m: Vec<f64>,
    /// How missions are flown.
    pub fly: FlyOptions,
}

impl Default for OatOptions {
    /// From -20 to 60 degC; sea level to 10,000 ft in steps of 2,000 ft.
    fn default() -> Self {
        Self {
            from_k: 253.15,
            to_k: 333.15,
            step_k: 10.0,
            altitudes_m: (0..=5).map(|step| 2000.0 * FOOT_M * f64::from(step)).collect(),
            fly: FlyOptions { max_gap_s: 30.0, ..FlyOptions::default() },
        }
    }
}

impl OatOptions {
    /// Every altitude that is searched: those of the curve, and half-way between them; true marks those of the curve.
    pub fn searched_m(&self) -> Vec<(f64, bool)> {
        let mut all: Vec<(f64, bool)> = Vec::new();
        for &altitude_m in &self.altitudes_m {
            if let Some(&(before_m, _)) = all.last() {
                all.push((f64::midpoint(before_m, altitude_m), false));
            }
            all.push((altitude_m, true));
        }
        all
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

/// The limit at every altitude of the options, half-way altitudes included; `progress` is told how many altitudes are done.
///
/// # Errors
/// [`StudyError::Cancelled`] once the flag is set. A case that cannot be put together at an altitude limits the curve there.
pub fn oat_limit(
    project: &Project,
    options: &OatOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize) + Sync,
) -> Result<Vec<OatPoint>, StudyError> {
    let judged = judged_cases(project);
    let done = AtomicUsize::new(0);
    options
        .searched_m()
        .into_par_iter()
        .map(|(altitude_m, on_curve)| {
            let point = Altitude { at_m: altitude_m, options, cancel }.point(&judged, on_curve);
            progress(done.fetch_add(1, Ordering::Relaxed) + 1);
            point
        })
        .collect()
}

/// Half-way altitudes at which the limit lies below the straight line between its neighbours: there the line must not be used.
pub fn dips(points: &[OatPoint]) -> Vec<&OatPoint> {
    let below = |three: &[OatPoint]| {
        let [before, here, after] = [0, 1, 2].map(|index| three[index].reach.oat_k());
        match (before, here, after) {
            (Some(before), Some(here), Some(after)) => here < f64::midpoint(before, after) - CLOSE_K,
            (Some(_), None, Some(_)) => true,
            _ => false,
        }
    };
    points.windows(3).filter(|three| !three[1].on_curve && below(three)).map(|three| &three[1]).collect()
}

/// All that is judged. Cases that differ only in what is replaced anyway, altitude and temperature, are judged once.
fn judged_cases(project: &Project) -> Vec<Case<'_>> {
    let mut all: Vec<Case<'_>> = Vec::new();
    for one in cases::all(project) {
        if all.iter().all(|known| !are_same(known, &one)) {
            all.push(one);
        }
    }
    all
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

/// What is short at an outside air; none if everything holds.
fn short(case: &Case<'_>, altitude_m: f64, oat_k: f64, fly: &FlyOptions) -> Option<OatBinding> {
    let condition = air_at(case.condition(), altitude_m, oat_k);
    let name = case.name();
    match *case {
        Case::Steady(point) => match case::solve(&Situation { condition: &condition, ..point }) {
            Ok(r) => verdict(name, r.status, reason(r.status, &r.notices), r.margins),
            Err(problem) => {
                Some(without_state(name, &problem.path, "cannot be put together", problem.message))
            }
        },
        Case::Flown(mission) => match fly_case(&MissionCase { condition: &condition, ..mission }, fly) {
            Ok(flight) => {
                let margins = flight.margins(mission.project).into_iter().map(|timed| timed.margin).collect();
                verdict(name, flight.status, reason(flight.status, &flight.notices), margins)
            }
            Err(error) => Some(without_state(name, "mission", "cannot be flown", error.to_string())),
        },
    }
}

/// Largest power at the output shaft that a case asks for at an outside air, W.
fn largest_power_w(case: &Case<'_>, altitude_m: f64, oat_k: f64) -> Option<f64> {
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

fn without_state(case: CaseName, place: &str, limit: &str, message: String) -> OatBinding {
    OatBinding {
        case,
        place: place.to_owned(),
        limit: limit.to_owned(),
        margin: None,
        message: Some(message),
    }
}

fn verdict(
    case: CaseName,
    status: Status,
    notice: Option<&model::result::Notice>,
    margins: Vec<Margin>,
) -> Option<OatBinding> {
    if !status.can_be_judged() {
        let (place, message) = notice.map_or(("", ""), |n| (n.place.as_str(), n.message.as_str()));
        return Some(without_state(case, place, status.word(), message.to_owned()));
    }
    let hot_side = |margin: &Margin| !matches!(margin.kind, MarginKind::Minimum | MarginKind::Freezing);
    let worst = margins
        .into_iter()
        .filter(|margin| hot_side(margin) && margin.is_short())
        .min_by(Margin::worst_first)?;
    let (place, limit) = (worst.place.clone(), worst.limit.clone());
    Some(OatBinding { case, place, limit, margin: Some(worst), message: None })
}

/// The search at one altitude.
struct Altitude<'a> {
    at_m: f64,
    options: &'a OatOptions,
    cancel: &'a AtomicBool,
}

impl Altitude<'_> {
    fn point(&self, judged: &[Case<'_>], on_curve: bool) -> Result<OatPoint, StudyError> {
        let mut point = OatPoint {
            pressure_altitude_m: self.at_m,
            on_curve,
            reach: HighestAir::AtLeast(self.options.to_k),
            binding: None,
            shaft_power_w: None,
            holds_again_k: None,
        };
        for one in judged {
            let Some(so_far_k) = point.reach.oat_k() else { break };
            if let Some((reach, binding)) = self.lowers(one, so_far_k)? {
                point.holds_again_k = self.holds_again(one, reach)?;
                (point.reach, point.binding) = (reach, Some(binding));
            }
        }
        let limiting = point.binding.as_ref().map(|binding| &binding.case);
        let asked = judged.iter().filter(|case| limiting.is_none_or(|limiting| case.name() == *limiting));
        if let Some(oat_k) = point.reach.oat_k() {
            let powers = asked.filter_map(|case| largest_power_w(case, self.at_m, oat_k));
            point.shaft_power_w = powers.filter(|&power_w| power_w > 0.0).max_by(f64::total_cmp);
        }
        Ok(point)
    }

    fn short(&self, one: &Case<'_>, oat_k: f64) -> Result<Option<OatBinding>, StudyError> {
        if self.cancel.load(Ordering::Relaxed) {
            return Err(StudyError::Cancelled);
        }
        Ok(short(one, self.at_m, oat_k, &self.options.fly))
    }

    /// Temperatures of the coarse scan up to a temperature, which comes last.
    fn scan_k(&self, one: &Case<'_>, to_k: f64) -> Vec<f64> {
        let step_k = self.options.step_k * if matches!(one, Case::Flown(_)) { 2.0 } else { 1.0 };
        let below = |index: u32| self.options.from_k + step_k * f64::from(index);
        let mut scan: Vec<f64> =
            (0..=u32::from(u16::MAX)).map(below).take_while(|&oat_k| oat_k < to_k - 1e-9).collect();
        scan.push(to_k);
        scan
    }

    /// The limit of a case, if it lies below what all cases before it allow: the first temperature, coming from the cold, at which
    /// the case no longer holds after it did.
    fn lowers(&self, one: &Case<'_>, so_far_k: f64) -> Result<Option<(HighestAir, OatBinding)>, StudyError> {
        let mut held_k = None;
        let mut coldest: Option<OatBinding> = None;
        for oat_k in self.scan_k(one, so_far_k) {
            match (self.short(one, oat_k)?, held_k) {
                (None, _) => held_k = Some(oat_k),
                (Some(short), Some(good_k)) => return self.between(one, good_k, (oat_k, short)).map(Some),
                // not yet held on the way up: what is short in the cold is not yet a limit of warm air
                (Some(short), None) => coldest = coldest.or(Some(short)),
            }
        }
        Ok(coldest
            .filter(|_| held_k.is_none())
            .map(|short| (HighestAir::Nowhere(self.options.from_k), short)))
    }

    /// Halves until the limit is close; the temperature returned is one at which the case holds.
    fn between(
        &self,
        one: &Case<'_>,
        mut good_k: f64,
        (mut bad_k, mut short): (f64, OatBinding),
    ) -> Result<(HighestAir, OatBinding), StudyError> {
        while bad_k - good_k > CLOSE_K {
            let middle_k = f64::midpoint(good_k, bad_k);
            match self.short(one, middle_k)? {
                None => good_k = middle_k,
                Some(found) => (bad_k, short) = (middle_k, found),
            }
        }
        Ok((HighestAir::UpTo(good_k), short))
    }

    /// The next temperature of the scan above a limit at which the case holds.
    fn holds_again(&self, one: &Case<'_>, reach: HighestAir) -> Result<Option<f64>, StudyError> {
        let HighestAir::UpTo(limit_k) = reach else { return Ok(None) };
        for oat_k in self.scan_k(one, self.options.to_k).into_iter().filter(|&k| k > limit_k + CLOSE_K) {
            if self.short(one, oat_k)?.is_none() {
                return Ok(Some(oat_k));
            }
        }
        Ok(None)
    }
}

#[cfg(test)]
mod tests;
