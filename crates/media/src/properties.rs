//! A property table for one fluid, liquid or air.

use crate::{Liquid, MediaError, air};

/// Standard pressure, Pa absolute.
pub const STANDARD_PRESSURE_PA: f64 = 101_325.0;

/// Properties at one temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct PropertyRow {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Specific heat, J/(kg K).
    pub specific_heat_j_kgk: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity_pa_s: f64,
    /// Thermal conductivity, W/(m K).
    pub conductivity_w_mk: f64,
    /// Prandtl number.
    pub prandtl: f64,
    /// Enthalpy above 273.15 K, J/kg.
    pub enthalpy_j_kg: f64,
    /// Where the laws come from.
    pub source: String,
    /// Whether the sources cover this temperature and strength.
    pub in_range: bool,
    /// Temperature of the edge at which values are held, K; none inside the laws. Density of air is that of an ideal gas throughout.
    pub held_at_k: Option<f64>,
    /// Freezing or pour point, K, where known.
    pub freezing_point_k: Option<f64>,
    /// The warm end of what published sources say about it, K.
    pub warmest_freezing_point_k: Option<f64>,
    /// Boiling point at the given pressure, K, where known.
    pub boiling_point_k: Option<f64>,
    /// Vapour pressure, Pa absolute, where known.
    pub vapour_pressure_pa: Option<f64>,
}

/// Properties of a named liquid, or of `air`, at temperatures in K and an absolute pressure (standard where none is
/// given; it matters for the density of air and for boiling).
///
/// # Errors
/// [`MediaError`] for an unknown name or strength, a temperature that is not positive, a pressure that is not positive.
///
/// ```
/// let rows = media::property_table("water", &[293.15], None).unwrap();
/// assert!((rows[0].density_kg_m3 - 998.2).abs() < 0.3); // IAPWS-95 at 20 degC and 101 325 Pa: 998.21
/// ```
pub fn property_table(
    name: &str,
    temperatures_k: &[f64],
    pressure_abs_pa: Option<f64>,
) -> Result<Vec<PropertyRow>, MediaError> {
    let pressure_pa = pressure_abs_pa.unwrap_or(STANDARD_PRESSURE_PA);
    if !(pressure_pa > 0.0 && pressure_pa.is_finite()) {
        return Err(MediaError::Pressure { pressure_pa });
    }
    if let Some(&temperature_k) = temperatures_k.iter().find(|t| !(**t > 0.0 && t.is_finite())) {
        return Err(MediaError::Temperature { temperature_k });
    }
    if name.trim().eq_ignore_ascii_case(air::NAME) {
        return Ok(temperatures_k.iter().map(|&t| air_row(t, pressure_pa)).collect());
    }
    let liquid = Liquid::named(name)?;
    Ok(temperatures_k.iter().map(|&t| liquid_row(&liquid, t, pressure_pa)).collect())
}

/// Properties of a prepared liquid at one temperature; the absolute pressure matters for boiling only.
pub fn liquid_row(liquid: &Liquid, temperature_k: f64, pressure_abs_pa: f64) -> PropertyRow {
    let t = temperature_k;
    PropertyRow {
        temperature_k: t,
        density_kg_m3: liquid.density(t),
        specific_heat_j_kgk: liquid.specific_heat(t),
        viscosity_pa_s: liquid.viscosity(t),
        conductivity_w_mk: liquid.conductivity(t),
        prandtl: liquid.prandtl(t),
        enthalpy_j_kg: liquid.enthalpy(t),
        source: liquid.source().to_owned(),
        in_range: liquid.in_range(t),
        held_at_k: edge_k(t, liquid.evaluated_range_k()),
        freezing_point_k: liquid.freezing_point_k(),
        warmest_freezing_point_k: liquid.warmest_freezing_point_k(),
        boiling_point_k: liquid.boiling_point_k(pressure_abs_pa),
        vapour_pressure_pa: liquid.vapour_pressure_pa(t),
    }
}

/// The end of a range that a temperature lies beyond, K.
fn edge_k(temperature_k: f64, (low, high): (f64, f64)) -> Option<f64> {
    let held = temperature_k.clamp(low, high);
    (held != temperature_k).then_some(held)
}

fn air_row(temperature_k: f64, pressure_pa: f64) -> PropertyRow {
    let t = temperature_k;
    PropertyRow {
        temperature_k: t,
        density_kg_m3: air::density(t, pressure_pa),
        specific_heat_j_kgk: air::specific_heat(t),
        viscosity_pa_s: air::viscosity(t),
        conductivity_w_mk: air::conductivity(t),
        prandtl: air::prandtl(t),
        enthalpy_j_kg: air::enthalpy(t),
        source: air::SOURCE.to_owned(),
        in_range: air::in_range(t),
        held_at_k: edge_k(t, air::RANGE_K),
        freezing_point_k: None,
        warmest_freezing_point_k: None,
        boiling_point_k: None,
        vapour_pressure_pa: None,
    }
}
