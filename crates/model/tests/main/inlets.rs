//! What a pump has at its inlet and what it needs there, places below ambient pressure, and the gas cushion, by hand.
#![expect(clippy::unwrap_used, reason = "tests")]

use super::pumps::{GEAR_PUMP, oil_loop, read};
use media::Liquid;
use model::case;
use model::cases;
use model::mission::{FlyOptions, MissionCase, fly, schedule};
use model::result::{CaseResult, Margin, MarginKind, StationResult, Status};
use testkit::{assert_close, assert_within, table};

const GRAVITY: f64 = 9.80665;

/// A water loop at the temperature of the outside air: bottle, suction line, pump, jacket.
fn water_loop(condition: &str, bottle: &str, suction: &str, pump: &str) -> String {
    format!(
        r#"Project(format: "heatledger", version: 1, name: "water",
        conditions: [Condition(name: "day", {condition})],
        components: [Component(name: "sump", capacity: "5 kJ/K")],
        links: [Link(from: "sump", to: "outside air", law: Conductance("200 kW/K"))],
        loops: [Loop(name: "water", fluid: "water", path: [
            Reservoir(name: "bottle", volume: "1 L", losses: 0, {bottle}), {suction},
            Pump(name: "pump", curve: [("0 L/min", "60 kPa"), ("10 L/min", "40 kPa"), ("20 L/min", "0 kPa")], power: Fixed("0 W"), {pump}),
            Hose(name: "down", length: "3 m", diameter: "60 mm", climb: "-3 m"),
            Jacket(name: "jacket", walls: ["sump"], film: Fixed("50 kW/K"), flow: Loss(coefficient: 20, diameter: "20 mm"))])],
        points: [Point(name: "run")],
        failures: [Failure(name: "cap leaks", what: CapOpen("bottle"))],
        cases: [CaseGroup(conditions: ["day"], points: ["run"], failures: ["cap leaks"])])"#
    )
}

const LIFT: &str = r#"Hose(name: "lift", length: "3 m", diameter: "60 mm", climb: "3 m"),
    Restrictor(name: "strainer", flow: Loss(coefficient: 100, diameter: "15 mm"))"#;

/// The case without failure, and the one with it.
fn both(text: &str) -> [CaseResult; 2] {
    let project = read(text);
    let cases = cases::steady(&project);
    [0, 1].map(|number| {
        let result = case::solve(&cases[number]).unwrap();
        assert_eq!(result.status, Status::Solved, "{:?}", result.notices);
        result
    })
}

fn station<'a>(result: &'a CaseResult, name: &str) -> &'a StationResult {
    result.loops[0].stations.iter().find(|s| s.name == name).unwrap()
}

fn inlet_margin(result: &CaseResult) -> Option<&Margin> {
    result.margins.iter().find(|m| m.kind == MarginKind::PumpInlet)
}

fn tells(result: &CaseResult, kind: &str) -> Option<String> {
    result.notices.iter().find(|n| n.kind == kind).map(|n| format!("{}: {}", n.place, n.message))
}

