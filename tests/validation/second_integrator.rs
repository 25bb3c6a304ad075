//! A network over time against backward differences of another library, live and at tight tolerances.

use super::record::{Allowed, Cited, Origin, Record};
use diffsol::{NalgebraLU, NalgebraMat, OdeBuilder, OdeSolverMethod as _, OdeSolverStopReason, Vector as _};
use solver::{
    Builder, ComponentId, Direction, Ended, LinkLaw, Network, Node, Source, Stretch, Transient,
    TransientOptions, Watch, Watched, Wish,
};

/// Chip, plate and liquid: J/K.
const CAPACITY_J_K: [f64; 3] = [0.5, 800.0, 4000.0];
/// Chip to plate, plate to liquid, liquid to the surroundings, W/K.
const CONDUCTANCE_W_K: [f64; 3] = [100.0, 40.0, 25.0];
/// Emissivity times area of the plate, m2.
const BLACK_M2: f64 = 0.03;
const OUTSIDE_K: f64 = 300.0;
/// Growth of the loss of the chip above 300 K, 1/K.
const GROWTH_1_K: f64 = 0.004;
const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
/// Full loss until the plate reaches this, then a tenth of it.
const SWITCH_K: f64 = 315.0;
const FULL_W: f64 = 600.0;
const END_S: f64 = 900.0;

fn network(heat_w: f64) -> (Network, ComponentId) {
    let mut builder = Builder::new();
    let [chip, plate, liquid] = CAPACITY_J_K.map(|capacity_j_k| builder.component(capacity_j_k));
    let outside = builder.boundary(OUTSIDE_K);
    let conductance = |conductance_w_k| LinkLaw::Conductance { conductance_w_k };
    builder.link(Node::Component(chip), Node::Component(plate), conductance(CONDUCTANCE_W_K[0]));
    builder.link(Node::Component(plate), Node::Component(liquid), conductance(CONDUCTANCE_W_K[1]));
    builder.link(Node::Component(liquid), Node::Boundary(outside), conductance(CONDUCTANCE_W_K[2]));
    let radiation = LinkLaw::Radiation { emissivity: 0.6, area_m2: BLACK_M2 / 0.6 };
    builder.link(Node::Component(plate), Node::Boundary(outside), radiation);
    builder.source(Source { into: chip, heat_w, slope_1_k: GROWTH_1_K, reference_k: OUTSIDE_K });
    (builder.build().expect("the network is sound"), plate)
}

/// The equations once more, by hand.
fn rates(k: &[f64], heat_w: f64, rates: &mut [f64]) {
    let [chip_plate, plate_liquid, liquid_out] = CONDUCTANCE_W_K;
    let to_plate_w = chip_plate * (k[0] - k[1]);
    let to_liquid_w = plate_liquid * (k[1] - k[2]);
    let radiated_w = STEFAN_BOLTZMANN * BLACK_M2 * (k[1].powi(4) - OUTSIDE_K.powi(4));
    rates[0] = (heat_w * (1.0 + GROWTH_1_K * (k[0] - OUTSIDE_K)) - to_plate_w) / CAPACITY_J_K[0];
    rates[1] = (to_plate_w - to_liquid_w - radiated_w) / CAPACITY_J_K[1];
    rates[2] = (to_liquid_w - liquid_out * (k[2] - OUTSIDE_K)) / CAPACITY_J_K[2];
}

/// Their derivative along a direction.
fn rates_along(k: &[f64], heat_w: f64, v: &[f64], along: &mut [f64]) {
    let [chip_plate, plate_liquid, liquid_out] = CONDUCTANCE_W_K;
    let to_plate = chip_plate * (v[0] - v[1]);
    let to_liquid = plate_liquid * (v[1] - v[2]);
    let radiated = STEFAN_BOLTZMANN * BLACK_M2 * 4.0 * k[1].powi(3) * v[1];
    along[0] = (heat_w * GROWTH_1_K * v[0] - to_plate) / CAPACITY_J_K[0];
    along[1] = (to_plate - to_liquid - radiated) / CAPACITY_J_K[1];
    along[2] = (to_liquid - liquid_out * v[2]) / CAPACITY_J_K[2];
}

