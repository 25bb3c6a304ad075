//! Components, their limits, and the links between them.

use schema::prelude::*;

record! {
    /// A lumped temperature with heat capacity and limits: winding, baseplate, sump, cells, bay air.
    pub struct Component {
        /// Name.
        pub name: Name,
        /// Heat capacity of the whole component.
        pub capacity: Input<HeatCapacity> = "0 J/K" where at_least_zero,
        /// Number of equal parts along the coolant flow; each has its own temperature.
        pub segments: Count = 1 where at_least(1.0) at_most(1000.0),
        /// Limits.
        pub limits: List<Limit>,
        /// Hottest spot above the average, in proportion to the heat generated in the component.
        pub hot_spot: Option<HotSpot>,
        /// Surface in the sun.
        pub sunlit: Option<Sunlit>,
        /// What stands behind its predicted temperatures, instead of what the policy of the project says of all.
        pub credibility: Option<Credibility>,
        /// Remark.
        pub note: Option<String>,
    }
}

record! {
    /// Hottest spot above the average of a component.
    pub struct HotSpot {
        /// Rise of the hot spot for each watt generated in the component.
        pub per_heat: Input<ThermalResistance> where at_least_zero,
        /// Time constant with which the rise follows the heat over time; a steady state has no use for it.
        pub lag: Input<Time> = "0 s" where at_least_zero,
    }
}

record! {
    /// A surface in the sun.
    pub struct Sunlit {
        /// Area that faces the sun.
        pub area: Input<Area> where at_least_zero,
        /// Share of the sun that is absorbed.
        pub absorptance: Input<Ratio> where fraction,
    }
}

choice! {
    /// Side of a limit.
    pub enum Bound {
        /// The value must not be passed upwards.
        Maximum,
        /// The value must not be passed downwards.
        Minimum,
    }
}

choice! {
    /// What stands behind a predicted temperature, which sets the margin it must keep.
    #[derive(Copy, Eq)]
    pub enum Credibility {
        /// Not compared with a test.
        Uncorrelated,
        /// The model was correlated with tests.
        Correlated,
        /// A corrected test result.
        Tested,
    }
}

impl Credibility {
    /// Word used in files and tables.
    pub fn word(self) -> &'static str {
        match self {
            Self::Uncorrelated => "uncorrelated",
            Self::Correlated => "correlated",
            Self::Tested => "tested",
        }
    }
}

record! {
    /// A limit on a temperature.
    pub struct Limit {
        /// Name.
        pub name: Name = "continuous",
        /// Maximum or minimum.
        pub bound: Bound = Maximum,
        /// Value.
        pub value: Input<Temperature>,
        /// How long the value may be used; without it, always.
        pub duration: Option<Input<Time>> where positive,
        /// Rating it belongs to: it holds where a point or failure names that rating, instead of a limit of the same side that
        /// names none.
        pub rating: Option<String> where refers("rating"),
        /// Whether the hot spot is judged instead of the average.
        pub on_hot_spot: Flag = false,
        /// Margin to keep, instead of the one the policy of the project asks for.
        pub required: Option<Input<TemperatureDifference>> where at_least_zero,
        /// Document the limit is taken from.
        pub source: Option<String>,
        /// Who is responsible for the limit.
        pub owner: Option<String>,
    }
}

record! {
    /// Heat path between two components, or from a component to the outside air.
    pub struct Link {
        /// Name, if the report should call it something.
        pub name: Option<Name>,
        /// First end: a component.
        pub from: String where refers("component"),
        /// Second end: a component, or "outside air".
        pub to: String where refers("component"),
        /// How heat passes.
        pub law: LinkLaw,
    }
}

impl Link {
    /// What reports call it.
    pub fn called(&self) -> String {
        match &self.name {
            Some(name) => name.as_str().to_owned(),
            None => format!("{} to {}", self.from, self.to),
        }
    }
}