/// Net positive suction head available as handbooks of pumps have it (value from memory: NPSHA = h_a + h_z - h_f - h_vp, heads of the
/// atmosphere, of the level above the pump, of friction, of the vapour): water of the reference table, an open tank 3 m below the pump.
#[test]
fn the_inlet_of_a_pump_above_an_open_tank_by_the_handbook() {
    let reference = table("water_iapws.csv");
    for row in reference.select("quantity", "vapour_pressure") {
        let (temperature_k, vapour_pa) = (row.number("temperature_K"), row.expected());
        if !(280.0..350.0).contains(&temperature_k) {
            continue;
        }
        let day = format!("day: Fixed(\"{temperature_k} K\")");
        let [result, _] = both(&water_loop(
            &day,
            "cap: \"0 kPag\"",
            LIFT,
            "need: Head([(\"0 L/min\", \"2 m\"), (\"20 L/min\", \"2 m\")])",
        ));
        let pump = station(&result, "pump");
        let inlet = pump.inlet.unwrap();
        let weight = Liquid::named("water").unwrap().density(pump.temperature_in_k) * GRAVITY;
        // 100 velocity heads in a bore of 15 mm, 1.767e-4 m2; the hose of 60 mm takes next to nothing, as the loop has it
        let velocity = pump.volume_flow_m3_s / 1.767_146e-4;
        let friction_m =
            100.0 * velocity * velocity / (2.0 * GRAVITY) + station(&result, "lift").friction_pa / weight;
        let by_hand_m = 101_325.0 / weight - 3.0 - friction_m - vapour_pa / weight;
        assert_within("NPSHA", inlet.available_pa / weight, by_hand_m, 0.01);
        assert_close("vapour pressure", inlet.bubbles_pa, vapour_pa, 2e-3);
        let margin = inlet_margin(&result).unwrap();
        assert_within("margin", margin.margin / weight, by_hand_m - 2.0, 0.01);
        assert_close("required", margin.required, 0.2 * margin.limit_value, 1e-12);
        // 3 m of water: 3 x 998 x 9.807 = 29.4 kPa
        assert_close("climb", station(&result, "lift").climb_pa, 3.0 * weight, 1e-3);
    }
}

/// Water at 80 degC at 10,000 ft, 69 682 Pa (ISA); vapour pressure 47 415 Pa (IAPWS-95). Its cap holds the loop at 90 kPa above ambient;
/// with the cap failed 22.3 kPa are left above boiling, less what the strainer takes, and the pump needs 2 m of water: 19.1 kPa.
#[test]
fn a_pump_inlet_at_ten_thousand_feet_with_a_failed_cap() {
    let suction = r#"Hose(name: "lift", length: "3 m", diameter: "60 mm", climb: "3 m"), Hose(name: "drop", length: "3 m", diameter: "60 mm", climb: "-3 m"),
        Restrictor(name: "strainer", flow: Loss(coefficient: 10, diameter: "15 mm"))"#;
    let need = "inlet_bore: \"15 mm\", need: Head([(\"0 L/min\", \"2 m\"), (\"20 L/min\", \"2 m\")])";
    let text = water_loop(
        "pressure_altitude: \"10000 ft\", day: Fixed(\"80 degC\")",
        "fill: 0.95, cap: \"90 kPag\"",
        suction,
        need,
    )
    .replace("Hose(name: \"down\", length: \"3 m\", diameter: \"60 mm\", climb: \"-3 m\"),", "");
    let [sound, failed] = both(&text);
    let pump = station(&failed, "pump");
    // friction of the strainer and the hoses as the loop has it: hoses 60 mm, next to nothing
    let velocity = pump.volume_flow_m3_s / 1.767_146e-4;
    let strainer_pa = 10.0 * 0.5 * 971.8 * velocity * velocity;
    let by_hand_pa = 69_682.0 - 47_415.0 - strainer_pa;
    let margin = inlet_margin(&failed).unwrap();
    assert_within("available", margin.value, by_hand_pa, 60.0);
    assert_close("need", margin.limit_value, 2.0 * 971.8 * GRAVITY, 1e-3);
    assert!(margin.is_short(), "{margin:?}");
    // 0.05 L of gas would be squeezed away by the expansion: the cap opens at 90 kPa
    let kept = inlet_margin(&sound).unwrap();
    assert_within("behind the cap", kept.value - margin.value, 90e3, 60.0);
    assert!(!kept.is_short());
    // the static pressure at the inlet lies a velocity head below the total one, the margin does not
    let head = pump.inlet.unwrap().velocity_head_pa.unwrap();
    assert_close("velocity head", head, strainer_pa / 10.0, 1e-3);
    println!("failed cap: {:.0} Pa above boiling, {:.0} Pa needed", margin.value, margin.limit_value);
}

