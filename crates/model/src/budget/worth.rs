//! What mass, drag and energy are worth in mass of cells.

use super::{MassBudget, MissionDraw};
use aircraft::records::project::Project;

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
pub fn equivalent(project: &Project, masses: &MassBudget, mission: &MissionDraw) -> Equivalent {
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
