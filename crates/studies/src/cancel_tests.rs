//! Long studies that are cancelled on their way: the flag is raised by the first word of progress, and there is no result.

use crate::StudyError;
use crate::levers::{LeverOptions, levers, mission_levers};
use crate::spread::{SpreadOptions, flights, spread};
use crate::sweep::{Axis, Shard, SweepError, Watch, sweep};
use crate::variants::{CompareOptions, compare};
use aircraft::records::project::Project;
use model::design;
use model::design::decode;
use model::mission::FlyOptions;
use schema::Node;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

const PLATE: &str = r#"
Project(
    format: "heatledger",
    version: 1,
    name: "plate",
    conditions: [Condition(name: "warm", day: Fixed("40 degC"))],
    components: [Component(name: "plate", capacity: Input(value: "1 kJ/K", tolerance: "10 %"), limits: [Limit(value: "100 degC", required: "10 K")])],
    links: [Link(name: "path", from: "plate", to: "outside air", law: Conductance(Input(value: "5 W/K", tolerance: "10 %")))],
    heats: [Heat(name: "heater", into: "plate", law: Fixed(Input(value: "200 W", tolerance: "10 %")))],
    points: [Point(name: "full")],
    missions: [Mission(name: "heat", soak: LeftOut("nothing to see"), segments: [Segment(name: "on", duration: "200 s")])],
    cases: [CaseGroup(conditions: ["warm"], points: ["full"], missions: ["heat"])],
    variants: [Variant(name: "wide path", changes: [Set("links.path.law", Conductance("8 W/K"))])],
)
"#;

fn plate() -> (Node, Project) {
    let (node, problems) = project::parse(PLATE.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    let node = node.expect("the text holds a project");
    let project = decode(&node).unwrap_or_else(|problems| panic!("{problems}"));
    (node, project)
}

/// Raises the flag at the first word of progress, and counts the words.
#[derive(Default)]
struct Raiser {
    flag: AtomicBool,
    words: AtomicUsize,
}

impl Raiser {
    fn hear(&self) {
        self.words.fetch_add(1, Ordering::Relaxed);
        self.flag.store(true, Ordering::Relaxed);
    }
}

/// Runs a study of `of` pieces on two threads, so that it does not depend on the machine how many of them have begun.
fn cancelled<T: Send>(of: usize, study: impl FnOnce(&Raiser) -> Result<T, StudyError> + Send) {
    let raiser = Raiser::default();
    let pool = rayon::ThreadPoolBuilder::new().num_threads(2).build().expect("threads can be started");
    let found = pool.install(|| study(&raiser));
    assert!(matches!(found, Err(StudyError::Cancelled)), "no result is given");
    let words = raiser.words.into_inner();
    assert!((1..of).contains(&words), "{words} of {of} pieces");
}

#[test]
fn a_spread_ends() {
    let (node, project) = plate();
    let options = SpreadOptions { samples: 2048, ..SpreadOptions::default() };
    cancelled(2048, |r| spread(&node, &project, &options, &r.flag, |_| r.hear()));
}

#[test]
fn a_spread_of_flights_ends() {
    let (node, project) = plate();
    let (options, fly) = (SpreadOptions { samples: 256, ..SpreadOptions::default() }, FlyOptions::default());
    cancelled(256, |r| flights(&node, &project, &options, &fly, &r.flag, |_| r.hear()));
}

#[test]
fn levers_of_flights_end() {
    let (node, project) = plate();
    cancelled(usize::MAX, |r| {
        mission_levers(&node, &project, &LeverOptions::default(), &FlyOptions::default(), &r.flag, |_, _| {
            r.hear();
        })
    });
}

#[test]
fn levers_end() {
    let (node, project) = plate();
    cancelled(usize::MAX, |r| levers(&node, &project, &LeverOptions::default(), &r.flag, |_, _| r.hear()));
}

#[test]
fn a_sweep_ends() {
    let (node, _) = plate();
    let axis = Axis::parse(&node, "heats.heater.law=100 W..300 W/400").expect("an axis");
    cancelled(400, |r| {
        let found = sweep(&node, &[axis], &[Watch::Worst], &[], Shard::WHOLE, &r.flag, |_| r.hear());
        found.map_err(|error| match error {
            SweepError::Study(error) => error,
            other => panic!("{other}"),
        })
    });
}

#[test]
fn a_comparison_of_variants_ends() {
    let (node, _) = plate();
    let variants =
        [None, Some("wide path")].map(|name| design::apply(&node, name).expect("it can be applied"));
    cancelled(6, |r| compare(&variants, &CompareOptions::default(), &r.flag, |_, _| r.hear()));
}
