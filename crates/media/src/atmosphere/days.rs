//! Days: standard with offset, fixed, certification hot day, published day tables.

use super::standard::{ALTITUDE_RANGE_M, standard_temperature_k};

const METRES_PER_FOOT: f64 = 0.3048;

/// How warm the outside air is at each pressure altitude.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Day {
    /// Standard atmosphere plus a constant.
    Standard {
        /// Added to the standard temperature at every altitude, K.
        offset_k: f64,
    },
    /// One temperature at every altitude.
    Fixed {
        /// The temperature, K.
        temperature_k: f64,
    },
    /// The hot day of 14 CFR 27.1043(b) (and CS-27, old 23.1043): 100 degF at sea level, 3.6 degF less per 1000 ft of
    /// pressure altitude, down to -69.7 degF and constant above. It is not the standard atmosphere plus a constant.
    /// Below sea level the line goes on.
    HotDay27_1043,
    /// A published day table.
    Table(DayTable),
}

/// Days of MIL-STD-210A (superseded, still quoted), 0 to 20 000 ft, straight lines between the points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DayTable {
    /// Hot day, 39.5 degC at sea level.
    MilStd210AHot,
    /// Tropical day, 32.1 degC at sea level.
    MilStd210ATropical,
    /// Cold day, -51.1 degC at sea level.
    MilStd210ACold,
    /// Polar day, -26.5 degC at sea level.
    MilStd210APolar,
}

/// Altitudes of the rows of [`DayTable`], ft.
const TABLE_FT: [f64; 7] = [0.0, 2000.0, 5000.0, 8000.0, 10_000.0, 15_000.0, 20_000.0];

impl DayTable {
    /// All tables.
    pub const ALL: [Self; 4] =
        [Self::MilStd210AHot, Self::MilStd210ATropical, Self::MilStd210ACold, Self::MilStd210APolar];

    /// Temperatures at 0, 2000, 5000, 8000, 10 000, 15 000 and 20 000 ft of pressure altitude, degC.
    fn celsius(self) -> [f64; 7] {
        match self {
            Self::MilStd210AHot => [39.5, 35.2, 28.7, 22.1, 17.7, 7.2, -3.6],
            Self::MilStd210ATropical => [32.1, 27.8, 21.4, 14.9, 10.6, -0.2, -10.9],
            Self::MilStd210ACold => [-51.1, -36.1, -26.1, -26.1, -26.1, -33.9, -43.4],
            Self::MilStd210APolar => [-26.5, -23.1, -21.5, -22.4, -23.1, -31.0, -38.9],
        }
    }

    /// The rows: pressure altitude in m, temperature in K.
    pub fn points(self) -> [(f64, f64); 7] {
        let celsius = self.celsius();
        std::array::from_fn(|i| (TABLE_FT[i] * METRES_PER_FOOT, celsius[i] + 273.15))
    }

    /// Plain name.
    pub fn name(self) -> &'static str {
        match self {
            Self::MilStd210AHot => "MIL-STD-210A hot day",
            Self::MilStd210ATropical => "MIL-STD-210A tropical day",
            Self::MilStd210ACold => "MIL-STD-210A cold day",
            Self::MilStd210APolar => "MIL-STD-210A polar day",
        }
    }

    /// Held at the ends; callers check the altitude.
    fn temperature_k(self, altitude_m: f64) -> f64 {
        let points = self.points();
        let after = points.partition_point(|point| point.0 <= altitude_m).clamp(1, points.len() - 1);
        let ((h1, t1), (h2, t2)) = (points[after - 1], points[after]);
        let share = ((altitude_m - h1) / (h2 - h1)).clamp(0.0, 1.0);
        t1 + (t2 - t1) * share
    }
}

impl Day {
    /// Outside-air temperature at a pressure altitude, K. Unchecked: see [`super::at`].
    pub fn temperature_k(&self, pressure_altitude_m: f64) -> f64 {
        match *self {
            Self::Standard { offset_k } => standard_temperature_k(pressure_altitude_m) + offset_k,
            Self::Fixed { temperature_k } => temperature_k,
            Self::HotDay27_1043 => hot_day_k(pressure_altitude_m),
            Self::Table(table) => table.temperature_k(pressure_altitude_m),
        }
    }

    /// Covered pressure altitudes, m.
    pub fn altitude_range_m(&self) -> (f64, f64) {
        match self {
            Self::Table(_) => (TABLE_FT[0], TABLE_FT[TABLE_FT.len() - 1] * METRES_PER_FOOT),
            Self::Standard { .. } | Self::Fixed { .. } | Self::HotDay27_1043 => ALTITUDE_RANGE_M,
        }
    }

    /// Plain name with its numbers.
    pub fn name(&self) -> String {
        match self {
            Self::Standard { offset_k } if *offset_k == 0.0 => "standard day".to_owned(),
            Self::Standard { offset_k } => format!("standard day {offset_k:+} K"),
            Self::Fixed { temperature_k } => format!("fixed {:.1} degC", temperature_k - 273.15),
            Self::HotDay27_1043 => "hot day of 14 CFR 27.1043".to_owned(),
            Self::Table(table) => table.name().to_owned(),
        }
    }

    /// Where the temperatures come from.
    pub fn source(&self) -> &'static str {
        match self {
            Self::Standard { .. } => "US Standard Atmosphere 1976 (ISO 2533), plus the offset",
            Self::Fixed { .. } => "given",
            Self::HotDay27_1043 => "14 CFR 27.1043(b): 100 degF, 3.6 degF per 1000 ft, not below -69.7 degF",
            Self::Table(_) => "MIL-STD-210A, public-domain tabulation; pressure taken as standard",
        }
    }
}

/// 100 degF - 3.6 degF per 1000 ft, not below -69.7 degF (reached at 47 139 ft).
fn hot_day_k(pressure_altitude_m: f64) -> f64 {
    let fahrenheit = (100.0 - 3.6 * pressure_altitude_m / (1000.0 * METRES_PER_FOOT)).max(-69.7);
    (fahrenheit + 459.67) / 1.8
}

/// A published extreme of surface air temperature, for [`Day::Fixed`] on the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SurfaceExtreme {
    /// Plain name.
    pub name: &'static str,
    /// Temperature, K.
    pub temperature_k: f64,
    /// Where it comes from.
    pub source: &'static str,
}

const MIL_HDBK_310: &str = "MIL-HDBK-310 (1997), surface, from memory";

/// Surface air temperatures. They are extremes at the ground, not profiles: never fly through them.
pub const SURFACE_EXTREMES: [SurfaceExtreme; 5] = [
    SurfaceExtreme { name: "hot, 1 % of the worst month", temperature_k: 322.15, source: MIL_HDBK_310 },
    SurfaceExtreme { name: "hot, highest on record", temperature_k: 331.15, source: MIL_HDBK_310 },
    SurfaceExtreme { name: "cold, 20 % of the worst month", temperature_k: 222.15, source: MIL_HDBK_310 },
    SurfaceExtreme { name: "cold, 10 % of the worst month", temperature_k: 219.15, source: MIL_HDBK_310 },
    SurfaceExtreme { name: "cold, 1 % of the worst month", temperature_k: 212.15, source: MIL_HDBK_310 },
];
