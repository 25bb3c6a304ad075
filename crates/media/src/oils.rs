//! Named oils, and oils from a user's data sheet.

use crate::law::{ConductivityLaw, DensityLaw, HeatLaw, ViscosityLaw};
use crate::liquid::{Data, Liquid};
use crate::oil::{Anchor, Walther, cragoe_conductivity, cragoe_specific_heat, relative_density};
use crate::polynomial::Polynomial;
use crate::{MediaError, Spread};

/// What a data sheet says about an oil.
#[derive(Clone, Debug, PartialEq)]
pub struct OilData {
    /// Density at 15 degC, kg/m3.
    pub density_at_15_c_kg_m3: f64,
    /// Kinematic viscosity at 40 degC, mm2/s.
    pub viscosity_at_40_c_mm2_s: f64,
    /// Kinematic viscosity at 100 degC, mm2/s.
    pub viscosity_at_100_c_mm2_s: f64,
    /// A measured viscosity below 0 degC, if there is one: without it the line through 40 and 100 degC is continued,
    /// which may be wrong by half or double at -40 degC.
    pub cold: Option<Anchor>,
    /// Pour point, K.
    pub pour_point_k: Option<f64>,
    /// Temperatures the data cover, K.
    pub range_k: (f64, f64),
    /// Where the numbers come from.
    pub source: String,
}

impl Liquid {
    /// An oil from its data sheet: viscosity by ASTM D341, density by the expansion of lubricants, specific heat and
    /// conductivity by Cragoe (petroleum oils).
    ///
    /// # Errors
    /// [`MediaError`] if a value is not positive, or viscosities do not fall with temperature.
    pub fn oil(name: &str, data: &OilData) -> Result<Self, MediaError> {
        let description = format!("{name} (oil)");
        oil_with(name, &description, data, None, petroleum_spread(0.10))
    }
}

/// Specific heat and conductivity of an oil that Cragoe's petroleum relations do not fit.
struct Thermal {
    heat: Polynomial,
    conductivity: Polynomial,
}

fn oil_with(
    name: &str,
    description: &str,
    data: &OilData,
    thermal: Option<Thermal>,
    spread: Spread,
) -> Result<Liquid, MediaError> {
    let positive = [
        ("the density at 15 degC", data.density_at_15_c_kg_m3),
        ("the low end of the range", data.range_k.0),
        ("the width of the range", data.range_k.1 - data.range_k.0),
    ];
    for (what, value) in positive {
        if !(value > 0.0 && value.is_finite()) {
            return Err(MediaError::NotPositive { name: name.to_owned(), row: 1, what, value });
        }
    }
    let walther = Walther::new(name, data.viscosity_at_40_c_mm2_s, data.viscosity_at_100_c_mm2_s, data.cold)?;
    let thermal = thermal.unwrap_or_else(|| petroleum(data.density_at_15_c_kg_m3));
    Ok(Liquid::from_data(Data {
        name: name.to_owned(),
        description: description.to_owned(),
        source: data.source.clone(),
        fitted_k: data.range_k,
        evaluated_k: data.range_k,
        strength_fitted: true,
        density: DensityLaw::Lubricant(data.density_at_15_c_kg_m3),
        heat: HeatLaw::Polynomial(thermal.heat),
        viscosity: ViscosityLaw::Oil(walther),
        conductivity: ConductivityLaw::Polynomial(thermal.conductivity),
        freezing_k: data.pour_point_k,
        vapour: None,
        spread,
    }))
}

/// Cragoe's relations are straight lines in temperature.
fn petroleum(density_at_15_c_kg_m3: f64) -> Thermal {
    let s = relative_density(density_at_15_c_kg_m3);
    let line = |law: fn(f64, f64) -> f64| {
        let (cold, hot) = (law(s, 273.15), law(s, 373.15));
        Polynomial::line(273.15, cold, (hot - cold) / 100.0)
    };
    Thermal { heat: line(cragoe_specific_heat::<f64>), conductivity: line(cragoe_conductivity::<f64>) }
}

