//! On the ground: carts, charging, turnarounds; and switches and lags of controls.

use aircraft::records::project::Project;
use model::assembly::{Situation, assemble, charge_limiter};
use model::case;
use model::cases;
use model::design::decode;
use model::mission::{
    self, Ending, Phase, ScheduleStep, StartState, TurnaroundCase, TurnaroundStart, schedule_turnaround,
};
use model::result::{CaseResult, Status};

/// A heated plate and a pack on one glycol loop with couplings for a cart.
const TEXT: &str = include_str!("../../fixtures/ramp.ron");

fn read(text: &str) -> Project {
    let (node, problems) = project::parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    decode(&node.expect("a tree was read")).unwrap_or_else(|problems| panic!("{problems}"))
}

fn mistakes(from: &str, to: &str) -> Vec<String> {
    assert!(TEXT.contains(from), "{from}");
    let (node, problems) = project::parse(TEXT.replacen(from, to, 1).as_bytes());
    assert!(problems.is_empty(), "{problems}");
    let problems = match decode(&node.expect("a tree was read")) {
        Ok(project) => model::validate::validate(&project),
        Err(problems) => {
            assert!(problems.iter().all(|p| p.place.is_some()), "{problems}");
            problems
        }
    };
    problems.iter().map(|p| format!("{}: {}", p.path, p.message)).collect()
}

fn situation<'a>(project: &'a Project, point: &str) -> Situation<'a> {
    let point = project.points.iter().find(|p| p.name.as_str() == point).expect("the point is in the text");
    Situation { project, condition: &project.conditions[0], point, failure: None }
}

fn solved(project: &Project, point: &str) -> CaseResult {
    let result = case::solve(&situation(project, point)).unwrap_or_else(|problem| panic!("{problem}"));
    assert_eq!(result.status, Status::Solved, "{:?}", result.notices);
    assert!(result.ledger.residual_w.abs() < 1e-6 * result.ledger.generated_w, "{:?}", result.ledger);
    result
}

fn component_k(result: &CaseResult, name: &str) -> f64 {
    result.components.iter().find(|c| c.name == name).expect("the component exists").temperature_k()
}

#[test]
fn a_cart_holds_its_flow_and_its_supply() {
    let project = read(TEXT);
    let result = solved(&project, "connected");
    let flow = result.loops[0].volume_flow_m3_s * 60e3;
    assert!((flow / 20.0 - 1.0).abs() < 0.05, "{flow} L/min");
    let stations = &result.loops[0].stations;
    let station = |name: &str| stations.iter().find(|s| s.name == name).expect("the station exists");
    // heat over capacity rate: the couplings leave 1/21 of what the loop brings above the supply
    let (couplings, plate) = (station("couplings"), station("plate"));
    let above = (couplings.temperature_out_k - 288.15) / (couplings.temperature_in_k - 288.15);
    assert!((above - 1.0 / 21.0).abs() < 0.004, "{above}");
    // block by hand: coolant into the plate, and 3 kW through one side at the inlet: T = Tin + Q/(C (1 - exp(-UA/C)))
    let heat = 3000.0;
    let rate = heat / (plate.temperature_out_k - plate.temperature_in_k);
    let block = plate.temperature_in_k + heat / (rate * (1.0 - (-400.0_f64 / rate).exp()));
    assert!((component_k(&result, "plate block") - block).abs() < 0.05, "{block}");
    let cart = result.lines.iter().find(|line| line.what == "cart at couplings").expect("it is booked");
    assert!(cart.is_rejection && cart.heat_w > 2500.0, "{cart:?}");
}

#[test]
fn a_cart_gives_no_more_than_its_ceiling() {
    // 3 kW from the heater and a ceiling of 2 kW: the cart is at its ceiling, the rest goes through the radiator with its fan
    let limited = TEXT.replace("ceiling: \"10 kW\"", "ceiling: \"2 kW\"").replace(
        "PointSetting(name: \"pump\", speed: 0), PointSetting(name: \"fan\", speed: 0)",
        "PointSetting(name: \"pump\", speed: 0)",
    );
    let project = read(&limited);
    let result = solved(&project, "connected");
    let cart = result.lines.iter().find(|line| line.what == "cart at couplings").expect("it is booked");
    assert!(cart.heat_w > 1990.0 && cart.heat_w <= 2000.0 + 1e-6, "{cart:?}");
}

