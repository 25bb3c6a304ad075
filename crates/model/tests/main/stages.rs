//! Belt, rotor gearbox and tail drive behind the gearbox, by hand.
#![expect(clippy::unwrap_used, reason = "tests")]

use crate::bench::{booked, read, solve, solve_at, sound, text};
use crate::flown::held_off_k;
use model::cases;
use model::mission::{FlyOptions, fly, schedule};
use model::result::{CaseResult, StageResult, Status};
use testkit::assert_close;

const BELT: &str =
    r#"Stage(name: "belt", into: "bay", losses: Efficiency(efficiency: 0.98, reference_speed: "2700 rpm")),"#;
const ROTOR_GEARBOX: &str = r#"Stage(name: "rotor gearbox", ratio: 11.25, into: "rotor sump",
    losses: Efficiency(efficiency: 0.985, reference_speed: "2700 rpm")),"#;
const TAIL: &str = r#"Stage(name: "tail drive", share: 0.08, ratio: 0.5,
    losses: Efficiency(efficiency: 0.96, reference_speed: "2700 rpm")),"#;

/// A motor of 6000 rpm, a gearbox down to 2700 rpm, and stages; 200 kW at 240 rpm.
fn drive(stages: &str) -> String {
    let parts = ["frame", "sump", "bay", "rotor sump"];
    let components: String =
        parts.map(|part| format!("Component(name: \"{part}\", capacity: \"20 kJ/K\"),")).concat();
    let links: String = parts
        .map(|part| format!("Link(from: \"{part}\", to: \"outside air\", law: Conductance(\"200 W/K\")),"))
        .concat();
    text(&format!(
        r#"conditions: [Condition(name: "room", day: Fixed("20 degC"))],
        components: [{components}], links: [{links}],
        powertrain: Powertrain(
            motors: [Motor(name: "motor", winding: "frame", iron: "frame", rotor: "frame", inverter: "frame",
                losses: Fixed(copper: "4 kW", iron: "2 kW"), inverter_losses: Fixed("1 kW"))],
            gearbox: Gearbox(ratio: 2.2222222222, sump: "sump", oil: "turbine-oil",
                losses: Efficiency(efficiency: 0.99, reference_speed: "6000 rpm")),
            stages: [{stages}], bus: Supply("700 V")),
        points: [Point(name: "run", shaft_power: "200 kW", shaft_speed: "240 rpm")],
        missions: [Mission(name: "hop", soak: LeftOut("a bench test"), segments: [
            Segment(name: "spool up", duration: "1 min", shaft_power: Ramp(from: "0 W", to: "100 kW"), shaft_speed: Ramp(from: "20 rpm", to: "130 rpm")),
            Segment(name: "lift", duration: "1 min", shaft_power: To("200 kW"), shaft_speed: To("240 rpm")),
            Segment(name: "fly", duration: "20 min", point: "run"),
        ])],
        cases: [CaseGroup(conditions: ["room"], points: ["run"], missions: ["hop"])],"#
    ))
}

fn rejected(result: &CaseResult, what: &str) -> f64 {
    result.lines.iter().find(|line| line.is_rejection && line.what == what).expect(what).heat_w
}

fn stage<'a>(result: &'a CaseResult, name: &str) -> &'a StageResult {
    result.electric.as_ref().unwrap().stages.iter().find(|stage| stage.name == name).unwrap()
}