fn petroleum_spread(viscosity: f64) -> Spread {
    Spread {
        density: 0.02,
        specific_heat: 0.04,
        viscosity,
        conductivity: 0.10,
        freezing_k: Some(6.0),
        words: "specific heat 2-4 % and conductivity about 10 % as stated for Cragoe 1929; density, viscosity and pour \
                point: between products of the grade (from memory)"
            .to_owned(),
    }
}

const TYPICAL: &str = "anchors typical of the class, from memory; ASTM D341 with a cold anchor at -40 degC; \
                       API MPMS 11.1 expansion";

/// Polyol-ester turbine oil of the 5 mm2/s class.
pub(crate) fn turbine_oil() -> Result<Liquid, MediaError> {
    let data = OilData {
        density_at_15_c_kg_m3: 1000.0,
        viscosity_at_40_c_mm2_s: 27.6,
        viscosity_at_100_c_mm2_s: 5.1,
        cold: Some(Anchor { temperature_k: 233.15, viscosity_mm2_s: 11_000.0 }),
        pour_point_k: Some(219.15), // -54 degC: requirement of MIL-PRF-23699, from memory
        range_k: (233.15, 473.15),
        source: format!(
            "{TYPICAL}; limits of MIL-PRF-23699; specific heat and conductivity of polyol esters, from memory"
        ),
    };
    // from memory: 1880 and 2090 J/(kg K), 0.150 and 0.142 W/(m K) at 15 and 100 degC. Cragoe holds for petroleum.
    let thermal = Thermal {
        heat: Polynomial::line(288.15, 1880.0, 210.0 / 85.0),
        conductivity: Polynomial::line(288.15, 0.150, -0.008 / 85.0),
    };
    let spread = Spread {
        density: 0.03,
        specific_heat: 0.08,
        viscosity: 0.10,
        conductivity: 0.25,
        freezing_k: Some(6.0),
        words: "density, specific heat, viscosity and pour point: between products of the class (from memory); conductivity: \
                Cragoe's petroleum relation lies 20-25 % lower"
            .to_owned(),
    };
    oil_with(
        "turbine-oil",
        "polyol-ester turbine oil, 5 mm2/s class (MIL-PRF-23699)",
        &data,
        Some(thermal),
        spread,
    )
}

/// Automatic transmission fluid.
pub(crate) fn atf() -> Result<Liquid, MediaError> {
    let data = OilData {
        density_at_15_c_kg_m3: 850.0,
        viscosity_at_40_c_mm2_s: 35.0,
        viscosity_at_100_c_mm2_s: 7.2,
        // about 11 000 mPa s at -40 degC
        cold: Some(Anchor { temperature_k: 233.15, viscosity_mm2_s: 12_400.0 }),
        pour_point_k: Some(228.15),
        range_k: (233.15, 423.15),
        source: format!("{TYPICAL}; Cragoe 1929"),
    };
    oil_with("atf", "automatic transmission fluid, 7 mm2/s class", &data, None, petroleum_spread(0.25))
}

/// Gear oil SAE 75W-90.
pub(crate) fn gear_oil_75w90() -> Result<Liquid, MediaError> {
    let data = OilData {
        density_at_15_c_kg_m3: 870.0,
        viscosity_at_40_c_mm2_s: 100.0,
        viscosity_at_100_c_mm2_s: 15.2,
        // about 100 000 mPa s at -40 degC, limit 150 000 (SAE J306, 75W)
        cold: Some(Anchor { temperature_k: 233.15, viscosity_mm2_s: 110_000.0 }),
        pour_point_k: Some(228.15),
        range_k: (233.15, 423.15),
        source: format!("{TYPICAL}; limits of SAE J306; Cragoe 1929"),
    };
    oil_with("gear-oil-75w90", "gear oil SAE 75W-90", &data, None, petroleum_spread(0.25))
}

/// One grade of ISO 3448.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IsoGrade {
    /// The number of the grade.
    pub grade: u32,
    /// Mid-point kinematic viscosity at 40 degC, mm2/s (ISO 3448).
    pub viscosity_at_40_c_mm2_s: f64,
    /// Kinematic viscosity at 100 degC for a viscosity index of 100 (ASTM D2270), mm2/s.
    pub viscosity_at_100_c_mm2_s: f64,
    /// Density at 15 degC of a mineral oil of the grade, kg/m3 (typical, from memory).
    pub density_at_15_c_kg_m3: f64,
    /// Pour point of a mineral oil of the grade, degC (typical, from memory).
    pub pour_point_c: f64,
}

