//! Failures, what is flown after them, and what warns of them.

use super::mission::Segment;
use schema::prelude::*;

record! {
    /// A failure, or several together under one name.
    pub struct Failure {
        /// Name.
        pub name: Name,
        /// What fails.
        pub what: Failed,
        /// Rating that is used after it, instead of that of the point: one motor out, for example.
        pub rating: Option<String> where refers("rating"),
        /// Segments flown after it until touchdown; without them, those that the mission names, or else the rest of the mission. Those
        /// that would take no time, such as a descent from the ground, are left out.
        pub after: List<Segment>,
        /// What it endangers at once, whatever the temperatures: the crew lands immediately.
        pub hazard: Option<Hazard>,
        /// Remark.
        pub note: Option<String>,
    }
}

choice! {
    /// What endangers those aboard at once.
    pub enum Hazard {
        /// Fire.
        Fire,
        /// Smoke or fumes.
        Smoke,
    }
}

choice! {
    /// What a failure does.
    pub enum Failed {
        /// A pump or fan stops.
        Stopped(String),
        /// A pump or fan turns at part of its speed.
        Slowed(Slowed),
        /// All pumps and fans of a supply stop.
        SupplyLost(String),
        /// A motor gives no power; the others take its share.
        MotorOut(String),
        /// One winding set of a motor is out; the other carries its current.
        WindingSetOut(String),
        /// Part of the air face of a core is blocked.
        CoreBlocked(CoreBlocked),
        /// Part of an inlet is shut: a door that sticks, a cover left on.
        InletBlocked(InletBlocked),
        /// A device of a loop or duct passes less: a clogged filter, a kinked hose.
        Clogged(Clogged),
        /// A thermostat or shutter stays at one opening.
        ThermostatStuck(ThermostatStuck),
        /// The sensor of a control reads wrong.
        SensorOff(SensorOff),
        /// The cap of a reservoir leaks: the loop is at ambient pressure and boils earlier, especially at altitude.
        CapOpen(String),
        /// A loop loses its liquid. Escaped coolant is toxic, its residue burns, and it may bridge high-voltage parts.
        Leak(Leak),
        /// Strings of the pack are out.
        StringsOut(Count) where at_least(1.0),
        /// Failures that are there at the same time: a double failure, or one with what it leads to. A leak among them has lost
        /// its share at once, also over time.
        Together(Together),
    }
}

record! {
    /// Failures that come together.
    pub struct Together {
        /// Single failures, two at least.
        pub failures: List<String> where refers("failure"),
    }
}

record! {
    /// A pump or fan at part of its speed.
    pub struct Slowed {
        /// Pump or fan.
        pub machine: String,
        /// Remaining share of the speed it would otherwise have.
        pub share: Input<Ratio> = 0.5 where fraction,
    }
}

record! {
    /// A blocked core.
    pub struct CoreBlocked {
        /// Core.
        pub core: String where refers("core"),
        /// Share of the face.
        pub share: Input<Ratio> = 0.25 where at_least_zero below(1.0),
    }
}

record! {
    /// A blocked inlet.
    pub struct InletBlocked {
        /// Inlet.
        pub inlet: String,
        /// Share of its area that is shut.
        pub share: Input<Ratio> = 0.5 where at_least_zero below(1.0),
    }
}

record! {
    /// A device that passes less.
    pub struct Clogged {
        /// Hose, filter, restrictor, screen, plate, jacket or surface.
        pub device: String,
        /// Its pressure loss over that of the clean device.
        pub factor: Input<Ratio> = 4 where at_least(1.0) at_most(1000000.0),
    }
}

record! {
    /// A stuck thermostat or shutter.
    pub struct ThermostatStuck {
        /// Thermostat or shutter.
        pub thermostat: String,
        /// Opening it stays at.
        pub opening: Input<Ratio> where fraction,
    }
}

record! {
    /// A sensor that reads wrong.
    pub struct SensorOff {
        /// Pump, fan, shutter or thermostat that it controls.
        pub controls: String,
        /// How much too high it reads, negative for too low; a drift of 10 K either way is common practice, no source.
        pub by: Input<TemperatureDifference>,
    }
}

record! {
    /// A loop that loses its liquid.
    pub struct Leak {
        /// Loop.
        pub circuit: String where refers("loop"),
        /// Time until it is empty: 10 to 60 s for a hose that is off (common practice, no source), longer for a slow leak.
        pub empties_in: Input<Time> = "30 s" where positive,
        /// Share that is lost in a steady case. Over time it grows from nothing to all.
        pub lost: Input<Ratio> = 1 where fraction,
    }
}

record! {
    /// Times that the pilot's actions take until touchdown. They vary by type, operator and terrain: no source gives them for all.
    pub struct LandingTimes {
        /// Land immediately: continuing may be fatal. Common practice, no source.
        pub at_once: Input<Time> = "2 min" where positive,
        /// Land as soon as possible: at the nearest site where a safe landing is reasonably assured. Common practice, no source.
        pub soon: Input<Time> = "10 min" where positive,
        /// Land as soon as practicable: site and duration are the pilot's choice. Common practice, no source.
        pub practicable: Input<Time> = "30 min" where positive,
    }
}

record! {
    /// A temperature sensor that the crew is warned by.
    pub struct Sensor {
        /// Name.
        pub name: Name,
        /// Component, or device whose outlet, it sits at.
        pub at: String,
        /// Time constant with which it follows. 5 to 20 s is common practice, no source.
        pub lag: Input<Time> = "10 s" where at_least_zero,
        /// Greatest error to either side. Common practice, no source.
        pub accuracy: Input<TemperatureDifference> = "2 K" where at_least_zero,
        /// How long a reading must last before it warns. 2 to 5 s is common practice, no source.
        pub persistence: Input<Time> = "3 s" where at_least_zero,
        /// How far a reading must fall back before the warning goes. 3 to 5 K is common practice, no source.
        pub hysteresis: Input<TemperatureDifference> = "4 K" where at_least_zero,
        /// Steps of the temperatures the crew is warned at.
        pub rounding: Input<TemperatureDifference> = "1 K" where positive,
        /// Remark.
        pub note: Option<String>,
    }
}
