//! A whole aircraft sized, and architectures side by side, as text and as JSON.

use crate::Table;
use crate::burden::{equivalent, equivalents, powers};
use crate::json::{Origin, with};
use crate::size::{binding, binding_row, binding_words, dimensions};
use serde_json::{Map, Value, json};
use std::fmt::Write as _;
use studies::whole::{Comparison, FrontPoint, LoopDesign, Optimum, Priced, Weighed, Whole};

/// The lightest design of all loops, what binds it and what that costs, and how it was found.
pub fn sheet(project: &str, variant: &str, whole: &Whole) -> String {
    let mut text = format!("{project}, variant {variant}: all loops sized over {} cases\n\n", whole.cases);
    if let Some(optimum) = &whole.optimum {
        design(whole, optimum, &mut text);
    } else {
        text.push_str("SHORT: nothing was found that holds. With the largest cores these are short:\n");
        text.push_str(&limits("", &whole.short).text());
    }
    if !whole.beyond.is_empty() {
        text.push_str("SHORT whatever the sizes, and left aside in sizing:\n");
        text.push_str(&limits("", &whole.beyond).text());
    }
    for left in &whole.left {
        let _infallible = writeln!(text, "Loop {} stays as it is: {}", left.circuit, left.reason);
    }
    found(whole, &mut text);
    text
}

/// The design loop by loop, its terms and what is close; or what is short.
pub fn tables(whole: &Whole) -> Vec<Table> {
    let mut all = match &whole.optimum {
        Some(optimum) => {
            let mut all = vec![loops(optimum)];
            all.extend(optimum.weighed.worth.as_ref().map(|worth| equivalents(&worth.equivalent)));
            all.push(closest(optimum));
            all
        }
        None => vec![limits("nothing was found that holds: short with the largest cores", &whole.short)],
    };
    if !whole.beyond.is_empty() {
        all.push(limits("short whatever the sizes, and left aside", &whole.beyond));
    }
    all
}

fn limits(title: &str, all: &[studies::size::Binding]) -> Table {
    let rows = all.iter().take(10).map(binding_row).collect();
    Table::new(title, &["case", "limit", "margin", "required", "reserve"], &[2, 3, 4], rows)
}

fn loops(optimum: &Optimum) -> Table {
    let rows = optimum.loops.iter().map(loop_row).collect();
    Table::new("lightest that holds", &["loop", "core", "pump", "fan", "core kg", "as it is"], &[4, 5], rows)
}

fn closest(optimum: &Optimum) -> Table {
    let row = |priced: &Priced| {
        let mut row = binding_row(&priced.binding);
        row.push(priced.kg_per_k.map_or_else(String::new, |price| format!("{price:.3}")));
        row
    };
    let rows = optimum.close.iter().map(row).collect();
    let head = ["case", "closest limit", "margin", "required", "reserve", "kg for 1 K"];
    Table::new("closest limits", &head, &[2, 3, 4, 5], rows)
}

fn design(whole: &Whole, optimum: &Optimum, text: &mut String) {
    text.push_str(&loops(optimum).text());
    if let Some(worth) = &optimum.weighed.worth {
        if let Some(mission) = &whole.mission {
            let _infallible = writeln!(text, "Equivalent mass over {mission}");
        }
        text.push_str(&equivalents(&worth.equivalent).text());
    }
    let (now_kg, then_kg) = (optimum.weighed.equivalent_kg(), whole.present.equivalent_kg());
    let _infallible =
        writeln!(text, "Together {now_kg:.2} kg; as it is {then_kg:.2} kg ({:+.2} kg)\n", now_kg - then_kg);
    text.push_str(&closest(optimum).text());
    for tightened in &optimum.tightened {
        let _infallible = writeln!(
            text,
            "Held {:.2} K further away, so that {} keeps it: {}, {}",
            tightened.by_k, tightened.case, tightened.limit.place, tightened.limit.limit
        );
    }
}

fn loop_row(one: &LoopDesign) -> Vec<String> {
    let words = |list: Vec<(&str, String, f64)>| {
        list.into_iter().map(|(name, value, _)| format!("{name} {value}")).collect::<Vec<_>>().join(", ")
    };
    vec![
        one.circuit.clone(),
        one.picked.clone().unwrap_or_else(|| words(dimensions(&one.core))),
        one.pump.clone().unwrap_or_default(),
        one.fan.clone().unwrap_or_default(),
        format!("{:.2}", one.core_kg),
        format!("{:.2}", one.present_core_kg),
    ]
}