const fn grade(grade: u32, at_40: f64, at_100: f64, density: f64, pour_point_c: f64) -> IsoGrade {
    IsoGrade {
        grade,
        viscosity_at_40_c_mm2_s: at_40,
        viscosity_at_100_c_mm2_s: at_100,
        density_at_15_c_kg_m3: density,
        pour_point_c,
    }
}

/// The grades of ISO 3448 with a viscosity index of 100.
///
/// Viscosities at 100 degC by ASTM D2270 (`fit/fit.py`, library chemicals). The index is not defined below 2 mm2/s:
/// grades 2, 3 and 5 continue the standard's lowest polynomial, H = 0.84155 Y^2 + 1.5521 Y - 0.077 (from memory).
pub const ISO_GRADES: [IsoGrade; 20] = [
    grade(2, 2.2, 0.9636, 805.0, -45.0),
    grade(3, 3.2, 1.256, 815.0, -45.0),
    grade(5, 4.6, 1.609, 825.0, -42.0),
    grade(7, 6.8, 2.081, 835.0, -39.0),
    grade(10, 10.0, 2.659, 845.0, -36.0),
    grade(15, 15.0, 3.41, 852.0, -33.0),
    grade(22, 22.0, 4.294, 860.0, -30.0),
    grade(32, 32.0, 5.362, 868.0, -27.0),
    grade(46, 46.0, 6.76, 873.0, -24.0),
    grade(68, 68.0, 8.731, 878.0, -21.0),
    grade(100, 100.0, 11.38, 882.0, -18.0),
    grade(150, 150.0, 15.02, 887.0, -15.0),
    grade(220, 220.0, 19.44, 892.0, -12.0),
    grade(320, 320.0, 24.95, 896.0, -12.0),
    grade(460, 460.0, 31.78, 900.0, -9.0),
    grade(680, 680.0, 41.14, 905.0, -6.0),
    grade(1000, 1000.0, 52.77, 910.0, -3.0),
    grade(1500, 1500.0, 68.33, 915.0, -3.0),
    grade(2200, 2200.0, 86.79, 920.0, 0.0),
    grade(3200, 3200.0, 109.1, 925.0, 3.0),
];

/// Mineral oil of an ISO 3448 grade, viscosity index 100.
///
/// There is no cold anchor that would hold for a grade: the line through 40 and 100 degC is continued to the pour
/// point, as viscosity charts do. With a measured cold viscosity use [`Liquid::oil`].
pub(crate) fn iso_vg(text: &str) -> Result<Liquid, MediaError> {
    let wanted = text.parse::<u32>().ok();
    let Some(grade) = ISO_GRADES.iter().find(|grade| Some(grade.grade) == wanted) else {
        let known: Vec<String> = ISO_GRADES.iter().map(|grade| grade.grade.to_string()).collect();
        return Err(MediaError::UnknownGrade { grade: text.to_owned(), known: known.join(", ") });
    };
    let pour_point_k = grade.pour_point_c + 273.15;
    let data = OilData {
        density_at_15_c_kg_m3: grade.density_at_15_c_kg_m3,
        viscosity_at_40_c_mm2_s: grade.viscosity_at_40_c_mm2_s,
        viscosity_at_100_c_mm2_s: grade.viscosity_at_100_c_mm2_s,
        cold: None,
        pour_point_k: Some(pour_point_k),
        range_k: (pour_point_k, 423.15),
        source: "ISO 3448 mid-point at 40 degC; viscosity index 100 assumed (ASTM D2270); ASTM D341 through 40 and \
                 100 degC; density and pour point typical, from memory; API MPMS 11.1 expansion; Cragoe 1929"
            .to_owned(),
    };
    let description = format!("mineral oil ISO VG {} (viscosity index 100 assumed)", grade.grade);
    oil_with(&format!("iso-vg-{}", grade.grade), &description, &data, None, petroleum_spread(0.25))
}
