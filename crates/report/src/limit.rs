//! Margins as cells: value, limit and distance are of the kind of the limit.

use crate::sheet::{Cell, Column};
use model::result::{Margin, MarginKind};
use units::Kind;

/// Kind of the value and of the limit.
pub(crate) fn value_kind(kind: MarginKind) -> Kind {
    match kind {
        MarginKind::Rating => Kind::Power,
        MarginKind::RatedTorque => Kind::Torque,
        MarginKind::RatedSpeed => Kind::RotationalSpeed,
        MarginKind::PumpInlet => Kind::PressureDifference,
        MarginKind::Maximum | MarginKind::Minimum | MarginKind::Boiling | MarginKind::Freezing => {
            Kind::Temperature
        }
    }
}

/// Kind of the distance between them.
pub(crate) fn distance_kind(kind: MarginKind) -> Kind {
    match value_kind(kind) {
        Kind::Temperature => Kind::TemperatureDifference,
        other => other,
    }
}

/// A distance to a limit of a kind, in SI.
pub(crate) fn distance(kind: MarginKind, value: f64) -> Cell {
    Cell::Own(distance_kind(kind), value)
}

/// A value that a limit of a kind stands against, in SI.
pub(crate) fn value(kind: MarginKind, value: f64) -> Cell {
    Cell::Own(value_kind(kind), value)
}

/// The limit, and the nominal one beside it where it differs and is a temperature.
pub(crate) fn limits(margin: &Margin) -> [Cell; 2] {
    let nominal = margin
        .nominal_limit
        .filter(|nominal| *nominal != margin.limit_value && value_kind(margin.kind) == Kind::Temperature);
    [value(margin.kind, margin.limit_value), nominal.into()]
}

/// Columns of [`limits`].
pub(crate) fn limit_columns() -> [Column; 2] {
    [
        Column::mixed("limit_value").head("limit"),
        Column::number("nominal_limit_K", Kind::Temperature, "degC", 1).enclosed(" (nominal ", ")"),
    ]
}

/// What is required of a margin, without its unit, which stands beside the margin.
pub(crate) fn needs_column() -> Column {
    Column::mixed("required").head("needs").silent()
}

/// Columns of [`reserve_cells`]: the reserve with its mark, under the head that is given, then both numbers behind it.
pub(crate) fn reserve_columns(head: &str) -> [Column; 4] {
    [
        Column::standing(),
        Column::mixed("reserve").head(head).signed(),
        Column::mixed("margin"),
        needs_column(),
    ]
}

/// How a margin stands, its reserve, and both numbers behind it; absent cells without a margin.
pub(crate) fn reserve_cells(margin: Option<&Margin>) -> [Cell; 4] {
    let of = |number: fn(&Margin) -> f64| margin.map(|margin| distance(margin.kind, number(margin))).into();
    [
        margin.map(Margin::standing).into(),
        of(Margin::reserve),
        of(|margin| margin.margin),
        of(|margin| margin.required),
    ]
}

/// Columns of a limit in a case, with what it stands at, or why there is no state.
pub(crate) fn case_columns(head: &str) -> Vec<Column> {
    vec![
        Column::text("case"),
        Column::text("where").head(head),
        Column::text("limit").after(", "),
        Column::number("temperature_K", Kind::Temperature, "degC", 1).in_cell().after(": "),
        Column::text("message").after(""),
        Column::standing(),
        Column::mixed("reserve").signed().si(2),
        Column::mixed("margin").si(2),
        Column::mixed("required").si(2),
        unit_column(),
    ]
}

/// The SI unit of the numbers of a row.
pub(crate) fn unit_column() -> Column {
    Column::text("unit").data()
}

/// The SI unit of a margin.
pub(crate) fn unit(margin: &Margin) -> Cell {
    margin.kind.unit().into()
}
