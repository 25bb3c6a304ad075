//! Time of the levers and of the spread of the tug's margins.

use aircraft::records::project::Project;
use criterion::{Criterion, criterion_group, criterion_main};
use model::design;
use model::mission::FlyOptions;
use schema::Node;
use std::sync::atomic::AtomicBool;
use studies::levers::{LeverOptions, levers};
use studies::spread::{SpreadOptions, flights, spread};

fn tug() -> (Node, Project) {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/tug.ron");
    let text = std::fs::read(file).expect("the demo projects are part of the tree");
    let (node, problems) = project::parse(&text);
    assert!(!problems.has_errors(), "the benched project has no mistakes: {problems:?}");
    let node = node.expect("a tree was read");
    let project = design::decode(&node).expect("the benched project is valid");
    (node, project)
}

fn certainty(criterion: &mut Criterion) {
    let (node, project) = tug();
    let cancel = AtomicBool::new(false);
    let mut group = criterion.benchmark_group("tug");
    group.sample_size(10);
    group.bench_function("levers of ten margins, all inputs", |b| {
        b.iter(|| {
            let found = levers(&node, &project, &LeverOptions::default(), &cancel, |_, _| ());
            found.expect("the demo can be put together").len()
        });
    });
    let options = SpreadOptions { samples: 256, ..SpreadOptions::default() };
    group.bench_function("256 samples of the worst case of each limit", |b| {
        b.iter(|| {
            let found = spread(&node, &project, &options, &cancel, |_| ());
            found.expect("the demo can be put together").margins.len()
        });
    });
    let cases = vec!["hot day/tow flight".to_owned()];
    let options = SpreadOptions { samples: 16, cases, ..SpreadOptions::default() };
    group.bench_function("16 samples of a tow flight", |b| {
        b.iter(|| {
            let found = flights(&node, &project, &options, &FlyOptions::default(), &cancel, |_| ());
            found.expect("the demo can be flown").len()
        });
    });
    group.finish();
}

criterion_group!(benches, certainty);
criterion_main!(benches);
