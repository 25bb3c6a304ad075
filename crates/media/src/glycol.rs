//! Ethylene and propylene glycol in water.

mod coefficients;
mod kind;
mod strength;

use crate::conde::ethylene_glycol_conde;
use crate::law::{ConductivityLaw, DensityLaw, HeatLaw, ViscosityLaw};
use crate::liquid::{Data, Liquid};
use crate::polynomial::Polynomial;
use crate::vapour::{Antoine, VapourLaw};
use crate::{MediaError, Spread};
use coefficients::{ETHYLENE, Melinder, PROPYLENE};

pub use kind::Glycol;
pub use strength::{MAX_MASS_FRACTION, Strength};

/// The Melinder fit ends here (its source: from the freezing curve to 100 degC).
const FITTED_TO_K: f64 = 373.15;
/// The polynomials are evaluated 10 K further, flagged, and held beyond: that is as far as
/// tabulated handbook densities and the shape of ln(viscosity) support it.
const EVALUATED_TO_K: f64 = 383.15;
/// The Melinder fit ends at this mass fraction.
const FITTED_MASS_FRACTION: f64 = 0.6;
/// Molar masses, g/mol.
const WATER_MOLAR_MASS: f64 = 18.015268;

impl Glycol {
    fn melinder(self) -> &'static Melinder {
        match self {
            Self::Ethylene => &ETHYLENE,
            Self::Propylene => &PROPYLENE,
        }
    }

    /// Vapour pressure of the neat glycol. It adds 0.2-0.3 K to the boiling estimate.
    fn antoine(self) -> Antoine {
        match self {
            // from memory; gives 197 degC at 1 atm, the handbook's normal boiling point
            Self::Ethylene => Antoine { a: 9.97012, b: 1914.951, c: -84.996 },
            // on CoolProp 8.0.0 PropyleneGlycol, 290 to 480 K, within 1.1 % (`fit/fit.py`)
            Self::Propylene => Antoine { a: 10.322633, b: 2090.27468, c: -67.988916 },
        }
    }
}

/// A glycol of a strength, as a liquid.
///
/// The polynomial in two variables is collapsed to a cubic in temperature once, here.
pub(crate) fn liquid(glycol: Glycol, strength: Strength) -> Result<Liquid, MediaError> {
    let mass = strength.mass_fraction(glycol)?;
    let law = glycol.melinder();
    let freezing_k = freezing_k(law, mass);
    let fitted_k = (freezing_k, FITTED_TO_K);
    let percent = 100.0 * mass - law.centre_mass_percent;
    let cubic = |terms: &[f64; 18], add: f64| {
        let mut rising = collapse(terms, percent);
        rising[0] += add;
        Polynomial::new(273.15 + law.centre_c, 1.0, &rising)
    };
    let (density, heat) = (cubic(&law.density, 0.0), cubic(&law.specific_heat, 0.0));
    let (conductivity, ln_viscosity) =
        (cubic(&law.conductivity, 0.0), cubic(&law.ln_viscosity, 0.001_f64.ln()));
    let laws =
        Laws { density: &density, heat: &heat, conductivity: &conductivity, ln_viscosity: &ln_viscosity };
    let spread = spread(glycol, mass, fitted_k, &laws);
    Ok(Liquid::from_data(Data {
        name: strength.full_name(glycol),
        description: description(glycol, mass),
        source: "Melinder 2010, Properties of Secondary Working Fluids, polynomial in mass fraction and temperature \
                 (coefficients recovered from CoolProp 8.0.0 INCOMP::MEG/MPG); boiling: Raoult estimate on IAPWS \
                 water"
            .to_owned(),
        fitted_k,
        evaluated_k: (freezing_k, EVALUATED_TO_K),
        strength_fitted: mass <= FITTED_MASS_FRACTION,
        density: DensityLaw::Polynomial(density),
        heat: HeatLaw::Polynomial(heat),
        viscosity: ViscosityLaw::LnPolynomial(ln_viscosity),
        conductivity: ConductivityLaw::Polynomial(conductivity),
        freezing_k: Some(freezing_k),
        vapour: Some(VapourLaw::Raoult {
            water_mole_fraction: water_mole_fraction(glycol, mass),
            glycol: glycol.antoine(),
        }),
        spread,
    }))
}

fn description(glycol: Glycol, mass: f64) -> String {
    let volume = strength::volume_fraction(glycol, mass);
    let beyond = if mass > FITTED_MASS_FRACTION {
        format!("; stronger than the {FITTED_MASS_FRACTION} by mass of the property law")
    } else {
        String::new()
    };
    format!(
        "{} {:.1} % by mass ({:.1} % by volume) in water{beyond}",
        glycol.plain_name(),
        100.0 * mass,
        100.0 * volume
    )
}

fn water_mole_fraction(glycol: Glycol, mass: f64) -> f64 {
    let (water, other) = ((1.0 - mass) / WATER_MOLAR_MASS, mass / glycol.molar_mass());
    water / (water + other)
}