#[test]
fn couplings_apart_leave_the_loop_as_it_was() {
    let with = solved(&read(TEXT), "apart");
    let bare = TEXT
        .replace("    GroundConnection(name: \"couplings\", cart: \"cart\", connected: Point(drop: \"10 kPa\", at: \"20 L/min\"), apart: Loss(coefficient: 0.2, diameter: \"20 mm\")),\n", "")
        .replace(", carts: [\"couplings\"]", "");
    let bare = bare.replace("cooling: Cart,", "").replace("cooling: CartAndOwn", "");
    let without = solved(&read(&bare), "apart");
    let (a, b) = (component_k(&with, "plate block"), component_k(&without, "plate block"));
    assert!((a - b).abs() < 0.1, "{a} {b}");
    let lost = 1.0 - with.loops[0].volume_flow_m3_s / without.loops[0].volume_flow_m3_s;
    assert!((0.0..0.01).contains(&lost), "{lost}");
    assert!(with.lines.iter().filter(|line| line.what == "cart at couplings").all(|line| line.heat_w == 0.0));
}

#[test]
fn carts_and_charges_leave_the_unknowns_as_they_are() {
    let project = read(TEXT);
    let size = |point: &str| {
        let network = assemble(situation(&project, point)).unwrap_or_else(|p| panic!("{p}")).network;
        (network.unknowns(), network.stored_entries())
    };
    assert_eq!(size("apart"), size("connected"));
    assert_eq!(size("apart"), size("charging"));
}

#[test]
fn a_charge_knows_its_rates_in_ampere() {
    let project = read(TEXT);
    let limiter =
        charge_limiter(&situation(&project, "charging")).unwrap_or_else(|p| panic!("{p}")).expect("charged");
    let data = limiter.data();
    // 20 strings of 5 Ah; 96 cells of 4.2 V; 1 C
    assert!((data.rated_capacity_ah - 100.0).abs() < 1e-9);
    assert!((data.constant_voltage_v - 403.2).abs() < 1e-9);
    assert!((data.c_rate - 1.0).abs() < 1e-12);
    assert!((data.taper_c_rate - 0.05).abs() < 1e-12);
    assert_eq!(data.stop_soc, Some(0.8));
    assert_eq!(data.charger.power_cap_w(), Some(25e3));
    let (from, to) = data.window.start_range_k();
    // 5 K inside the lower end; the stated gate at the upper
    assert!((from - 278.15).abs() < 1e-9 && (to - 313.15).abs() < 1e-9, "{from} {to}");
    assert!(charge_limiter(&situation(&project, "apart")).unwrap_or_else(|p| panic!("{p}")).is_none());
}

#[test]
fn aged_cells_make_more_heat() {
    let fresh = read(TEXT);
    // 1.5 times the resistance: at the same power 1.5 times the joule heat, and a little more because the voltage sags
    let aged = read(&TEXT.replace("Point(name: \"rolling\",", "Point(name: \"rolling\", life_used: 1,"));
    let power = |text: &Project| {
        let result = solved(text, "rolling");
        result
            .lines
            .iter()
            .filter(|line| !line.is_rejection && line.what.starts_with("cells"))
            .map(|line| line.heat_w)
            .sum::<f64>()
    };
    let ratio = power(&aged) / power(&fresh);
    assert!((1.49..1.52).contains(&ratio), "{ratio}");
}

fn turn(project: &Project, option: &str, start: TurnaroundStart) -> mission::Schedule {
    let turnaround = &project.turnarounds[0];
    let option =
        turnaround.options.iter().find(|o| o.name.as_str() == option).expect("the option is in the text");
    let case = TurnaroundCase { project, condition: &project.conditions[0], turnaround, option };
    schedule_turnaround(&case, start).unwrap_or_else(|problem| panic!("{problem}"))
}

