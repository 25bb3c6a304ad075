//! The largest cell resistance for uncooled flight as a table and as JSON.

use crate::json::{Origin, with};
use crate::sheet::{Cell, Column, Row, Sheet, texts};
use model::budget::MassLine;
use serde_json::{Value, json};
use studies::uncooled::{Boundary, Uncooled, UncooledPoint, WayMass};
use units::Kind;

/// Boundaries against outside air and age.
pub fn page(project: &str, variant: &str, result: &Uncooled) -> String {
    let mut text = format!(
        "{project}, variant {variant}: largest cell resistance that lets the pack fly uncooled\n\
         (as the cell sheet states it: direct current, new, at its reference temperature; the project has {:.2} mOhm)\n\n",
        1e3 * result.present_ohm
    );
    text.push_str(&texts(&sheets(result)));
    text.push_str(
        "Every mission of the cases, with the outside air at one temperature at every height it reaches; limits of\n\
         the cells alone, hottest cell included. Cooling on the ground between flights is not part of this.\n",
    );
    text
}

/// The boundaries, then what drops out with each way.
pub fn sheets(result: &Uncooled) -> Vec<Sheet> {
    let gone = result.masses.iter().filter(|way| !way.gone.is_empty()).map(gone);
    std::iter::once(boundaries(result)).chain(gone).collect()
}

/// The boundaries.
pub fn boundaries(result: &Uncooled) -> Sheet {
    let ohm = |key: &str, decimals| Column::number(key, Kind::Resistance, "mOhm", decimals).in_cell();
    let columns = [
        Column::text("way"),
        Column::text("age"),
        Column::number("life_used", Kind::Ratio, "", 2).data(),
        Column::number("oat_K", Kind::Temperature, "degC", 0).head("outside air").in_cell(),
        ohm("largest_resistance_ohm", 2).head("largest"),
        Column::flag("beyond_range", ["above", ""]).after(""),
        ohm("at_least_ohm", 0).after(" "),
        Column::flag("nowhere", ["below", ""]).after(""),
        ohm("below_ohm", 2).after(" "),
        Column::flag("short", ["SHORT", "holds"]).verdict().head("project"),
        Column::text("limited_by"),
        Column::text("case"),
    ];
    let rows = result.points.iter().map(|point| row(point, result.present_ohm));
    Sheet::new("largest cell resistance for uncooled flight", columns).with_rows(rows)
}

/// What drops out with a way.
fn gone(way: &WayMass) -> Sheet {
    let mass = |key: &str| Column::number(key, Kind::Mass, "kg", 2);
    let columns = [
        Column::text("name").head("goes in one step"),
        Column::text("kind").head("what"),
        mass("dry_kg").head("dry"),
        mass("coolant_kg").head("coolant"),
        mass("total_kg").head(""),
    ];
    let row = |line: &MassLine| {
        let (dry_kg, coolant_kg) = (line.dry_kg.into(), line.coolant_kg.into());
        vec![(&line.name).into(), line.kind.into(), dry_kg, coolant_kg, line.total_kg().into()]
    };
    let mut sheet =
        Sheet::new(format!("{}: what goes", way.way), columns).with_rows(way.gone.iter().map(row));
    let sum = |of: fn(&MassLine) -> f64| Cell::Number(way.gone.iter().map(of).sum());
    let sums = [sum(|line| line.dry_kg), sum(|line| line.coolant_kg), sum(MassLine::total_kg)];
    sheet.push(["sum".into(), Cell::Absent].into_iter().chain(sums));
    sheet
}

/// Age in words.
pub fn age(life_used: f64) -> String {
    if life_used <= 0.0 {
        "new".to_owned()
    } else if life_used >= 1.0 {
        "end of life".to_owned()
    } else {
        format!("{:.0} % used", 100.0 * life_used)
    }
}

fn row(point: &UncooledPoint, present_ohm: f64) -> Row {
    let (mut up_to, mut at_least, mut below) = (None, None, None);
    match point.boundary {
        Boundary::UpTo(ohm) => up_to = Some(ohm),
        Boundary::AtLeast(ohm) => at_least = Some(ohm),
        Boundary::Below(ohm) => below = Some(ohm),
    }
    let holds = up_to.or(at_least).is_some_and(|ohm| present_ohm <= ohm);
    vec![
        (&point.way).into(),
        age(point.life_used).into(),
        point.life_used.into(),
        point.oat_k.into(),
        up_to.into(),
        at_least.is_some().into(),
        at_least.into(),
        below.is_some().into(),
        below.into(),
        (!holds).into(),
        Cell::said(point.limited_by.as_deref().unwrap_or_default().replace('_', " ")),
        point.case.as_ref().map(ToString::to_string).into(),
    ]
}

/// Result of `uncooled`.
pub fn json(origin: &Origin<'_>, result: &Uncooled) -> Value {
    let head = with(origin.head(), "cell_resistance_ohm", json!(result.present_ohm));
    let head = with(head, "points", result.points.iter().map(point).collect());
    with(head, "masses", result.masses.iter().map(mass).collect())
}

fn mass(way: &WayMass) -> Value {
    let gone = way.gone.iter().map(|line| {
        json!({ "name": line.name, "kind": line.kind, "circuit": line.circuit, "dry_kg": line.dry_kg, "coolant_kg": line.coolant_kg })
    });
    json!({
        "way": way.way,
        "cooling_kg": way.cooling_kg,
        "gone_kg": way.gone.iter().map(MassLine::total_kg).sum::<f64>(),
        "gone": gone.collect::<Value>(),
    })
}

fn point(point: &UncooledPoint) -> Value {
    let (reach, ohm) = match point.boundary {
        Boundary::UpTo(ohm) => ("limit", Some(ohm)),
        Boundary::AtLeast(ohm) => ("beyond_range", Some(ohm)),
        Boundary::Below(_) => ("nowhere", None),
    };
    json!({
        "way": point.way,
        "life_used": point.life_used,
        "oat_K": point.oat_k,
        "largest_resistance_ohm": ohm,
        "reach": reach,
        "limited_by": point.limited_by,
        "case": point.case.as_ref().map(ToString::to_string),
    })
}
