//! Invented temperatures, margins and heat balance.

use app::Choice;
use app::views::ledger::{LedgerData, LedgerItem};
use app::views::levers::{LeverData, LeverRow};
use app::views::margins::{MarginEntry, MarginPlace};
use app::views::temperatures::{TemperatureRow, TemperatureTable};
use app::views::{Figure, InputField, Standing};

use super::{FACE_AREA, Invented};

/// Component, limit, temperature and limit on the hot day at 5000 ft in °C, heat in kW, whether it is a minimum.
const LIMITS: [(&str, &str, f64, f64, f64, bool); 16] = [
    ("Motor 2 winding", "continuous", 138.4, 145.0, 2.31, false),
    ("Motor 1 winding", "continuous", 136.0, 145.0, 2.30, false),
    ("Motor 2 winding", "short-time, 120 s", 138.4, 165.0, 2.31, false),
    ("Rotor 1 magnets", "continuous", 92.0, 110.0, 0.18, false),
    ("Rotor 2 magnets", "continuous", 94.1, 110.0, 0.18, false),
    ("Inverter 1 baseplate", "continuous", 63.8, 75.0, 1.05, false),
    ("Inverter 2 baseplate", "continuous", 64.4, 75.0, 1.06, false),
    ("Cell group 1", "maximum", 38.2, 55.0, 0.41, false),
    ("Cell group 2", "maximum", 38.9, 55.0, 0.41, false),
    ("Cell group 3", "maximum", 39.8, 55.0, 0.43, false),
    ("Cell group 4", "maximum", 40.6, 55.0, 0.43, false),
    ("Cell group 1", "minimum", 38.2, 0.0, 0.41, true),
    ("Sump", "continuous", 86.0, 110.0, 1.02, false),
    ("Input bearing", "continuous", 97.5, 120.0, 0.11, false),
    ("Busbar joint", "continuous", 71.0, 90.0, 0.09, false),
    ("Bay air", "continuous", 58.0, 70.0, 0.0, false),
];

/// What is required of every temperature margin, in kelvin: a placeholder.
const REQUIRED_K: f64 = 5.0;

/// The components against their limits.
pub(super) fn temperatures(warmer: f64) -> TemperatureTable {
    let mut rows: Vec<TemperatureRow> = LIMITS.iter().map(|limit| temperature_row(limit, warmer)).collect();
    rows.push(TemperatureRow {
        component: "Cowl skin".to_owned(),
        temperature: Figure::new(48.0 + warmer, 1),
        limit: Figure::none(),
        margin: Figure::none(),
        required: Figure::none(),
        heat: Figure::none(),
        value: 48.0 + warmer,
        ..TemperatureRow::default()
    });
    TemperatureTable {
        temperature_unit: "°C".to_owned(),
        difference_unit: "K".to_owned(),
        heat_unit: "kW".to_owned(),
        rows,
    }
}

fn temperature_row(
    (component, limit_name, temperature, limit, heat, is_minimum): &(&str, &str, f64, f64, f64, bool),
    warmer: f64,
) -> TemperatureRow {
    let value = temperature + warmer;
    let margin = if *is_minimum { value - limit } else { limit - value };
    TemperatureRow {
        component: (*component).to_owned(),
        limit_name: (*limit_name).to_owned(),
        temperature: Figure::new(value, 1).explained("heat"),
        limit: Figure::new(*limit, 1),
        margin: Figure::new(margin, 1),
        required: Figure::new(REQUIRED_K, 1),
        heat: Figure::new(*heat, 2),
        standing: Standing::of(Some(margin), REQUIRED_K),
        value,
        limit_value: Some(*limit),
        is_minimum: *is_minimum,
    }
}

/// All margins of the variant, worst first.
pub(super) fn margins(project: &Invented, choice: &Choice) -> Vec<MarginEntry> {
    let mut entries = Vec::new();
    for case in &app::Subject::choices(project).cases {
        let other = Choice { variant: choice.variant.clone(), case: case.name.clone(), ..Choice::default() };
        let warmer = project.warmer(&other);
        entries.extend(LIMITS.iter().map(|limit| margin_entry(limit, &other, warmer)));
        entries.extend(pressures(&other, warmer));
    }
    let rank = |entry: &MarginEntry| {
        let margin = entry.margin.unwrap_or(f64::INFINITY);
        (Standing::of(entry.margin, entry.required), margin / entry.required)
    };
    entries.sort_by(|a, b| rank(a).0.cmp(&rank(b).0).then(rank(a).1.total_cmp(&rank(b).1)));
    entries
}

