//! What a chart shows, as plain data in display units.

use crate::views::time::value_at;

/// How the series of a chart are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ChartStyle {
    /// Each as a line.
    #[default]
    Lines,
    /// One upon the other, as areas whose upper edge is the sum.
    Stacked,
}

/// One curve.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Series {
    /// Its name.
    pub name: String,
    /// Abscissa (seconds on a time axis) and value, in rising order of the abscissa. Series that are stacked have the
    /// same abscissas.
    pub points: Vec<[f64; 2]>,
}

/// A value that must not be passed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Limit {
    /// What it is: `left winding, continuous`.
    pub name: String,
    /// The value.
    pub value: f64,
    /// Whether it is a minimum.
    pub is_minimum: bool,
}

/// A single point with a name.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mark {
    /// What it is: `in this case`.
    pub name: String,
    /// Abscissa and value.
    pub at: [f64; 2],
}

/// The curves of another case, drawn thin beneath those of the shown one.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Beneath {
    /// The case: `base, hot day/circuit`.
    pub name: String,
    /// Its curves, each by the name of the one it belongs to; areas that are stacked have one, their sum.
    pub series: Vec<Series>,
}

/// Name of the only curve beneath areas that are stacked.
pub const SUM: &str = "sum";

/// Curves on common axes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Chart {
    /// What it shows.
    pub title: String,
    /// Name and unit of the abscissa; empty on a time axis.
    pub x_unit: String,
    /// Unit of the values.
    pub unit: String,
    /// Decimals of the values in the read-out.
    pub decimals: usize,
    /// Lines or areas.
    pub shape: ChartStyle,
    /// The curves.
    pub series: Vec<Series>,
    /// The limits.
    pub limits: Vec<Limit>,
    /// Single points.
    pub marks: Vec<Mark>,
    /// The same of another case.
    pub beneath: Option<Beneath>,
}

impl Chart {
    /// Lays the curves of the same chart of another case beneath; those without a partner are left out.
    pub fn lay_beneath(&mut self, other: &Self, name: &str) {
        let series = match self.shape {
            ChartStyle::Lines => {
                let is_known = |series: &&Series| self.series.iter().any(|own| own.name == series.name);
                other.series.iter().filter(is_known).cloned().collect()
            }
            ChartStyle::Stacked => {
                let sum = other.stacked().pop().map(|(_, upper)| Series { name: SUM.to_owned(), ..upper });
                sum.into_iter().collect()
            }
        };
        self.beneath = Some(Beneath { name: name.to_owned(), series });
    }

    /// The value of the curve beneath the one of this name.
    pub fn beneath_at(&self, name: &str, x: f64) -> Option<f64> {
        let series = self.beneath.as_ref()?.series.iter().find(|series| series.name == name)?;
        value_at(&series.points, x)
    }

    /// Unit of a difference of two values: kelvin for temperatures.
    pub fn difference_unit(&self) -> &str {
        if self.unit == "degC" { "K" } else { &self.unit }
    }

    /// The values of all series at an abscissa.
    pub fn values_at(&self, x: f64) -> Vec<Option<f64>> {
        self.series.iter().map(|series| value_at(&series.points, x)).collect()
    }

    /// The first and the last abscissa.
    pub fn x_span(&self) -> Option<(f64, f64)> {
        let ends = self
            .series
            .iter()
            .filter_map(|series| Some((series.points.first()?[0], series.points.last()?[0])));
        let marks = self.marks.iter().map(|mark| (mark.at[0], mark.at[0]));
        ends.chain(marks).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
    }

    /// The range of values between two abscissas, with the limits, some room, and zero where areas are stacked.
    pub fn y_span(&self, (from, to): (f64, f64)) -> (f64, f64) {
        let inside = |series: &Series| {
            let ends = [value_at(&series.points, from), value_at(&series.points, to)];
            let inner =
                series.points.iter().filter(|point| (from..=to).contains(&point[0])).map(|point| point[1]);
            inner.chain(ends.into_iter().flatten()).collect::<Vec<f64>>()
        };
        let mut values: Vec<f64> = match self.shape {
            ChartStyle::Lines => self.series.iter().flat_map(inside).collect(),
            ChartStyle::Stacked => {
                self.stacked().iter().flat_map(|(_, upper)| inside(upper)).chain([0.0]).collect()
            }
        };
        values.extend(self.beneath.iter().flat_map(|beneath| &beneath.series).flat_map(inside));
        values.extend(self.limits.iter().map(|limit| limit.value));
        values.extend(self.marks.iter().map(|mark| mark.at[1]));
        let (low, high) = values
            .into_iter()
            .filter(|value| value.is_finite())
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
        if low > high {
            return (0.0, 1.0);
        }
        let room = (0.07 * (high - low)).max(0.5 * 10_f64.powf(-(self.decimals as f64)));
        let bottom = if self.shape == ChartStyle::Stacked && low >= 0.0 { 0.0 } else { low - room };
        (bottom, high + room)
    }

