//! A motor that is out and still turns with the gearbox, by hand.

use crate::bench::{booked, read, solve_at, sound, text};
use model::result::CaseResult;
use testkit::assert_close;

/// Two motors on one shaft that turns at 2200 rpm, everything held at 20 degC.
pub(crate) fn twin(left: &str) -> String {
    let motor = |name: &str, extra: &str, inductance: &str| {
        format!(
            "Motor(name: \"{name}\", winding: \"{name} winding\", iron: \"{name} iron\", rotor: \"{name} rotor\", inverter: \"{name} inverter\", {extra}
            losses: Machine(phase_resistance: \"10 mOhm\", torque_constant: \"0.6 N m/A\", pole_pairs: 8, {inductance}
                iron_loss: \"800 W\", magnet_loss: \"90 W\", reference_speed: \"6000 rpm\"), inverter_losses: Fixed(\"0 W\"))"
        )
    };
    let known = if left.contains("blind") { "" } else { "inductance: \"100 uH\"," };
    let parts = ["left", "right"].map(|name| {
        ["winding", "iron", "rotor", "inverter"].map(|part| {
            let limits = if part == "winding" { "limits: [Limit(value: \"150 degC\")]" } else { "" };
            (
                format!("Component(name: \"{name} {part}\", {limits}),"),
                format!("Link(from: \"{name} {part}\", to: \"outside air\", law: Conductance(\"1e9 W/K\")),"),
            )
        })
    });
    let all: Vec<_> = parts.into_iter().flatten().collect();
    let components: String = all.iter().map(|part| part.0.as_str()).collect();
    let links: String = all.iter().map(|part| part.1.as_str()).collect();
    text(&format!(
        "conditions: [Condition(name: \"room\", day: Fixed(\"20 degC\"))],
        components: [{components}], links: [{links}],
        powertrain: Powertrain(motors: [{}, {}], bus: Supply(\"400 V\")),
        points: [Point(name: \"run\", shaft_power: \"40 kW\", shaft_speed: \"2200 rpm\")],
        failures: [Failure(name: \"left out\", what: MotorOut(\"left\"))],
        cases: [CaseGroup(conditions: [\"room\"], points: [\"run\"], failures: [\"left out\"])],",
        motor("left", &left.replace("blind", ""), known),
        motor("right", "", known),
    ))
}

fn powers(result: &CaseResult) -> [f64; 2] {
    let motors = &result.electric.as_ref().expect("a drive").motors;
    [motors[0].shaft_power_w, motors[1].shaft_power_w]
}

/// 2200 of 6000 rpm: x = 0.366667. Iron 800 (0.5 x + 0.5 x^2) = 800 x 0.250556 = 200.444 W; magnets 90 x^2 = 12.1 W.
const DRAG_W: f64 = 200.444_444 + 12.1;

#[test]
fn a_motor_out_that_still_turns() {
    let varied = sound(&twin(""));
    let well = solve_at(&varied, "run", None);
    assert_close("shared", powers(&well)[0], 20e3, 1e-9);
    let out = solve_at(&varied, "run", Some("left out"));
    // drag 212.544 W; torque 212.544/(2200 x 2 pi/60 = 230.383 rad/s) = 0.92257 N m; the right one gives 40 kW and that
    assert_close("left", powers(&out)[0], -DRAG_W, 1e-7);
    assert_close("right", powers(&out)[1], 40e3 + DRAG_W, 1e-9);
    assert_close("iron", booked(&out, "left iron"), 200.444_444, 1e-7);
    assert_close("magnets", booked(&out, "left magnets"), 12.1, 1e-7);
    assert_close("copper", booked(&out, "left copper") + 1.0, 1.0, 1e-12);
    // the iron of its twin, which is in service, makes as much
    assert_close("twin", booked(&out, "right iron"), booked(&out, "left iron"), 1e-9);
    assert!(out.ledger.residual_w.abs() < 1e-6 * out.ledger.turnover_w, "{:?}", out.ledger);
    let notice = out.notices.iter().find(|n| n.kind == "dragged_motor").expect("it is told");
    assert!(notice.message.contains("213 W") && notice.message.contains("0.92 N m"), "{}", notice.message);
    assert!(well.notices.iter().all(|n| n.kind != "dragged_motor"));
}

#[test]
fn behind_a_freewheel_it_stands() {
    let out = solve_at(&sound(&twin("freewheel: true,")), "run", Some("left out"));
    assert_eq!(powers(&out)[0], 0.0);
    assert_close("right", powers(&out)[1], 40e3, 1e-12);
    assert_eq!(booked(&out, "left iron"), 0.0);
    // and a short of what stands carries nothing
    let short = solve_at(&sound(&twin("freewheel: true, failure: Shorted,")), "run", Some("left out"));
    assert_eq!(booked(&short, "left copper"), 0.0);
}

#[test]
fn a_shorted_winding_carries_its_current() {
    let out = solve_at(&sound(&twin("failure: Shorted,")), "run", Some("left out"));
    // E = 0.6 x 230.3835/3 = 46.0767 V; wL = 8 x 230.3835 x 100e-6 = 0.1843068 ohm; R = 10 mOhm at 20 degC;
    // Z = sqrt(0.01^2 + 0.1843068^2) = 0.1845779 ohm; I = 249.633 A; P = 3 x 249.633^2 x 0.010 = 1869.50 W
    let short_w = 1869.50;
    let reading = &out.electric.as_ref().expect("a drive").reading.drives[0];
    assert_close("current", reading.short_current_a.expect("a short"), 249.633, 1e-5);
    assert_close("copper", booked(&out, "left copper"), short_w, 1e-4);
    assert_close("right", powers(&out)[1], 40e3 + DRAG_W + short_w, 1e-5);
    let notice = out.notices.iter().find(|n| n.kind == "dragged_motor").expect("it is told");
    assert!(notice.message.contains("250 A in its shorted winding"), "{}", notice.message);
}

#[test]
fn a_short_of_unknown_current_is_not_judged() {
    let varied = sound(&twin("failure: Shorted, blind"));
    let out = solve_at(&varied, "run", Some("left out"));
    assert!(out.notices.iter().any(|n| n.kind == "not_judged" && n.place == "left"), "{:?}", out.notices);
    let judged: Vec<&str> = out.margins.iter().map(|m| m.place.as_str()).collect();
    assert_eq!(judged, ["right winding"]);
    // while it runs it is judged like the other
    assert_eq!(solve_at(&varied, "run", None).margins.len(), 2);
    assert!(read(&twin("failure: Shorted, blind")).is_ok(), "a warning, no error");
}
