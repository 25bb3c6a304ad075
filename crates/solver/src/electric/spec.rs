//! What the electric drive is made of, as the caller describes it.

use crate::ids::{ElementId, Node};
use crate::power_path::{Conductor, Converter};
use crate::signal::Signal;
use media::Liquid;
use numerics::Scalar;
use powertrain::cell::Cell;
use powertrain::conductor::Resistor;
use powertrain::gearbox::Gearbox;
use powertrain::inverter::{Inverter, JunctionResistance};
use powertrain::motor::Motor;

/// A motor with its inverter.
#[derive(Clone, Debug)]
pub struct Drive {
    /// Motor.
    pub motor: Motor,
    /// Inverter.
    pub inverter: Inverter,
    /// Share of the power into the gearbox.
    pub share: f64,
    /// Speed of the motor, rad/s.
    pub speed_rad_s: f64,
    /// Winding sets in use.
    pub active_sets: u8,
    /// Cable from the bus, at the temperature of the place its heat goes to.
    pub cable: Resistor,
    /// Density of the air round the rotor over the density that the windage law was made at.
    pub air_density_ratio: f64,
    /// Power that is left at the temperature of a sensor, as a share.
    pub derate: Signal,
    /// Share that it takes while nothing has failed: what it would give, where it gives nothing.
    pub usual_share: f64,
    /// Whether a freewheel lets it stand while it gives no power; without one it turns on with the gearbox.
    pub freewheels: bool,
    /// Winding sets whose terminals are joined, by a short in the winding or in the inverter.
    pub shorted_sets: u8,
    /// Thermal resistance from the junctions to the place of the inverter loss; without one, that place stands in for them.
    pub junction: Option<JunctionResistance>,
    /// Greatest shaft power that the control of the motor lets it give, W; infinite without one. What is asked beyond is lost.
    pub max_power_w: f64,
    /// Where its heat goes.
    pub heats: DriveNodes,
}

/// Where the heat of a drive goes.
#[derive(Clone, Copy, Debug)]
pub struct DriveNodes {
    /// Copper loss; also the winding temperature.
    pub winding: Node,
    /// Iron loss.
    pub iron: Node,
    /// Magnet loss; also the magnet temperature.
    pub magnet: Node,
    /// Windage.
    pub windage: Node,
    /// Inverter loss; also the device temperature.
    pub inverter: Node,
    /// Cable loss; also the cable temperature.
    pub cable: Node,
}

/// A gearbox between the motors and the shaft, or the losses of a stage behind it.
#[derive(Clone, Debug)]
pub struct Gear {
    /// Loss law.
    pub gearbox: Gearbox,
    /// Oil temperature and receiver of the heat; a stage may give it to the surroundings.
    pub oil_node: Node,
    /// Oil.
    pub oil: Liquid,
    /// Speed on the motor side, rad/s.
    pub input_speed_rad_s: f64,
}

/// A stage behind the gearbox: a belt, a rotor gearbox, a tail drive.
#[derive(Clone, Debug)]
pub struct DriveStage {
    /// Its losses, where their heat goes, and its speed on the side of the motors.
    pub gear: Gear,
    /// What leaves through a branch, as a part of the power at the output shaft; none for a stage of the chain, which everything passes
    /// that leaves further down.
    pub branch: Option<f64>,
}

/// Cells that share one temperature.
#[derive(Clone, Debug)]
pub struct CellGroup {
    /// Temperature and receiver of the heat.
    pub node: Node,
    /// Cells in series in this group; groups may stand for parts of a cell row, so it need not be whole.
    pub series: f64,
}

/// Cells in series and parallel.
#[derive(Clone, Debug)]
pub struct PackCells {
    /// The cell.
    pub cell: Cell,
    /// Cells in series.
    pub series: f64,
    /// Strings in parallel.
    pub strings: f64,
    /// State of charge in a steady state and at the start, 0 to 1.
    pub state_of_charge: f64,
    /// Groups that share a temperature; together they hold all cells in series.
    pub groups: Vec<CellGroup>,
    /// Bus bars, contactors, fuses and main cables between the cells and the bus.
    pub conductors: Vec<Conductor>,
}

impl PackCells {
    /// Resistance of a group, ohm.
    #[inline]
    pub(super) fn resistance<S: Scalar>(&self, group: &CellGroup, temperature_k: S, charge: S) -> S {
        self.cell.resistance_at(temperature_k, charge) * (group.series / self.strings)
    }

    /// Open-circuit voltage, V.
    #[inline]
    pub(crate) fn open_circuit_v<S: Scalar>(&self, charge: S) -> S {
        self.cell.open_circuit_v(charge) * self.series
    }

    /// Charge that takes the pack from empty to full, A s.
    pub(super) fn capacity_as(&self) -> f64 {
        3600.0 * self.cell.data().capacity_ah * self.strings
    }
}

/// What feeds the bus.
#[derive(Clone, Debug)]
pub enum BusFeed {
    /// A supply that holds its voltage, such as a bench supply, V.
    Fixed(f64),
    /// A pack.
    Pack(Box<PackCells>),
}

impl BusFeed {
    pub(super) fn pack(&self) -> Option<&PackCells> {
        match self {
            Self::Fixed(_) => None,
            Self::Pack(pack) => Some(pack),
        }
    }
}

/// Where the loss of a charger on board goes.
#[derive(Clone, Copy, Debug)]
pub struct ChargerOnBoard {
    /// Place that takes the heat.
    pub node: Node,
    /// Power at the bus over power from the supply.
    pub efficiency: f64,
}

/// Description of the electric drive.
#[derive(Clone, Debug)]
pub struct ElectricSpec {
    /// Motors with inverters.
    pub drives: Vec<Drive>,
    /// Gearbox, unless direct drive.
    pub gear: Option<Gear>,
    /// Stages behind the gearbox in the order of the power. A branch leaves where it stands: behind the last stage of the chain before
    /// it.
    pub stages: Vec<DriveStage>,
    /// Power at the output shaft, behind the last stage of the chain, W.
    pub shaft_power_w: f64,
    /// Bus.
    pub feed: BusFeed,
    /// Other loads on the bus, W.
    pub other_load_w: f64,
    /// Converters that feed pumps, fans and other loads from the bus.
    pub converters: Vec<Converter>,
    /// Pumps that the shaft turns: their power is taken from it and not from the bus.
    pub shaft_machines: Vec<ElementId>,
    /// Charger on board, which warms its place while a charge runs.
    pub charger: Option<ChargerOnBoard>,
}
