//! The search at one altitude, and for cases that hold at none.

use super::judged::{AirVerdict, largest_power_w, verdict};
use super::options::OatOptions;
use super::result::{HighestAir, LimitOf, OatBinding, OatPoint};
use crate::StudyError;
use crate::infeasible::{Infeasible, Obstacle, obstacle_of};
use model::cases::Case;
use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::atomic::{AtomicBool, Ordering};

/// How closely a limit is searched, K.
pub(super) const CLOSE_K: f64 = 0.1;

/// Zero of the Celsius scale, K.
const CELSIUS_K: f64 = 273.15;

/// What the scan says of a case over all altitudes of the curve.
#[derive(Clone, Debug, Default)]
pub(super) struct Scanned {
    pub(super) cooling: Option<Infeasible>,
    pub(super) rating: Option<Infeasible>,
    pub(super) has_rating: bool,
}

impl Scanned {
    pub(super) fn of(&self, of: LimitOf) -> Option<&Infeasible> {
        match of {
            LimitOf::Cooling => self.cooling.as_ref(),
            LimitOf::Rating => self.rating.as_ref(),
        }
    }
}

/// Looks for one temperature and altitude of the scan at which a case holds, from the cold and low end; what keeps it from holding
/// anywhere, for cooling and for rating apart.
pub(super) fn scanned(
    case: &Case<'_>,
    options: &OatOptions,
    cancel: &AtomicBool,
) -> Result<Scanned, StudyError> {
    let altitudes: Vec<Altitude<'_>> =
        options.altitudes_m.iter().map(|&at_m| Altitude::new(at_m, options, cancel)).collect();
    let places = || {
        let of = |altitude| scan_k(options, case, options.to_k).into_iter().map(move |k| (altitude, k));
        altitudes.iter().flat_map(of)
    };
    let mut scanned = Scanned::default();
    let infeasible = |of: LimitOf, has_rating: &mut bool| -> Result<Option<Infeasible>, StudyError> {
        let found = obstacle_of(places(), |(altitude, oat_k)| {
            let verdict = altitude.verdict(0, case, oat_k)?;
            *has_rating |= verdict.has_rating;
            Ok(verdict.of(of).cloned())
        })?;
        Ok(found.map(|obstacle| Infeasible { case: case.name(), obstacle, tried: tried(options) }))
    };
    scanned.cooling = infeasible(LimitOf::Cooling, &mut scanned.has_rating)?;
    scanned.rating = infeasible(LimitOf::Rating, &mut scanned.has_rating)?;
    Ok(scanned)
}

fn tried(options: &OatOptions) -> String {
    let (from, to) = (options.from_k - CELSIUS_K, options.to_k - CELSIUS_K);
    format!("outside air from {from:.0} to {to:.0} degC, every altitude of the curve")
}

/// Temperatures of the coarse scan up to a temperature, which comes last.
fn scan_k(options: &OatOptions, one: &Case<'_>, to_k: f64) -> Vec<f64> {
    let step_k = options.step_k * if matches!(one, Case::Flown(_)) { 2.0 } else { 1.0 };
    let below = |index: u32| options.from_k + step_k * f64::from(index);
    let mut scan: Vec<f64> =
        (0..=u32::from(u16::MAX)).map(below).take_while(|&oat_k| oat_k < to_k - 1e-9).collect();
    scan.push(to_k);
    scan
}

/// The search at one altitude; what was judged once is kept.
pub(super) struct Altitude<'a> {
    at_m: f64,
    options: &'a OatOptions,
    cancel: &'a AtomicBool,
    /// By number of the case and bits of the temperature.
    known: RefCell<HashMap<(usize, u64), AirVerdict>>,
}

impl<'a> Altitude<'a> {
    pub(super) fn new(at_m: f64, options: &'a OatOptions, cancel: &'a AtomicBool) -> Self {
        Self { at_m, options, cancel, known: RefCell::default() }
    }

