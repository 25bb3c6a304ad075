//! Random edits of the demos: what `check` passes, no command refuses, and no result holds a number that is not finite.

use aircraft::variant;
use model::design;
use model::validity;
use schema::{Severity, list_inputs, set_input_text};
use std::sync::atomic::AtomicBool;

/// Edited projects tried in a run; larger ones are for a night.
const TRIED: u64 = 60;

/// Xorshift (Marsaglia 2003): the same edits on every computer.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % sides as u64) as usize
    }
}

/// The typed value times a factor, in its own unit.
fn scaled(text: &str, factor: f64) -> String {
    let end = text.find(|c: char| !(c.is_ascii_digit() || "+-.eE".contains(c))).unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    match number.parse::<f64>() {
        Ok(value) => format!("{}{unit}", value * factor),
        Err(_) => text.to_owned(),
    }
}

/// Factors that hit the ends of ranges, far beyond them, and what is near.
const FACTORS: [f64; 10] = [0.0, -1.0, 1e-9, 1e-3, 0.3, 0.9, 1.2, 3.0, 1e3, 1e9];

#[test]
fn what_check_passes_is_solved_or_has_a_named_outcome() {
    let demo = include_str!("../demo-projects/rig.ron");
    let (node, _) = project::parse(demo.as_bytes());
    let node = node.expect("the demo is read");
    let inputs = list_inputs(&node, variant::project_shape());
    let mut dice = Dice(0x9E37_79B9_7F4A_7C15);
    let (mut passed, mut refused) = (0, 0);
    for _ in 0..TRIED {
        let mut edited = node.clone();
        let mut done = Vec::new();
        for _ in 0..=dice.roll(3) {
            let entry = &inputs[dice.roll(inputs.len())];
            let text = scaled(&entry.text, FACTORS[dice.roll(FACTORS.len())]);
            if set_input_text(&mut edited, variant::project_shape(), &entry.path, &text).is_ok() {
                done.push(format!("{} = {text}", entry.path));
            }
        }
        let Ok(varied) = design::apply(&edited, None) else {
            refused += 1;
            continue;
        };
        let project = &varied.project;
        if model::validate::rehearse(project).iter().any(|problem| problem.severity == Severity::Error) {
            refused += 1;
            continue;
        }
        passed += 1;
        let cancel = AtomicBool::new(false);
        let cases = studies::chosen(project, &[]).expect("all cases are known");
        let results = studies::solve(&cases, &cancel, |_| ());
        let results = results.unwrap_or_else(|error| panic!("{done:?}: {error}"));
        for result in &results {
            assert_eq!(validity::not_finite(result), None, "{done:?}: {}", result.case);
            let is_named = result.status.can_be_judged() || !result.notices.is_empty();
            assert!(is_named, "{done:?}: {} is {:?} without a word", result.case, result.status);
        }
        let flown = studies::missions::flown(
            &model::cases::missions(project),
            &model::mission::FlyOptions::default(),
            &cancel,
            |_| (),
        );
        for flight in flown.unwrap_or_else(|error| panic!("{done:?}: {error}")) {
            for timed in &flight.margins {
                assert!(
                    timed.margin.margin.is_finite(),
                    "{done:?}: {} in {}",
                    timed.margin.place,
                    flight.case
                );
            }
        }
    }
    // a test that never gets anywhere proves nothing
    assert!(passed >= 10 && refused >= 10, "{passed} passed, {refused} refused");
}
