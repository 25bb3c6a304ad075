//! One row of a reference table: its inputs, its expected value, and the check against it.

use std::rc::Rc;

/// One row of a reference table.
#[derive(Debug, Clone)]
pub struct Row {
    file: Rc<str>,
    columns: Rc<Vec<String>>,
    record: csv::StringRecord,
    line: usize,
}

impl Row {
    pub(crate) fn new(
        file: Rc<str>,
        columns: Rc<Vec<String>>,
        record: csv::StringRecord,
        line: usize,
    ) -> Self {
        Self { file, columns, record, line }
    }

    /// The text of a column; empty where the input does not apply to the row.
    ///
    /// # Panics
    /// When the table has no such column.
    #[track_caller]
    pub fn text(&self, column: &str) -> &str {
        let Some(index) = self.columns.iter().position(|name| name == column) else {
            panic!("{} has no column `{column}`; it has {}", self.file, self.columns.join(", "));
        };
        self.record.get(index).unwrap_or("").trim()
    }

    /// The number in a column, or nothing where the cell is blank.
    ///
    /// # Panics
    /// When the table has no such column, or when the cell holds text that is not a finite number.
    #[track_caller]
    pub fn maybe(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        match text.parse::<f64>() {
            Ok(number) if number.is_finite() => Some(number),
            _ => panic!("{}: column `{column}` holds `{text}`, not a number", self.place()),
        }
    }

    /// The number in a column.
    ///
    /// # Panics
    /// When the table has no such column, or when the cell is blank or holds no finite number.
    #[track_caller]
    pub fn number(&self, column: &str) -> f64 {
        self.maybe(column).unwrap_or_else(|| panic!("{}: column `{column}` is blank", self.place()))
    }

    /// The stable name of the row, or `row N` in a table without names.
    pub fn case_id(&self) -> String {
        match self.columns.iter().position(|name| name == "case_id").and_then(|i| self.record.get(i)) {
            Some(name) if !name.trim().is_empty() => name.trim().to_owned(),
            _ => format!("row {}", self.line),
        }
    }

    /// The name of the table's file.
    pub fn file(&self) -> &str {
        &self.file
    }

    /// The reference value, in the unit of the column `unit`.
    #[track_caller]
    pub fn expected(&self) -> f64 {
        self.number("expected")
    }

    /// The standard, handbook or library the reference value comes from.
    #[track_caller]
    pub fn source(&self) -> &str {
        self.text("source")
    }

    /// The largest accepted difference from [`Row::expected`], in the same unit.
    ///
    /// # Panics
    /// When the row does not give exactly one of `rel_tol` and `abs_tol`, or not a positive one.
    #[track_caller]
    pub fn tolerance(&self) -> f64 {
        let tolerance = match (self.maybe("rel_tol"), self.maybe("abs_tol")) {
            (Some(relative), None) => relative * self.expected().abs(),
            (None, Some(absolute)) => absolute,
            (None, None) => panic!("{}: no tolerance", self.place()),
            (Some(_), Some(_)) => panic!("{}: both a relative and an absolute tolerance", self.place()),
        };
        assert!(
            tolerance > 0.0,
            "{}: the tolerance is {tolerance}; a relative tolerance of a zero value needs `abs_tol`",
            self.place()
        );
        tolerance
    }

    /// The error of a computed value as a fraction of the tolerance: 1 is the edge of acceptance.
    /// Infinite when the computed value is not a finite number.
    #[track_caller]
    pub fn error(&self, computed: f64) -> f64 {
        let error = (computed - self.expected()).abs() / self.tolerance();
        if error.is_nan() { f64::INFINITY } else { error }
    }

    /// The error of a computed value relative to the expected one; to 1 where zero is expected.
    #[track_caller]
    pub fn relative_error(&self, computed: f64) -> f64 {
        let expected = self.expected();
        let scale = if expected == 0.0 { 1.0 } else { expected.abs() };
        let error = (computed - expected).abs() / scale;
        if error.is_nan() { f64::INFINITY } else { error }
    }

    /// Checks a computed value against the reference value.
    ///
    /// # Panics
    /// When the difference is larger than the tolerance: with the case, the inputs, both values and the source.
    #[track_caller]
    pub fn check(&self, computed: f64) {
        let error = self.error(computed);
        assert!(
            error <= 1.0,
            "{}: computed {computed}, expected {} {} (off by {:.3} %, {error:.2} of the tolerance)\n  inputs: {}\n  source: {}",
            self.place(),
            self.expected(),
            self.text("unit"),
            100.0 * self.relative_error(computed),
            self.inputs(),
            self.source(),
        );
    }

    /// The filled input columns as `name = value`, for messages.
    fn inputs(&self) -> String {
        const OTHER: [&str; 7] = ["case_id", "expected", "unit", "rel_tol", "abs_tol", "source", "note"];
        let filled: Vec<String> = self
            .columns
            .iter()
            .zip(self.record.iter())
            .filter(|(name, value)| !OTHER.contains(&name.as_str()) && !value.trim().is_empty())
            .map(|(name, value)| format!("{name} = {}", value.trim()))
            .collect();
        filled.join(", ")
    }

    fn place(&self) -> String {
        format!("{} {}", self.file, self.case_id())
    }
}

#[cfg(test)]
mod tests {
    use crate::table;
    use crate::tests::message_of;

    #[test]
    fn cells_are_read_by_column() {
        let radiation = table("radiation.csv");
        let row = &radiation.rows()[0];
        assert_eq!(row.case_id(), "radiation-v001");
        assert_eq!(row.number("emissivity"), 0.9);
        assert_eq!(row.maybe("emissivity_2"), None);
        assert_eq!(row.text("relation"), "grey_surface_to_large_enclosure_exact");
        assert!(row.source().starts_with("Stefan-Boltzmann"));
    }

    #[test]
    fn the_tolerance_is_the_edge_of_acceptance() {
        let radiation = table("radiation.csv");
        let row = &radiation.rows()[0];
        let edge = row.expected() + row.tolerance();
        assert!((row.error(edge) - 1.0).abs() < 1e-6);
        row.check(row.expected() + 0.99 * row.tolerance());
        assert_eq!(row.error(f64::NAN), f64::INFINITY);
    }

    #[test]
    fn bad_cells_and_values_fail_with_their_place() {
        let outside = message_of(|| {
            let radiation = table("radiation.csv");
            let row = &radiation.rows()[0];
            row.check(row.expected() + 1.01 * row.tolerance());
        });
        assert!(outside.contains("radiation-v001") && outside.contains("emissivity = 0.9"), "{outside}");
        let text = message_of(|| {
            table("radiation.csv").rows()[0].number("relation");
        });
        assert!(text.contains("not a number"), "{text}");
        let blank = message_of(|| {
            table("radiation.csv").rows()[0].number("emissivity_2");
        });
        assert!(blank.contains("is blank"), "{blank}");
    }
}
