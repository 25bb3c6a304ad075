//! Missions: what the aircraft does over time, in segments.

use super::charging::Charge;
use super::cooling_test::CoolingTest;
use super::study::{PointHeat, PointSetting, Recirculation};
use schema::prelude::*;

pub use super::shaft_power::{PowerRamp, ShaftPower};

record! {
    /// What the aircraft does over time, flown at each condition it is put together with in `cases`.
    pub struct Mission {
        /// Name; no steady point may have the same.
        pub name: Name,
        /// Temperatures at the beginning.
        pub start: Start = OutsideAir,
        /// State of charge of the pack at the beginning.
        pub state_of_charge: Input<Ratio> = 1 where fraction,
        /// Share of the life of the cells that is used up, from 0 new to 1 end of life; without it, that of the pack.
        pub life_used: Option<Input<Ratio>> where fraction,
        /// Height at the beginning, above the pressure altitude of the condition.
        pub height: Input<Length> = "0 ft",
        /// Segments in order.
        pub segments: List<Segment>,
        /// Stage of a cooling test that is flown instead of segments.
        pub test: Option<CoolingTest>,
        /// Segments flown after a failure that names none of its own, until touchdown. Those that would take no time from there are
        /// left out.
        pub after_failure: List<Segment>,
        /// Soak after shutdown, which the cooling requirement covers (14 CFR 27.1041): no power, no pump, no fan, no airspeed.
        /// An hour is common practice, no source.
        pub soak: SoakAfter = "60 min" where positive at_most(2678400.0),
        /// Remark.
        pub note: Option<String>,
    }
}

choice! {
    /// Temperatures at the beginning of a mission. What is not named, coolant included, starts at the outside air.
    pub enum Start plain At {
        /// Everything at the outside air of the condition, rise over the ramp included.
        OutsideAir,
        /// Everything at one temperature.
        At(Input<Temperature>),
        /// Soaked at the outside air, parts warmed by the sun.
        Soaked(SoakedStart),
        /// Stated for each component.
        Stated(StatedStart),
        /// The steady state of the first instant, as a run-up that lasted long enough leaves it.
        Settled,
        /// The end of another mission at the same condition, its soak included.
        After(String),
    }
}

record! {
    /// Soaked at the outside air, parts warmed by the sun.
    pub struct SoakedStart {
        /// Rise of everything above the outside air.
        pub rise: Input<TemperatureDifference> = "0 K",
        /// Parts that are warmer still; a closed bay in the sun is commonly 15 K above the air (common practice, no source).
        pub warmer: List<WarmPart>,
    }
}

record! {
    /// A component above the outside air.
    pub struct WarmPart {
        /// Component.
        pub component: String where refers("component"),
        /// Rise above the outside air.
        pub rise: Input<TemperatureDifference> = "15 K",
    }
}

record! {
    /// Temperatures stated for each component.
    pub struct StatedStart {
        /// Components that differ from the rest.
        pub parts: List<StatedPart>,
        /// All others and the coolant; without it, the outside air.
        pub rest: Option<Input<Temperature>>,
    }
}

record! {
    /// A component at a stated temperature.
    pub struct StatedPart {
        /// Component.
        pub component: String where refers("component"),
        /// Temperature.
        pub temperature: Input<Temperature>,
    }
}

choice! {
    /// Soak after shutdown.
    pub enum SoakAfter plain For {
        /// How long.
        For(Input<Time>),
        /// Left out, and why: a turnaround follows, or the last segment is the soak.
        LeftOut(String),
    }
}

