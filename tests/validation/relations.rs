//! Reference tables that go through the list of relations, with every cell of a row as the command line would take it.

use super::record::Record;
use testkit::{Row, table};

/// Columns that are not inputs.
const NOT_INPUTS: [&str; 9] =
    ["case_id", "quantity", "relation", "expected", "unit", "rel_tol", "abs_tol", "source", "note"];

/// Every row of a table through the relation of that name.
pub(crate) fn whole_table(record: &mut Record, file: &str, name_of: impl Fn(&Row) -> String) {
    let columns = input_columns(file);
    for row in &table(file) {
        let name = name_of(row);
        let inputs: Vec<(&str, &str)> = columns
            .iter()
            .map(|column| (column.as_str(), row.text(column)))
            .filter(|(_, text)| !text.is_empty())
            .collect();
        let found = correlations::evaluate_words(&name, &inputs)
            .unwrap_or_else(|error| panic!("{}: {error}", row.case_id()));
        let quantity = row.text("quantity");
        let computed = found.get(quantity).unwrap_or_else(|| panic!("{name} does not give {quantity}"));
        let relation = correlations::registry::relation(found.name).expect("it was just evaluated");
        record.row(&format!("{} (`{}`)", relation.summary, relation.name), row, computed);
    }
}

/// The name is in the column `relation`.
pub(crate) fn by_relation(row: &Row) -> String {
    row.text("relation").to_owned()
}

fn input_columns(file: &str) -> Vec<String> {
    let text = std::fs::read_to_string(testkit::data_path(file)).expect("the table is there");
    let header = text.lines().next().expect("a table has a header");
    header.split(',').filter(|name| !NOT_INPUTS.contains(name)).map(str::to_owned).collect()
}

/// The value of a relation at inputs that are known to be accepted.
#[track_caller]
pub(crate) fn relation(name: &str, inputs: &[(&str, f64)]) -> f64 {
    correlations::evaluate(name, inputs).unwrap_or_else(|error| panic!("{name}: {error}")).value
}
