//! Unit text to dimension and size: "W/(m2 K)", "BTU per h", "kg·m⁻³", "ft-lbf".
//!
//! Grammar, after look-alike characters have been replaced:
//! ```text
//! unit    = product { "/" product }          everything after a slash divides: W/m2 K = W/(m2 K)
//! product = factor { [space | "-"] factor }
//! factor  = name [ whole power ] | "(" unit ")"
//! ```

use crate::atoms::{self, Named, Role};
use crate::dimension::Dimension;
use crate::double_double::DoubleDouble;

/// Longest unit text looked at, in bytes; the longest in the menus has 20.
const LONGEST_UNIT: usize = 64;
/// Deepest nesting of parentheses looked at.
const DEEPEST_NESTING: usize = 4;
/// Largest power of a name ("m3", "s-2").
const LARGEST_POWER: i8 = 6;

/// One name with its power.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Term {
    pub(crate) named: Named,
    pub(crate) power: i8,
}

/// A unit that was understood.
#[derive(Clone, Debug)]
pub(crate) struct Expression {
    pub(crate) dimension: Dimension,
    pub(crate) size: DoubleDouble,
    pub(crate) terms: Vec<Term>,
}

impl Expression {
    /// The name, if the unit is one name to the first power.
    pub(crate) fn single(&self) -> Option<Named> {
        match self.terms.as_slice() {
            [Term { named, power: 1 }] => Some(*named),
            _ => None,
        }
    }

    /// Whether a name of this role occurs.
    pub(crate) fn has(&self, role: Role) -> bool {
        self.terms.iter().any(|term| term.named.atom.role == role)
    }
}

/// Why a unit text was not understood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct NotUnderstood;

/// Reads a unit text.
pub(crate) fn read(text: &str) -> Result<Expression, NotUnderstood> {
    if text.len() > LONGEST_UNIT {
        return Err(NotUnderstood);
    }
    let plain = plain_text(text);
    let tokens = tokens(&plain)?;
    let mut reader = Reader { tokens: &tokens, terms: Vec::new() };
    reader.unit(1, 0)?;
    if !reader.tokens.is_empty() {
        return Err(NotUnderstood);
    }
    combine(reader.terms)
}

/// Multiplies the terms up.
pub(crate) fn combine(terms: Vec<Term>) -> Result<Expression, NotUnderstood> {
    let compound = terms.iter().filter(|term| term.named.atom.dimension != Dimension::NONE).count() > 1;
    let mut dimension = Dimension::NONE;
    let mut size = DoubleDouble::ONE;
    for Term { named, power } in &terms {
        // a mark of gauge or absolute means nothing inside a compound ("psig/ft")
        let only_alone = matches!(
            named.atom.role,
            Role::FlightLevel | Role::ChargeRate | Role::Gauge | Role::Absolute | Role::Differential
        );
        if compound && only_alone {
            return Err(NotUnderstood);
        }
        dimension = dimension.times(named.atom.dimension, *power).ok_or(NotUnderstood)?;
        size = size * named.size().powi(i32::from(*power));
    }
    Ok(Expression { dimension, size, terms })
}

