//! Variants side by side, as a table and as JSON.

use crate::json::{Origin, margin, with};
use crate::limit;
use crate::sheet::{Cell, Column, Row, Sheet};
use serde_json::{Value, json};
use studies::variants::{VariantResult, Verdict};
use units::Kind;

/// Masses, power, closest limit and turnaround of every variant.
pub fn page(project: &str, variants: &[VariantResult]) -> String {
    let mut text = format!("{project}: variants side by side\n\n");
    for sheet in sheets(variants) {
        text.push_str(&sheet.title);
        text.push('\n');
        text.push_str(&sheet.text());
    }
    text.push_str(
        "Equivalent: of the mission without failure in which it is greatest, with the cells for pumps, fans, drag and for\n\
         carrying all this. Short: cases with a margin below the required one, or without a state. Ready: by the quickest\n\
         option of the turnaround, from landing.\n",
    );
    text
}

/// What it weighs and takes and how soon it is ready; how close it comes to limits in steady cases and in missions.
pub fn sheets(variants: &[VariantResult]) -> Vec<Sheet> {
    let verdicts = |title: &str, verdict: fn(&VariantResult) -> &Verdict| {
        let rows = variants.iter().map(|of| limit_row(&of.name, verdict(of)));
        Sheet::new(title, limit_columns()).with_rows(rows)
    };
    let columns = [
        Column::text("variant"),
        Column::number("dry_kg", Kind::Mass, "kg", 2).head("dry"),
        Column::number("coolant_kg", Kind::Mass, "kg", 2).head("coolant"),
        Column::number("machines_W", Kind::Power, "W", 0).head("pumps, fans"),
        Column::number("drag_N", Kind::Force, "N", 1).head("drag"),
        Column::number("equivalent_kg", Kind::Mass, "kg", 2).head("equivalent"),
        Column::time("ready_s").head("ready"),
        Column::text("option").head("by"),
        Column::text("condition").after(", "),
    ];
    vec![
        Sheet::new("mass, power, turnaround", columns).with_rows(variants.iter().map(weight_row)),
        verdicts("limits in steady cases", |of| &of.steady),
        verdicts("limits in missions", |of| &of.flown),
    ]
}

fn weight_row(of: &VariantResult) -> Row {
    let costs = of.costliest.as_ref();
    let ready = of.ready.as_ref();
    vec![
        (&of.name).into(),
        of.masses.dry_kg().into(),
        of.masses.coolant_kg().into(),
        costs.map(|costs| costs.taken.mean.electrical_w() + costs.taken.mean.shaft_w()).into(),
        costs.map(|costs| costs.taken.mean.drag_n()).into(),
        costs.map(|costs| costs.equivalent.total_kg()).into(),
        Cell::time(ready.map(|ready| ready.time_s)),
        ready.map(|ready| &ready.option).into(),
        ready.map(|ready| &ready.condition).into(),
    ]
}

fn limit_columns() -> [Column; 14] {
    [
        Column::text("variant"),
        Column::count("cases_short").head("short"),
        Column::count("cases"),
        Column::standing(),
        Column::mixed("reserve").head("least reserve").signed(),
        Column::text("status").after(""),
        Column::mixed("margin"),
        limit::needs_column(),
        limit::unit_column(),
        Column::text("where").head("where, limit, case"),
        Column::text("limit").after(", "),
        Column::text("case").after(", "),
        Column::time("time_s").after(" at "),
        Column::text("nothing").after(""),
    ]
}

fn limit_row(name: &str, verdict: &Verdict) -> Row {
    let closest = verdict.closest.as_ref();
    let margin = closest.and_then(|closest| closest.margin.as_ref());
    // a status is told where there is no margin
    let status = closest.filter(|_| margin.is_none()).map(|closest| closest.status.word().replace('_', " "));
    vec![
        name.into(),
        Cell::count(verdict.short),
        Cell::count(verdict.cases),
        verdict.standing.into(),
        margin.map(|m| limit::distance(m.kind, m.reserve())).into(),
        status.into(),
        margin.map(|m| limit::distance(m.kind, m.margin)).into(),
        margin.map(|m| limit::distance(m.kind, m.required)).into(),
        margin.map(limit::unit).into(),
        margin.map(|m| &m.place).into(),
        margin.map(|m| &m.limit).into(),
        closest.map(|closest| closest.case.to_string()).into(),
        Cell::time(closest.filter(|_| margin.is_some()).and_then(|closest| closest.time_s)),
        closest.is_none().then_some("nothing is limited").into(),
    ]
}

/// Result of `variants`; `origin` is that of the base design.
pub fn json(origin: &Origin<'_>, variants: &[VariantResult]) -> Value {
    with(origin.head(), "variants", variants.iter().map(one).collect())
}

fn one(of: &VariantResult) -> Value {
    let costs = of.costliest.as_ref().map(|costs| {
        json!({
            "mission": costs.case.to_string(),
            "mean_electrical_W": costs.taken.mean.electrical_w(),
            "mean_shaft_W": costs.taken.mean.shaft_w(),
            "mean_drag_N": costs.taken.mean.drag_n(),
            "equivalent_mass_kg": costs.equivalent.total_kg(),
            "machines_mass_kg": costs.equivalent.machines_kg,
            "drag_mass_kg": costs.equivalent.drag_kg,
            "carry_mass_kg": costs.equivalent.carry_kg,
        })
    });
    let verdict = |of: &Verdict| {
        let closest = of.closest.as_ref().map(|closest| {
            json!({
                "case": closest.case.to_string(),
                "status": closest.status.word(),
                "margin": closest.margin.as_ref().map(|m| margin(m, closest.time_s)),
            })
        });
        json!({
            "cases": of.cases,
            "cases_short": of.short,
            "standing": of.standing.word(),
            "closest": closest,
        })
    };
    let ready = of.ready.as_ref().map(
        |ready| json!({ "option": ready.option, "condition": ready.condition, "ready_s": ready.time_s }),
    );
    json!({
        "name": of.name,
        "dry_mass_kg": of.masses.dry_kg(),
        "coolant_mass_kg": of.masses.coolant_kg(),
        "steady": verdict(&of.steady),
        "missions": verdict(&of.flown),
        "costs": costs,
        "turnaround": ready,
    })
}
