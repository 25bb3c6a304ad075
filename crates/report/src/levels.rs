//! The laws of devices and machines at every level, as tables and as JSON.

use crate::json::{Origin, with};
use crate::sheet::{Cell, Column, Digits, Sheet, key_unit};
use model::levels::{Law, Level};
use serde_json::{Value, json};
use std::fmt::Write as _;
use units::Kind;

/// A table for each law, with its path.
pub fn page(case: &str, laws: &[Law]) -> String {
    let mut text = format!("{case}\n\n");
    if laws.is_empty() {
        text.push_str("No law that could be given at another level.\n\n");
    }
    for law in laws {
        let sheet = levels(law);
        let _infallible = writeln!(text, "{}\n{}", sheet.title, law.path);
        text.push_str(&sheet.text());
    }
    text
}

/// What a law gives at each of its levels.
fn levels(law: &Law) -> Sheet {
    let decimals = if law.kind == Kind::Power { Digits::Fixed(1) } else { Digits::Usual };
    let unit = if law.kind == Kind::Power { "W" } else { "" };
    let value = Column::number(format!("value_{}", key_unit(law.kind.si_unit())), law.kind, unit, 1);
    let columns = [
        Column::text("level"),
        value.digits(decimals).head("at the case").in_cell(),
        Column::text("why").after(""),
        Column::flag("used", ["used", ""]),
        Column::text("doc").head("what it is"),
        Column::text("note").after(" "),
    ];
    let row = |level: &Level| {
        let why = match (level.value, &level.law) {
            (Some(_), _) => Cell::Absent,
            (None, Some(_)) => "cannot be told".into(),
            (None, None) => "too little is known".into(),
        };
        let (doc, note) = (Cell::said(level.doc.trim()), Cell::said(level.note.trim()));
        vec![level.name.into(), level.value.into(), why, level.is_used.into(), doc, note]
    };
    let title = format!("{}: {}", law.owner(), law.what);
    Sheet::new(title, columns).with_rows(law.levels.iter().map(row))
}

/// A sheet for each law.
pub fn sheets(laws: &[Law]) -> Vec<Sheet> {
    laws.iter().map(levels).collect()
}

/// The laws as JSON; values in the SI unit that stands beside them.
pub fn json(origin: &Origin<'_>, case: &str, laws: &[Law]) -> Value {
    let level = |level: &Level| {
        json!({
            "name": level.name,
            "used": level.is_used,
            "can_be_filled": level.law.is_some(),
            "value": level.value,
            "note": level.note,
        })
    };
    let law = |law: &Law| {
        json!({
            "path": law.path,
            "owner": law.owner(),
            "what": law.what,
            "unit": law.kind.si_unit(),
            "levels": law.levels.iter().map(level).collect::<Value>(),
        })
    };
    let head = with(origin.head(), "case", json!(case));
    with(head, "laws", laws.iter().map(law).collect())
}
