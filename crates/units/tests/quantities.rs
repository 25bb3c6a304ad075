//! Reading and writing of quantities.
#![expect(clippy::unwrap_used, reason = "a helper of a test may fail like the test itself")]

use proptest::prelude::*;
use units::{Kind, Quantity, UnitError, to_unit, units_of};

fn si(text: &str, kind: Kind) -> f64 {
    Quantity::parse(text, kind).unwrap().si()
}

fn told(text: &str, kind: Kind) -> String {
    Quantity::parse(text, kind).unwrap_err().to_string()
}

/// Advice that is followed must not change the size: no prefix dropped or guessed, no digits taken for a unit.
#[test]
fn advice_never_changes_the_size() {
    for (text, kind, remedy) in [
        ("3 mw", Kind::Power, "write 3 mW or 3 MW"),
        ("3 MOHM", Kind::Resistance, "write 3 mOhm or 3 MOhm"),
        ("5 MG", Kind::Mass, "write 5 kg, 5 g or 5 lb"),
        ("3 pW", Kind::Power, "write 3 kW, 3 W or 3 hp"),
        ("100 KIAS", Kind::Speed, "write 100 kt"),
        ("5 nm", Kind::Length, "write 5 nmi for nautical miles; nanometres are written in um"),
        ("1 000 m", Kind::Length, "write the digits without spaces, then one unit"),
        ("1_000 m", Kind::Length, "write the digits without separators"),
        (
            "1,000 m",
            Kind::Length,
            "write the digits without separators and a point for decimals, as in 1000 m",
        ),
        ("1,5 m", Kind::Length, "write 1.5 m with a point"),
        ("10-20 L/min", Kind::VolumeFlow, "write one number, not a range"),
        ("1/2 in", Kind::Length, "write a decimal number, not a fraction"),
        ("12 ± 1 K", Kind::Temperature, "write one number, and the tolerance in a field of its own"),
        ("-5 kPa", Kind::AbsolutePressure, "write the pressure above vacuum"),
        (
            "10 inH2O",
            Kind::AbsolutePressure,
            "write the pressure above vacuum, as in 90 kPa, 90 bara or 90 Pa",
        ),
        ("30 lb/in2", Kind::PressureDifference, "write 30 lbf/in2, 30 kPa, 30 Pa or 30 bar"),
        ("0.2 mV/C", Kind::EntropicCoefficient, "write 0.2 mV/degC"),
    ] {
        let words = told(text, kind);
        assert!(words.ends_with(&format!(": {remedy}")), "{text}: {words}");
    }
}

#[test]
fn signs_flight_levels_and_torques_are_read_as_typed() {
    for (text, kind, expected) in [
        ("\u{2212}40 degC", Kind::Temperature, 233.15),
        ("-459.670 degF", Kind::Temperature, 0.0),
        ("fl 100", Kind::Length, 3048.0),
        // practice.md section 11: 1 ft-lb is 1.355818 N m; digits from 0.3048 x 0.45359237 x 9.80665
        ("1 ft-lb", Kind::Torque, 1.3558179483314004),
        ("1 lb ft", Kind::Torque, 1.3558179483314004),
    ] {
        assert_eq!(si(text, kind), expected, "{text}");
    }
    assert!(Quantity::parse("1 ft lbm", Kind::Torque).is_err(), "a pound mass is no force");
}

#[test]
fn shown_values_have_no_dust() {
    assert_eq!(units::format_si(-1e-9, Kind::TemperatureDifference, "K", 1), "0.0 K");
    assert_eq!(units::format_si(2438.4, Kind::Length, "FL", 0), "FL80");
    assert_eq!(units::format_si(0.5, Kind::Ratio, "kW", 1), "0.5");
    assert_eq!(Quantity::from_si(273.15, Kind::Temperature, "degC").unwrap().text(), "0 degC");
    let power = Quantity::parse("12 W", Kind::Power).unwrap();
    assert!(Quantity::try_from_si_like(f64::NAN, &power).is_err(), "NaN is no power");
}

