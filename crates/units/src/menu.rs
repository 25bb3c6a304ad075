//! Units offered for each kind, and the ones shown by default.

use crate::atoms::Role;
use crate::expression;
use crate::kind::Kind;
use std::fmt::Write as _;
use std::sync::LazyLock;

/// Units that values are shown in when nothing else was typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// Metric units of the trade: degC, kPa, L/min, kW, mm.
    Si,
    /// United States customary units: degF, psi, gpm, hp, ft.
    Us,
}

/// A unit of a menu.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitName {
    /// Canonical spelling.
    pub name: &'static str,
    /// Other spellings of the same unit; compounds may use the spellings of their parts.
    pub others: Vec<String>,
    /// Size of one unit in the SI unit of the kind.
    pub factor: f64,
    /// Zero of a temperature scale, in its own degrees above absolute zero; 0 for everything else.
    pub offset: f64,
}

/// Canonical spellings for a kind, the most usual metric one first.
pub(crate) const fn names(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Ratio => &["%", "ppm"],
        Kind::Temperature => &["degC", "K", "degF", "degR"],
        Kind::TemperatureDifference => &["K", "degF", "degC", "degR"],
        Kind::AbsolutePressure => &["kPa", "bara", "Pa", "hPa", "bar", "kPaa", "psia", "inHg", "atm", "mmHg"],
        Kind::GaugePressure => &["kPag", "barg", "psig", "Pag"],
        Kind::PressureDifference => &["kPa", "Pa", "bar", "mbar", "psi", "psid", "inH2O", "mmH2O", "inHg"],
        Kind::Length => &["mm", "m", "cm", "um", "km", "ft", "in", "mil", "kft", "nmi", "FL"],
        Kind::Area => &["m2", "cm2", "mm2", "ft2", "in2"],
        Kind::Volume => &["L", "m3", "mL", "cm3", "gal", "qt", "ft3", "in3", "impgal"],
        Kind::Mass => &["kg", "g", "lb", "oz", "t"],
        Kind::Time => &["s", "min", "h", "ms"],
        Kind::Angle => &["deg", "rad"],
        Kind::Speed => &["m/s", "kt", "km/h", "mph", "fpm", "ft/s"],
        Kind::RotationalSpeed => &["rpm", "rad/s", "rev/s"],
        Kind::VolumeFlow => &["L/min", "m3/s", "L/s", "m3/h", "gpm", "cfm", "gph"],
        Kind::MassFlow => &["kg/s", "g/s", "kg/h", "lb/h", "lb/min", "lb/s"],
        Kind::MassFlux => &["kg/(m2 s)", "lb/(ft2 s)"],
        Kind::Power => &["kW", "W", "hp", "BTU/h", "MW"],
        Kind::Energy => &["kWh", "kJ", "J", "mJ", "MJ", "Wh", "BTU"],
        Kind::Torque => &["N m", "kN m", "ft lbf", "in lbf"],
        Kind::Force => &["N", "kN", "lbf"],
        Kind::HeatCapacity => &["kJ/K", "J/K", "BTU/degF"],
        Kind::SpecificHeat => &["J/(kg K)", "kJ/(kg K)", "BTU/(lb degF)"],
        Kind::SpecificEnergy => &["Wh/kg", "J/kg", "kJ/kg", "BTU/lb"],
        Kind::SpecificPower => &["W/kg", "kW/kg"],
        Kind::MassPerPower => &["kg/kW", "kg/W", "lb/hp"],
        Kind::Density => &["kg/m3", "g/cm3", "kg/L", "lb/ft3", "lb/gal"],
        Kind::DynamicViscosity => &["mPa s", "Pa s", "cP"],
        Kind::KinematicViscosity => &["mm2/s", "m2/s", "cSt"],
        Kind::ThermalConductivity => &["W/(m K)", "BTU/(h ft degF)"],
        Kind::ThermalConductance => &["W/K", "kW/K", "BTU/(h degF)"],
        Kind::HeatTransferCoefficient => &["W/(m2 K)", "kW/(m2 K)", "BTU/(h ft2 degF)"],
        Kind::ThermalResistance => &["K/W", "K/kW", "degF h/BTU"],
        Kind::AreaThermalResistance => &["m2 K/W", "h ft2 degF/BTU"],
        Kind::HeatFlux => &["W/m2", "kW/m2", "W/cm2", "BTU/(h ft2)"],
        Kind::VolumetricHeating => &["W/m3", "kW/m3", "W/L"],
        Kind::Voltage => &["V", "mV", "kV"],
        Kind::Current => &["A", "mA", "kA"],
        Kind::CurrentDensity => &["A/mm2", "A/m2"],
        Kind::Resistance => &["mOhm", "Ohm", "uOhm", "kOhm", "MOhm"],
        Kind::ResistancePerLength => &["mOhm/m", "Ohm/m", "Ohm/kft"],
        Kind::Resistivity => &["Ohm m", "uOhm cm"],
        Kind::ElectricalConductivity => &["S/m", "uS/cm", "mS/cm"],
        Kind::Charge => &["Ah", "mAh", "A s"],
        Kind::ChargeRate => &["C"],
        Kind::Inductance => &["mH", "uH", "H"],
        Kind::Capacitance => &["uF", "mF", "F"],
        Kind::MagneticFlux => &["mWb", "Wb"],
        Kind::EntropicCoefficient => &["mV/K", "uV/K", "V/K"],
        Kind::PerTemperature => &["%/K", "1/K", "%/degF", "ppm/K"],
        Kind::TemperatureGradient => &["K/m", "K/km", "degF/kft", "degC/km"],
        Kind::TemperatureRate => &["K/min", "K/s", "degF/min", "degC/min"],
        Kind::Frequency => &["Hz", "kHz", "MHz"],
        Kind::MomentOfInertia => &["kg m2", "g m2", "lb ft2"],
        Kind::TorqueConstant => &["N m/A", "in lbf/A"],
        Kind::VoltageConstant => &["V s/rad", "V/rpm", "V/krpm"],
        Kind::SpeedConstant => &["rpm/V", "rad/(s V)"],
        Kind::Displacement => &["cm3/rev", "m3/rad", "L/rev", "in3/rev"],
        Kind::MassPerLength => &["kg/m", "g/m", "lb/ft"],
        Kind::MassPerArea => &["kg/m2", "g/m2", "lb/ft2"],
        Kind::PerLength => &["fpi", "1/m", "1/cm", "1/in"],
        Kind::PressureGradient => &["kPa/m", "Pa/m", "psi/ft", "inH2O/ft"],
    }
}

