//! Steady points, cases and variants.

use super::charging::Charge;
use super::craft::EstimatedPower;
pub use super::failure::{CoreBlocked, Failed, Failure, ThermostatStuck};
use schema::Change;
use schema::prelude::*;

record! {
    /// A steady operating point.
    pub struct Point {
        /// Name.
        pub name: Name,
        /// Power at the output shaft: behind the gearbox, or at the rotor or propeller where stages follow it.
        pub shaft_power: PointPower = "0 W",
        /// Rate of climb, negative in a descent, that an estimated power counts with.
        pub climb_rate: Input<Speed> = "0 m/s" where at_least(-100.0) at_most(100.0),
        /// Speed of the output shaft: behind the gearbox, or of the rotor or propeller where stages follow it.
        pub shaft_speed: Input<RotationalSpeed> = "0 rpm" where at_least_zero,
        /// State of charge of the pack.
        pub state_of_charge: Input<Ratio> = 0.5 where fraction,
        /// Rating of the motors that is used, with the temperature limits that belong to it. Without it the point must be
        /// sustainable: only a rating without a time limit covers it.
        pub rating: Option<String> where refers("rating"),
        /// Airspeed, instead of the one of the condition.
        pub airspeed: Option<Input<Speed>> where at_least_zero,
        /// Height above the field: the rise of the air over the ramp fades to nothing at 30 m.
        pub above_ground: Input<Length> = "0 m" where at_least_zero,
        /// Whether the aircraft stands or rolls on the ground: then the rise over the ramp holds whatever the airspeed.
        pub ground: Flag = false,
        /// Ducts that draw in more or less of their exhaust here than the duct states: near the ground in a hover, or with the wind from behind
        /// at idle.
        pub recirculations: List<Recirculation>,
        /// Share of the life of the cells that is used up, from 0 new to 1 end of life; without it, that of the pack.
        pub life_used: Option<Input<Ratio>> where fraction,
        /// The pack is charged.
        pub charge: Option<Charge>,
        /// Ground connections whose cart is connected.
        pub carts: List<String>,
        /// Converters and their loads are switched off, as after shutdown; the pumps and fans they feed must be at rest.
        pub converters_off: Flag = false,
        /// Other loads on the bus, instead of those of the powertrain.
        pub other_load: Option<Input<Power>> where at_least_zero,
        /// Heats that differ at this point.
        pub heats: List<PointHeat>,
        /// Settings that differ at this point: pumps, fans and shutters.
        pub settings: List<PointSetting>,
        /// Remark.
        pub note: Option<String>,
    }
}

choice! {
    /// Power at the output shaft at a steady point.
    pub enum PointPower plain Fixed {
        /// Stated.
        Fixed(Input<Power>) where at_least_zero,
        /// Follows from the craft record, the airspeed, the rate of climb and the air of the condition: hover without airspeed, level
        /// flight or climb with it.
        Estimated(EstimatedPower),
    }
}

impl PointPower {
    /// Whether it asks for any power.
    pub fn is_asked(&self) -> bool {
        match self {
            Self::Fixed(power) => power.si() > 0.0,
            Self::Estimated(_) => true,
        }
    }
}

record! {
    /// A heat source at a point.
    pub struct PointHeat {
        /// Heat source.
        pub name: Name,
        /// Heat at this point.
        pub heat: Input<Power> where at_least_zero,
    }
}

record! {
    /// Exhaust that a duct draws in again at a point or in a segment.
    pub struct Recirculation {
        /// Duct.
        pub name: Name,
        /// Share of the exhaust that is drawn in again.
        pub share: Input<Ratio> where at_least_zero below(1.0),
    }
}

record! {
    /// A pump, fan or shutter at a point.
    pub struct PointSetting {
        /// Pump, fan or shutter.
        pub name: Name,
        /// Speed over the speed of its curve; opening of a shutter.
        pub speed: Input<Ratio> where at_least_zero at_most(10.0),
    }
}

record! {
    /// An electrical bus or controller that feeds pumps and fans.
    pub struct Supply {
        /// Name.
        pub name: Name,
        /// Remark.
        pub note: Option<String>,
    }
}

record! {
    /// Cases: every condition with every point and every mission, without failure and with each failure named.
    pub struct CaseGroup {
        /// Name, so that a variant finds the group wherever it stands: `cases.after a failure.failures`.
        pub name: Option<Name>,
        /// Conditions.
        pub conditions: List<String> where refers("condition"),
        /// Points.
        pub points: List<String> where refers("point"),
        /// Missions.
        pub missions: List<String> where refers("mission"),
        /// Failures flown in addition to the case without failure.
        pub failures: List<String> where refers("failure"),
    }
}

record! {
    /// Named changes to the base design.
    pub struct Variant {
        /// Name.
        pub name: Name,
        /// What it is for.
        pub note: Option<String>,
        /// Changes in order.
        pub changes: List<Change>,
    }
}
