use super::*;
use crate::builder::Builder;
use crate::circuit::{Cell, Circuit, Element, Ends, Entry, Series, Wall};
use crate::failure::Failure;
use crate::film_law::FilmLaw;
use crate::flow_law::FlowLaw;
use crate::fluid::Fluid;
use crate::ids::Node;
use crate::link::LinkLaw;
use crate::machine::{Machine, MachinePower};
use crate::network::Network;
use crate::parts::HeatSource;
use crate::signal::Signal;
use crate::steady::{SteadyOptions, SteadySolver};
use media::Liquid;
use numerics::Curve;

/// Lumped mass: 1000 J/K behind 10 W/K at 300 K with 500 W: T = 350 - 50 exp(-t/100 s).
fn lumped(outside_k: f64, heat_w: f64) -> Network {
    let mut builder = Builder::new();
    let mass = builder.component(1000.0);
    let outside = builder.boundary(outside_k);
    let law = LinkLaw::Conductance { conductance_w_k: 10.0 };
    builder.link(Node::Component(mass), Node::Boundary(outside), law);
    builder.source(HeatSource { into: mass, heat_w, slope_1_k: 0.0, reference_k: 0.0 });
    builder.build().unwrap()
}

#[test]
fn a_lumped_mass_follows_its_exponential() {
    let network = lumped(300.0, 500.0);
    let mut run = Transient::uniform(&network, 300.0);
    let stretch = Stretch { duration_s: 250.0, from: network.into(), to: None };
    let options = TransientOptions::default();
    let mut worst: f64 = 0.0;
    let mut state = Vec::new();
    run.run(&stretch, &[], &options, |step| {
        for k in 0..=10 {
            let time = step.start_s + 0.1 * f64::from(k) * (step.end_s - step.start_s);
            step.state_at(time, &mut state);
            worst = worst.max((state[0] - (350.0 - 50.0 * (-time / 100.0).exp())).abs());
        }
        Wish::GoOn
    })
    .unwrap();
    assert!(worst < 0.01, "{worst}");
    let heat = run.heat();
    assert!(heat.residual_j.abs() < 1e-10 * heat.turnover_j, "{heat:?}");
    // hand: stored 1000 J/K * 50 K * (1 - exp(-2.5)) = 45 895.8 J of 125 000 J
    assert!((heat.stored_j - 45_895.75).abs() < 5.0, "{heat:?}");
    assert!((heat.generated_j - 125_000.0).abs() < 1e-6);
}

/// Fourth order: halving the accuracy by 16 takes twice the steps, and a ramp of the outside temperature is followed:
/// T' = (To + k t - T)/tau has T = To + k (t - tau) + k tau exp(-t/tau).
#[test]
fn a_ramp_of_the_surroundings_is_followed_to_fourth_order() {
    let ramp = |accuracy_k: f64| {
        let (from, to) = (lumped(300.0, 0.0), lumped(360.0, 0.0));
        let mut run = Transient::uniform(&from, 300.0);
        let stretch = Stretch { duration_s: 300.0, from: from.into(), to: Some(to.into()) };
        let options = TransientOptions { accuracy_k, ..TransientOptions::default() };
        run.run(&stretch, &[], &options, |_| Wish::GoOn).unwrap();
        let exact = 300.0 + 0.2 * (300.0 - 100.0) + 20.0 * (-3.0_f64).exp();
        let heat = run.heat();
        assert!(heat.residual_j.abs() < 1e-9 * heat.turnover_j, "{heat:?}");
        ((run.state()[0] - exact).abs(), run.statistics().accepted)
    };
    let (error, steps) = ramp(0.05);
    assert!(error < 0.01, "{error} {steps}");
    let (finer, more) = ramp(0.05 / 256.0);
    let order = (error / finer).ln() / (f64::from(more) / f64::from(steps)).ln();
    assert!(order > 3.0, "order {order}: {error} in {steps}, {finer} in {more}");
}