/// A need of 20 kPa at 10 L/min and full speed, measured with cold water of 1000 kg/m3: at half speed the pump moves half the flow,
/// and needs a quarter of it, less what hot water is lighter.
#[test]
fn the_need_follows_speed_and_density() {
    let need = |more: &str| {
        format!(
            "curve_density: \"1000 kg/m3\", need: Pressure([(\"0 L/min\", \"8 kPa\"), (\"5 L/min\", \"11 kPa\"), (\"20 L/min\", \"56 kPa\")]){more}"
        )
    };
    let solved = |more: &str| {
        let [result, _] = both(&water_loop("day: Fixed(\"60 degC\")", "cap: \"0 kPag\"", LIFT, &need(more)));
        result
    };
    // water of 60 degC: 983.2 kg/m3; lines between the points are not asked for: the curve is smooth, so it is read at its own points
    let (full, half) = (solved(""), solved(", speed: 0.5"));
    let (at_full, at_half) = (station(&full, "pump"), station(&half, "pump"));
    assert_close("half the flow", at_half.volume_flow_m3_s, 0.5 * at_full.volume_flow_m3_s, 0.01);
    let (needs, less) = (at_full.inlet.unwrap().need_pa.unwrap(), at_half.inlet.unwrap().need_pa.unwrap());
    assert_close("a quarter of the need", less, 0.25 * needs, 0.02);
    let flow = 6e4 * at_full.volume_flow_m3_s;
    // between the points that stand around the flow, times 0.9832
    let (low, high) = if flow < 5.0 { (8e3, 11e3) } else { (11e3, 56e3) };
    assert!(needs > 0.9831 * low && needs < 0.9833 * high, "{needs} at {flow} L/min");
    // a standing pump has no need
    assert_eq!(solved(", speed: 0").loops[0].stations.iter().find_map(|s| s.inlet?.need_pa), None);
}

/// Beyond its last point the need goes on with the square of the flow, and says so: a curve that ends at 2 L/min with 1 kPa.
#[test]
fn a_need_beyond_its_last_point_is_flagged() {
    let short = "need: Pressure([(\"1 L/min\", \"1 kPa\"), (\"2 L/min\", \"1 kPa\")]), curve_density: \"998.2 kg/m3\"";
    let [result, _] = both(&water_loop("day: Fixed(\"20 degC\")", "cap: \"0 kPag\"", LIFT, short));
    let pump = station(&result, "pump");
    let share = 6e4 * pump.volume_flow_m3_s / 2.0;
    assert!(share > 2.0, "{share}");
    assert_close("need", pump.inlet.unwrap().need_pa.unwrap(), 1e3 * share * share, 1e-3);
    let told = tells(&result, "out_of_range").unwrap();
    assert!(told.contains("pump: its flow over its speed"), "{told}");
    // without a need there is the value and no margin
    let same = "curve_density: \"998.2 kg/m3\"";
    let [plain, _] = both(&water_loop("day: Fixed(\"20 degC\")", "cap: \"0 kPag\"", LIFT, same));
    assert!(inlet_margin(&plain).is_none());
    assert_close(
        "value",
        station(&plain, "pump").inlet.unwrap().available_pa,
        pump.inlet.unwrap().available_pa,
        1e-9,
    );
}

/// Oil has no vapour pressure here: 5 kPa are held back for dissolved air, which a notice says. A gear pump moves 36 L/min at full speed
/// whatever leaves it: its need is that of the 36 L/min, 12 kPa, also where its relief valve is open.
#[test]
fn a_gear_pump_in_oil_keeps_back_five_kilopascals() {
    let need = "Efficiency(0.85), need: Pressure([(\"0 L/min\", \"2 kPa\"), (\"36 L/min\", \"12 kPa\")]), curve_density: \"900 kg/m3\"";
    let pump = GEAR_PUMP.replace("Efficiency(0.85)", need);
    let orifice = r#"Restrictor(name: "orifice", flow: Loss(coefficient: 1.5, diameter: "4 mm"))"#;
    let project = read(&oil_loop("20 degC", &pump, orifice));
    let result = case::solve(&cases::steady(&project)[0]).unwrap();
    let pump = station(&result, "pump");
    assert!(6e4 * pump.volume_flow_m3_s < 30.0, "the relief valve is open");
    let inlet = pump.inlet.unwrap();
    // an open tank right before it: ambient less 5 kPa
    assert_within("available", inlet.available_pa, 101_325.0 - 5e3, 1.0);
    let density = Liquid::named("iso-vg-32").unwrap().density(pump.temperature_in_k);
    assert_close("need", inlet.need_pa.unwrap(), 12e3 * density / 900.0, 1e-6);
    assert!(tells(&result, "dissolved_air").unwrap().contains("5 kPa"), "{:?}", result.notices);
}

