//! The flying craft, for shaft power that is estimated instead of given.

use schema::prelude::*;

choice! {
    /// What is flown. Estimated power is for sizing only: where a power was measured in flight, give it to the segment instead.
    pub enum Craft {
        /// A rotorcraft with one main rotor and a tail rotor.
        Rotorcraft(Rotorcraft),
        /// An aeroplane with a propeller.
        Aeroplane(Aeroplane),
    }
}

record! {
    /// A rotorcraft: momentum theory. Estimated power is that of the main mast and of the tail-rotor shaft together, without gears and
    /// accessories: stages of the powertrain add their losses to it. Where a branch of them drives the tail rotor, set `tail_rotor_hover`
    /// and `tail_rotor_cruise` to 0: estimated power is then that of the main mast, and the branch adds the tail rotor.
    pub struct Rotorcraft {
        /// Take-off mass.
        pub mass: Input<Mass> where positive,
        /// Radius of the main rotor.
        pub radius: Input<Length> where positive,
        /// Tip speed of the main rotor.
        pub tip_speed: Input<Speed> where positive,
        /// What a hover costs beyond ideal induced power.
        pub hover: HoverLoss,
        /// Actual over ideal induced power in forward flight; 1.15 from memory (Leishman; Johnson).
        pub induced_factor: Input<Ratio> = 1.15 where at_least(1.0),
        /// Drag over dynamic pressure of the airframe; 0.5 to 1.2 m2 for a light helicopter, from memory.
        pub drag_area: Input<Area> = "0.8 m2" where at_least_zero,
        /// Down-load of the wake on the airframe in hover over the weight; 0 where the figure of merit holds it already.
        pub down_load: Input<Ratio> = 0 where fraction,
        /// Tail-rotor power in hover over main-rotor power; 0.05 to 0.10 is common practice, no source.
        pub tail_rotor_hover: Input<Ratio> = 0.08 where fraction,
        /// The same at speed, where a fin carries the side force. Common practice, no source.
        pub tail_rotor_cruise: Input<Ratio> = 0.03 where fraction,
        /// Least power at the rotors in a descent.
        pub least_power: Input<Power> = "0 W" where at_least_zero,
        /// Height of the rotor disc above the ground when the aircraft stands on it, for hover in ground effect.
        pub disc_height: Input<Length> = "3 m" where positive,
    }
}

choice! {
    /// What a hover costs beyond ideal induced power.
    pub enum HoverLoss plain FigureOfMerit {
        /// Ideal over actual power of the hover: 0.65 to 0.75 for light helicopters, from memory (Leishman).
        FigureOfMerit(Input<Ratio>) where positive at_most(1.0),
        /// From the blades.
        Blades(Blades),
        /// A measured figure of merit for the hover, blades for forward flight.
        Measured(MeasuredHover),
    }
}

record! {
    /// Blades of a rotor.
    pub struct Blades {
        /// Blade over disc area.
        pub solidity: Input<Ratio> where positive at_most(1.0),
        /// Mean profile drag coefficient; 0.010 to 0.012 from memory.
        pub drag_coefficient: Input<Ratio> = 0.011 where positive,
    }
}

record! {
    /// A measured hover.
    pub struct MeasuredHover {
        /// Ideal over actual power of the hover.
        pub figure_of_merit: Input<Ratio> where positive at_most(1.0),
        /// Blade over disc area.
        pub solidity: Input<Ratio> where positive at_most(1.0),
        /// Mean profile drag coefficient.
        pub drag_coefficient: Input<Ratio> = 0.011 where positive,
    }
}

record! {
    /// An aeroplane: drag polar and propeller, power at the propeller flange, unaccelerated flight.
    pub struct Aeroplane {
        /// Take-off mass.
        pub mass: Input<Mass> where positive,
        /// Wing area.
        pub area: Input<Area> where positive,
        /// Greatest lift coefficient.
        pub lift_max: Input<Ratio> = 1.5 where positive,
        /// Drag of the clean aeroplane.
        pub drag: WingDrag,
        /// Propeller.
        pub propeller: Propeller,
    }
}

choice! {
    /// Drag of the clean aeroplane.
    pub enum WingDrag {
        /// Parabolic polar.
        Polar(Polar),
        /// Lift over drag in level flight.
        Glide(Glide),
    }
}

record! {
    /// Parabolic polar.
    pub struct Polar {
        /// Drag coefficient without lift.
        pub zero_lift: Input<Ratio> where positive,
        /// Oswald factor; 0.7 to 0.85 for light aeroplanes, from memory.
        pub oswald: Input<Ratio> = 0.8 where positive at_most(1.0),
        /// Span.
        pub span: Input<Length> where positive,
    }
}

record! {
    /// Lift over drag measured in level flight.
    pub struct Glide {
        /// Lift over drag at true airspeeds.
        pub points: Curve<Speed, Ratio> where positive,
        /// Mass of the measurement.
        pub mass: Input<Mass> where positive,
        /// Air density of the measurement.
        pub density: Input<Density> = "1.225 kg/m3" where positive,
    }
}

choice! {
    /// How a propeller turns shaft power into thrust.
    pub enum Propeller plain Fixed {
        /// One efficiency: 0.75 to 0.88 in cruise, 0.55 to 0.75 in a slow climb (from memory). Not for the take-off run.
        Fixed(Input<Ratio>) where positive at_most(1.0),
        /// Actuator disc with losses, from rest to cruise.
        Disc(PropellerDisc),
    }
}

record! {
    /// Propeller as an actuator disc.
    pub struct PropellerDisc {
        /// Diameter.
        pub diameter: Input<Length> where positive,
        /// How many there are.
        pub count: Count = 1 where at_least(1.0) at_most(100.0),
        /// Static figure of merit; 0.6 to 0.75 from memory.
        pub static_merit: Input<Ratio> = 0.65 where positive at_most(1.0),
        /// Efficiency in cruise over that of the ideal disc. Common practice, no source.
        pub cruise_factor: Input<Ratio> = 0.88 where positive at_most(1.0),
    }
}

record! {
    /// Power at the rotor or propeller by the craft record: hover, climb, level flight or descent follow from airspeed and change of height.
    pub struct EstimatedPower {
        /// Mass in this segment, instead of that of the craft.
        pub mass: Option<Input<Mass>> where positive,
        /// Rotorcraft: near the ground, where the hover takes less power.
        pub near_ground: Flag = false,
        /// Aeroplane: glider in tow.
        pub tow: Option<TowedGlider>,
        /// Aeroplane: drag area beyond that of the clean aeroplane: gear, flaps, cooling air.
        pub extra_drag: Input<Area> = "0 m2" where at_least_zero,
        /// Power over the estimate, to meet a measured one.
        pub factor: Input<Ratio> = 1 where positive,
    }
}

record! {
    /// A glider in tow.
    pub struct TowedGlider {
        /// Mass.
        pub mass: Input<Mass> where positive,
        /// Its lift over drag at the airspeed of the tow, which lies well above its best.
        pub glide_ratio: Input<Ratio> where positive,
    }
}