/// From a state and a time on with a loss, until a time, or if it switches until the plate is warm: time and temperatures.
fn reference(from: (f64, [f64; 3]), heat_w: f64, until_s: f64, switches: bool) -> (f64, [f64; 3]) {
    let (start_s, start) = from;
    let problem = OdeBuilder::<NalgebraMat<f64>>::new()
        .t0(start_s)
        .rtol(1e-11)
        .atol([1e-9; 3])
        .rhs_implicit(
            move |k: &[f64], _: &[f64], _: f64, y: &mut [f64]| rates(k, heat_w, y),
            move |k: &[f64], _: &[f64], _: f64, v: &[f64], y: &mut [f64]| rates_along(k, heat_w, v, y),
        )
        .init(move |_: &[f64], _: f64, y: &mut [f64]| y.copy_from_slice(&start), 3)
        .root(move |k: &[f64], _: &[f64], _: f64, g: &mut [f64]| g[0] = k[1] - SWITCH_K, 1)
        .build()
        .expect("the problem is sound");
    let mut method = problem.bdf::<NalgebraLU<f64>>().expect("it can be set up");
    method.set_stop_time(until_s).expect("the end lies ahead");
    loop {
        let at_s = match method.step().expect("it steps") {
            OdeSolverStopReason::RootFound(at_s, _) if switches => at_s,
            OdeSolverStopReason::TstopReached => until_s,
            OdeSolverStopReason::InternalTimestep | OdeSolverStopReason::RootFound(..) => continue,
        };
        let state = method.interpolate(at_s).expect("inside the step");
        return (at_s, [state.get_index(0), state.get_index(1), state.get_index(2)]);
    }
}

pub(crate) fn record() -> Record {
    let mut record = Record::new("Runs over time, a second integrator");
    let cited = Cited {
        source: "diffsol 0.18, BDF, rtol 1e-11, run beside it",
        what: "Chip, plate and liquid: 5 ms, 20 s, 160 s; time at which the plate is warm",
        origin: Origin::Outside,
    };
    let ((full, plate), (tenth, _)) = (network(FULL_W), network(0.1 * FULL_W));
    let watch = Watch {
        of: Watched::Temperature(Node::Component(plate)),
        threshold: SWITCH_K,
        direction: Direction::Rising,
    };
    let mut run = Transient::uniform(&full, OUTSIDE_K);
    let stretch = Stretch { duration_s: END_S, from: full.into(), to: None };
    let options = TransientOptions::default();
    let ended = run.run(&stretch, &[watch], &options, |_| Wish::GoOn).expect("the network is sound");
    assert_eq!(ended, Ended::Watch(0));
    let warm = reference((0.0, [OUTSIDE_K; 3]), FULL_W, END_S, true);
    record.value(&cited, run.time_s(), warm.0, Allowed::Within(0.05, "s"));
    let cited = Cited { what: "The same: temperatures after the loss falls to a tenth", ..cited };
    // each from its own switch on: the chip falls with 5 ms, within which the two switches need not agree
    let switched_s = run.time_s();
    let mut at = warm;
    for after_s in [0.01, 0.1, 5.0, 60.0, 400.0] {
        let until_s = warm.0 + after_s;
        at = reference(at, 0.1 * FULL_W, until_s, false);
        let stretch =
            Stretch { duration_s: switched_s + after_s - run.time_s(), from: tenth.clone().into(), to: None };
        run.run(&stretch, &[], &options, |_| Wish::GoOn).expect("the network is sound");
        for (found, expected) in run.state().iter().zip(at.1) {
            record.value(&cited, *found, expected, Allowed::Within(0.05, "K"));
        }
    }
    record
}