/// Replaces look-alike characters and words by the plain spelling.
fn plain_text(text: &str) -> String {
    let mut plain = String::with_capacity(text.len() + 8);
    for character in text.trim().chars() {
        match character {
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            '¹' => plain.push('1'),
            '⁻' | '−' | '‑' | '–' => plain.push('-'),
            '·' | '⋅' | '×' | '*' | '•' | '\u{a0}' | '\u{2009}' | '\u{202f}' | '\t' => plain.push(' '),
            '°' | 'º' | '˚' => plain.push_str("deg"),
            '℃' => plain.push_str("degC"),
            '℉' => plain.push_str("degF"),
            'Ω' | '\u{2126}' => plain.push_str("Ohm"),
            'µ' | 'μ' => plain.push('u'),
            '⁄' | '∕' | '÷' => plain.push('/'),
            '^' => {}
            other => plain.push(other),
        }
    }
    plain
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Token {
    Name(String),
    Power(i8),
    Slash,
    Open,
    Close,
}

/// Spellings of several words or with signs inside, tried on whole words: what is typed, what is meant.
const JOINED: &[(&[&str], &str)] = &[
    (&["C", "rate"], "C-rate"),
    (&["in", "H2O"], "inH2O"),
    (&["ft", "H2O"], "ftH2O"),
    (&["mm", "H2O"], "mmH2O"),
    (&["in", "WC"], "inH2O"),
    (&["in", "Hg"], "inHg"),
    (&["mm", "Hg"], "mmHg"),
    (&["imp", "gal"], "impgal"),
    (&["US", "gal"], "gal"),
    (&["%", "SOC"], "%SOC"),
];

/// Symbols people run together, which are not a prefix and a name.
const RUN_TOGETHER: &[(&str, &[&str])] = &[
    ("kgK", &["kg", "K"]),
    ("mK", &["m", "K"]),
    ("Pas", &["Pa", "s"]),
    ("mPas", &["mPa", "s"]),
    ("sqft", &["square", "ft"]),
    ("sqin", &["square", "in"]),
    ("cuft", &["cubic", "ft"]),
    ("cuin", &["cubic", "in"]),
];

fn tokens(plain: &str) -> Result<Vec<Token>, NotUnderstood> {
    let words = joined(&words(plain)?);
    let compound = words.len() > 1;
    let mut tokens = Vec::with_capacity(words.len());
    let mut power_of_next = None;
    for word in words {
        match word.as_str() {
            "/" | "per" => tokens.push(Token::Slash),
            "(" => tokens.push(Token::Open),
            ")" => tokens.push(Token::Close),
            "sq" | "square" => power_of_next = Some(2),
            "cu" | "cubic" => power_of_next = Some(3),
            _ => {
                push_name(&word, compound, &mut tokens, &mut power_of_next)?;
            }
        }
    }
    if power_of_next.is_some() { Err(NotUnderstood) } else { Ok(tokens) }
}

/// Splits into words, signs and powers: a word is letters and digits ("m2", "inH2O"), with "-2" glued to its name.
fn words(plain: &str) -> Result<Vec<String>, NotUnderstood> {
    let characters: Vec<char> = plain.chars().collect();
    let mut words: Vec<String> = Vec::new();
    let mut index = 0;
    while let Some(&character) = characters.get(index) {
        match character {
            // a dash between names is a product
            ' ' | '-' => index += 1,
            '/' | '(' | ')' => {
                words.push(character.to_string());
                index += 1;
            }
            _ if is_word(character) => {
                let start = index;
                while characters.get(index).copied().is_some_and(is_word) {
                    index += 1;
                }
                // a power below zero: "m-3"
                if characters.get(index) == Some(&'-')
                    && characters.get(index + 1).is_some_and(char::is_ascii_digit)
                {
                    index += 2;
                }
                words.push(characters[start..index].iter().collect());
            }
            _ => return Err(NotUnderstood),
        }
    }
    if plain.starts_with('-') || plain.ends_with('-') { Err(NotUnderstood) } else { Ok(words) }
}

fn is_word(character: char) -> bool {
    character.is_ascii_alphanumeric() || character == '%'
}

/// Joins words that belong together: "deg C", "kPa (g)", "bar abs", "in H2O".
fn joined(words: &[String]) -> Vec<String> {
    let mut result: Vec<String> = Vec::with_capacity(words.len());
    let mut rest = words;
    while let Some((word, after)) = rest.split_first() {
        if let Some((name, used)) = joined_start(rest) {
            result.push(name);
            rest = &rest[used..];
            continue;
        }
        result.push(word.clone());
        rest = after;
    }
    result
}

fn joined_start(words: &[String]) -> Option<(String, usize)> {
    let word = |index: usize| words.get(index).map(String::as_str);
    for (parts, name) in JOINED {
        if parts.iter().enumerate().all(|(index, part)| word(index) == Some(part)) {
            return Some(((*name).to_owned(), parts.len()));
        }
    }
    let first = word(0)?;
    if matches!(first, "deg" | "degree" | "degrees") {
        return match word(1)? {
            letter @ ("C" | "F" | "R") => Some((format!("deg{letter}"), 2)),
            "K" => Some(("K".to_owned(), 2)),
            "Celsius" | "celsius" => Some(("degC".to_owned(), 2)),
            "Fahrenheit" | "fahrenheit" => Some(("degF".to_owned(), 2)),
            _ => None,
        };
    }
    if first == "degK" {
        return Some(("K".to_owned(), 1));
    }
    if !is_plain_pressure(first) {
        return None;
    }
    match (word(1)?, word(2), word(3)) {
        ("(", Some(mark @ ("a" | "g")), Some(")")) => Some((format!("{first}{mark}"), 4)),
        ("(", Some("abs"), Some(")")) => Some((format!("{first}a"), 4)),
        ("(", Some("gauge"), Some(")")) => Some((format!("{first}g"), 4)),
        ("abs" | "absolute" | "a", _, _) => Some((format!("{first}a"), 2)),
        ("gauge" | "gage" | "g", _, _) => Some((format!("{first}g"), 2)),
        _ => None,
    }
}

/// Whether a name has forms marked as gauge and absolute.
fn is_plain_pressure(name: &str) -> bool {
    ["a", "g"].iter().all(|mark| atoms::find(&format!("{name}{mark}")).is_some())
        && atoms::find(name)
            .is_some_and(|named| matches!(named.atom.role, Role::Pressure | Role::LoosePressure))
}

fn push_name(
    word: &str,
    compound: bool,
    tokens: &mut Vec<Token>,
    power_of_next: &mut Option<i8>,
) -> Result<(), NotUnderstood> {
    let run_together = RUN_TOGETHER.iter().find(|(typed, _)| *typed == word && (compound || *typed != "mK"));
    if let Some((_, parts)) = run_together {
        for part in *parts {
            match *part {
                "square" => *power_of_next = Some(2),
                "cubic" => *power_of_next = Some(3),
                _ => push_name(part, false, tokens, power_of_next)?,
            }
        }
        return Ok(());
    }
    if atoms::find(word).is_some() {
        tokens.push(Token::Name(word.to_owned()));
        tokens.extend(power_of_next.take().map(Token::Power));
        return Ok(());
    }
    // "m2", "m-2", and "m2K" which goes on after the power
    let digits = word.find(|c: char| c.is_ascii_digit() || c == '-').ok_or(NotUnderstood)?;
    let (name, rest) = word.split_at(digits);
    let sign_and_digits = rest.find(|c: char| c.is_ascii_alphabetic() || c == '%').unwrap_or(rest.len());
    let (power, rest) = rest.split_at(sign_and_digits);
    let power: i8 = power.parse().map_err(|_not_a_power| NotUnderstood)?;
    if power == 0 || power.abs() > LARGEST_POWER || power_of_next.is_some() || atoms::find(name).is_none() {
        return Err(NotUnderstood);
    }
    tokens.push(Token::Name(name.to_owned()));
    tokens.push(Token::Power(power));
    if rest.is_empty() { Ok(()) } else { push_name(rest, false, tokens, power_of_next) }
}

struct Reader<'a> {
    tokens: &'a [Token],
    terms: Vec<Term>,
}

