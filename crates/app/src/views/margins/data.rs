//! Limits by cases, as plain data in display units.

use crate::views::figure::Standing;

/// One limit in one case.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MarginEntry {
    /// Component, loop or device.
    pub where_: String,
    /// Name of the limit.
    pub limit: String,
    /// Full name of the case.
    pub case: String,
    /// Unit of margin and required margin.
    pub unit: String,
    /// The margin, positive is good; nothing when the case has no solution.
    pub margin: Option<f64>,
    /// What is required of it.
    pub required: f64,
    /// When it was nearest in a mission, in seconds.
    pub time_s: Option<f64>,
}

/// A limit in one case of the grid.
#[derive(Debug, Clone, PartialEq)]
pub struct MarginCell {
    /// The margin, positive is good.
    pub margin: Option<f64>,
    /// What is required of it here.
    pub required: f64,
    /// How it stands.
    pub standing: Standing,
    /// When it was nearest in a mission, in seconds.
    pub time_s: Option<f64>,
}

/// One limit over all cases.
#[derive(Debug, Clone, PartialEq)]
pub struct MarginRow {
    /// Component, loop or device.
    pub where_: String,
    /// Name of the limit.
    pub limit: String,
    /// Unit of the margins.
    pub unit: String,
    /// What is required; the smallest and the largest over the cases.
    pub required: (f64, f64),
    /// One cell for each case; nothing where the limit does not apply.
    pub cells: Vec<Option<MarginCell>>,
}

/// Limits by cases.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MarginGrid {
    /// Full names of the cases.
    pub cases: Vec<String>,
    /// The limits.
    pub rows: Vec<MarginRow>,
}

impl MarginGrid {
    /// Arranges margins that come worst first: a limit and a case lie where they first appear, so that the worst
    /// ones are at the top and at the left.
    pub fn new(worst_first: Vec<MarginEntry>) -> Self {
        let mut grid = Self::default();
        for entry in worst_first {
            let column = grid.column_of(&entry.case);
            let row = grid.row_of(&entry);
            let cell = MarginCell {
                margin: entry.margin,
                required: entry.required,
                standing: Standing::of(entry.margin, entry.required),
                time_s: entry.time_s,
            };
            let (low, high) = grid.rows[row].required;
            grid.rows[row].required = (low.min(cell.required), high.max(cell.required));
            grid.rows[row].cells[column] = Some(cell);
        }
        grid
    }

    fn column_of(&mut self, case: &str) -> usize {
        if let Some(known) = self.cases.iter().position(|name| name == case) {
            return known;
        }
        self.cases.push(case.to_owned());
        self.rows.iter_mut().for_each(|row| row.cells.push(None));
        self.cases.len() - 1
    }

    fn row_of(&mut self, entry: &MarginEntry) -> usize {
        let is_same = |row: &MarginRow| {
            row.where_ == entry.where_ && row.limit == entry.limit && row.unit == entry.unit
        };
        if let Some(known) = self.rows.iter().position(is_same) {
            return known;
        }
        self.rows.push(MarginRow {
            where_: entry.where_.clone(),
            limit: entry.limit.clone(),
            unit: entry.unit.clone(),
            required: (entry.required, entry.required),
            cells: vec![None; self.cases.len()],
        });
        self.rows.len() - 1
    }

    /// How many margins have this standing.
    pub fn count(&self, standing: Standing) -> usize {
        let cells = self.rows.iter().flat_map(|row| row.cells.iter().flatten());
        cells.filter(|cell| cell.standing == standing).count()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(where_: &str, case: &str, margin: f64, required: f64) -> MarginEntry {
        MarginEntry {
            where_: where_.into(),
            limit: "continuous".into(),
            case: case.into(),
            unit: "K".into(),
            margin: Some(margin),
            required,
            time_s: None,
        }
    }

    #[test]
    fn the_worst_lies_at_the_top_left() {
        let grid = MarginGrid::new(vec![
            entry("winding", "hot/climb", -1.0, 5.0),
            entry("cells", "hot/hover", 2.0, 5.0),
            entry("winding", "hot/hover", 6.0, 5.0),
        ]);
        assert_eq!(grid.cases, ["hot/climb", "hot/hover"]);
        assert_eq!((grid.rows[0].where_.as_str(), grid.rows[1].where_.as_str()), ("winding", "cells"));
        assert!(grid.rows[1].cells[0].is_none(), "cells have no limit in hot/climb");
        assert_eq!(grid.rows[0].cells[0].as_ref().map(|cell| cell.standing), Some(Standing::Passed));
        let counts =
            [Standing::Passed, Standing::Short, Standing::Holds].map(|standing| grid.count(standing));
        assert_eq!(counts, [1, 1, 1]);
    }

    #[test]
    fn a_required_margin_may_differ_by_case() {
        let grid = MarginGrid::new(vec![entry("a", "one", 1.0, 5.0), entry("a", "two", 9.0, 8.0)]);
        assert_eq!(grid.rows[0].required, (5.0, 8.0));
    }
}
