//! Temperatures at which the crew is warned.
//!
//! A sensor follows with a lag, may read low by its accuracy, and warns only once a reading has lasted. The warning temperature is set so
//! low that the time from the warning until the limit exceeds the time that the pilot's action takes.

use aircraft::records::failure::Sensor;

/// 0 degC, K: alert temperatures are rounded on the scale of the instrument.
const ICE_POINT_K: f64 = 273.15;

/// How far amber stands below red where no failure passes the limit. 5 to 10 K is common practice, no source.
pub const AMBER_BELOW_RED_K: f64 = 10.0;

/// A sensor in numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sensing {
    /// Time constant, s.
    pub lag_s: f64,
    /// Greatest error to either side, K.
    pub accuracy_k: f64,
    /// How long a reading must last before it warns, s.
    pub persistence_s: f64,
    /// How far a reading must fall back before the warning goes, K.
    pub hysteresis_k: f64,
    /// Steps of warning temperatures, K.
    pub rounding_k: f64,
}

impl Sensing {
    /// The numbers of a sensor.
    pub fn of(sensor: &Sensor) -> Self {
        Self {
            lag_s: sensor.lag.si(),
            accuracy_k: sensor.accuracy.si(),
            persistence_s: sensor.persistence.si(),
            hysteresis_k: sensor.hysteresis.si(),
            rounding_k: sensor.rounding.si(),
        }
    }

    /// What a sensor without error reads, from the reading at the first sample: exact for a temperature that is straight between samples.
    pub fn readings_k(&self, times_s: &[f64], true_k: &[f64], first_k: f64) -> Vec<f64> {
        let mut readings = Vec::with_capacity(true_k.len());
        let mut reading_k = first_k;
        for (index, value) in true_k.iter().enumerate() {
            if let Some(before) = index.checked_sub(1) {
                reading_k = self.follow(reading_k, true_k[before], *value, times_s[index] - times_s[before]);
            }
            readings.push(reading_k);
        }
        readings
    }

    /// tau x' = T - x with T straight from one value to the other.
    fn follow(&self, reading_k: f64, from_k: f64, to_k: f64, duration_s: f64) -> f64 {
        if self.lag_s <= 0.0 {
            return to_k;
        }
        if duration_s <= 0.0 {
            return reading_k;
        }
        let behind_k = self.lag_s * (to_k - from_k) / duration_s;
        to_k - behind_k + (reading_k - from_k + behind_k) * (-duration_s / self.lag_s).exp()
    }

    /// Highest step of the instrument strictly below a temperature, K.
    pub fn step_below_k(&self, temperature_k: f64) -> f64 {
        let steps = ((temperature_k - ICE_POINT_K) / self.rounding_k).ceil() - 1.0;
        ICE_POINT_K + steps * self.rounding_k
    }

    /// Highest warning temperature that leaves more than `lead_s` until the limit, K. None if the limit is passed so soon after the first
    /// sample that no temperature does.
    pub fn warning_k(&self, rise: &Rise<'_>, lead_s: f64) -> Option<f64> {
        let latest_s = rise.passed_s - lead_s - self.persistence_s;
        if !(latest_s >= rise.times_s[0]) {
            return None;
        }
        let until_s = latest_s + self.persistence_s;
        let inside = rise.times_s.iter().zip(rise.readings_k);
        let lowest_k = inside
            .filter(|(time, _)| (latest_s..=until_s).contains(*time))
            .map(|(_, reading)| *reading)
            .chain([latest_s, until_s].map(|time| straight(rise.times_s, rise.readings_k, time)))
            .fold(rise.limit_k, f64::min);
        Some(self.step_below_k(lowest_k - self.accuracy_k))
    }

    /// Red and amber where no failure passes the limit, K: red warns at the limit at the latest.
    pub fn plain_k(&self, limit_k: f64) -> (f64, f64) {
        let red_k = self.step_below_k(limit_k - self.accuracy_k);
        (red_k, self.step_below_k(limit_k - self.accuracy_k - AMBER_BELOW_RED_K))
    }

    /// Whether a warning could come up, or stay on, in a flight without failure whose highest reading is this, K.
    pub fn is_nuisance(&self, warning_k: f64, normal_k: f64) -> bool {
        !(warning_k - self.hysteresis_k >= normal_k + self.accuracy_k)
    }
}

/// How a place warms up to its limit after a failure.
#[derive(Clone, Copy, Debug)]
pub struct Rise<'a> {
    /// Times since the failure, s.
    pub times_s: &'a [f64],
    /// What a sensor without error reads, K.
    pub readings_k: &'a [f64],
    /// When the limit is passed, s.
    pub passed_s: f64,
    /// Limit, K.
    pub limit_k: f64,
}

/// Value at a time, straight between samples, held outside.
fn straight(times_s: &[f64], values: &[f64], time_s: f64) -> f64 {
    let after = times_s.partition_point(|time| *time <= time_s);
    let Some(before) = after.checked_sub(1) else { return values[0] };
    let Some(next_s) = times_s.get(after) else { return values[values.len() - 1] };
    let share = (time_s - times_s[before]) / (next_s - times_s[before]);
    values[before] + share * (values[after] - values[before])
}

#[cfg(test)]
mod tests {
    use super::{Rise, Sensing};

    const SENSING: Sensing =
        Sensing { lag_s: 10.0, accuracy_k: 2.0, persistence_s: 3.0, hysteresis_k: 4.0, rounding_k: 1.0 };

    /// By hand: a ramp of 0.1 K/s from 100 degC with the sensor already following (1 K behind by 10 s x 0.1 K/s) passes 150 degC after
    /// 500 s. For 120 s to land and 3 s of persistence the warning must show at 377 s: true 137.7, read 136.7, low by 2 K: 134.7 degC;
    /// the step below is 134 degC.
    #[test]
    fn warning_temperature_by_hand() {
        let times_s = [0.0, 1000.0];
        let readings_k = SENSING.readings_k(&times_s, &[373.15, 473.15], 372.15);
        assert!((readings_k[1] - 472.15).abs() < 1e-9, "{readings_k:?}");
        let rise = Rise { times_s: &times_s, readings_k: &readings_k, passed_s: 500.0, limit_k: 423.15 };
        let warning = SENSING.warning_k(&rise, 120.0).expect("there is time");
        assert!((warning - (273.15 + 134.0)).abs() < 1e-9, "{warning}");
        assert_eq!(SENSING.warning_k(&rise, 498.0), None);
    }

    /// A step of 10 K read by a first-order sensor: 1 - exp(-1) of it after one time constant (textbook).
    #[test]
    fn sensor_follows_a_step() {
        let times_s = [0.0, 0.0, 10.0];
        let read = SENSING.readings_k(&times_s, &[300.0, 310.0, 310.0], 300.0);
        assert!((read[2] - (310.0 - 10.0 * (-1.0_f64).exp())).abs() < 1e-12, "{read:?}");
    }

    /// Limit 150 degC, low by 2 K: red strictly below 148, amber strictly below 138 degC.
    #[test]
    fn plain_warnings_and_nuisance() {
        let (red, amber) = SENSING.plain_k(423.15);
        assert!((red - 420.15).abs() < 1e-9 && (amber - 410.15).abs() < 1e-9, "{red} {amber}");
        assert!(!SENSING.is_nuisance(420.15, 414.15));
        assert!(SENSING.is_nuisance(420.15, 414.16));
    }
}
