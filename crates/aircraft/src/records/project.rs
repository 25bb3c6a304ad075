//! The whole project.

use super::component::{Component, Credibility, Heat, Link};
use super::core::{Core, Exchanger};
use super::craft::Craft;
use super::device::{Device, Duct, Loop, devices};
use super::failure::{LandingTimes, Sensor};
use super::ground::{Cart, Chain, GroundConnection, Turnaround};
use super::mission::Mission;
use super::one_motor_out::Demand;
use super::powertrain::Powertrain;
use super::relations::RelationFactors;
use super::sizing::{Sizing, Worth};
use super::study::{CaseGroup, Failure, Point, Supply, Variant};
use super::surroundings::Condition;
use schema::prelude::*;

pub use project::{FORMAT, VERSION};

record! {
    /// An aircraft's cooling, and what is asked of it.
    pub struct Project {
        /// Always "heatledger".
        pub format: String,
        /// Version of the file format: 1.
        pub version: Count,
        /// Name.
        pub name: Name,
        /// What this is; say here if the data are invented.
        pub note: Option<String>,
        /// Rules that hold for the whole project.
        pub policy: Policy = (),
        /// Surroundings.
        pub conditions: List<Condition>,
        /// User-made liquids.
        pub fluids: List<UserFluid>,
        /// Lumped temperatures.
        pub components: List<Component>,
        /// Heat paths outside the circuits.
        pub links: List<Link>,
        /// Heat sources that are not machines of the powertrain.
        pub heats: List<Heat>,
        /// Coolant and oil circuits.
        pub loops: List<Loop>,
        /// Radiators and oil coolers.
        pub cores: List<Core>,
        /// Liquid-to-liquid exchangers.
        pub exchangers: List<Exchanger>,
        /// Air paths.
        pub ducts: List<Duct>,
        /// Motors, inverters, gearbox, pack.
        pub powertrain: Option<Powertrain>,
        /// Carts that cool on the ground.
        pub carts: List<Cart>,
        /// Supplies of pumps and fans.
        pub supplies: List<Supply>,
        /// What is flown, for power that is estimated.
        pub craft: Option<Craft>,
        /// Steady operating points.
        pub points: List<Point>,
        /// What the aircraft does over time.
        pub missions: List<Mission>,
        /// From landing to ready for take-off.
        pub turnarounds: List<Turnaround>,
        /// Missions and turnarounds one after the other, day after day.
        pub chains: List<Chain>,
        /// Failures, single and together.
        pub failures: List<Failure>,
        /// Sensors that the crew is warned by.
        pub sensors: List<Sensor>,
        /// Cases to solve.
        pub cases: List<CaseGroup>,
        /// What mass and energy are worth, for the mass and power book.
        pub worth: Worth = (),
        /// What may be chosen when loops are sized.
        pub sizings: List<Sizing>,
        /// Variants of the design.
        pub variants: List<Variant>,
    }
}

choice! {
    /// What to do outside the range of a relation or property law.
    pub enum OutsideRange {
        /// Hold the value at the edge and flag the result.
        Hold,
        /// Refuse the result.
        Refuse,
    }
}

record! {
    /// Rules that hold for the whole project.
    pub struct Policy {
        /// Outside the range of a relation.
        pub outside_range: OutsideRange = Hold,
        /// What stands behind the predictions.
        pub credibility: Credibility = Uncorrelated,
        /// Margin asked of a prediction that was not compared with a test.
        pub uncorrelated: Input<TemperatureDifference> = "15 K" where at_least_zero,
        /// Margin asked of a correlated prediction.
        pub correlated: Input<TemperatureDifference> = "10 K" where at_least_zero,
        /// Margin asked of a corrected test result.
        pub tested: Input<TemperatureDifference> = "5 K" where at_least_zero,
        /// Margin asked of a minimum limit at the start of a mission, where the temperature is an input and no prediction. Later a minimum
        /// limit holds also where the coldest of the start and the air met since keeps this margin, because nothing becomes colder.
        pub start: Input<TemperatureDifference> = "0 K" where at_least_zero,
        /// Corrections of published relations, and how far each family may be off.
        pub relations: RelationFactors = (),
        /// Time that each action of the pilot takes until touchdown.
        pub landing: LandingTimes = (),
        /// What the certification basis asks the aircraft to do with one motor or one winding set out; without any, level flight at the
        /// mass of the craft in every condition of the cases. The basis decides, not this program.
        pub one_motor_out: List<Demand>,
    }
}

record! {
    /// A liquid from a table.
    pub struct UserFluid {
        /// Name.
        pub name: Name,
        /// Freezing or pour point.
        pub freezing: Option<Input<Temperature>>,
        /// Rows with rising temperature.
        pub rows: List<FluidRow>,
        /// Where the table comes from.
        pub source: Option<String>,
    }
}

record! {
    /// Properties at one temperature.
    pub struct FluidRow {
        /// Temperature.
        pub temperature: Input<Temperature>,
        /// Density.
        pub density: Input<Density> where positive,
        /// Specific heat.
        pub specific_heat: Input<SpecificHeat> where positive,
        /// Dynamic viscosity.
        pub viscosity: Input<DynamicViscosity> where positive,
        /// Thermal conductivity.
        pub conductivity: Input<ThermalConductivity> where positive,
    }
}

impl Project {
    /// Ground connections of all loops.
    pub fn ground_connections(&self) -> impl Iterator<Item = &GroundConnection> {
        self.loops.iter().flat_map(|circuit| devices(&circuit.path)).filter_map(|device| match device {
            Device::GroundConnection(connection) => Some(connection),
            _ => None,
        })
    }

    /// Cart of a ground connection.
    pub fn cart_of(&self, connection: &GroundConnection) -> Option<&Cart> {
        self.carts.iter().find(|cart| cart.name.as_str() == connection.cart)
    }
}
