//! Sizes of the units that people type.

use super::record::{Allowed, Cited, Origin, Record};
use units::{Kind, Quantity};

pub(crate) fn record() -> Record {
    let mut record = Record::new("Units");
    factors(&mut record);
    temperatures(&mut record);
    record
}

fn si(text: &str, kind: Kind) -> f64 {
    Quantity::parse(text, kind).unwrap_or_else(|error| panic!("{text}: {error}")).si()
}

fn factors(record: &mut Record) {
    let cited = Cited {
        source: "NIST SP 811 (2008), appendix B, with the digits printed there",
        what: "Length, speed, mass, power, flow, pressure, torque",
        origin: Origin::Outside,
    };
    for (text, kind, printed) in [
        ("1 ft", Kind::Length, 0.3048),
        ("1 in", Kind::Length, 0.0254),
        ("1 kt", Kind::Speed, 0.514_444_4),
        ("1 fpm", Kind::Speed, 0.005_08),
        ("1 lb", Kind::Mass, 0.453_592_4),
        ("1 lb/h", Kind::MassFlow, 1.259_979e-4),
        ("1 hp", Kind::Power, 745.6999),
        ("1 BTU/h", Kind::Power, 0.293_071_1),
        ("1 gpm", Kind::VolumeFlow, 6.309_020e-5),
        ("1 cfm", Kind::VolumeFlow, 4.719_474e-4),
        ("1 psi", Kind::PressureDifference, 6894.757),
        ("1 inH2O", Kind::PressureDifference, 249.0889),
        ("1 inHg", Kind::PressureDifference, 3386.389),
        ("1 ft-lbf", Kind::Torque, 1.355_818),
    ] {
        record.value(&cited, si(text, kind), printed, Allowed::Part(5e-7));
    }
}

fn temperatures(record: &mut Record) {
    let points = Cited {
        source: "NIST SP 811 (2008), appendix B: T/K = (t/degF + 459.67)/1.8",
        what: "Fahrenheit and Celsius points and differences",
        origin: Origin::Outside,
    };
    for (text, kelvin) in [
        ("32 degF", 273.15),
        ("212 degF", 373.15),
        ("-40 degF", 233.15),
        ("-40 degC", 233.15),
        ("0 degC", 273.15),
        ("-459.67 degF", 0.0),
    ] {
        record.value(&points, si(text, Kind::Temperature), kelvin, Allowed::Within(1e-9, "K"));
    }
    // a difference has no offset
    for (text, kelvin) in [("18 degF", 10.0), ("10 degC", 10.0), ("1.8 degF", 1.0)] {
        record.value(&points, si(text, Kind::TemperatureDifference), kelvin, Allowed::Within(1e-9, "K"));
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn units_agree() {
        assert_eq!(super::record().lines().len(), 2);
    }
}
