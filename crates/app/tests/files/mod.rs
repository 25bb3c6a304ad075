//! Open, save, and what must never happen to a user's work. Paths are typed: that is what a system without a file
//! dialog gets, and what a test can drive.

mod aircraft;
mod crash;
mod disk;
mod guard;

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use app::files::{Origin, Settings};
use app::{Page, Start, Subject, ThemeChoice, Window};
use eframe::egui::{Key, Modifiers, Role, Theme, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use crate::invented::{FACE_AREA, Invented};

pub(crate) type Desk<S = Invented> = Harness<'static, Window<S>>;

/// A file of an invented project with this face area.
fn written(path: &Path, area: &str) -> PathBuf {
    std::fs::write(path, format!("invented\n{FACE_AREA} = {area}\n")).expect("written");
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

pub(crate) fn start<S: Subject>(subject: S, origin: Origin, state: Option<&Path>) -> Desk<S> {
    let mut harness = opened(subject, origin, state);
    until(&mut harness, "the first results", |harness| harness.state().is_settled());
    harness
}

/// The window as it opens, before any result.
pub(crate) fn opened<S: Subject>(subject: S, origin: Origin, state: Option<&Path>) -> Desk<S> {
    if let Some(state) = state {
        // Not the first start: the tips, which would push the page down meanwhile, were dismissed.
        let pages: String = Page::ALL.map(|page| format!("{}\n", page.label())).concat();
        std::fs::write(state.join("tips-dismissed"), pages).expect("written");
    }
    let files = settings(state);
    Harness::builder().with_size(Vec2::new(1440.0, 900.0)).with_theme(Theme::Light).build_eframe(|context| {
        let start =
            Start { origin, files, theme: ThemeChoice::Light, page: Page::Loops, ..Start::new(subject) };
        Window::new(&context.egui_ctx, start).expect("threads can be started")
    })
}

/// The window on an invented project that is no file.
fn untitled() -> Desk {
    start(Invented::new(), Origin::Untitled("demo".into()), None)
}

/// The window on a file of an invented project.
fn on_file(path: &Path) -> Desk {
    let bytes = std::fs::read(path).expect("readable");
    let (subject, _) = Invented::from_bytes(&bytes).expect("a project");
    start(subject, Origin::File(path.to_owned()), None)
}

/// Draws until something has come true.
pub(crate) fn until<S: Subject>(harness: &mut Desk<S>, what: &str, is_true: impl Fn(&Desk<S>) -> bool) {
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

fn shows<S: Subject>(harness: &Desk<S>, text: &str) -> bool {
    harness.query_all_by_label_contains(text).next().is_some()
}

pub(crate) fn until_shown<S: Subject>(harness: &mut Desk<S>, text: &str) {
    until(harness, text, |harness| shows(harness, text));
}

fn press<S: Subject>(harness: &mut Desk<S>, modifiers: Modifiers, key: Key) {
    harness.key_press_modifiers(modifiers, key);
    harness.run_steps(3);
}

fn click<S: Subject>(harness: &mut Desk<S>, label: &str) {
    harness.get_by_role_and_label(Role::Button, label).click();
    harness.run_steps(3);
}

/// Types into the field of a label, in place of what stands there.
fn type_into<S: Subject>(harness: &mut Desk<S>, label: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, label).click();
    harness.run_steps(2);
    press(harness, Modifiers::COMMAND, Key::A);
    harness.get_by_role_and_label(Role::TextInput, label).type_text(text);
    harness.run_steps(2);
}

/// Types a path where one is asked for, and takes it.
fn type_path<S: Subject>(harness: &mut Desk<S>, path: &Path) {
    type_into(harness, "Path of the project", &path.display().to_string());
    harness.key_press(Key::Enter);
    harness.run_steps(3);
}

/// Sets the face area of the nose core.
fn edit(harness: &mut Desk, area: &str) {
    type_into(harness, "Nose core, face area", area);
    harness.key_press(Key::Enter);
    until(harness, "the results of the edit", |harness| harness.state().is_settled());
    assert_eq!(face_area(harness), area);
}

fn face_area(harness: &Desk) -> String {
    harness.state().subject().input(FACE_AREA, "none")
}
