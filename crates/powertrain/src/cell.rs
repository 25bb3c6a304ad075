//! Heat of a battery cell.

mod ageing;

pub use ageing::Ageing;

use numerics::{Curve, Scalar, Surface, constant, hold};

use crate::error::{self, InputError};

/// Temperature to which cell resistances are usually referred: 25 degC.
pub const CELL_REFERENCE_K: f64 = 298.15;
/// Default of `B` in the temperature law (K); 2000-3500 is the usual band (common practice, no source).
pub const DEFAULT_RESISTANCE_B_K: f64 = 2500.0;
/// Default factor from a pulse of about 10 s to minutes: the short value is low by 10-30 % (common practice, no source).
pub const DEFAULT_DURATION_FACTOR: f64 = 1.2;
/// The exponential temperature law is held outside this range (K): -60 to 120 degC.
pub const RESISTANCE_RANGE_K: (f64, f64) = (213.15, 393.15);

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

/// Resistance over temperature and state of charge (SOC, 0-1).
#[derive(Clone, Debug, PartialEq)]
pub enum ResistanceLaw {
    /// One value carried by an exponential law: `R0 exp(B (1/T - 1/T0))`, times a factor of SOC.
    Reference {
        /// Resistance at the reference temperature (ohm).
        resistance_ohm: f64,
        /// Reference temperature (K).
        reference_k: f64,
        /// `B` (K).
        b_k: f64,
        /// Factor over SOC, 1 where the value was measured; `None` for no dependence.
        soc_factor: Option<Curve>,
    },
    /// Measured resistance (ohm) over temperature (K).
    Temperature(Curve),
    /// Measured resistance (ohm) over SOC (first input) and temperature (K, second input), see [`ResistanceLaw::surface`].
    Surface(Surface),
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
    /// A resistance law with the basis of its measurement, the factor from the measured pulse to minutes of load
    /// ([`DEFAULT_DURATION_FACTOR`]) and the factor for age (1 new; 1.3 to 2.0 at end of life: common practice, no source).
    ///
    /// # Errors
    /// [`InputError::AlternatingCurrentResistance`] for a 1 kHz value, else the first number that is not physical.
    pub fn new(
        law: ResistanceLaw,
        basis: ResistanceBasis,
        duration_factor: f64,
        age_factor: f64,
    ) -> Result<Self, InputError> {
        let ResistanceBasis::DirectCurrentPulse { pulse_s } = basis else {
            return Err(InputError::AlternatingCurrentResistance);
        };
        error::positive("length of the resistance pulse (s)", pulse_s)?;
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
            ResistanceLaw::Temperature(curve) => curve.contains(temperature_k),
            ResistanceLaw::Surface(surface) => surface.contains(soc, temperature_k),
        }
    }
}

impl ResistanceLaw {
    /// A measured table with `values_ohm[row * temperature_k.len() + column]` at `(soc[row], temperature_k[column])`.
    ///
    /// # Errors
    /// [`InputError`] for a wrong shape, unordered inputs and resistances that are not positive.
    pub fn surface(soc: &[f64], temperature_k: &[f64], values_ohm: &[f64]) -> Result<Self, InputError> {
        values_ohm.iter().try_for_each(|&ohm| error::positive("measured cell resistance (ohm)", ohm))?;
        Surface::new(soc, temperature_k, values_ohm)
            .map(Self::Surface)
            .map_err(|source| InputError::Table { what: "table of the cell resistance", source })
    }

    fn check(&self) -> Result<(), InputError> {
        match self {
            Self::Reference { resistance_ohm, reference_k, b_k, soc_factor } => {
                error::positive("cell resistance (ohm)", *resistance_ohm)?;
                error::positive("reference temperature of the cell resistance (K)", *reference_k)?;
                error::not_negative("B of the cell resistance (K)", *b_k)?;
                let mut points = soc_factor.iter().flat_map(Curve::points);
                points.try_for_each(|p| error::positive("factor of the cell resistance over SOC", p.1))
            }
            Self::Temperature(curve) => {
                curve.points().try_for_each(|p| error::positive("measured cell resistance (ohm)", p.1))
            }
            // the values are checked where the surface is made
            Self::Surface(_) => Ok(()),
        }
    }

