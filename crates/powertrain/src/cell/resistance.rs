//! Resistance of a cell over temperature, state of charge, duration and age.

use numerics::{Curve, Grid, Interpolation, Scalar, constant, hold};

use crate::error::{self, InputError};

/// Temperature to which cell resistances are usually referred: 25 degC.
pub const CELL_REFERENCE_K: f64 = 298.15;
/// State of charge to which they are referred.
pub const REFERENCE_SOC: f64 = 0.5;
/// Default of `B` below the reference temperature (K); 2000-3500 is the usual band (common practice, no source).
pub const DEFAULT_COLD_B_K: f64 = 2500.0;
/// Below the reference temperature the corner between the two laws is a cubic over this width (K).
pub const CORNER_K: f64 = 2.0;
/// Default factor from a pulse of up to [`SHORT_PULSE_S`] to minutes of load: a 10 s value is low by 10-30 % (common practice, no
/// source), and the upper end is taken.
pub const SHORT_PULSE_FACTOR: f64 = 1.3;
/// Up to this pulse length (s) the default is [`SHORT_PULSE_FACTOR`].
pub const SHORT_PULSE_S: f64 = 60.0;
/// From this pulse length (s) the default is 1.
pub const LONG_PULSE_S: f64 = 300.0;
/// The exponential temperature laws are held outside this range (K): -60 to 120 degC.
pub const RESISTANCE_RANGE_K: (f64, f64) = (213.15, 393.15);

/// Factor from a pulse of this length (s) to minutes of load where none is stated: 1.3 up to 60 s, 1 from 300 s, linear in the
/// logarithm of the time between (judgement on the safe side of common practice, no source).
pub fn default_duration_factor(pulse_s: f64) -> f64 {
    let way = (pulse_s / SHORT_PULSE_S).ln() / (LONG_PULSE_S / SHORT_PULSE_S).ln();
    SHORT_PULSE_FACTOR + (1.0 - SHORT_PULSE_FACTOR) * way.clamp(0.0, 1.0)
}

/// How a resistance was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ResistanceBasis {
    /// Voltage change over current change after a direct-current pulse of this length (s).
    DirectCurrentPulse {
        /// Pulse length (s).
        pulse_s: f64,
    },
    /// Impedance at 1 kHz: refused, because it leaves out 20-50 % of what a discharge meets.
    AlternatingCurrent1kHz,
}

/// Resistance at a temperature over that at the reference temperature, cold and hot side apart.
///
/// # Formula
/// ```text
/// T >= T0        exp(B_hot (1/T - 1/T0))
/// T <= T0 - 2 K  exp(B_cold (1/T - 1/T0))
/// between        the cubic that meets both in value and slope, so that the value at T0 stands exactly
/// ```
/// With `B_hot` = 0 the cubic lies below the exponential by at most 0.15 `B_cold` 2 K/T0^2: 0.8 % at 2500 K.
///
/// # Range
/// Held outside [`RESISTANCE_RANGE_K`]. What a cell gains above the reference temperature differs from cell to cell: 0 K books the
/// value of the sheet, the side of more heat, until it is measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TemperatureLaw {
    /// Reference temperature `T0` (K).
    pub reference_k: f64,
    /// `B` below it (K).
    pub cold_b_k: f64,
    /// `B` above it (K).
    pub hot_b_k: f64,
}

impl TemperatureLaw {
    fn check(&self) -> Result<(), InputError> {
        error::positive("reference temperature of the cell resistance (K)", self.reference_k)?;
        error::not_negative("B of the cell resistance below the reference temperature (K)", self.cold_b_k)?;
        error::not_negative("B of the cell resistance above the reference temperature (K)", self.hot_b_k)
    }

    /// The factor.
    #[inline]
    pub fn factor<S: Scalar>(&self, temperature_k: S) -> S {
        let held = hold(temperature_k, RESISTANCE_RANGE_K.0, RESISTANCE_RANGE_K.1);
        let arrhenius = |b_k: f64, at: S| ((at.recip() - 1.0 / self.reference_k) * b_k).exp();
        let corner_k = self.reference_k - CORNER_K;
        if held.value() >= self.reference_k {
            return arrhenius(self.hot_b_k, held);
        }
        if held.value() <= corner_k {
            return arrhenius(self.cold_b_k, held);
        }
        let low = ((1.0 / corner_k - 1.0 / self.reference_k) * self.cold_b_k).exp();
        let from = -low * self.cold_b_k / (corner_k * corner_k) * CORNER_K;
        let to = -self.hot_b_k / (self.reference_k * self.reference_k) * CORNER_K;
        let (t, rise) = ((held - corner_k) / CORNER_K, 1.0 - low);
        let cubic = t * (from + to - 2.0 * rise) + (3.0 * rise - 2.0 * from - to);
        t * (t * cubic + from) + low
    }
}

/// Resistance over temperature and state of charge (SOC, 0-1), from one value at a reference temperature and half charge.
#[derive(Clone, Debug, PartialEq)]
pub enum ResistanceLaw {
    /// The value times a law of temperature and a factor of SOC.
    Reference {
        /// Resistance at the reference temperature (ohm).
        resistance_ohm: f64,
        /// Law over temperature.
        temperature: TemperatureLaw,
        /// Factor over SOC, 1 where the value was measured; `None` for no dependence.
        soc_factor: Option<Curve>,
    },
    /// The value times a measured shape, see [`ResistanceLaw::table`].
    Table {
        /// Resistance at the reference temperature and half charge (ohm).
        resistance_ohm: f64,
        /// Measured resistance (ohm) over SOC (first input) and temperature (K, second input).
        shape: Grid,
        /// What the shape gives at the reference temperature and half charge (ohm).
        shape_at_reference_ohm: f64,
    },
}