    /// The lower and the upper edge of each stacked area. Values below zero count as zero: heat that leaves is not
    /// stacked upon heat that comes.
    pub fn stacked(&self) -> Vec<(Series, Series)> {
        let mut sum: Vec<[f64; 2]> = self
            .series
            .first()
            .map(|first| first.points.iter().map(|point| [point[0], 0.0]).collect())
            .unwrap_or_default();
        let mut areas = Vec::new();
        for series in &self.series {
            let lower = Series { name: series.name.clone(), points: sum.clone() };
            for (edge, point) in sum.iter_mut().zip(&series.points) {
                edge[1] += if point[1].is_finite() { point[1].max(0.0) } else { 0.0 };
            }
            areas.push((lower, Series { name: series.name.clone(), points: sum.clone() }));
        }
        areas
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn series(points: &[[f64; 2]]) -> Series {
        Series { name: "a".into(), points: points.to_vec() }
    }

    #[test]
    fn the_span_holds_what_is_in_view_and_the_limits() {
        let limits = vec![Limit { name: "max".into(), value: 60.0, is_minimum: false }];
        let rising = series(&[[0.0, 20.0], [10.0, 40.0], [20.0, 50.0]]);
        let chart = Chart { series: vec![rising], limits, decimals: 1, ..Chart::default() };
        let (low, high) = chart.y_span((5.0, 10.0));
        assert!((low - (30.0 - 2.1)).abs() < 1e-9 && (high - (60.0 + 2.1)).abs() < 1e-9, "{low} {high}");
        assert_eq!(chart.x_span(), Some((0.0, 20.0)));
        assert_eq!(Chart::default().y_span((0.0, 1.0)), (0.0, 1.0));
    }

    #[test]
    fn another_case_lies_beneath_by_the_names_of_the_curves() {
        let named = |name: &str, points: &[[f64; 2]]| Series { name: name.into(), points: points.to_vec() };
        let chart =
            |series: Vec<Series>| Chart { unit: "degC".into(), decimals: 1, series, ..Chart::default() };
        let mut shown = chart(vec![named("winding", &[[0.0, 20.0], [10.0, 40.0]])]);
        let other = chart(vec![
            named("winding", &[[0.0, 20.0], [10.0, 60.0]]),
            named("rotor", &[[0.0, 20.0], [10.0, 90.0]]),
        ]);
        shown.lay_beneath(&other, "hot day/climb");
        // Half-way: 20 + 0.5 (60 - 20) = 40 beneath 20 + 0.5 (40 - 20) = 30.
        assert_eq!((shown.values_at(5.0), shown.beneath_at("winding", 5.0)), (vec![Some(30.0)], Some(40.0)));
        assert_eq!(shown.beneath_at("rotor", 5.0), None, "it has no partner");
        // The span holds what lies beneath: 20 to 60, and 7 % of 40 as room.
        let (low, high) = shown.y_span((0.0, 10.0));
        assert!((low - 17.2).abs() < 1e-9 && (high - 62.8).abs() < 1e-9, "{low} {high}");
        assert_eq!(shown.difference_unit(), "K");
        let mut areas = Chart { shape: ChartStyle::Stacked, ..shown };
        areas.lay_beneath(&Chart { shape: ChartStyle::Stacked, ..other }, "hot day/climb");
        // 60 and 90 at the end: 150 in all.
        assert_eq!(areas.beneath_at(SUM, 10.0), Some(150.0));
    }

    #[test]
    fn areas_add_up() {
        let chart = Chart {
            shape: ChartStyle::Stacked,
            series: vec![series(&[[0.0, 1.0], [1.0, 2.0]]), series(&[[0.0, 3.0], [1.0, -1.0]])],
            ..Chart::default()
        };
        let areas = chart.stacked();
        assert_eq!(areas[0].1.points, [[0.0, 1.0], [1.0, 2.0]]);
        assert_eq!(areas[1].0.points, areas[0].1.points);
        assert_eq!(areas[1].1.points, [[0.0, 4.0], [1.0, 2.0]]);
        assert_eq!(chart.y_span((0.0, 1.0)).0, 0.0);
    }
}
