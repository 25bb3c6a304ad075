//! Cases that no choice makes hold, as a table and as JSON.

use crate::json::margin;
use crate::limit;
use crate::sheet::{Cell, Row, Sheet};
use crate::size::limit_columns;
use serde_json::{Value, json};
use studies::infeasible::Infeasible;

/// The cases with what stands in the way of each where that is least.
pub(crate) fn sheet(title: &str, all: &[Infeasible]) -> Sheet {
    Sheet::new(title, limit_columns("short at best")).with_rows(all.iter().map(row))
}

fn row(one: &Infeasible) -> Row {
    let found = &one.obstacle;
    let margin = found.margin.as_ref();
    let is_temperature =
        |margin: &&model::result::Margin| limit::value_kind(margin.kind) == units::Kind::Temperature;
    let place = Cell::said(found.place.as_str());
    vec![
        one.case.to_string().into(),
        place,
        Cell::said(found.limit.as_str()),
        margin.filter(is_temperature).map(|margin| margin.value).into(),
        found.message.as_deref().map_or(Cell::Absent, |message| Cell::said(format!("; {message}"))),
        margin.map(|margin| limit::distance(margin.kind, margin.margin)).into(),
        margin.map(|margin| limit::distance(margin.kind, margin.required)).into(),
        true.into(),
        margin.map(|margin| limit::distance(margin.kind, margin.reserve())).into(),
        margin.map(limit::unit).into(),
    ]
}

/// What was tried, once for all that were tried alike.
pub(crate) fn tried(all: &[Infeasible]) -> String {
    let mut known: Vec<&str> = Vec::new();
    for one in all.iter().filter(|one| !one.tried.is_empty()) {
        if !known.contains(&one.tried.as_str()) {
            known.push(&one.tried);
        }
    }
    known.join("; ")
}

/// The cases under one key.
pub(crate) fn list(all: &[Infeasible]) -> Value {
    all.iter().map(one).collect()
}

/// One case.
pub(crate) fn one(one: &Infeasible) -> Value {
    let found = &one.obstacle;
    json!({
        "case": one.case.to_string(),
        "where": found.place,
        "limit": found.limit,
        "short_by": found.short_by(),
        "details": found.margin.as_ref().map(|m| margin(m, found.time_s)),
        "message": found.message,
        "tried": one.tried,
    })
}