#[test]
fn power_and_heat_at_each_place() {
    let result = solve(&sound(&drive(&[BELT, TAIL, ROTOR_GEARBOX].concat())));
    // rotor gearbox: 200/0.985 = 203.045 685 kW in; the tail leaves in front of it, behind the belt: 0.08 x 200 = 16 kW at the tail
    // rotor, 16/0.96 = 16.666 667 kW into the tail drive. Belt: (203.045 685 + 16.666 667)/0.98 = 219.712 352/0.98
    // = 224.196 277 kW; gearbox and motor: 224.196 277/0.99 = 226.460 886 kW
    let electric = result.electric.as_ref().unwrap();
    for (name, input, output, heat) in [
        ("belt", 224_196.277, 219_712.352, 4_483.926),
        ("tail drive", 16_666.667, 16_000.0, 666.667),
        ("rotor gearbox", 203_045.685, 200_000.0, 3_045.685),
    ] {
        let stage = stage(&result, name);
        assert_close(name, stage.input_w, input, 1e-7);
        assert_close(name, stage.output_w, output, 1e-7);
        assert_close(name, booked(&result, name), heat, 1e-6);
        assert_close(name, stage.heat_w, booked(&result, name), 1e-12);
    }
    assert_close("rotor", electric.shaft_power_w, 200e3, 1e-12);
    assert_close("gearbox heat", booked(&result, "gearbox"), 2_264.609, 1e-6);
    assert_close("motor", electric.motors[0].shaft_power_w, 226_460.886, 1e-8);
    // 240 rpm at the rotor, x 11.25 = 2700 rpm at belt and tail drive, x 2.2222 = 6000 rpm; the tail turns at 2700/0.5 = 5400 rpm
    let rpm = std::f64::consts::PI / 30.0;
    assert_close("motor", electric.motors[0].speed_rad_s, 6000.0 * rpm, 1e-9);
    assert_close("belt", stage(&result, "belt").output_speed_rad_s, 2700.0 * rpm, 1e-12);
    assert_close("tail", stage(&result, "tail drive").output_speed_rad_s, 5400.0 * rpm, 1e-12);
    assert_close("rotor", stage(&result, "rotor gearbox").output_speed_rad_s, 240.0 * rpm, 1e-12);
    // 4 483.9 W over 200 W/K in the bay, 3 045.7 W in the sump of the rotor gearbox; what nothing takes goes to the outside air
    assert_close("bay", crate::bench::temperature_k(&result, "bay"), 293.15 + 22.419_63, 1e-7);
    assert_close("sump", crate::bench::temperature_k(&result, "rotor sump"), 293.15 + 15.228_43, 1e-7);
    assert_close("outside", rejected(&result, "tail drive to outside air"), 666.667, 1e-6);
    assert!(result.ledger.residual_w.abs() < 1e-9 * result.ledger.turnover_w, "{:?}", result.ledger);
}

#[test]
fn a_branch_at_the_end_passes_everything_before_it() {
    let result = solve(&sound(&drive(&[BELT, ROTOR_GEARBOX, TAIL].concat())));
    // (200 + 16.666 667)/0.985 = 219.966 159 kW into the rotor gearbox, /0.98 = 224.455 264 kW into the belt
    assert_close("rotor gearbox", stage(&result, "rotor gearbox").input_w, 219_966.159, 1e-8);
    assert_close("belt", stage(&result, "belt").input_w, 224_455.264, 1e-8);
    let rpm = std::f64::consts::PI / 30.0;
    assert_close("tail", stage(&result, "tail drive").input_speed_rad_s, 240.0 * rpm, 1e-12);
    // a branch alone leaves the gearbox, whose output is the shaft: (200 + 16.666 667)/0.99 = 218.855 219 kW
    let alone = solve(&sound(&drive(TAIL)));
    assert_close("gearbox", alone.electric.as_ref().unwrap().gear_input_w, 218_855.219, 1e-8);
}

