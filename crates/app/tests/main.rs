//! The window as a user meets it: found by role and label, acted on by pointer and keys.

mod begin;
mod duty;
mod edits;
mod figures;
mod files;
mod flight;
mod flown;
mod levels;
mod levers;
mod machines;
mod pages;
mod parts;
mod pictures;
mod revise;
mod start;
mod steps;
mod stop;
mod tables;
mod trades;
mod variant_edits;
mod verdicts;
mod walk;
mod whole_job;

use std::sync::LazyLock;
use std::time::{Duration, Instant};

use app::{Opening, Page, ThemeChoice, Window};
use egui::{Key, Modifiers, Role, Theme, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use session::Snapshot;

/// The text of the bench rig: one loop, one mission, failures; solved in no time.
const RIG: &str = include_str!("../../../demo-projects/rig.ron");

type Desk = Harness<'static, Window>;

fn read(text: &str) -> Snapshot {
    Snapshot::from_bytes(text.as_bytes()).expect("a demo is a project").0
}

/// The bench rig. What one test has solved of a demo the others find solved.
fn rig() -> Snapshot {
    static RIG_SNAPSHOT: LazyLock<Snapshot> = LazyLock::new(|| read(RIG));
    RIG_SNAPSHOT.clone()
}

/// The glider tug, which has something on every page.
fn tug() -> Snapshot {
    static TUG: LazyLock<Snapshot> = LazyLock::new(|| read(include_str!("../../../demo-projects/tug.ron")));
    TUG.clone()
}

/// The demo on which a page is shown: the failures of the tug take long without optimisation.
fn demo(page: Page) -> Snapshot {
    if page == Page::Failures { rig() } else { tug() }
}

/// The window of a usual size on a page, with its first results on screen.
fn open(page: Page) -> Desk {
    open_sized(page, Theme::Light, [1440.0, 900.0])
}

/// The window of a size and theme on a page, with its first results on screen.
fn open_sized(page: Page, theme: Theme, size: [f32; 2]) -> Desk {
    open_on(demo(page), page, theme, size)
}

/// The window on a project.
fn open_on(snapshot: Snapshot, page: Page, theme: Theme, size: [f32; 2]) -> Desk {
    let mut harness =
        Harness::builder().with_size(Vec2::from(size)).with_theme(theme).build_eframe(|context| {
            let mut start = Opening::new(snapshot);
            start.page = page;
            start.theme = if theme == Theme::Dark { ThemeChoice::Dark } else { ThemeChoice::Light };
            Window::new(&context.egui_ctx, start).expect("a thread can be started")
        });
    settle(&mut harness);
    harness
}

/// Draws until the newest results are on screen.
fn settle(harness: &mut Desk) {
    let start = Instant::now();
    loop {
        harness.run_steps(2);
        if harness.state().is_settled() {
            harness.run_steps(2);
            return;
        }
        assert!(start.elapsed() < Duration::from_mins(5), "the results never came");
        std::thread::sleep(Duration::from_millis(2));
    }
}

/// Chooses the first mission of the condition on screen.
fn show_mission(harness: &mut Desk) {
    let window = harness.state();
    let condition = window.choice().case.condition.clone();
    let mission = window.snapshot().choices().missions_at(&condition).next().cloned();
    let mission = mission.expect("a mission is flown there").at_condition();
    harness.get_by_role_and_label(Role::ComboBox, "Case").click();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, &mission).click();
    settle(harness);
}

/// What stands in the project at an address, as typed.
fn input(harness: &Desk, path: &str) -> String {
    let listing = harness.state().snapshot().base().listing();
    let entry = listing.inputs.iter().find(|entry| entry.address == path).expect("an input of the project");
    entry.text.clone()
}

/// Types into the field of a label, in place of what stands there.
fn type_into(harness: &mut Desk, label: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, label).click();
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, label).type_text(text);
    harness.run_steps(2);
}
