//! Ratings of a machine: what it may do, and for how long.

use crate::error::{self, InputError};

/// A rating: limits that hold together, for a time. A limit that is not stated is `None`.
///
/// Analogues in 14 CFR 1.1 (turbine rotorcraft): take-off 5 min, 2.5-min and 30-s with an engine out, the last with limited
/// uses and mandatory inspection, 30-min, continuous.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rating {
    /// Shaft power (W).
    pub power_w: Option<f64>,
    /// Torque (N m).
    pub torque_nm: Option<f64>,
    /// Speed (rad/s).
    pub speed_rad_s: Option<f64>,
    /// Phase current of one winding set, root mean square (A).
    pub phase_current_a: Option<f64>,
    /// Time allowed in one go (s); `None` is continuous.
    pub time_allowed_s: Option<f64>,
    /// Uses allowed in one flight; `None` is any number.
    pub uses_allowed: Option<u32>,
    /// Whether a use calls for an inspection before the next flight.
    pub inspection_after_use: bool,
}

/// What a machine does at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorkPoint {
    /// Shaft power (W).
    pub power_w: f64,
    /// Torque (N m).
    pub torque_nm: f64,
    /// Speed (rad/s).
    pub speed_rad_s: f64,
    /// Phase current of one winding set, root mean square (A).
    pub phase_current_a: f64,
}

/// Distance of one quantity from its limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Headroom {
    /// What is asked, by magnitude.
    pub value: f64,
    /// What is allowed.
    pub limit: f64,
}

impl Headroom {
    /// Limit minus value: positive is good.
    pub fn margin(&self) -> f64 {
        self.limit - self.value
    }

    /// Value over limit: up to 1 is good.
    pub fn used(&self) -> f64 {
        self.value / self.limit
    }

    /// Whether the limit holds; a value that is not a number never does.
    pub fn is_held(&self) -> bool {
        self.value <= self.limit
    }
}

/// Headroom of every limit that is stated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RatingCheck {
    /// Shaft power (W).
    pub power: Option<Headroom>,
    /// Torque (N m).
    pub torque: Option<Headroom>,
    /// Speed (rad/s).
    pub speed: Option<Headroom>,
    /// Phase current (A).
    pub phase_current: Option<Headroom>,
}

impl RatingCheck {
    /// Headrooms that are stated.
    pub fn stated(&self) -> impl Iterator<Item = Headroom> {
        [self.power, self.torque, self.speed, self.phase_current].into_iter().flatten()
    }

    /// Whether every stated limit holds.
    pub fn is_held(&self) -> bool {
        self.stated().all(|headroom| headroom.is_held())
    }

    /// The largest value over limit; 0 where no limit is stated.
    pub fn most_used(&self) -> f64 {
        self.stated().map(|headroom| headroom.used()).fold(0.0, f64::max)
    }
}

/// Time and number of uses of a rating.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UseCheck {
    /// Longest time in one go (s) against the time allowed.
    pub time: Option<Headroom>,
    /// Number of uses against the uses allowed.
    pub uses: Option<Headroom>,
    /// Whether an inspection is due.
    pub inspection_due: bool,
}

impl UseCheck {
    /// Whether time and number of uses hold.
    pub fn is_held(&self) -> bool {
        self.time.is_none_or(|headroom| headroom.is_held())
            && self.uses.is_none_or(|headroom| headroom.is_held())
    }
}

impl Rating {
    /// A rating without limits, to fill in.
    pub const UNLIMITED: Self = Self {
        power_w: None,
        torque_nm: None,
        speed_rad_s: None,
        phase_current_a: None,
        time_allowed_s: None,
        uses_allowed: None,
        inspection_after_use: false,
    };

    /// Checks the numbers.
    ///
    /// # Errors
    /// [`InputError::Value`] for a limit that is not positive.
    pub fn check_data(&self) -> Result<(), InputError> {
        let limits = [
            ("rated power (W)", self.power_w),
            ("rated torque (N m)", self.torque_nm),
            ("rated speed (rad/s)", self.speed_rad_s),
            ("rated phase current (A)", self.phase_current_a),
            ("time allowed at a rating (s)", self.time_allowed_s),
        ];
        limits
            .iter()
            .filter_map(|(what, limit)| limit.map(|l| (what, l)))
            .try_for_each(|(what, limit)| error::positive(what, limit))
    }

