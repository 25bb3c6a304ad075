//! The largest cell resistance for uncooled flight as a table and as JSON.

use crate::json::{Origin, with};
use crate::{Table, celsius};
use model::book::MassLine;
use serde_json::{Value, json};
use studies::uncooled::{Boundary, Uncooled, UncooledPoint, WayMass};

/// Boundaries against outside air and age.
pub fn sheet(project: &str, variant: &str, result: &Uncooled) -> String {
    let mut text = format!(
        "{project}, variant {variant}: largest cell resistance that lets the pack fly uncooled\n\
         (as the cell sheet states it: direct current, new, at its reference temperature; the project has {:.2} mOhm)\n\n",
        1e3 * result.present_ohm
    );
    text.push_str(&boundaries(result).text());
    for way in result.masses.iter().filter(|way| !way.gone.is_empty()) {
        text.push_str(&gone(way).text());
    }
    text.push_str(
        "Every mission of the cases, with the outside air at one temperature at every height it reaches; limits of\n\
         the cells alone, hottest cell included. Cooling on the ground between flights is not part of this.\n",
    );
    text
}

/// The boundaries.
pub fn boundaries(result: &Uncooled) -> Table {
    let rows = result.points.iter().map(|point| row(point, result.present_ohm)).collect();
    let head = ["way", "age", "outside air", "largest", "project", "limited by", "case"];
    Table::new("largest cell resistance for uncooled flight", &head, &[2, 3], rows)
}

/// What drops out with a way.
pub fn gone(way: &WayMass) -> Table {
    let row = |line: &MassLine| {
        vec![
            line.name.clone(),
            line.kind.to_owned(),
            kg(line.dry_kg),
            kg(line.coolant_kg),
            kg(line.total_kg()),
        ]
    };
    let mut rows: Vec<Vec<String>> = way.gone.iter().map(row).collect();
    let sum = |of: fn(&MassLine) -> f64| kg(way.gone.iter().map(of).sum());
    rows.push(vec![
        "sum".to_owned(),
        String::new(),
        sum(|line| line.dry_kg),
        sum(|line| line.coolant_kg),
        sum(MassLine::total_kg),
    ]);
    let head = ["goes in one step", "what", "dry kg", "coolant kg", "kg"];
    Table::new(&format!("{}: what goes", way.way), &head, &[2, 3, 4], rows)
}

fn kg(kg: f64) -> String {
    format!("{kg:.2}")
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

fn row(point: &UncooledPoint, present_ohm: f64) -> Vec<String> {
    let (largest, holds) = match point.boundary {
        Boundary::UpTo(ohm) => (format!("{:.2} mOhm", 1e3 * ohm), present_ohm <= ohm),
        Boundary::AtLeast(ohm) => (format!("above {:.0} mOhm", 1e3 * ohm), present_ohm <= ohm),
        Boundary::Below(ohm) => (format!("below {:.2} mOhm", 1e3 * ohm), false),
    };
    vec![
        point.way.clone(),
        age(point.life_used),
        format!("{:.0} degC", celsius(point.oat_k)),
        largest,
        if holds { "holds" } else { "SHORT" }.to_owned(),
        point.limited_by.as_deref().unwrap_or_default().replace('_', " "),
        point.case.as_ref().map_or_else(String::new, ToString::to_string),
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
