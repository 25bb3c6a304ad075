//! Strength of a glycol by mass and by volume.

use super::kind::Glycol;
use crate::MediaError;

/// Density of water at 20 degC, kg/m3 (IAPWS-95).
const WATER_DENSITY: f64 = 998.21;

/// The highest accepted glycol mass fraction. Property laws end at 0.6; up to here (0.6 of ethylene glycol by volume is
/// 0.626 by mass) they are continued and every result is flagged as out of range.
pub const MAX_MASS_FRACTION: f64 = 0.63;

/// How much glycol is in the water.
///
/// By volume means: volumes of the neat liquids at 20 degC before mixing (mixing shrinks them by about 1 %).
/// ```text
/// w = phi rho_g/(phi rho_g + (1 - phi) rho_w)
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Strength {
    /// Fraction by mass.
    Mass(f64),
    /// Fraction by volume.
    Volume(f64),
}

impl Strength {
    /// Reads `0.5` (by mass) or `0.5vol` (by volume).
    pub(crate) fn parse(glycol: Glycol, text: &str) -> Result<Self, MediaError> {
        let (number, by_volume) = match text.strip_suffix("vol") {
            Some(number) => (number.trim(), true),
            None => (text, false),
        };
        let not_a_number =
            || MediaError::FractionNotANumber { name: glycol.name().to_owned(), fraction: text.to_owned() };
        let value: f64 = number.parse().ok().filter(|v: &f64| v.is_finite()).ok_or_else(not_a_number)?;
        Ok(if by_volume { Self::Volume(value) } else { Self::Mass(value) })
    }

    /// The fraction by mass.
    ///
    /// # Errors
    /// [`MediaError::FractionOutOfRange`] outside 0 to [`MAX_MASS_FRACTION`].
    pub fn mass_fraction(self, glycol: Glycol) -> Result<f64, MediaError> {
        let mass = match self {
            Self::Mass(mass) => mass,
            Self::Volume(volume) => {
                let (neat, water) = (volume * glycol.neat_density(), (1.0 - volume) * WATER_DENSITY);
                neat / (neat + water)
            }
        };
        if 0.0 <= mass && mass <= MAX_MASS_FRACTION {
            Ok(mass)
        } else {
            Err(MediaError::FractionOutOfRange {
                name: glycol.name().to_owned(),
                given: self.text(),
                mass_fraction: mass,
                most: MAX_MASS_FRACTION,
            })
        }
    }

    fn text(self) -> String {
        match self {
            Self::Mass(mass) => format!("{mass}"),
            Self::Volume(volume) => format!("{volume}vol"),
        }
    }

    /// As [`crate::Liquid::named`] takes it.
    pub(crate) fn full_name(self, glycol: Glycol) -> String {
        format!("{}:{}", glycol.name(), self.text())
    }
}

/// The fraction by volume (neat liquids at 20 degC).
pub(crate) fn volume_fraction(glycol: Glycol, mass: f64) -> f64 {
    let (neat, water) = (mass / glycol.neat_density(), (1.0 - mass) / WATER_DENSITY);
    neat / (neat + water)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_by_volume_is_527_by_mass() {
        // practice.md fact 10 and the note of coolant_volume_basis.csv: 0.50 by volume of ethylene glycol is about 0.527
        let mass = Strength::Volume(0.5).mass_fraction(Glycol::Ethylene).unwrap();
        assert!((mass - 0.527).abs() < 0.001, "{mass}");
        assert!((volume_fraction(Glycol::Ethylene, mass) - 0.5).abs() < 1e-12);
    }

    #[test]
    fn the_strength_is_read() {
        assert_eq!(Strength::parse(Glycol::Ethylene, "0.5vol"), Ok(Strength::Volume(0.5)));
        assert_eq!(Strength::parse(Glycol::Ethylene, "0.5"), Ok(Strength::Mass(0.5)));
        assert!(Strength::parse(Glycol::Ethylene, "half").is_err());
        assert!(Strength::parse(Glycol::Ethylene, "NaN").is_err());
        assert!(Strength::Mass(0.7).mass_fraction(Glycol::Ethylene).is_err());
        assert!(Strength::Mass(-0.1).mass_fraction(Glycol::Ethylene).is_err());
    }
}
