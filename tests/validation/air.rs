//! Air and the atmosphere.

use super::record::{Allowed, Cited, Origin, Record};
use media::air;
use media::atmosphere::{self, Air, Day, DayTable, geopotential_from_geometric_m};
use testkit::{Row, table};

const FOOT_M: f64 = 0.3048;
const KNOT_M_S: f64 = 0.514444;
const ZERO_C_K: f64 = 273.15;
const STANDARD: Day = Day::Standard { offset_k: 0.0 };

pub(crate) fn record() -> Record {
    let mut record = Record::new("Air and the atmosphere");
    properties(&mut record);
    tables_of_the_atmosphere(&mut record);
    standard_points(&mut record);
    certification_hot_day(&mut record);
    day_tables(&mut record);
    air_in_motion(&mut record);
    record
}

fn properties(record: &mut Record) {
    for row in &table("air_properties.csv") {
        let t = row.number("temperature_K");
        let quantity = row.text("quantity");
        let computed = match quantity {
            "density" => air::density(t, row.number("pressure_Pa")),
            "specific_heat" => air::specific_heat(t),
            "dynamic_viscosity" => air::viscosity(t),
            "thermal_conductivity" if row.text("relation") == "us_standard_atmosphere_1976" => {
                air::conductivity_us_standard_1976(t)
            }
            "thermal_conductivity" => air::conductivity(t),
            "prandtl" => air::prandtl(t),
            other => panic!("no property {other}"),
        };
        let words = if quantity == "prandtl" { "Prandtl number" } else { &quantity.replace('_', " ") };
        record.row(&format!("Dry air: {words}"), row, computed);
    }
    for row in &table("air_enthalpy.csv") {
        record.row("Dry air: enthalpy above 0 degC", row, air::enthalpy(row.number("temperature_K")));
    }
}

fn tables_of_the_atmosphere(record: &mut Record) {
    for row in &table("standard_atmosphere.csv") {
        let altitude = geopotential_from_geometric_m(row.number("geometric_altitude_m"));
        let offset_k = row.number("temperature_offset_K");
        let air = atmosphere::at(&Day::Standard { offset_k }, altitude).expect("inside the range");
        record.row("Standard atmosphere to 11 km, with offsets", row, outside_air(row, &air));
    }
    for row in &table("atmosphere_to_20_km.csv") {
        let air = atmosphere::at(&STANDARD, row.number("geopotential_altitude_m")).expect("inside the range");
        record.row("Standard atmosphere, -1 to 20 km", row, outside_air(row, &air));
    }
}

fn outside_air(row: &Row, air: &Air) -> f64 {
    match row.text("quantity") {
        "temperature" => air.temperature_k,
        "pressure" => air.pressure_pa,
        "density" => air.density_kg_m3,
        "speed_of_sound" => air.speed_of_sound_m_s,
        "dynamic_viscosity" => air.viscosity_pa_s,
        other => panic!("no quantity {other}"),
    }
}

/// Geopotential altitude in m, temperature in K, pressure in Pa, density in kg/m3.
const ISO_2533: [(f64, f64, f64, f64); 8] = [
    (0.0, 288.15, 101_325.0, 1.225),
    (1000.0, 281.65, 89_874.5, 1.11164),
    (2000.0, 275.15, 79_495.2, 1.00649),
    (3000.0, 268.65, 70_108.5, 0.909_122),
    (5000.0, 255.65, 54_019.9, 0.736_116),
    (10_000.0, 223.15, 26_436.3, 0.412_707),
    (11_000.0, 216.65, 22_632.1, 0.363_918),
    (20_000.0, 216.65, 5474.89, 0.088_034_9),
];

fn standard_points(record: &mut Record) {
    let cited = Cited {
        source: "ISO 2533 (ICAO Doc 7488), table of the standard atmosphere",
        what: "Temperature, pressure and density at eight altitudes",
        origin: Origin::Outside,
    };
    for (altitude, temperature, pressure, density) in ISO_2533 {
        let air = atmosphere::at(&STANDARD, altitude).expect("inside the range");
        record.value(&cited, air.temperature_k, temperature, Allowed::Part(1e-5));
        record.value(&cited, air.pressure_pa, pressure, Allowed::Part(1e-5));
        record.value(&cited, air.density_kg_m3, density, Allowed::Part(1e-5));
    }
    let geometric = Cited {
        source: "US Standard Atmosphere 1976",
        what: "Geopotential altitude of 11 000 m geometric: 10 981 m",
        origin: Origin::Outside,
    };
    let found = geopotential_from_geometric_m(11_000.0);
    record.value(&geometric, found, 10_981.0, Allowed::Within(0.5, "m"));
}

