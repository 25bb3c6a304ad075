//! Where the limit meets the hot-day line of 14 CFR 27.1043(b).

use super::options::OatOptions;
use super::result::{HotDay, LimitOf, OatPoint};
use super::search::Altitude;
use crate::StudyError;
use media::atmosphere::{self, Day};
use model::cases::Case;
use std::sync::atomic::AtomicBool;

/// How closely the altitude is searched, m: 30 ft.
const CLOSE_M: f64 = 10.0;

/// Hot day of 14 CFR 27.1043(b) at a pressure altitude, K; none above what the atmosphere covers.
pub fn hot_day_k(pressure_altitude_m: f64) -> Option<f64> {
    atmosphere::at(&Day::HotDay27_1043, pressure_altitude_m).ok().map(|air| air.temperature_k)
}

/// The highest altitude up to which some cases hold on the hot day, coming from the lowest. At the altitude returned they do.
pub(super) fn met(
    judged: &[(usize, Case<'_>)],
    of: LimitOf,
    points: &[OatPoint],
    options: &OatOptions,
    cancel: &AtomicBool,
) -> Result<Option<HotDay>, StudyError> {
    let mut good_m = None;
    for point in points {
        let at_m = point.pressure_altitude_m;
        let Some(hot_k) = hot_day_k(at_m) else { break };
        if point.reach.oat_k().is_some_and(|oat_k| oat_k >= hot_k) {
            good_m = Some(at_m);
            continue;
        }
        let Some(good_m) = good_m else { return Ok(Some(HotDay::Nowhere)) };
        return between(judged, of, (good_m, at_m), options, cancel).map(|at_m| Some(HotDay::UpTo(at_m)));
    }
    Ok(good_m.map(HotDay::Throughout))
}

/// Halves until the altitude is close; at the one returned everything holds on its hot day.
fn between(
    judged: &[(usize, Case<'_>)],
    of: LimitOf,
    (mut good_m, mut bad_m): (f64, f64),
    options: &OatOptions,
    cancel: &AtomicBool,
) -> Result<f64, StudyError> {
    while bad_m - good_m > CLOSE_M {
        let middle_m = f64::midpoint(good_m, bad_m);
        let holds = match hot_day_k(middle_m) {
            Some(hot_k) => Altitude::new(middle_m, options, cancel).reaches(judged, of, hot_k)?,
            None => false,
        };
        if holds { good_m = middle_m } else { bad_m = middle_m }
    }
    Ok(good_m)
}
