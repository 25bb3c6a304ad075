//! Levers of one margin as plain data in display units.

use crate::views::field::InputField;
use session::MarginPlace;

/// How one input moves the margin.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LeverRow {
    /// Where the input stands: names from the outside in.
    pub owner: String,
    /// The input, edited in place.
    pub input: InputField,
    /// What it is raised by: `+1 %`.
    pub step: String,
    /// What that adds to the margin.
    pub change: f64,
    /// By how much the margin moves over the tolerance of the input, to either side.
    pub tolerance: Option<f64>,
    /// Whether that tolerance is published scatter of relations, not stated with the input.
    pub is_published: bool,
    /// Whether the margin has a corner or a jump here, so that the slope holds for small steps to one side only.
    pub has_corner: bool,
    /// Loop or duct and device on whose page the input is.
    pub device: Option<(String, String)>,
}

/// What moves one margin.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LeverData {
    /// The cell.
    pub of: MarginPlace,
    /// The strongest levers, strongest first.
    pub rows: Vec<LeverRow>,
    /// How many inputs move the margin at all.
    pub count: usize,
    /// Why there are none.
    pub note: Option<String>,
    /// Whether the case is a mission that can be flown for its levers: that takes a while, and waits to be asked for.
    pub can_be_flown: bool,
}

impl LeverData {
    /// Decimals that show the strongest lever with three digits.
    pub fn decimals(&self) -> usize {
        let largest = self.rows.iter().map(|row| row.change.abs()).fold(0.0, f64::max);
        match largest {
            100.0.. => 0,
            10.0.. => 1,
            1.0.. => 2,
            _ => 3,
        }
    }

    /// Length of the bar of a change, as a share of the longest one. The root, so that weak levers are seen beside strong ones.
    pub fn bar(&self, change: f64) -> f32 {
        let largest = self.rows.iter().map(|row| row.change.abs()).fold(0.0, f64::max);
        if largest > 0.0 { (change.abs() / largest).sqrt() as f32 } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bars_and_digits_follow_the_strongest() {
        let row = |change| LeverRow { change, ..LeverRow::default() };
        let data = LeverData { rows: vec![row(-1.6), row(0.4), row(0.016)], ..LeverData::default() };
        assert_eq!(data.decimals(), 2);
        assert_eq!([-1.6, 0.4, 0.016].map(|change| data.bar(change)), [1.0, 0.5, 0.1]);
        assert_eq!(LeverData::default().bar(0.0), 0.0);
        assert_eq!(LeverData { rows: vec![row(120.0)], ..LeverData::default() }.decimals(), 0);
    }
}