record! {
    /// A piece of a mission. What is not stated comes from `point`; without a point there is no power and no speed, and nothing
    /// differs from the base settings.
    pub struct Segment {
        /// Name.
        pub name: Name,
        /// How long; with `until`, the longest it may take.
        pub duration: Option<Input<Time>> where positive at_most(2678400.0),
        /// What ends the segment before its time is up.
        pub until: Option<Until>,
        /// Steady point whose power, speed, airspeed, heats and settings are flown; its state of charge is not used.
        pub point: Option<String> where refers("point"),
        /// Power at the output shaft: behind the gearbox, or at the rotor or propeller where stages follow it.
        pub shaft_power: Option<ShaftPower>,
        /// Speed of the output shaft: behind the gearbox, or of the rotor or propeller where stages follow it.
        pub shaft_speed: Option<ShaftSpeed>,
        /// True airspeed; without it, that of the point, else none on the ground and that of the condition in the air.
        pub airspeed: Option<Airspeed>,
        /// Height at the end, above the pressure altitude of the condition, reached at a constant rate; without it, level flight.
        pub height: Option<Input<Length>>,
        /// Rate of climb or descent, which gives the duration.
        pub climb_rate: Option<Input<Speed>> where positive,
        /// Converters and their loads are switched off, as after shutdown; the pumps and fans they feed must be at rest.
        pub converters_off: Flag = false,
        /// Other loads on the bus, instead of those of the point or the powertrain.
        pub other_load: Option<Input<Power>> where at_least_zero,
        /// Heats that differ in this segment, instead of those of the point.
        pub heats: List<PointHeat>,
        /// Pumps and fans that differ in this segment, instead of those of the point.
        pub settings: List<PointSetting>,
        /// Ducts that draw in more or less of their exhaust in this segment than the duct states, instead of those of the point.
        pub recirculations: List<Recirculation>,
        /// The pack is charged.
        pub charge: Option<Charge>,
        /// Ground connections whose cart is connected.
        pub carts: List<String>,
        /// Rating of the motors that is used; its time allowed is checked against the duration.
        pub rating: Option<String>,
        /// Whether the aircraft stands or rolls on the ground.
        pub ground: Flag = false,
        /// Remark.
        pub note: Option<String>,
    }
}

choice! {
    /// Speed of the output shaft over a segment.
    pub enum ShaftSpeed plain Fixed {
        /// The same throughout.
        Fixed(Input<RotationalSpeed>) where at_least_zero,
        /// Changes linearly from the value at the end of the segment before to this one.
        To(Input<RotationalSpeed>) where at_least_zero,
        /// Changes evenly.
        Ramp(ShaftSpeedRamp),
    }
}

record! {
    /// Speed of the shaft that changes evenly.
    pub struct ShaftSpeedRamp {
        /// At the beginning.
        pub from: Input<RotationalSpeed> where at_least_zero,
        /// At the end.
        pub to: Input<RotationalSpeed> where at_least_zero,
    }
}

choice! {
    /// True airspeed over a segment.
    pub enum Airspeed plain Fixed {
        /// The same throughout.
        Fixed(Input<Speed>) where at_least_zero,
        /// Changes linearly from the value at the end of the segment before to this one.
        To(Input<Speed>) where at_least_zero,
        /// Changes evenly.
        Ramp(AirspeedRamp),
    }
}

record! {
    /// Airspeed that changes evenly.
    pub struct AirspeedRamp {
        /// At the beginning.
        pub from: Input<Speed> where at_least_zero,
        /// At the end.
        pub to: Input<Speed> where at_least_zero,
    }
}

choice! {
    /// What ends a segment before its time is up.
    pub enum Until {
        /// Every cell of the pack is at or below this temperature.
        PackCooledTo(Input<Temperature>),
        /// A cell of the pack is at or above this temperature.
        PackWarmedTo(Input<Temperature>),
        /// Every part of a component is at or below a temperature.
        CooledTo(PartReaches),
        /// A part of a component is at or above a temperature.
        WarmedTo(PartReaches),
        /// The state of charge has risen to this.
        ChargedTo(Input<Ratio>) where fraction,
        /// The state of charge has fallen to this.
        DischargedTo(Input<Ratio>) where fraction,
        /// Every temperature is stabilised, and the last peak has passed.
        Stabilised(Stabilised),
    }
}

record! {
    /// A component at a temperature.
    pub struct PartReaches {
        /// Component.
        pub component: String where refers("component"),
        /// Temperature.
        pub temperature: Input<Temperature>,
    }
}

record! {
    /// When temperatures count as stabilised.
    pub struct Stabilised {
        /// Fastest change that still counts as stabilised: 2 degF in a minute (AC 27-1B; 25.1045, 29.1045 and following).
        pub rate: Input<TemperatureRate> = "2 degF/min" where positive,
        /// Over how long the change must stay below it: a peak has zero slope too. Common practice, no source.
        pub window: Input<Time> = "1 min" where positive,
        /// How long the segment runs on after the peak (29.1045 and following).
        pub run_on: Input<Time> = "5 min" where at_least_zero,
        /// State of charge at which the segment ends anyway: the energy of the flight is used up.
        pub charge_left: Input<Ratio> = 0 where fraction,
    }
}
