//! Networks over time against backward differences of another library, live and at tight tolerances.

use super::record::{Allowed, Cited, Origin, Record};
use diffsol::{NalgebraLU, NalgebraMat, OdeBuilder, OdeSolverMethod as _, OdeSolverStopReason, Vector as _};
use media::Liquid;
use numerics::Curve;
use solver::{
    Builder, Cell, Circuit, ComponentId, Direction, Element, ElementId, Ended, Ends, Entry, FilmLaw, FlowLaw,
    Fluid, HeatSource, LinkLaw, Machine, MachinePower, Network, Node, Reading, Series, Stretch, Transient,
    TransientOptions, Wall, Watch, Watched, Wish,
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
    builder.source(HeatSource { into: chip, heat_w, slope_1_k: GROWTH_1_K, reference_k: OUTSIDE_K });
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
    cold_loop(&mut record);
    record
}

/// A plate in a loop that starts cold: its flow, set by the viscosity, grows with what it is warmed by. The plate radiates, and its
/// loss grows with its temperature.
struct ColdLoop {
    liquid: Liquid,
}

/// Plate, J/K.
const PLATE_J_K: f64 = 3000.0;
/// Films of plate and cooler, W/K.
const FILM_W_K: [f64; 2] = [90.0, 60.0];
/// Loss of plate and cooler at a flow and a viscosity, Pa, m3/s, Pa s.
const LOSS: (f64, f64, f64) = (20e3, 2e-4, 5e-3);
/// Pump: rise at rest, flow without rise, density, electrical power.
const PUMP: (f64, f64, f64, f64) = (60e3, 5e-4, 1050.0, 40.0);
/// Contents of plate, cooler and pump, m3.
const CONTENT_M3: [f64; 3] = [1e-3, 2e-3, 0.5e-3];
const COLD_K: f64 = 263.15;
/// A cell holds what fills it at this temperature.
const FILLED_K: f64 = 323.15;
/// What a film keeps at rest, and what ties neighbouring cells, W/K.
const RESTING: f64 = 0.05;
const AXIAL_W_K: f64 = 1e-4;

impl ColdLoop {
    fn network(&self) -> (Network, ComponentId, [ElementId; 3]) {
        let mut builder = Builder::new();
        let plate = builder.component(PLATE_J_K);
        let outside = builder.boundary(COLD_K);
        let radiation = LinkLaw::Radiation { emissivity: 0.6, area_m2: BLACK_M2 / 0.6 };
        builder.link(Node::Component(plate), Node::Boundary(outside), radiation);
        builder.source(HeatSource {
            into: plate,
            heat_w: 2000.0,
            slope_1_k: GROWTH_1_K,
            reference_k: OUTSIDE_K,
        });
        let law = FlowLaw::Measured {
            drop_pa: LOSS.0,
            at_m3_s: LOSS.1,
            exponent: 1.0,
            density_kg_m3: 1050.0,
            viscosity_pa_s: LOSS.2,
        };
        let curve = Curve::new(&[(0.0, PUMP.0), (PUMP.1, 0.0)]).expect("two points");
        let pump = Machine::new(curve, PUMP.2, MachinePower::Fixed(PUMP.3)).expect("it falls");
        let mut washed = |law: FlowLaw, volume_m3, wall| {
            let cells = vec![Cell { volume_m3, wall, heat_w: 0.0 }];
            builder.element(Element { cells, ..Element::plain(law, 0.0) })
        };
        let wall = |node, conductance_w_k| Some(Wall { node, film: FilmLaw::Fixed { conductance_w_k } });
        let elements = [
            washed(law.clone(), CONTENT_M3[0], wall(Node::Component(plate), FILM_W_K[0])),
            washed(law, CONTENT_M3[1], wall(Node::Boundary(outside), FILM_W_K[1])),
            washed(FlowLaw::Machine(pump), CONTENT_M3[2], None),
        ];
        builder.circuit(Circuit {
            fluid: Fluid::Liquid(self.liquid.clone()),
            course: Series(elements.iter().copied().map(Entry::Element).collect()),
            ends: Ends::Closed,
            min_flow_kg_s: 0.0,
        });
        (builder.build().expect("the network is sound"), plate, elements)
    }

    /// Mass flow at which the pump meets both losses, which are linear in it: mean temperatures of plate, cooler and pump.
    fn flow_kg_s(&self, means_k: [f64; 3]) -> f64 {
        let [plate, cooler, pump] = means_k.map(|k| self.liquid.density(k));
        let loss = |density: f64, k: f64| LOSS.0 * self.liquid.viscosity(k) / (LOSS.2 * LOSS.1 * density);
        let falling = PUMP.0 / (PUMP.1 * PUMP.2);
        PUMP.0 * pump / PUMP.2 / (falling + loss(plate, means_k[0]) + loss(cooler, means_k[1]))
    }

    /// Flow by the state: plate, then liquid leaving plate, cooler and pump.
    fn flow_at(&self, k: &[f64]) -> f64 {
        self.flow_kg_s([0.5 * (k[3] + k[1]), 0.5 * (k[1] + k[2]), 0.5 * (k[2] + k[3])])
    }

