//! Time of a grid: the height of the stator radiator against the resistance of the cells, every steady case at every point.

use criterion::{Criterion, criterion_group, criterion_main};
use model::design;
use std::sync::atomic::AtomicBool;
use studies::sweep::{Axis, Shard, Watch, sweep};

fn grid(criterion: &mut Criterion) {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/tug.ron");
    let text = std::fs::read(file).expect("the demo projects are part of the tree");
    let (node, problems) = project::parse(&text);
    assert!(!problems.has_errors(), "the benched project has no mistakes: {problems:?}");
    let node = node.expect("a tree was read");
    design::decode(&node).expect("the benched project is valid");
    let axes = [
        "cores.stator radiator.transfer.height=120 mm..260 mm/20",
        "powertrain.bus.cell.resistance=6 mOhm..15 mOhm/10",
    ]
    .map(|text| Axis::parse(&node, text).expect("the inputs exist"));
    let cancel = AtomicBool::new(false);
    let mut group = criterion.benchmark_group("tug");
    group.sample_size(10);
    group.bench_function("sweep of 200 points, worst reserve and mass", |b| {
        b.iter(|| {
            let found = sweep(&node, &axes, &[Watch::Worst, Watch::Mass], &[], Shard::WHOLE, &cancel, |_| ());
            found.expect("the demo can be put together").rows.len()
        });
    });
    group.finish();
}

criterion_group!(benches, grid);
criterion_main!(benches);