fn running(step: &ScheduleStep) -> Vec<(&str, f64)> {
    let settings = &step.pieces[0].from.point.settings;
    settings.iter().filter(|s| s.speed.si() > 0.0).map(|s| (s.name.as_str(), s.speed.si())).collect()
}

#[test]
fn options_of_a_turnaround_differ_in_what_runs() {
    let project = read(TEXT);
    let labels = |option: &str| -> Vec<(String, Phase)> {
        turn(&project, option, TurnaroundStart::Landed)
            .steps
            .iter()
            .map(|s| (s.label.clone(), s.phase))
            .collect()
    };
    let of = |list: &[(&str, Phase)]| -> Vec<(String, Phase)> {
        list.iter().map(|(label, phase)| ((*label).to_owned(), *phase)).collect()
    };
    let standing = [("taxi in", Phase::Taxi), ("stand", Phase::Soak)];
    let charging = [("cool", Phase::Cool), ("charge", Phase::Charge), ("cool to depart", Phase::Cool)];
    assert_eq!(labels("passive"), of(&[&standing[..], &charging[..]].concat()));
    assert_eq!(labels("both"), of(&[&standing[..], &[("connect", Phase::Soak)], &charging[..]].concat()));
    assert_eq!(
        labels("swap"),
        of(&[&standing[..], &[("swap", Phase::Swap), ("cool to depart", Phase::Cool)]].concat())
    );

    let own = turn(&project, "own", TurnaroundStart::Landed);
    assert_eq!(own.start, StartState::AfterSegments("hop".to_owned()));
    assert_eq!(own.steps[0].duration_s(), 180.0);
    assert_eq!(own.steps[0].pieces[0].from.commanded.shaft_power_w, 2000.0);
    let cells = own.pack.as_ref().expect("there is a pack").cells.clone();
    // without a wish the pack cools to where a charge may start: 40 degC
    let Ending::AllBelow(ids, kelvin) = &own.steps[2].ending else { panic!("cooling waits for the cells") };
    assert!(*ids == cells && (kelvin - 313.15).abs() < 1e-9);
    assert_eq!(running(&own.steps[1]), []);
    assert_eq!(running(&own.steps[2]), [("pump", 0.8), ("fan", 1.0)]);
    assert_eq!(running(&own.steps[3]), [("pump", 0.8), ("fan", 1.0)]);
    assert_eq!(own.steps[3].ending, Ending::Charged);
    assert_eq!(own.steps[3].charge.as_ref().and_then(|c| c.data().stop_soc), Some(0.9));
    assert_eq!(own.steps[1].pieces[0].from.point.other_load.as_ref().map(|l| l.si()), Some(100.0));

    let cold = turn(&project, "cold first", TurnaroundStart::Landed);
    assert_eq!(cold.steps[2].duration_s(), 90.0);
    assert_eq!((cold.steps[3].carts.len(), cold.steps[4].carts.len()), (1, 0));
    assert!(matches!(&cold.steps[3].ending, Ending::AllBelow(_, kelvin) if (kelvin - 298.15).abs() < 1e-9));

    let swap = turn(&project, "swap", TurnaroundStart::Carried);
    let put_in = swap.steps[2].swap.expect("a pack is put in");
    assert_eq!((swap.steps[2].duration_s(), put_in.state_of_charge), (300.0, 0.97));
    assert!((put_in.temperature_k.expect("stated") - 295.15).abs() < 1e-9);
    assert_eq!(swap.start, StartState::Carried);
}

#[test]
fn a_table_of_the_ground_team_starts_from_the_indicated_pack() {
    let project = read(TEXT);
    let schedule =
        turn(&project, "passive", TurnaroundStart::Indicated { pack_k: 320.0, state_of_charge: 0.3 });
    let cells = schedule.pack.as_ref().expect("there is a pack").cells.clone();
    assert_eq!(cells.len(), 3);
    assert_eq!(schedule.start, StartState::Temperatures { rest_k: 303.15, parts: vec![(cells, 320.0)] });
    assert_eq!(schedule.state_of_charge, 0.3);
}

