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

/// Margin and required margin in display units, with the unit.
pub(super) fn displayed(margin: &Margin) -> (f64, f64, &'static str) {
    let factor = margin_factor(margin.kind);
    (factor * margin.margin, factor * margin.required, MarginPlace::unit_of(margin.kind))
}
