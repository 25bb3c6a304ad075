//! What the author of a refused unit may have meant. A suggestion never changes the size behind the author's back:
//! milli and mega are both named, and no prefix is dropped or replaced.

use crate::error::examples;
use crate::kind::Kind;
use crate::known::belongs;
use crate::{atoms, menu};
use strsim::osa_distance;

/// Known slips: what stands there as a word, and what may be meant.
const SLIPS: &[(&str, &str)] = &[
    ("C", "degC"),
    ("c", "degC"),
    ("F", "degF"),
    ("f", "degF"),
    ("R", "degR"),
    ("lb", "lbf"),
    ("lbs", "lbf"),
    ("lbf", "lb"),
    ("oz", "ozf"),
    ("ltr", "L"),
    ("KIAS", "kt"),
    ("KCAS", "kt"),
    ("KEAS", "kt"),
    ("KTAS", "kt"),
];

/// For a unit that is not known: the number with what may have been meant, else with units of the kind.
pub(crate) fn instead(unit: &str, digits: &str, kind: Kind) -> String {
    if kind == Kind::Length && unit.eq_ignore_ascii_case("nm") {
        return format!("{digits} nmi for nautical miles; nanometres are written in um");
    }
    let meant = slip(unit, kind).map_or_else(|| other_case(unit, kind), |unit| vec![unit]);
    let meant = if meant.is_empty() { nearest(unit, kind).into_iter().collect() } else { meant };
    if meant.is_empty() {
        return examples(digits, kind);
    }
    let shown: Vec<String> = meant.iter().map(|unit| format!("{digits} {unit}")).collect();
    shown.join(" or ")
}

/// For a unit of another kind: units of the wanted kind, the one behind a known slip first.
pub(crate) fn with_slip_first(unit: &str, digits: &str, kind: Kind) -> String {
    let usual = examples(digits, kind);
    match slip(unit, kind) {
        Some(unit) if !menu::names(kind).iter().take(3).any(|name| *name == unit) => {
            format!("{digits} {unit}, {usual}")
        }
        _ => usual,
    }
}

/// For a pressure unit that is used for gauge and absolute alike: both marked forms, else units of the kind.
pub(crate) fn marked(unit: &str, digits: &str, kind: Kind) -> String {
    let (absolute, gauge) = (format!("{unit}a"), format!("{unit}g"));
    if belongs(&absolute, Kind::AbsolutePressure) && belongs(&gauge, Kind::GaugePressure) {
        format!("{digits} {absolute} for absolute, {digits} {gauge} for gauge")
    } else {
        format!("the pressure above vacuum, as in {}", examples("90", kind))
    }
}

fn slip(unit: &str, kind: Kind) -> Option<String> {
    SLIPS
        .iter()
        .filter_map(|(slip, meant)| replace_word(unit, slip, meant))
        .find(|candidate| belongs(candidate, kind))
}

/// Replaces `from` where it stands as a whole word.
fn replace_word(text: &str, from: &str, to: &str) -> Option<String> {
    let letter = |character: Option<char>| character.is_some_and(char::is_alphabetic);
    let (start, _) = text.match_indices(from).find(|(start, _)| {
        !letter(text[..*start].chars().next_back()) && !letter(text[start + from.len()..].chars().next())
    })?;
    let (before, after) = (&text[..start], &text[start + from.len()..]);
    // "m2C": a name cannot follow a power directly
    let space = if before.ends_with(|c: char| c.is_ascii_digit()) { " " } else { "" };
    Some(format!("{before}{space}{to}{after}"))
}

/// Units of the kind that differ from the typed one in case only: "mw" is mW or MW.
fn other_case(typed: &str, kind: Kind) -> Vec<String> {
    let mut found = atoms::other_cases(typed);
    for name in menu::names(kind).iter().filter(|name| name.eq_ignore_ascii_case(typed)) {
        found.push((*name).to_owned());
        if let Some(rest) = name.strip_prefix(['m', 'M']) {
            found.extend([format!("m{rest}"), format!("M{rest}")]);
        }
    }
    found.retain(|unit| belongs(unit, kind));
    found.sort_by(|a, b| b.cmp(a)); // milli before mega
    found.dedup();
    match found.as_slice() {
        // only milli fits and mega was typed, or the other way round: no guess
        [only] if only.starts_with(['m', 'M']) && only.chars().next() != typed.chars().next() => Vec::new(),
        _ => found,
    }
}

/// The unit of the menu nearest by edits (a swap of neighbours is one), if near enough.
fn nearest(typed: &str, kind: Kind) -> Option<String> {
    let allowed = match typed.chars().count() {
        2..=4 => 1,
        5..=7 => 2,
        8..=40 => 3,
        _ => return None,
    };
    let typed = typed.to_lowercase();
    menu::names(kind)
        .iter()
        .map(|name| (osa_distance(&typed, &name.to_lowercase()), *name))
        .filter(|(distance, name)| {
            (1..=allowed).contains(distance) && !differs_at_start(&typed, &name.to_lowercase())
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name.to_owned())
}

/// Whether the first letter alone tells two texts apart: that may be a prefix, and a factor of a thousand.
fn differs_at_start(a: &str, b: &str) -> bool {
    let rest = |text: &str| text.chars().skip(1).collect::<String>();
    rest(a) == rest(b) || rest(a) == b || a == rest(b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_and_misspellings_are_recognised() {
        for (typed, kind, meant) in [
            ("l/mn", Kind::VolumeFlow, "3 L/min"),
            ("gmp", Kind::VolumeFlow, "3 gpm"),
            ("W/m2C", Kind::HeatTransferCoefficient, "3 W/m2 degC"),
            ("mV/C", Kind::EntropicCoefficient, "3 mV/degC"),
            ("F/kft", Kind::TemperatureGradient, "3 degF/kft"),
            ("KIAS", Kind::Speed, "3 kt"),
            ("mw", Kind::Power, "3 mW or 3 MW"),
            ("mwh", Kind::Energy, "3 mWh or 3 MWh"),
            ("MOHM", Kind::Resistance, "3 mOhm or 3 MOhm"),
            ("MG", Kind::Mass, "3 kg, 3 g or 3 lb"),
            ("MM", Kind::Length, "3 mm, 3 m or 3 cm"),
            ("ohn", Kind::Resistance, "3 Ohm"),
            ("pW", Kind::Power, "3 kW, 3 W or 3 hp"),
            ("furlongs", Kind::Power, "3 kW, 3 W or 3 hp"),
        ] {
            assert_eq!(instead(typed, "3", kind), meant, "{typed} as {kind}");
        }
    }

    /// Whatever is suggested for a unit with one letter wrong belongs to the kind.
    #[test]
    fn every_single_suggestion_is_a_unit_of_the_kind() {
        for kind in Kind::ALL {
            for name in menu::names(*kind) {
                let typed = format!("{name}q");
                if let Some(unit) = nearest(&typed, *kind) {
                    assert!(belongs(&unit, *kind), "{typed} as {kind}: {unit}");
                }
            }
        }
    }
}
