//! What can be wrong with the name of a medium, a table of one, or an altitude.

use thiserror::Error;

/// Why a liquid, a day or a table could not be used.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum MediaError {
    /// No medium has this name.
    #[error("no fluid is called `{name}`{}", suggestion_text(suggestion.as_deref()))]
    UnknownLiquid {
        /// The name as given.
        name: String,
        /// The known name that looks most like it.
        suggestion: Option<String>,
    },
    /// Air where a liquid is needed.
    #[error("`air` is not a liquid: a loop needs a liquid, air belongs in a duct")]
    AirIsNotALiquid,
    /// A glycol without its strength.
    #[error(
        "`{name}` needs its strength: write `{name}:0.5` for 50 % by mass or `{name}:0.5vol` for 50 % by volume"
    )]
    FractionMissing {
        /// The glycol.
        name: String,
    },
    /// A strength on a fluid that has none.
    #[error("`{name}` is not a mixture: remove `:{fraction}`")]
    FractionNotWanted {
        /// The fluid.
        name: String,
        /// What stood after the colon.
        fraction: String,
    },
    /// Text after the colon that is not a number.
    #[error(
        "the strength `{fraction}` of `{name}` is not a number: write `{name}:0.5` (by mass) or `{name}:0.5vol` (by volume)"
    )]
    FractionNotANumber {
        /// The glycol.
        name: String,
        /// What stood after the colon.
        fraction: String,
    },
    /// A strength outside the law.
    #[error(
        "{name} of {mass_fraction:.3} by mass ({given}) is outside 0 to {most} by mass: no property law covers it"
    )]
    FractionOutOfRange {
        /// The glycol.
        name: String,
        /// What stood after the colon.
        given: String,
        /// The mass fraction it means.
        mass_fraction: f64,
        /// The highest accepted mass fraction.
        most: f64,
    },
    /// A viscosity grade that ISO 3448 does not have.
    #[error("ISO 3448 has no grade `{grade}`; it has {known}")]
    UnknownGrade {
        /// The grade as given.
        grade: String,
        /// All grades.
        known: String,
    },
    /// A table of a liquid with too few rows, or a list with too few points.
    #[error("{what} of `{name}` needs at least two rows, {given} given")]
    TooFewRows {
        /// The liquid.
        name: String,
        /// Which table.
        what: &'static str,
        /// Rows given.
        given: usize,
    },
    /// A value that is zero, negative or not a number.
    #[error("row {row} of `{name}`: {what} is {value}, it must be a positive number")]
    NotPositive {
        /// The liquid.
        name: String,
        /// The row, counted from 1.
        row: usize,
        /// The column.
        what: &'static str,
        /// The value.
        value: f64,
    },
    /// Rows that are not in rising order.
    #[error("row {row} of `{name}`: {what} {value} must lie above the row before")]
    NotRising {
        /// The liquid.
        name: String,
        /// The row, counted from 1.
        row: usize,
        /// The column.
        what: &'static str,
        /// The value.
        value: f64,
    },
    /// Viscosities of an oil that do not fall with temperature.
    #[error(
        "the viscosity of `{name}` must fall with temperature: {colder} mm2/s colder, {warmer} mm2/s warmer"
    )]
    ViscosityNotFalling {
        /// The oil.
        name: String,
        /// The viscosity at the colder anchor.
        colder: f64,
        /// The viscosity at the warmer anchor.
        warmer: f64,
    },
    /// An altitude outside the model or the table.
    #[error("a pressure altitude of {altitude_m:.0} m is outside {low_m:.0} to {high_m:.0} m of the {day}")]
    AltitudeOutOfRange {
        /// The day.
        day: String,
        /// The altitude asked for.
        altitude_m: f64,
        /// The lowest covered altitude.
        low_m: f64,
        /// The highest covered altitude.
        high_m: f64,
    },
    /// A temperature that is not physical.
    #[error("an air temperature of {temperature_k} K is not physical")]
    Temperature {
        /// The temperature.
        temperature_k: f64,
    },
    /// A pressure that is not positive.
    #[error("an absolute pressure of {pressure_pa} Pa is not physical")]
    Pressure {
        /// The pressure.
        pressure_pa: f64,
    },
}

fn suggestion_text(suggestion: Option<&str>) -> String {
    suggestion.map_or_else(String::new, |name| format!("; did you mean `{name}`?"))
}

/// The known name nearest to `name`, if it is near at all.
pub(crate) fn nearest<'a>(name: &str, known: impl Iterator<Item = &'a str>) -> Option<String> {
    let (distance, best) = known.map(|k| (strsim::osa_distance(name, k), k)).min_by_key(|pair| pair.0)?;
    let allowed = name.chars().count().max(best.chars().count()) / 2;
    (distance <= allowed).then(|| best.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn far_names_are_not_suggested() {
        assert_eq!(nearest("watr", ["water", "atf"].into_iter()), Some("water".to_owned()));
        assert_eq!(nearest("mercury", ["water", "atf"].into_iter()), None);
    }
}
