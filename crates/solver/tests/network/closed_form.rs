//! Networks that can be solved by hand.

use media::{Liquid, air};
use numerics::Curve;
use solver::{
    Arrangement, Builder, Cell, Circuit, Element, Ends, Entry, Exchanger, FilmLaw, FlowLaw, Fluid,
    HeatSource, LinkLaw, Machine, MachinePower, Node, Passage, Series, Signal, SteadyOptions, SteadySolver,
    TransferLaw, Wall,
};

fn glycol() -> Fluid {
    Fluid::Liquid(Liquid::named("ethylene-glycol:0.5").unwrap())
}

fn pump(rise_pa: f64, last_m3_s: f64) -> Element {
    let curve = Curve::new(&[(0.0, rise_pa), (0.5 * last_m3_s, 0.75 * rise_pa), (last_m3_s, 0.0)]).unwrap();
    let machine = Machine::new(curve, 1040.0, MachinePower::Efficiency(0.4)).unwrap();
    Element::plain(FlowLaw::Machine(machine), 1e-4)
}

/// Heat 100 W through 2 W/K and 4 W/K in series to 300 K: 300 + 25 = 325 K, 325 + 50 = 375 K.
#[test]
fn two_conductances_in_series() {
    let mut builder = Builder::new();
    let (hot, middle) = (builder.component(100.0), builder.component(0.0));
    let outside = builder.boundary(300.0);
    builder.link(
        Node::Component(hot),
        Node::Component(middle),
        LinkLaw::Conductance { conductance_w_k: 2.0 },
    );
    builder.link(
        Node::Component(middle),
        Node::Boundary(outside),
        LinkLaw::Conductance { conductance_w_k: 4.0 },
    );
    builder.source(HeatSource { into: hot, heat_w: 100.0, slope_1_k: 0.0, reference_k: 0.0 });
    let mut solver = SteadySolver::new(builder.build().unwrap());
    let solution = solver.solve(&SteadyOptions::default()).unwrap();
    let reading = solution.read(solver.network());
    assert!((reading.component_k(middle) - 325.0).abs() < 1e-8);
    assert!((reading.component_k(hot) - 375.0).abs() < 1e-8);
    assert!((solution.ledger.rejected_w - 100.0).abs() < 1e-6);
}

/// Copper loss `P0 (1 + a (T - T0))` behind a resistance R to T0: T - T0 = P0 R/(1 - P0 R a).
/// P0 = 200 W, R = 0.5 K/W, a = 0.00393/K: 100/(1 - 0.393) = 164.745 K.
#[test]
fn loss_that_grows_with_temperature() {
    let mut builder = Builder::new();
    let winding = builder.component(500.0);
    let outside = builder.boundary(293.15);
    builder.link(
        Node::Component(winding),
        Node::Boundary(outside),
        LinkLaw::Conductance { conductance_w_k: 2.0 },
    );
    builder.source(HeatSource { into: winding, heat_w: 200.0, slope_1_k: 0.00393, reference_k: 293.15 });
    let mut solver = SteadySolver::new(builder.build().unwrap());
    let solution = solver.solve(&SteadyOptions::default()).unwrap();
    let rise = solution.read(solver.network()).component_k(winding) - 293.15;
    assert!((rise - 100.0 / (1.0 - 0.393)).abs() < 1e-7, "{rise}");
}

