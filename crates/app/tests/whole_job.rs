//! The main job from end to end: open a project, change a radiator, see its margin, undo, add a loop, save, read it again.

use app::files::{Origin, Settings};
use app::{Opening, Page, Window};
use egui::{Key, Modifiers, Role, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use crate::{Desk, RIG};
use session::Snapshot;

fn wait(harness: &mut Desk, until: impl Fn(&Window) -> bool) {
    let start = std::time::Instant::now();
    loop {
        harness.run_steps(2);
        if until(harness.state()) {
            harness.run_steps(2);
            return;
        }
        assert!(start.elapsed().as_secs() < 120, "it never came");
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
}

fn settle(harness: &mut Desk) {
    wait(harness, Window::is_settled);
}

fn click(harness: &mut Desk, label: &str) {
    harness.get_by_role_and_label(Role::Button, label).click();
    harness.run_steps(3);
}

fn worst(harness: &Desk) -> String {
    harness
        .state()
        .screen()
        .header
        .worst
        .as_ref()
        .map(|worst| worst.reserve.clone())
        .expect("there are margins")
}

fn strips(harness: &Desk) -> Vec<String> {
    harness.state().screen().strips.iter().map(|page| page.strip.name.clone()).collect()
}

/// Types a path into what is asked for it, and takes it.
fn type_path(harness: &mut Desk, path: &str) {
    harness.run_steps(3);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, "Path of the project").type_text(path);
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(2);
}

#[test]
fn a_radiator_is_changed_and_taken_back_a_loop_is_added_saved_and_read_again() {
    let folder = tempfile::tempdir().expect("a temporary folder can be made");
    let path = folder.path().join("rig with two loops.ron");
    let typed = path.to_str().expect("a plain path").to_owned();
    let mut harness: Desk = Harness::builder().with_size(Vec2::new(1440.0, 1600.0)).build_eframe(|context| {
        let rig = Snapshot::from_bytes(RIG.as_bytes()).expect("the demo is a project").0;
        let (origin, files) = (Origin::Untitled("demo".into()), Settings::default());
        let start = Opening { page: Page::Loops, origin, files, ..Opening::new(rig) };
        Window::new(&context.egui_ctx, start).expect("threads can be started")
    });
    settle(&mut harness);
    let before = worst(&harness);
    let field = "radiator, width";
    harness.get_by_role_and_label(Role::TextInput, field).click();
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, field).type_text("120 mm");
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert_ne!(worst(&harness), before, "half the radiator leaves less margin");
    click(&mut harness, "Undo");
    settle(&mut harness);
    assert_eq!(worst(&harness), before);

    click(&mut harness, "Add a loop");
    click(&mut harness, "cabinet air");
    settle(&mut harness);
    assert_eq!(strips(&harness), ["glycol", "cabinet air loop", "radiator duct", "cabinet air loop duct"]);
    assert!(harness.state().screen().header.outcome.is_none());
    click(&mut harness, "Remove this loop");
    settle(&mut harness);
    assert_eq!(
        strips(&harness),
        ["glycol", "radiator duct"],
        "the loop on screen is the new one, with its duct"
    );
    click(&mut harness, "Undo");
    settle(&mut harness);
    assert_eq!(strips(&harness).len(), 4);

    harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    type_path(&mut harness, &typed);
    wait(&mut harness, |window| !window.is_unsaved());
    let saved = harness.state().snapshot().to_bytes().expect("it can be written");
    assert_eq!(std::fs::read(&path).expect("the file is there"), saved);
    click(&mut harness, "Undo");
    settle(&mut harness);
    assert_eq!(strips(&harness).len(), 2);
    click(&mut harness, "Redo");
    settle(&mut harness);
    harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::O);
    type_path(&mut harness, &typed);
    wait(&mut harness, |window| {
        window.is_settled() && window.origin().path().is_some() && window.screen().strips.len() == 4
    });
    assert_eq!(harness.state().snapshot().to_bytes().expect("it can be written"), saved);
}

