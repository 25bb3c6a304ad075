//! Limits by cases, as plain data in display units.

use model::case_name::CaseName;
use model::standing::Standing;
use session::MarginPlace;

/// One limit in one case.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MarginEntry {
    /// Component, loop or device.
    pub where_: String,
    /// Name of the limit.
    pub limit: String,
    /// Full name of the case.
    pub case: CaseName,
    /// Unit of margin and required margin.
    pub unit: String,
    /// Margin less required margin; nothing when the case has no solution.
    pub reserve: Option<f64>,
    /// The margin, positive is good; nothing when the case has no solution.
    pub margin: Option<f64>,
    /// What is required of it.
    pub required: f64,
    /// What sets that, in words.
    pub required_by: String,
    /// How it stands.
    pub standing: Standing,
    /// When it was nearest in a mission, in seconds.
    pub time_s: Option<f64>,
}

/// A limit in one case of the grid.
#[derive(Debug, Clone, PartialEq)]
pub struct MarginCell {
    /// Margin less required margin.
    pub reserve: Option<f64>,
    /// The margin, positive is good.
    pub margin: Option<f64>,
    /// What is required of it here.
    pub required: f64,
    /// What sets that, in words.
    pub required_by: String,
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
    /// The cases.
    pub cases: Vec<CaseName>,
    /// The limits.
    pub rows: Vec<MarginRow>,
}

/// A step of the cell cursor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CursorStep {
    /// By so many rows and columns; cells without a margin are passed over.
    By(isize, isize),
    /// To the first cell of the row.
    RowStart,
    /// To the last cell of the row.
    RowEnd,
}

/// What is shown of the grid.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct MarginFilter {
    /// Words that component, limit or case must hold, each of them.
    pub words: String,
    /// Only what passes its limit, is short or has no result.
    pub only_short: bool,
}

impl MarginFilter {
    /// Whether nothing is left out.
    pub fn is_empty(&self) -> bool {
        self.words.trim().is_empty() && !self.only_short
    }

    fn keeps(&self, row: &MarginRow, case: &CaseName, cell: &MarginCell) -> bool {
        let text = format!("{} {} {case}", row.where_, row.limit).to_lowercase();
        let words = self.words.to_lowercase();
        words.split_whitespace().all(|word| text.contains(word))
            && !(self.only_short && cell.standing.holds())
    }
}

impl MarginGrid {
    /// The limits and cases with at least one margin that the filter keeps, in their order.
    #[must_use]
    pub fn filtered(&self, filter: &MarginFilter) -> Self {
        let kept = |row: &MarginRow| -> Vec<Option<MarginCell>> {
            let cells = row.cells.iter().zip(&self.cases);
            cells.map(|(cell, case)| cell.clone().filter(|cell| filter.keeps(row, case, cell))).collect()
        };
        let mut rows: Vec<MarginRow> =
            self.rows.iter().map(|row| MarginRow { cells: kept(row), ..row.clone() }).collect();
        rows.retain(|row| row.cells.iter().any(Option::is_some));
        let is_used = |column: &usize| rows.iter().any(|row| row.cells[*column].is_some());
        let columns: Vec<usize> = (0..self.cases.len()).filter(is_used).collect();
        for row in &mut rows {
            row.cells = columns.iter().map(|column| row.cells[*column].clone()).collect();
        }
        Self { cases: columns.iter().map(|column| self.cases[*column].clone()).collect(), rows }
    }

    /// Arranges margins that come worst first: a limit and a case lie where they first appear, so that the worst
    /// ones are at the top and at the left.
    pub fn new(worst_first: Vec<MarginEntry>) -> Self {
        let mut grid = Self::default();
        for entry in worst_first {
            let column = grid.column_of(&entry.case);
            let row = grid.row_of(&entry);
            let cell = MarginCell {
                reserve: entry.reserve,
                margin: entry.margin,
                required: entry.required,
                required_by: entry.required_by,
                standing: entry.standing,
                time_s: entry.time_s,
            };
            let (low, high) = grid.rows[row].required;
            grid.rows[row].required = (low.min(cell.required), high.max(cell.required));
            grid.rows[row].cells[column] = Some(cell);
        }
        grid
    }

