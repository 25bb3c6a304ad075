//! Long work in the window: how far it is, stopping it, going on, and results that belong to an earlier state. What the session does of
//! it is tested there.

use app::{Command, Page};
use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable as _;
use session::Work;

use crate::edits::WIDTH;
use crate::files::until;
use crate::{Desk, RIG, open_on, read, tug};

fn shows(harness: &Desk, text: &str) -> bool {
    harness.query_all_by_label_contains(text).next().is_some()
}

fn work(harness: &Desk) -> Option<Work> {
    harness.state().screen().extent.work().filter(|work| work.what == "failures").cloned()
}

/// The glider tug with its single failures under way: without optimisation they take long.
fn working() -> Desk {
    let mut harness = open_on(tug(), Page::Loops, egui::Theme::Light, [1440.0, 900.0]);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num7);
    harness.run_steps(2);
    assert_eq!(harness.state().page(), Page::Failures);
    until(&mut harness, "failures under way", |harness| work(harness).is_some());
    harness
}

#[test]
fn work_under_way_tells_how_far_it_is_and_is_stopped_by_its_button() {
    let mut harness = working();
    assert!(shows(&harness, " failures; now "));
    harness.get_by_role_and_label(Role::Button, "Cancel").click();
    until(&mut harness, "stopped", |harness| harness.state().is_settled());
    assert!(!harness.state().is_complete() && !harness.state().is_stale());
    assert!(!harness.state().screen().margins.rows.is_empty(), "what there is stays");
    let left = work(&harness).expect("it is not done");
    harness.get_by_label(&format!("Incomplete: {}; the others were stopped", left.count()));
    harness.get_by_label("incomplete");
    // Another case does not begin it again.
    harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::PageDown);
    harness.run_steps(2);
    until(&mut harness, "the other case", |harness| harness.state().is_settled());
    assert!(shows(&harness, "Incomplete: 0 of "));
    // Going on does.
    harness.get_by_role_and_label(Role::Button, "Continue").click();
    until(&mut harness, "going on", |harness| shows(harness, " failures; now "));
    assert!(!harness.state().is_settled());
}

#[test]
fn escape_stops_work_but_closes_what_is_open_first() {
    let mut harness = working();
    harness.key_press(Key::F1);
    harness.run_steps(2);
    harness.key_press(Key::Escape);
    harness.run_steps(2);
    assert!(!harness.state().is_settled(), "it closed the list of keys");
    harness.key_press(Key::Escape);
    until(&mut harness, "stopped", |harness| harness.state().is_settled());
    assert!(!harness.state().is_complete());
}

#[test]
fn an_edit_begins_stopped_work_again_and_old_results_are_told_as_stale() {
    let mut harness = open_on(read(RIG), Page::Failures, egui::Theme::Light, [1440.0, 900.0]);
    until(&mut harness, "all of it", |harness| harness.state().is_complete());
    let before = harness.state().screen().failures.clone().expect("the rig has failures");
    let context = harness.ctx.clone();
    let edit = Command::Edit { path: WIDTH.to_owned(), text: "180 mm".to_owned() };
    harness.state_mut().apply(&context, edit);
    until(&mut harness, "stale", |harness| shows(harness, "Out of date: from before the last change"));
    assert!(harness.state().is_stale());
    assert_eq!(harness.state().screen().failures.as_ref(), Some(&before), "the old ones stay meanwhile");
    harness.key_press(Key::Escape);
    until(&mut harness, "stopped", |harness| harness.state().is_settled());
    let again = Command::Edit { path: WIDTH.to_owned(), text: "181 mm".to_owned() };
    harness.state_mut().apply(&context, again);
    until(&mut harness, "all of it", |harness| harness.state().is_complete());
    assert!(!harness.state().is_stale() && !shows(&harness, "Out of date"));
    assert_ne!(harness.state().screen().failures.as_ref(), Some(&before));
}