/// Pressure altitude in ft; hot day in degC and degF; standard day in degC; Pa; kg/m3; density altitude in ft; density ratio.
const HOT_DAY: [[f64; 8]; 6] = [
    [0.0, 37.78, 100.0, 15.00, 101_325.0, 1.1353, 2577.0, 0.927],
    [2000.0, 33.78, 92.8, 11.04, 94_213.0, 1.0693, 4571.0, 0.873],
    [5000.0, 27.78, 82.0, 5.09, 84_307.0, 0.9760, 7563.0, 0.797],
    [8000.0, 21.78, 71.2, -0.85, 75_262.0, 0.8890, 10_554.0, 0.726],
    [10_000.0, 17.78, 64.0, -4.81, 69_682.0, 0.8344, 12_548.0, 0.681],
    [15_000.0, 7.78, 46.0, -14.72, 57_182.0, 0.7091, 17_533.0, 0.579],
];

fn hot_day(feet: f64) -> Air {
    atmosphere::at(&Day::HotDay27_1043, feet * FOOT_M).expect("inside the range")
}

fn certification_hot_day(record: &mut Record) {
    let rule = Cited {
        source: "14 CFR 27.1043(b): 100 degF, less 3.6 degF per 1000 ft, not below -69.7 degF",
        what: "Hot-day temperature at pressure altitudes to 65 000 ft",
        origin: Origin::Outside,
    };
    for (feet, fahrenheit) in
        [(0.0, 100.0), (1000.0, 96.4), (5000.0, 82.0), (20_000.0, 28.0), (40_000.0, -44.0), (47_000.0, -69.2)]
    {
        let kelvin = (fahrenheit + 459.67) / 1.8;
        record.value(&rule, hot_day(feet).temperature_k, kelvin, Allowed::Within(1e-6, "K"));
    }
    for feet in [47_200.0, 50_000.0, 65_000.0] {
        let kelvin = (459.67 - 69.7) / 1.8;
        record.value(&rule, hot_day(feet).temperature_k, kelvin, Allowed::Within(1e-6, "K"));
    }
    let by_hand = Cited {
        source: "Hand calculation from 14 CFR 27.1043(b) and the standard atmosphere (trade facts, section 2)",
        what: "Hot-day table: degC, degF, standard degC, Pa, kg/m3, density altitude, density ratio",
        origin: Origin::Calculated,
    };
    for [feet, celsius, fahrenheit, standard, pascal, density, density_feet, ratio] in HOT_DAY {
        let air = hot_day(feet);
        let standard_k = atmosphere::standard_temperature_k(feet * FOOT_M);
        for (computed, printed, digit) in [
            (air.temperature_k - ZERO_C_K, celsius, 0.01),
            (air.temperature_k * 1.8 - 459.67, fahrenheit, 0.1),
            (standard_k - ZERO_C_K, standard, 0.01),
            (air.pressure_pa, pascal, 1.0),
            (air.density_kg_m3, density, 1e-4),
            (air.density_altitude_m() / FOOT_M, density_feet, 1.0),
            (air.density_kg_m3 / 1.225, ratio, 1e-3),
        ] {
            record.value(&by_hand, computed, printed, Allowed::Digits(0.51 * digit));
        }
    }
    let deviation = Cited {
        source: "Hand calculation (trade facts, fact 1)",
        what: "Hot day above the standard day at 0, 10 000 and 20 000 ft",
        origin: Origin::Calculated,
    };
    for (feet, kelvin) in [(0.0, 22.78), (10_000.0, 22.59), (20_000.0, 22.40)] {
        let above = hot_day(feet).temperature_k - atmosphere::standard_temperature_k(feet * FOOT_M);
        record.value(&deviation, above, kelvin, Allowed::Within(0.0051, "K"));
    }
}

