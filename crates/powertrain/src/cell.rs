//! Heat of a battery cell.

mod ageing;
mod resistance;

pub use ageing::Ageing;
pub use resistance::{
    CELL_REFERENCE_K, CORNER_K, CellResistance, DEFAULT_COLD_B_K, LONG_PULSE_S, REFERENCE_SOC,
    RESISTANCE_RANGE_K, ResistanceBasis, ResistanceLaw, SHORT_PULSE_FACTOR, SHORT_PULSE_S, TemperatureLaw,
    default_duration_factor,
};

use numerics::{Curve, Scalar, constant};

use crate::error::{self, InputError};

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