/// Direct-current resistance of a cell: a measured law with factors for duration and age.
#[derive(Clone, Debug, PartialEq)]
pub struct CellResistance {
    law: ResistanceLaw,
    pulse_s: f64,
    duration_factor: f64,
    age_factor: f64,
}

impl CellResistance {
    /// A resistance law with the basis of its measurement, the factor from the measured pulse to minutes of load (`None` for
    /// [`default_duration_factor`]) and the factor for age (1 new; 1.3 to 2.0 at end of life: common practice, no source).
    ///
    /// # Errors
    /// [`InputError::AlternatingCurrentResistance`] for a 1 kHz value, else the first number that is not physical.
    pub fn new(
        law: ResistanceLaw,
        basis: ResistanceBasis,
        duration_factor: Option<f64>,
        age_factor: f64,
    ) -> Result<Self, InputError> {
        let ResistanceBasis::DirectCurrentPulse { pulse_s } = basis else {
            return Err(InputError::AlternatingCurrentResistance);
        };
        error::positive("length of the resistance pulse (s)", pulse_s)?;
        let duration_factor = duration_factor.unwrap_or_else(|| default_duration_factor(pulse_s));
        error::positive("duration factor of the cell resistance", duration_factor)?;
        error::positive("age factor of the cell resistance", age_factor)?;
        law.check()?;
        Ok(Self { law, pulse_s, duration_factor, age_factor })
    }

    /// Pulse length of the measurement (s).
    pub fn pulse_s(&self) -> f64 {
        self.pulse_s
    }

    /// Law over temperature and SOC, without duration and age.
    pub fn law(&self) -> &ResistanceLaw {
        &self.law
    }

    /// Factor from the measured pulse to minutes of load.
    pub fn duration_factor(&self) -> f64 {
        self.duration_factor
    }

    /// Factor for age.
    pub fn age_factor(&self) -> f64 {
        self.age_factor
    }

    /// The same cell at another age.
    ///
    /// # Errors
    /// [`InputError::Value`] for a factor that is not positive.
    pub fn aged(&self, age_factor: f64) -> Result<Self, InputError> {
        error::positive("age factor of the cell resistance", age_factor)?;
        Ok(Self { age_factor, ..self.clone() })
    }

    /// Resistance (ohm) with duration and age.
    #[inline]
    pub fn at<S: Scalar>(&self, temperature_k: S, soc: S) -> S {
        self.law.at(temperature_k, soc) * (self.duration_factor * self.age_factor)
    }

    /// Whether temperature and SOC lie inside what the law holds for.
    pub fn contains(&self, temperature_k: f64, soc: f64) -> bool {
        match &self.law {
            ResistanceLaw::Reference { soc_factor, .. } => {
                let (low, high) = RESISTANCE_RANGE_K;
                low <= temperature_k
                    && temperature_k <= high
                    && soc_factor.as_ref().is_none_or(|curve| curve.contains(soc))
            }
            ResistanceLaw::Table { shape, .. } => shape.contains(soc, temperature_k),
        }
    }
}

impl ResistanceLaw {
    /// A measured table with `shape_ohm[row * temperature_k.len() + column]` at `(soc[row], temperature_k[column])`, scaled so
    /// that it gives `resistance_ohm` at the reference temperature and half charge: one number then moves all of it.
    ///
    /// # Errors
    /// [`InputError`] for a wrong shape, inputs that do not rise, resistances that are not positive, and a table that does not
    /// hold half charge at the reference temperature.
    pub fn table(
        resistance_ohm: f64,
        reference_k: f64,
        (soc, temperature_k): (&[f64], &[f64]),
        shape_ohm: &[f64],
        interpolation: Interpolation,
    ) -> Result<Self, InputError> {
        shape_ohm.iter().try_for_each(|&ohm| error::positive("measured cell resistance (ohm)", ohm))?;
        soc.iter().try_for_each(|&soc| error::fraction("state of charge of a cell resistance", soc))?;
        let shape = Grid::new(soc, temperature_k, shape_ohm, interpolation)
            .map_err(|source| InputError::Table { what: "table of the cell resistance", source })?;
        if !shape.contains(REFERENCE_SOC, reference_k) {
            return Err(InputError::Value {
                what: "reference temperature of the cell resistance (K)",
                value: reference_k,
                rule: "inside the table, and half charge too: there the table is made to give the resistance",
            });
        }
        let shape_at_reference_ohm = shape.at(REFERENCE_SOC, reference_k);
        Ok(Self::Table { resistance_ohm, shape, shape_at_reference_ohm })
    }

    fn check(&self) -> Result<(), InputError> {
        match self {
            Self::Reference { resistance_ohm, temperature, soc_factor } => {
                error::positive("cell resistance (ohm)", *resistance_ohm)?;
                temperature.check()?;
                let mut points = soc_factor.iter().flat_map(Curve::points);
                points.try_for_each(|p| error::positive("factor of the cell resistance over SOC", p.1))
            }
            // the shape is checked where it is made
            Self::Table { resistance_ohm, .. } => error::positive("cell resistance (ohm)", *resistance_ohm),
        }
    }

    #[inline]
    fn at<S: Scalar>(&self, temperature_k: S, soc: S) -> S {
        match self {
            Self::Reference { resistance_ohm, temperature, soc_factor } => {
                let factor = soc_factor.as_ref().map_or(constant(1.0), |curve| curve.at(soc));
                temperature.factor(temperature_k) * *resistance_ohm * factor
            }
            Self::Table { resistance_ohm, shape, shape_at_reference_ohm } => {
                shape.at(soc, temperature_k) * (resistance_ohm / shape_at_reference_ohm)
            }
        }
    }
}