/// degC at 0, 2, 5, 8, 10, 15 and 20 thousand feet.
const MIL_STD_210A: [(DayTable, [f64; 7]); 4] = [
    (DayTable::MilStd210AHot, [39.5, 35.2, 28.7, 22.1, 17.7, 7.2, -3.6]),
    (DayTable::MilStd210ATropical, [32.1, 27.8, 21.4, 14.9, 10.6, -0.2, -10.9]),
    (DayTable::MilStd210ACold, [-51.1, -36.1, -26.1, -26.1, -26.1, -33.9, -43.4]),
    (DayTable::MilStd210APolar, [-26.5, -23.1, -21.5, -22.4, -23.1, -31.0, -38.9]),
];

fn day_tables(record: &mut Record) {
    let cited = Cited {
        source: "MIL-STD-210A (superseded), public-domain tabulation",
        what: "Hot, tropical, cold and polar day to 20 000 ft, every printed row",
        origin: Origin::Outside,
    };
    for (day, celsius) in MIL_STD_210A {
        for (feet, printed) in [0.0, 2e3, 5e3, 8e3, 10e3, 15e3, 20e3].into_iter().zip(celsius) {
            let air = atmosphere::at(&Day::Table(day), feet * FOOT_M).expect("a row of the table");
            record.value(&cited, air.temperature_k - ZERO_C_K, printed, Allowed::Within(0.051, "K"));
        }
    }
    let cross = Cited {
        source: "MIL-STD-210A hot day beside 14 CFR 27.1043(b)",
        what: "The two hot days lie within 2 K of each other to 20 000 ft",
        origin: Origin::Outside,
    };
    for feet in (0..=20).map(|thousands| 1000.0 * f64::from(thousands)) {
        let hot = Day::Table(DayTable::MilStd210AHot).temperature_k(feet * FOOT_M);
        record.value(&cross, hot_day(feet).temperature_k, hot, Allowed::Within(2.0, "K"));
    }
}

fn air_in_motion(record: &mut Record) {
    let dynamic = Cited {
        source: "Hand calculation, rho V2/2 (trade facts, section 7)",
        what: "Dynamic pressure at 40 to 100 kt, standard and hot day at sea level",
        origin: Origin::Calculated,
    };
    let standard = atmosphere::at(&STANDARD, 0.0).expect("sea level").density_kg_m3;
    let hot = hot_day(0.0);
    for (knots, cool, warm) in
        [(40.0, 259.0, 240.0), (60.0, 584.0, 541.0), (80.0, 1037.0, 961.0), (100.0, 1621.0, 1502.0)]
    {
        let speed_squared = (knots * KNOT_M_S) * (knots * KNOT_M_S);
        let one = Allowed::Within(0.8, "Pa");
        record.value(&dynamic, 0.5 * standard * speed_squared, cool, one);
        record.value(&dynamic, 0.5 * hot.density_kg_m3 * speed_squared, warm, one);
    }
    let need = Cited {
        source: "Hand calculation (trade facts, section 7)",
        what: "Air flow to carry 1 kW at a rise of 20 K, hot day at sea level: 0.0438 m3/s",
        origin: Origin::Calculated,
    };
    let flow = 1000.0 / (hot.density_kg_m3 * air::specific_heat(hot.temperature_k) * 20.0);
    // by hand with 1005 J/(kg K), 0.2 % less than the specific heat at this temperature
    record.value(&need, flow, 0.0438, Allowed::Part(3e-3));
    let ram = Cited {
        source: "Hand calculation, V2/(2 cp) (trade facts, section 2)",
        what: "Ram rise of temperature at 50 and 100 kt",
        origin: Origin::Calculated,
    };
    for (knots, kelvin, digit) in [(50.0, 0.33, 0.0051), (100.0, 1.3, 0.051)] {
        let speed = knots * KNOT_M_S;
        let rise = 0.5 * speed * speed / air::specific_heat(288.15);
        record.value(&ram, rise, kelvin, Allowed::Within(digit, "K"));
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn air_agrees() {
        assert!(super::record().lines().len() >= 15);
    }
}
