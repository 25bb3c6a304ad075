//! What mass, drag and energy are worth in mass of cells.

use super::{MassBook, MissionDraw};
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

/// The cooling as mass: what it weighs, and the cells that its power, its drag and its weight need over a mission.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Equivalent {
    /// Empty, kg.
    pub dry_kg: f64,
    /// Coolant and oil, kg.
    pub coolant_kg: f64,
    /// Energy of pumps and fans at the bus, J.
    pub machines_j: f64,
    /// Energy against the drag of the ducts at the bus, J.
    pub drag_j: f64,
    /// Energy at the bus to carry one kilogram over the mission, J/kg.
    pub carry_j_kg: f64,
    /// Cells for pumps and fans, kg.
    pub machines_kg: f64,
    /// Cells against the drag of the ducts, kg.
    pub drag_kg: f64,
    /// Cells that carry all this and themselves, kg.
    pub carry_kg: f64,
}

impl Equivalent {
    /// All of it, kg.
    pub fn total_kg(&self) -> f64 {
        self.dry_kg + self.coolant_kg + self.machines_kg + self.drag_kg + self.carry_kg
    }
}

/// Equivalent mass over a mission.
///
/// ```text
/// M = m + (E_machines + E_drag)/e + M L/e        so   carry = M L/e  with  M = (m + (E_machines + E_drag)/e) / (1 - L/e)
/// ```
/// `m` dry mass and coolant, `e` specific energy of the pack, `L` energy to carry one kilogram. Energies are taken at the bus:
/// shaft power over the drive efficiency, thrust power over propulsive and drive efficiency. Where `L` is not below `e` the pack
/// cannot lift its own mass over this mission, and the mass is infinite.
pub fn equivalent(project: &Project, masses: &MassBook, mission: &MissionDraw) -> Equivalent {
    let worth = &project.worth;
    let (mean, duration_s) = (&mission.mean, mission.duration_s);
    let (drive, thrust) = (worth.drive_efficiency.si(), worth.propulsive_efficiency.si());
    let specific_j_kg = worth.specific_energy.si();
    let machines_j = duration_s * (mean.electrical_w() + mean.shaft_w() / drive);
    let drag_j = duration_s * mean.drag_power_w() / (thrust * drive);
    let carry_j_kg = duration_s * mean.carry_w_kg / drive;
    let (dry_kg, coolant_kg) = (masses.dry_kg(), masses.coolant_kg());
    let (machines_kg, drag_kg) = (machines_j / specific_j_kg, drag_j / specific_j_kg);
    let share = carry_j_kg / specific_j_kg;
    let carried_kg = dry_kg + coolant_kg + machines_kg + drag_kg;
    let carry_kg = if share < 1.0 { carried_kg * share / (1.0 - share) } else { f64::INFINITY };
    Equivalent { dry_kg, coolant_kg, machines_j, drag_j, carry_j_kg, machines_kg, drag_kg, carry_kg }
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