/// A strainer between bottle and pump, or a lift: the inlet of the pump is below ambient pressure, steady and in flight.
#[test]
fn a_place_below_ambient_pressure_is_named_with_its_remedy() {
    let more = r#"missions: [Mission(name: "flight", soak: LeftOut("ends there"), segments: [Segment(name: "run", duration: "60 s", point: "run")])]"#;
    let text = water_loop("day: Fixed(\"20 degC\")", "cap: \"0 kPag\"", LIFT, "");
    let [result, _] = both(&text);
    let told = tells(&result, "below_ambient").unwrap();
    let pump = station(&result, "pump");
    let below = format!("{:.1} kPa below ambient", 1e-3 * (101_325.0 - pump.pressure_in_pa));
    assert!(told.contains(&below), "{told}");
    assert!(told.contains("place it lower, or the reservoir higher, at the inlet of pump"), "{told}");
    // the same line level, only the strainer: widen it
    let level = text.replace("climb: \"3 m\"", "climb: \"0 m\"").replace("climb: \"-3 m\"", "climb: \"0 m\"");
    let [level, _] = both(&level);
    let told = tells(&level, "below_ambient").unwrap();
    assert!(told.contains("place the reservoir at the inlet of pump, or widen the way"), "{told}");
    // the bottle right before the pump: nothing to say
    let [right, _] = both(
        &water_loop("day: Fixed(\"20 degC\")", "cap: \"0 kPag\"", LIFT, "")
            .replace(LIFT, ORIFICE)
            .replace("climb: \"-3 m\"", "climb: \"0 m\""),
    );
    assert!(tells(&right, "below_ambient").is_none_or(|told| !told.contains("lift")), "{:?}", right.notices);
    let flown = read(&text.replace("points: [Point", &format!("{more}, points: [Point")));
    let case = MissionCase {
        project: &flown,
        condition: &flown.conditions[0],
        mission: &flown.missions[0],
        failure: None,
    };
    let flight = fly(&flown, schedule(&case).unwrap(), None, &FlyOptions::default());
    let judged = flight.judged(&flown);
    let told = judged.notices.iter().find(|n| n.kind == "below_ambient").unwrap();
    assert!(told.message.starts_with("at ") && told.message.contains(&below), "{}", told.message);
    assert_eq!(judged.cushions[0].circuit, "water");
}

const ORIFICE: &str = r#"Restrictor(name: "orifice", flow: Loss(coefficient: 0.01, diameter: "20 mm"))"#;

