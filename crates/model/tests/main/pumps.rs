//! Displacement pumps, relief and bypass valves, standing pumps, and what a pump needs at its inlet.
#![expect(clippy::unwrap_used, reason = "tests")]

use aircraft::records::project::Project;
use media::Liquid;
use model::case;
use model::cases;
use model::design;
use model::result::{CaseResult, StationResult, Status};
use testkit::assert_close;

/// An oil loop at one temperature all over: the sump passes what the pump puts in to an outside air of that temperature.
pub(crate) fn oil_loop(oat: &str, pump: &str, rest: &str) -> String {
    format!(
        r#"Project(format: "heatledger", version: 1, name: "oil",
        conditions: [Condition(name: "day", day: Fixed("{oat}"))],
        components: [Component(name: "sump", capacity: "5 kJ/K")],
        links: [Link(from: "sump", to: "outside air", law: Conductance("20 kW/K"))],
        loops: [Loop(name: "oil", fluid: "iso-vg-32", least_flow: "0.01 L/min", path: [
            {pump},
            {rest},
            Jacket(name: "jacket", walls: ["sump"], film: Fixed("50 kW/K"), flow: Loss(coefficient: 1, diameter: "20 mm")),
            Reservoir(name: "tank", volume: "3 L", cap: "0 kPag")])],
        points: [Point(name: "run")],
        cases: [CaseGroup(conditions: ["day"], points: ["run"])])"#
    )
}

/// 12 mL a turn at 3000 rpm, 36 L/min; slip 0.6 L/min at 5 bar and 20 mPa s; relief from 6 bar, 8 L/min for 2 bar more.
pub(crate) const GEAR_PUMP: &str = r#"Pump(name: "pump", displacement: Displacement(per_turn: "12 mL", speed: "3000 rpm", slip: "0.6 L/min",
    slip_pressure: "5 bar", slip_viscosity: "20 mPa s", relief: ReliefSpring(cracking: "6 bar", flow: "8 L/min", over: "2 bar")),
    power: Efficiency(0.85))"#;
const ORIFICE: &str = r#"Restrictor(name: "orifice", flow: Loss(coefficient: 1.5, diameter: "5 mm"))"#;

pub(crate) fn read(text: &str) -> Project {
    let (node, problems) = project::parse(text.as_bytes());
    design::decode(&node.unwrap_or_else(|| panic!("{problems:?}")))
        .unwrap_or_else(|problems| panic!("{problems}"))
}

fn solved(text: &str) -> CaseResult {
    let project = read(text);
    let result = case::solve(&cases::steady(&project)[0]).unwrap();
    assert_eq!(result.status, Status::Solved, "{:?}", result.notices);
    result
}

fn station<'a>(result: &'a CaseResult, name: &str) -> &'a StationResult {
    result.loops[0].stations.iter().find(|s| s.name == name).unwrap()
}

/// Rise by the law of the pump, with the viscosity of the oil that it holds.
fn rise_by_hand(flow_m3_s: f64, viscosity_pa_s: f64) -> f64 {
    let (displaced, slip, relief) = (36e-3 / 60.0, 1e-5 / 5e5 * 0.020 / viscosity_pa_s, 8e-3 / 60.0 / 2e5);
    let back = displaced - flow_m3_s;
    let shut = back / slip;
    if shut < 6e5 { shut } else { 6e5 + (back - slip * 6e5) / (slip + relief) }
}

