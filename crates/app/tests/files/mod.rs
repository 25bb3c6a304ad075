//! Open, save, and what must never happen to a user's work. Paths are typed: that is what a system without a file
//! dialog gets, and what a test can drive.

mod aircraft;
mod crash;
mod disk;
mod guard;

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use app::files::{Origin, Settings};
use app::{Opening, Page, ThemeChoice, Window};
use egui::{Key, Modifiers, Role, Theme, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use session::Snapshot;

use crate::edits::{FIELD, FIRST, WIDTH};
use crate::{Desk, RIG, input, rig, type_into};

/// A file of the bench rig with a radiator of this width.
fn written(path: &Path, width: &str) -> PathBuf {
    std::fs::write(path, RIG.replace(&format!("width: \"{FIRST}\""), &format!("width: \"{width}\"")))
        .expect("written");
    path.to_owned()
}

fn settings(state: Option<&Path>) -> Settings {
    Settings {
        state_folder: state.map(Path::to_owned),
        keep_after: Duration::ZERO,
        look_every: Duration::from_millis(5),
        ..Settings::default()
    }
}

pub(crate) fn start(snapshot: Snapshot, origin: Origin, state: Option<&Path>) -> Desk {
    let mut harness = opened(snapshot, origin, state);
    until(&mut harness, "the first results", |harness| harness.state().is_settled());
    harness
}

/// The window as it opens, before any result.
pub(crate) fn opened(snapshot: Snapshot, origin: Origin, state: Option<&Path>) -> Desk {
    if let Some(state) = state {
        // Not the first start: the tips, which would push the page down meanwhile, were dismissed.
        let pages: String = Page::ALL.map(|page| format!("{}\n", page.label())).concat();
        std::fs::write(state.join("tips-dismissed"), pages).expect("written");
    }
    let files = settings(state);
    Harness::builder().with_size(Vec2::new(1440.0, 900.0)).with_theme(Theme::Light).build_eframe(|context| {
        let start =
            Opening { origin, files, theme: ThemeChoice::Light, page: Page::Loops, ..Opening::new(snapshot) };
        Window::new(&context.egui_ctx, start).expect("threads can be started")
    })
}

/// The window on the bench rig as a project that is no file.
fn untitled() -> Desk {
    start(rig(), Origin::Untitled("demo".into()), None)
}

/// The window on a file of the bench rig.
fn on_file(path: &Path) -> Desk {
    let bytes = std::fs::read(path).expect("readable");
    let (snapshot, _) = Snapshot::from_bytes(&bytes).expect("a project");
    start(snapshot, Origin::File(path.to_owned()), None)
}

/// Draws until something has come true.
pub(crate) fn until(harness: &mut Desk, what: &str, is_true: impl Fn(&Desk) -> bool) {
    let start = Instant::now();
    loop {
        harness.run_steps(2);
        if is_true(harness) {
            harness.run_steps(2);
            return;
        }
        assert!(start.elapsed() < Duration::from_mins(2), "it never came to this: {what}");
        std::thread::yield_now();
    }
}

fn shows(harness: &Desk, text: &str) -> bool {
    harness.query_all_by_label_contains(text).next().is_some()
}

pub(crate) fn until_shown(harness: &mut Desk, text: &str) {
    until(harness, text, |harness| shows(harness, text));
}

fn press(harness: &mut Desk, modifiers: Modifiers, key: Key) {
    harness.key_press_modifiers(modifiers, key);
    harness.run_steps(3);
}

fn click(harness: &mut Desk, label: &str) {
    harness.get_by_role_and_label(Role::Button, label).click();
    harness.run_steps(3);
}

/// Types a path where one is asked for, and takes it.
fn type_path(harness: &mut Desk, path: &Path) {
    type_into(harness, "Path of the project", &path.display().to_string());
    harness.key_press(Key::Enter);
    harness.run_steps(3);
}

/// Sets the width of the radiator.
fn edit(harness: &mut Desk, text: &str) {
    type_into(harness, FIELD, text);
    harness.key_press(Key::Enter);
    until(harness, "the results of the edit", |harness| harness.state().is_settled());
    assert_eq!(width(harness), text);
}

fn width(harness: &Desk) -> String {
    input(harness, WIDTH)
}
