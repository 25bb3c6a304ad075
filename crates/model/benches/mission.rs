//! Time of a mission: the networks of its schedule, and the flight itself, on the demo projects and on 90 min of five loops.

use model::design;
use std::hint::black_box;

use aircraft::records::project::Project;
use criterion::{Criterion, criterion_group, criterion_main};
use model::assembly::{Situation, assemble};
use model::cases;
use model::mission::{FlyOptions, fly, schedule};
use solver::{Stretch, Transient, TransientOptions, Wish};

fn demo(name: &str) -> Project {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects");
    let text = std::fs::read(format!("{folder}/{name}.ron")).expect("the demo projects are part of the tree");
    let (node, problems) = project::parse(&text);
    assert!(!problems.has_errors(), "the benched project has no mistakes: {problems:?}");
    design::decode(&node.expect("a tree was read")).expect("the benched project is valid")
}

fn missions(criterion: &mut Criterion) {
    // samples a minute apart: the flight itself is measured, not the keeping of its results
    let options = FlyOptions { max_gap_s: 60.0, ..FlyOptions::default() };
    for name in ["rig", "tug", "rescue"] {
        let project = demo(name);
        let all = cases::missions(&project);
        let case = &all[0];
        let planned = schedule(case).expect("the first mission can be flown");
        criterion.bench_function(&format!("{name}: networks of {}", case.name()), |b| {
            b.iter(|| schedule(black_box(case)).expect("it did before"));
        });
        criterion.bench_function(&format!("{name}: {}", case.name()), |b| {
            b.iter_batched(
                || planned.clone(),
                |planned| fly(&project, planned, None, &options).statistics,
                criterion::BatchSize::SmallInput,
            );
        });
        let kept = fly(&project, planned, None, &FlyOptions::default());
        let samples = kept.times_s.len();
        criterion.bench_function(
            &format!("{name}: margins of {} over {samples} samples", case.name()),
            |b| {
                b.iter(|| kept.margins(black_box(&project)));
            },
        );
    }
}

/// 90 min in nine stretches of 10 min over the steady points of the tug.
fn ninety_minutes(criterion: &mut Criterion) {
    let project = demo("tug");
    let stretches: Vec<Stretch> = (0..9)
        .map(|index| {
            let point = &project.points[index % project.points.len().min(3)];
            let situation =
                Situation { project: &project, condition: &project.conditions[0], point, failure: None };
            let from = assemble(situation).expect("the points of the demo can be put together").network;
            Stretch { duration_s: 600.0, from, to: None }
        })
        .collect();
    for accuracy_k in [0.5, 0.05] {
        let options = TransientOptions { accuracy_k, ..TransientOptions::default() };
        criterion.bench_function(&format!("tug: 90 min in 9 jumps at {accuracy_k} K"), |b| {
            b.iter(|| {
                let mut run = Transient::uniform(&stretches[0].from, 305.0);
                for stretch in &stretches {
                    run.run(stretch, &[], &options, |_| Wish::GoOn).expect("the demo has a way through");
                }
                run.statistics()
            });
        });
    }
}

criterion_group!(benches, missions, ninety_minutes);
criterion_main!(benches);