    #[inline]
    fn at<S: Scalar>(&self, temperature_k: S, soc: S) -> S {
        match self {
            Self::Reference { resistance_ohm, reference_k, b_k, soc_factor } => {
                let base = temperature_factor(temperature_k, *reference_k, *b_k) * *resistance_ohm;
                soc_factor.as_ref().map_or(base, |curve| base * curve.at(soc))
            }
            Self::Temperature(curve) => curve.at(temperature_k),
            Self::Surface(surface) => surface.at(soc, temperature_k),
        }
    }
}

/// Resistance at a temperature over resistance at the reference temperature: `exp(B (1/T - 1/T0))`, held outside
/// [`RESISTANCE_RANGE_K`].
#[inline]
pub fn temperature_factor<S: Scalar>(temperature_k: S, reference_k: f64, b_k: f64) -> S {
    let held = hold(temperature_k, RESISTANCE_RANGE_K.0, RESISTANCE_RANGE_K.1);
    ((held.recip() - 1.0 / reference_k) * b_k).exp()
}

/// Change of open-circuit voltage with temperature (V/K); typically -0.5 to +0.3 mV/K (from memory).
#[derive(Clone, Debug, PartialEq)]
pub enum Entropic {
    /// The same at every SOC.
    Fixed(f64),
    /// Over SOC.
    Curve(Curve),
}

impl Entropic {
    /// The coefficient (V/K).
    #[inline]
    pub fn at<S: Scalar>(&self, soc: S) -> S {
        match self {
            Self::Fixed(value) => constant(*value),
            Self::Curve(curve) => curve.at(soc),
        }
    }
}

/// Heat of a cell (W) from measured voltages.
///
/// # Formula
/// ```text
/// q = I (U - V) - I T dU/dT
/// ```
/// `I` current, positive on discharge; `U` open-circuit and `V` terminal voltage; `T` in kelvin. Without heat of mixing and
/// phase change.
///
/// # Source
/// Bernardi, Pawlikowski & Newman 1985, J. Electrochem. Soc. 132, 5. Checked by `tests/data/battery_heat.csv`.
#[inline]
pub fn heat_from_voltages<S: Scalar>(
    current_a: S,
    open_circuit_v: S,
    terminal_v: S,
    temperature_k: S,
    entropic_v_k: S,
) -> S {
    current_a * (open_circuit_v - terminal_v) - current_a * temperature_k * entropic_v_k
}

/// Heat of a cell by cause.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CellHeat<S> {
    /// Joule heat (W), `I^2 R`.
    pub joule_w: S,
    /// Entropic heat (W), `-I T dU/dT`.
    pub entropic_w: S,
}

impl<S: Scalar> CellHeat<S> {
    /// All of it (W).
    #[inline]
    pub fn total(&self) -> S {
        self.joule_w + self.entropic_w
    }
}

/// Data of a cell.
#[derive(Clone, Debug, PartialEq)]
pub struct CellData {
    /// Capacity (A h).
    pub capacity_ah: f64,
    /// Open-circuit voltage (V) over SOC (0-1).
    pub open_circuit_v: Curve,
    /// Resistance.
    pub resistance: CellResistance,
    /// Change of open-circuit voltage with temperature.
    pub entropic: Entropic,
    /// Mass (kg).
    pub mass_kg: f64,
    /// Specific heat (J/(kg K)); 950 is a fair default, 830-1130 the published band.
    pub specific_heat_j_kgk: f64,
}

/// A cell.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    data: CellData,
}

