//! The numbers of a chart as a sheet.

use report::sheet::csv::{LineEnd, page};
use report::sheet::{Cell, Column, Sheet, SheetError};

use super::WantedChart;
use crate::views::chart::{Chart, Series};
use crate::views::time::value_at;

/// The numbers: a column for the abscissa, one for each curve, then those of the other case, units in the heads. Between the
/// points of a curve its value is on the straight line; outside it the cell is absent. Limits are columns too.
fn sheet(wanted: &WantedChart) -> Sheet {
    let chart = &wanted.chart;
    let column = |head: String| Column::plain(head.clone(), head, "", chart.decimals);
    let x_name = if wanted.is_time { "time (s)" } else { chart.x_unit.as_str() };
    let mut columns = vec![column(x_name.to_owned())];
    columns.extend(chart.series.iter().map(|series| column(format!("{} ({})", series.name, chart.unit))));
    let beneath: Vec<&Series> = chart.beneath.iter().flat_map(|beneath| &beneath.series).collect();
    if let Some(other) = &chart.beneath {
        let head = |series: &&Series| column(format!("{}, {} ({})", series.name, other.name, chart.unit));
        columns.extend(beneath.iter().map(head));
    }
    columns.extend(chart.limits.iter().map(|limit| column(format!("limit {} ({})", limit.name, chart.unit))));
    let rows = abscissas(chart).into_iter().map(|(x, occurrence)| {
        let value = |series: &Series| at(series, x, occurrence);
        let values = chart.series.iter().chain(beneath.iter().copied()).map(value);
        let limits = chart.limits.iter().map(|limit| Some(limit.value));
        std::iter::once(Some(x)).chain(values).chain(limits).map(Cell::from).collect()
    });
    Sheet::new("", columns).with_rows(rows)
}

/// The numbers of a chart as comma-separated values.
///
/// # Errors
/// As [`page`].
pub(crate) fn csv(wanted: &WantedChart) -> Result<Vec<u8>, SheetError> {
    page(&[sheet(wanted)], LineEnd::Rfc)
}

/// Every abscissa of the curves in rising order; a jump, two points at one abscissa, is kept as two rows.
fn abscissas(chart: &Chart) -> Vec<(f64, usize)> {
    let beneath = chart.beneath.iter().flat_map(|beneath| &beneath.series);
    let mut all: Vec<(f64, usize)> = Vec::new();
    for series in chart.series.iter().chain(beneath) {
        let mut occurrence = 0;
        for (index, point) in series.points.iter().enumerate() {
            let repeats = index > 0 && series.points[index - 1][0] == point[0];
            occurrence = if repeats { (occurrence + 1).min(1) } else { 0 };
            all.push((point[0], occurrence));
        }
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    all.dedup();
    all
}

/// Value at an abscissa; at a jump the earlier one for the first occurrence.
fn at(series: &Series, x: f64, occurrence: usize) -> Option<f64> {
    let first = series.points.partition_point(|point| point[0] < x);
    match series.points.get(first) {
        Some(point) if point[0] == x && occurrence == 0 => Some(point[1]),
        _ => value_at(&series.points, x),
    }
    .filter(|value| value.is_finite())
}

#[cfg(test)]
mod tests {
    use super::super::tests::wanted;
    use super::csv;

    /// The rotor half-way between 20 and 30 degC is at 25; the winding jumps from 40 to 50 at 10 s; beneath there is nothing after 10 s.
    #[test]
    fn numbers_have_units_in_their_heads_and_keep_jumps() {
        let text = String::from_utf8(csv(&wanted()).expect("a sound sheet")).expect("it is text");
        assert!(text.ends_with("\r\n"));
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(
            lines,
            [
                "time (s),\"winding, left (degC)\",rotor (degC),\"rotor, cold (degC)\",limit winding (degC)",
                "0.0,20.0,20.0,0.0,80.0",
                "10.0,40.0,25.0,10.0,80.0",
                "10.0,50.0,25.0,10.0,80.0",
                "20.0,60.0,30.0,,80.0",
            ]
        );
    }
}
