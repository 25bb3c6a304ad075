//! Time of the mass and power book, of sizing one loop of the tug with what looser limits save, and of sizing all of them at once.

use aircraft::records::project::Project;
use criterion::{Criterion, criterion_group, criterion_main};
use model::design;
use model::mission::FlyOptions;
use std::sync::atomic::AtomicBool;
use studies::budget::budget;
use studies::optimum::{OptimumOptions, size_all};
use studies::size::{SizeOptions, size};

fn tug() -> Project {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/tug.ron");
    let text = std::fs::read(file).expect("the demo projects are part of the tree");
    let (node, problems) = project::parse(&text);
    assert!(!problems.has_errors(), "the benched project has no mistakes: {problems:?}");
    design::decode(&node.expect("a tree was read")).expect("the benched project is valid")
}

fn sizing(criterion: &mut Criterion) {
    let project = tug();
    let cancel = AtomicBool::new(false);
    let missions: Vec<_> =
        model::cases::missions(&project).into_iter().filter(|case| case.failure.is_none()).collect();
    let mut group = criterion.benchmark_group("tug");
    group.sample_size(10);
    group.bench_function("budget of the missions without failure", |b| {
        b.iter(|| {
            let found = budget(&project, &[], &missions, &FlyOptions::default(), &cancel, |_| ());
            found.expect("the demo can be flown").cases.len()
        });
    });
    for circuit in ["stator", "battery", "gearbox oil", "inverters"] {
        group.bench_function(format!("size of loop {circuit}"), |b| {
            b.iter(|| {
                let found = size(&project, circuit, &SizeOptions::default(), &cancel, |_, _| ());
                found.expect("the demo can be put together").sized.map(|sized| sized.mass_kg)
            });
        });
    }
    group.bench_function("size of all loops", |b| {
        b.iter(|| {
            let found = size_all(&project, &OptimumOptions::default(), &cancel, |_| ());
            found.expect("the demo can be put together").optimum.map(|o| o.weighed.equivalent_kg())
        });
    });
    group.finish();
}

criterion_group!(benches, sizing);
criterion_main!(benches);
