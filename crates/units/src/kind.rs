//! The physical kinds a field of the project may have.

use crate::dimension::Dimension;

macro_rules! kinds {
    ($($(#[$doc:meta])* $variant:ident, $name:literal, $si:literal, [$($power:literal),*];)*) => {
        /// The physical kind of a quantity. Kinds of one dimension stay apart where mixing them up is a known slip:
        /// temperature and temperature difference, absolute and gauge pressure, torque and energy.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Kind { $($(#[$doc])* $variant,)* }

        impl Kind {
            /// Every kind, in the order of the reference table.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// Plain name in lower case: "volume flow".
            pub const fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)* }
            }

            /// The SI unit in which [`crate::Quantity::si`] is given: "m3/s". Empty for a ratio.
            pub const fn si_unit(self) -> &'static str {
                match self { $(Self::$variant => $si,)* }
            }

            pub(crate) const fn dimension(self) -> Dimension {
                match self { $(Self::$variant => Dimension::new([$($power),*]),)* }
            }
        }
    };
}

kinds! {
    // powers of                                                            [kg, m, s, K, A, rad]
    /// A number without a dimension; bare numbers and percent are both accepted.
    Ratio, "ratio", "", [0, 0, 0, 0, 0, 0];
    /// A temperature on a scale with a zero: "65 degC" is 338.15 K.
    Temperature, "temperature", "K", [0, 0, 0, 1, 0, 0];
    /// A rise, margin or error of temperature: "18 degF" is 10 K, no offset.
    TemperatureDifference, "temperature difference", "K", [0, 0, 0, 1, 0, 0];
    /// Pressure above vacuum.
    AbsolutePressure, "absolute pressure", "Pa", [1, -1, -2, 0, 0, 0];
    /// Pressure above the local ambient; the unit must say so ("15 psig").
    GaugePressure, "gauge pressure", "Pag", [1, -1, -2, 0, 0, 0];
    /// Pressure drop, rise or dynamic pressure.
    PressureDifference, "pressure difference", "Pa", [1, -1, -2, 0, 0, 0];
    /// Length, diameter, roughness, altitude.
    Length, "length", "m", [0, 1, 0, 0, 0, 0];
    /// Area.
    Area, "area", "m2", [0, 2, 0, 0, 0, 0];
    /// Volume.
    Volume, "volume", "m3", [0, 3, 0, 0, 0, 0];
    /// Mass.
    Mass, "mass", "kg", [1, 0, 0, 0, 0, 0];
    /// Duration.
    Time, "time", "s", [0, 0, 1, 0, 0, 0];
    /// Plane angle.
    Angle, "angle", "rad", [0, 0, 0, 0, 0, 1];
    /// Speed, rate of climb.
    Speed, "speed", "m/s", [0, 1, -1, 0, 0, 0];
    /// Speed of rotation.
    RotationalSpeed, "rotational speed", "rad/s", [0, 0, -1, 0, 0, 1];
    /// Volume per time.
    VolumeFlow, "volume flow", "m3/s", [0, 3, -1, 0, 0, 0];
    /// Mass per time.
    MassFlow, "mass flow", "kg/s", [1, 0, -1, 0, 0, 0];
    /// Mass flow per area.
    MassFlux, "mass flux", "kg/(m2 s)", [1, -2, -1, 0, 0, 0];
    /// Power, heat flow, loss.
    Power, "power", "W", [1, 2, -3, 0, 0, 0];
    /// Energy, heat.
    Energy, "energy", "J", [1, 2, -2, 0, 0, 0];
    /// Torque.
    Torque, "torque", "N m", [1, 2, -2, 0, 0, 0];
    /// Force.
    Force, "force", "N", [1, 1, -2, 0, 0, 0];
    /// Heat capacity of a thing.
    HeatCapacity, "heat capacity", "J/K", [1, 2, -2, -1, 0, 0];
    /// Heat capacity per mass.
    SpecificHeat, "specific heat", "J/(kg K)", [0, 2, -2, -1, 0, 0];
    /// Energy per mass.
    SpecificEnergy, "specific energy", "J/kg", [0, 2, -2, 0, 0, 0];
    /// Power per mass.
    SpecificPower, "specific power", "W/kg", [0, 2, -3, 0, 0, 0];
    /// Mass per power.
    MassPerPower, "mass per power", "kg/W", [0, -2, 3, 0, 0, 0];
    /// Mass per volume.
    Density, "density", "kg/m3", [1, -3, 0, 0, 0, 0];
    /// Dynamic viscosity.
    DynamicViscosity, "dynamic viscosity", "Pa s", [1, -1, -1, 0, 0, 0];
    /// Kinematic viscosity.
    KinematicViscosity, "kinematic viscosity", "m2/s", [0, 2, -1, 0, 0, 0];
    /// Thermal conductivity; also conductance per length.
    ThermalConductivity, "thermal conductivity", "W/(m K)", [1, 1, -3, -1, 0, 0];
    /// Thermal conductance of a link, UA of an exchanger.
    ThermalConductance, "thermal conductance", "W/K", [1, 2, -3, -1, 0, 0];
    /// Heat transfer coefficient, conductance per area.
    HeatTransferCoefficient, "heat transfer coefficient", "W/(m2 K)", [1, 0, -3, -1, 0, 0];
    /// Thermal resistance.
    ThermalResistance, "thermal resistance", "K/W", [-1, -2, 3, 1, 0, 0];
    /// Thermal resistance of a unit area: contact, fouling.
    AreaThermalResistance, "area thermal resistance", "m2 K/W", [-1, 0, 3, 1, 0, 0];
    /// Heat flow per area, irradiance, loss per area.
    HeatFlux, "heat flux", "W/m2", [1, 0, -3, 0, 0, 0];
    /// Heat released per volume.
    VolumetricHeating, "volumetric heating", "W/m3", [1, -1, -3, 0, 0, 0];
    /// Voltage.
    Voltage, "voltage", "V", [1, 2, -3, 0, -1, 0];
    /// Electric current.
    Current, "current", "A", [0, 0, 0, 0, 1, 0];
    /// Current per conductor area.
    CurrentDensity, "current density", "A/m2", [0, -2, 0, 0, 1, 0];
    /// Electric resistance.
    Resistance, "resistance", "Ohm", [1, 2, -3, 0, -2, 0];
    /// Electric resistance per length of cable.
    ResistancePerLength, "resistance per length", "Ohm/m", [1, 1, -3, 0, -2, 0];
    /// Electric resistivity of a material.
    Resistivity, "resistivity", "Ohm m", [1, 3, -3, 0, -2, 0];
    /// Electric conductivity of a coolant or a material.
    ElectricalConductivity, "electrical conductivity", "S/m", [-1, -3, 3, 0, 2, 0];
    /// Electric charge, cell capacity. A bare "C" is refused: it is also the charge rate.
    Charge, "charge", "A s", [0, 0, 1, 0, 1, 0];
    /// Current as a multiple of the capacity per hour ("2 C" empties a cell in half an hour).
    ChargeRate, "charge rate", "1/s", [0, 0, -1, 0, 0, 0];
    /// Inductance.
    Inductance, "inductance", "H", [1, 2, -2, 0, -2, 0];
    /// Capacitance.
    Capacitance, "capacitance", "F", [-1, -2, 4, 0, 2, 0];
    /// Magnetic flux, flux linkage.
    MagneticFlux, "magnetic flux", "Wb", [1, 2, -2, 0, -1, 0];
    /// Slope of a cell's open-circuit voltage with temperature.
    EntropicCoefficient, "entropic coefficient", "V/K", [1, 2, -3, -1, -1, 0];
    /// Relative change per temperature.
    PerTemperature, "change per temperature", "1/K", [0, 0, 0, -1, 0, 0];
    /// Temperature change per height or length: a lapse rate.
    TemperatureGradient, "temperature gradient", "K/m", [0, -1, 0, 1, 0, 0];
    /// Temperature change per time.
    TemperatureRate, "temperature rate", "K/s", [0, 0, -1, 1, 0, 0];
    /// Frequency.
    Frequency, "frequency", "Hz", [0, 0, -1, 0, 0, 0];
    /// Moment of inertia.
    MomentOfInertia, "moment of inertia", "kg m2", [1, 2, 0, 0, 0, 0];
    /// Torque per current of a machine.
    TorqueConstant, "torque constant", "N m/A", [1, 2, -2, 0, -1, 0];
    /// Voltage per rotational speed of a machine.
    VoltageConstant, "voltage constant", "V s/rad", [1, 2, -2, 0, -1, -1];
    /// Rotational speed per voltage of a machine.
    SpeedConstant, "speed constant", "rad/(s V)", [-1, -2, 2, 0, 1, 1];
    /// Volume per revolution of a displacement pump.
    Displacement, "displacement", "m3/rad", [0, 3, 0, 0, 0, -1];
    /// Mass per length.
    MassPerLength, "mass per length", "kg/m", [1, -1, 0, 0, 0, 0];
    /// Mass per area.
    MassPerArea, "mass per area", "kg/m2", [1, -2, 0, 0, 0, 0];
    /// Count per length: fin density.
    PerLength, "count per length", "1/m", [0, -1, 0, 0, 0, 0];
    /// Pressure drop per length.
    PressureGradient, "pressure gradient", "Pa/m", [1, -2, -2, 0, 0, 0];
}

impl Kind {
    /// Name with its article: "a volume flow", "an energy".
    pub(crate) fn with_article(self) -> String {
        let name = self.name();
        let article = if name.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
        format!("{article} {name}")
    }
}

impl std::fmt::Display for Kind {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_is_in_the_order_of_the_variants() {
        for (index, kind) in Kind::ALL.iter().enumerate() {
            assert_eq!(*kind as usize, index, "{kind:?}");
        }
    }
}
