use crate::case;
use crate::cases;
use crate::design;
use crate::mission::{self, FlyOptions};
use crate::result::Status;
use aircraft::starter::*;
use aircraft::variant::project_shape;
use schema::{Evidence, list_inputs};

/// Every way to cool every part, with and without a gearbox; kind, number and size of motors change from one to the next, so that each
/// value of each meets each value of the others.
fn all() -> Vec<Answers> {
    let mut all = Vec::new();
    let mut turn = 0_usize;
    for stator in Cooling::ALL {
        for inverter in Cooling::ALL {
            for pack_cooling in Cooling::ALL {
                for gearbox in Cooling::ALL.into_iter().map(Some).chain([None]) {
                    let motor_power_w = [30e3, 80e3, 300e3][turn % 3];
                    let motors = 1 + turn % 4;
                    let pack = match turn % 5 {
                        0 => PackSize::Cells { series: 120, parallel: (1 + turn % 4) * 90 },
                        // a pack that nothing cools has to be so large that a flight does not warm it
                        _ if pack_cooling == Cooling::NotCooled => {
                            PackSize::Energy(motor_power_w * motors as f64 * 7000.0)
                        }
                        _ => PackSize::Energy(
                            motor_power_w * motors as f64 * [1400.0, 1900.0, 2400.0][turn % 3],
                        ),
                    };
                    all.push(Answers {
                        name: format!("aircraft {turn}"),
                        kind: CraftKind::ALL[turn % 2],
                        motors,
                        is_geared: gearbox.is_some(),
                        motor_power_w: if turn.is_multiple_of(5) { 30e3 } else { motor_power_w },
                        pack,
                        stator,
                        inverter,
                        gearbox: gearbox.unwrap_or(Cooling::Oil),
                        pack_cooling,
                        ..Answers::default()
                    });
                    turn += 1;
                }
            }
        }
    }
    all
}

/// Solved; a part that is left to itself, or to the air, may get so hot that the model ends.
fn is_expected(status: Status, answers: &Answers) -> bool {
    let is_bare = |part| matches!(answers.cooling(part), Some(Cooling::NotCooled | Cooling::Air));
    status == Status::Solved || (status == Status::OutOfRange && Part::ALL.into_iter().any(is_bare))
}

#[test]
fn every_combination_of_answers_checks_clean_and_every_case_of_it_is_solved() {
    for answers in all() {
        let node = begin(&answers).unwrap_or_else(|error| panic!("{error}: {answers:?}"));
        let project = design::apply(&node, None).unwrap_or_else(|p| panic!("{p:?} {answers:?}")).project;
        let warnings = crate::validate::validate(&project);
        assert_eq!(warnings.iter().count(), 0, "{warnings:?} {answers:?}");
        for group in &project.cases {
            for (condition, point) in
                group.conditions.iter().flat_map(|c| group.points.iter().map(move |p| (c, p)))
            {
                let situation = crate::assembly::Situation {
                    project: &project,
                    condition: project.conditions.iter().find(|c| c.name.as_str() == condition).unwrap(),
                    point: project.points.iter().find(|p| p.name.as_str() == point).unwrap(),
                    failure: None,
                };
                let result = case::solve(&situation).unwrap();
                // a pack that nothing cools may have no steady state at full power, now that warm cells gain nothing: it is judged
                // over time
                if answers.pack_cooling == Cooling::NotCooled && result.status == Status::NoEquilibrium {
                    assert_eq!(result.notices[0].place, "cells", "{answers:?}");
                    continue;
                }
                assert!(
                    is_expected(result.status, &answers),
                    "{condition}/{point}: {:?} {answers:?}",
                    result.notices
                );
                assert_eq!(result.margins.is_empty(), result.status == Status::OutOfRange);
            }
        }
    }
}