    /// Headroom of a work point in each stated limit.
    pub fn check(&self, point: &WorkPoint) -> RatingCheck {
        let headroom =
            |limit: Option<f64>, value: f64| limit.map(|limit| Headroom { value: value.abs(), limit });
        RatingCheck {
            power: headroom(self.power_w, point.power_w),
            torque: headroom(self.torque_nm, point.torque_nm),
            speed: headroom(self.speed_rad_s, point.speed_rad_s),
            phase_current: headroom(self.phase_current_a, point.phase_current_a),
        }
    }

    /// Time and uses: durations (s) of each use in one flight.
    pub fn check_use(&self, durations_s: &[f64]) -> UseCheck {
        let longest = durations_s.iter().copied().fold(0.0, f64::max);
        UseCheck {
            time: self.time_allowed_s.map(|limit| Headroom { value: longest, limit }),
            uses: self
                .uses_allowed
                .map(|limit| Headroom { value: durations_s.len() as f64, limit: f64::from(limit) }),
            inspection_due: self.inspection_after_use && !durations_s.is_empty(),
        }
    }
}

/// The rating that covers a work point for the longest time: the first of the continuous ones, else the one with most time.
/// `None` if no rating covers it.
pub fn covering(ratings: &[Rating], point: &WorkPoint) -> Option<usize> {
    let time = |index: &usize| ratings[*index].time_allowed_s.unwrap_or(f64::INFINITY);
    (0..ratings.len())
        .filter(|&index| ratings[index].check(point).is_held())
        .reduce(|best, next| if time(&next) > time(&best) { next } else { best })
}

#[cfg(test)]
mod tests {
    use super::*;
    use testkit::assert_close;

    const POINT: WorkPoint =
        WorkPoint { power_w: 60e3, torque_nm: -240.0, speed_rad_s: 250.0, phase_current_a: 200.0 };

    #[test]
    fn headroom_is_positive_when_good_and_counts_both_directions() {
        let rating = Rating { power_w: Some(80e3), torque_nm: Some(200.0), ..Rating::UNLIMITED };
        let check = rating.check(&POINT);
        assert_close("power", check.power.unwrap().margin(), 20e3, 1e-12);
        assert_close("torque", check.torque.unwrap().margin(), -40.0, 1e-12);
        assert_close("used", check.most_used(), 1.2, 1e-12);
        assert!(!check.is_held() && check.speed.is_none());
        let lost = WorkPoint { torque_nm: f64::NAN, ..POINT };
        assert!(!rating.check(&lost).is_held());
    }

    #[test]
    fn the_rating_with_the_longest_time_is_chosen() {
        let continuous = Rating { power_w: Some(50e3), ..Rating::UNLIMITED };
        let takeoff = Rating { power_w: Some(80e3), time_allowed_s: Some(300.0), ..Rating::UNLIMITED };
        let emergency = Rating { power_w: Some(95e3), time_allowed_s: Some(30.0), ..Rating::UNLIMITED };
        let ratings = [emergency, takeoff, continuous];
        let at = |power_w: f64| covering(&ratings, &WorkPoint { power_w, ..POINT });
        assert_eq!(at(40e3), Some(2));
        assert_eq!(at(60e3), Some(1));
        assert_eq!(at(90e3), Some(0));
        assert_eq!(at(100e3), None);
    }

    #[test]
    fn time_and_uses_are_counted() {
        // 30-s rating, three uses, inspection (14 CFR 1.1)
        let rating = Rating {
            time_allowed_s: Some(30.0),
            uses_allowed: Some(3),
            inspection_after_use: true,
            ..Rating::UNLIMITED
        };
        assert!(rating.check_use(&[30.0, 12.0]).is_held());
        assert!(!rating.check_use(&[31.0]).is_held());
        assert!(!rating.check_use(&[5.0, 5.0, 5.0, 5.0]).is_held());
        assert!(rating.check_use(&[5.0]).inspection_due && !rating.check_use(&[]).inspection_due);
        assert!(Rating { power_w: Some(0.0), ..Rating::UNLIMITED }.check_data().is_err());
    }
}
