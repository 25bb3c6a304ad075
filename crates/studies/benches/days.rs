//! Time of a day of tow flights, of one failure searched over a flight, and of the turnarounds of the tug.

use aircraft::records::project::Project;
use criterion::{Criterion, criterion_group, criterion_main};
use model::design;
use model::mission::FlyOptions;
use std::sync::atomic::AtomicBool;
use studies::turnaround::TurnaroundWish;
use studies::{chains, failures, turnaround};

fn tug() -> Project {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/tug.ron");
    let text = std::fs::read(file).expect("the demo projects are part of the tree");
    let (node, problems) = project::parse(&text);
    assert!(!problems.has_errors(), "the benched project has no mistakes: {problems:?}");
    design::decode(&node.expect("a tree was read")).expect("the benched project is valid")
}

fn days(criterion: &mut Criterion) {
    let project = tug();
    let (options, cancel) = (FlyOptions::default(), AtomicBool::new(false));
    let mut group = criterion.benchmark_group("tug");
    group.sample_size(10);
    let mut all = chains::cases(&project);
    all.truncate(1);
    group.bench_function("tow day until it repeats", |b| {
        b.iter(|| chains::fly(&all, &options, &cancel, || ()).expect("the demo can be flown").len());
    });
    let mut cases = failures::hottest_cases(&project, None).expect("the demo can be flown");
    cases.truncate(1);
    let all = failures::single_failures(&project);
    let one: Vec<_> = all.into_iter().filter(|f| f.name.as_str() == "stator hose off").collect();
    group.bench_function("one failure from its worst moment", |b| {
        b.iter(|| {
            let study = failures::run(&cases, &one, &options, &cancel, |_| ());
            study.expect("the demo can be flown").failures.len()
        });
    });
    let wish = TurnaroundWish {
        condition: Some("hot day".to_owned()),
        without_tables: true,
        ..TurnaroundWish::default()
    };
    group.bench_function("turnaround, six options", |b| {
        b.iter(|| {
            turnaround::turnarounds(&project, &wish, &cancel, |_, _| ()).expect("it can be flown").len()
        });
    });
    group.finish();
}

criterion_group!(benches, days);
criterion_main!(benches);
