//! Ducts with surfaces in parallel whose fan stops: random ones, because what stalls a run is a matter of rounding.

use super::{Stretch, Transient, TransientOptions, Wish};
use crate::builder::Builder;
use crate::circuit::{Cell, Circuit, Element, Ends, Entry, Series, Wall};
use crate::film_law::FilmLaw;
use crate::flow_law::FlowLaw;
use crate::fluid::Fluid;
use crate::ids::Node;
use crate::link::LinkLaw;
use crate::machine::{Machine, MachinePower};
use crate::measured::{Carried, MeasuredFilm, MeasuredFilmLaw, Reference};
use crate::network::Network;
use crate::parts::HeatSource;
use crate::passage::Passage;
use crate::signal::Signal;
use crate::steady::{SteadyOptions, SteadySolver};
use numerics::Curve;

/// Xorshift: the same numbers on every machine.
struct Dice(u64);

impl Dice {
    fn new(seed: u64) -> Self {
        let mut dice = Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) + 1);
        (0..10).for_each(|_| {
            dice.share();
        });
        dice
    }

    fn share(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low * (high / low).powf(self.share())
    }

    fn pick(&mut self, count: usize) -> usize {
        (self.share() * count as f64) as usize
    }
}

/// One surface on its own component, with a film and a loss of one of three kinds each.
fn surface(builder: &mut Builder, dice: &mut Dice, node: Node, area_m2: f64) -> Entry {
    let at_m3_s = 8.0 * area_m2;
    let passage = Passage {
        length_m: dice.between(0.05, 0.5),
        hydraulic_diameter_m: dice.between(0.002, 0.02),
        flow_area_m2: area_m2 * dice.between(0.3, 1.0),
        wetted_area_m2: dice.between(0.1, 2.0),
        roughness_m: 0.0,
        laminar_friction: 64.0,
        laminar_nusselt: 3.66,
        loss_coefficient: 1.5,
    };
    let conductance_w_k = dice.between(5.0, 100.0);
    let film = match dice.pick(3) {
        0 => FilmLaw::Passage(passage),
        1 => FilmLaw::Fixed { conductance_w_k },
        _ => FilmLaw::Measured(MeasuredFilmLaw {
            film: MeasuredFilm::Power { conductance_w_k, at_m3_s, exponent: 0.75 },
            carried: Carried::Mass(Reference::air(1.1, 308.0)),
        }),
    };
    let law = match dice.pick(3) {
        0 => FlowLaw::Passage(passage),
        1 => FlowLaw::Loss { coefficient: dice.between(1.0, 20.0), area_m2 },
        _ => FlowLaw::Measured {
            drop_pa: dice.between(50.0, 300.0),
            at_m3_s,
            exponent: [1.0, 1.75, 2.0][dice.pick(3)],
            density_kg_m3: 1.1,
            viscosity_pa_s: 1.9e-5,
        },
    };
    let cell = Cell { volume_m3: 0.0, wall: Some(Wall { node, film }), heat_w: 0.0 };
    let cells = vec![cell; 1 + dice.pick(3)];
    Entry::Element(builder.element(Element { cells, ..Element::plain(law, 0.0) }))
}

/// Two to six branches of one or two surfaces, a fan before or behind them.
fn duct(seed: u64, fan_speed: f64, ram_pa: f64) -> Network {
    let mut dice = Dice::new(seed);
    let mut builder = Builder::new();
    let outside = builder.boundary(308.0);
    let count = 2 + dice.pick(5);
    let area_m2 = dice.between(0.005, 0.05);
    let mut branches = Vec::new();
    for _ in 0..count {
        let component = builder.component(dice.between(300.0, 2e4));
        let heat_w = fan_speed * dice.between(100.0, 1500.0);
        builder.source(HeatSource { into: component, heat_w, slope_1_k: 0.0, reference_k: 0.0 });
        let law = LinkLaw::Conductance { conductance_w_k: dice.between(0.05, 3.0) };
        if dice.share() < 0.5 {
            builder.link(Node::Component(component), Node::Boundary(outside), law);
        }
        let node = Node::Component(component);
        let surfaces = (0..=dice.pick(2))
            .map(|_| surface(&mut builder, &mut dice, node, area_m2 / count as f64))
            .collect();
        branches.push(Series(surfaces));
    }
    let flow = 8.0 * area_m2;
    let curve = Curve::new(&[(0.0, 390.0), (0.6 * flow, 320.0), (flow, 230.0), (1.7 * flow, 0.0)]).unwrap();
    let machine = Machine::new(curve, 1.1, MachinePower::Efficiency(0.35)).unwrap();
    let inlet =
        FlowLaw::Series(vec![FlowLaw::Rise { rise_pa: ram_pa }, FlowLaw::Loss { coefficient: 0.5, area_m2 }]);
    let inlet = Entry::Element(builder.element(Element::plain(inlet, 0.0)));
    let mut fan = Element::plain(FlowLaw::Machine(machine), 0.0);
    fan.signal = Signal::Fixed(fan_speed);
    let fan = Entry::Element(builder.element(fan));
    let outlet = FlowLaw::Loss { coefficient: 1.0, area_m2 };
    let outlet = Entry::Element(builder.element(Element::plain(outlet, 0.0)));
    let surfaces = Entry::Parallel(branches);
    let (second, third) = if dice.share() < 0.5 { (surfaces, fan) } else { (fan, surfaces) };
    builder.circuit(Circuit {
        fluid: Fluid::Air { pressure_pa: 1e5 },
        course: Series(vec![inlet, second, third, outlet]),
        ends: Ends::Open { outside, recirculation: 0.0, ram_heat_j_kg: 0.0 },
        min_flow_kg_s: 0.0,
    });
    builder.build().unwrap()
}

/// At rest the flows of branches are zero, and not a trickle of either sign that turns the temperatures of junctions over:
/// before, one such duct in forty could not be followed, or took 20,000 steps.
#[test]
fn a_duct_comes_to_rest_whatever_stands_in_parallel_in_it() {
    let options = TransientOptions { max_steps: 600, highest_k: 2500.0, ..TransientOptions::default() };
    let follow = |run: &mut Transient, seed: u64, stretch: Stretch| {
        run.run(&stretch, &[], &options, |_| Wish::GoOn)
            .unwrap_or_else(|failure| panic!("duct {seed}: {failure}"));
    };
    for seed in 1..=600 {
        let running = duct(seed, 1.0, 100.0);
        let left_pa = [0.0, 1e-7, 1e-3, -0.5][(seed % 4) as usize];
        let resting = duct(seed, 0.0, left_pa);
        let mut run = Transient::uniform(&running, 308.0);
        let from = std::sync::Arc::new(running);
        follow(&mut run, seed, Stretch { duration_s: 300.0, from: from.clone(), to: None });
        if seed % 3 == 0 {
            let to = Some(duct(seed, 0.0, 0.0).into());
            follow(&mut run, seed, Stretch { duration_s: 20.0, from, to });
        }
        SteadySolver::new(resting.clone())
            .solve(&SteadyOptions::default())
            .unwrap_or_else(|failure| panic!("duct {seed} at rest: {failure}"));
        follow(&mut run, seed, Stretch { duration_s: 3600.0, from: resting.into(), to: None });
        let heat = run.heat();
        assert!(heat.residual_j.abs() < 1e-9 * heat.turnover_j, "duct {seed}: {heat:?}");
    }
}