pub(super) fn cooled_block(heat_w: f64, pump_signal: impl Fn(Node) -> Signal) -> Network {
    let glycol = Fluid::Liquid(Liquid::named("ethylene-glycol:0.5").unwrap());
    let mut builder = Builder::new();
    let block = builder.component(5000.0);
    let skin = builder.component(0.0);
    let outside = builder.boundary(300.0);
    let radiator = builder.boundary(300.0);
    let law = LinkLaw::Conductance { conductance_w_k: 3.0 };
    builder.link(Node::Component(block), Node::Component(skin), law.clone());
    builder.link(Node::Component(skin), Node::Boundary(outside), law);
    builder.source(HeatSource { into: block, heat_w, slope_1_k: 0.0, reference_k: 0.0 });
    let curve = Curve::new(&[(0.0, 60e3), (2e-4, 45e3), (4e-4, 0.0)]).unwrap();
    let machine = Machine::new(curve, 1040.0, MachinePower::Efficiency(0.4)).unwrap();
    let mut pump = Element::plain(FlowLaw::Machine(machine), 2e-4);
    pump.signal = pump_signal(Node::Component(block));
    let loss = FlowLaw::Loss { coefficient: 8.0, area_m2: 1.5e-4 };
    let washed = |node, conductance_w_k| {
        let wall = Some(Wall { node, film: FilmLaw::Fixed { conductance_w_k } });
        Element {
            law: loss.clone(),
            signal: Signal::Fixed(1.0),
            cells: vec![Cell { volume_m3: 3e-4, wall, heat_w: 0.0 }],
            climb_m: 0.0,
            casing: None,
        }
    };
    let pump = builder.element(pump);
    let plate = builder.element(washed(Node::Component(block), 120.0));
    let cooler = builder.element(washed(Node::Boundary(radiator), 90.0));
    builder.circuit(Circuit {
        fluid: glycol,
        course: Series(vec![Entry::Element(pump), Entry::Element(plate), Entry::Element(cooler)]),
        ends: Ends::Closed,
        min_flow_kg_s: 0.0,
    });
    builder.build().unwrap()
}

#[test]
fn long_enough_it_settles_on_the_steady_state_with_the_pump_running_and_stopped() {
    for speed in [1.0, 0.0] {
        let network = cooled_block(900.0, |_| Signal::Fixed(speed));
        let mut steady = SteadySolver::new(network.clone());
        let solution = steady.solve(&SteadyOptions::default()).unwrap();
        let mut run = Transient::uniform(&network, 300.0);
        // at rest the liquid in the pump exchanges heat by conduction along its hoses alone, over weeks
        let duration_s = if speed > 0.0 { 1e5 } else { 1e8 };
        let options = TransientOptions { longest_step_s: 0.01 * duration_s, ..TransientOptions::default() };
        let stretch = Stretch { duration_s, from: network.clone().into(), to: None };
        run.run(&stretch, &[], &options, |_| Wish::GoOn).unwrap();
        for unknown in 0..network.temperatures {
            let (over_time, at_once) = (run.state()[unknown], solution.state[unknown]);
            assert!((over_time - at_once).abs() < 0.01, "speed {speed}, {unknown}: {over_time} {at_once}");
        }
        let heat = run.heat();
        assert!(heat.residual_j.abs() < 1e-9 * heat.turnover_j, "{heat:?} {:?}", run.statistics());
    }
}

#[test]
fn a_switch_keeps_the_block_between_its_thresholds_and_books_every_change() {
    let network = cooled_block(1000.0, |sensor| Signal::Switched {
        sensor,
        off_k: 325.0,
        on_k: 340.0,
        at_off: 0.0,
        at_on: 1.0,
    });
    let mut run = Transient::uniform(&network, 300.0);
    let stretch = Stretch { duration_s: 7200.0, from: network.into(), to: None };
    let mut seen = (f64::INFINITY, 0.0_f64);
    run.run(&stretch, &[], &TransientOptions::default(), |step| {
        if step.end_s > 600.0 {
            seen = (seen.0.min(step.end_state()[0]), seen.1.max(step.end_state()[0]));
        }
        Wish::GoOn
    })
    .unwrap();
    assert!(run.switchings().len() > 5, "{:?}", run.switchings());
    assert!(run.switchings().windows(2).all(|pair| pair[0].is_on != pair[1].is_on));
    assert!((seen.0 - 325.0).abs() < 0.5 && (seen.1 - 340.0).abs() < 0.5, "{seen:?}");
    let heat = run.heat();
    assert!(heat.residual_j.abs() < 1e-9 * heat.turnover_j, "{heat:?}");
}

