//! Junctions of an inverter above its baseplate, by hand, and what stands in where nothing is stated.

use crate::bench::{booked, read, solve, sound, text};
use model::result::Status;
use testkit::assert_close;

const CHANNELS: &str = "Devices(resistance: \"10 mOhm\", switching_energy: \"0 mJ\", reference_current: \"300 A\", reference_voltage: \"400 V\")";

fn bench(losses: &str, extra: &str) -> String {
    text(&format!(
        "conditions: [Condition(name: \"room\", day: Fixed(\"75 degC\"))],
        components: [Component(name: \"motor\"), Component(name: \"baseplate\", limits: [Limit(value: \"90 degC\", required: \"0 K\")])],
        links: [Link(from: \"motor\", to: \"outside air\", law: Conductance(\"1e6 W/K\")), Link(from: \"baseplate\", to: \"outside air\", law: Conductance(\"1e9 W/K\"))],
        powertrain: Powertrain(motors: [Motor(name: \"left\", winding: \"motor\", iron: \"motor\", rotor: \"motor\", inverter: \"baseplate\", {extra}
            losses: Machine(phase_resistance: \"5 mOhm\", torque_constant: \"0.5 N m/A\", magnet_coefficient: \"0 %/K\", pole_pairs: 4, iron_loss: \"0 W\", reference_speed: \"6000 rpm\"),
            inverter_losses: {losses})], bus: Supply(\"400 V\")),
        points: [Point(name: \"run\", shaft_power: \"5.235987756 kW\", shaft_speed: \"1000 rpm\")],
        cases: [CaseGroup(conditions: [\"room\"], points: [\"run\"])],"
    ))
}

fn junction(resistance: &str) -> String {
    format!(
        "junction: Junction(resistance: {resistance}, limits: [Limit(value: \"150 degC\", required: \"20 K\")]),"
    )
}

#[test]
fn the_hotter_junction_is_judged() {
    // 5.236 kW at 104.72 rad/s: 50 N m, 100 A rms. A switch: 0.010 x (100 sqrt 2)^2/4 = 50 W at 25 degC, 0.25 W/K;
    // baseplate 75 degC: 62.5 W; 75 + 0.4 x 62.5/(1 - 0.4 x 0.25) = 102.778 degC, the bridge 6 x 69.4444 = 416.667 W
    let extra = junction("PerSwitch(switch: \"0.4 K/W\", diode: \"0.8 K/W\")");
    let result = solve(&sound(&bench(CHANNELS, &extra)));
    let margin = result.margins.iter().find(|m| m.place == "left inverter junction").expect("a limit");
    assert_close("junction", margin.value - 273.15, 102.777_8, 1e-5);
    assert_close("margin", margin.margin, 150.0 - 102.777_8, 1e-5);
    assert_eq!(margin.required, 20.0);
    assert_close("loss", booked(&result, "left inverter"), 416.666_7, 1e-5);
    // as one module with 0.05 K/W: 375 W at 75 degC, 1.5 W/K: 75 + 18.75/0.925 = 95.2703 degC
    let whole = solve(&sound(&bench(CHANNELS, &junction("Whole(\"0.05 K/W\")"))));
    let margin = whole.margins.iter().find(|m| m.place == "left inverter junction").expect("a limit");
    assert_close("module", margin.value - 273.15, 95.270_3, 1e-5);
}

#[test]
fn a_junction_that_outgrows_its_way_out_is_no_equilibrium() {
    // 0.25 W/K x 4 K/W = 1
    for (k_w, status) in
        [("3 K/W", Status::Solved), ("4 K/W", Status::NoEquilibrium), ("5 K/W", Status::NoEquilibrium)]
    {
        let extra = junction(&format!("PerSwitch(switch: \"{k_w}\", diode: \"0.1 K/W\")"));
        let result = solve(&sound(&bench(CHANNELS, &extra)));
        assert_eq!(result.status, status, "{k_w}: {:?}", result.notices);
    }
}

#[test]
fn bipolar_switches_by_hand() {
    let bipolar = "Bipolar(threshold: \"1 V\", slope: \"4 mOhm\", diode_threshold: \"1.1 V\", diode_slope: \"3 mOhm\", switching_energy: \"30 mJ\",
        recovery_energy: \"10 mJ\", reference_current: \"300 A\", reference_voltage: \"600 V\", carrier: \"8 kHz\")";
    let result = solve(&sound(&bench(bipolar, "")));
    let point = result.electric.as_ref().expect("a drive").reading.drives[0].point.expect("it runs");
    let (m, cosine) = (point.bridge_state.modulation_index, point.bridge_state.power_factor);
    let pi = std::f64::consts::PI;
    // 100 A, rounded at zero current over 0.1 A
    let amperes = point.bridge_state.phase_current_rms_a;
    assert_close("current", amperes, 100.0, 1e-6);
    let (i, drive) = (amperes * 2.0_f64.sqrt(), m * cosine);
    let switch = i * (0.5 / pi + drive / 8.0) + 0.004 * i * i * (0.125 + drive / (3.0 * pi));
    let diode = 1.1 * i * (0.5 / pi - drive / 8.0) + 0.003 * i * i * (0.125 - drive / (3.0 * pi));
    let switching = 8000.0 / pi * (i / 300.0) * (400.0 / 600.0) * (0.030 + 0.010);
    assert_close("bridge", booked(&result, "left inverter"), 6.0 * (switch + diode + switching), 1e-7);
}

#[test]
fn what_stands_in_for_something_hotter_is_told_once() {
    let told = |extra: &str| {
        let result = solve(&sound(&bench(CHANNELS, extra)));
        let notices: Vec<_> = result.notices.into_iter().filter(|n| n.kind == "mean_for_hottest").collect();
        assert!(notices.len() <= 1, "{notices:?}");
        notices.into_iter().map(|n| n.message).collect::<String>()
    };
    let without = told("");
    assert!(
        without.contains("baseplate of the inverter of left")
            && without.contains("mean temperature of baseplate"),
        "{without}"
    );
    let with = told(&junction("Whole(\"0.05 K/W\")"));
    assert!(!with.contains("junctions") && with.contains("mean temperature of baseplate"), "{with}");
    let refused =
        read(&bench("Fixed(\"100 W\")", &junction("PerSwitch(switch: \"0.4 K/W\", diode: \"0.8 K/W\")")))
            .expect_err("no devices");
    assert!(refused.contains("given with the power devices"), "{refused}");
}