    /// The equations once more, by hand.
    fn rates(&self, k: &[f64], rates: &mut [f64]) {
        let liquid = &self.liquid;
        let flow = self.flow_at(k);
        // what leaves a film: q = UA (1 - exp(-N))/N (Tw - Tin), N = UA/C, and a remainder of what is left at rest
        let film = |wall_k: f64, in_k: f64, out_k: f64, w_k: f64| {
            let rate = flow * liquid.specific_heat(0.5 * (in_k + out_k));
            let rest = RESTING * w_k / (1.0 + (rate / (RESTING * w_k)).powi(2));
            rate * (1.0 - (-w_k / rate).exp()) * (wall_k - in_k) + rest * (wall_k - out_k)
        };
        let loss_pa = |mean_k: f64| {
            LOSS.0 * flow / (liquid.density(mean_k) * LOSS.1) * liquid.viscosity(mean_k) / LOSS.2
        };
        let from_plate_w = film(k[0], k[3], k[1], FILM_W_K[0]);
        let from_cooler_w = film(COLD_K, k[1], k[2], FILM_W_K[1]);
        let friction_w = |in_k: f64, out_k: f64| {
            let mean_k = 0.5 * (in_k + out_k);
            flow * loss_pa(mean_k) / liquid.density(mean_k)
        };
        let pump_density = liquid.density(0.5 * (k[2] + k[3]));
        let rise_pa = PUMP.0 * (1.0 - flow / (pump_density * PUMP.1)) * pump_density / PUMP.2;
        let heats_w = [
            from_plate_w + friction_w(k[3], k[1]),
            from_cooler_w + friction_w(k[1], k[2]),
            PUMP.3 - flow * rise_pa / pump_density,
        ];
        let radiated_w = STEFAN_BOLTZMANN * BLACK_M2 * (k[0].powi(4) - COLD_K.powi(4));
        let made_w = 2000.0 * (1.0 + GROWTH_1_K * (k[0] - OUTSIDE_K));
        rates[0] = (made_w - radiated_w - from_plate_w) / PLATE_J_K;
        for (cell, heat_w) in heats_w.into_iter().enumerate() {
            let (own, before, after) = (k[1 + cell], k[1 + (cell + 2) % 3], k[1 + (cell + 1) % 3]);
            let brought_w = flow * (liquid.enthalpy(before) - liquid.enthalpy(own));
            let tied_w = AXIAL_W_K * (before - own + after - own);
            let held_j_k = CONTENT_M3[cell] * liquid.density(FILLED_K) * liquid.specific_heat(own);
            rates[1 + cell] = (brought_w + tied_w + heat_w) / held_j_k;
        }
    }

    /// Their derivative along a direction, by central differences: it serves the Newton method of the reference alone.
    fn rates_along(&self, k: &[f64], v: &[f64], along: &mut [f64]) {
        let size = v.iter().fold(f64::MIN_POSITIVE, |size, v| size.max(v.abs()));
        let step = 1e-3 / size;
        let moved = |step: f64| {
            let at: Vec<f64> = k.iter().zip(v).map(|(k, v)| k + step * v).collect();
            let mut rates = [0.0; 4];
            self.rates(&at, &mut rates);
            rates
        };
        for ((along, ahead), behind) in along.iter_mut().zip(moved(step)).zip(moved(-step)) {
            *along = (ahead - behind) / (2.0 * step);
        }
    }

    /// States of the reference at times.
    fn reference(&self, times_s: &[f64]) -> Vec<Vec<f64>> {
        let problem = OdeBuilder::<NalgebraMat<f64>>::new()
            .rtol(1e-10)
            .atol([1e-9; 4])
            .rhs_implicit(
                |k: &[f64], _: &[f64], _: f64, y: &mut [f64]| self.rates(k, y),
                |k: &[f64], _: &[f64], _: f64, v: &[f64], y: &mut [f64]| self.rates_along(k, v, y),
            )
            .init(|_: &[f64], _: f64, y: &mut [f64]| y.fill(COLD_K), 4)
            .build()
            .expect("the problem is sound");
        let mut method = problem.bdf::<NalgebraLU<f64>>().expect("it can be set up");
        let mut states = Vec::new();
        for &time_s in times_s {
            while method.state().t < time_s {
                let _reason = method.step().expect("it steps");
            }
            let state = method.interpolate(time_s).expect("inside the step");
            states.push((0..4).map(|index| state.get_index(index)).collect());
        }
        states
    }
}

fn cold_loop(record: &mut Record) {
    let liquid = Liquid::named("propylene-glycol:0.5vol").expect("a liquid of this project");
    let cold = ColdLoop { liquid };
    let (network, plate, elements) = cold.network();
    let network = std::sync::Arc::new(network);
    let times_s = [1.0, 10.0, 60.0, 180.0, 600.0, 3000.0];
    let cited = Cited {
        source: "diffsol 0.18, BDF, rtol 1e-10, run beside it",
        what: "Cold loop whose flow follows the viscosity, plate with radiation and growing loss: temperatures",
        origin: Origin::Outside,
    };
    let flows = Cited { what: "The same: mass flow", ..cited };
    let mut run = Transient::uniform(&network, COLD_K);
    let mut flow_range = (f64::INFINITY, 0.0_f64);
    for (time_s, expected) in times_s.into_iter().zip(cold.reference(&times_s)) {
        let duration_s = time_s - run.time_s();
        let stretch = Stretch { duration_s, from: network.clone(), to: None };
        run.run(&stretch, &[], &TransientOptions::default(), |_| Wish::GoOn).expect("the network is sound");
        let reading = Reading::of(&network, run.state());
        let liquid_k = elements.map(|element| reading.cells_k(element).next().expect("one cell"));
        let found = [reading.component_k(plate), liquid_k[0], liquid_k[1], liquid_k[2]];
        for (found, expected) in found.iter().zip(&expected) {
            record.value(&cited, *found, *expected, Allowed::Within(0.005, "K"));
        }
        let (flow, expected) = (reading.element(elements[0]).mass_flow_kg_s, cold.flow_at(&expected));
        record.value(&flows, flow, expected, Allowed::Within(2e-5, "kg/s"));
        flow_range = (flow_range.0.min(flow), flow_range.1.max(flow));
    }
    assert!(flow_range.1 > 3.0 * flow_range.0, "the flow hardly follows: {flow_range:?}");
}
