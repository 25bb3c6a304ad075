//! Stages of cooling tests, ready to fly: a mission that names one needs no segments.
//!
//! The rules are paraphrased and parts of them are from memory: read the text that is in force before a test is planned by it.

use super::shaft_power::ShaftPower;
use schema::prelude::*;

choice! {
    /// A stage of a cooling test. Let the condition be the hot day, and the mass the greatest.
    pub enum CoolingTest {
        /// Hover until stabilised, then climb at take-off power for its time, then continuous power until 5 min past the peak
        /// (14 CFR 27.1045, 29.1047).
        HoverThenClimb(HoverThenClimb),
        /// Hover in still air until 5 min past the peak (14 CFR 29.1049(a)); for (b), the same at the altitude without rate of climb.
        Hover(HoverTest),
        /// Climb with one engine out at the 30-min rating for 30 min, then continuous power until 5 min past the peak (14 CFR 29.1045).
        /// The engine that is out is the failure of the case.
        ClimbOneOut(ClimbOneOut),
        /// Stabilise at 75 % of continuous power or more, climb at take-off power for 1 min, then continuous power until 5 min past the
        /// peak (CS 22.1047).
        PoweredSailplane(PoweredSailplane),
    }
}

record! {
    /// Hover until stabilised, then climb at take-off power.
    pub struct HoverThenClimb {
        /// Power of the hover; near the ground by the rule, away from it is usually hotter.
        pub hover: ShaftPower,
        /// Take-off power.
        pub take_off: ShaftPower,
        /// Power that follows; without it, the stage ends with take-off power.
        pub continuous: Option<ShaftPower>,
        /// Speed of the output shaft, which is that of the rotor or propeller where stages follow the gearbox.
        pub shaft_speed: Input<RotationalSpeed> where positive,
        /// How long take-off power may be used.
        pub take_off_time: Input<Time> = "5 min" where positive,
        /// Airspeed of the climb.
        pub airspeed: Input<Speed> where at_least_zero,
        /// Rate of climb at take-off power.
        pub climb_rate: Input<Speed> where at_least_zero,
        /// Steady point whose heats and settings are flown.
        pub point: Option<String> where refers("point"),
        /// Longest time a part that ends when stabilised may take.
        pub longest: Input<Time> = "2 h" where positive at_most(2678400.0),
    }
}

record! {
    /// Hover until 5 min past the peak.
    pub struct HoverTest {
        /// Power of the hover, not above continuous power.
        pub hover: ShaftPower,
        /// Speed of the output shaft, which is that of the rotor or propeller where stages follow the gearbox.
        pub shaft_speed: Input<RotationalSpeed> where positive,
        /// Steady point whose heats and settings are flown.
        pub point: Option<String> where refers("point"),
        /// Longest time it may take.
        pub longest: Input<Time> = "2 h" where positive at_most(2678400.0),
    }
}

record! {
    /// Climb with one engine out.
    pub struct ClimbOneOut {
        /// Power of the flight before, in which temperatures stabilise.
        pub entry: ShaftPower,
        /// Power of the climb at the 30-min rating.
        pub climb: ShaftPower,
        /// Power that follows.
        pub continuous: ShaftPower,
        /// Speed of the output shaft, which is that of the rotor or propeller where stages follow the gearbox.
        pub shaft_speed: Input<RotationalSpeed> where positive,
        /// Airspeed.
        pub airspeed: Input<Speed> where at_least_zero,
        /// Rate of climb at the 30-min rating.
        pub climb_rate: Input<Speed> where at_least_zero,
        /// How long the rating may be used.
        pub climb_time: Input<Time> = "30 min" where positive,
        /// Steady point whose heats and settings are flown.
        pub point: Option<String> where refers("point"),
        /// Longest time a part that ends when stabilised may take.
        pub longest: Input<Time> = "2 h" where positive at_most(2678400.0),
    }
}

record! {
    /// Climb of a powered sailplane.
    pub struct PoweredSailplane {
        /// Power until stabilised, at least 75 % of continuous power.
        pub entry: ShaftPower,
        /// Take-off power.
        pub take_off: ShaftPower,
        /// Continuous power.
        pub continuous: ShaftPower,
        /// Speed of the output shaft, which is that of the rotor or propeller where stages follow the gearbox.
        pub shaft_speed: Input<RotationalSpeed> where positive,
        /// Airspeed of the climb.
        pub airspeed: Input<Speed> where at_least_zero,
        /// Rate of climb at take-off power.
        pub climb_rate: Input<Speed> where at_least_zero,
        /// Steady point whose heats and settings are flown.
        pub point: Option<String> where refers("point"),
        /// Longest time a part that ends when stabilised may take.
        pub longest: Input<Time> = "2 h" where positive at_most(2678400.0),
    }
}
