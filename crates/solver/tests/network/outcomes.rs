//! Every named outcome, with its numbers.

use media::Liquid;
use numerics::Curve;
use solver::{
    Builder, Circuit, Element, Ends, Entry, Failure, FilmLaw, FlowLaw, Fluid, HeatSource, LinkLaw, Machine,
    MachinePower, Node, Series, SteadyOptions, SteadySolver, Wall,
};

/// Gain P0 R a = 600 W x 0.5 K/W x 0.00393/K = 1.179: each kelvin brings more than a kelvin.
#[test]
fn a_copper_loss_gain_above_one_has_no_equilibrium() {
    let mut builder = Builder::new();
    let winding = builder.component(500.0);
    let outside = builder.boundary(293.15);
    builder.link(
        Node::Component(winding),
        Node::Boundary(outside),
        LinkLaw::Conductance { conductance_w_k: 2.0 },
    );
    builder.source(HeatSource { into: winding, heat_w: 600.0, slope_1_k: 0.00393, reference_k: 293.15 });
    let mut solver = SteadySolver::new(builder.build().unwrap());
    match solver.solve(&SteadyOptions::default()) {
        Err(Failure::NoEquilibrium { loop_gain, .. }) => {
            assert!((loop_gain - 1.179).abs() < 1e-6, "{loop_gain}");
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_component_without_any_path_is_named() {
    let mut builder = Builder::new();
    let lonely = builder.component(10.0);
    builder.boundary(300.0);
    builder.source(HeatSource { into: lonely, heat_w: 5.0, slope_1_k: 0.0, reference_k: 0.0 });
    let mut solver = SteadySolver::new(builder.build().unwrap());
    let outcome = solver.solve(&SteadyOptions::default());
    assert!(
        matches!(outcome, Err(Failure::NoEquilibrium { .. } | Failure::Undetermined { .. })),
        "{outcome:?}"
    );
}

/// A weak pump against oil at -40 degC: it turns, and moves next to nothing.
#[test]
fn a_pump_that_cannot_move_cold_oil_is_told() {
    let mut builder = Builder::new();
    let cold = builder.boundary(233.15);
    let curve = Curve::new(&[(0.0, 30e3), (3e-4, 0.0)]).unwrap();
    let pump = builder.element(Element::plain(
        FlowLaw::Machine(Machine::new(curve, 900.0, MachinePower::Efficiency(0.3)).unwrap()),
        1e-4,
    ));
    let mut hose = Element::plain(
        FlowLaw::Passage(solver::Passage {
            length_m: 3.0,
            hydraulic_diameter_m: 0.010,
            flow_area_m2: 7.85e-5,
            wetted_area_m2: 0.094,
            roughness_m: 1.5e-6,
            laminar_friction: 64.0,
            laminar_nusselt: 3.6568,
            loss_coefficient: 2.0,
        }),
        2e-4,
    );
    hose.cells[0].wall =
        Some(Wall { node: Node::Boundary(cold), film: FilmLaw::Fixed { conductance_w_k: 5.0 } });
    let hose = builder.element(hose);
    builder.circuit(Circuit {
        fluid: Fluid::Liquid(Liquid::named("iso-vg-46").unwrap()),
        course: Series(vec![Entry::Element(pump), Entry::Element(hose)]),
        ends: Ends::Closed,
        min_flow_kg_s: 0.02,
    });
    let mut solver = SteadySolver::new(builder.build().unwrap());
    match solver.solve(&SteadyOptions::default()) {
        Err(Failure::InsufficientPumpHead { flow_kg_s, min_kg_s, rise_pa, drop_pa, .. }) => {
            assert!(flow_kg_s < min_kg_s && rise_pa < drop_pa, "{flow_kg_s} {rise_pa} {drop_pa}");
        }
        other => panic!("{other:?}"),
    }
}
