//! What the checks share: a row through the list of relations, derivatives, scans.

use correlations::{Evaluated, Input};
use num_dual::Dual64;
use testkit::{Row, Worst, table};

/// Columns that are not inputs.
const NOT_INPUTS: [&str; 9] =
    ["case_id", "quantity", "relation", "expected", "unit", "rel_tol", "abs_tol", "source", "note"];

/// Evaluates the relation of that name at the inputs of a row.
pub(crate) fn evaluate_row(name: &str, row: &Row) -> Evaluated {
    let relation = correlations::registry::relation(name).expect("a listed name");
    let given = |input: &Input| row_value(row, input.name).map(|value| (input.name, value));
    let inputs: Vec<(&str, f64)> = relation.inputs.iter().filter_map(given).collect();
    correlations::evaluate(name, &inputs).unwrap_or_else(|e| panic!("{}: {e}", row.case_id()))
}

fn row_value(row: &Row, key: &str) -> Option<f64> {
    let columns = header(row.file());
    columns.iter().any(|c| c == key).then(|| row.maybe(key)).flatten()
}

/// The column names of a table.
pub(crate) fn header(file: &str) -> Vec<String> {
    let text = std::fs::read_to_string(testkit::data_path(file)).expect("the table is there");
    let first = text.lines().next().expect("a table has a header").to_owned();
    first.split(',').map(str::to_owned).collect()
}

/// Every row of a table through the list of relations, by the name that `name_of` derives from the row, with **every**
/// input the row gives: the command line must take the tables as they are.
pub(crate) fn check_table(file: &str, at_least: usize, name_of: impl Fn(&Row) -> String) {
    let columns = header(file);
    let mut worst = Worst::new();
    for row in table(file).rows() {
        let name = name_of(row);
        let relation = correlations::registry::relation(&name).expect("a listed name");
        for column in columns.iter().filter(|c| !NOT_INPUTS.contains(&c.as_str())) {
            let text = row.text(column);
            let known = relation.inputs.iter().any(|i| i.name == column)
                || ["shape", "arrangement", "fin"].contains(&column.as_str());
            assert!(text.is_empty() || known, "{}: `{name}` does not take `{column}`", row.case_id());
        }
        let quantity = row.text("quantity");
        let evaluated = evaluate_row(&name, row);
        let value = evaluated.get(quantity).unwrap_or_else(|| panic!("{name} does not give {quantity}"));
        worst.check(row, value);
    }
    worst.finish(at_least);
}

/// Value and slope by a dual number.
pub(crate) fn value_and_slope(function: impl Fn(Dual64) -> Dual64, x: f64) -> (f64, f64) {
    let result = function(Dual64::from_re(x).derivative());
    (result.re, result.eps)
}

/// The dual slope equals a central difference at every point.
#[track_caller]
pub(crate) fn check_slope(what: &str, function: impl Fn(Dual64) -> Dual64, points: &[f64]) {
    for &x in points {
        let step = 1e-5 * x.abs().max(1e-3);
        let (value, slope) = value_and_slope(&function, x);
        let at = |x: f64| function(Dual64::from_re(x)).re;
        // fourth order
        let difference =
            (8.0 * (at(x + step) - at(x - step)) - (at(x + 2.0 * step) - at(x - 2.0 * step))) / (12.0 * step);
        let scale = slope.abs().max(1e-3 * value.abs() / x.abs().max(1e-3)).max(1e-12);
        assert!(
            (slope - difference).abs() < 2e-5 * scale,
            "{what} at {x}: slope {slope}, difference {difference}"
        );
    }
}

/// Value and slope agree from both sides of a point.
#[track_caller]
pub(crate) fn check_seam(what: &str, function: impl Fn(Dual64) -> Dual64, at: f64) {
    let (below, slope_below) = value_and_slope(&function, at * (1.0 - 1e-9));
    let (above, slope_above) = value_and_slope(&function, at * (1.0 + 1e-9));
    assert!((below - above).abs() < 1e-7 * above.abs(), "{what} at {at}: {below} {above}");
    let scale = slope_above.abs().max(slope_below.abs()).max(1e-3 * above.abs() / at);
    assert!(
        (slope_below - slope_above).abs() < 1e-4 * scale,
        "{what} at {at}: slopes {slope_below} {slope_above}"
    );
}

/// Numbers evenly spread in the logarithm.
pub(crate) fn log_points(low: f64, high: f64, count: usize) -> Vec<f64> {
    (0..count).map(|i| low * (high / low).powf(i as f64 / (count - 1) as f64)).collect()
}
