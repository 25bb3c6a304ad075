//! Checks of media against published tables, standards and reference libraries.

#![allow(clippy::unwrap_used, reason = "tests")]

mod air;
mod atmosphere;
mod boiling;
mod glycol;
mod identities;
mod names;
mod oils;
mod table;
mod water;

use media::Liquid;
use testkit::Row;

/// The property a row asks for.
fn property(liquid: &Liquid, row: &Row) -> f64 {
    let t = row.number("temperature_K");
    match row.text("quantity") {
        "density" => liquid.density(t),
        "specific_heat" => liquid.specific_heat(t),
        "dynamic_viscosity" => liquid.viscosity(t),
        "thermal_conductivity" => liquid.conductivity(t),
        other => panic!("no property is called {other}"),
    }
}
