//! From the aircraft by name to the numbered network of one case.

mod cell_law;
mod channels;
mod checked;
mod circuits;
mod components;
mod cores;
mod electric;
mod failure;
mod gear_law;
mod ground;
mod inverter_law;
mod laws;
mod liquids;
mod measured;
mod motor_law;
mod power_path;
mod stages;

use crate::case_name::CaseName;
use crate::estimate::PointShaftPower;
use crate::pump_inlet::PumpInlet;
use aircraft::records::project::Project;
use aircraft::records::study::{Failure, Point};
use aircraft::records::surroundings::{Condition, OUTSIDE_AIR};
use schema::Problem;
use solver::{
    BoundaryId, BuildError, Builder, CircuitId, ComponentId, ElementId, ExchangerId, Fluid, LinkId, Network,
    Node, SourceId,
};
use std::collections::HashMap;
use std::sync::Arc;

pub use crate::outside::Outside;
pub use cell_law::aged_cell;
pub use cores::{CoreBuild, build as build_core};
pub use electric::INTERCONNECT;
pub use gear_law::{Gears, gear_law};
pub use ground::{charge_limiter, charge_window, charging_rise_k, hot_cell_rise_k, limiter};
pub use inverter_law::{inverter_law, junction_law};
pub use liquids::liquid;
pub use motor_law::motor_law;
pub use power_path::{conductor_law, converter_law};

/// Laws of single devices, to be looked at without a network.
pub(crate) mod device_laws {
    pub(crate) use super::cores::{air_law, liquid_law, transfer_law};
    pub(crate) use super::laws::{corrected_film, film, machine, resistance};
}

/// A numbered network together with the names of its parts.
#[derive(Clone, Debug)]
pub struct Assembled {
    /// Network to solve.
    pub network: Arc<Network>,
    /// Numbers by name.
    pub parts: Parts,
    /// Surroundings of the case.
    pub outside: Outside,
}

/// Where each named part of the aircraft is in the network.
#[derive(Clone, Debug, Default)]
pub struct Parts {
    /// Temperatures of each component, one for each segment, in the order of the project.
    pub components: Vec<(String, Vec<ComponentId>)>,
    /// Links by name.
    pub links: Vec<(String, LinkId)>,
    /// Numbers of each heat path of the project in its order, one for each pair of segments.
    pub paths: Vec<Vec<LinkId>>,
    /// Heat sources.
    pub sources: Vec<SourcePart>,
    /// Loops in the order of the project.
    pub loops: Vec<CircuitPart>,
    /// Ducts in the order of the project.
    pub ducts: Vec<CircuitPart>,
    /// Cores and liquid-to-liquid exchangers.
    pub exchangers: Vec<(String, ExchangerId)>,
    /// Heat outlets of the electric drive, in the solver's order.
    pub electric_outlets: Vec<OutletPart>,
    /// Motors in order.
    pub motors: Vec<String>,
    /// Pumps and fans.
    pub machines: Vec<MachinePart>,
}

/// A heat source.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourcePart {
    /// Name.
    pub name: String,
    /// Number.
    pub id: SourceId,
    /// Component that it warms.
    pub into: String,
}

/// A heat outlet of the electric drive.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutletPart {
    /// Name.
    pub name: String,
    /// Component that it warms, or the outside air; empty for the gearbox of a drive without one.
    pub into: String,
}

/// A pump or fan and what drives it.
#[derive(Clone, Debug)]
pub struct MachinePart {
    /// Number.
    pub element: ElementId,
    /// Supply that feeds it.
    pub supply: Option<String>,
    /// Whether the output shaft turns it.
    pub on_shaft: bool,
}

/// A loop or duct.
#[derive(Clone, Debug)]
pub struct CircuitPart {
    /// Name.
    pub name: String,
    /// Number.
    pub id: CircuitId,
    /// Medium.
    pub fluid: Fluid,
    /// Devices in flow order.
    pub course: Vec<Step>,
    /// Whether the cap of its reservoir has failed and holds no pressure.
    pub cap_open: bool,
}

/// One step of a course.
#[derive(Clone, Debug)]
pub enum Step {
    /// A device.
    Device(DevicePart),
    /// Branches by name.
    Parallel(String, Vec<(String, Vec<Self>)>),
}

/// A device in a course.
#[derive(Clone, Debug)]
pub struct DevicePart {
    /// Name.
    pub name: String,
    /// Plain word for what it is.
    pub kind: &'static str,
    /// Number.
    pub element: ElementId,
    /// Fluid content of all cells, m3.
    pub volume_m3: f64,
    /// Rise of the outlet above the inlet, m.
    pub climb_m: f64,
    /// What the inlet of a pump in a loop needs.
    pub inlet: Option<PumpInlet>,
}

impl CircuitPart {
    /// Devices in flow order, branches one after the other.
    pub fn devices(&self) -> Vec<&DevicePart> {
        fn walk<'a>(course: &'a [Step], found: &mut Vec<&'a DevicePart>) {
            for step in course {
                match step {
                    Step::Device(device) => found.push(device),
                    Step::Parallel(_, branches) => {
                        for (_, branch) in branches {
                            walk(branch, found);
                        }
                    }
                }
            }
        }
        let mut found = Vec::new();
        walk(&self.course, &mut found);
        found
    }
}

