//! Conditions: the air and the sun around the aircraft.

use schema::prelude::*;

/// How links name the surroundings.
pub const OUTSIDE_AIR: &str = "outside air";

record! {
    /// The surroundings of a case.
    pub struct Condition {
        /// Name.
        pub name: Name,
        /// Pressure altitude.
        pub pressure_altitude: Input<Length> = "0 ft",
        /// How air temperature follows from altitude.
        pub day: Day,
        /// Outside air above that of the day, the same at every altitude: another hot day than the law's, or a sweep over outside air.
        pub offset: Input<TemperatureDifference> = "0 K",
        /// True airspeed.
        pub airspeed: Input<Speed> = "0 kt" where at_least_zero,
        /// Air at the inlets above the reported temperature, such as 3 to 8 K over a sunlit ramp (common practice, no source). It holds whole
        /// on the ground and fades evenly to nothing 30 m above the field, and to nothing at 20 kt (assumed).
        pub ramp_rise: Input<TemperatureDifference> = "0 K" where at_least_zero,
        /// Relative humidity, for the dew point that a cart must stay above.
        pub humidity: Option<Input<Ratio>> where positive at_most(1.0),
        /// Sun on every component that states a sunlit area.
        pub sun: Input<HeatFlux> = "0 W/m2" where at_least_zero,
        /// Remark.
        pub note: Option<String>,
    }
}

choice! {
    /// How outside-air temperature follows from pressure altitude. Pressure is that of the standard atmosphere.
    pub enum Day {
        /// 1976 standard atmosphere.
        Standard,
        /// Standard atmosphere with a constant added.
        Offset(Input<TemperatureDifference>),
        /// One outside-air temperature.
        Fixed(Input<Temperature>),
        /// Hot day of 14 CFR 27.1043(b): 100 degF at sea level, 3.6 degF per 1000 ft, floor -69.7 degF.
        HotDay,
        /// Hot atmosphere of MIL-STD-210A (superseded, still quoted).
        Hot,
        /// Tropical atmosphere of MIL-STD-210A.
        Tropical,
        /// Cold atmosphere of MIL-STD-210A.
        Cold,
        /// Polar atmosphere of MIL-STD-210A.
        Polar,
    }
}
