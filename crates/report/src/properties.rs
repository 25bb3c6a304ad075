//! Property tables of fluids.

use crate::{celsius, table::table};
use media::PropertyRow;
use serde_json::{Value, json};
use std::fmt::Write as _;

/// Properties as a table with source and range.
pub fn text(name: &str, rows: &[PropertyRow]) -> String {
    let optional =
        |value: Option<f64>| value.map_or_else(|| "-".to_owned(), |k| format!("{:.1}", celsius(k)));
    let lines = rows
        .iter()
        .map(|r| {
            vec![
                format!("{:.2}", celsius(r.temperature_k)),
                format!("{:.2}", r.density_kg_m3),
                format!("{:.1}", r.specific_heat_j_kgk),
                format!("{:.4e}", r.viscosity_pa_s),
                format!("{:.4}", r.conductivity_w_mk),
                format!("{:.2}", r.prandtl),
                if r.in_range { "inside" } else { "OUTSIDE" }.to_owned(),
            ]
        })
        .collect();
    let mut page = format!("{name}\n");
    page.push_str(&table(
        &["degC", "kg/m3", "J/(kg K)", "Pa s", "W/(m K)", "Pr", "fitted range"],
        &[0, 1, 2, 3, 4, 5],
        lines,
    ));
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
            })
        })
        .collect()
}
