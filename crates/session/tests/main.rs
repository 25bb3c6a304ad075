//! An open project without a window: read, chosen, solved in parts, edited, stopped.

mod edits;
mod levers;
mod opened;
mod order;
mod questions;
mod stop;

use std::sync::atomic::AtomicBool;
use std::sync::{LazyLock, Mutex};
use std::time::{Duration, Instant};

use session::{Asker, Choice, Found, Session, Snapshot};

/// The bench rig: one loop, one mission at three conditions, four failures.
const RIG: &str = include_str!("../../../demo-projects/rig.ron");

fn read(text: &str) -> Snapshot {
    Snapshot::from_bytes(text.as_bytes()).expect("it is a project").0
}

fn rig() -> Snapshot {
    read(RIG)
}

/// The glider tug. What one test has solved of it the others find solved.
fn tug() -> Snapshot {
    static TUG: LazyLock<Snapshot> = LazyLock::new(|| read(include_str!("../../../demo-projects/tug.ron")));
    TUG.clone()
}

/// The first mission.
fn mission(snapshot: &Snapshot) -> Choice {
    let case = snapshot.choices().missions().next().cloned().expect("it flies");
    snapshot.choices().settle(&Choice { case, ..Choice::default() })
}

/// What is handed out on the way, and the whole.
fn solved(snapshot: &Snapshot, choice: &Choice) -> (Vec<Found>, Found) {
    let parts = Mutex::new(Vec::new());
    let so_far = |found| parts.lock().expect("no panic").push(found);
    let cancelled = AtomicBool::new(false);
    let whole = snapshot.solve(choice, Asker { cancelled: &cancelled, so_far: &so_far });
    (parts.into_inner().expect("no panic"), whole)
}

/// A session that hands out what is known as it is.
fn begun(snapshot: Snapshot, choice: &Choice) -> Session<Found> {
    let job =
        |(snapshot, choice): (Snapshot, Choice), cancelled: &AtomicBool, so_far: &(dyn Fn(Found) + Sync)| {
            snapshot.solve(&choice, Asker { cancelled, so_far })
        };
    Session::start(snapshot, choice, job, || ()).expect("a thread can be started")
}

/// The newest that comes until something is true of it.
fn until(
    session: &mut Session<Found>,
    what: &str,
    is_true: impl Fn(&Session<Found>, &Found) -> bool,
) -> Found {
    let start = Instant::now();
    loop {
        if let Some(found) = session.collect() {
            let found = found.expect("nothing panics");
            session.mark_drawn();
            if is_true(session, &found) {
                return found;
            }
        }
        assert!(start.elapsed() < Duration::from_mins(2), "it never came to this: {what}");
        std::thread::sleep(Duration::from_millis(1));
    }
}
