//! The units that have a name of their own, with their exact definitions, and the prefixes each may carry.
//!
//! # Source
//! NIST Special Publication 811 (2008), Appendix B.8 and B.9, and the definitions it rests on: international foot
//! 0.3048 m, avoirdupois pound 0.45359237 kg, standard gravity 9.80665 m/s2, US gallon 231 in3, international table
//! British thermal unit 1055.05585262 J, nautical mile 1852 m. "Conventional" columns: water 1000 kg/m3, mercury
//! 13595.1 kg/m3, both with standard gravity.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::dimension::Dimension;
use crate::double_double::DoubleDouble;

/// What an atom needs besides its dimension, so that kinds of one dimension stay apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Role {
    /// Nothing special.
    Plain,
    /// A temperature scale: zero of the scale above absolute zero, in hundredths of its own degree.
    Scale(u32),
    /// A pressure unit that is read as absolute where an absolute pressure is expected.
    Pressure,
    /// A pressure unit that is used for gauge, absolute and difference alike and has to say which.
    LoosePressure,
    /// Marked as gauge.
    Gauge,
    /// Marked as absolute.
    Absolute,
    /// Marked as a difference.
    Differential,
    /// A force, or a torque written as one word.
    Force,
    /// Bare "C": the charge rate and nothing else.
    ChargeRate,
    /// A word of rate that is not a charge rate.
    Cycles,
    /// Magnetic flux.
    Flux,
    /// Hundreds of feet, written before the number.
    FlightLevel,
}

/// A unit with a name of its own.
#[derive(Debug)]
pub(crate) struct Atom {
    /// Canonical spelling first, then the others; each may carry a prefix.
    pub(crate) spellings: &'static [&'static str],
    /// Size in SI: numerator, denominator, power of π.
    size: (u128, u128, i32),
    pub(crate) dimension: Dimension,
    /// Prefix letters that may stand before it.
    prefixes: &'static str,
    pub(crate) role: Role,
}

impl Atom {
    /// Size in SI, to about 31 digits.
    pub(crate) fn size(&self) -> DoubleDouble {
        let (numerator, denominator, pi) = self.size;
        DoubleDouble::from_integer(numerator) / DoubleDouble::from_integer(denominator)
            * DoubleDouble::PI.powi(pi)
    }
}

const fn atom(
    spellings: &'static [&'static str],
    size: (u128, u128),
    powers: [i8; 6],
    prefixes: &'static str,
    role: Role,
) -> Atom {
    Atom { spellings, size: (size.0, size.1, 0), dimension: Dimension::new(powers), prefixes, role }
}

const fn turning(
    spellings: &'static [&'static str],
    size: (u128, u128),
    powers: [i8; 6],
    prefixes: &'static str,
) -> Atom {
    Atom { spellings, size: (size.0, size.1, 1), dimension: Dimension::new(powers), prefixes, role: Plain }
}

const NUMBER: [i8; 6] = [0, 0, 0, 0, 0, 0];
const MASS: [i8; 6] = [1, 0, 0, 0, 0, 0];
const LENGTH: [i8; 6] = [0, 1, 0, 0, 0, 0];
const TIME: [i8; 6] = [0, 0, 1, 0, 0, 0];
const TEMPERATURE: [i8; 6] = [0, 0, 0, 1, 0, 0];
const CURRENT: [i8; 6] = [0, 0, 0, 0, 1, 0];
const ANGLE: [i8; 6] = [0, 0, 0, 0, 0, 1];
const TURN_RATE: [i8; 6] = [0, 0, -1, 0, 0, 1];
const RATE: [i8; 6] = [0, 0, -1, 0, 0, 0];
const PER_LENGTH: [i8; 6] = [0, -1, 0, 0, 0, 0];
const VOLUME: [i8; 6] = [0, 3, 0, 0, 0, 0];
const SPEED: [i8; 6] = [0, 1, -1, 0, 0, 0];
const VOLUME_FLOW: [i8; 6] = [0, 3, -1, 0, 0, 0];
const FORCE: [i8; 6] = [1, 1, -2, 0, 0, 0];
const ENERGY: [i8; 6] = [1, 2, -2, 0, 0, 0];
const POWER: [i8; 6] = [1, 2, -3, 0, 0, 0];
const PRESSURE: [i8; 6] = [1, -1, -2, 0, 0, 0];
const VISCOSITY: [i8; 6] = [1, -1, -1, 0, 0, 0];
const DIFFUSIVITY: [i8; 6] = [0, 2, -1, 0, 0, 0];