    fn column_of(&mut self, case: &CaseName) -> usize {
        if let Some(known) = self.cases.iter().position(|name| *name == *case) {
            return known;
        }
        self.cases.push(case.clone());
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

    /// Row and column of a cell; the first cell with a margin where there is no such one.
    pub fn find(&self, place: Option<&MarginPlace>) -> Option<(usize, usize)> {
        let found = place.and_then(|place| {
            let column = self.cases.iter().position(|case| *case == place.case)?;
            let is_it = |row: &MarginRow| {
                row.where_ == place.where_ && row.limit == place.limit && row.unit == place.unit
            };
            let row = self.rows.iter().position(|row| is_it(row) && row.cells[column].is_some())?;
            Some((row, column))
        });
        let first = || {
            self.rows
                .iter()
                .enumerate()
                .find_map(|(row, line)| Some((row, line.cells.iter().position(Option::is_some)?)))
        };
        found.or_else(first)
    }

    /// The names of a cell.
    pub fn place(&self, (row, column): (usize, usize)) -> Option<MarginPlace> {
        let line = self.rows.get(row)?;
        Some(MarginPlace {
            where_: line.where_.clone(),
            limit: line.limit.clone(),
            unit: line.unit.clone(),
            case: self.cases.get(column)?.clone(),
        })
    }

    /// The cell a step away; the same one where there is none.
    pub fn stepped(&self, (row, column): (usize, usize), step: CursorStep) -> (usize, usize) {
        let has = |row: usize, column: usize| {
            self.rows.get(row).and_then(|line| line.cells.get(column)).is_some_and(Option::is_some)
        };
        let columns = self.cases.len();
        let found = match step {
            CursorStep::RowStart => (0..columns).find(|column| has(row, *column)).map(|column| (row, column)),
            CursorStep::RowEnd => (0..columns).rfind(|column| has(row, *column)).map(|column| (row, column)),
            CursorStep::By(rows, 0) => {
                let wanted = row.saturating_add_signed(rows).min(self.rows.len().saturating_sub(1));
                // What lies nearest to where the step leads, but not behind where it began.
                let mut between: Vec<usize> =
                    if rows > 0 { (row + 1..self.rows.len()).collect() } else { (0..row).collect() };
                between.sort_by_key(|row| row.abs_diff(wanted));
                between.into_iter().find(|row| has(*row, column)).map(|row| (row, column))
            }
            CursorStep::By(_, ..0) => {
                (0..column).rfind(|column| has(row, *column)).map(|column| (row, column))
            }
            CursorStep::By(..) => {
                (column + 1..columns).find(|column| has(row, *column)).map(|column| (row, column))
            }
        };
        found.unwrap_or((row, column))
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

    fn name(text: &str) -> CaseName {
        text.parse().expect("a name of a case")
    }

    fn names(cases: &[CaseName]) -> Vec<String> {
        cases.iter().map(ToString::to_string).collect()
    }

    fn entry(where_: &str, case: &str, margin: f64, required: f64) -> MarginEntry {
        MarginEntry {
            where_: where_.into(),
            limit: "continuous".into(),
            case: name(case),
            unit: "K".into(),
            reserve: Some(margin - required),
            margin: Some(margin),
            required,
            required_by: String::new(),
            standing: match margin {
                ..0.0 => Standing::PastLimit,
                margin if margin < required => Standing::Short,
                _ => Standing::Holds,
            },
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
        assert_eq!(names(&grid.cases), ["hot/climb", "hot/hover"]);
        assert_eq!((grid.rows[0].where_.as_str(), grid.rows[1].where_.as_str()), ("winding", "cells"));
        assert!(grid.rows[1].cells[0].is_none(), "cells have no limit in hot/climb");
        assert_eq!(grid.rows[0].cells[0].as_ref().map(|cell| cell.standing), Some(Standing::PastLimit));
        let counts =
            [Standing::PastLimit, Standing::Short, Standing::Holds].map(|standing| grid.count(standing));
        assert_eq!(counts, [1, 1, 1]);
    }

    #[test]
    fn a_filter_leaves_the_limits_and_cases_that_match() {
        let grid = MarginGrid::new(vec![
            entry("winding", "hot/climb", -1.0, 5.0),
            entry("cells", "hot/hover", 2.0, 5.0),
            entry("winding", "cold/hover", 60.0, 5.0),
        ]);
        let shown = |words: &str, only_short| {
            let found = grid.filtered(&MarginFilter { words: words.into(), only_short });
            (names(&found.cases), found.rows.into_iter().map(|row| row.where_).collect::<Vec<String>>())
        };
        let both = |cases: &[&str], rows: &[&str]| {
            let owned = |list: &[&str]| list.iter().map(|text| (*text).to_owned()).collect::<Vec<String>>();
            (owned(cases), owned(rows))
        };
        assert_eq!(grid.filtered(&MarginFilter::default()), grid);
        assert_eq!(shown("Hover", false), both(&["hot/hover", "cold/hover"], &["winding", "cells"]));
        assert_eq!(shown("winding hover", false), both(&["cold/hover"], &["winding"]));
        assert_eq!(shown("", true), both(&["hot/climb", "hot/hover"], &["winding", "cells"]));
        assert_eq!(shown("gearbox", false), both(&[], &[]));
    }

    #[test]
    fn the_cursor_passes_over_cells_without_a_margin_and_stays_in_the_grid() {
        // |          | one | two | three |
        // | winding  |  x  |     |   x   |
        // | cells    |     |  x  |   x   |
        // | sump     |  x  |     |       |
        let grid = MarginGrid::new(vec![
            entry("winding", "hot/one", 1.0, 5.0),
            entry("cells", "hot/two", 2.0, 5.0),
            entry("winding", "hot/three", 3.0, 5.0),
            entry("cells", "hot/three", 4.0, 5.0),
            entry("sump", "hot/one", 5.0, 5.0),
        ]);
        let step = |from, by| grid.stepped(from, by);
        assert_eq!(grid.find(None), Some((0, 0)));
        assert_eq!(step((0, 0), CursorStep::By(0, 1)), (0, 2));
        assert_eq!(step((0, 2), CursorStep::By(0, 1)), (0, 2), "nothing lies farther");
        assert_eq!(step((0, 2), CursorStep::By(0, -1)), (0, 0));
        assert_eq!(step((0, 0), CursorStep::By(1, 0)), (2, 0));
        assert_eq!(step((2, 0), CursorStep::By(-1, 0)), (0, 0));
        assert_eq!(step((0, 2), CursorStep::By(10, 0)), (1, 2));
        assert_eq!((step((1, 2), CursorStep::RowStart), step((1, 1), CursorStep::RowEnd)), ((1, 1), (1, 2)));
        let place = grid.place((1, 2)).expect("it is there");
        assert_eq!(grid.find(Some(&place)), Some((1, 2)));
        let gone = MarginPlace { case: name("hot/four"), ..place };
        assert_eq!(grid.find(Some(&gone)), Some((0, 0)), "a cell that is gone leads to the first");
        assert_eq!(MarginGrid::default().find(None), None);
    }

    #[test]
    fn a_required_margin_may_differ_by_case() {
        let grid = MarginGrid::new(vec![entry("a", "hot/one", 1.0, 5.0), entry("a", "hot/two", 9.0, 8.0)]);
        assert_eq!(grid.rows[0].required, (5.0, 8.0));
    }
}
