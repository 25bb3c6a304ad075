//! The worst error of each table, for the validation record.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use crate::row::Row;

/// What was checked against one reference table, and how close it came.
#[derive(Debug, Clone, Default)]
pub struct TableSummary {
    /// The sources named by the checked rows.
    pub sources: BTreeSet<String>,
    /// How many checks were made.
    pub rows: usize,
    /// The largest error as a fraction of the row's tolerance; up to 1 is accepted.
    pub worst_of_tolerance: f64,
    /// The row with that error.
    pub worst_case: String,
    /// The largest error relative to the expected value.
    pub worst_relative: f64,
}

/// Checks computed values and keeps the worst error of each table.
#[derive(Debug, Clone, Default)]
pub struct Worst {
    tables: BTreeMap<String, TableSummary>,
}

impl Worst {
    /// Nothing checked yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Records a computed value, then checks it as [`Row::check`] does.
    ///
    /// # Panics
    /// When the value is outside the tolerance of the row.
    #[track_caller]
    pub fn check(&mut self, row: &Row, computed: f64) {
        self.record(row, computed);
        row.check(computed);
    }

    /// Records a computed value without judging it, so that a table can be shown whole before it fails.
    #[track_caller]
    pub fn record(&mut self, row: &Row, computed: f64) {
        let (of_tolerance, relative) = (row.error(computed), row.relative_error(computed));
        let summary = self.tables.entry(row.file().to_owned()).or_default();
        summary.rows += 1;
        summary.sources.insert(row.source().to_owned());
        summary.worst_relative = summary.worst_relative.max(relative);
        if summary.rows == 1 || of_tolerance > summary.worst_of_tolerance {
            summary.worst_of_tolerance = of_tolerance;
            summary.worst_case = row.case_id();
        }
    }

    /// What was checked, by file name.
    pub fn tables(&self) -> &BTreeMap<String, TableSummary> {
        &self.tables
    }

    /// Adds what another tracker has seen.
    pub fn merge(&mut self, other: &Self) {
        for (file, theirs) in &other.tables {
            let ours = self.tables.entry(file.clone()).or_default();
            if ours.rows == 0 || theirs.worst_of_tolerance > ours.worst_of_tolerance {
                ours.worst_of_tolerance = theirs.worst_of_tolerance;
                ours.worst_case.clone_from(&theirs.worst_case);
            }
            ours.rows += theirs.rows;
            ours.worst_relative = ours.worst_relative.max(theirs.worst_relative);
            ours.sources.extend(theirs.sources.iter().cloned());
        }
    }

    /// Ends a check: every recorded value was accepted, and at least `at_least` values were looked at.
    ///
    /// # Panics
    /// When fewer values were recorded, or when one was outside its tolerance.
    #[track_caller]
    pub fn finish(&self, at_least: usize) {
        let rows: usize = self.tables.values().map(|summary| summary.rows).sum();
        assert!(rows >= at_least && rows > 0, "only {rows} reference values were checked, not {at_least}");
        for (file, summary) in &self.tables {
            assert!(
                summary.worst_of_tolerance <= 1.0,
                "{file} {}: error is {:.2} of the tolerance",
                summary.worst_case,
                summary.worst_of_tolerance
            );
        }
    }

    /// The summary as rows of a Markdown table, without heading: table, values checked, worst error relative to the
    /// expected value, worst error as a part of the tolerance, the case, the sources.
    pub fn markdown_rows(&self) -> String {
        let mut text = String::new();
        for (file, summary) in &self.tables {
            let sources: Vec<&str> = summary.sources.iter().map(String::as_str).collect();
            writeln!(
                text,
                "| {} | {} | {:.2e} | {:.3} | {} | {} |",
                file.trim_end_matches(".csv"),
                summary.rows,
                summary.worst_relative,
                summary.worst_of_tolerance,
                summary.worst_case,
                sources.join("; ").replace('|', "/")
            )
            .expect("writing to a String cannot fail");
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::table;
    use crate::tests::message_of;

    #[test]
    fn the_worst_row_is_kept() {
        let radiation = table("radiation.csv");
        let rows = radiation.rows();
        let mut worst = Worst::new();
        worst.check(&rows[0], rows[0].expected() + 0.2 * rows[0].tolerance());
        worst.check(&rows[1], rows[1].expected() - 0.8 * rows[1].tolerance());
        worst.check(&rows[2], rows[2].expected());
        worst.finish(3);
        let summary = &worst.tables()["radiation.csv"];
        assert_eq!((summary.rows, summary.worst_case.as_str()), (3, "radiation-v002"));
        assert!((summary.worst_of_tolerance - 0.8).abs() < 1e-6);
        assert!(worst.markdown_rows().starts_with("| radiation | 3 | "));
    }

    #[test]
    fn merging_keeps_both_sides() {
        let radiation = table("radiation.csv");
        let rows = radiation.rows();
        let (mut first, mut second) = (Worst::new(), Worst::new());
        first.check(&rows[0], rows[0].expected());
        second.check(&rows[1], rows[1].expected() + 0.5 * rows[1].tolerance());
        first.merge(&second);
        assert_eq!(first.tables()["radiation.csv"].rows, 2);
        assert_eq!(first.tables()["radiation.csv"].worst_case, "radiation-v002");
    }

    #[test]
    fn checking_nothing_or_something_wrong_fails() {
        assert!(message_of(|| Worst::new().finish(0)).contains("only 0 reference values"));
        let wrong = message_of(|| {
            let radiation = table("radiation.csv");
            let row = &radiation.rows()[0];
            let mut worst = Worst::new();
            worst.record(row, row.expected() + 3.0 * row.tolerance());
            worst.finish(1);
        });
        assert!(wrong.contains("3.00 of the tolerance"), "{wrong}");
    }
}