fn margin_entry(
    (component, limit_name, temperature, limit, _, is_minimum): &(&str, &str, f64, f64, f64, bool),
    choice: &Choice,
    warmer: f64,
) -> MarginEntry {
    let value = temperature + warmer;
    MarginEntry {
        where_: (*component).to_owned(),
        limit: (*limit_name).to_owned(),
        case: choice.case.clone(),
        unit: "K".to_owned(),
        margin: Some(if *is_minimum { value - limit } else { limit - value }),
        required: REQUIRED_K,
        time_s: (choice.case.point == "circuit mission").then_some(700.0),
    }
}

fn pressures(choice: &Choice, warmer: f64) -> [MarginEntry; 2] {
    let entry = |limit: &str, margin: Option<f64>, required: f64| MarginEntry {
        where_: "Motor loop".to_owned(),
        limit: limit.to_owned(),
        case: choice.case.clone(),
        unit: "kPa".to_owned(),
        margin,
        required,
        time_s: None,
    };
    let cavitation =
        if choice.case.failure.as_deref() == Some("pump 1 out") { None } else { Some(61.0 - 0.9 * warmer) };
    [
        entry("pump inlet above boiling", cavitation, 20.0),
        entry("below cap opening", Some(44.0 - 0.4 * warmer), 10.0),
    ]
}

/// A heat balance that closes.
pub(super) fn ledger() -> LedgerData {
    let item = |name: &str, how: &str, value: f64| LedgerItem { name: name.into(), how: how.into(), value };
    LedgerData {
        book: None,
        unit: "kW".to_owned(),
        decimals: 3,
        generated: vec![
            item("Motor 1", "copper, iron and magnet loss", 4.147),
            item("Motor 2", "copper, iron and magnet loss", 4.171),
            item("Inverter 1", "conduction and switching", 1.051),
            item("Inverter 2", "conduction and switching", 1.063),
            item("Battery", "cells, busbars and contactors", 1.772),
            item("Gearbox", "mesh and churning", 1.358),
            item("Pumps", "shaft power into coolant and oil", 0.141),
            item("Nose fan", "shaft power into air", 0.760),
            item("Rotor windage", "into its own cooling air", 0.710),
        ],
        rejected: vec![
            item("Nose duct", "exhaust air", 10.752),
            item("Tail duct", "exhaust air", 1.704),
            item("Oil duct", "exhaust air", 1.412),
            item("Rotor air", "exhaust air", 0.712),
            item("Bay vents", "vent air", 0.389),
            item("Cowl skin", "convection and radiation", 0.204),
        ],
        stored: Vec::new(),
        residual: 3.1e-9,
        allowed_residual: 1.5e-5,
    }
}

/// Levers of a margin: invented ones, one of them an input of the project.
pub(super) fn levers(project: &Invented, place: &MarginPlace, is_flown: bool) -> LeverData {
    if !is_flown && place.case.point == "circuit mission" {
        let note = Some("The case is a mission.".to_owned());
        return LeverData { of: place.clone(), note, can_be_flown: true, ..LeverData::default() };
    }
    let row = |owner: &str, label: &str, path: &str, text: &str, step: &str, change: f64| LeverRow {
        owner: owner.to_owned(),
        input: InputField {
            path: path.to_owned(),
            label: label.to_owned(),
            text: text.to_owned(),
            ..InputField::default()
        },
        step: step.to_owned(),
        change,
        ..LeverRow::default()
    };
    let area = project.input(FACE_AREA, "0.082 m2");
    LeverData {
        of: place.clone(),
        rows: vec![
            row("conditions, hot day", "day", "day", "38 degC", "+1 K", -1.04),
            LeverRow {
                device: Some(("Motor loop".to_owned(), "Nose core".to_owned())),
                ..row("cores, Nose core", "face area", FACE_AREA, &area, "+1 %", 0.26)
            },
            LeverRow {
                tolerance: Some(0.9),
                is_published: true,
                ..row("policy, relations", "core air", "core air", "1", "+1 %", 0.045)
            },
        ],
        count: 3,
        note: None,
        can_be_flown: false,
    }
}