/// A loop of pump, cold plate and core: the flow follows from the hose and the pump curve, the temperatures from
/// effectiveness and heat. Checked against the same balances written out.
#[test]
fn one_loop_with_a_core() {
    let mut builder = Builder::new();
    let plate = builder.component(2000.0);
    let outside = builder.boundary(311.0);
    builder.source(HeatSource { into: plate, heat_w: 5000.0, slope_1_k: 0.0, reference_k: 0.0 });
    let pump = builder.element(pump(80e3, 4e-4));
    let hose = builder.element(Element::plain(
        FlowLaw::Passage(Passage {
            length_m: 4.0,
            hydraulic_diameter_m: 0.012,
            flow_area_m2: std::f64::consts::FRAC_PI_4 * 0.012 * 0.012,
            wetted_area_m2: std::f64::consts::PI * 0.012 * 4.0,
            roughness_m: 1.5e-6,
            laminar_friction: 64.0,
            laminar_nusselt: 3.6568,
            loss_coefficient: 3.0,
        }),
        4.5e-4,
    ));
    let mut washed = Element::plain(FlowLaw::Loss { coefficient: 2.0, area_m2: 1e-4 }, 1e-4);
    washed.cells = vec![Cell {
        volume_m3: 1e-4,
        wall: Some(Wall { node: Node::Component(plate), film: FilmLaw::Fixed { conductance_w_k: 400.0 } }),
        heat_w: 0.0,
    }];
    let washed = builder.element(washed);
    let core = builder.element(Element::plain(FlowLaw::Loss { coefficient: 4.0, area_m2: 1.5e-4 }, 3e-4));
    let glycol_loop = builder.circuit(Circuit {
        fluid: glycol(),
        course: Series(vec![
            Entry::Element(pump),
            Entry::Element(hose),
            Entry::Element(washed),
            Entry::Element(core),
        ]),
        ends: Ends::Closed,
        min_flow_kg_s: 1e-3,
    });
    let fan_curve = Curve::new(&[(0.0, 300.0), (0.6, 0.0)]).unwrap();
    let fan = builder.element(Element::plain(
        FlowLaw::Machine(Machine::new(fan_curve, 1.2, MachinePower::Fixed(60.0)).unwrap()),
        0.0,
    ));
    let air_side = builder.element(Element::plain(FlowLaw::Loss { coefficient: 20.0, area_m2: 0.09 }, 0.0));
    let duct = builder.circuit(Circuit {
        fluid: Fluid::Air { pressure_pa: 101_325.0 },
        course: Series(vec![Entry::Element(air_side), Entry::Element(fan)]),
        ends: Ends::Open { outside, recirculation: 0.0, ram_heat_j_kg: 0.0 },
        min_flow_kg_s: 0.0,
    });
    let exchanger = builder.exchanger(Exchanger {
        first: (core, 0),
        second: (air_side, 0),
        law: TransferLaw::Fixed { conductance_w_k: 300.0 },
        arrangement: Arrangement::Crossflow,
        resting_w_k: 2.0,
    });
    let mut solver = SteadySolver::new(builder.build().unwrap());
    let solution = solver.solve(&SteadyOptions::default()).unwrap();
    assert!(solution.ledger.residual_w.abs() < 1e-6 * solution.ledger.generated_w, "{:?}", solution.ledger);
    let reading = solution.read(solver.network());
    let (m, air_flow) = (reading.circuit_flow_kg_s(glycol_loop), reading.circuit_flow_kg_s(duct));
    assert!(m > 0.1 && m < 0.45, "{m}");

    // pressures around the loop cancel
    let drops: f64 = [pump, hose, washed, core].iter().map(|&e| reading.element(e).drop_pa).sum();
    assert!(drops.abs() < 1e-3, "{drops} Pa left");

    // core: heat = effectiveness x smaller capacity rate x inlet difference, written out again
    let fluid = glycol();
    let inside = reading.element(core);
    let capacity = m * fluid.specific_heat(0.5 * (inside.inlet_k + inside.outlet_k));
    let outer = reading.element(air_side);
    let air_capacity = air_flow * air::specific_heat(0.5 * (outer.inlet_k + outer.outlet_k));
    let least = capacity.min(air_capacity);
    let effectiveness =
        correlations::exchanger::crossflow_unmixed(300.0 / least, least / capacity.max(air_capacity));
    let heat = effectiveness * least * (inside.inlet_k - outer.inlet_k);
    assert!((heat - reading.exchanger(exchanger).heat_w).abs() < 1e-6 * heat);
    // it carries the heat of the plate, of the pump and of nothing else
    let pump_power = reading.element(pump).power_w;
    assert!((heat - 5000.0 - pump_power).abs() < 1e-4 * heat, "{heat} {pump_power}");

    // plate: q = C (1 - exp(-UA/C)) (Tw - Tin)
    let plate_flow = reading.element(washed);
    let c = m * fluid.specific_heat(0.5 * (plate_flow.inlet_k + plate_flow.outlet_k));
    let wall = plate_flow.inlet_k + 5000.0 / (c * (1.0 - (-400.0 / c).exp()));
    assert!((wall - reading.component_k(plate)).abs() < 0.02, "{wall} {}", reading.component_k(plate));
    // stalled or reversed flow is not the answer
    assert_eq!(reading.element(hose).setting, 1.0);
    let _ = Signal::Fixed(1.0);
}

/// Two equal branches share the flow in halves, and a branch with four times the loss takes a third.
#[test]
fn parallel_branches_share_by_their_loss() {
    for (ratio, share) in [(1.0, 0.5), (4.0, 1.0 / 3.0)] {
        let mut builder = Builder::new();
        let outside = builder.boundary(300.0);
        let pump = builder.element(pump(60e3, 5e-4));
        let loss = |coefficient| Element::plain(FlowLaw::Loss { coefficient, area_m2: 1e-4 }, 1e-4);
        let (one, other) = (builder.element(loss(3.0)), builder.element(loss(3.0 * ratio)));
        let mut cooler = loss(1.0);
        cooler.cells[0].wall =
            Some(Wall { node: Node::Boundary(outside), film: FilmLaw::Fixed { conductance_w_k: 50.0 } });
        let cooler = builder.element(cooler);
        builder.circuit(Circuit {
            fluid: glycol(),
            course: Series(vec![
                Entry::Element(pump),
                Entry::Parallel(vec![Series(vec![Entry::Element(one)]), Series(vec![Entry::Element(other)])]),
                Entry::Element(cooler),
            ]),
            ends: Ends::Closed,
            min_flow_kg_s: 0.0,
        });
        let mut solver = SteadySolver::new(builder.build().unwrap());
        let solution = solver.solve(&SteadyOptions::default()).unwrap();
        let reading = solution.read(solver.network());
        let total = reading.element(pump).mass_flow_kg_s;
        let part = reading.element(other).mass_flow_kg_s / total;
        assert!((part - share).abs() < 1e-5, "{part} {share}");
        let sum = reading.element(one).mass_flow_kg_s + reading.element(other).mass_flow_kg_s;
        assert!((sum - total).abs() < 1e-12 * total);
    }
}