/// Warm oil: the orifice takes less than 6 bar, the valve is shut, and all but the slip goes round. Cold oil of the same loop: the
/// orifice and the hoses of the loop ask for more, the valve is open, and what is relieved warms the oil in the pump.
#[test]
fn a_gear_pump_with_a_relief_valve_on_warm_and_on_cold_oil() {
    let oil = Liquid::named("iso-vg-32").unwrap();
    for (oat, hose, is_relieved) in [
        ("60 degC", "", false),
        ("-20 degC", r#", Hose(name: "line", length: "3 m", diameter: "12 mm")"#, true),
    ] {
        let result = solved(&oil_loop(oat, GEAR_PUMP, &format!("{ORIFICE}{hose}")));
        let pump = station(&result, "pump");
        let rise_pa = pump.pressure_out_pa - pump.pressure_in_pa;
        let by_hand = rise_by_hand(pump.volume_flow_m3_s, oil.viscosity(pump.temperature_out_k));
        assert_eq!(rise_pa > 6e5, is_relieved, "{oat}: {rise_pa} Pa");
        // the corner takes 3 kPa of 6 bar at most
        assert!((rise_pa - by_hand).abs() < 3.1e3, "{oat}: {rise_pa}, by hand {by_hand}");
        // shaft power on everything displaced: rise x 36 L/min / 0.85
        assert_close("power", pump.power_w, rise_pa * 36e-3 / 60.0 / 0.85, 1e-9);
        // heat in the pump: that power less what the oil carries on as pressure
        // (its density in the pump is that behind it, in the flow the mean)
        assert_close("heat", pump.heat_w, pump.power_w - rise_pa * pump.volume_flow_m3_s, 1e-3);
        assert!(result.ledger.residual_w.abs() < 1e-6 * result.ledger.generated_w);
        println!("{oat}: {:.2} L/min at {:.2} bar", 6e4 * pump.volume_flow_m3_s, 1e-5 * rise_pa);
    }
}

/// A filter with a relief valve beside it: filter 4 bar at 36 L/min by the square of the flow; the valve cracks at 2 bar and passes 60 L/min for
/// 1 bar more. The two share the flow at one pressure difference p: 36 sqrt(p/4) + 60 (p - 2) = Q.
#[test]
fn a_relief_valve_beside_a_filter_by_hand() {
    let parallel = r#"Parallel(name: "filter group", branches: [
        Branch(name: "through", path: [Filter(name: "filter", flow: Point(drop: "4 bar", at: "36 L/min", exponent: 2))]),
        Branch(name: "around", path: [ReliefValve(name: "valve", spring: ReliefSpring(cracking: "2 bar", flow: "60 L/min", over: "1 bar"))])])"#;
    let result = solved(&oil_loop("60 degC", GEAR_PUMP, parallel));
    let (filter, valve) = (station(&result, "filter"), station(&result, "valve"));
    let drop_bar = 1e-5 * (valve.pressure_in_pa - valve.pressure_out_pa);
    let (filtered, relieved) = (6e4 * filter.volume_flow_m3_s, 6e4 * valve.volume_flow_m3_s);
    assert_close("filter", filtered, 36.0 * (drop_bar / 4.0).sqrt(), 2e-3);
    assert_close("valve", relieved, 60.0 * (drop_bar - 2.0), 2e-3);
    assert!(drop_bar > 2.0 && relieved > 5.0, "{drop_bar} bar, {relieved} L/min");
    // the same spring without a cracking pressure takes all the flow that it can
    let bypass = parallel.replace(
        r#"ReliefValve(name: "valve", spring: ReliefSpring(cracking: "2 bar", flow: "60 L/min", over: "1 bar"))"#,
        r#"BypassValve(name: "valve", flow: "60 L/min", over: "1 bar")"#,
    );
    let result = solved(&oil_loop("60 degC", GEAR_PUMP, &bypass));
    let valve = station(&result, "valve");
    let drop_bar = 1e-5 * (valve.pressure_in_pa - valve.pressure_out_pa);
    assert_close("bypass", 6e4 * valve.volume_flow_m3_s, 60.0 * drop_bar, 2e-3);
}

/// A standing pump beside a running one, its stated loss of 30 kPa at 10 L/min against the square law of its curve.
#[test]
fn a_standing_pump_loses_what_is_stated() {
    let pumps = |stopped: &str| {
        format!(
            r#"Pump(name: "pump", curve: [("0 L/min", "300 kPa"), ("30 L/min", "0 kPa")], power: Efficiency(0.4)),
            Pump(name: "second", curve: [("0 L/min", "300 kPa"), ("30 L/min", "0 kPa")], speed: 0, power: Efficiency(0.4){stopped})"#
        )
    };
    let stated = solved(&oil_loop(
        "60 degC",
        &pumps(r#", stopped: StoppedLoss(drop: "30 kPa", at: "10 L/min")"#),
        ORIFICE,
    ));
    let second = station(&stated, "second");
    let flow = 6e4 * second.volume_flow_m3_s;
    assert_close(
        "loss",
        1e-3 * (second.pressure_in_pa - second.pressure_out_pa),
        30.0 * (flow / 10.0).powi(2),
        2e-3,
    );
}

#[test]
fn a_pump_has_a_curve_or_a_displacement() {
    let told = |pump: &str| -> Vec<String> {
        let text = oil_loop("20 degC", pump, ORIFICE);
        let (node, _) = project::parse(text.as_bytes());
        let problems = design::decode(&node.unwrap()).expect_err("it must be refused");
        problems.iter().map(|p| format!("{}: {}", p.path, p.message)).collect()
    };
    let none = told(r#"Pump(name: "pump", power: Efficiency(0.4))"#);
    assert!(none.iter().any(|m| m.contains("nothing says what it does to the pressure")), "{none:?}");
    let both = told(
        &GEAR_PUMP.replace("power:", r#"curve: [("0 L/min", "300 kPa"), ("30 L/min", "0 kPa")], power:"#),
    );
    assert!(both.iter().any(|m| m.contains("a curve and a displacement")), "{both:?}");
    let fixed = told(&GEAR_PUMP.replace("Efficiency(0.85)", "Fixed(\"100 W\")"));
    assert!(fixed.iter().any(|m| m.contains("follows from what it displaces")), "{fixed:?}");
}
