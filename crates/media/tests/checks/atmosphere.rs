use media::MediaError;
use media::atmosphere::{
    Air, Day, DayTable, at, density_altitude_m, geometric_from_geopotential_m, geopotential_from_geometric_m,
    pressure_altitude_m, standard_pressure_pa, standard_temperature_k,
};
use testkit::{Worst, assert_close, assert_within, table};

const FOOT: f64 = 0.3048;
const STANDARD: Day = Day::Standard { offset_k: 0.0 };

#[test]
fn the_standard_atmosphere_with_offsets() {
    let mut worst = Worst::new();
    for row in &table("standard_atmosphere.csv") {
        let altitude = geopotential_from_geometric_m(row.number("geometric_altitude_m"));
        let air = at(&Day::Standard { offset_k: row.number("temperature_offset_K") }, altitude).unwrap();
        let computed = match row.text("quantity") {
            "temperature" => air.temperature_k,
            "pressure" => air.pressure_pa,
            "density" => air.density_kg_m3,
            "speed_of_sound" => air.speed_of_sound_m_s,
            "dynamic_viscosity" => air.viscosity_pa_s,
            other => panic!("no quantity {other}"),
        };
        worst.check(row, computed);
    }
    worst.finish(56);
    print!("{}", worst.markdown_rows());
}

#[test]
fn from_below_sea_level_into_the_stratosphere() {
    let mut worst = Worst::new();
    for row in &table("atmosphere_to_20_km.csv") {
        let altitude = row.number("geopotential_altitude_m");
        let computed = match row.text("quantity") {
            "temperature" => standard_temperature_k(altitude),
            "pressure" => standard_pressure_pa(altitude),
            "density" => at(&STANDARD, altitude).unwrap().density_kg_m3,
            other => panic!("no quantity {other}"),
        };
        worst.check(row, computed);
    }
    worst.finish(21);
    print!("{}", worst.markdown_rows());
}

#[test]
fn the_certification_hot_day_of_practice() {
    // practice.md section 2 (14 CFR 27.1043(b) and the ISA): ft, degC, degF, ISA degC, Pa, kg/m3, density altitude ft, ratio
    let rows = [
        (0.0, 37.78, 100.0, 15.00, 101_325.0, 1.1353, 2577.0, 0.927),
        (2000.0, 33.78, 92.8, 11.04, 94_213.0, 1.0693, 4571.0, 0.873),
        (5000.0, 27.78, 82.0, 5.09, 84_307.0, 0.9760, 7563.0, 0.797),
        (8000.0, 21.78, 71.2, -0.85, 75_262.0, 0.8890, 10_554.0, 0.726),
        (10_000.0, 17.78, 64.0, -4.81, 69_682.0, 0.8344, 12_548.0, 0.681),
        (15_000.0, 7.78, 46.0, -14.72, 57_182.0, 0.7091, 17_533.0, 0.579),
    ];
    for (feet, celsius, fahrenheit, isa_celsius, pascal, density, density_feet, ratio) in rows {
        let air = at(&Day::HotDay27_1043, feet * FOOT).unwrap();
        assert_within("degC", air.temperature_k - 273.15, celsius, 0.0051);
        assert_within("degF", air.temperature_k * 1.8 - 459.67, fahrenheit, 1e-6);
        assert_within("ISA", standard_temperature_k(feet * FOOT) - 273.15, isa_celsius, 0.0051);
        assert_within("pressure", air.pressure_pa, pascal, 0.51);
        assert_within("density", air.density_kg_m3, density, 0.000_051);
        assert_within("density altitude", air.density_altitude_m() / FOOT, density_feet, 1.0);
        assert_within("density ratio", air.density_kg_m3 / 1.225, ratio, 0.000_51);
    }
}

