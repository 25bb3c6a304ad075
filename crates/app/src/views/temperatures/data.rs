//! What the page Temperatures shows, as plain data in display units.

use crate::views::figure::Figure;
use model::standing::Standing;

/// One limit of one component.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TemperatureRow {
    /// Name of the component.
    pub component: String,
    /// Name of the limit: `continuous maximum`; empty when the component has none.
    pub limit_name: String,
    /// The temperature as text.
    pub temperature: Figure,
    /// The limit as text.
    pub limit: Figure,
    /// The margin, positive is good.
    pub margin: Figure,
    /// The margin required for this kind of evidence.
    pub required: Figure,
    /// Heat from the component's own sources.
    pub heat: Figure,
    /// How the margin stands; nothing without a limit.
    pub standing: Option<Standing>,
    /// The temperature as a number, for the dot.
    pub value: f64,
    /// The limit as a number, for the mark; nothing without a limit.
    pub limit_value: Option<f64>,
    /// Whether the limit is a minimum.
    pub is_minimum: bool,
}

/// The components of the project.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TemperatureTable {
    /// Unit of temperatures.
    pub temperature_unit: String,
    /// Unit of margins (a temperature difference).
    pub difference_unit: String,
    /// Unit of heat.
    pub heat_unit: String,
    /// The rows, in the order in which they are to be shown.
    pub rows: Vec<TemperatureRow>,
}

impl TemperatureTable {
    /// The lowest and the highest number among temperatures and limits, with some room.
    pub fn span(&self) -> Option<(f64, f64)> {
        let values = self.rows.iter().flat_map(|row| [Some(row.value), row.limit_value]);
        let (low, high) = values
            .flatten()
            .filter(|value| value.is_finite())
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
        (low <= high).then(|| {
            let room = (0.05 * (high - low)).max(1.0);
            (low - room, high + room)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_span_holds_temperatures_and_limits() {
        let row = |value, limit_value| TemperatureRow { value, limit_value, ..TemperatureRow::default() };
        let rows = vec![row(40.0, Some(120.0)), row(f64::NAN, None), row(20.0, Some(-10.0))];
        let table = TemperatureTable { rows, ..TemperatureTable::default() };
        assert_eq!(table.span(), Some((-16.5, 126.5)));
        assert_eq!(TemperatureTable::default().span(), None);
    }
}
