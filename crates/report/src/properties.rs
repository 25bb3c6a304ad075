//! Property tables of fluids.

use crate::celsius;
use crate::sheet::{Column, Digits, Sheet, texts};
use media::{Listed, PropertyRow, Spread};
use serde_json::{Value, json};
use std::fmt::Write as _;
use units::Kind;

/// Properties at every temperature, and whether the sources cover it.
pub fn sheets(rows: &[PropertyRow]) -> Vec<Sheet> {
    let number = |key: &str, kind: Kind, unit: &'static str, decimals| {
        Column::number(key, kind, unit, decimals).head("")
    };
    let columns = [
        number("temperature_K", Kind::Temperature, "degC", 2),
        number("density_kg_m3", Kind::Density, "kg/m3", 2),
        number("specific_heat_J_kgK", Kind::SpecificHeat, "J/(kg K)", 1),
        number("viscosity_Pa_s", Kind::DynamicViscosity, "Pa s", 4).digits(Digits::Exponent(4)),
        number("conductivity_W_mK", Kind::ThermalConductivity, "W/(m K)", 4),
        Column::number("prandtl", Kind::Ratio, "", 2).head("Pr"),
        Column::text("fitted_range"),
    ];
    let row = |r: &PropertyRow| {
        vec![
            r.temperature_k.into(),
            r.density_kg_m3.into(),
            r.specific_heat_j_kgk.into(),
            r.viscosity_pa_s.into(),
            r.conductivity_w_mk.into(),
            r.prandtl.into(),
            coverage(r).into(),
        ]
    };
    vec![Sheet::new("properties", columns).with_rows(rows.iter().map(row))]
}

/// Properties as a table with source and range.
pub fn text(name: &str, rows: &[PropertyRow]) -> String {
    let optional =
        |value: Option<f64>| value.map_or_else(|| "-".to_owned(), |k| format!("{:.1}", celsius(k)));
    let mut page = format!("{name}\n") + &texts(&sheets(rows));
    if let Some(row) = rows.first() {
        let _infallible = write!(
            page,
            "freezes or stops to pour at {} degC (other sources at up to {} degC), boils at {} degC at this pressure\nsource: {}\n",
            optional(row.freezing_point_k),
            optional(row.warmest_freezing_point_k),
            optional(row.boiling_point_k),
            row.source
        );
    }
    page
}

/// Properties as JSON.
pub fn json(rows: &[PropertyRow]) -> Value {
    rows.iter()
        .map(|r| {
            json!({
                "temperature_K": r.temperature_k,
                "density_kg_m3": r.density_kg_m3,
                "specific_heat_J_kgK": r.specific_heat_j_kgk,
                "viscosity_Pa_s": r.viscosity_pa_s,
                "conductivity_W_mK": r.conductivity_w_mk,
                "prandtl": r.prandtl,
                "enthalpy_J_kg": r.enthalpy_j_kg,
                "freezing_point_K": r.freezing_point_k,
                "warmest_freezing_point_K": r.warmest_freezing_point_k,
                "boiling_point_K": r.boiling_point_k,
                "source": r.source,
                "in_range": r.in_range,
                "held_at_K": r.held_at_k,
            })
        })
        .collect()
}

/// Whether the sources cover a row, and what was done where they do not.
fn coverage(row: &PropertyRow) -> String {
    match (row.in_range, row.held_at_k) {
        (true, _) => "inside".to_owned(),
        (false, Some(edge_k)) => format!("OUTSIDE, held at {:.1} degC", celsius(edge_k)),
        (false, None) => "OUTSIDE, law carried on".to_owned(),
    }
}

/// Fluids with their ranges and the disagreement of published sources.
pub fn list_text(fluids: &[Listed]) -> String {
    let mut text = format!(
        "{} fluids; properties of one with: heatledger fluid NAME --at 20degC,60degC\n",
        fluids.len()
    );
    for fluid in fluids {
        let (low, high) = fluid.range_k;
        let (first, last) = fluid.evaluated_k;
        let held = if (first, last) == (low, high) {
            "held at the edges outside".to_owned()
        } else {
            format!("carried on from {:.1} to {:.1} degC, held outside", celsius(first), celsius(last))
        };
        let _infallible = write!(
            text,
            "\n{}\n  {}\n  range: {:.1} to {:.1} degC, {held}\n  spread: {}\n  source: {}\n",
            fluid.name,
            fluid.description,
            celsius(low),
            celsius(high),
            spread(fluid.spread.as_ref()),
            fluid.source
        );
    }
    text
}

/// Largest disagreement of sources, in words.
fn spread(spread: Option<&Spread>) -> String {
    let Some(spread) = spread else {
        return "fitted to one reference within 0.3 %; viscosity by a standard form to 1.4 %".to_owned();
    };
    let percent = |part: f64| format!("{:.1} %", 100.0 * part);
    let freezing = spread.freezing_k.map_or_else(String::new, |k| format!(", freezing {k:.1} K"));
    format!(
        "density {}, specific heat {}, viscosity {}, conductivity {}{freezing} ({})",
        percent(spread.density),
        percent(spread.specific_heat),
        percent(spread.viscosity),
        percent(spread.conductivity),
        spread.words
    )
}

/// The same as JSON.
pub fn list_json(fluids: &[Listed]) -> Value {
    fluids
        .iter()
        .map(|fluid| {
            let spread = fluid.spread.as_ref().map(|spread| {
                json!({
                    "density": spread.density,
                    "specific_heat": spread.specific_heat,
                    "viscosity": spread.viscosity,
                    "conductivity": spread.conductivity,
                    "freezing_K": spread.freezing_k,
                    "words": spread.words,
                })
            });
            json!({
                "name": fluid.name,
                "description": fluid.description,
                "range_K": [fluid.range_k.0, fluid.range_k.1],
                "evaluated_K": [fluid.evaluated_k.0, fluid.evaluated_k.1],
                "spread": spread,
                "source": fluid.source,
            })
        })
        .collect()
}