#[test]
fn a_segment_may_charge_with_a_cart() {
    let project = read(TEXT);
    let case = cases::missions(&project)[0];
    let schedule = mission::schedule(&case).unwrap_or_else(|problem| panic!("{problem}"));
    let fill = &schedule.steps[1];
    assert_eq!(fill.ending, Ending::Charged);
    assert_eq!(fill.carts, ["couplings"]);
    let data = fill.charge.as_ref().expect("it charges").data();
    assert!((data.c_rate - 0.5).abs() < 1e-12);
    assert_eq!(data.stop_soc, Some(0.9));
}

#[test]
fn the_hottest_cell_counts_against_the_limit_of_the_pack() {
    let limited = TEXT
        .replace("Component(name: \"cells\", capacity: \"60 kJ/K\", segments: 3)", "Component(name: \"cells\", capacity: \"60 kJ/K\", segments: 3, limits: [Limit(value: \"60 degC\")])")
        .replace("shaft_power: \"2 kW\"", "shaft_power: \"40 kW\"");
    let project = read(&limited);
    let result = solved(&project, "rolling");
    let margin = result.margins.iter().find(|m| m.place == "cells").expect("the pack has a limit");
    // a fifth more joule heat of one cell, through 3 K/W: 0.2 I^2 R 3, R grown by 1.3 over minutes, nothing gained above 25 degC
    let current = result.electric.as_ref().expect("a drive").bus_current_a / 20.0;
    let cells = component_k(&result, "cells");
    assert!(cells > 298.15);
    let ohm = 0.020 * 1.3;
    let rise = 0.2 * current * current * ohm * 3.0;
    assert!(rise > 0.1, "{rise}");
    assert!((margin.value - cells - rise).abs() < 1e-6 * rise, "{} {cells} {rise}", margin.value);
}

fn charged_without_hot_cell() -> mission::Flight {
    flown_charge(
        "20 degC",
        "0.7",
        &TEXT.replace(",\n        hot_cell: HotCell(excess: 0.2, to_coolant: \"3 K/W\")", ""),
    )
}

/// A charge of the parked pack from 0.4 to a state of charge at 0.5 C: 50 A into 20 strings of 5 Ah.
fn charged(outside: &str, to: &str) -> mission::Flight {
    flown_charge(outside, to, TEXT)
}

fn flown_charge(outside: &str, to: &str, text: &str) -> mission::Flight {
    let text = text
        .replace("(\"50 degC\", \"0 C\")]", "(\"45 degC\", \"0.3 C\"), (\"50 degC\", \"0 C\")]")
        .replace("day: Fixed(\"30 degC\")", &format!("day: Fixed(\"{outside}\")"))
        .replace("Segment(name: \"fly\", duration: \"10 min\", point: \"rolling\", airspeed: \"20 kt\"),", "")
        .replace("Mission(name: \"hop\",", "Mission(name: \"hop\", start: OutsideAir, state_of_charge: 0.4,")
        .replace("duration: \"2 h\", ground: true, charge: Charge(to: 0.9, rate: \"0.5 C\"), carts: [\"couplings\"]",
            &format!("duration: \"2 h\", ground: true, charge: Charge(to: {to}, rate: \"0.5 C\")"));
    let project = read(&text);
    let case = cases::missions(&project).into_iter().next().expect("there is a mission");
    let schedule = mission::schedule(&case).unwrap_or_else(|p| panic!("{p}"));
    mission::fly(&project, schedule, None, &mission::FlyOptions::default())
}

