//! Long work: how far it is, stopping it, going on, and results that belong to an earlier state.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use aircraft::revise::Revision;
use app::files::{Finding, Origin};
use app::views::trades::Proposal;
use app::views::work::Work;
use app::{Choice, Choices, Page, Screen, Subject};
use eframe::egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable as _;

use crate::files::{Desk, opened, until};
use crate::invented::Invented;

/// The invented project with a study that goes on until its gate is opened or it is stopped.
#[derive(Debug, Clone)]
struct Gated {
    project: Invented,
    gate: Arc<AtomicBool>,
    /// Whether even the first part waits.
    holds_all: Arc<AtomicBool>,
}

impl Gated {
    fn new() -> Self {
        Self { project: Invented::new(), gate: Arc::default(), holds_all: Arc::default() }
    }

    fn with(&self, project: Invented) -> Self {
        Self { project, ..self.clone() }
    }
}

fn work() -> Work {
    Work { done: 1, of: 3, what: "missions".into(), now: "hot day/circuit mission".into() }
}

impl Subject for Gated {
    fn from_bytes(bytes: &[u8]) -> Result<(Self, Vec<Finding>), Vec<Finding>> {
        let (project, findings) = Invented::from_bytes(bytes)?;
        Ok((Self { project, ..Self::new() }, findings))
    }

    fn to_bytes(&self) -> Result<Vec<u8>, String> {
        self.project.to_bytes()
    }

    fn name(&self) -> &str {
        self.project.name()
    }

    fn choices(&self) -> &Choices {
        self.project.choices()
    }

    fn edited(&self, choice: &Choice, path: &str, text: &str) -> Result<Self, String> {
        Ok(self.with(self.project.edited(choice, path, text)?))
    }

    fn revised(&self, revision: &Revision) -> Result<Self, String> {
        Ok(self.with(self.project.revised(revision)?))
    }

    fn with_variant(&self, proposal: &Proposal, name: &str) -> Result<Self, String> {
        Ok(self.with(self.project.with_variant(proposal, name)?))
    }

    fn screen(&self, choice: &Choice, stop: &AtomicBool, so_far: &(dyn Fn(Screen) + Sync)) -> Screen {
        while self.holds_all.load(Ordering::Relaxed) && !stop.load(Ordering::Relaxed) {
            std::thread::yield_now();
        }
        let whole = self.project.screen(choice, stop, so_far);
        let part = Screen { work: Some(work()), ..whole.clone() };
        if choice.is_stopped {
            return part;
        }
        so_far(part.clone());
        while !self.gate.load(Ordering::Relaxed) {
            if stop.load(Ordering::Relaxed) {
                return part;
            }
            std::thread::yield_now();
        }
        whole
    }
}

fn shows(harness: &Desk<Gated>, text: &str) -> bool {
    harness.query_all_by_label_contains(text).next().is_some()
}

/// The page Margins with a study under way.
fn working() -> (Gated, Desk<Gated>) {
    let project = Gated::new();
    let mut harness = opened(project.clone(), Origin::Untitled("invented".into()), None);
    until(&mut harness, "the first part", |harness| !harness.state().screen().margins.rows.is_empty());
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num3);
    harness.run_steps(2);
    assert_eq!(harness.state().page(), Page::Margins);
    (project, harness)
}

#[test]
fn work_under_way_tells_how_far_it_is_and_is_stopped_by_its_button() {
    let (project, mut harness) = working();
    harness.get_by_label("1 of 3 missions; now hot day/circuit mission");
    harness.get_by_role_and_label(Role::Button, "Cancel").click();
    until(&mut harness, "stopped", |harness| harness.state().is_settled());
    assert!(!harness.state().is_complete() && !harness.state().is_stale());
    assert!(!harness.state().screen().margins.rows.is_empty(), "what there is stays");
    harness.get_by_label("Incomplete: 1 of 3 missions; the others were stopped");
    harness.get_by_label("incomplete");
    // Another case does not begin it again.
    harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::PageDown);
    harness.run_steps(2);
    until(&mut harness, "the other case", |harness| harness.state().is_settled());
    harness.get_by_label("Incomplete: 1 of 3 missions; the others were stopped");
    // Going on does.
    harness.get_by_role_and_label(Role::Button, "Go on").click();
    until(&mut harness, "going on", |harness| shows(harness, "1 of 3 missions; now"));
    project.gate.store(true, Ordering::Relaxed);
    until(&mut harness, "all of it", |harness| harness.state().is_complete());
    assert!(!shows(&harness, "of 3 missions"));
}

#[test]
fn escape_stops_work_but_closes_what_is_open_first() {
    let (_, mut harness) = working();
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
    let (project, mut harness) = working();
    harness.key_press(Key::Escape);
    until(&mut harness, "stopped", |harness| harness.state().is_settled());
    project.holds_all.store(true, Ordering::Relaxed);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num1);
    harness.run_steps(2);
    let area = harness.get_by_role_and_label(Role::TextInput, "Nose core, face area");
    area.click();
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.get_by_role_and_label(Role::TextInput, "Nose core, face area").type_text("0.08 m2");
    harness.run_steps(1);
    harness.key_press(Key::Enter);
    until(&mut harness, "stale", |harness| shows(harness, "Stale: from before the last change"));
    assert!(harness.state().is_stale());
    project.holds_all.store(false, Ordering::Relaxed);
    project.gate.store(true, Ordering::Relaxed);
    until(&mut harness, "all of it", |harness| harness.state().is_complete());
    assert!(!harness.state().is_stale() && !shows(&harness, "Stale"));
}
