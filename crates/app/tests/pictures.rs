//! A few pictures, compared with those kept in the repository. They need a graphics driver, so they run where
//! `HEATLEDGER_PICTURES` is set (as `check.sh` does), and say so elsewhere.

use std::io::Write as _;

use app::Page;
use egui::Theme;

use crate::open_sized;

/// More than the widest text of the time takes, points.
const WIDEST_TIME: f32 = 100.0;

fn compare(page: Page, theme: Theme, name: &str) {
    if std::env::var_os("HEATLEDGER_PICTURES").is_none() {
        // Past the capture of the test runner, which hides what a passing test prints.
        let left_out =
            format!("picture {name}: left out, it needs a graphics driver (HEATLEDGER_PICTURES)\n");
        std::io::stderr().write_all(left_out.as_bytes()).expect("stderr can be written to");
        return;
    }
    let mut harness = open_sized(page, theme, [1000.0, 620.0]);
    // The time of the last solution differs from run to run, and with its digits the width of its text, which
    // ends at a fixed place: the mask has one width for all of them.
    let mut time = egui_kittest::kittest::Queryable::get_by_label_contains(&harness, "solved in").rect();
    time.min.x = time.max.x - WIDEST_TIME;
    harness.mask(time.expand(4.0));
    harness.snapshot(name);
}

#[test]
fn loops_in_light() {
    compare(Page::Loops, Theme::Light, "loops_light");
}

#[test]
fn margins_in_dark() {
    compare(Page::Margins, Theme::Dark, "margins_dark");
}