/// The unit a kind is shown in when nothing else was typed; empty for a ratio.
pub const fn preferred_unit(kind: Kind, system: System) -> &'static str {
    if matches!(kind, Kind::Ratio) {
        return "";
    }
    if matches!(system, System::Si) {
        return names(kind)[0];
    }
    match kind {
        Kind::Temperature | Kind::TemperatureDifference => "degF",
        Kind::AbsolutePressure => "psia",
        Kind::GaugePressure => "psig",
        Kind::PressureDifference => "psi",
        Kind::Length => "ft",
        Kind::Area => "ft2",
        Kind::Volume => "gal",
        Kind::Mass => "lb",
        Kind::Speed => "kt",
        Kind::VolumeFlow => "gpm",
        Kind::MassFlow => "lb/h",
        Kind::Power => "hp",
        Kind::Energy => "BTU",
        Kind::Torque => "ft lbf",
        Kind::Force => "lbf",
        Kind::HeatCapacity => "BTU/degF",
        Kind::SpecificHeat => "BTU/(lb degF)",
        Kind::Density => "lb/ft3",
        Kind::ThermalConductivity => "BTU/(h ft degF)",
        Kind::ThermalConductance => "BTU/(h degF)",
        Kind::HeatTransferCoefficient => "BTU/(h ft2 degF)",
        Kind::TemperatureGradient => "degF/kft",
        Kind::TemperatureRate => "degF/min",
        _ => names(kind)[0],
    }
}

/// Units of a kind, for menus and documentation. Other units of the same dimension are read too.
pub fn units_of(kind: Kind) -> &'static [UnitName] {
    static MENUS: LazyLock<Vec<Vec<UnitName>>> =
        LazyLock::new(|| Kind::ALL.iter().map(|&kind| menu(kind)).collect());
    &MENUS[kind as usize] // `Kind::ALL` is in the order of the variants (tested)
}

fn menu(kind: Kind) -> Vec<UnitName> {
    names(kind)
        .iter()
        .filter_map(|&name| {
            let unit = expression::read(name).ok()?;
            let others = unit.single().filter(|named| named.prefix == 0).map_or_else(Vec::new, |named| {
                named.atom.spellings.iter().filter(|s| **s != name).map(|s| (*s).to_owned()).collect()
            });
            let offset = match (kind, unit.single().map(|named| named.atom.role)) {
                (Kind::Temperature, Some(Role::Scale(hundredths))) => f64::from(hundredths) / 100.0,
                _ => 0.0,
            };
            Some(UnitName { name, others, factor: unit.size.value(), offset })
        })
        .collect()
}

/// Every kind with its units, factors and spellings as a Markdown page.
pub fn reference_table() -> String {
    let mut page = String::from(
        "# Units\n\nGenerated from the unit tables; factors follow NIST Special Publication 811 (2008) and the exact \
         definitions it rests on.\nA quantity is a number and a unit, such as `12 L/min`; the unit typed is the unit kept. \
         Prefixes n, u, m, c, d, h, k, M, G are read where\nthey are usual. `²`, `^2`, `·`, `*`, `°`, `Ω`, `µ` and \
         `per` spellings are read as their plain forms.\n",
    );
    for &kind in Kind::ALL {
        let si = if kind.si_unit().is_empty() { "1" } else { kind.si_unit() };
        let _infallible =
            write!(page, "\n## {}\n\n| unit | in {si} | also written |\n| --- | --- | --- |\n", kind.name());
        for unit in units_of(kind) {
            let size = if unit.offset == 0.0 {
                format!("{}", unit.factor)
            } else {
                format!("(value + {}) x {}", unit.offset, unit.factor)
            };
            let _infallible = writeln!(page, "| {} | {size} | {} |", unit.name, unit.others.join(", "));
        }
    }
    page
}
