//! What it takes to carry a kilogram.

use aircraft::records::craft::Craft;
use aircraft::records::project::Project;

/// Standard gravity, m/s2 (ISO 80000-3).
const GRAVITY_M_S2: f64 = 9.80665;

/// Shaft power to carry one kilogram more, W/kg; 0 where nothing is known of the craft.
///
/// ```text
/// aeroplane     g V / (L/D eta_p)      drag of the lift, at the lift over drag of the whole aircraft
/// rotorcraft    n P / m                n = 1.5 in hover by momentum theory: P ~ W^1.5
/// ```
/// `V` true airspeed, `eta_p` propulsive efficiency, `P` shaft power, `m` mass of the craft. The law of the rotorcraft holds in
/// hover; taken of the power at every moment it is an upper estimate in forward flight. Both from first principles; worked values:
/// 61 W/kg at 50 m/s, L/D 10, 0.8; 179 W/kg for 170.6 kW and 14,000 N.
pub(super) fn carry_w_kg(project: &Project, airspeed_m_s: f64, shaft_w: f64) -> f64 {
    let worth = &project.worth;
    match &project.craft {
        Some(Craft::Aeroplane(_)) => {
            of_wing(airspeed_m_s, worth.lift_to_drag.si(), worth.propulsive_efficiency.si())
        }
        Some(Craft::Rotorcraft(rotorcraft)) => {
            of_rotor(worth.power_exponent.si(), shaft_w.max(0.0), rotorcraft.mass.si())
        }
        None => 0.0,
    }
}

fn of_wing(airspeed_m_s: f64, lift_to_drag: f64, efficiency: f64) -> f64 {
    GRAVITY_M_S2 * airspeed_m_s / (lift_to_drag * efficiency)
}

fn of_rotor(exponent: f64, shaft_w: f64, mass_kg: f64) -> f64 {
    exponent * shaft_w / mass_kg
}

#[cfg(test)]
mod tests {
    use super::{GRAVITY_M_S2, of_rotor, of_wing};

    /// Trade practice, worked by hand to the digits given: 61 W/kg at 50 m/s with L/D 10 and 0.8; 179 W/kg for a hover of 14 000 N
    /// with 170.6 kW.
    #[test]
    fn the_penalties_are_those_of_the_trade() {
        assert!((of_wing(50.0, 10.0, 0.8) - 61.0).abs() < 0.5);
        assert!((of_rotor(1.5, 170.6e3, 14e3 / GRAVITY_M_S2) - 179.0).abs() < 0.5);
    }
}