impl Cell {
    /// A cell from its data.
    ///
    /// # Errors
    /// [`InputError`] names the first number that is not physical; the open-circuit voltage must rise with SOC.
    pub fn new(data: CellData) -> Result<Self, InputError> {
        error::positive("cell capacity (A h)", data.capacity_ah)?;
        error::positive("cell mass (kg)", data.mass_kg)?;
        error::positive("specific heat of a cell (J/(kg K))", data.specific_heat_j_kgk)?;
        let mut before = 0.0;
        for (soc, volts) in data.open_circuit_v.points() {
            error::fraction("state of charge of an open-circuit voltage", soc)?;
            error::positive("open-circuit voltage (V)", volts)?;
            if volts < before {
                let what = "open-circuit voltage (V)";
                return Err(InputError::Value {
                    what,
                    value: volts,
                    rule: "not below that of a lower charge",
                });
            }
            before = volts;
        }
        match &data.entropic {
            Entropic::Fixed(value) => error::finite("entropic coefficient (V/K)", *value)?,
            Entropic::Curve(_) => {}
        }
        Ok(Self { data })
    }

    /// The data of the cell.
    pub fn data(&self) -> &CellData {
        &self.data
    }

    /// Open-circuit voltage (V).
    #[inline]
    pub fn open_circuit_v<S: Scalar>(&self, soc: S) -> S {
        self.data.open_circuit_v.at(soc)
    }

    /// Resistance (ohm) with duration and age, at a known SOC.
    #[inline]
    pub fn resistance<S: Scalar>(&self, temperature_k: S, soc: f64) -> S {
        self.data.resistance.at(temperature_k, constant(soc))
    }

    /// Resistance (ohm) with duration and age, where SOC is solved for as well.
    #[inline]
    pub fn resistance_at<S: Scalar>(&self, temperature_k: S, soc: S) -> S {
        self.data.resistance.at(temperature_k, soc)
    }

    /// Change of open-circuit voltage with temperature (V/K).
    #[inline]
    pub fn entropic_v_k<S: Scalar>(&self, soc: S) -> S {
        self.data.entropic.at(soc)
    }

    /// Heat of the cell (W): `I^2 R - I T dU/dT`, see [`heat_from_voltages`] with `V = U - I R`.
    #[inline]
    pub fn heat<S: Scalar>(&self, current_a: S, temperature_k: S, soc: S) -> S {
        self.heat_parts(current_a, temperature_k, soc).total()
    }

    /// Joule and entropic part of the heat (W); together [`Cell::heat`]. The Joule part is never negative. The entropic one
    /// changes sign with the current: where the coefficient is negative it heats on discharge and cools on charge.
    #[inline]
    pub fn heat_parts<S: Scalar>(&self, current_a: S, temperature_k: S, soc: S) -> CellHeat<S> {
        CellHeat {
            joule_w: current_a * current_a * self.resistance_at(temperature_k, soc),
            entropic_w: -current_a * temperature_k * self.entropic_v_k(soc),
        }
    }

    /// Terminal voltage (V).
    #[inline]
    pub fn terminal_v<S: Scalar>(&self, current_a: S, temperature_k: S, soc: S) -> S {
        self.open_circuit_v(soc) - current_a * self.resistance_at(temperature_k, soc)
    }

    /// Rate of change of SOC (1/s), negative on discharge.
    #[inline]
    pub fn soc_rate_per_s<S: Scalar>(&self, current_a: S) -> S {
        -current_a / (3600.0 * self.data.capacity_ah)
    }

    /// Heat capacity (J/K).
    pub fn heat_capacity_j_k(&self) -> f64 {
        self.data.mass_kg * self.data.specific_heat_j_kgk
    }

    /// Whether temperature and SOC lie inside the measured data.
    pub fn is_in_range(&self, temperature_k: f64, soc: f64) -> bool {
        self.data.resistance.contains(temperature_k, soc) && self.data.open_circuit_v.contains(soc)
    }
}

#[cfg(test)]
pub(crate) mod tests;