#[test]
fn a_charge_ends_at_its_second() {
    let flight = charged("20 degC", "0.7");
    let done = flight.events.iter().find(|event| event.what == "charge is done").expect("it ends");
    // 0.3 of the capacity at half of it in an hour: 0.6 h
    assert!((done.time_s - 2160.0).abs() < 0.1, "{}", done.time_s);
    assert!((flight.state_of_charge().last().expect("samples") - 0.7).abs() < 1e-4);
}

/// The allowance of the hottest cell is 0.2 x 3 K/W x (2.5 A)^2 x 20 mOhm x 1.3 = 0.0975 K: a window that falls to 0.3 C
/// at 45 degC does so for a mean cell that much colder.
#[test]
fn the_hottest_cell_counts_in_a_charge() {
    let flight = charged("20 degC", "0.7");
    let step = &flight.schedule.steps[0];
    assert!(
        (step.hottest_above_k - 0.2 * 3.0 * 2.5 * 2.5 * 0.020 * 1.3).abs() < 1e-9,
        "{}",
        step.hottest_above_k
    );
    let parts = flight.schedule.parts();
    let at = |celsius: f64| {
        let state = flight.end.clone().with_component_k(parts, "cells", celsius + 273.15);
        step.first_charge_current(&state).expect("a charge").current_a
    };
    // the rate is blended into the end of the window: the hottest cell sees what the mean cell would at 0.0975 K more
    let shifted = charged_without_hot_cell();
    let plain = |celsius: f64| {
        let state = shifted.end.clone().with_component_k(shifted.schedule.parts(), "cells", celsius + 273.15);
        shifted.schedule.steps[0].first_charge_current(&state).expect("a charge").current_a
    };
    for celsius in [20.0, 44.2, 44.5, 44.7] {
        let (with, without) = (at(celsius), plain(celsius + step.hottest_above_k));
        assert!((with - without).abs() < 0.02, "{celsius}: {with} {without}");
    }
    assert!(at(44.5) < plain(44.5) - 1.0, "{} {}", at(44.5), plain(44.5));
}

/// A charger on board: what it loses warms a box of 50 kJ/K that gives nothing away, 1 / 0.9 - 1 of the power into the pack.
#[test]
fn a_charger_on_board_warms_its_place() {
    let text = TEXT
        .replace(
            "Component(name: \"motor\",",
            "Component(name: \"box\", capacity: \"50 kJ/K\"), Component(name: \"motor\",",
        )
        .replace(
            "links: [",
            "links: [Link(from: \"box\", to: \"outside air\", law: Conductance(\"1 uW/K\")), ",
        )
        .replace("Charger(power: \"25 kW\")", "Charger(power: \"25 kW\", efficiency: 0.9, into: \"box\")");
    let flight = flown_charge("20 degC", "0.7", &text);
    let power: Vec<f64> = flight
        .bus_voltage_v()
        .iter()
        .zip(flight.pack_current_a())
        .map(|(volt, ampere)| -volt * ampere)
        .collect();
    let energy: f64 = (1..power.len())
        .map(|k| 0.5 * (power[k] + power[k - 1]) * (flight.times_s[k] - flight.times_s[k - 1]))
        .sum();
    assert!(energy > 1e7, "{energy}");
    let temperatures = flight.component_k("box");
    let taken = 50e3 * (temperatures[temperatures.len() - 1] - temperatures[0]);
    let expected = energy * (1.0 / 0.9 - 1.0);
    assert!((taken - expected).abs() < 2e-3 * expected, "{taken} {expected}");
    assert!(flight.heat.residual_j.abs() < 1e-9 * flight.heat.turnover_j, "{:?}", flight.heat);
}

#[test]
fn converters_that_are_off_take_nothing() {
    let with_converter = TEXT
        .replace("powertrain: Powertrain(", "powertrain: Powertrain(converters: [Converter(name: \"converter\", into: \"motor\", supplies: [\"low\"], load: \"150 W\", losses: Fixed(\"20 W\"))],")
        .replace("carts: [Cart", "supplies: [Supply(name: \"low\")],\ncarts: [Cart")
        .replace("Point(name: \"apart\",", "Point(name: \"off\", converters_off: true), Point(name: \"apart\",");
    let project = read(&with_converter);
    let bus = |point: &str| {
        let result = solved(&project, point);
        let electric = result.electric.as_ref().expect("a drive");
        electric.bus_voltage_v * electric.bus_current_a
    };
    let pump_and_fan = bus("off");
    // 150 W of load and 20 W of loss come on top of pump and fan, which hang on the bus themselves here
    assert!((bus("apart") - pump_and_fan - 170.0).abs() < 1.0, "{} {pump_and_fan}", bus("apart"));
}