// Exact integers of the definitions: pound 1e-8 kg, gravity 1e-5 m/s2, foot 1e-4 m, inch 1e-4 m, gallon 1e-12 m3.
const POUND: u128 = 45_359_237;
const GRAVITY: u128 = 980_665;
const FOOT: u128 = 3048;
const INCH: u128 = 254;
const GALLON: u128 = 3_785_411_784;
/// Pound-force in 1e-13 N.
const POUND_FORCE: u128 = POUND * GRAVITY;
/// Pound per square inch over 1e13 x 1e-8 Pa.
const PSI: (u128, u128) = (POUND_FORCE, INCH * INCH * 100_000);
/// International table British thermal unit in 1e-8 J.
const BTU: u128 = 105_505_585_262;

use Role::{
    Absolute, ChargeRate, Cycles, Differential, FlightLevel, Flux, Force, Gauge, LoosePressure, Plain,
    Pressure, Scale,
};

/// Every named unit.
static ATOMS: &[Atom] = &[
    // numbers
    atom(&["1"], (1, 1), NUMBER, "", Plain),
    atom(&["%", "pct", "percent", "%SOC"], (1, 100), NUMBER, "", Plain),
    atom(&["ppm"], (1, 1_000_000), NUMBER, "", Plain),
    // mass
    atom(&["g", "gram", "grams"], (1, 1000), MASS, "umk", Plain),
    atom(&["t", "tonne", "tonnes"], (1000, 1), MASS, "", Plain),
    atom(&["lb", "lbs", "lbm", "pound", "pounds"], (POUND, 100_000_000), MASS, "", Plain),
    atom(&["oz", "ounce", "ounces"], (POUND, 1_600_000_000), MASS, "", Plain),
    // length
    atom(&["m", "meter", "meters", "metre", "metres"], (1, 1), LENGTH, "umcdk", Plain),
    atom(&["micron", "microns"], (1, 1_000_000), LENGTH, "", Plain),
    atom(&["in", "inch", "inches"], (INCH, 10_000), LENGTH, "", Plain),
    atom(&["mil", "mils", "thou"], (INCH, 10_000_000), LENGTH, "", Plain),
    atom(&["ft", "foot", "feet"], (FOOT, 10_000), LENGTH, "k", Plain),
    atom(&["yd", "yard", "yards"], (9144, 10_000), LENGTH, "", Plain),
    atom(&["mi", "mile", "miles"], (1_609_344, 1000), LENGTH, "", Plain),
    atom(&["nmi"], (1852, 1), LENGTH, "", Plain),
    atom(&["FL"], (FOOT * 100, 10_000), LENGTH, "", FlightLevel),
    // fins per inch
    atom(&["fpi"], (10_000, INCH), PER_LENGTH, "", Plain),
    // time
    atom(&["s", "sec", "secs", "second", "seconds"], (1, 1), TIME, "um", Plain),
    atom(&["min", "mins", "minute", "minutes"], (60, 1), TIME, "", Plain),
    atom(&["h", "hr", "hrs", "hour", "hours"], (3600, 1), TIME, "", Plain),
    atom(&["d", "day", "days"], (86_400, 1), TIME, "", Plain),
    // temperature; alone a scale, inside a compound a difference
    atom(&["K", "kelvin", "kelvins"], (1, 1), TEMPERATURE, "m", Scale(0)),
    atom(&["degC", "celsius"], (1, 1), TEMPERATURE, "", Scale(27_315)),
    atom(&["degF", "fahrenheit"], (5, 9), TEMPERATURE, "", Scale(45_967)),
    atom(&["degR", "rankine"], (5, 9), TEMPERATURE, "", Scale(0)),
    // angle and rotation
    atom(&["rad", "radian", "radians"], (1, 1), ANGLE, "m", Plain),
    turning(&["deg", "degree", "degrees"], (1, 180), ANGLE, ""),
    turning(&["rev", "revs", "revolution", "revolutions", "turn", "turns"], (2, 1), ANGLE, ""),
    turning(&["rpm"], (1, 30), TURN_RATE, "k"),
    atom(&["Hz", "hertz"], (1, 1), RATE, "kMG", Cycles),
    // volume
    atom(&["L", "l", "liter", "liters", "litre", "litres"], (1, 1000), VOLUME, "umcd", Plain),
    atom(&["cc"], (1, 1_000_000), VOLUME, "", Plain),
    atom(&["gal", "gallon", "gallons"], (GALLON, 1_000_000_000_000), VOLUME, "", Plain),
    atom(&["qt", "quart", "quarts"], (GALLON / 4, 1_000_000_000_000), VOLUME, "", Plain),
    atom(&["impgal"], (454_609, 100_000_000), VOLUME, "", Plain),
    // speed and flow
    atom(&["kt", "kts", "kn", "knot", "knots"], (1852, 3600), SPEED, "", Plain),
    atom(&["mph"], (1_609_344, 3_600_000), SPEED, "", Plain),
    atom(&["kph", "kmh"], (1000, 3600), SPEED, "", Plain),
    atom(&["fpm"], (FOOT, 600_000), SPEED, "", Plain),
    atom(&["gpm"], (GALLON, 60_000_000_000_000), VOLUME_FLOW, "", Plain),
    atom(&["gph"], (GALLON, 3_600_000_000_000_000), VOLUME_FLOW, "", Plain),
    atom(&["lpm"], (1, 60_000), VOLUME_FLOW, "", Plain),
    atom(&["cfm"], (FOOT * FOOT * FOOT, 60_000_000_000_000), VOLUME_FLOW, "", Plain),
    // force and torque
    atom(&["N", "newton", "newtons"], (1, 1), FORCE, "mk", Force),
    atom(&["lbf"], (POUND_FORCE, 10_000_000_000_000), FORCE, "", Force),
    atom(&["ozf"], (POUND_FORCE, 160_000_000_000_000), FORCE, "", Force),
    atom(&["kgf"], (GRAVITY, 100_000), FORCE, "", Force),
    atom(&["Nm"], (1, 1), ENERGY, "mk", Force),
    // energy and power
    atom(&["J", "joule", "joules"], (1, 1), ENERGY, "umkMG", Plain),
    atom(&["Wh"], (3600, 1), ENERGY, "mkMG", Plain),
    atom(&["BTU", "Btu"], (BTU, 100_000_000), ENERGY, "", Plain),
    atom(&["W", "watt", "watts"], (1, 1), POWER, "umkMG", Plain),
    atom(&["hp", "bhp", "shp"], (550 * FOOT * POUND_FORCE, 100_000_000_000_000_000), POWER, "", Plain),
    atom(&["PS"], (75 * GRAVITY, 100_000), POWER, "", Plain),
    // pressure
    atom(&["Pa", "pascal", "pascals"], (1, 1), PRESSURE, "mhkM", Pressure),
    atom(&["Paa"], (1, 1), PRESSURE, "hkM", Absolute),
    atom(&["Pag"], (1, 1), PRESSURE, "hkM", Gauge),
    atom(&["bar", "bars"], (100_000, 1), PRESSURE, "m", Pressure),
    atom(&["bara"], (100_000, 1), PRESSURE, "m", Absolute),
    atom(&["barg"], (100_000, 1), PRESSURE, "m", Gauge),
    atom(&["psi"], PSI, PRESSURE, "", LoosePressure),
    atom(&["psia"], PSI, PRESSURE, "", Absolute),
    atom(&["psig"], PSI, PRESSURE, "", Gauge),
    atom(&["psid"], PSI, PRESSURE, "", Differential),
    atom(&["psf"], (POUND_FORCE, FOOT * FOOT * 100_000), PRESSURE, "", LoosePressure),
    atom(&["atm"], (101_325, 1), PRESSURE, "", Pressure),
    atom(&["inHg"], (135_951 * GRAVITY * INCH, 10_000_000_000), PRESSURE, "", Pressure),
    atom(&["mmHg"], (135_951 * GRAVITY, 1_000_000_000), PRESSURE, "", Pressure),
    atom(&["torr"], (101_325, 760), PRESSURE, "", Pressure),
    atom(&["inH2O", "inWC"], (GRAVITY * INCH, 1_000_000), PRESSURE, "", LoosePressure),
    atom(&["ftH2O"], (GRAVITY * FOOT, 1_000_000), PRESSURE, "", LoosePressure),
    atom(&["mmH2O"], (GRAVITY, 100_000), PRESSURE, "", LoosePressure),
    // viscosity
    atom(&["P", "poise"], (1, 10), VISCOSITY, "c", Plain),
    atom(&["St", "stokes"], (1, 10_000), DIFFUSIVITY, "c", Plain),
    // electricity
    atom(&["V", "volt", "volts"], (1, 1), [1, 2, -3, 0, -1, 0], "umk", Plain),
    atom(&["A", "amp", "amps", "ampere", "amperes"], (1, 1), CURRENT, "umk", Plain),
    atom(&["Ohm", "ohm", "Ohms", "ohms"], (1, 1), [1, 2, -3, 0, -2, 0], "numkMG", Plain),
    atom(&["S", "siemens"], (1, 1), [-1, -2, 3, 0, 2, 0], "umkM", Plain),
    atom(&["Ah"], (3600, 1), [0, 0, 1, 0, 1, 0], "m", Plain),
    atom(&["coulomb", "coulombs"], (1, 1), [0, 0, 1, 0, 1, 0], "", Plain),
    atom(&["C", "C-rate"], (1, 3600), RATE, "", ChargeRate),
    atom(&["H", "henry"], (1, 1), [1, 2, -2, 0, -2, 0], "num", Plain),
    atom(&["F", "farad"], (1, 1), [-1, -2, 4, 0, 2, 0], "num", Plain),
    atom(&["Wb", "weber"], (1, 1), [1, 2, -2, 0, -1, 0], "um", Flux),
];

