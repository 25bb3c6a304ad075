//! On the ground: carts that cool, and turnarounds from landing to ready.

use super::study::PointSetting;
use schema::prelude::*;

pub use super::device::GroundConnection;

record! {
    /// A cart that cools a loop on the ground. Typical carts: 5 to 20 kW, 20 to 60 L/min at 10 to 20 degC (common practice, no source).
    pub struct Cart {
        /// Name.
        pub name: Name,
        /// Temperature of the coolant it supplies; keep it above the dew point of the air, or water condenses in the bay.
        pub supply: Input<Temperature>,
        /// Coolant flow, which it holds up to its greatest pressure rise.
        pub flow: Input<VolumeFlow> where positive,
        /// Greatest pressure rise.
        pub head: Input<PressureDifference> = "200 kPa" where positive,
        /// Most heat it removes.
        pub ceiling: Input<Power> where positive,
        /// Heat removed over power taken: 2 to 3 is common practice, no source.
        pub performance: Input<Ratio> = 2.5 where positive,
        /// Time to connect it. Common practice, no source.
        pub connect: Input<Time> = "1 min" where at_least_zero,
        /// Remark.
        pub note: Option<String>,
    }
}

record! {
    /// From landing to ready for take-off: ways of cooling and charging side by side.
    pub struct Turnaround {
        /// Name.
        pub name: Name,
        /// Mission that has just ended, without its soak.
        pub after: String where refers("mission"),
        /// Mission that is flown next, to see whether it still ends inside its limits; without it, the same mission again.
        pub next: Option<String> where refers("mission"),
        /// Conditions at which it is evaluated.
        pub conditions: List<String> where refers("condition"),
        /// Time from touchdown to the stand. Common practice, no source.
        pub taxi_in: Input<Time> = "3 min" where at_least_zero,
        /// Steady point flown while taxiing; without it, everything is switched off at touchdown.
        pub taxi: Option<String> where refers("point"),
        /// Time on the stand before anything is connected. Common practice, no source.
        pub stand: Input<Time> = "2 min" where at_least_zero,
        /// State of charge to depart with.
        pub charge_to: Input<Ratio> = 0.9 where fraction,
        /// Hottest cell to depart with; without it, any.
        pub depart_below: Option<Input<Temperature>>,
        /// Pumps and fans that run for cooling by the aircraft itself; those not named do not run.
        pub own: List<PointSetting>,
        /// Pumps and fans that run in addition to the cart; those not named do not run.
        pub beside_cart: List<PointSetting>,
        /// Other loads on the bus while standing.
        pub other_load: Input<Power> = "0 W" where at_least_zero,
        /// Ways to do it.
        pub options: List<TurnaroundOption> where not_empty,
        /// Outside air of the tables for the ground team.
        pub outside: List<Input<Temperature>>,
        /// Indicated pack temperatures of the tables for the ground team.
        pub pack: List<Input<Temperature>>,
        /// Longest time anything may take.
        pub longest: Input<Time> = "6 h" where positive at_most(2678400.0),
        /// Remark.
        pub note: Option<String>,
    }
}

choice! {
    /// What cools on the ground.
    pub enum GroundCooling {
        /// Nothing runs.
        Passive,
        /// Pumps and fans of the aircraft.
        Own,
        /// A cart at every ground connection.
        Cart,
        /// A cart at every ground connection, and pumps and fans of the aircraft.
        CartAndOwn,
    }
}

record! {
    /// One way from landing to ready.
    pub struct TurnaroundOption {
        /// Name.
        pub name: Name,
        /// What cools.
        pub cooling: GroundCooling = Passive,
        /// Cools to this cell temperature before the charge begins; without it, the charge begins as soon as its window allows.
        pub cool_to: Option<Input<Temperature>>,
        /// Whether cooling goes on during the charge.
        pub cool_while_charging: Flag = true,
        /// Another pack is put in instead.
        pub swap: Option<PackSwap>,
        /// Remark.
        pub note: Option<String>,
    }
}

record! {
    /// A pack that replaces the one flown.
    pub struct PackSwap {
        /// How long it takes. Five minutes for a practised team with quick locks, up to 15, is common practice, no source.
        pub time: Input<Time> = "5 min" where positive at_most(2678400.0),
        /// Temperature of its cells; without it, the outside air.
        pub temperature: Option<Input<Temperature>>,
        /// Its state of charge.
        pub state_of_charge: Input<Ratio> = 1 where fraction,
    }
}

record! {
    /// Flights and turnarounds one after the other from the state the one before left, again and again until the day repeats itself.
    pub struct Chain {
        /// Name.
        pub name: Name,
        /// What is done, in order.
        pub legs: List<Leg> where not_empty,
        /// How often the legs are done in a day.
        pub times: Count = 1 where at_least(1.0) at_most(1000.0),
        /// Time the aircraft stands after the last leg of a day with everything off; without it, one day follows immediately on
        /// the other.
        pub night: Option<Input<Time>> where positive at_most(2678400.0),
        /// The day repeats itself when no temperature at its beginning differs by more than this from the day before.
        pub tolerance: Input<TemperatureDifference> = "0.5 K" where positive,
        /// Most days flown.
        pub most: Count = 10 where at_least(1.0) at_most(1000.0),
        /// Remark.
        pub note: Option<String>,
    }
}

choice! {
    /// Part of a chain.
    pub enum Leg plain Fly {
        /// A mission; its start is the state before, its soak is left out.
        Fly(String),
        /// A turnaround by one of its options.
        Turn(LegTurn),
        /// Everything is switched off and stands.
        Stand(Input<Time>) where positive at_most(2678400.0),
    }
}

record! {
    /// A turnaround in a chain.
    pub struct LegTurn {
        /// Turnaround.
        pub turnaround: String where refers("turnaround"),
        /// Its option.
        pub option: String,
    }
}