/// How the design was found, and what the numbers mean.
fn found(whole: &Whole, text: &mut String) {
    let held: Vec<f64> = whole.starts.iter().filter_map(|start| start.equivalent_kg).collect();
    let ends = held.iter().map(|kg| format!("{kg:.2}")).collect::<Vec<_>>().join(", ");
    if held.is_empty() {
        let _infallible =
            writeln!(text, "Searched from {} starts: none led to a design that holds.", whole.starts.len());
        return;
    }
    let _infallible = write!(
        text,
        "Searched from {} starts, {} of which led to a design that holds:\n{ends} kg.\n\
         The lightest was followed to its end: none of its {} neighbours (a tube more or less, other fins,\n\
         core, pump, fan) is lighter. Equivalent mass: dry mass and liquid of all the cooling, and the cells\n\
         for pumps, fans, drag and weight over the mission.\n",
        whole.starts.len(),
        held.len(),
        whole.neighbours
    );
    if whole.optimum.iter().flat_map(|o| &o.loops).any(|l| l.room.iter().any(|room| !room.assumed.is_empty()))
    {
        text.push_str(
            "Room that is not stated is assumed around the present core: state it under `sizings`.\n",
        );
    }
}

/// Result of `size --all`.
pub fn json(origin: &Origin<'_>, whole: &Whole) -> Value {
    with_whole(origin.head(), whole)
}

fn with_whole(head: Value, whole: &Whole) -> Value {
    let optimum = whole.optimum.as_ref();
    let mut head = with(head, "mission", json!(whole.mission.as_ref().map(ToString::to_string)));
    head = with(head, "cases", json!(whole.cases));
    head = with(head, "present", weighed(&whole.present));
    head = with(head, "optimum", optimum.map_or(Value::Null, |optimum| weighed(&optimum.weighed)));
    head = with(head, "loops", optimum.map_or_else(|| json!([]), |o| o.loops.iter().map(one_loop).collect()));
    let priced = |priced: &Priced| with(binding(&priced.binding), "kg_per_K", json!(priced.kg_per_k));
    head = with(head, "closest", optimum.map_or_else(|| json!([]), |o| o.close.iter().map(priced).collect()));
    let tightened = optimum.map_or(&[][..], |o| &o.tightened).iter().map(|one| {
        let limit = format!("{}, {}", one.limit.place, one.limit.limit);
        json!({ "case": one.case.to_string(), "limit": limit, "by_K": one.by_k })
    });
    head = with(head, "tightened", tightened.collect());
    head = with(head, "beyond", whole.beyond.iter().map(binding).collect());
    head = with(head, "short", whole.short.iter().map(binding).collect());
    let left = whole.left.iter().map(|left| json!({ "loop": left.circuit, "reason": left.reason }));
    head = with(head, "left", left.collect());
    head = with(head, "starts_kg", whole.starts.iter().map(|start| json!(start.equivalent_kg)).collect());
    head = with(head, "neighbours", json!(whole.neighbours));
    let changes = optimum.map_or(&[][..], |o| &o.changes);
    with(head, "changes", changes.iter().map(|change| json!(change.path().to_string())).collect())
}

fn weighed(weighed: &Weighed) -> Value {
    let masses = &weighed.masses;
    let head = json!({
        "equivalent_kg": weighed.equivalent_kg(),
        "dry_kg": masses.dry_kg(),
        "coolant_kg": masses.coolant_kg(),
    });
    match &weighed.worth {
        None => with(with(head, "equivalent", Value::Null), "mean_power", Value::Null),
        Some(worth) => {
            let head = with(head, "equivalent", equivalent(&worth.equivalent));
            with(head, "mean_power", powers(&worth.draw.mean))
        }
    }
}

fn one_loop(one: &LoopDesign) -> Value {
    let mut fields = Map::new();
    fields.insert("loop".to_owned(), json!(one.circuit));
    fields.insert("core".to_owned(), json!(one.core.name.as_str()));
    fields.insert("chosen".to_owned(), json!(one.picked));
    for (name, _, si) in dimensions(&one.core) {
        let unit = if name == "conductance" { "W_K" } else { "m" };
        fields.insert(format!("{}_{unit}", name.replace(' ', "_")), json!(si));
    }
    fields.insert("pump".to_owned(), json!(one.pump));
    fields.insert("fan".to_owned(), json!(one.fan));
    fields.insert("core_mass_kg".to_owned(), json!(one.core_kg));
    fields.insert("present_core_mass_kg".to_owned(), json!(one.present_core_kg));
    Value::Object(fields)
}

/// Architectures in a table, lightest terms beside one another.
pub fn comparison(project: &str, comparison: &Comparison) -> String {
    let mut text = format!("{project}: architectures, each at its lightest\n\n");
    for table in comparison_tables(comparison) {
        text.push_str(&table.text());
    }
    for row in &comparison.rows {
        for beyond in &row.whole.beyond {
            let _infallible =
                writeln!(text, "{}: SHORT whatever the sizes: {}", row.variant, binding_words(beyond));
        }
    }
    text.push_str(
        "Mass of the cooling only: motors, inverters, gearbox and cells that differ between variants are not in\n\
         this book, except the cells for what the cooling takes.\n",
    );
    text
}