#[test]
fn a_chain_may_stand() {
    let project = read(TEXT);
    let schedule =
        mission::schedule_stand(&project, &project.conditions[0], 3600.0).unwrap_or_else(|p| panic!("{p}"));
    assert_eq!((schedule.steps.len(), schedule.steps[0].duration_s()), (1, 3600.0));
    assert!(running(&schedule.steps[0]).is_empty() && schedule.start == StartState::Carried);
}

#[test]
fn a_cart_below_the_dew_point_is_told() {
    // 30 degC and 60 %: dew point 21.4 degC (Magnus formula, WMO-No. 8, from memory)
    let humid = TEXT
        .replace("day: Fixed(\"30 degC\")", "day: Fixed(\"30 degC\"), humidity: 0.6")
        .replace("after: \"hop\",", "after: \"hop\", conditions: [\"apron\"],");
    let told = model::validate::validate(&read(&humid));
    assert!(
        told.iter().any(|p| p.path == "carts.cart.supply"
            && p.message.starts_with("\"15 degC\" lies below the dew point of 21.4 degC in \"apron\"")),
        "{told}"
    );
    let dry = model::validate::validate(&read(&humid.replace("humidity: 0.6", "humidity: 0.3")));
    assert!(dry.iter().all(|p| p.path != "carts.cart.supply"), "{dry}");
}

