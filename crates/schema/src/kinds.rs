//! One marker type for each physical kind, for [`super::Input`].

use units::Kind;

use super::input::InputKind;

macro_rules! markers {
    ($($name:ident,)*) => {
        $(
            #[doc = concat!("The kind `", stringify!($name), "` as a type.")]
            #[derive(Debug, Clone, Copy, PartialEq, Eq)]
            pub struct $name;

            impl InputKind for $name {
                const KIND: Kind = Kind::$name;
            }
        )*

        /// The kinds that have a marker type.
        pub const MARKED: &[Kind] = &[$(Kind::$name,)*];
    };
}

markers! {
    Ratio,
    Temperature,
    TemperatureDifference,
    AbsolutePressure,
    GaugePressure,
    PressureDifference,
    Length,
    Area,
    Volume,
    Mass,
    Time,
    Angle,
    Speed,
    RotationalSpeed,
    VolumeFlow,
    MassFlow,
    MassFlux,
    Power,
    Energy,
    Torque,
    Force,
    HeatCapacity,
    SpecificHeat,
    SpecificEnergy,
    SpecificPower,
    MassPerPower,
    Density,
    DynamicViscosity,
    KinematicViscosity,
    ThermalConductivity,
    ThermalConductance,
    HeatTransferCoefficient,
    ThermalResistance,
    AreaThermalResistance,
    HeatFlux,
    VolumetricHeating,
    Voltage,
    Current,
    CurrentDensity,
    Resistance,
    ResistancePerLength,
    Resistivity,
    ElectricalConductivity,
    Charge,
    ChargeRate,
    Inductance,
    Capacitance,
    MagneticFlux,
    EntropicCoefficient,
    PerTemperature,
    TemperatureGradient,
    TemperatureRate,
    Frequency,
    MomentOfInertia,
    TorqueConstant,
    VoltageConstant,
    SpeedConstant,
    Displacement,
    MassPerLength,
    MassPerArea,
    PerLength,
    PressureGradient,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_a_marker() {
        for kind in Kind::ALL {
            assert!(MARKED.contains(kind), "{} has no marker type", kind.name());
        }
    }
}
