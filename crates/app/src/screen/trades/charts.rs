//! Charts of the answers, from the numbers of their sheets.

use report::sheet::{Cell, Sheet};
use studies::oat_limit::{OatPoint, OatStudy};
use studies::sweep::{Sweep, Watch};

use crate::screen::units::celsius;
use crate::views::chart::{Chart, Limit, Series};

const FOOT_M: f64 = 0.3048;

/// A curve for each value of the first of two inputs, from the numbers of the sheet.
pub(super) fn curves(found: &Sweep, sheet: &Sheet) -> Chart {
    let watch = &found.watched[0];
    let Some(along) = found.axes.last() else { return Chart::default() };
    // the number of the point, the inputs, the result
    let (x_column, y_column) = (found.axes.len(), found.axes.len() + 1);
    let mut series: Vec<Series> = Vec::new();
    for row in 0..sheet.rows.len() {
        if row % along.steps() == 0 {
            let name = match found.axes.as_slice() {
                [second, _] => {
                    let value = sheet.number(row, 1).unwrap_or(f64::NAN);
                    format!("{} {}", (value * 1e4).round() / 1e4, second.unit)
                }
                _ => watch.name(),
            };
            series.push(Series { name: name.trim_end().to_owned(), points: Vec::new() });
        }
        let point = sheet.number(row, x_column).zip(sheet.number(row, y_column));
        if let (Some((x, y)), Some(series)) = (point, series.last_mut()) {
            series.points.push([x, y]);
        }
    }
    // a range may be typed from high to low
    for one in &mut series {
        one.points.sort_by(|a, b| a[0].total_cmp(&b[0]));
    }
    let largest = series.iter().flat_map(|s| &s.points).map(|p| p[1].abs()).fold(0.0, f64::max);
    let unit = match watch {
        // a margin of a rating has another unit, which its table names
        Watch::Worst => "K",
        _ => sheet.columns[y_column].unit_name(),
    };
    let title = match found.axes.as_slice() {
        [second, _] => format!("{}, a curve for each {}", watch.name(), second.path),
        _ => watch.name(),
    };
    Chart {
        title,
        x_unit: if along.unit.is_empty() {
            along.path.clone()
        } else {
            format!("{}, {}", along.path, along.unit)
        },
        unit: unit.to_owned(),
        decimals: (3.0 - largest.max(1e-3).log10().floor()).clamp(0.0, 4.0) as usize,
        series,
        ..Chart::default()
    }
}

/// A curve for each way and age, from the numbers of the sheet: a point at the edge of the search stands at that edge.
pub(super) fn boundary_chart(sheet: &Sheet, present_ohm: f64) -> Chart {
    let mut series: Vec<Series> = Vec::new();
    let column = |key: &str| sheet.position(key);
    let text = |row: &[Cell], key: &str| match column(key).and_then(|column| row.get(column)) {
        Some(Cell::Text(text)) => text.clone(),
        _ => String::new(),
    };
    let number = |row: usize, key: &str| column(key).and_then(|column| sheet.number(row, column));
    for (number_of_row, row) in sheet.rows.iter().enumerate() {
        let name = format!("{}, {}", text(row, "way"), text(row, "age"));
        let boundary = ["largest_resistance_ohm", "at_least_ohm", "below_ohm"];
        let boundary = boundary.into_iter().find_map(|key| number(number_of_row, key));
        let Some((x, y)) = number(number_of_row, "oat_K").zip(boundary) else { continue };
        match series.iter_mut().find(|known| known.name == name) {
            Some(known) => known.points.push([x, y]),
            None => series.push(Series { name, points: vec![[x, y]] }),
        }
    }
    let own = Limit { name: "cells of the project".to_owned(), value: 1e3 * present_ohm, is_minimum: true };
    Chart {
        title: "largest cell resistance for uncooled flight".to_owned(),
        x_unit: "outside air, degC".to_owned(),
        unit: "mOhm".to_owned(),
        decimals: 2,
        series,
        limits: vec![own],
        ..Chart::default()
    }
}

/// The limits and the hot day over altitude, half-way altitudes too, which the sheets leave out.
pub(super) fn altitude_chart(found: &OatStudy) -> Chart {
    let feet = |point: &OatPoint| (point.pressure_altitude_m / FOOT_M).round();
    let limit = |points: &[OatPoint]| {
        points.iter().filter_map(|p| Some([feet(p), celsius(p.reach.oat_k()?)])).collect::<Vec<_>>()
    };
    let mut series: Vec<Series> = Vec::new();
    for curve in found.curves.iter().filter(|curve| !curve.points.is_empty()) {
        let name = format!("{} cases, {}", curve.set.word(), curve.of.word());
        series.push(Series { name, points: limit(&curve.points) });
    }
    let hot_k = |point: &OatPoint| report::oat_limit::hot_day_k(point.pressure_altitude_m);
    let longest = found.curves.iter().max_by_key(|curve| curve.points.len());
    let hot = longest.into_iter().flat_map(|curve| &curve.points);
    let points = hot.filter_map(|p| Some([feet(p), celsius(hot_k(p)?)])).collect();
    series.push(Series { name: "hot day".to_owned(), points });
    Chart {
        title: "outside-air limit".to_owned(),
        x_unit: "pressure altitude, ft".to_owned(),
        unit: "degC".to_owned(),
        decimals: 1,
        series,
        ..Chart::default()
    }
}