#[test]
fn mistakes_on_the_ground_are_told() {
    for (from, to, expected) in [
        (
            r#"cart: "cart", conn"#,
            r#"cart: "crt", conn"#,
            "loops.glycol.path.couplings.cart: no cart is called \"crt\"",
        ),
        (
            "ground: true, charge",
            "charge",
            "missions.hop.segments.fill.charge: this needs the ground, and the segment is not on it",
        ),
        (
            r#"carts: ["couplings"],"#,
            r#"carts: ["cuplings"],"#,
            "points.connected.carts: no ground connection is called \"cuplings\"",
        ),
        (
            r#"("50 degC", "0 C")"#,
            r#"("50 degC", "0.5 C")"#,
            "powertrain.bus.charging.window.3: the window has no upper end: its last rate is not zero",
        ),
        (
            r#"("15 degC", "1 C")"#,
            r#"("15 degC", "0 C")"#,
            "powertrain.bus.charging.window.2: a rate of zero lies inside the window",
        ),
        (
            r#"("0 degC", "0.2 C")"#,
            r#"("-5 degC", "0.2 C")"#,
            "powertrain.bus.charging.window.1: the window allows charging below 0 degC",
        ),
        (
            r#"start_to: "40 degC""#,
            r#"start_to: "60 degC""#,
            "powertrain.bus.charging.window: hottest start of a charge",
        ),
        (
            r#"end_voltage: "4.2 V""#,
            r#"end_voltage: "4.1 V""#,
            "powertrain.bus.charging.end_voltage: a full cell rests above",
        ),
        (
            r#"end_voltage: "4.2 V""#,
            r#"end_voltage: "4.2 V", taper: "0.3 C""#,
            "powertrain.bus.charging.taper: the taper of \"0.3 C\" is no less than every rate",
        ),
        (
            "charge: Charge(to: 0.8)",
            "charge: Charge(to: 0)",
            "points.charging.charge.to: \"0\" makes no sense here",
        ),
        (
            "charge: Charge(to: 0.8)",
            r#"shaft_power: "2 kW", shaft_speed: "90 rpm", charge: Charge(to: 0.8)"#,
            "points.charging.charge: the pack is charged while the shaft takes power",
        ),
        (
            r#"charge: Charge(to: 0.9, rate: "0.5 C")"#,
            "charge: Charge(to: 0.9), until: ChargedTo(0.95)",
            "missions.hop.segments.fill.until: the charge ends at \"0.9\", before \"0.95\" is reached",
        ),
        (
            r#"cooling: Cart, cool_to: "25 degC""#,
            r#"cooling: Cart, cool_to: "12 degC""#,
            "turnarounds.turn.options.cold first.cool_to: \"12 degC\" lies below the supply of every cart: it is never reached",
        ),
        (
            r#"own: [PointSetting(name: "pump", speed: 0.8), PointSetting(name: "fan", speed: 1)],"#,
            "",
            "turnarounds.turn.options.own.cooling: no pump or fan of the aircraft is named",
        ),
        (r#"after: "hop""#, r#"after: "hip""#, "turnarounds.turn.after: no mission is called \"hip\""),
        (r#"option: "own""#, r#"option: "oxn""#, "chains.day.legs.2.option: no option is called \"oxn\""),
        (r#"legs: ["hop", "#, "legs: [", "chains.day.legs: no mission is flown in this chain"),
        (
            r#"capacity: "5 Ah""#,
            r#"capacity: "5 Ah", age_factor: 0"#,
            "powertrain.bus.cell.age_factor: \"0\" makes no sense here",
        ),
    ] {
        let told = mistakes(from, to);
        assert!(told.iter().any(|line| line.starts_with(expected)), "{to}\n{told:#?}");
    }
}

#[test]
fn a_fan_switches_between_two_temperatures_and_a_wax_lags() {
    let text = TEXT.replace(
        "power: Fixed(\"90 W\"))",
        "power: Fixed(\"90 W\"), on_off: OnOff(sensor: \"plate block\", on_above: \"55 degC\", off_below: \"45 degC\", at_off: 0.3))",
    );
    // 3 kW keep the block well above 55 degC: the fan is on
    let project = read(&text);
    let result = solved(&project, "apart");
    let fan = result.ducts[0].stations.iter().find(|s| s.name == "fan").expect("the fan");
    assert!(
        component_k(&result, "plate block") > 328.15 && (fan.setting - 1.0).abs() < 1e-9,
        "{}",
        fan.setting
    );
    for (to, expected) in [
        (
            "off_below: \"56 degC\"",
            "ducts.air.path.fan.on_off.off_below: it would switch off before it has switched on",
        ),
        ("off_below: \"45 degC\", at_on: -1", "ducts.air.path.fan.on_off.at_on: \"-1\" makes no sense here"),
    ] {
        let (node, _) = project::parse(text.replace("off_below: \"45 degC\"", to).as_bytes());
        let problems = decode(&node.expect("a tree was read")).expect_err("there is a mistake");
        assert!(
            problems.iter().any(|p| format!("{}: {}", p.path, p.message).starts_with(expected)),
            "{problems}"
        );
    }
    let valve = |lag: &str| {
        read(&TEXT.replace(
            "    Core(name: \"radiator\"),\n    Reservoir",
            &format!("    Thermostat(name: \"valve\", sensor: \"plate\", from: \"40 degC\", to: \"60 degC\", diameter: \"18 mm\"{lag}),\n    Core(name: \"radiator\"),\n    Reservoir"),
        ))
    };
    // a lag adds one temperature and changes no steady state
    let (plain, lagging) = (valve(""), valve(", lag: \"20 s\""));
    let unknowns = |project: &Project| {
        assemble(situation(project, "apart")).unwrap_or_else(|p| panic!("{p}")).network.unknowns()
    };
    assert_eq!(unknowns(&lagging), unknowns(&plain) + 1);
    let (a, b) = (
        component_k(&solved(&plain, "apart"), "plate block"),
        component_k(&solved(&lagging, "apart"), "plate block"),
    );
    assert!((a - b).abs() < 1e-6, "{a} {b}");
}