/// Exact definitions: NIST SP 811 (2008), appendix B.8, and the definitions it rests on.
#[test]
fn the_units_of_the_trade_have_their_exact_size() {
    for (text, kind, expected) in [
        ("12 L/min", Kind::VolumeFlow, 0.0002),
        ("1 gpm", Kind::VolumeFlow, 3.785411784e-3 / 60.0),
        ("1 cfm", Kind::VolumeFlow, 0.3048 * 0.3048 * 0.3048 / 60.0),
        ("65 degC", Kind::Temperature, 338.15),
        ("-40 degF", Kind::Temperature, 233.15),
        ("100 degF", Kind::Temperature, 310.92777777777775),
        ("10 K", Kind::TemperatureDifference, 10.0),
        ("18 degF", Kind::TemperatureDifference, 10.0),
        ("1.8 mOhm", Kind::Resistance, 0.0018),
        ("150 psia", Kind::AbsolutePressure, 150.0 * 6894.757293168361),
        ("15 psig", Kind::GaugePressure, 103421.35939752542),
        ("1 psi", Kind::PressureDifference, 6894.757293168361),
        ("1 inH2O", Kind::PressureDifference, 249.08891),
        ("29.92 inHg", Kind::AbsolutePressure, 29.92 * 3386.388640341),
        ("3.6 degF/kft", Kind::TemperatureGradient, 2.0 / 304.8),
        ("2 degF/min", Kind::TemperatureRate, 2.0 / 1.8 / 60.0),
        ("1 kt", Kind::Speed, 1852.0 / 3600.0),
        ("100 fpm", Kind::Speed, 0.508),
        ("8000 ft", Kind::Length, 2438.4),
        ("FL80", Kind::Length, 2438.4),
        ("1 lb/h", Kind::MassFlow, 0.45359237 / 3600.0),
        ("1 BTU/h", Kind::Power, 1055.05585262 / 3600.0),
        ("1 hp", Kind::Power, 745.6998715822702),
        ("6000 rpm", Kind::RotationalSpeed, 200.0 * std::f64::consts::PI),
        ("1 ft-lbf", Kind::Torque, 1.3558179483314004),
        ("0.2 mV/K", Kind::EntropicCoefficient, 0.0002),
        ("90 %", Kind::Ratio, 0.9),
        ("0.9", Kind::Ratio, 0.9),
        ("5 Ah", Kind::Charge, 18000.0),
        ("100 uS/cm", Kind::ElectricalConductivity, 0.01),
        ("0.393 %/K", Kind::PerTemperature, 0.00393),
        ("180 W/(m K)", Kind::ThermalConductivity, 180.0),
        ("12 W/m²K", Kind::HeatTransferCoefficient, 12.0),
    ] {
        let found = si(text, kind);
        assert!(
            // the expected value is itself rounded a few times
            (found - expected).abs() <= 4.0 * f64::EPSILON * expected.abs(),
            "{text}: {found} {expected}"
        );
    }
}

#[test]
fn the_text_is_kept_and_cold_fahrenheit_comes_back_clean() {
    let cold = Quantity::parse("-40 degF", Kind::Temperature).unwrap();
    assert_eq!(cold.text(), "-40 degF");
    assert_eq!(Quantity::from_si(cold.si(), Kind::Temperature, "degF").unwrap().text(), "-40 degF");
    let flow = Quantity::parse("12 l/min", Kind::VolumeFlow).unwrap();
    assert_eq!(Quantity::from_si_like(0.0003, &flow).text(), "18 l/min");
}

#[test]
fn every_mistake_says_what_to_write() {
    for (text, kind, expected) in [
        ("12 K", Kind::Temperature, None),
        (
            "12 L",
            Kind::VolumeFlow,
            Some("\"12 L\" is a volume, a volume flow is expected: write 12 L/min, 12 m3/s or 12 L/s"),
        ),
        (
            "12 l/mn",
            Kind::VolumeFlow,
            Some("\"l/mn\" is not a known unit, a volume flow is expected: write 12 L/min"),
        ),
        ("12", Kind::Power, Some("\"12\" has no unit, a power is expected: write 12 kW, 12 W or 12 hp")),
        ("1,5 kW", Kind::Power, Some("\"1,5 kW\" has a comma: write 1.5 kW with a point")),
        ("NaN kW", Kind::Power, Some("\"NaN kW\" is not a finite number: write 12 kW, 12 W or 12 hp")),
        ("warm", Kind::Power, Some("\"warm\" does not begin with a number: write 12 kW, 12 W or 12 hp")),
        ("65 degC", Kind::TemperatureDifference, None),
        (
            "15 psi",
            Kind::AbsolutePressure,
            Some("\"15 psi\" may be gauge or absolute: write 15 psia for absolute, 15 psig for gauge"),
        ),
        (
            "15 psi",
            Kind::GaugePressure,
            Some(
                "\"15 psi\" is a pressure difference, a gauge pressure is expected: write 15 kPag, 15 barg or 15 psig",
            ),
        ),
        (
            "90 kPa",
            Kind::GaugePressure,
            Some(
                "\"90 kPa\" is a pressure difference, a gauge pressure is expected: write 90 kPag, 90 barg or 90 psig",
            ),
        ),
        (
            "-300 degC",
            Kind::Temperature,
            Some("\"-300 degC\" lies below absolute zero: write a temperature above -273.15 degC"),
        ),
    ] {
        match expected {
            Some(expected) => assert_eq!(told(text, kind), expected),
            None => assert!(Quantity::parse(text, kind).is_ok(), "{text}"),
        }
    }
    assert!(matches!(Quantity::parse("1e999 W", Kind::Power), Err(UnitError::NotFinite { .. })));
}