choice! {
    /// How heat passes along a link.
    pub enum LinkLaw {
        /// Known conductance.
        Conductance(Input<ThermalConductance>) where at_least_zero,
        /// A joint: area and contact coefficient.
        Contact(Contact),
        /// Natural convection in still air.
        StillAir(StillAir),
        /// Forced convection in moving air.
        MovingAir(MovingAir),
        /// Radiation to surroundings that enclose the surface.
        Radiation(Radiation),
        /// Across the air gap between rotor (from) and stator (to).
        AirGap(AirGap),
        /// Cylinder that turns in free air.
        TurningCylinder(TurningCylinder),
        /// Air exchanged with the surroundings of a space.
        Vent(Vent),
    }
}

record! {
    /// A joint between two parts.
    pub struct Contact {
        /// Area of the joint.
        pub area: Input<Area> where positive,
        /// Contact coefficient.
        pub coefficient: Input<HeatTransferCoefficient> where positive,
    }
}

choice! {
    /// Shape of a surface in still air.
    pub enum StillShape {
        /// Vertical plate; the size is its height.
        VerticalPlate,
        /// Horizontal cylinder; the size is its diameter.
        HorizontalCylinder,
    }
}

record! {
    /// Natural convection.
    pub struct StillAir {
        /// Shape.
        pub shape: StillShape,
        /// Height or diameter.
        pub size: Input<Length> where positive,
        /// Area.
        pub area: Input<Area> where positive,
    }
}

choice! {
    /// Shape of a surface in moving air.
    pub enum WashedShape {
        /// Flat plate along the flow; the size is its length.
        FlatPlate,
        /// Cylinder across the flow; the size is its diameter.
        Cylinder,
    }
}

record! {
    /// Forced convection.
    pub struct MovingAir {
        /// Shape.
        pub shape: WashedShape,
        /// Length or diameter.
        pub size: Input<Length> where positive,
        /// Area.
        pub area: Input<Area> where positive,
        /// Speed of the air; without it, the airspeed of the condition times `share`.
        pub speed: Option<Input<Speed>> where at_least_zero,
        /// Share of the airspeed that reaches the surface.
        pub share: Input<Ratio> = 1.0 where at_least_zero,
    }
}

record! {
    /// Radiation.
    pub struct Radiation {
        /// Emissivity.
        pub emissivity: Input<Ratio> where fraction,
        /// Area.
        pub area: Input<Area> where positive,
    }
}

record! {
    /// Air gap of a machine.
    pub struct AirGap {
        /// Motor whose speed turns the rotor.
        pub motor: String where refers("motor"),
        /// Rotor radius.
        pub radius: Input<Length> where positive,
        /// Gap width.
        pub gap: Input<Length> where positive,
        /// Rotor length.
        pub length: Input<Length> where positive,
    }
}

record! {
    /// Cylinder that turns in free air.
    pub struct TurningCylinder {
        /// Motor whose speed turns it.
        pub motor: String where refers("motor"),
        /// Radius.
        pub radius: Input<Length> where positive,
        /// Length.
        pub length: Input<Length> where positive,
    }
}

record! {
    /// Ventilation of a space.
    pub struct Vent {
        /// Air mass flow.
        pub flow: Input<MassFlow> where at_least_zero,
        /// Air mass flow while the shaft stands still and there is no airspeed, as in the soak after shutdown; without it, `flow`.
        pub at_rest: Option<Input<MassFlow>> where at_least_zero,
    }
}

record! {
    /// Heat generated in a component.
    pub struct Heat {
        /// Name.
        pub name: Name,
        /// Component that is heated.
        pub into: String where refers("component"),
        /// Law of the heat.
        pub law: HeatLaw,
    }
}

choice! {
    /// Law of a heat source.
    pub enum HeatLaw {
        /// Known heat.
        Fixed(Input<Power>) where at_least_zero,
        /// Heat that grows with the temperature of its component, as copper loss does at constant current.
        Growing(Growing),
    }
}

record! {
    /// Heat that grows with temperature.
    pub struct Growing {
        /// Heat at the reference temperature.
        pub heat: Input<Power> where at_least_zero,
        /// Relative growth; copper 0.393 %/K at 20 degC.
        pub slope: Input<PerTemperature> = "0.393 %/K" where at_least(-0.1) at_most(0.1),
        /// Reference temperature.
        pub reference: Input<Temperature> = "20 degC",
    }
}
