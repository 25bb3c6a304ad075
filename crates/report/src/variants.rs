//! Variants side by side, as a table and as JSON.

use crate::json::{Origin, margin, with};
use crate::margins::shown;
use crate::{Table, clock};
use serde_json::{Value, json};
use studies::variants::{Closest, VariantResult, Verdict};

/// Masses, power, closest limit and turnaround of every variant.
pub fn sheet(project: &str, variants: &[VariantResult]) -> String {
    let mut text = format!("{project}: variants side by side\n\n");
    for table in tables(variants) {
        text.push_str(&table.title);
        text.push('\n');
        text.push_str(&table.text());
    }
    text.push_str(
        "Equivalent: of the mission without failure in which it is greatest, with the cells for pumps, fans, drag and for\n\
         carrying all this. Short: cases with a margin below the required one, or without a state. Ready: by the quickest\n\
         option of the turnaround, from landing.\n",
    );
    text
}

/// What it weighs and takes and how soon it is ready; how close it comes to limits in steady cases and in missions.
pub fn tables(variants: &[VariantResult]) -> Vec<Table> {
    let weights = variants.iter().map(weight_row).collect();
    let head = ["variant", "dry kg", "coolant kg", "pumps, fans W", "drag N", "equivalent kg", "ready", "by"];
    let limits = |title: &str, verdict: fn(&VariantResult) -> &Verdict| {
        let rows = variants.iter().map(|of| limit_row(&of.name, verdict(of))).collect();
        let head = ["variant", "short", "cases", "closest", "needs", "where, limit, case"];
        Table::new(title, &head, &[1, 2, 3, 4], rows)
    };
    vec![
        Table::new("mass, power, turnaround", &head, &[1, 2, 3, 4, 5, 6], weights),
        limits("limits in steady cases", |of| &of.steady),
        limits("limits in missions", |of| &of.flown),
    ]
}

fn weight_row(of: &VariantResult) -> Vec<String> {
    let mut row =
        vec![of.name.clone(), format!("{:.2}", of.masses.dry_kg()), format!("{:.2}", of.masses.coolant_kg())];
    match &of.costliest {
        Some(costs) => row.extend([
            format!("{:.0}", costs.taken.mean.electrical_w() + costs.taken.mean.shaft_w()),
            format!("{:.1}", costs.taken.mean.drag_n()),
            format!("{:.2}", costs.equivalent.total_kg()),
        ]),
        None => row.extend(["", "", ""].map(str::to_owned)),
    }
    match &of.ready {
        Some(ready) => row.extend([clock(ready.time_s), format!("{}, {}", ready.option, ready.condition)]),
        None => row.extend(["", ""].map(str::to_owned)),
    }
    row
}

fn limit_row(name: &str, verdict: &Verdict) -> Vec<String> {
    let [closest, needs, place] = match &verdict.closest {
        Some(closest) => closest_cells(closest),
        None => [String::new(), String::new(), "nothing is limited".to_owned()],
    };
    let short = match verdict.short {
        0 => "0".to_owned(),
        short => format!("SHORT {short}"),
    };
    vec![name.to_owned(), short, verdict.cases.to_string(), closest, needs, place]
}

fn closest_cells(closest: &Closest) -> [String; 3] {
    match &closest.margin {
        Some(margin) => {
            let cells = shown(margin);
            let when = closest.time_s.map_or_else(String::new, |time_s| format!(" at {}", clock(time_s)));
            let place = format!("{}, {}, {}{when}", margin.place, margin.limit, closest.case);
            [cells[2].clone(), cells[3].clone(), place]
        }
        None => [closest.status.word().replace('_', " "), String::new(), closest.case.to_string()],
    }
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
        json!({ "cases": of.cases, "cases_short": of.short, "closest": closest })
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
