//! The largest cell resistance for uncooled flight as a table and as JSON.

use crate::json::{Origin, with};
use crate::{Table, celsius};
use serde_json::{Value, json};
use studies::uncooled::{Boundary, Uncooled, UncooledPoint};

/// Boundaries against outside air and age.
pub fn sheet(project: &str, variant: &str, result: &Uncooled) -> String {
    let mut text = format!(
        "{project}, variant {variant}: largest cell resistance that lets the pack fly uncooled\n\
         (as the cell sheet states it: direct current, new, at its reference temperature; the project has {:.2} mOhm)\n\n",
        1e3 * result.present_ohm
    );
    text.push_str(&boundaries(result).text());
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
    with(head, "points", result.points.iter().map(point).collect())
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