impl Reader<'_> {
    fn unit(&mut self, sign: i8, depth: usize) -> Result<(), NotUnderstood> {
        self.product(sign, depth)?;
        while self.take(&Token::Slash) {
            self.product(-sign, depth)?;
        }
        Ok(())
    }

    fn product(&mut self, sign: i8, depth: usize) -> Result<(), NotUnderstood> {
        self.factor(sign, depth)?;
        while matches!(self.tokens.first(), Some(Token::Name(_) | Token::Open)) {
            self.factor(sign, depth)?;
        }
        Ok(())
    }

    fn factor(&mut self, sign: i8, depth: usize) -> Result<(), NotUnderstood> {
        if depth > DEEPEST_NESTING {
            return Err(NotUnderstood);
        }
        let first_new = self.terms.len();
        if self.take(&Token::Open) {
            self.unit(sign, depth + 1)?;
            if !self.take(&Token::Close) {
                return Err(NotUnderstood);
            }
        } else {
            let Some((Token::Name(name), rest)) = self.tokens.split_first() else {
                return Err(NotUnderstood);
            };
            self.tokens = rest;
            let named = atoms::find(name).ok_or(NotUnderstood)?;
            self.terms.push(Term { named, power: sign });
        }
        if let Some((Token::Power(power), rest)) = self.tokens.split_first() {
            self.tokens = rest;
            for term in &mut self.terms[first_new..] {
                term.power = term.power.checked_mul(*power).ok_or(NotUnderstood)?;
            }
        }
        Ok(())
    }

    fn take(&mut self, token: &Token) -> bool {
        match self.tokens.split_first() {
            Some((first, rest)) if first == token => {
                self.tokens = rest;
                true
            }
            _ => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Kind;

    fn size_of(text: &str) -> (Dimension, f64) {
        let expression = read(text).unwrap_or_else(|_| panic!("{text} not understood"));
        (expression.dimension, expression.size.value())
    }

    #[test]
    fn one_unit_in_many_spellings() {
        let groups: &[&[&str]] = &[
            &[
                "W/(m2 K)",
                "W/m2/K",
                "W/m2K",
                "W/m² K",
                "W/m^2-K",
                "W/(m²·K)",
                "W m-2 K-1",
                "W·m⁻²·K⁻¹",
                "W per m2 per K",
                "W/(m2*K)",
                "watt/(square metre kelvin)",
                "W/m²·°C",
            ],
            &["J/(kg K)", "J/kgK", "J/kg K", "J/kg/K", "J/kg-K", "J/(kg·degC)", "J/(kg °C)"],
            &["W/(m K)", "W/mK", "W/m-K", "W/m/K", "W/m K"],
            &["N m", "Nm", "N·m", "N-m", "N*m", "newton metre"],
            &["Ohm", "ohm", "Ω", "Ohms"],
            &["uV", "µV", "μV"],
            &["degC", "°C", "deg C", "º C", "℃", "degrees Celsius", "degree C"],
            &["L/min", "l/min", "litre per minute", "liters/minute", "lpm", "LPM", "L min-1"],
            &[
                "BTU/(h ft2 degF)",
                "Btu/hr-ft²-°F",
                "BTU/h/ft2/degF",
                "btu/(hr sq ft deg F)",
                "BTU/h sqft degF",
            ],
            &["mPa s", "mPas", "cP", "mPa·s"],
            &["kPag", "kPa(g)", "kPa g", "kPa gauge", "kPa (gauge)"],
            &["psia", "psi(a)", "psi abs", "PSIA"],
            &["inH2O", "in H2O", "inWC"],
            &["1/K", "K-1", "K^-1", "1/degC"],
            &["C-rate", "C", "C rate"],
        ];
        for group in groups {
            let first = size_of(group[0]);
            for text in *group {
                assert_eq!(size_of(text), first, "{text} against {}", group[0]);
            }
        }
    }

    #[test]
    fn a_lone_mk_is_millikelvin_and_a_compound_one_metre_kelvin() {
        assert_eq!(size_of("mK"), (Kind::TemperatureDifference.dimension(), 1e-3));
        assert_eq!(size_of("W/mK").0, Kind::ThermalConductivity.dimension());
    }

    #[test]
    fn nonsense_is_refused() {
        for text in [
            "",
            "/",
            "m/",
            "/s",
            "(",
            "m)",
            "(m",
            "m0",
            "m99",
            "m-",
            "-m",
            "m//s",
            "sq",
            "m sq",
            "W/()",
            "x",
            "m.s",
            "m+s",
            "C/s",
            "kFL",
            "((((((m))))))",
            "5 m",
            "m 2",
        ] {
            assert!(read(text).is_err(), "{text:?} was understood: {:?}", read(text));
        }
        assert!(read(&"m ".repeat(100)).is_err());
    }
}