/// Prefix letters and their powers of ten (NIST SP 811, Table 5).
pub(crate) const PREFIXES: &[(char, i32)] =
    &[('n', -9), ('u', -6), ('m', -3), ('c', -2), ('d', -1), ('h', 2), ('k', 3), ('M', 6), ('G', 9)];

/// An atom with the power of ten of its prefix.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Named {
    pub(crate) atom: &'static Atom,
    pub(crate) prefix: i32,
}

impl Named {
    /// Size in SI, prefix included.
    pub(crate) fn size(self) -> DoubleDouble {
        self.atom.size() * DoubleDouble::power_of_ten(self.prefix)
    }

    fn same_unit(self, other: Self) -> bool {
        std::ptr::eq(self.atom, other.atom) && self.prefix == other.prefix
    }
}

#[derive(Debug, Default)]
struct Index {
    exact: HashMap<String, Named>,
    /// Lower-case spellings with all they might mean.
    folded: HashMap<String, Vec<Named>>,
}

impl Index {
    fn add(&mut self, spelling: String, named: Named) {
        let meanings = self.folded.entry(spelling.to_ascii_lowercase()).or_default();
        if !meanings.iter().any(|other| other.same_unit(named)) {
            meanings.push(named);
        }
        self.exact.entry(spelling).or_insert(named);
    }
}