/// 350 - 50 exp(-t/100) passes 330 K at t = 100 ln(50/20) = 91.629 s.
#[test]
fn a_watch_ends_the_stretch_where_it_crosses() {
    let network = lumped(300.0, 500.0);
    let mut run = Transient::uniform(&network, 300.0);
    let of = Watched::Temperature(Node::Component(crate::ids::ComponentId(0)));
    let watch = Watch { of, threshold: 330.0, direction: Direction::Rising };
    let stretch = Stretch { duration_s: 250.0, from: network.into(), to: None };
    let ended = run.run(&stretch, &[watch], &TransientOptions::default(), |_| Wish::GoOn).unwrap();
    assert_eq!(ended, Ended::Watch(0));
    assert!((run.time_s() - 91.629).abs() < 0.02, "{}", run.time_s());
    assert!((run.state()[0] - 330.0).abs() < 1e-6);
}

/// 9 kW into 1000 J/K without a way out passes the upper bound of 1200 K after 100 s.
#[test]
fn a_runaway_ends_with_its_place_and_time() {
    let mut builder = Builder::new();
    let mass = builder.component(1000.0);
    builder.source(HeatSource { into: mass, heat_w: 9000.0, slope_1_k: 0.0, reference_k: 0.0 });
    let network = builder.build().unwrap();
    let mut run = Transient::uniform(&network, 300.0);
    let stretch = Stretch { duration_s: 1000.0, from: network.into(), to: None };
    let failure = run.run(&stretch, &[], &TransientOptions::default(), |_| Wish::GoOn).unwrap_err();
    assert!(matches!(failure, Failure::LeftBounds { time_s, .. } if time_s >= 100.0), "{failure:?}");
}

/// 2 kg of water at 353.15 K, half of which is lost to surroundings at 293.15 K: 1 kg x 4.18 kJ/(kg K) x 60 K = 251 kJ, of which
/// the network has no other way to know. The heat book still closes.
#[test]
fn what_leaves_with_lost_liquid_is_booked() {
    let network = |volume_m3: f64| {
        let mut builder = Builder::new();
        let wall = builder.component(1.0);
        let outside = builder.boundary(293.15);
        builder.link(
            Node::Component(wall),
            Node::Boundary(outside),
            LinkLaw::Conductance { conductance_w_k: 1e-9 },
        );
        let tank =
            builder.element(Element::plain(FlowLaw::Loss { coefficient: 1.0, area_m2: 1e-4 }, volume_m3));
        builder.circuit(Circuit {
            fluid: Fluid::Liquid(Liquid::named("water").unwrap()),
            course: Series(vec![Entry::Element(tank)]),
            ends: Ends::Closed,
            min_flow_kg_s: 0.0,
        });
        builder.build().unwrap()
    };
    let (full, half) = (network(2e-3), network(1e-3));
    let mut run = Transient::uniform(&full, 353.15);
    for stretch in [full, half] {
        let stretch = Stretch { duration_s: 1.0, from: stretch.into(), to: None };
        run.run(&stretch, &[], &TransientOptions::default(), |_| Wish::GoOn).unwrap();
    }
    let heat = run.heat();
    // density at the 50 degC that a cell is filled at: 988 kg/m3
    let expected = 0.988 * 4_181.0 * 60.0;
    assert!((heat.rejected_j - expected).abs() < 0.005 * expected, "{heat:?} {expected}");
    assert!(heat.residual_j.abs() < 1e-9 * heat.turnover_j, "{heat:?}");
}