/// The rig with a variant whose pump is weaker, and another whose radiator is only a little smaller.
fn rig_with_a_weak_variant() -> String {
    let changed = "Set(\"cores.radiator.transfer.width\", \"120 mm\")";
    let point = "Set(\"loops.glycol.path.pump.curve.3.2\", \"60 kPa\")";
    let text = RIG.replace(changed, &format!("{changed}, {point}"));
    assert_ne!(text, RIG);
    let other = "variants: [\n        Variant(name: \"radiator of 230 mm\", changes: [Set(\"cores.radiator.transfer.width\", \"230 mm\")]),";
    let with_other = text.replacen("variants: [", other, 1);
    assert_ne!(with_other, text);
    with_other
}

/// The same while a variant is on screen: into its field goes what was typed, and nothing of how the edit is called.
#[test]
fn what_is_taken_back_is_in_its_field_as_it_was_typed() {
    let rig = Snapshot::from_bytes(rig_with_a_weak_variant().as_bytes()).expect("all curves fall").0;
    let mut harness: Desk = Harness::builder().with_size(Vec2::new(1440.0, 900.0)).build_eframe(|context| {
        Window::new(&context.egui_ctx, Opening::new(rig)).expect("threads can be started")
    });
    settle(&mut harness);
    let ctx = harness.ctx.clone();
    harness.state_mut().apply(&ctx, app::Command::ChooseVariant("radiator of 230 mm".to_owned()));
    settle(&mut harness);
    assert_eq!(harness.state().choice().variant, "radiator of 230 mm");
    let before = harness.state().snapshot().node().clone();
    let path = "loops.glycol.path.pump.curve.2.2".to_owned();
    harness.state_mut().apply(&ctx, app::Command::Edit { path: path.clone(), text: "50 kPa".to_owned() });
    assert_ne!(*harness.state().snapshot().node(), before, "the design on screen takes it");
    wait(&mut harness, |window| *window.snapshot().node() == before && window.is_complete());
    assert_eq!(harness.state().typed(&path), Some("50 kPa"));
    let told = "Undone: loops.glycol.path.pump.curve.2.2 = 50 kPa in the base design";
    assert_eq!(harness.query_all_by_label_contains(told).count(), 1);
}

/// An edit that suits the design on screen but leaves a variant of it without sense is taken back with the reason.
#[test]
fn an_edit_that_spoils_another_variant_is_taken_back() {
    // In the variant the pump raises 60 kPa at 20 L/min: less than the 82 kPa at 10 L/min, so that its curve falls.
    let rig = Snapshot::from_bytes(rig_with_a_weak_variant().as_bytes()).expect("both curves fall").0;
    let mut harness: Desk = Harness::builder().with_size(Vec2::new(1440.0, 900.0)).build_eframe(|context| {
        Window::new(&context.egui_ctx, Opening::new(rig)).expect("threads can be started")
    });
    settle(&mut harness);
    let before = harness.state().snapshot().node().clone();
    let ctx = harness.ctx.clone();
    // 95, 50, 45, 5 kPa falls; 95, 50, 60, 5 kPa in the variant does not.
    let (path, text) = ("loops.glycol.path.pump.curve.2.2".to_owned(), "50 kPa".to_owned());
    harness.state_mut().apply(&ctx, app::Command::Edit { path: path.clone(), text });
    assert_ne!(*harness.state().snapshot().node(), before, "the design on screen takes it");
    wait(&mut harness, |window| *window.snapshot().node() == before && window.is_complete());
    for told in
        ["Undone: loops.glycol.path.pump.curve.2.2 = 50 kPa", "small radiator", "the curve rises here"]
    {
        assert_eq!(harness.query_all_by_label_contains(told).count(), 1, "{told}");
    }
    // A file with such a variant could not be opened again, so that none is written.
    let spoilt = harness.state().snapshot().edited(&harness.state().choice().clone(), &path, "50 kPa");
    let refusal = spoilt.expect("the base design takes it").to_bytes().expect_err("it is not written");
    assert!(refusal.contains("curve rises"), "{refusal}");
    // What suits both stands.
    harness.state_mut().apply(&ctx, app::Command::Edit { path, text: "70 kPa".to_owned() });
    settle(&mut harness);
    assert_ne!(*harness.state().snapshot().node(), before);
}
