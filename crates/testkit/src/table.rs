//! Reading a whole reference table.

use std::path::PathBuf;
use std::rc::Rc;

use crate::row::Row;

/// A reference table in memory.
#[derive(Debug, Clone)]
pub struct Table {
    rows: Vec<Row>,
    file: String,
}

/// The file of a reference table, `tests/data/<file>` of this workspace.
pub fn data_path(file: &str) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "..", "..", "tests", "data", file].iter().collect()
}

/// Reads the reference table `tests/data/<file>`.
///
/// # Panics
/// When the file cannot be read, is not a table, has no rows, or gives one column name twice.
#[track_caller]
pub fn table(file: &str) -> Table {
    let path = data_path(file);
    let mut reader = csv::Reader::from_path(&path)
        .unwrap_or_else(|error| panic!("reference table {file} cannot be read: {error}"));
    let columns: Rc<Vec<String>> = Rc::new(
        reader
            .headers()
            .unwrap_or_else(|error| panic!("reference table {file} has no header: {error}"))
            .iter()
            .map(|name| name.trim().to_owned())
            .collect(),
    );
    for (i, name) in columns.iter().enumerate() {
        assert!(!columns[..i].contains(name), "reference table {file} has two columns `{name}`");
    }
    let file_name: Rc<str> = file.into();
    let rows: Vec<Row> = reader
        .records()
        .enumerate()
        .map(|(i, record)| {
            let record =
                record.unwrap_or_else(|error| panic!("reference table {file}, row {}: {error}", i + 1));
            Row::new(Rc::clone(&file_name), Rc::clone(&columns), record, i + 1)
        })
        .collect();
    assert!(!rows.is_empty(), "reference table {file} has no rows");
    Table { rows, file: file.to_owned() }
}

impl Table {
    /// All rows in file order.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// The rows as an iterator, in file order.
    pub fn iter(&self) -> std::slice::Iter<'_, Row> {
        self.rows.iter()
    }

    /// The rows whose text column equals the value.
    ///
    /// # Panics
    /// When the column does not exist, or when no row matches: a check of no rows could not fail.
    #[track_caller]
    pub fn select<'a>(&'a self, column: &str, value: &str) -> Vec<&'a Row> {
        self.select_where(&format!("{column} = {value}"), |row| row.text(column) == value)
    }

    /// The rows for which `wanted` is true; `what` names the choice in the message.
    ///
    /// # Panics
    /// When no row matches.
    #[track_caller]
    pub fn select_where<'a>(&'a self, what: &str, wanted: impl Fn(&Row) -> bool) -> Vec<&'a Row> {
        let chosen: Vec<&Row> = self.rows.iter().filter(|row| wanted(row)).collect();
        assert!(!chosen.is_empty(), "reference table {} has no row with {what}", self.file);
        chosen
    }

    /// The different values of a text column, in order of first appearance.
    ///
    /// # Panics
    /// When the column does not exist.
    #[track_caller]
    pub fn distinct(&self, column: &str) -> Vec<&str> {
        let mut seen = Vec::new();
        for row in &self.rows {
            let value = row.text(column);
            if !seen.contains(&value) {
                seen.push(value);
            }
        }
        seen
    }
}

impl<'a> IntoIterator for &'a Table {
    type Item = &'a Row;
    type IntoIter = std::slice::Iter<'a, Row>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl IntoIterator for Table {
    type Item = Row;
    type IntoIter = std::vec::IntoIter<Row>;

    fn into_iter(self) -> Self::IntoIter {
        self.rows.into_iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tests::message_of;

    /// Row counts as listed in the README of the reference data.
    #[test]
    fn tables_have_the_rows_their_readme_lists() {
        for (file, rows) in [
            ("coolant_properties.csv", 124),
            ("coolant_freezing.csv", 12),
            ("coolant_volume_basis.csv", 44),
            ("coolant_dielectric.csv", 40),
            ("oil_grade_limits.csv", 17),
            ("oil_viscosity_temperature.csv", 43),
            ("oil_thermal.csv", 36),
            ("air_properties.csv", 67),
            ("standard_atmosphere.csv", 56),
            ("friction_factor.csv", 38),
            ("minor_losses.csv", 18),
            ("pipe_pressure_drop.csv", 10),
            ("nusselt_internal.csv", 60),
            ("duct_laminar.csv", 66),
            ("external_forced.csv", 25),
            ("natural_convection.csv", 23),
            ("natural_convection_dimensional.csv", 8),
            ("radiation.csv", 11),
            ("hx_effectiveness.csv", 49),
            ("hx_multirow.csv", 22),
            ("hx_lmtd.csv", 3),
            ("fin_efficiency.csv", 13),
            ("compact_offset_strip.csv", 25),
            ("compact_louver.csv", 30),
            ("rotating_gap_heat.csv", 30),
            ("rotating_windage.csv", 44),
            ("rotating_free_convection.csv", 14),
            ("pump_fan_affinity.csv", 24),
            ("copper_resistance.csv", 14),
            ("battery_heat.csv", 4),
            ("inverter_loss.csv", 14),
            ("gear_loss.csv", 14),
        ] {
            assert_eq!(table(file).rows().len(), rows, "{file}");
        }
    }

    /// Every table but the coefficient and limit tables can be checked row by row.
    #[test]
    fn every_row_has_a_value_a_tolerance_and_a_source() {
        let folder = std::fs::read_dir(data_path("")).expect("the data folder is part of the repository");
        let mut checked = 0;
        for entry in folder {
            let name =
                entry.expect("the folder can be listed").file_name().into_string().expect("plain names");
            let is_table = std::path::Path::new(&name).extension().is_some_and(|e| e == "csv");
            if !is_table || name == "glycol_polynomials.csv" || name == "oil_grade_limits.csv" {
                continue;
            }
            for row in &table(&name) {
                assert!(row.tolerance() > 0.0, "{name} {}", row.case_id());
                assert!(!row.source().is_empty(), "{name} {}", row.case_id());
                assert!(row.error(row.expected()) < 1e-12, "{name} {}", row.case_id());
                checked += 1;
            }
        }
        assert!(checked > 900, "only {checked} rows were found");
    }

    #[test]
    fn choosing_nothing_fails_loudly() {
        let no_row = message_of(|| {
            table("friction_factor.csv").select("relation", "nobody_1900");
        });
        assert!(no_row.contains("has no row with relation = nobody_1900"), "{no_row}");
        let no_column = message_of(|| {
            table("friction_factor.csv").rows()[0].maybe("flavour");
        });
        assert!(no_column.contains("has no column `flavour`"), "{no_column}");
        let no_file = message_of(|| {
            table("nothing.csv");
        });
        assert!(no_file.contains("cannot be read"), "{no_file}");
    }
}
