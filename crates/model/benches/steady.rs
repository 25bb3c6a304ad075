//! Time of one steady case: the demo projects cold and warm, and how the cost grows with the number of loops.

use model::design;
use std::hint::black_box;

use aircraft::records::project::Project;
use criterion::{Criterion, criterion_group, criterion_main};
use model::assembly::{Situation, assemble};
use solver::{SteadyOptions, SteadySolver};

fn demo(name: &str) -> String {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects");
    std::fs::read_to_string(format!("{folder}/{name}.ron")).expect("the demo projects are part of the tree")
}

fn decoded(text: &str) -> Project {
    let (node, problems) = project::parse(text.as_bytes());
    assert!(!problems.has_errors(), "the benched project has no mistakes: {problems:?}");
    design::decode(&node.expect("a tree was read")).expect("the benched project is valid")
}

fn first_case(project: &Project) -> Situation<'_> {
    let group = &project.cases[0];
    let condition = project.conditions.iter().find(|c| c.name.as_str() == group.conditions[0]);
    let point = project.points.iter().find(|p| p.name.as_str() == group.points[0]);
    Situation {
        project,
        condition: condition.expect("a valid project knows its conditions"),
        point: point.expect("a valid project knows its points"),
        failure: None,
    }
}

/// The bench rig with its loop, core, duct and components repeated.
fn repeated(loops: usize) -> String {
    let part = |n: usize| {
        (
            format!("Component(name: \"block {n}\", capacity: \"3 kJ/K\"),"),
            format!("Heat(name: \"heater {n}\", into: \"block {n}\", law: Fixed(\"4 kW\")),"),
            format!(
                "Loop(name: \"glycol {n}\", fluid: \"ethylene-glycol:0.5\", path: [
                Pump(name: \"pump {n}\", curve: [(\"0 L/min\", \"95 kPa\"), (\"26 L/min\", \"5 kPa\")], power: Efficiency(0.3)),
                Hose(name: \"feed {n}\", length: \"2 m\", diameter: \"16 mm\"),
                ColdPlate(name: \"plate {n}\", walls: [\"block {n}\"], film: Channels(count: 14, width: \"3 mm\", height: \"8 mm\", length: \"0.3 m\"), flow: OfFilm),
                Hose(name: \"return {n}\", length: \"2 m\", diameter: \"16 mm\"),
                Core(name: \"radiator {n}\"),
                Reservoir(name: \"bottle {n}\", volume: \"1 L\", cap: \"90 kPag\")]),"
            ),
            format!(
                "Core(name: \"radiator {n}\", transfer: Louvered(width: \"240 mm\", height: \"220 mm\", depth: \"32 mm\"), liquid_flow: OfFilm, air_flow: OfFins),"
            ),
            format!(
                "Duct(name: \"duct {n}\", path: [Inlet(name: \"in {n}\", area: \"0.05 m2\"), Core(name: \"radiator {n}\"),
                Fan(name: \"fan {n}\", curve: [(\"0 m3/s\", \"320 Pa\"), (\"0.38 m3/s\", \"0 Pa\")], power: Fixed(\"95 W\")),
                Outlet(name: \"out {n}\", area: \"0.05 m2\")]),"
            ),
        )
    };
    let parts: Vec<_> = (0..loops).map(part).collect();
    let join = |pick: fn(&(String, String, String, String, String)) -> &String| {
        parts.iter().map(|p| pick(p).as_str()).collect::<String>()
    };
    let stands = |n: usize| format!("PointSetting(name: \"pump {n}\", speed: 0),");
    let (all, one) = ((0..loops).map(stands).collect::<String>(), stands(0));
    format!(
        "Project(format: \"heatledger\", version: 1, name: \"{loops} loops\", conditions: [Condition(name: \"hot\", day: HotDay)],
        components: [{}], heats: [{}], loops: [{}], cores: [{}], ducts: [{}],
        points: [Point(name: \"on\"), Point(name: \"all stand\", settings: [{all}]), Point(name: \"one stands\", settings: [{one}])],
        cases: [CaseGroup(conditions: [\"hot\"], points: [\"on\", \"all stand\", \"one stands\"])])",
        join(|p| &p.0),
        join(|p| &p.1),
        join(|p| &p.2),
        join(|p| &p.3),
        join(|p| &p.4),
    )
}

fn steady(criterion: &mut Criterion) {
    let options = SteadyOptions::default();
    let texts =
        [("rig", demo("rig")), ("tug", demo("tug")), ("5 loops", repeated(5)), ("50 loops", repeated(50))];
    for (name, text) in &texts {
        let project = decoded(text);
        let situation = first_case(&project);
        let assembled = assemble(situation).expect("the benched case can be put together");
        criterion
            .bench_function(&format!("{name}: read, decode, check"), |b| b.iter(|| decoded(black_box(text))));
        criterion.bench_function(&format!("{name}: assemble"), |b| {
            b.iter(|| assemble(black_box(situation)).expect("it did before"));
        });
        let cold = SteadySolver::new(std::sync::Arc::unwrap_or_clone(assembled.network.clone()));
        criterion.bench_function(&format!("{name}: steady, cold"), |b| {
            b.iter_batched_ref(
                || cold.clone(),
                |solver| solver.solve(&options).map(|s| s.statistics),
                criterion::BatchSize::SmallInput,
            );
        });
        let mut warm = SteadySolver::new(std::sync::Arc::unwrap_or_clone(assembled.network));
        warm.solve(&options).expect("the benched case has a steady state");
        criterion.bench_function(&format!("{name}: steady, warm"), |b| {
            b.iter(|| warm.solve(&options).map(|s| s.statistics));
        });
    }
}

/// A block that nothing cools has no equilibrium; that may cost ten solved cases at most, and grows with the loops.
fn hopeless(criterion: &mut Criterion) {
    let options = SteadyOptions::default();
    for loops in [5, 50] {
        let project = decoded(&repeated(loops));
        for point in &project.points {
            let situation = Situation { point, ..first_case(&project) };
            let assembled = assemble(situation).expect("the benched case can be put together");
            let cold = SteadySolver::new(std::sync::Arc::unwrap_or_clone(assembled.network));
            let solved = cold.clone().solve(&options).is_ok();
            assert_eq!(solved, point.name.as_str() == "on", "{}", point.name);
            criterion.bench_function(&format!("{loops} loops, {}: steady, cold", point.name), |b| {
                b.iter_batched_ref(
                    || cold.clone(),
                    |solver| solver.solve(&options).map(|s| s.statistics),
                    criterion::BatchSize::SmallInput,
                );
            });
        }
    }
}

criterion_group!(benches, steady, hopeless);
criterion_main!(benches);