#[test]
fn every_mission_flies_on_the_hot_day_and_in_the_cold() {
    let mut failed = Vec::new();
    for (index, answers) in all().into_iter().enumerate() {
        let node = begin(&answers).unwrap();
        let project = design::apply(&node, None).unwrap().project;
        let cases = cases::missions(&project);
        // the cold morning for every third: each way of cooling of each part is among them
        let conditions = if index % 3 == 0 { &["hot day", "cold morning"][..] } else { &["hot day"] };
        for condition in conditions {
            let case = cases.iter().find(|case| case.name().condition == *condition).unwrap();
            let flight =
                mission::fly(&project, mission::schedule(case).unwrap(), None, &FlyOptions::default());
            if !is_expected(flight.status, &answers) {
                failed.push(format!("{condition}: {:?} {answers:?}", flight.notices));
            }
        }
    }
    assert!(failed.is_empty(), "{}: {failed:#?}", failed.len());
}

#[test]
fn every_number_that_is_no_answer_is_marked_as_a_placeholder() {
    for answers in all().iter().step_by(37) {
        let node = begin(answers).unwrap();
        let inputs = list_inputs(&node, project_shape());
        let stated = inputs.iter().filter(|input| input.stated && !input.in_curve && !input.whole);
        for input in stated {
            let source = input.source.as_deref().unwrap_or_default();
            let is_marked = source.starts_with(PLACEHOLDER) || source.starts_with("from the answers");
            assert!(is_marked && input.evidence == Evidence::Assumed, "{}: {source:?}", input.path);
        }
    }
}

#[test]
fn answers_that_cannot_be_are_refused_with_what_could() {
    let refuse = |change: fn(&mut Answers)| {
        let mut answers = Answers::default();
        change(&mut answers);
        begin(&answers).unwrap_err().to_string()
    };
    assert!(refuse(|a| a.motors = 0).starts_with("motors: 0 is outside 1 to 8"));
    assert!(refuse(|a| a.motor_power_w = f64::NAN).contains("1 kW to 1000 kW"));
    assert!(refuse(|a| a.name = " ".into()).starts_with("name: "));
    assert!(refuse(|a| a.pack = PackSize::Energy(f64::NAN)).contains("no cells"));
    assert!(refuse(|a| a.pack = PackSize::Cells { series: 400, parallel: 10 }).contains("14 to 250"));
    // 80 kW / (0.94 x 0.98) = 86.8 kW at the bus, for a third of an hour: 28.9 kWh
    let small = refuse(|a| a.pack = PackSize::Energy(10.0 * 3.6e6));
    assert!(small.contains("87 kW at the bus") && small.contains("give 28.9 kWh"), "{small}");
    // 40 kWh are 2576 cells of 15.54 Wh, in strings of 108: 24 strings, 2592 cells. 0.7 x 86843 W / (2592 x 3.7 V) = 6.339 A each;
    // 0.014 x 1.3 Ohm and 0.75 x 15120 As: 1308 J in 0.07 x 950 J/K: 19.7 K, of 5.5 K to spare: 40.3 kWh x 19.7 / 5.5 = 144 kWh
    let warm = refuse(|a| a.pack_cooling = Cooling::NotCooled);
    assert!(warm.contains("by about 20 K") && warm.contains("give 144"), "{warm}");
    let heavy = refuse(|a| (a.kind, a.mass_kg) = (CraftKind::Rotorcraft, Some(900.0)));
    assert!(heavy.starts_with("mass: a hover of 900 kg") && heavy.contains("give 60"), "{heavy}");
    let two = refuse(|a| (a.is_geared, a.motor_rad_s, a.output_rad_s) = (false, Some(500.0), Some(250.0)));
    assert!(two.contains("4775 rpm on a shaft of 2387 rpm"), "{two}");
}

#[test]
fn the_first_sizes_follow_the_rules_that_their_sources_name() {
    // One motor of 80 kW: 80 (1/0.94 - 1) = 5.106 kW in the motor, 80/0.94 (1/0.98 - 1) = 1.737 kW in the inverter: 6.843 kW in the
    // shared loop. Laid out for 56 degC, 18.2 K above the hot day: 6.843/(2 x 18.2) = 0.1880 m2 of face, 380 mm high and 494 mm wide;
    // 2 L/min for each kW: 13.7 L/min.
    let node = begin(&Answers::default()).unwrap();
    let text = |path: &str| {
        let inputs = list_inputs(&node, project_shape());
        inputs.iter().find(|input| input.path.to_string() == path).map(|input| input.text.clone()).unwrap()
    };
    assert_eq!(text("cores.shared radiator.transfer.height"), "380 mm");
    assert_eq!(text("cores.shared radiator.transfer.width"), "494 mm");
    assert_eq!(text("loops.shared.path.stator jacket 1.flow.at"), "13.7 L/min");
    // 13.7 L/min at 1.5 m/s: bore (4 x 13.7/60000 / (1.5 pi))^0.5 = 13.9 mm
    assert_eq!(text("loops.shared.path.shared feed.diameter"), "13.9 mm");
    assert_eq!(
        text("points.take-off.shaft_power"),
        "78 kW",
        "2.5 % less than the motor gives, for the gearbox"
    );
}

