//! Properties that hold for any network.

use media::Liquid;
use numerics::Curve;
use proptest::prelude::*;
use solver::{
    Builder, Carried, Circuit, ComponentId, Element, Ends, Entry, FilmLaw, FlowLaw, Fluid, HeatSource,
    LinkLaw, Machine, MachinePower, MeasuredFilm, MeasuredFilmLaw, Node, Series, SteadyOptions, SteadySolver,
    Wall,
};

#[derive(Clone, Debug)]
struct Sketch {
    heats: Vec<f64>,
    films: Vec<f64>,
    bores_mm: Vec<f64>,
    radiator: f64,
    order: Vec<usize>,
    split: bool,
}

fn sketch() -> impl Strategy<Value = Sketch> {
    (2_usize..6).prop_flat_map(|n| {
        (
            prop::collection::vec(10.0..3000.0_f64, n),
            prop::collection::vec(20.0..800.0_f64, n),
            prop::collection::vec(6.0..16.0_f64, n),
            100.0..600.0_f64,
            Just((0..n).collect::<Vec<usize>>()).prop_shuffle(),
            any::<bool>(),
        )
            .prop_map(|(heats, films, bores_mm, radiator, order, split)| Sketch {
                heats,
                films,
                bores_mm,
                radiator,
                order,
                split,
            })
    })
}

/// Builds the loop; `order` only changes the order in which components and elements are declared.
fn solve(sketch: &Sketch, order: &[usize]) -> (Vec<f64>, f64, f64) {
    let n = sketch.heats.len();
    let mut builder = Builder::new();
    let outside = builder.boundary(310.0);
    let mut components = vec![None::<ComponentId>; n];
    let mut elements = vec![None; n];
    for &i in order {
        let component = builder.component(500.0);
        components[i] = Some(component);
        builder.source(HeatSource {
            into: component,
            heat_w: sketch.heats[i],
            slope_1_k: 1e-4,
            reference_k: 300.0,
        });
        let leak = LinkLaw::Conductance { conductance_w_k: 0.7 };
        builder.link(Node::Component(component), Node::Boundary(outside), leak);
        let bore = 1e-3 * sketch.bores_mm[i];
        let mut plate =
            Element::plain(FlowLaw::Loss { coefficient: 2.5, area_m2: 0.785 * bore * bore }, 1e-4);
        plate.cells[0].wall = Some(Wall {
            node: Node::Component(component),
            film: FilmLaw::Measured(MeasuredFilmLaw {
                film: MeasuredFilm::Power { conductance_w_k: sketch.films[i], at_m3_s: 2e-4, exponent: 0.7 },
                carried: Carried::Volume,
            }),
        });
        elements[i] = Some(builder.element(plate));
    }
    let curve = Curve::new(&[(0.0, 70e3), (2e-4, 55e3), (5e-4, 0.0)]).unwrap();
    let pump = builder.element(Element::plain(
        FlowLaw::Machine(Machine::new(curve, 1040.0, MachinePower::Efficiency(0.35)).unwrap()),
        1e-4,
    ));
    let mut radiator = Element::plain(FlowLaw::Loss { coefficient: 3.0, area_m2: 1e-4 }, 2e-4);
    radiator.cells[0].wall = Some(Wall {
        node: Node::Boundary(outside),
        film: FilmLaw::Fixed { conductance_w_k: sketch.radiator },
    });
    let radiator = builder.element(radiator);
    let plates: Vec<Entry> = elements.iter().map(|e| Entry::Element(e.unwrap())).collect();
    let mut course = vec![Entry::Element(pump)];
    if sketch.split {
        let (first, rest) = plates.split_at(1);
        course.push(Entry::Parallel(vec![Series(first.to_vec()), Series(rest.to_vec())]));
    } else {
        course.extend(plates);
    }
    course.push(Entry::Element(radiator));
    builder.circuit(Circuit {
        fluid: Fluid::Liquid(Liquid::named("ethylene-glycol:0.5").unwrap()),
        course: Series(course),
        ends: Ends::Closed,
        min_flow_kg_s: 0.0,
    });
    let mut solver = SteadySolver::new(builder.build().unwrap());
    let solution = solver.solve(&SteadyOptions::default()).unwrap();
    let reading = solution.read(solver.network());
    let temperatures = components.iter().map(|c| reading.component_k(c.unwrap())).collect();
    (temperatures, solution.ledger.residual_w, solution.ledger.generated_w)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_ledger_closes_on_random_loops(sketch in sketch()) {
        let order: Vec<usize> = (0..sketch.heats.len()).collect();
        let (temperatures, residual_w, generated_w) = solve(&sketch, &order);
        prop_assert!(residual_w.abs() < 1e-6 * generated_w, "{} of {}", residual_w, generated_w);
        prop_assert!(temperatures.iter().all(|&t| t > 310.0));
    }

    #[test]
    fn the_order_of_declaration_does_not_matter(sketch in sketch()) {
        let order: Vec<usize> = (0..sketch.heats.len()).collect();
        let (one, ..) = solve(&sketch, &order);
        let (other, ..) = solve(&sketch, &sketch.order);
        for (a, b) in one.iter().zip(&other) {
            prop_assert!((a - b).abs() < 1e-5, "{} {}", a, b);
        }
    }
}
