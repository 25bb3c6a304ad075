//! Conductors: resistance and its rise with temperature, cables and busbars.

use numerics::Scalar;

use crate::error::{self, InputError};

/// Temperature at which handbook resistivities are stated: 20 degC.
pub const HANDBOOK_TEMPERATURE_K: f64 = 293.15;

/// A conductor material with a resistance that rises linearly with temperature.
///
/// # Formula
/// ```text
/// rho(T) = rho20 (1 + alpha20 (T - 293.15 K))
/// ```
///
/// # Source
/// IEC 60287 / IEC 60228 constants (from memory in the reference table); linear law, good between about -100 and 250 degC.
/// Checked by `tests/data/copper_resistance.csv`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conductor {
    /// Resistivity at 20 degC (ohm m).
    pub resistivity_20c_ohm_m: f64,
    /// Temperature coefficient at 20 degC (1/K).
    pub temperature_coefficient_per_k: f64,
    /// Density (kg/m3).
    pub density_kg_m3: f64,
    /// Specific heat (J/(kg K)).
    pub specific_heat_j_kgk: f64,
}

/// Annealed copper. Density and specific heat are handbook values from memory.
pub const COPPER: Conductor = Conductor {
    resistivity_20c_ohm_m: 1.7241e-8,
    temperature_coefficient_per_k: 0.00393,
    density_kg_m3: 8960.0,
    specific_heat_j_kgk: 385.0,
};

/// Conductor aluminium. Density and specific heat are handbook values from memory.
pub const ALUMINIUM: Conductor = Conductor {
    resistivity_20c_ohm_m: 2.8264e-8,
    temperature_coefficient_per_k: 0.00403,
    density_kg_m3: 2703.0,
    specific_heat_j_kgk: 900.0,
};

impl Conductor {
    /// Resistance at a temperature over resistance at 20 degC.
    #[inline]
    pub fn factor_from_20c<S: Scalar>(&self, temperature_k: S) -> S {
        (temperature_k - HANDBOOK_TEMPERATURE_K) * self.temperature_coefficient_per_k + 1.0
    }

    /// Resistance at a temperature over resistance at another one. The coefficient belongs to 20 degC whatever the reference is.
    #[inline]
    pub fn factor<S: Scalar>(&self, temperature_k: S, reference_k: f64) -> S {
        self.factor_from_20c(temperature_k) / self.factor_from_20c(reference_k)
    }

    /// Resistivity (ohm m).
    #[inline]
    pub fn resistivity_ohm_m<S: Scalar>(&self, temperature_k: S) -> S {
        self.factor_from_20c(temperature_k) * self.resistivity_20c_ohm_m
    }

    /// Rate of heating (K/s) without any cooling at a current density (A/m2): `J^2 rho / (density * specific heat)`.
    #[inline]
    pub fn adiabatic_heating_k_s<S: Scalar>(&self, current_density_a_m2: S, temperature_k: S) -> S {
        current_density_a_m2 * current_density_a_m2 * self.resistivity_ohm_m(temperature_k)
            / (self.density_kg_m3 * self.specific_heat_j_kgk)
    }
}

/// A piece of the power path: busbar, contactor, fuse, cable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resistor {
    /// Resistance at the reference temperature (ohm).
    pub resistance_ohm: f64,
    /// Reference temperature (K).
    pub reference_k: f64,
    /// Temperature coefficient at 20 degC (1/K); 0 for a contact that hardly changes.
    pub temperature_coefficient_per_k: f64,
}

impl Resistor {
    /// No resistance at all.
    pub const NONE: Self =
        Self { resistance_ohm: 0.0, reference_k: HANDBOOK_TEMPERATURE_K, temperature_coefficient_per_k: 0.0 };

    /// A cable or bar of a length (m; go and return added up) and a cross-section (m2).
    ///
    /// # Errors
    /// [`InputError::Value`] for a length below 0 or an area that is not positive.
    pub fn cable(length_m: f64, area_m2: f64, material: &Conductor) -> Result<Self, InputError> {
        error::not_negative("cable length (m)", length_m)?;
        error::positive("cable cross-section (m2)", area_m2)?;
        Ok(Self {
            resistance_ohm: material.resistivity_20c_ohm_m * length_m / area_m2,
            reference_k: HANDBOOK_TEMPERATURE_K,
            temperature_coefficient_per_k: material.temperature_coefficient_per_k,
        })
    }