/// Coefficients of 1, dt, dt^2, dt^3 at a fixed strength.
fn collapse(terms: &[f64; 18], percent: f64) -> [f64; 4] {
    let mut rising = [0.0; 4];
    let mut next = terms.iter();
    for i in 0..6_i32 {
        let highest = (5 - i).min(3) as usize;
        for (sum, term) in rising[..=highest].iter_mut().zip(next.by_ref()) {
            *sum += term * percent.powi(i);
        }
    }
    rising
}

/// Freezing begins here, K: Melinder 2010.
fn freezing_k(law: &Melinder, mass: f64) -> f64 {
    let percent = 100.0 * mass - law.centre_mass_percent;
    273.15 + law.freezing_c.iter().rev().fold(0.0, |sum, c| sum * percent + c)
}

struct Laws<'a> {
    density: &'a Polynomial,
    heat: &'a Polynomial,
    conductivity: &'a Polynomial,
    ln_viscosity: &'a Polynomial,
}

/// What other sources say at equal strength, as the largest relative difference from Melinder.
///
/// Tables of inhibited glycol (ASHRAE, CoolProp INCOMP::AEG and APG): 1 % density, 4 % specific heat, 14 % viscosity, 4 %
/// conductivity; freezing 3.0 K (ethylene) and 0.5 K (propylene) between 0.1 and 0.55 by volume. Ethylene glycol has
/// two more sources: a handbook-type viscosity table (13-21 % thinner at 27-71 degC), and the law of Conde, compared
/// over the fitted range.
fn spread(glycol: Glycol, mass: f64, (low, high): (f64, f64), laws: &Laws<'_>) -> Spread {
    let mut spread = Spread {
        density: 0.01,
        specific_heat: 0.04,
        viscosity: 0.14,
        conductivity: 0.04,
        freezing_k: Some(0.5),
        words: "largest difference between Melinder 2010 and the ASHRAE tables of inhibited glycol"
            .to_owned(),
    };
    if glycol == Glycol::Propylene {
        return spread;
    }
    spread.viscosity = 0.21;
    let freezing = (low - ethylene_glycol_conde(mass, low).freezing_k).abs();
    spread.freezing_k = Some(freezing.max(3.0));
    let widen = |known: &mut f64, ours: f64, theirs: f64| *known = known.max((theirs / ours - 1.0).abs());
    for k in 0..=32 {
        let t = low + (high - low) * f64::from(k) / 32.0;
        let other = ethylene_glycol_conde(mass, t);
        widen(&mut spread.density, laws.density.at(t), other.density_kg_m3);
        widen(&mut spread.specific_heat, laws.heat.at(t), other.specific_heat_j_kgk);
        widen(&mut spread.conductivity, laws.conductivity.at(t), other.conductivity_w_mk);
        widen(&mut spread.viscosity, laws.ln_viscosity.at(t).exp(), other.viscosity_pa_s);
    }
    let (low, high) = (low - 273.15, high - 273.15);
    let others = format!(
        ", a handbook-type viscosity table (13-21 % lower), and the law of Conde 2011 between {low:.0} and {high:.0} degC; \
         the others freeze warmer"
    );
    spread.words.push_str(&others);
    spread
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coefficients_equal_the_recovered_ones() {
        let table = testkit::table("glycol_polynomials.csv");
        for glycol in [Glycol::Ethylene, Glycol::Propylene] {
            let law = glycol.melinder();
            let fluid = format!("{}_water", glycol.plain_name().replace(' ', "_"));
            for (property, ours) in [
                ("density_kg_m3", &law.density),
                ("specific_heat_J_kgK", &law.specific_heat),
                ("conductivity_W_mK", &law.conductivity),
                ("ln_viscosity_mPa_s", &law.ln_viscosity),
            ] {
                let rows: Vec<_> = table
                    .iter()
                    .filter(|row| row.text("fluid") == fluid && row.text("property") == property)
                    .collect();
                assert_eq!(rows.len(), ours.len(), "{fluid} {property}");
                for (row, coefficient) in rows.into_iter().zip(ours) {
                    testkit::assert_close(property, *coefficient, row.number("coefficient"), 1e-6);
                    assert_eq!(row.number("centre_mass_percent"), law.centre_mass_percent);
                    assert_eq!(row.number("centre_temperature_degC"), law.centre_c);
                }
            }
        }
    }

    #[test]
    fn neat_glycols_boil_at_their_handbook_points() {
        // normal boiling points 197.3 and 188.2 degC (handbook values, from memory); a kelvin is about 3 % of pressure
        for (glycol, celsius) in [(Glycol::Ethylene, 197.3), (Glycol::Propylene, 188.2)] {
            let law = VapourLaw::Raoult { water_mole_fraction: 0.0, glycol: glycol.antoine() };
            let boiling = law.boiling_point_k(101_325.0).expect("inside the window");
            testkit::assert_within(glycol.name(), boiling - 273.15, celsius, 1.0);
        }
    }
}
