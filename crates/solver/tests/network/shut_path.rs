//! Pumps and fans that work against a shut path.

use numerics::Curve;
use solver::{
    Booked, Builder, Casing, Circuit, Element, Ends, Entry, FlowLaw, Fluid, Machine, MachinePower, Network,
    Node, Series, SteadyOptions, SteadySolver, Stretch, Transient, TransientOptions, Wish,
};
use std::sync::Arc;

const OUTSIDE_K: f64 = 300.0;

/// A duct whose fan of 500 Pa and 100 W blows against a flap that outside pressure holds shut, or an open one.
fn duct(against_pa: f64, conductance_w_k: f64) -> (Network, solver::ElementId, solver::CircuitId) {
    let mut builder = Builder::new();
    let outside = builder.boundary(OUTSIDE_K);
    let curve = Curve::new(&[(0.0, 500.0), (0.2, 400.0), (0.5, 0.0)]).unwrap();
    let machine = Machine::new(curve, 1.2, MachinePower::Fixed(100.0)).unwrap();
    let mut fan = Element::plain(FlowLaw::Machine(machine), 0.0);
    fan.casing = Some(Casing { place: Node::Boundary(outside), conductance_w_k });
    let fan = builder.element(fan);
    let wind = builder.element(Element::plain(FlowLaw::Rise { rise_pa: -against_pa }, 0.0));
    let flap = FlowLaw::CheckValve { opening_pa: 10.0, coefficient: 1.0, area_m2: 0.05 };
    let flap = builder.element(Element::plain(flap, 0.0));
    let course = Series(vec![Entry::Element(fan), Entry::Element(wind), Entry::Element(flap)]);
    let ends = Ends::Open { outside, recirculation: 0.0, ram_heat_j_kg: 0.0 };
    let fluid = Fluid::Air { pressure_pa: 101_325.0 };
    let circuit = builder.circuit(Circuit { fluid, course, ends, min_flow_kg_s: 0.0 });
    (builder.build().unwrap(), fan, circuit)
}

/// By hand: 100 W leave through 2 W/K of casing and 0.005 W/K of resting air to either side of the fan's cell, so that it stands
/// at 300 + 100 / (2 + 2 x 0.005 / 2) K or a little less: between 300 + 100/2.01 = 349.75 and 300 + 100/2 = 350 K.
#[test]
fn its_heat_leaves_through_the_casing() {
    let (network, fan, _) = duct(900.0, 2.0);
    let mut steady = SteadySolver::new(network);
    let solution = steady.solve(&SteadyOptions::default()).unwrap();
    let reading = solution.read(steady.network());
    let at = reading.element(fan);
    assert!(at.mass_flow_kg_s.abs() < 1e-6, "{}", at.mass_flow_kg_s);
    let fan_k = reading.cells_k(fan).next().unwrap();
    assert!((349.75..350.0).contains(&fan_k), "{fan_k}");
    let casing = reading.bookings().into_iter().find(|line| line.what == Booked::Casing(fan)).unwrap();
    assert!((casing.heat_w - 2.0 * (fan_k - OUTSIDE_K)).abs() < 1e-4, "{}", casing.heat_w);
    assert!(solution.ledger.residual_w.abs() < 1e-6, "{:?}", solution.ledger);
}

/// In normal flow the air takes all of it. By hand at 0.3 kg/s: C = 302 W/K, weight 1/(1 + (302/2)^2) = 4.4e-5, times 2 W/K and a rise of
/// 0.33 K: 3e-5 W of 100 W.
#[test]
fn in_normal_flow_the_air_takes_it() {
    let (network, fan, circuit) = duct(0.0, 2.0);
    let mut steady = SteadySolver::new(network);
    let solution = steady.solve(&SteadyOptions::default()).unwrap();
    let reading = solution.read(steady.network());
    assert!(reading.circuit_flow_kg_s(circuit) > 0.3);
    assert!(reading.casing_heat_w(fan).unwrap() < 1e-4);
}

/// Whatever trickles through, the fan is never hotter than at rest: flow and casing together carry `C + w G >= G`.
#[test]
fn it_is_hottest_at_rest() {
    let temperature_k = |against_pa: f64| {
        let (network, fan, circuit) = duct(against_pa, 2.0);
        let mut steady = SteadySolver::new(network);
        let solution = steady.solve(&SteadyOptions::default()).unwrap();
        let reading = solution.read(steady.network());
        (reading.circuit_flow_kg_s(circuit), reading.cells_k(fan).next().unwrap())
    };
    let rest = temperature_k(900.0).1;
    let mut last_kg_s = f64::INFINITY;
    for against_pa in [300.0, 420.0, 460.0, 470.0, 476.0, 478.0, 480.0, 483.0] {
        let (flow_kg_s, fan_k) = temperature_k(against_pa);
        assert!(fan_k <= rest + 0.01, "{against_pa} Pa: {fan_k} K at {flow_kg_s} kg/s");
        assert!(flow_kg_s <= last_kg_s + 1e-9, "{against_pa} Pa: {flow_kg_s} kg/s");
        last_kg_s = flow_kg_s;
    }
}

/// Over time the same state is reached from anywhere.
#[test]
fn a_run_settles_on_it() {
    let (network, fan, _) = duct(900.0, 2.0);
    let mut steady = SteadySolver::new(network.clone());
    let expected = steady.solve(&SteadyOptions::default()).unwrap();
    let expected_k = expected.read(steady.network()).cells_k(fan).next().unwrap();
    let network = Arc::new(network);
    let mut run = Transient::uniform(&network, 280.0);
    let stretch = Stretch { duration_s: 600.0, from: Arc::clone(&network), to: None };
    run.run(&stretch, &[], &TransientOptions::default(), |_| Wish::GoOn).unwrap();
    let fan_k = run.read(&network).cells_k(fan).next().unwrap();
    assert!((fan_k - expected_k).abs() < 0.01, "{fan_k} {expected_k}");
}
