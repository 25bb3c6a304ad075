//! The window as a user meets it: found by role and label, acted on by pointer and keys.

#[path = "../examples/invented/mod.rs"]
mod invented;

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
mod walk;
mod whole_job;

use std::time::{Duration, Instant};

use app::{Page, Start, ThemeChoice, Window};
use eframe::egui::{Theme, Vec2};
use egui_kittest::Harness;

use invented::Invented;

type Session = Harness<'static, Window<Invented>>;

/// The window of a usual size on a page, with its first results on screen.
fn open(page: Page) -> Session {
    open_sized(page, Theme::Light, [1440.0, 900.0])
}

/// The window of a size and theme on a page, with its first results on screen.
fn open_sized(page: Page, theme: Theme, size: [f32; 2]) -> Session {
    let mut harness =
        Harness::builder().with_size(Vec2::from(size)).with_theme(theme).build_eframe(|context| {
            let mut start = Start::new(Invented::new());
            start.page = page;
            start.theme = if theme == Theme::Dark { ThemeChoice::Dark } else { ThemeChoice::Light };
            Window::new(&context.egui_ctx, start).expect("a thread can be started")
        });
    settle(&mut harness);
    harness
}

/// Draws until the newest results are on screen.
fn settle(harness: &mut Session) {
    let start = Instant::now();
    loop {
        harness.run_steps(2);
        if harness.state().is_settled() {
            harness.run_steps(2);
            return;
        }
        assert!(start.elapsed() < Duration::from_secs(20), "the results never came");
        std::thread::yield_now();
    }
}