    /// The limit that some numbered cases set.
    pub(super) fn point(
        &self,
        judged: &[(usize, Case<'_>)],
        of: LimitOf,
        on_curve: bool,
    ) -> Result<OatPoint, StudyError> {
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
            if let Some((reach, obstacle)) = self.lowers(one, of, so_far_k)? {
                point.holds_again_k = self.holds_again(one, of, reach)?;
                let Obstacle { place, limit, margin, message, .. } = obstacle;
                let case = one.1.name();
                (point.reach, point.binding) =
                    (reach, Some(OatBinding { case, place, limit, margin, message }));
            }
        }
        let limiting = point.binding.as_ref().map(|binding| &binding.case);
        let asked = judged.iter().map(|(_, case)| case);
        let asked = asked.filter(|case| limiting.is_none_or(|limiting| case.name() == *limiting));
        if let Some(oat_k) = point.reach.oat_k() {
            let powers = asked.filter_map(|case| largest_power_w(case, self.at_m, oat_k));
            point.shaft_power_w = powers.filter(|&power_w| power_w > 0.0).max_by(f64::total_cmp);
        }
        Ok(point)
    }

    /// Whether the limit that some cases set is no lower than a temperature.
    pub(super) fn reaches(
        &self,
        judged: &[(usize, Case<'_>)],
        of: LimitOf,
        oat_k: f64,
    ) -> Result<bool, StudyError> {
        for one in judged {
            if self.lowers(one, of, oat_k)?.is_some() {
                return Ok(false);
            }
        }
        Ok(true)
    }

    fn verdict(&self, number: usize, case: &Case<'_>, oat_k: f64) -> Result<AirVerdict, StudyError> {
        if self.cancel.load(Ordering::Relaxed) {
            return Err(StudyError::Cancelled);
        }
        let key = (number, oat_k.to_bits());
        if let Some(known) = self.known.borrow().get(&key) {
            return Ok(known.clone());
        }
        let found = verdict(case, self.at_m, oat_k, &self.options.fly);
        self.known.borrow_mut().insert(key, found.clone());
        Ok(found)
    }

    fn short(
        &self,
        one: &(usize, Case<'_>),
        of: LimitOf,
        oat_k: f64,
    ) -> Result<Option<Obstacle>, StudyError> {
        Ok(self.verdict(one.0, &one.1, oat_k)?.of(of).cloned())
    }

    /// The limit of a case, if it lies below what all cases before it allow: the first temperature, coming from the cold, at which
    /// the case no longer holds after it did.
    fn lowers(
        &self,
        one: &(usize, Case<'_>),
        of: LimitOf,
        so_far_k: f64,
    ) -> Result<Option<(HighestAir, Obstacle)>, StudyError> {
        let mut held_k = None;
        let mut coldest: Option<Obstacle> = None;
        for oat_k in scan_k(self.options, &one.1, so_far_k) {
            match (self.short(one, of, oat_k)?, held_k) {
                (None, _) => held_k = Some(oat_k),
                (Some(short), Some(good_k)) => {
                    return self.between(one, of, good_k, (oat_k, short)).map(Some);
                }
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
        one: &(usize, Case<'_>),
        of: LimitOf,
        mut good_k: f64,
        (mut bad_k, mut short): (f64, Obstacle),
    ) -> Result<(HighestAir, Obstacle), StudyError> {
        while bad_k - good_k > CLOSE_K {
            let middle_k = f64::midpoint(good_k, bad_k);
            match self.short(one, of, middle_k)? {
                None => good_k = middle_k,
                Some(found) => (bad_k, short) = (middle_k, found),
            }
        }
        Ok((HighestAir::UpTo(good_k), short))
    }

    /// The next temperature of the scan above a limit at which the case holds.
    fn holds_again(
        &self,
        one: &(usize, Case<'_>),
        of: LimitOf,
        reach: HighestAir,
    ) -> Result<Option<f64>, StudyError> {
        let HighestAir::UpTo(limit_k) = reach else { return Ok(None) };
        let scan = scan_k(self.options, &one.1, self.options.to_k);
        for oat_k in scan.into_iter().filter(|&k| k > limit_k + CLOSE_K) {
            if self.short(one, of, oat_k)?.is_none() {
                return Ok(Some(oat_k));
            }
        }
        Ok(None)
    }
}
