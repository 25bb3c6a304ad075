//! Sizes against the conversion factors of NIST Special Publication 811 (2008), Appendix B.8.
//!
//! The digits are those printed there, written down from memory and compared with a second, independent table: the
//! unit library pint 0.25 (international table BTU), whole column; the columns of water, which it takes at 4 degC, with
//! 1000 kg/m3 and standard gravity instead. Tolerance: half a unit in the last printed digit.

use units::{Kind, Quantity};

/// Text, kind, printed SI value (seven digits).
const PRINTED: &[(&str, Kind, f64)] = &[
    // pressure
    ("1 psi", Kind::PressureDifference, 6.894757e3),
    ("1 psf", Kind::PressureDifference, 4.788026e1),
    ("1 inHg", Kind::PressureDifference, 3.386389e3),
    ("1 mmHg", Kind::PressureDifference, 1.333224e2),
    ("1 inH2O", Kind::PressureDifference, 2.490889e2),
    ("1 ftH2O", Kind::PressureDifference, 2.989067e3),
    ("1 mmH2O", Kind::PressureDifference, 9.806650e0),
    ("1 atm", Kind::AbsolutePressure, 1.013250e5),
    ("1 torr", Kind::AbsolutePressure, 1.333224e2),
    // length, area, volume
    ("1 mil", Kind::Length, 2.540000e-5),
    ("1 mi", Kind::Length, 1.609344e3),
    ("1 in2", Kind::Area, 6.451600e-4),
    ("1 ft2", Kind::Area, 9.290304e-2),
    ("1 in3", Kind::Volume, 1.638706e-5),
    ("1 ft3", Kind::Volume, 2.831685e-2),
    ("1 gal", Kind::Volume, 3.785412e-3),
    ("1 qt", Kind::Volume, 9.463529e-4),
    ("1 impgal", Kind::Volume, 4.546090e-3),
    // mass, force, torque
    ("1 lb", Kind::Mass, 4.535924e-1),
    ("1 oz", Kind::Mass, 2.834952e-2),
    ("1 lbf", Kind::Force, 4.448222e0),
    ("1 ft lbf", Kind::Torque, 1.355818e0),
    ("1 in lbf", Kind::Torque, 1.129848e-1),
    ("1 ozf in", Kind::Torque, 7.061552e-3),
    ("1 lb ft2", Kind::MomentOfInertia, 4.214011e-2),
    // speed and flow
    ("1 kt", Kind::Speed, 5.144444e-1),
    ("1 mph", Kind::Speed, 4.470400e-1),
    ("1 fpm", Kind::Speed, 5.080000e-3),
    ("1 rpm", Kind::RotationalSpeed, 1.047198e-1),
    ("1 deg", Kind::Angle, 1.745329e-2),
    ("1 gpm", Kind::VolumeFlow, 6.309020e-5),
    ("1 cfm", Kind::VolumeFlow, 4.719474e-4),
    ("1 lb/h", Kind::MassFlow, 1.259979e-4),
    ("1 lb/min", Kind::MassFlow, 7.559873e-3),
    // power and energy
    ("1 hp", Kind::Power, 7.456999e2),
    ("1 PS", Kind::Power, 7.354988e2),
    ("1 BTU/h", Kind::Power, 2.930711e-1),
    ("1 BTU", Kind::Energy, 1.055056e3),
    ("1 kWh", Kind::Energy, 3.600000e6),
    // heat
    ("1 BTU/(h ft degF)", Kind::ThermalConductivity, 1.730735e0),
    ("1 BTU in/(h ft2 degF)", Kind::ThermalConductivity, 1.442279e-1),
    ("1 BTU/(h ft2 degF)", Kind::HeatTransferCoefficient, 5.678263e0),
    ("1 BTU/(lb degF)", Kind::SpecificHeat, 4.186800e3),
    ("1 BTU/lb", Kind::SpecificEnergy, 2.326000e3),
    ("1 BTU/degF", Kind::HeatCapacity, 1.899101e3),
    ("1 BTU/(h ft2)", Kind::HeatFlux, 3.154591e0),
    ("1 h degF/BTU", Kind::ThermalResistance, 1.895634e0),
    ("1 h ft2 degF/BTU", Kind::AreaThermalResistance, 1.761102e-1),
    // density and viscosity
    ("1 lb/ft3", Kind::Density, 1.601846e1),
    ("1 lb/gal", Kind::Density, 1.198264e2),
    ("1 cP", Kind::DynamicViscosity, 1.000000e-3),
    ("1 lb/(ft h)", Kind::DynamicViscosity, 4.133789e-4),
    ("1 lb/(ft s)", Kind::DynamicViscosity, 1.488164e0),
    ("1 cSt", Kind::KinematicViscosity, 1.000000e-6),
    ("1 ft2/s", Kind::KinematicViscosity, 9.290304e-2),
    // electricity
    ("1 Ah", Kind::Charge, 3.600000e3),
];

#[test]
fn sizes_agree_with_the_printed_digits() {
    for (text, kind, printed) in PRINTED {
        let si = Quantity::parse(text, *kind).map(|quantity| quantity.si());
        let Ok(si) = si else { panic!("{text}: {si:?}") };
        let last_digit = 1e-6 * 10_f64.powf(printed.log10().floor());
        assert!((si - printed).abs() <= 0.501 * last_digit, "{text}: {si:e}, printed {printed:e}");
    }
}