#[test]
fn the_reference_page_is_current() {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/units.md");
    let page = units::reference_table();
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&file, &page).unwrap();
    }
    let stored = std::fs::read_to_string(&file).unwrap_or_default();
    assert!(stored == page, "docs/units.md is out of date: run this test with UPDATE_DOCS=1");
}

#[test]
fn every_menu_unit_belongs_to_its_kind() {
    for &kind in Kind::ALL {
        for unit in units_of(kind) {
            let text = if unit.name == "FL" { "FL12".to_owned() } else { format!("12 {}", unit.name) };
            assert!(Quantity::parse(&text, kind).is_ok(), "{text} as {}", kind.name());
        }
    }
}

/// Near absolute zero a scale with another zero needs more digits than a number of its own does: 8.054088826359479 K is
/// -265.095911173640521 degC, whose 17 digits stand for another number of kelvins.
#[test]
fn as_many_digits_are_written_as_a_scale_needs() {
    for value in [8.054_088_826_359_479, 1.234_567_890_123_456_7e-3] {
        let quantity = Quantity::from_si(value, Kind::Temperature, "degC").unwrap();
        assert_eq!(Quantity::parse(quantity.text(), Kind::Temperature).unwrap().si(), value, "{quantity}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_written_reads_back(value in -1e6..1e6_f64, pick in 0_usize..10_000) {
        let kind = Kind::ALL[pick % Kind::ALL.len()];
        let units = units_of(kind);
        let unit = units[pick / Kind::ALL.len() % units.len()].name;
        let value = if matches!(kind, Kind::Temperature | Kind::AbsolutePressure) { value.abs() } else { value };
        if let Ok(quantity) = Quantity::from_si(value, kind, unit) {
            let back = Quantity::parse(quantity.text(), kind).unwrap();
            prop_assert_eq!(back.text(), quantity.text());
            prop_assert_eq!(back.si(), value, "{} {}", unit, quantity.text());
            let shown = to_unit(value, kind, unit).unwrap();
            prop_assert!((shown - quantity.number()).abs() <= 1e-12 * shown.abs() + 1e-12);
        }
    }

    /// What was typed comes back from its SI value: no digits appear, none are lost.
    #[test]
    fn what_is_typed_comes_back(hundredths in -10_000_000_i64..10_000_000, pick in 0_usize..10_000) {
        let kind = Kind::ALL[pick % Kind::ALL.len()];
        let units = units_of(kind);
        let unit = units[pick / Kind::ALL.len() % units.len()].name;
        let number = hundredths as f64 / 100.0;
        let text = if unit == "FL" { format!("FL{number}") } else { format!("{number} {unit}") };
        if let Ok(typed) = Quantity::parse(&text, kind) {
            let back = Quantity::from_si(typed.si(), kind, unit).unwrap();
            prop_assert_eq!(back.si(), typed.si());
            prop_assert_eq!(back.text(), if number == 0.0 { text.replace("-0", "0") } else { text });
        }
    }

    /// Mutations of real quantities reach deeper than random text.
    #[test]
    fn no_near_quantity_panics(pick in 0_usize..10_000, at in 0_usize..20, c in any::<char>(), wanted in 0_usize..100) {
        let kind = Kind::ALL[pick % Kind::ALL.len()];
        let units = units_of(kind);
        let mut text: Vec<char> = format!("12 {}", units[pick / Kind::ALL.len() % units.len()].name).chars().collect();
        text.insert(at.min(text.len()), c);
        let text: String = text.into_iter().collect();
        let wanted = Kind::ALL[wanted % Kind::ALL.len()];
        if let Err(error) = Quantity::parse(&text, wanted) {
            let words = error.to_string();
            prop_assert!(words.contains(": write ") && !words.ends_with('.'), "{}", words);
        }
    }

    #[test]
    fn no_text_panics(text in ".{0,40}", pick in 0_usize..100) {
        let _outcome = Quantity::parse(&text, Kind::ALL[pick % Kind::ALL.len()]);
    }
}