    /// Checks the numbers.
    ///
    /// # Errors
    /// [`InputError::Value`] names the first one that is not physical.
    pub fn check(&self) -> Result<(), InputError> {
        error::not_negative("resistance (ohm)", self.resistance_ohm)?;
        error::positive("reference temperature (K)", self.reference_k)?;
        error::not_negative("temperature coefficient (1/K)", self.temperature_coefficient_per_k)
    }

    /// Resistance (ohm) at a temperature.
    #[inline]
    pub fn at<S: Scalar>(&self, temperature_k: S) -> S {
        let rise = |t: f64| (t - HANDBOOK_TEMPERATURE_K) * self.temperature_coefficient_per_k + 1.0;
        ((temperature_k - HANDBOOK_TEMPERATURE_K) * self.temperature_coefficient_per_k + 1.0)
            * (self.resistance_ohm / rise(self.reference_k))
    }

    /// Heat (W) of a current (A): `I^2 R(T)`.
    #[inline]
    pub fn heat_w<S: Scalar>(&self, current_a: S, temperature_k: S) -> S {
        current_a * current_a * self.at(temperature_k)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use testkit::{Worst, assert_close, assert_within, table};

    #[test]
    fn every_row_of_the_resistance_table() {
        let mut worst = Worst::new();
        for row in table("copper_resistance.csv").rows() {
            let material = match row.text("material") {
                "copper" => COPPER,
                _ => ALUMINIUM,
            };
            let resistor = |ohm| Resistor {
                resistance_ohm: ohm,
                reference_k: HANDBOOK_TEMPERATURE_K,
                temperature_coefficient_per_k: material.temperature_coefficient_per_k,
            };
            let computed = match row.text("quantity") {
                "resistivity" => material.resistivity_ohm_m(row.number("temperature_K")),
                "joule_heat" => resistor(row.number("resistance_20C_ohm"))
                    .heat_w(row.number("current_rms_A"), row.number("temperature_K")),
                "steady_temperature" => {
                    // heat = I^2 R(T), T = Ta + Rth heat: repeated substitution with our law
                    let wire = resistor(row.number("resistance_20C_ohm"));
                    let ambient = row.number("ambient_temperature_K");
                    (0..500).fold(ambient, |t, _| {
                        ambient
                            + row.number("thermal_resistance_K_W")
                                * wire.heat_w(row.number("current_rms_A"), t)
                    })
                }
                other => panic!("unknown quantity {other}"),
            };
            worst.check(row, computed);
        }
        worst.finish(14);
    }

    #[test]
    fn a_winding_at_120_degc_has_39_percent_more_resistance() {
        // 1 + 0.00393 x 100 = 1.393 (IEC 60228 coefficient)
        assert_within("factor", COPPER.factor_from_20c(393.15), 1.393, 1e-12);
        // referred to 25 degC: 1.393 / (1 + 0.00393 x 5) = 1.393 / 1.01965 = 1.366155
        assert_within("factor", COPPER.factor(393.15, 298.15), 1.366155, 1e-6);
    }

    #[test]
    fn copper_without_cooling_heats_by_0_0066_j_squared() {
        // Trade figure (own calculation of the collection): 0.0066 J^2 K/s, J in A/mm2; 20 A/mm2 gives 2.6 K/s. Two digits,
        // for copper near 100 degC: 2.2661e-8 x 1e12 / (8960 x 385) = 0.006569.
        let per_square = COPPER.adiabatic_heating_k_s(1e6, 373.15);
        assert_within("K/s at 1 A/mm2", per_square, 0.0066, 0.00005);
        assert_within("K/s at 20 A/mm2", COPPER.adiabatic_heating_k_s(20e6, 373.15), 2.6, 0.05);
    }

    #[test]
    fn a_cable_by_hand() {
        // 2 x 3 m of 50 mm2 copper at 60 degC: 1.7241e-8 x 6 / 50e-6 = 2.06892 mOhm; x (1 + 0.00393 x 40) = 2.39415 mOhm;
        // at 200 A: 95.766 W
        let cable = Resistor::cable(6.0, 50e-6, &COPPER).unwrap();
        assert_close("ohm", cable.at(333.15), 2.394154e-3, 1e-6);
        assert_close("W", cable.heat_w(200.0, 333.15), 95.7662, 1e-5);
        assert!(Resistor::cable(6.0, 0.0, &COPPER).is_err());
        assert!(Resistor::cable(f64::NAN, 1e-6, &COPPER).is_err());
    }
}
