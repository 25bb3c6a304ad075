//! The laws of devices and machines at every level, as tables and as JSON.

use crate::json::{Origin, with};
use crate::table::table;
use model::levels::{Law, Level};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// A table for each law.
pub fn sheet(case: &str, laws: &[Law]) -> String {
    let mut text = format!("{case}\n\n");
    if laws.is_empty() {
        text.push_str("No law that could be given at another level.\n\n");
    }
    for law in laws {
        let _infallible = writeln!(text, "{}: {}\n{}", law.owner(), law.what, law.path);
        let rows = law.levels.iter().map(|level| row(law, level)).collect();
        text.push_str(&table(&["level", "at the case", "used", "what it is"], &[1], rows));
    }
    text
}

fn row(law: &Law, level: &Level) -> Vec<String> {
    let used = if level.is_used { "used" } else { "" };
    let doc = format!("{} {}", level.doc.trim(), level.note);
    vec![level.name.to_owned(), law.result(level), used.to_owned(), doc.trim().to_owned()]
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
