//! Long work is stopped, tells what is missing, is not begun again by a look at something else, and goes on where it was.

use std::collections::BTreeSet;
use std::sync::atomic::{AtomicBool, Ordering};

use session::failures::Failing;
use session::{Asker, Choice, Extent, Found, Scope, Studied, Study};

use crate::{begun, mission, rig, solved, until};

fn failing(found: &Found) -> Option<&Failing> {
    match &found.studied {
        Studied::Failures(failing) => Some(failing),
        _ => None,
    }
}

fn has_some(found: &Found) -> bool {
    failing(found).is_some_and(|failing| !failing.outcomes.is_empty())
}

/// Stopped after the first failures, these stay and are told as incomplete; going on adds the others to them.
#[test]
fn a_study_that_is_stopped_keeps_what_it_has_and_goes_on() {
    let rig = rig();
    let choice = Choice { study: Study::Failures, ..mission(&rig) };
    let cancelled = AtomicBool::new(false);
    let stop = |part: Found| {
        cancelled.fetch_or(has_some(&part), Ordering::Relaxed);
    };
    let found = rig.solve(&choice, Asker { cancelled: &cancelled, so_far: &stop });
    let work = found.extent.work().cloned().expect("it is not done");
    let some = failing(&found).expect("the first ones are there").outcomes.len();
    assert_eq!((work.done, work.what.as_str()), (some, "failures"));
    assert!(work.done > 0 && work.done < work.of && !work.now.is_empty(), "{work:?}");
    // Another look while it is stopped works nothing out and loses nothing.
    let (parts, still) = solved(&rig, &Choice { is_stopped: true, ..choice.clone() });
    assert!(parts.is_empty() && still.extent.work() == Some(&work));
    assert_eq!(failing(&still).expect("they stay").outcomes.len(), some);
    // Going on begins with those that are missing.
    let (parts, whole) = solved(&rig, &choice);
    let first = parts.iter().find_map(|part| part.extent.work().filter(|work| work.what == "failures"));
    assert_eq!(first.expect("there is more to do").done, some);
    let all = &failing(&whole).expect("all of them").outcomes;
    assert_eq!((all.len(), &whole.extent), (work.of, &Extent::Whole));
    let names: BTreeSet<Option<&str>> = all.iter().map(|outcome| outcome.case.failure.as_deref()).collect();
    assert_eq!(names.len(), all.len(), "none twice");
}

#[test]
fn cases_that_are_stopped_before_any_is_solved_tell_how_many_are_missing() {
    let rig = rig();
    let choice = Choice { case: "moon/none".parse().expect("a name"), ..Choice::default() };
    let found = rig.solve(&choice, Asker { cancelled: &AtomicBool::new(true), so_far: &|_| () });
    assert!(matches!(&found.extent, Extent::Nothing(work) if work.of == 7 && work.what == "cases"));
}

/// By the worker, as a window does it: what there is stays, another case does not begin it again, going on does.
#[test]
fn work_under_way_is_stopped_and_resumed_by_the_session() {
    let rig = rig();
    let choice = Choice { study: Study::Failures, ..mission(&rig) };
    let mut session = begun(rig, &choice);
    until(&mut session, "the first failures", |_, found| has_some(found));
    session.stop();
    let stopped = until(&mut session, "stopped", |session, _| session.is_settled());
    let work = stopped.extent.work().cloned().expect("it is not whole");
    assert!(has_some(&stopped) && session.is_drawn_anew());
    session.choose(&Choice { time_s: 60.0, ..session.choice().clone() });
    assert!(!session.is_settled());
    let other = until(&mut session, "another moment", |session, _| session.is_settled());
    assert_eq!(other.extent.work(), Some(&work), "nothing more was worked out");
    session.resume();
    session.ask();
    let whole = until(&mut session, "all of it", |session, _| session.is_settled());
    assert_eq!(
        (failing(&whole).map(|failing| failing.outcomes.len()), &whole.extent),
        (Some(work.of), &Extent::Whole)
    );
}

#[test]
fn an_edit_begins_stopped_work_again() {
    let rig = rig();
    let mut session = begun(rig.clone(), &mission(&rig));
    session.stop();
    assert!(session.choice().is_stopped);
    session.edit("cores.radiator.transfer.width", "200 mm", Scope::Design).expect("it is a length");
    assert!(!session.choice().is_stopped && !session.is_drawn_anew());
    let whole = until(&mut session, "the results of the edit", |session, _| session.is_settled());
    assert_eq!((&whole.extent, whole.flown.len()), (&Extent::Whole, 3));
}

/// The newest wins: of many edits in a row only the last is answered whole.
#[test]
fn only_the_newest_of_many_edits_is_answered() {
    let rig = rig();
    let choice = rig.choices().settle(&Choice::default());
    let mut session = begun(rig, &choice);
    for width in 200..=220 {
        session
            .step("cores.radiator.transfer.width", &format!("{width} mm"), Scope::Design, false)
            .expect("a length");
    }
    let found = until(&mut session, "settled", |session, _| session.is_settled());
    let (_, expected) = solved(session.snapshot(), session.choice());
    assert_eq!(found.steady.results, expected.steady.results);
    assert!(session.undo(), "all steps are one edit");
    assert!(!session.undo());
}