#[test]
fn a_flight_with_stages_balances_and_settles_on_the_steady_answer() {
    let varied = sound(&drive(&[BELT, TAIL, ROTOR_GEARBOX].concat()));
    let (off_k, place) = held_off_k(&varied.project, "room", "run", None, 10.0);
    assert!(off_k < 0.01, "{place} {off_k} K");
    let case = cases::missions(&varied.project)[0];
    let flight = fly(&varied.project, schedule(&case).unwrap(), None, &FlyOptions::default());
    assert_eq!(flight.status, Status::Solved, "{:?}", flight.notices);
    assert!(flight.heat.residual_j.abs() <= 1e-9 * flight.heat.turnover_j, "{:?}", flight.heat);
    // after a minute 100 kW at 130 rpm: the belt passes half of what it passes at 200 kW, at 130 x 11.25 = 1462.5 rpm
    let at = flight.times_s.iter().position(|time| (time - 60.0).abs() < 1e-6).unwrap();
    let now = flight.case_at(&varied.project, at);
    assert_close("belt", stage(&now, "belt").input_w, 112_098.139, 1e-7);
    assert_close("speed", stage(&now, "belt").input_speed_rad_s, 1462.5 * std::f64::consts::PI / 30.0, 1e-9);
}

/// The motor that is out turns at 2200 rpm behind a gearbox of 2 and a rotor gearbox of 5.5: its drag of 212.544 W (see `outages`) loads
/// the gearbox but not the stage: (40 kW/0.985 + 212.544 W)/0.98 = (40 609.137 + 212.544)/0.98 = 41 654.776 W from the other one.
#[test]
fn a_motor_out_is_turned_through_the_gearbox() {
    let text = crate::outages::twin("")
        .replace(
            "bus: Supply",
            r#"gearbox: Gearbox(ratio: 2, sump: "left iron", oil: "turbine-oil", losses: Efficiency(efficiency: 0.98, reference_speed: "2200 rpm")),
            stages: [Stage(name: "rotor gearbox", ratio: 5.5, losses: Efficiency(efficiency: 0.985, reference_speed: "1100 rpm"))], bus: Supply"#,
        )
        .replace("shaft_speed: \"2200 rpm\"", "shaft_speed: \"200 rpm\"");
    let varied = sound(&text);
    let out = solve_at(&varied, "run", Some("left out"));
    let motors = &out.electric.as_ref().unwrap().motors;
    assert_close("left", motors[0].shaft_power_w, -212.544_444, 1e-7);
    assert_close("right", motors[1].shaft_power_w, 41_654.776, 1e-7);
    assert_close("gearbox", booked(&out, "gearbox"), 41_654.776 * 0.02, 1e-6);
    assert_close("iron", booked(&out, "left iron"), 200.444_444, 1e-7);
    assert_close("stage", booked(&out, "rotor gearbox"), 609.137, 1e-6);
    assert!(out.ledger.residual_w.abs() < 1e-9 * out.ledger.turnover_w, "{:?}", out.ledger);
    let well = solve_at(&varied, "run", None);
    // 40 609.137/0.98 = 41 437.895 W, half from each
    assert_close("shared", well.electric.as_ref().unwrap().motors[0].shaft_power_w, 20_718.947, 1e-7);
}

/// Every number of a stage is an input that can be swept, and its curves go through the case.
#[test]
fn stages_have_inputs_and_curves() {
    let varied = sound(&drive(&[BELT, TAIL, ROTOR_GEARBOX].concat()));
    let inputs = &varied.listing().inputs;
    for field in ["belt.ratio", "tail drive.share", "rotor gearbox.losses.efficiency"] {
        let address = format!("powertrain.stages.{field}");
        assert!(inputs.iter().any(|input| input.address == address), "{address}");
    }
    let machines = model::curves::machines(&varied.project, &solve(&varied)).unwrap();
    let tail = machines.iter().find(|machine| machine.name == "tail drive").expect("it has curves");
    assert_eq!((tail.sort.word(), tail.path.as_str()), ("stage", "powertrain.stages.tail drive"));
    for figure in &tail.figures {
        assert_close("case", figure.at.unwrap().1, 666.667, 1e-6);
    }
    assert!(tail.values.iter().all(|value| !value.name.contains("oil")), "it names no oil");
}

