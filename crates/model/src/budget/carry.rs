//! What it takes to carry a kilogram.

use crate::estimate::Estimate;
use crate::outside::Outside;
use aircraft::records::craft::Craft;
use aircraft::records::project::Project;

/// Standard gravity, m/s2 (ISO 80000-3).
const GRAVITY_M_S2: f64 = 9.80665;

/// Airspeed up to which a rotorcraft hovers, m/s: the wake is still below the disc.
const HOVER_M_S: f64 = 5.0;
/// Exponent of the power over the weight in hover, by momentum theory: P ~ W^1.5.
const HOVER_EXPONENT: f64 = 1.5;

/// Shaft power to carry one kilogram more, W/kg; 0 where nothing is known of the craft.
///
/// ```text
/// n P / m             n = (W/P) dP/dW of the craft record at the airspeed and climb of the moment; 1.5 in hover by momentum theory
/// g V / (L/D eta_p)   aeroplane with a stated lift over drag, or whose record says nothing about the moment
/// ```
/// `P` shaft power of the moment, `m` mass of the craft, `V` true airspeed, `eta_p` propulsive efficiency. A stated exponent or lift over
/// drag is used at every moment. From first principles; worked values: 61 W/kg at 50 m/s, L/D 10, 0.8; 179 W/kg for a hover of 170.6 kW
/// and 14,000 N.
pub(super) fn carry_w_kg(project: &Project, outside: &Outside, climb_m_s: f64, shaft_w: f64) -> f64 {
    let worth = &project.worth;
    let shaft_w = shaft_w.max(0.0);
    let airspeed_m_s = outside.airspeed_m_s;
    let by_record = |craft: &Craft, mass_kg: f64| {
        let estimate = Estimate::of_craft(craft, climb_m_s).ok()?;
        let exponent = estimate.weight_exponent(outside, airspeed_m_s)?;
        // a project without drive states no power: that of the record
        let power_w =
            if shaft_w > 0.0 { shaft_w } else { estimate.power(outside, airspeed_m_s).ok()?.shaft_power_w };
        Some(by_exponent(exponent, power_w, mass_kg))
    };
    match &project.craft {
        Some(Craft::Aeroplane(aeroplane)) => {
            let by_lift_to_drag =
                || of_wing(airspeed_m_s, worth.lift_to_drag.si(), worth.propulsive_efficiency.si());
            if worth.lift_to_drag.stated() {
                return by_lift_to_drag();
            }
            let found = project.craft.as_ref().and_then(|craft| by_record(craft, aeroplane.mass.si()));
            found.unwrap_or_else(by_lift_to_drag)
        }
        Some(craft @ Craft::Rotorcraft(rotorcraft)) => {
            let mass_kg = rotorcraft.mass.si();
            if worth.power_exponent.stated() {
                return by_exponent(worth.power_exponent.si(), shaft_w, mass_kg);
            }
            let hover = by_exponent(HOVER_EXPONENT, shaft_w, mass_kg);
            if airspeed_m_s <= HOVER_M_S || shaft_w == 0.0 {
                hover
            } else {
                by_record(craft, mass_kg).unwrap_or(hover)
            }
        }
        None => 0.0,
    }
}

fn of_wing(airspeed_m_s: f64, lift_to_drag: f64, efficiency: f64) -> f64 {
    GRAVITY_M_S2 * airspeed_m_s / (lift_to_drag * efficiency)
}

fn by_exponent(exponent: f64, shaft_w: f64, mass_kg: f64) -> f64 {
    exponent * shaft_w / mass_kg
}

#[cfg(test)]
mod tests {
    use super::{GRAVITY_M_S2, by_exponent, of_wing};

    /// Trade practice, worked by hand to the digits given: 61 W/kg at 50 m/s with L/D 10 and 0.8; 179 W/kg for a hover of 14 000 N
    /// with 170.6 kW.
    #[test]
    fn the_penalties_are_those_of_the_trade() {
        assert!((of_wing(50.0, 10.0, 0.8) - 61.0).abs() < 0.5);
        assert!((by_exponent(1.5, 170.6e3, 14e3 / GRAVITY_M_S2) - 179.0).abs() < 0.5);
    }
}