/// 0.4 L of gas at 20 degC and 101 325 Pa above the water of a loop of V = 5.56 L. At 80 degC the water has grown by 998.2/971.8 - 1 = 2.72 % of
/// the loop's volume V; the gas has
/// 101 325 x 353.15/293.15 x 0.4/(0.4 - 0.0272 V).
#[test]
fn the_gas_cushion_from_cold_to_hot_by_hand() {
    let cushion = |oat: &str, bottle: &str| {
        let day = format!("day: Fixed(\"{oat}\")");
        let text = water_loop(&day, bottle, ORIFICE, "volume: \"1 L\"")
            .replace("film: Fixed(\"50 kW/K\"),", "film: Fixed(\"50 kW/K\"), volume: \"3 L\",");
        let [result, _] = both(&text.replace("diameter: \"60 mm\", climb: \"-3 m\"", "diameter: \"20 mm\""));
        result
    };
    // bottle 0.6, pump 1, restrictor 0.02, jacket 3, hose 3 m x 0.31416 L/m = 0.94248: 5.5625 L
    let volume = 0.6 + 1.0 + 0.02 + 3.0 + 3.0 * 0.314_159;
    let hot = cushion("80 degC", "fill: 0.6, cap: \"120 kPag\"");
    let gas = hot.loops[0].cushion.clone().unwrap();
    let left = 0.4 - volume * (998.21 / 971.79 - 1.0);
    assert_within("gas, L", 1e3 * gas.gas_m3, left, 5e-4);
    let by_hand_pa = 101_325.0 * 353.15 / 293.15 * 0.4 / left - 101_325.0;
    assert_close("gauge", gas.gauge_pa, by_hand_pa, 4e-3);
    assert_eq!((gas.cap_open, gas.empty, gas.faults().count()), (false, false, 0));
    println!("80 degC: {:.4} L of gas at {:.1} kPa above ambient", 1e3 * gas.gas_m3, 1e-3 * gas.gauge_pa);
    // a cap of 50 kPa opens, and the case says so
    let opened = cushion("80 degC", "fill: 0.6, cap: \"50 kPag\"");
    let gas = opened.loops[0].cushion.clone().unwrap();
    assert_close("at the cap", gas.gauge_pa, 50e3, 1e-9);
    assert!(tells(&opened, "cap_opens").unwrap().contains("it holds 50 kPa"), "{:?}", opened.notices);
    // too little gas: no room
    let full = cushion("80 degC", "fill: 0.9, cap: \"50 kPag\"");
    assert!(tells(&full, "no_air_space").unwrap().contains("bottle"), "{:?}", full.notices);
    // filled hot, run cold: 0.02 L of liquid in the bottle against a shrinkage of 2.7 % of 4.98 L
    let cold = cushion("20 degC", "fill: 0.02, filled_at: \"80 degC\", cap: \"50 kPag\"");
    let gas = cold.loops[0].cushion.clone().unwrap();
    assert!(gas.empty && gas.gauge_pa < 0.0, "{gas:?}");
    assert!(tells(&cold, "reservoir_empties").unwrap().contains("fill more"), "{:?}", cold.notices);
    // without a cap it is open to the air: it can neither pull nor press
    let open = cushion("1 degC", "fill: 0.6, cap: \"0 kPag\"").loops[0].cushion.clone().unwrap();
    assert_eq!((open.gauge_pa, open.faults().count()), (0.0, 0));
}

/// In every station friction and climb are the whole change of pressure.
#[test]
fn friction_and_climb_are_the_whole_change() {
    let [result, _] = both(&water_loop("day: Fixed(\"20 degC\")", "cap: \"0 kPag\"", LIFT, ""));
    for at in &result.loops[0].stations {
        assert_within(&at.name, at.friction_pa + at.climb_pa, at.pressure_in_pa - at.pressure_out_pa, 1e-6);
        assert_eq!(at.climb_pa != 0.0, ["lift", "down"].contains(&at.name.as_str()), "{}", at.name);
    }
    assert!(station(&result, "pump").friction_pa < 0.0);
}

#[test]
fn a_fan_has_no_inlet_of_liquid() {
    let text = water_loop("day: Fixed(\"20 degC\")", "cap: \"0 kPag\"", LIFT, "").replace(
        "points: [Point",
        r#"ducts: [Duct(name: "air", path: [Inlet(name: "in", area: "0.01 m2"), Fan(name: "fan", curve: [("0 m3/s", "300 Pa"), ("0.2 m3/s", "0 Pa")], power: Efficiency(0.4), inlet_bore: "50 mm"), Outlet(name: "out", area: "0.01 m2")])], points: [Point"#,
    );
    let (node, _) = project::parse(text.as_bytes());
    let problems = model::design::decode(&node.unwrap()).expect_err("it must be refused");
    assert!(problems.iter().any(|p| p.message.contains("only the inlet of a pump")), "{problems}");
}