/// Momentum theory by hand: two motors of 80 kW, 6 kg for each kilowatt: 960 kg on a disc of 17 kg/m2, 56.47 m2, radius 4.240 m.
/// Air of the hot day of 14 CFR 27.1043 at sea level, 37.78 degC and 101325 Pa: 1.1353 kg/m3. Weight 9414.4 N,
/// induced velocity (9414.4 / (2 x 1.1353 x 56.47))^0.5 = 8.569 m/s; 9414.4 x 8.569 / 0.7 = 115.25 kW at the main rotor, 8 % more for the
/// tail rotor: 124.5 kW. Source of the relation: momentum theory of the hover (Froude), P = T (T / (2 rho A))^0.5.
#[test]
fn a_new_rotorcraft_hovers_at_the_power_of_momentum_theory() {
    let answers = Answers {
        kind: CraftKind::Rotorcraft,
        motors: 2,
        pack: PackSize::Energy(80.0 * 3.6e6),
        ..Answers::default()
    };
    let project = design::apply(&begin(&answers).unwrap(), None).unwrap().project;
    let case = |point: &str, failure: Option<&str>| {
        let situation = crate::assembly::Situation {
            project: &project,
            condition: project.conditions.iter().find(|c| c.name.as_str() == "hot day").unwrap(),
            point: project.points.iter().find(|p| p.name.as_str() == point).unwrap(),
            failure: failure.map(|name| project.failures.iter().find(|f| f.name.as_str() == name).unwrap()),
        };
        case::solve(&situation).unwrap()
    };
    let motors_w = |result: &crate::result::CaseResult| -> Vec<f64> {
        result.electric.as_ref().unwrap().motors.iter().map(|motor| motor.shaft_power_w).collect()
    };
    let point = project.points.iter().find(|p| p.name.as_str() == "hover").unwrap();
    let outside = crate::outside::Outside::of(&project.conditions[0], point).unwrap();
    let power = crate::estimate::PointShaftPower::of(project.craft.as_ref(), point, &outside).unwrap();
    assert!((power.shaft_power_w() / 124.5e3 - 1.0).abs() < 0.005, "{power:?}");
    // the gearbox takes 1.5 % in its meshes and some drag: both motors together give a little more
    let hover_w: f64 = motors_w(&case("hover", None)).iter().sum();
    assert!(hover_w > 1.015 * 124.5e3 && hover_w < 1.025 * 124.5e3, "{hover_w}");
    // after a motor is lost the other one flies level alone, within what it gives always
    let left_w = motors_w(&case("after a failure", Some("motor 1 out")));
    assert!(left_w[0] <= 0.0 && left_w[1] > 40e3 && left_w[1] < 80e3, "{left_w:?}");
}

/// Each cooling keeps something when either supply is lost: pumps and fans stand in pairs on both.
#[test]
fn losing_a_supply_leaves_half_of_the_machines_of_every_circuit() {
    for answers in all().iter().step_by(53) {
        let project = design::apply(&begin(answers).unwrap(), None).unwrap().project;
        let paths = project.loops.iter().map(|l| &l.path).chain(project.ducts.iter().map(|d| &d.path));
        for path in paths {
            let supplies: Vec<Option<&str>> = aircraft::records::device::devices(path)
                .into_iter()
                .filter_map(|device| match device {
                    aircraft::records::device::Device::Pump(m)
                    | aircraft::records::device::Device::Fan(m) => Some(m.supply.as_deref()),
                    _ => None,
                })
                .collect();
            assert_eq!(supplies, [Some("bus A"), Some("bus B")], "{answers:?}");
        }
    }
}
