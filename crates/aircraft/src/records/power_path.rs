//! Between the pack and those who use its power: bus bars, contactors, cables, converters.

use schema::prelude::*;

record! {
    /// A conductor that carries the whole current of the pack: bus bar, contactor, fuse, main cable.
    pub struct Conductor {
        /// Name.
        pub name: Name,
        /// Component that takes its heat, and whose temperature it has.
        pub into: String where refers("component"),
        /// Resistance, both ways together.
        pub resistance: ConductorResistance where at_least_zero,
        /// Greatest current of a contactor or fuse. It bounds the power that is there after a failure.
        pub rating: Option<Input<Current>> where positive,
    }
}

choice! {
    /// Resistance of a conductor.
    pub enum ConductorResistance plain Fixed {
        /// The same at every temperature.
        Fixed(Input<Resistance>),
        /// Measured at a temperature, with its growth.
        Measured(MeasuredConductor),
        /// Length, cross-section and metal.
        Dimensions(ConductorDimensions),
    }
}

record! {
    /// A measured resistance and its growth with temperature.
    pub struct MeasuredConductor {
        /// Resistance.
        pub resistance: Input<Resistance> where at_least_zero,
        /// Temperature of the measurement.
        pub at: Input<Temperature> = "20 degC",
        /// Relative growth, referred to 20 degC; about zero for a contact.
        pub growth: Input<PerTemperature> = "0.393 %/K" where at_least_zero,
    }
}

choice! {
    /// Metal of a conductor.
    pub enum Metal {
        /// Annealed copper.
        Copper,
        /// Conductor aluminium.
        Aluminium,
    }
}

record! {
    /// A bar or cable by its dimensions (IEC 60228: resistivity of the metal at 20 degC and its growth).
    pub struct ConductorDimensions {
        /// Length, both ways together.
        pub length: Input<Length> where positive,
        /// Cross-section of the metal.
        pub area: Input<Area> where positive,
        /// Metal.
        pub metal: Metal = Copper,
        /// Resistance of joints, lugs and contacts in addition, the same at every temperature.
        pub joints: Input<Resistance> = "0 mOhm" where at_least_zero,
    }
}

record! {
    /// A converter from the bus to a low-voltage side, such as 28 V for pumps, fans and avionics.
    pub struct Converter {
        /// Name.
        pub name: Name,
        /// Component that takes its heat.
        pub into: String where refers("component"),
        /// Supplies it feeds: what their pumps and fans draw is part of its output.
        pub supplies: List<String> where refers("supply"),
        /// Other loads on its output: avionics, lights, contactor coils. Their own heat is not booked; add a heat source for it.
        pub load: Input<Power> = "0 W" where at_least_zero,
        /// Losses.
        pub losses: ConverterLosses,
        /// Greatest output it may give always.
        pub rating: Option<Input<Power>> where positive,
    }
}

choice! {
    /// Losses of a converter.
    pub enum ConverterLosses {
        /// One value at every output.
        Fixed(Input<Power>) where at_least_zero,
        /// One efficiency, and what it takes at no load.
        Efficiency(ConverterEfficiency),
        /// Measured loss over output power.
        Table(Curve<Power, Power>) where at_least_zero over_zero_up,
    }
}

record! {
    /// Efficiency of a converter and its consumption at no load.
    pub struct ConverterEfficiency {
        /// Output over input power, without the consumption at no load.
        pub efficiency: Input<Ratio> where positive at_most(1.0),
        /// Consumption at no load.
        pub standing: Input<Power> = "0 W" where at_least_zero,
    }
}
