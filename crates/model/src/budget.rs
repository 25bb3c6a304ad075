//! The mass and power book: what the cooling weighs, what it draws and drags, and what that is worth in mass of cells.
//!
//! Masses are taken from the project where it states them, worked out from dimensions where there are some, and estimated by a
//! rule of thumb otherwise; every line says which. Power is read from solved cases and flights.

mod basis;
mod carry;
mod draw;
mod rule;
mod worth;

use crate::assembly;
use aircraft::records::device::{Device, Duct, Loop, devices};
use aircraft::records::project::Project;
use rule::Ruled;
use schema::Problem;
use std::f64::consts::FRAC_PI_4;

pub use basis::Basis;
pub use draw::{Draw, DuctDraw, MachineDraw, MissionDraw, draw, mission_draw};
pub use rule::{MachineSize, core_dry_kg};
pub use worth::{Equivalent, equivalent};

/// Temperature at which the coolant is filled in, K.
const FILLED_AT_K: f64 = 293.15;

/// Mass of one thing.
#[derive(Clone, Debug, PartialEq)]
pub struct MassLine {
    /// Loop or duct it belongs to. A core belongs to its loop, an exchanger to its first one.
    pub circuit: String,
    /// Device; the duct for its walls, the loop or duct for brackets and wiring.
    pub name: String,
    /// Plain word for what it is.
    pub kind: &'static str,
    /// Empty, kg.
    pub dry_kg: f64,
    /// Coolant or oil in it when filled at 20 degC, kg.
    pub coolant_kg: f64,
    /// What the dry mass rests on.
    pub basis: Basis,
}

impl MassLine {
    /// Dry mass and coolant, kg.
    pub fn total_kg(&self) -> f64 {
        self.dry_kg + self.coolant_kg
    }
}

/// Masses of the whole cooling.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MassBudget {
    /// Loops first, then ducts, each in flow order.
    pub lines: Vec<MassLine>,
}

impl MassBudget {
    /// Empty, kg.
    pub fn dry_kg(&self) -> f64 {
        self.lines.iter().map(|line| line.dry_kg).sum()
    }

    /// Coolant and oil, kg.
    pub fn coolant_kg(&self) -> f64 {
        self.lines.iter().map(|line| line.coolant_kg).sum()
    }

    /// Dry mass and coolant, kg.
    pub fn total_kg(&self) -> f64 {
        self.dry_kg() + self.coolant_kg()
    }

    /// Dry mass and coolant of one loop or duct, kg.
    pub fn circuit_kg(&self, circuit: &str) -> f64 {
        self.lines.iter().filter(|line| line.circuit == circuit).map(MassLine::total_kg).sum()
    }

    /// Loops and ducts in order, each once.
    pub fn circuits(&self) -> Vec<&str> {
        let mut all: Vec<&str> = Vec::new();
        for line in &self.lines {
            if !all.contains(&line.circuit.as_str()) {
                all.push(&line.circuit);
            }
        }
        all
    }
}

/// Masses of every device of every loop and duct.
///
/// # Errors
/// A [`Problem`] for a liquid that is not known or a core whose dimensions no core can have.
pub fn masses(project: &Project) -> Result<MassBudget, Problem> {
    let mut lines = Vec::new();
    for circuit in &project.loops {
        loop_lines(project, circuit, &mut lines)?;
        mounting_line(project, circuit.name.as_str(), &mut lines);
    }
    for duct in &project.ducts {
        duct_lines(duct, &mut lines);
        mounting_line(project, duct.name.as_str(), &mut lines);
    }
    Ok(MassBudget { lines })
}

/// Brackets and wiring of a circuit whose devices are booked.
fn mounting_line(project: &Project, circuit: &str, lines: &mut Vec<MassLine>) {
    let devices_kg: f64 = lines.iter().filter(|line| line.circuit == circuit).map(|line| line.dry_kg).sum();
    let Ruled { dry_kg, basis } = rule::mounting(&project.worth.mounting, devices_kg);
    let (circuit, name) = (circuit.to_owned(), circuit.to_owned());
    lines.push(MassLine { circuit, name, kind: "brackets and wiring", dry_kg, coolant_kg: 0.0, basis });
}

fn loop_lines(project: &Project, circuit: &Loop, lines: &mut Vec<MassLine>) -> Result<(), Problem> {
    let path = format!("loops.{}.fluid", circuit.name.as_str());
    let density_kg_m3 = assembly::liquid(project, &circuit.fluid, &path)?.density(FILLED_AT_K);
    for device in devices(&circuit.path) {
        let Ruled { dry_kg, basis } = rule::in_loop(project, circuit.name.as_str(), device)?;
        lines.push(MassLine {
            circuit: circuit.name.as_str().to_owned(),
            name: device.name().to_owned(),
            kind: device.kind(),
            dry_kg,
            coolant_kg: density_kg_m3 * content_m3(project, device),
            basis,
        });
    }
    Ok(())
}

fn duct_lines(duct: &Duct, lines: &mut Vec<MassLine>) {
    let name = duct.name.as_str();
    let mut push = |device: &str, kind, ruled: Ruled| {
        let Ruled { dry_kg, basis } = ruled;
        let (circuit, name) = (name.to_owned(), device.to_owned());
        lines.push(MassLine { circuit, name, kind, dry_kg, coolant_kg: 0.0, basis });
    };
    for device in devices(&duct.path) {
        if let Some(ruled) = rule::in_duct(device) {
            push(device.name(), device.kind(), ruled);
        }
    }
    push(name, "duct walls", rule::walls(duct));
}

/// Liquid in a device of a loop, m3.
fn content_m3(project: &Project, device: &Device) -> f64 {
    match device {
        Device::Pump(machine) | Device::Fan(machine) => machine.volume.si(),
        Device::Hose(hose) => FRAC_PI_4 * hose.diameter.si() * hose.diameter.si() * hose.length.si(),
        Device::ColdPlate(plate) | Device::Jacket(plate) | Device::Surface(plate) => plate.volume.si(),
        Device::Core(reference) => {
            let core = project.cores.iter().find(|core| core.name == reference.name);
            core.map_or(0.0, |core| core.volume.si())
        }
        Device::Exchanger(reference) => {
            let exchanger = project.exchangers.iter().find(|exchanger| exchanger.name == reference.name);
            exchanger.map_or(0.0, |exchanger| exchanger.volume.si())
        }
        Device::Reservoir(reservoir) => reservoir.volume.si() * reservoir.fill.si(),
        Device::Restrictor(part) | Device::Filter(part) | Device::Screen(part) => part.volume.si(),
        Device::GroundConnection(connection) => connection.volume.si(),
        Device::CheckValve(_)
        | Device::ReliefValve(_)
        | Device::BypassValve(_)
        | Device::Thermostat(_)
        | Device::Shutter(_)
        | Device::Flap(_)
        | Device::Inlet(_)
        | Device::Outlet(_)
        | Device::Parallel(_) => 0.0,
    }
}
