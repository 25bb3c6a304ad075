//! Cases that no choice makes hold, as a table and as JSON.

use crate::json::margin;
use crate::limit;
use crate::sheet::{Cell, Row, Sheet};
use model::result::Margin;
use model::standing::Standing;
use serde_json::{Value, json};
use studies::infeasible::Infeasible;

/// The cases with what stands in the way of each where that is least.
pub(crate) fn sheet(title: &str, all: &[Infeasible]) -> Sheet {
    Sheet::new(title, limit::case_columns("short at best")).with_rows(all.iter().map(row))
}

fn row(one: &Infeasible) -> Row {
    let found = &one.obstacle;
    let margin = found.margin.as_ref();
    let is_temperature = |margin: &&Margin| limit::value_kind(margin.kind) == units::Kind::Temperature;
    let place = Cell::said(found.place.as_str());
    vec![
        one.case.to_string().into(),
        place,
        Cell::said(found.limit.as_str()),
        margin.filter(is_temperature).map(|margin| margin.value).into(),
        found.message.as_deref().map_or(Cell::Absent, |message| Cell::said(format!("; {message}"))),
    ]
    .into_iter()
    .chain([margin.map_or(Standing::NoResult, Margin::standing).into()])
    .chain(limit::reserve_cells(margin).into_iter().skip(1))
    .chain([margin.map(limit::unit).into()])
    .collect()
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

#[cfg(test)]
mod tests {
    use super::{Infeasible, sheet};
    use crate::sheet::Cell;
    use model::case_name::CaseName;
    use model::evidence::RequiredBy;
    use model::result::{Margin, MarginKind};
    use model::standing::Standing;
    use studies::infeasible::Obstacle;

    fn case() -> CaseName {
        CaseName { condition: "warm".to_owned(), point: "full".to_owned(), failure: None }
    }

    /// 293.15 K against 273.15 K: a margin of -20 K, of which 10 K are required, is a reserve of -20 - 10 = -30 K.
    #[test]
    fn every_number_stands_under_its_head() {
        let margin = Margin {
            place: "plate".to_owned(),
            limit: "limit".to_owned(),
            kind: MarginKind::Maximum,
            value: 293.15,
            limit_value: 273.15,
            nominal_limit: None,
            margin: -20.0,
            required: 10.0,
            required_by: RequiredBy::Limit,
            source: None,
            owner: None,
        };
        let short = Obstacle::short(margin, None);
        let without = Obstacle::without_state("plate", "no equilibrium", "it runs away".to_owned());
        let one = |obstacle| Infeasible { case: case(), obstacle, tried: String::new() };
        let found = sheet("", &[one(short), one(without)]);
        found.check().expect("every cell is of its column");
        let number = |key: &str| found.number(0, found.position(key).expect("a column"));
        let read = ["margin", "required", "reserve"].map(number);
        assert_eq!(read, [Some(-20.0), Some(10.0), Some(-30.0)]);
        let standing = found.position("standing").expect("a column");
        let cells: Vec<&Cell> = found.rows.iter().map(|row| &row[standing]).collect();
        assert_eq!(cells, [&Cell::from(Standing::PastLimit), &Cell::from(Standing::NoResult)]);
    }
}