/// Two pumps in parallel, each behind a check valve; one stops. No flow runs back through it.
#[test]
fn a_check_valve_holds_back_the_flow_of_the_other_pump() {
    let mut builder = Builder::new();
    let outside = builder.boundary(300.0);
    let (a, mut b) = (pump(60e3, 5e-4), pump(60e3, 5e-4));
    b.signal = Signal::Fixed(0.0);
    let (a, b) = (builder.element(a), builder.element(b));
    let valve =
        || Element::plain(FlowLaw::CheckValve { opening_pa: 2000.0, coefficient: 2.0, area_m2: 1e-4 }, 0.0);
    let (valve_a, valve_b) = (builder.element(valve()), builder.element(valve()));
    let mut cooler = Element::plain(FlowLaw::Loss { coefficient: 6.0, area_m2: 1e-4 }, 1e-4);
    cooler.cells[0].wall =
        Some(Wall { node: Node::Boundary(outside), film: FilmLaw::Fixed { conductance_w_k: 50.0 } });
    let cooler = builder.element(cooler);
    builder.circuit(Circuit {
        fluid: glycol(),
        course: Series(vec![
            Entry::Parallel(vec![
                Series(vec![Entry::Element(a), Entry::Element(valve_a)]),
                Series(vec![Entry::Element(b), Entry::Element(valve_b)]),
            ]),
            Entry::Element(cooler),
        ]),
        ends: Ends::Closed,
        min_flow_kg_s: 0.0,
    });
    let mut solver = SteadySolver::new(builder.build().unwrap());
    let solution = solver.solve(&SteadyOptions::default()).unwrap();
    let reading = solution.read(solver.network());
    let (running, stopped) = (reading.element(a).mass_flow_kg_s, reading.element(b).mass_flow_kg_s);
    assert!(running > 0.1, "{running}");
    assert!(stopped <= 0.0 && stopped > -1e-3 * running, "{stopped}");
    assert!(solution.ledger.residual_w.abs() < 1e-6 * solution.ledger.generated_w);
}

/// Laminar channels, whose film at rest is as good as the one in flow, over one wall at 360 K: the effectiveness is
/// `1 - exp(-UA/C)` (Kays & London, Compact Heat Exchangers, one side at one temperature) from half a transfer unit to six.
#[test]
fn laminar_channels_have_the_effectiveness_of_their_transfer_units() {
    let passage = Passage {
        length_m: 0.3,
        hydraulic_diameter_m: 0.004,
        flow_area_m2: 4e-3,
        wetted_area_m2: 0.25,
        roughness_m: 0.0,
        laminar_friction: 64.0,
        laminar_nusselt: 3.6568,
        loss_coefficient: 0.0,
    };
    let mut seen: Vec<f64> = Vec::new();
    for rise_pa in [2.0, 5.0, 10.0, 25.0, 60.0] {
        let mut builder = Builder::new();
        let wall = builder.boundary(360.0);
        let outside = builder.boundary(300.0);
        let mut fins = Element::plain(FlowLaw::Passage(passage), 0.0);
        let film = FilmLaw::Passage(passage);
        fins.cells =
            vec![Cell { volume_m3: 0.0, wall: Some(Wall { node: Node::Boundary(wall), film }), heat_w: 0.0 }];
        let fins = builder.element(fins);
        let push = builder.element(Element::plain(FlowLaw::Rise { rise_pa }, 0.0));
        let duct = builder.circuit(Circuit {
            fluid: Fluid::Air { pressure_pa: 101_325.0 },
            course: Series(vec![Entry::Element(push), Entry::Element(fins)]),
            ends: Ends::Open { outside, recirculation: 0.0, ram_heat_j_kg: 0.0 },
            min_flow_kg_s: 0.0,
        });
        let mut solver = SteadySolver::new(builder.build().unwrap());
        let solution = solver.solve(&SteadyOptions::default()).unwrap();
        let reading = solution.read(solver.network());
        let (flow, through) = (reading.circuit_flow_kg_s(duct), reading.element(fins));
        let mean_k = 0.5 * (through.inlet_k + through.outlet_k);
        let fluid = Fluid::Air { pressure_pa: 101_325.0 };
        let units = passage.film_conductance(&fluid, flow, mean_k) / (flow * air::specific_heat(mean_k));
        let effectiveness = (through.outlet_k - through.inlet_k) / (360.0 - through.inlet_k);
        let by_hand = 1.0 - (-units).exp();
        assert!((effectiveness - by_hand).abs() < 1e-3, "{units}: {effectiveness} {by_hand}");
        seen.push(units);
    }
    assert!(seen.iter().any(|n| *n > 4.0) && seen.iter().any(|n| *n < 1.0), "{seen:?}");
}