/// What is being assembled: a project at one condition and point, with at most one failure by name.
#[derive(Clone, Copy, Debug)]
pub struct Situation<'a> {
    /// Project, variant applied.
    pub project: &'a Project,
    /// Surroundings.
    pub condition: &'a Condition,
    /// Operating point.
    pub point: &'a Point,
    /// Failure.
    pub failure: Option<&'a Failure>,
}

impl Situation<'_> {
    /// Share of the exhaust that a duct draws in again: that of the point, else its own.
    fn recirculation(&self, duct: &aircraft::records::device::Duct) -> f64 {
        let stated = self.point.recirculations.iter().find(|r| r.name == duct.name);
        stated.map_or(&duct.recirculation, |here| &here.share).si()
    }

    /// Name: condition, point, failure.
    pub fn name(&self) -> CaseName {
        CaseName {
            condition: self.condition.name.as_str().to_owned(),
            point: self.point.name.as_str().to_owned(),
            failure: self.failure.map(|failure| failure.name.as_str().to_owned()),
        }
    }
}

/// Collects the network while names are resolved.
struct Assembler<'a> {
    situation: Situation<'a>,
    outside: Outside,
    outside_node: BoundaryId,
    /// Power at the output shaft, stated or estimated, W.
    shaft_power_w: f64,
    builder: Builder,
    parts: Parts,
    /// Temperatures that sensors, walls and links may name.
    nodes: HashMap<String, Node>,
    fluids: HashMap<String, Fluid>,
}

/// Numbers a project for one case.
///
/// # Errors
/// A [`Problem`] with the path of the input that stands in the way. A project that passed
/// [`crate::validate::validate`] fails only for values that contradict each other at this case.
pub fn assemble(situation: Situation<'_>) -> Result<Assembled, Problem> {
    assemble_like(situation, None)
}

/// The same beside a network of the same project in another situation, which makes it faster.
///
/// # Errors
/// As [`assemble`].
pub fn assemble_like(situation: Situation<'_>, like: Option<&Network>) -> Result<Assembled, Problem> {
    let Assembler { builder, parts, outside, .. } = Assembler::put_together(situation)?;
    let network = builder.build_like(like).map_err(|error| misplaced(&parts, error))?;
    Ok(Assembled { network: Arc::new(network), parts, outside })
}

/// What is wrong with the order of the devices, by the names of their owners.
fn misplaced(parts: &Parts, error: BuildError) -> Problem {
    let mut circuits = parts.loops.iter().chain(&parts.ducts);
    let (name, message, remedy) = match error {
        BuildError::EmptyBranch(id) => (
            circuits.find(|circuit| circuit.id == id).map(|circuit| &circuit.name),
            "has an empty branch",
            "give every branch at least one device",
        ),
        BuildError::ElementPlace(id) | BuildError::NoCell(id) => {
            let mut devices = circuits.flat_map(CircuitPart::devices);
            let device = devices.find(|device| device.element == id).map(|device| &device.name);
            (device, "is used in no circuit or in several", "use it exactly once, in one loop or duct")
        }
    };
    let name = name.map_or("a loop or duct", String::as_str);
    Problem::error("loops", format!("{name:?} {message}"), remedy)
}

/// Puts a situation together without making a network of it: what differs between the situations of one project shows
/// here already, in a fraction of the time.
///
/// # Errors
/// As [`assemble`], but for what is wrong with the order of the branches, which no situation changes.
pub fn try_out(situation: Situation<'_>) -> Result<(), Problem> {
    Assembler::put_together(situation).map(drop)
}

impl<'a> Assembler<'a> {
    /// Everything of a situation, before it is a network.
    fn put_together(situation: Situation<'a>) -> Result<Self, Problem> {
        let outside = Outside::of(situation.condition, situation.point)?;
        let shaft_power = PointShaftPower::of(situation.project.craft.as_ref(), situation.point, &outside)?;
        let mut builder = Builder::new();
        let outside_node = builder.boundary(outside.inlet_air_k);
        let mut assembler = Self {
            situation,
            outside,
            outside_node,
            shaft_power_w: shaft_power.shaft_power_w(),
            builder,
            parts: Parts::default(),
            nodes: HashMap::new(),
            fluids: HashMap::new(),
        };
        assembler.nodes.insert(OUTSIDE_AIR.to_owned(), Node::Boundary(outside_node));
        assembler.add_components();
        assembler.add_circuits()?;
        assembler.add_cores()?;
        assembler.add_links()?;
        assembler.add_heats()?;
        assembler.add_electric()?;
        Ok(assembler)
    }

    fn node(&self, name: &str, path: &str) -> Result<Node, Problem> {
        self.nodes.get(name).copied().ok_or_else(|| {
            Problem::error(
                path,
                format!("{name:?} is neither a component nor a device"),
                "name a component, a device or \"outside air\"",
            )
        })
    }

    /// The medium of a loop by name, made once.
    fn liquid(&mut self, name: &str, path: &str) -> Result<Fluid, Problem> {
        if let Some(known) = self.fluids.get(name) {
            return Ok(known.clone());
        }
        let fluid = Fluid::Liquid(liquid(self.situation.project, name, path)?);
        self.fluids.insert(name.to_owned(), fluid.clone());
        Ok(fluid)
    }
}