static INDEX: LazyLock<Index> = LazyLock::new(|| {
    let mut index = Index::default();
    // Bare names first: "min" is a minute, whatever a prefix could make of it.
    for atom in ATOMS {
        for spelling in atom.spellings {
            index.add((*spelling).to_owned(), Named { atom, prefix: 0 });
        }
    }
    for atom in ATOMS {
        for (letter, power) in PREFIXES.iter().filter(|(letter, _)| atom.prefixes.contains(*letter)) {
            for spelling in atom.spellings {
                index.add(format!("{letter}{spelling}"), Named { atom, prefix: *power });
            }
        }
    }
    index
});

/// Looks a name up: as written, or in another case where that leaves one meaning. Milli and mega are never guessed
/// from the wrong case.
pub(crate) fn find(name: &str) -> Option<Named> {
    if let Some(named) = INDEX.exact.get(name) {
        return Some(*named);
    }
    match INDEX.folded.get(&name.to_ascii_lowercase())?.as_slice() {
        [only] if only.prefix != -3 && only.prefix != 6 => Some(*only),
        _ => None,
    }
}

/// Names that are read and differ from this one in case only.
pub(crate) fn other_cases(name: &str) -> Vec<String> {
    let meanings = INDEX.folded.get(&name.to_ascii_lowercase()).map_or(&[][..], Vec::as_slice);
    let spelled = |named: &Named| {
        let letter = PREFIXES.iter().find(|(_, power)| *power == named.prefix).map(|(letter, _)| *letter);
        let same = |spelling: &&&str| {
            let length = spelling.len() + usize::from(letter.is_some());
            length == name.len() && name.to_ascii_lowercase().ends_with(&spelling.to_ascii_lowercase())
        };
        let spelling = named.atom.spellings.iter().find(same)?;
        Some(letter.map_or_else(String::new, String::from) + spelling)
    };
    meanings.iter().filter_map(spelled).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_spelling_has_two_meanings() {
        let mut seen: HashMap<String, &Atom> = HashMap::new();
        for atom in ATOMS {
            for spelling in atom.spellings {
                assert!(seen.insert((*spelling).to_owned(), atom).is_none(), "{spelling} twice");
            }
            for (letter, _) in PREFIXES.iter().filter(|(letter, _)| atom.prefixes.contains(*letter)) {
                let prefixed = format!("{letter}{}", atom.spellings[0]);
                assert!(seen.insert(prefixed.clone(), atom).is_none(), "{prefixed} twice");
            }
        }
    }

    #[test]
    fn every_prefix_letter_is_known() {
        for atom in ATOMS {
            for letter in atom.prefixes.chars() {
                assert!(
                    PREFIXES.iter().any(|(known, _)| *known == letter),
                    "{letter} of {:?}",
                    atom.spellings
                );
            }
        }
    }

    #[test]
    fn milli_and_mega_are_never_confused() {
        for (name, prefix) in [("mOhm", -3), ("MOhm", 6), ("mW", -3), ("MW", 6), ("mohm", -3), ("Mohm", 6)] {
            assert_eq!(find(name).map(|named| named.prefix), Some(prefix), "{name}");
        }
        for name in ["MOHM", "mw", "Mw", "mpa", "MPA", "MV", "mHz", "MM", "MG", "us/cm"] {
            assert!(find(name).is_none(), "{name} must not be guessed");
        }
    }

    #[test]
    fn other_cases_are_read_where_one_meaning_is_left() {
        for (typed, canonical) in
            [("KW", "kW"), ("PSI", "psi"), ("kpa", "kPa"), ("RPM", "rpm"), ("btu", "BTU"), ("KG", "kg")]
        {
            let found = find(typed).unwrap();
            assert!(found.same_unit(find(canonical).unwrap()), "{typed} is {canonical}");
        }
    }
}
