//! What a pump or fan can deliver, and what its circuit asks for, as a chart.

use model::duty::Duty;

use crate::views::chart::{Chart, Mark, Series};
use crate::views::loops::StripKind;

/// Pressure over flow: litres a minute in loops, cubic metres a second in ducts; kilopascals in both.
pub(super) fn duty_chart(kind: StripKind, duty: &Duty) -> Chart {
    let (factor, unit, decimals) = match kind {
        StripKind::Loop => (6e4, "L/min", 1),
        StripKind::Duct => (1.0, "m3/s", 3),
    };
    let point = |(flow, pressure): &(f64, f64)| [factor * flow, 1e-3 * pressure];
    let series = |name: &str, curve: &[(f64, f64)]| Series {
        name: name.to_owned(),
        points: curve.iter().map(point).collect(),
    };
    let demand = match kind {
        StripKind::Loop => "system curve of its loop",
        StripKind::Duct => "system curve of its duct",
    };
    Chart {
        title: "Pressure rise against flow".to_owned(),
        x_unit: unit.to_owned(),
        unit: "kPa".to_owned(),
        decimals,
        series: vec![series("what it can deliver", &duty.capability), series(demand, &duty.demand)],
        marks: vec![Mark { name: "this case".to_owned(), at: point(&duty.at) }],
        ..Chart::default()
    }
}