#[test]
fn mistakes_of_stages_are_told() {
    let geometry = |oil: &str| {
        format!(
            r#"Stage(name: "rotor gearbox", ratio: 11, {oil} losses: Geometry(meshes: [GearMesh(name: "mesh", pinion_teeth: 20, ratio: 3)]))"#
        )
    };
    let plain = r#"losses: Fixed("100 W")"#;
    for (stages, told) in [
        (format!(r#"Stage(name: "belt", into: "bey", {plain})"#), "did you mean \"bay\"?"),
        (format!(r#"Stage(name: "gearbox", {plain})"#), "\"gearbox\" names the gearbox of the powertrain"),
        (format!(r#"Stage(name: "bay", {plain})"#), "\"bay\" is already the name of components.bay"),
        (format!("{BELT}{BELT}"), "\"belt\""),
        (format!(r#"Stage(name: "belt", share: 0, {plain})"#), "powertrain.stages.belt.share"),
        (format!(r#"Stage(name: "belt", share: 1.2, {plain})"#), "powertrain.stages.belt.share"),
        (format!(r#"Stage(name: "belt", ratio: 0, {plain})"#), "powertrain.stages.belt.ratio"),
        (geometry(""), "the losses of \"rotor gearbox\" by geometry need its oil"),
        (geometry("oil: \"tubine-oil\","), "powertrain.stages.rotor gearbox.oil"),
    ] {
        let problems = read(&drive(&stages)).expect_err(&stages);
        assert!(problems.contains(told), "{stages}: {problems}");
    }
    assert!(read(&drive(&geometry("oil: \"turbine-oil\","))).is_ok());
}

/// A hover of 100 kW at the main rotor with 8 % for the tail: 108 kW where the estimate counts the tail, 100 kW at the rotor and 8 kW
/// through the branch where it does not.
#[test]
fn the_tail_rotor_is_counted_once() {
    let craft = |tail: &str| {
        drive(&[BELT, TAIL, ROTOR_GEARBOX].concat()).replace(
            "points: [Point(name: \"run\"",
            &format!(
                r#"craft: Rotorcraft(mass: "900 kg", radius: "4 m", tip_speed: "200 m/s", hover: 0.7{tail}),
                points: [Point(name: "hover", shaft_power: Estimated(), shaft_speed: "240 rpm"), Point(name: "run""#
            ),
        )
    };
    let unstated = read(&craft("")).expect_err("8 % are a default");
    assert!(
        unstated.contains("craft.tail_rotor_hover: estimated power holds the tail rotor (0.08"),
        "{unstated}"
    );
    assert!(
        unstated.contains("set tail_rotor_hover: 0 where \"tail drive\" drives the tail rotor"),
        "{unstated}"
    );
    // stated, it may be meant: the branch may drive something else
    let both = sound(&craft(", tail_rotor_hover: 0.08, tail_rotor_cruise: 0.03"));
    let once = sound(&craft(", tail_rotor_hover: 0, tail_rotor_cruise: 0"));
    let at_rotor_w = |varied| solve_at(varied, "hover", None).electric.unwrap().shaft_power_w;
    let (both_w, once_w) = (at_rotor_w(&both), at_rotor_w(&once));
    assert_close("estimate", both_w, 1.08 * once_w, 1e-12);
    let hover = solve_at(&once, "hover", None);
    assert_close("tail", stage(&hover, "tail drive").output_w, 0.08 * once_w, 1e-7);
}

/// Every loss here is a share of the power, so that half of the 226.460 886 kW of the motor at 200 kW gives half of these.
#[test]
fn power_that_is_there_passes_every_stage() {
    let varied = sound(&drive(&[BELT, TAIL, ROTOR_GEARBOX].concat()));
    let situation = cases::steady(&varied.project)[0];
    let result = model::case::solve(&situation).unwrap();
    let electric = result.electric.as_ref().unwrap();
    for (motors_w, shaft_w) in [(226_460.886, 200e3), (113_230.443, 100e3)] {
        assert_close("shaft", model::shaft::output_w(&situation, electric, motors_w), shaft_w, 1e-7);
    }
}
