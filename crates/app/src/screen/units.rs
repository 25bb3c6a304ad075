//! From SI to the units on screen: degrees Celsius, kelvins, kilowatts, revolutions a minute.

use model::result::{Margin, MarginKind};
use session::MarginPlace;

const ZERO_CELSIUS_K: f64 = 273.15;

pub(in crate::screen) fn celsius(kelvin: f64) -> f64 {
    kelvin - ZERO_CELSIUS_K
}

/// From SI to the unit in which a sort of margin is told.
pub(super) fn margin_factor(kind: MarginKind) -> f64 {
    match kind {
        MarginKind::Rating | MarginKind::PumpInlet => 1e-3,
        MarginKind::RatedSpeed => 30.0 / std::f64::consts::PI,
        MarginKind::RatedTorque
        | MarginKind::Maximum
        | MarginKind::Minimum
        | MarginKind::Boiling
        | MarginKind::Freezing => 1.0,
    }
}

/// A margin in display units.
pub(super) struct Displayed {
    /// Margin less required margin.
    pub(super) reserve: f64,
    /// Distance to the limit.
    pub(super) margin: f64,
    /// Distance that is required.
    pub(super) required: f64,
    /// Unit of all three.
    pub(super) unit: &'static str,
}

/// A margin in display units.
pub(super) fn displayed(margin: &Margin) -> Displayed {
    let factor = margin_factor(margin.kind);
    Displayed {
        reserve: factor * margin.reserve(),
        margin: factor * margin.margin,
        required: factor * margin.required,
        unit: MarginPlace::unit_of(margin.kind),
    }
}
