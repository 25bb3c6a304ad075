//! A whole aircraft sized, and architectures side by side, as text and as JSON.

use crate::budget::{equivalent, equivalents, powers};
use crate::json::{Origin, with};
use crate::sheet::{Cell, Column, Row, Sheet, texts};
use crate::size::{
    Dimension, binding, binding_cells, binding_words, dimensions, insert_dimensions, limit_row,
};
use crate::{counted, infeasible, limit};
use model::budget::Draw;
use serde_json::{Map, Value, json};
use std::fmt::Write as _;
use studies::optimum::{
    Compared, Comparison, FrontPoint, LoopDesign, Optimum, OptimumStudy, Priced, Weighed,
};
use units::Kind;

/// The lightest design of all loops, what binds it and what that costs, and how it was found.
pub fn page(project: &str, variant: &str, whole: &OptimumStudy) -> String {
    let mut text =
        format!("{project}, variant {variant}: all loops sized over {}\n\n", counted(whole.cases, "case"));
    if !whole.is_whole() {
        let _infallible = writeln!(text, "INCOMPLETE, it was stopped; missing: {}\n", whole.missing);
    }
    if !whole.infeasible.is_empty() {
        text.push_str("SHORT whatever is chosen, and set apart:\n");
        text.push_str(&infeasible::sheet("", &whole.infeasible).text());
    }
    if let Some(optimum) = &whole.optimum {
        design(whole, optimum, &mut text);
    } else {
        text.push_str(
            "SHORT: nothing was found that holds. At the best that was found these stand in the way:\n",
        );
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
pub fn sheets(whole: &OptimumStudy) -> Vec<Sheet> {
    let mut all = match &whole.optimum {
        Some(optimum) => {
            let mut all = vec![loops(optimum)];
            all.extend(optimum.weighed.worth.as_ref().map(|worth| equivalents(&worth.equivalent)));
            all.push(closest(optimum));
            all
        }
        None => {
            vec![limits("nothing was found that holds: what stands in the way at the best", &whole.short)]
        }
    };
    if !whole.infeasible.is_empty() {
        all.push(infeasible::sheet("short whatever is chosen, set apart", &whole.infeasible));
    }
    if !whole.beyond.is_empty() {
        all.push(limits("short whatever the sizes, and left aside", &whole.beyond));
    }
    all
}

fn limits(title: &str, all: &[studies::size::Binding]) -> Sheet {
    Sheet::new(title, limit::case_columns("limit")).with_rows(all.iter().take(10).map(limit_row))
}

fn loops(optimum: &Optimum) -> Sheet {
    let columns = [
        Column::text("loop"),
        Column::text("core"),
        Column::text("pump"),
        Column::text("fan"),
        Column::number("core_mass_kg", Kind::Mass, "kg", 2).head("core"),
        Column::number("present_core_mass_kg", Kind::Mass, "kg", 2).head("as it is").silent(),
    ];
    Sheet::new("lightest that holds", columns).with_rows(optimum.loops.iter().map(loop_row))
}

/// What the next kelvin of a limit weighs.
fn price_column() -> Column {
    Column::plain("kg_per_K", "kg for 1 K", "", 3)
}

fn closest(optimum: &Optimum) -> Sheet {
    let mut columns = limit::case_columns("closest limit");
    columns.push(price_column());
    let row = |priced: &Priced| {
        let mut row = limit_row(&priced.binding);
        row.push(priced.kg_per_k.into());
        row
    };
    Sheet::new("closest limits", columns).with_rows(optimum.close.iter().map(row))
}

fn design(whole: &OptimumStudy, optimum: &Optimum, text: &mut String) {
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

fn loop_row(one: &LoopDesign) -> Row {
    let words = |list: Vec<Dimension>| {
        list.into_iter().map(|one| format!("{} {}", one.name, one.text)).collect::<Vec<_>>().join(", ")
    };
    vec![
        (&one.circuit).into(),
        Cell::said(one.picked.clone().unwrap_or_else(|| words(dimensions(&one.core)))),
        one.pump.as_ref().into(),
        one.fan.as_ref().into(),
        one.core_kg.into(),
        one.present_core_kg.into(),
    ]
}

/// How the design was found, and what the numbers mean.
fn found(whole: &OptimumStudy, text: &mut String) {
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
pub fn json(origin: &Origin<'_>, whole: &OptimumStudy) -> Value {
    with_whole(origin.head(), whole)
}

fn with_whole(head: Value, whole: &OptimumStudy) -> Value {
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
    head = with(head, "infeasible", infeasible::list(&whole.infeasible));
    head = with(head, "is_whole", json!(whole.is_whole()));
    head = with(head, "missing", json!(Some(&whole.missing).filter(|missing| !missing.is_empty())));
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
    insert_dimensions(&mut fields, &one.core);
    fields.insert("pump".to_owned(), json!(one.pump));
    fields.insert("fan".to_owned(), json!(one.fan));
    fields.insert("core_mass_kg".to_owned(), json!(one.core_kg));
    fields.insert("present_core_mass_kg".to_owned(), json!(one.present_core_kg));
    Value::Object(fields)
}

/// Architectures in a table, lightest terms beside one another.
pub fn comparison_page(project: &str, comparison: &Comparison) -> String {
    let mut text = format!("{project}: architectures, each at its lightest\n\n");
    text.push_str(&texts(&comparison_sheets(comparison)));
    for row in &comparison.rows {
        for beyond in &row.whole.beyond {
            let _infallible =
                writeln!(text, "{}: SHORT whatever the sizes: {}", row.variant, binding_words(beyond));
        }
        for one in &row.whole.infeasible {
            let found = &one.obstacle;
            let _infallible = writeln!(
                text,
                "{}: SHORT whatever is chosen, and set apart: {}, {} in {}",
                row.variant, found.place, found.limit, one.case
            );
        }
    }
    text.push_str(
        "Mass of the cooling only: motors, inverters, gearbox and cells that differ between variants are not in\n\
         this book, except the cells for what the cooling takes.\n",
    );
    text
}

/// The terms of each architecture, and what it takes and what binds.
pub fn comparison_sheets(comparison: &Comparison) -> Vec<Sheet> {
    let mass = |key: &str, head: &str| Column::number(key, Kind::Mass, "kg", 2).head(head);
    let terms = [
        Column::text("variant"),
        mass("dry_kg", "dry"),
        mass("coolant_kg", "coolant"),
        mass("machines_kg", "pumps, fans"),
        mass("drag_kg", "drag"),
        mass("carry_kg", "carrying"),
        mass("equivalent_kg", "equivalent"),
    ];
    let takes = [
        Column::text("variant"),
        Column::number("mean_power_W", Kind::Power, "W", 0).head("mean power"),
        Column::number("mean_drag_N", Kind::Force, "N", 2).head("mean drag"),
        Column::short(["SHORT: ", ""]),
        Column::flag("short_beyond_sizing", ["SHORT beyond sizing; ", ""]).verdict().before(""),
        Column::number("reserve_K", Kind::TemperatureDifference, "K", 2).in_cell().before(": "),
        Column::text("binding").head("least reserve and what binds"),
        Column::time("time_s").after(" at "),
    ];
    vec![
        Sheet::new("equivalent mass by term", terms).with_rows(comparison.rows.iter().map(terms_row)),
        Sheet::new("power and limits", takes).with_rows(comparison.rows.iter().map(takes_row)),
    ]
}

fn terms_row(row: &Compared) -> Row {
    let weighed = row.whole.optimum.as_ref().map(|optimum| &optimum.weighed);
    let worth = weighed.and_then(|weighed| weighed.worth.as_ref()).map(|worth| &worth.equivalent);
    vec![
        (&row.variant).into(),
        weighed.map(|weighed| weighed.masses.dry_kg()).into(),
        weighed.map(|weighed| weighed.masses.coolant_kg()).into(),
        worth.map(|mass| mass.machines_kg).into(),
        worth.map(|mass| mass.drag_kg).into(),
        worth.map(|mass| mass.carry_kg).into(),
        weighed.map(Weighed::equivalent_kg).into(),
    ]
}

fn takes_row(row: &Compared) -> Row {
    let optimum = row.whole.optimum.as_ref();
    let mean = optimum.and_then(|optimum| optimum.weighed.worth.as_ref()).map(|worth| &worth.draw.mean);
    let closest = optimum.and_then(|optimum| optimum.close.first());
    let binding = match optimum {
        Some(_) => closest.map(|priced| &priced.binding),
        None => row.whole.short.first(),
    };
    let [words, time] = binding.map_or([Cell::Absent, Cell::Absent], binding_cells);
    vec![
        (&row.variant).into(),
        mean.map(|mean| mean.electrical_w() + mean.shaft_w()).into(),
        mean.map(Draw::drag_n).into(),
        optimum.is_none().into(),
        (closest.is_some() && !(row.whole.beyond.is_empty() && row.whole.infeasible.is_empty())).into(),
        closest.map(|priced| priced.binding.reserve).into(),
        words,
        time,
    ]
}

/// Result of `size --all --compare`.
pub fn comparison_json(origin: &Origin<'_>, comparison: &Comparison) -> Value {
    let row = |row: &Compared| with_whole(json!({ "variant": row.variant }), &row.whole);
    with(origin.head(), "variants", comparison.rows.iter().map(row).collect())
}

/// Mass against margin.
pub fn front_page(project: &str, variant: &str, points: &[FrontPoint]) -> String {
    let mut text = format!("{project}, variant {variant}: mass against margin, all loops sized for each\n\n");
    text.push_str(&texts(&front_sheets(points)));
    text.push_str(
        "Left over the required margin of every temperature that sizes move, in every case. Each point\n\
         after the first is searched from the one before it and its neighbours.\n",
    );
    text
}

/// Points of mass against margin.
pub fn front_sheets(points: &[FrontPoint]) -> Vec<Sheet> {
    let columns = [
        Column::number("left_over_K", Kind::TemperatureDifference, "K", 2).head("left over"),
        Column::number("mass_kg", Kind::Mass, "kg", 2).head("mass"),
        Column::number("equivalent_kg", Kind::Mass, "kg", 2).head("equivalent"),
        price_column(),
        Column::short(["SHORT: ", ""]),
        Column::text("dearest").head("dearest limit"),
        Column::time("time_s").after(" at "),
    ];
    vec![Sheet::new("mass against margin", columns).with_rows(points.iter().map(front_row))]
}

fn front_row(point: &FrontPoint) -> Row {
    let optimum = point.whole.optimum.as_ref();
    let priced = optimum.into_iter().flat_map(|optimum| &optimum.close);
    let dearest =
        priced.filter_map(|one| one.kg_per_k.map(|price| (price, one))).max_by(|a, b| a.0.total_cmp(&b.0));
    let binding = match optimum {
        Some(_) => dearest.map(|(_, one)| &one.binding),
        None => point.whole.short.first(),
    };
    let [words, time] = binding.map_or([Cell::Absent, Cell::Absent], binding_cells);
    vec![
        point.left_over_k.into(),
        optimum.map(|optimum| optimum.weighed.masses.total_kg()).into(),
        optimum.map(|optimum| optimum.weighed.equivalent_kg()).into(),
        dearest.map(|(price, _)| price).into(),
        optimum.is_none().into(),
        words,
        time,
    ]
}

/// Result of `size --all --front`.
pub fn front_json(origin: &Origin<'_>, points: &[FrontPoint]) -> Value {
    let point = |point: &FrontPoint| with_whole(json!({ "left_over_K": point.left_over_k }), &point.whole);
    with(origin.head(), "front", points.iter().map(point).collect())
}