#[test]
fn the_hot_day_deviates_by_altitude_and_has_a_floor() {
    // practice.md fact 1: +22.78 K at 0 ft, +22.59 K at 10,000 ft, +22.40 K at 20,000 ft; floor reached at 47,139 ft
    for (feet, deviation) in [(0.0, 22.78), (10_000.0, 22.59), (20_000.0, 22.40)] {
        let altitude = feet * FOOT;
        let hot = at(&Day::HotDay27_1043, altitude).unwrap().temperature_k;
        assert_within("deviation", hot - standard_temperature_k(altitude), deviation, 0.0051);
    }
    for feet in [47_139.0, 50_000.0, 65_000.0] {
        let celsius = at(&Day::HotDay27_1043, feet * FOOT).unwrap().temperature_k - 273.15;
        assert_within("floor -69.7 degF", celsius, -56.5, 0.01);
    }
    let just_below = at(&Day::HotDay27_1043, 47_000.0 * FOOT).unwrap().temperature_k;
    assert!(just_below > (459.67 - 69.7) / 1.8);
}

#[test]
fn the_day_tables_return_their_rows_and_lines_between() {
    // practice.md section 2, MIL-STD-210A at 5,000 ft and halfway to 8,000 ft
    let rows = [
        (DayTable::MilStd210AHot, 28.7, 25.4),
        (DayTable::MilStd210ATropical, 21.4, 18.15),
        (DayTable::MilStd210ACold, -26.1, -26.1),
        (DayTable::MilStd210APolar, -21.5, -21.95),
    ];
    for (day, at_5000, at_6500) in rows {
        let celsius = |feet: f64| at(&Day::Table(day), feet * FOOT).unwrap().temperature_k - 273.15;
        assert_within("5,000 ft", celsius(5000.0), at_5000, 1e-9);
        assert_within("6,500 ft", celsius(6500.0), at_6500, 1e-9);
        assert!(matches!(at(&Day::Table(day), 6200.0), Err(MediaError::AltitudeOutOfRange { .. })));
    }
    // practice.md section 2: hot day within 2 K of the certification hot day to 20,000 ft
    for k in 0..=40 {
        let altitude = f64::from(k) * 500.0 * FOOT;
        let hot = Day::Table(DayTable::MilStd210AHot).temperature_k(altitude);
        assert_within("cross-check", hot, Day::HotDay27_1043.temperature_k(altitude), 2.0);
    }
}

#[test]
fn altitudes_invert() {
    for altitude in [-1500.0, 0.0, 3000.0, 10_999.0, 11_001.0, 18_000.0] {
        let air = at(&STANDARD, altitude).unwrap();
        assert_within("density altitude", density_altitude_m(air.density_kg_m3), altitude, 1e-6);
        assert_within("pressure altitude", pressure_altitude_m(air.pressure_pa).unwrap(), altitude, 1e-6);
        let geometric = geometric_from_geopotential_m(altitude);
        assert_within("geometric", geopotential_from_geometric_m(geometric), altitude, 1e-9);
    }
    // US Standard Atmosphere 1976: geometric 11 000 m is geopotential 10 981 m
    assert_within("geopotential", geopotential_from_geometric_m(11_000.0), 10_981.0, 0.1);
}

#[test]
fn a_fixed_day_keeps_the_standard_pressure() {
    let air = at(&Day::Fixed { temperature_k: 310.0 }, 1000.0).unwrap();
    assert_close("pressure", air.pressure_pa, standard_pressure_pa(1000.0), 1e-15);
    assert_eq!(air.temperature_k, 310.0);
}

#[test]
fn impossible_air_is_refused() {
    assert!(matches!(at(&STANDARD, 25_000.0), Err(MediaError::AltitudeOutOfRange { .. })));
    assert!(matches!(at(&STANDARD, f64::NAN), Err(MediaError::AltitudeOutOfRange { .. })));
    assert!(at(&Day::Fixed { temperature_k: f64::NAN }, 0.0).is_err());
    assert!(at(&Day::Standard { offset_k: -400.0 }, 0.0).is_err());
    assert!(Air::new(300.0, 0.0).is_err());
    assert!(pressure_altitude_m(-5.0).is_err());
    let message = at(&Day::Table(DayTable::MilStd210AHot), 7000.0).unwrap_err().to_string();
    assert_eq!(message, "a pressure altitude of 7000 m is outside 0 to 6096 m of the MIL-STD-210A hot day");
}
