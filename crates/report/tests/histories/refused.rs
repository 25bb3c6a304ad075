//! Tables that would mislead.

use report::history::{HistoryColumn, HistoryError, HistoryTable};

fn time(values: &[f64]) -> HistoryColumn {
    HistoryColumn::new("time", "s", values.to_vec())
}

#[test]
fn a_table_must_begin_with_time_in_seconds() {
    for columns in [
        Vec::new(),
        vec![HistoryColumn::new("time", "min", vec![0.0])],
        vec![HistoryColumn::new("heat", "W", vec![0.0])],
    ] {
        assert!(matches!(HistoryTable::new(columns), Err(HistoryError::NoTime)));
    }
}

#[test]
fn time_must_not_fall() {
    for (values, at) in
        [(&[0.0, 2.0, 1.0], 2), (&[0.0, f64::NAN, 1.0], 1), (&[f64::NEG_INFINITY, 0.0, 1.0], 0)]
    {
        match HistoryTable::new(vec![time(values)]) {
            Err(HistoryError::TimeFalls { row, .. }) => assert_eq!(row, at),
            other => panic!("{values:?}: {other:?}"),
        }
    }
    assert!(HistoryTable::new(vec![time(&[0.0, 1.0, 1.0])]).is_ok());
}

#[test]
fn columns_must_be_as_long_as_time_and_told_apart() {
    let short = HistoryTable::new(vec![time(&[0.0, 1.0]), HistoryColumn::new("heat", "W", vec![1.0])]);
    assert_eq!(short.unwrap_err().to_string(), "column \"heat_W\" has 1 rows, the time has 2");
    let twice = ["W", "W"].map(|unit| HistoryColumn::new("heat", unit, vec![1.0]));
    let twice = HistoryTable::new([time(&[0.0])].into_iter().chain(twice).collect());
    assert_eq!(twice.unwrap_err().to_string(), "two columns are called \"heat_W\"");
}