/// The terms of each architecture, and what it takes and what binds.
pub fn comparison_tables(comparison: &Comparison) -> Vec<Table> {
    let number = |value: f64| format!("{value:.2}");
    let mut terms = Vec::new();
    let mut takes = Vec::new();
    for row in &comparison.rows {
        let Some(optimum) = &row.whole.optimum else {
            let why = row.whole.short.first().map_or_else(String::new, binding_words);
            takes.push(vec![row.variant.clone(), String::new(), String::new(), format!("SHORT: {why}")]);
            terms.push([vec![row.variant.clone()], vec![String::new(); 6]].concat());
            continue;
        };
        let (dry_kg, coolant_kg) = (optimum.weighed.masses.dry_kg(), optimum.weighed.masses.coolant_kg());
        let mut cells = vec![row.variant.clone(), number(dry_kg), number(coolant_kg)];
        let mut power = vec![String::new(); 2];
        if let Some(worth) = &optimum.weighed.worth {
            let (mass, mean) = (&worth.equivalent, &worth.draw.mean);
            cells.extend([mass.machines_kg, mass.drag_kg, mass.carry_kg].map(number));
            power =
                vec![format!("{:.0}", mean.electrical_w() + mean.shaft_w()), format!("{:.2}", mean.drag_n())];
        } else {
            cells.extend(vec![String::new(); 3]);
        }
        cells.push(number(optimum.weighed.equivalent_kg()));
        terms.push(cells);
        let worst = optimum.close.first().map_or_else(String::new, |priced| {
            let flag = if row.whole.beyond.is_empty() { "" } else { "SHORT beyond sizing; " };
            format!("{flag}{:.2} K: {}", priced.binding.reserve, binding_words(&priced.binding))
        });
        takes.push([vec![row.variant.clone()], power, vec![worst]].concat());
    }
    let head =
        ["variant", "dry kg", "coolant kg", "pumps, fans kg", "drag kg", "carrying kg", "equivalent kg"];
    let powers = ["variant", "mean power W", "mean drag N", "least reserve and what binds"];
    vec![
        Table::new("equivalent mass by term", &head, &[1, 2, 3, 4, 5, 6], terms),
        Table::new("power and limits", &powers, &[1, 2], takes),
    ]
}

/// Result of `size --all --compare`.
pub fn comparison_json(origin: &Origin<'_>, comparison: &Comparison) -> Value {
    let row = |row: &studies::whole::Compared| with_whole(json!({ "variant": row.variant }), &row.whole);
    with(origin.head(), "variants", comparison.rows.iter().map(row).collect())
}

/// Mass against margin.
pub fn front(project: &str, variant: &str, points: &[FrontPoint]) -> String {
    let mut text = format!("{project}, variant {variant}: mass against margin, all loops sized for each\n\n");
    text.push_str(&front_table(points).text());
    text.push_str(
        "Left over the required margin of every temperature that sizes move, in every case. Each point\n\
         after the first is searched from the one before it and its neighbours.\n",
    );
    text
}

/// Points of mass against margin.
pub fn front_table(points: &[FrontPoint]) -> Table {
    let row = |point: &FrontPoint| {
        let mut row = vec![format!("{:.2}", point.left_over_k)];
        if let Some(optimum) = &point.whole.optimum {
            row.push(format!("{:.2}", optimum.weighed.masses.total_kg()));
            row.push(format!("{:.2}", optimum.weighed.equivalent_kg()));
            let dearest = optimum.close.iter().filter_map(|one| one.kg_per_k.map(|price| (price, one)));
            let dearest = dearest.max_by(|a, b| a.0.total_cmp(&b.0));
            row.push(dearest.map_or_else(String::new, |(price, _)| format!("{price:.3}")));
            row.push(dearest.map_or_else(String::new, |(_, one)| binding_words(&one.binding)));
        } else {
            let why = point.whole.short.first().map_or_else(String::new, binding_words);
            row.extend([String::new(), String::new(), String::new(), format!("SHORT: {why}")]);
        }
        row
    };
    let head = ["left over K", "mass kg", "equivalent kg", "kg for 1 K", "dearest limit"];
    Table::new("mass against margin", &head, &[0, 1, 2, 3], points.iter().map(row).collect())
}

/// Result of `size --all --front`.
pub fn front_json(origin: &Origin<'_>, points: &[FrontPoint]) -> Value {
    let point = |point: &FrontPoint| with_whole(json!({ "left_over_K": point.left_over_k }), &point.whole);
    with(origin.head(), "front", points.iter().map(point).collect())
}
