//! While a variant is shown an edit says what it changes: the value of the variant where it has one of its own, else the base design, or
//! the variant only where that is asked for. A value of its own can be dropped. Names of undo say which it was.

use app::{Opening, Page, Window};
use egui::{Key, Modifiers, Role, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use session::{Choice, Snapshot};

/// A block of 2 kW on one loop; the variant has a plate of its own conductance.
const RIG: &str = include_str!("../fixtures/better_plate.ron");

const PLATE: &str = "plate, film";
const HOSE: &str = "hose, length";

type Desk = Harness<'static, Window>;

fn open(variant: &str) -> Desk {
    let (snapshot, _findings) = Snapshot::from_bytes(RIG.as_bytes()).expect("the bench is a project");
    let choice = Choice { variant: variant.to_owned(), ..Choice::default() };
    let start = Opening { page: Page::Loops, choice, ..Opening::new(snapshot) };
    let mut harness: Desk = Harness::builder()
        .with_size(Vec2::new(1440.0, 900.0))
        .build_eframe(move |cc| Window::new(&cc.egui_ctx, start).expect("a thread can be started"));
    wait(&mut harness);
    harness
}

fn wait(harness: &mut Desk) {
    let start = std::time::Instant::now();
    loop {
        harness.run_steps(2);
        if harness.state().is_complete() {
            harness.run_steps(2);
            return;
        }
        assert!(start.elapsed().as_secs() < 300, "it never came");
        std::thread::yield_now();
    }
}

fn type_into(harness: &mut Desk, field: &str, text: &str) {
    harness.get_by_role_and_label(Role::TextInput, field).click();
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, field).type_text(text);
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    wait(harness);
}

fn click(harness: &mut Desk, label: &str) {
    harness.get_by_role_and_label(Role::Button, label).click();
    harness.run_steps(2);
    wait(harness);
}

fn show(harness: &mut Desk, variant: &str) {
    harness.get_by_role_and_label(Role::ComboBox, "Variant").click();
    harness.run_steps(2);
    click(harness, variant);
}

fn field(harness: &Desk, label: &str) -> String {
    harness.get_by_role_and_label(Role::TextInput, label).value().unwrap_or_default()
}

/// Wall and coolant of the plate must fit its conductance UA, with C from the coolant itself (wall at one temperature: effectiveness
/// 1 - exp(-UA/C), Incropera and DeWitt, internal flow with constant surface temperature):
/// wall = in + (out - in) / (1 - exp(-UA/C)), C = q / (out - in).
fn check_wall(harness: &Desk, conductance_w_k: f64) {
    let strips = &harness.state().screen().strips;
    let devices = strips[0].strip.devices();
    let plate = devices.iter().find(|device| device.name == "plate").expect("it has a plate");
    let rise_k = plate.temperature_out - plate.temperature_in;
    let capacity_w_k = 1e3 * plate.heat_kw / rise_k;
    let wall = plate.temperature_in + rise_k / (1.0 - (-conductance_w_k / capacity_w_k).exp());
    let found = plate.walls[0].temperature;
    assert!((found - wall).abs() < 0.1, "{found} degC, by hand {wall} degC with {conductance_w_k} W/K");
    assert!((plate.heat_kw - 2.0).abs() < 0.01, "all of the 2 kW goes through it: {} kW", plate.heat_kw);
}

/// What the button says that it takes back.
fn undo(harness: &Desk) -> String {
    let button = harness.get_by_role_and_label(Role::Button, "Undo");
    button.accesskit_node().description().unwrap_or_default()
}

fn text(harness: &Desk) -> String {
    let bytes = harness.state().snapshot().to_bytes().expect("it can be written");
    String::from_utf8(bytes).expect("it is text")
}

#[test]
fn a_value_of_the_variants_own_is_edited_in_the_variant() {
    let mut harness = open("better plate");
    assert_eq!(field(&harness, PLATE), "300 W/K");
    check_wall(&harness, 300.0);
    type_into(&mut harness, PLATE, "400 W/K");
    check_wall(&harness, 400.0);
    assert!(
        text(&harness).contains(r#"Set("loops.glycol.path.plate.film", Fixed("400 W/K"))"#),
        "{}",
        text(&harness)
    );
    assert!(text(&harness).contains(r#"film: Fixed("150 W/K")"#), "the base design stays");
    // the name of undo says where
    assert!(
        undo(&harness).contains("loops.glycol.path.plate.film = 400 W/K in better plate"),
        "{}",
        undo(&harness)
    );
    show(&mut harness, "base");
    assert_eq!(field(&harness, PLATE), "150 W/K");
    check_wall(&harness, 150.0);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    wait(&mut harness);
    show(&mut harness, "better plate");
    assert_eq!(field(&harness, PLATE), "300 W/K");
}

#[test]
fn another_value_changes_the_base_design_and_says_so() {
    let mut harness = open("better plate");
    type_into(&mut harness, HOSE, "3 m");
    assert!(
        undo(&harness).contains("loops.glycol.path.hose.length = 3 m in the base design"),
        "{}",
        undo(&harness)
    );
    show(&mut harness, "base");
    assert_eq!(field(&harness, HOSE), "3 m");
}

#[test]
fn in_this_variant_only_gives_it_a_value_of_its_own_which_can_be_dropped() {
    let mut harness = open("better plate");
    let own = "hose, length: own value of this variant";
    assert!(harness.query_by_role_and_label(Role::Button, own).is_none());
    click(&mut harness, "this variant only");
    type_into(&mut harness, HOSE, "4 m");
    assert!(text(&harness).contains(r#"Set("loops.glycol.path.hose.length", "4 m")"#), "{}", text(&harness));
    assert!(text(&harness).contains(r#"length: "2 m""#), "the base design stays");
    // a second edit replaces it
    type_into(&mut harness, HOSE, "5 m");
    assert!(!text(&harness).contains("4 m") && text(&harness).contains(r#""5 m""#));
    click(&mut harness, own);
    assert_eq!(field(&harness, HOSE), "2 m");
    assert!(!text(&harness).contains("hose.length"), "{}", text(&harness));
    assert!(
        undo(&harness).contains("loops.glycol.path.hose.length of better plate as in the base design"),
        "{}",
        undo(&harness)
    );
}

#[test]
fn steps_by_keys_stay_in_the_variant_and_are_one_edit() {
    let mut harness = open("better plate");
    harness.get_by_role_and_label(Role::TextInput, PLATE).click();
    harness.run_steps(2);
    for _ in 0..3 {
        harness.key_press(Key::ArrowUp);
        harness.run_steps(2);
    }
    harness.key_press(Key::Enter);
    wait(&mut harness);
    // 300 W/K steps by one of its second digit
    assert_eq!(field(&harness, PLATE), "330 W/K");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    wait(&mut harness);
    assert_eq!(field(&harness, PLATE), "300 W/K");
    assert!(text(&harness).contains(r#"film: Fixed("150 W/K")"#), "the base design was never touched");
}

#[test]
fn what_the_variant_gives_as_a_whole_is_edited_there_and_cannot_be_dropped_alone() {
    let mut harness = open("better plate");
    let width = "radiator, width";
    assert_eq!(field(&harness, width), "200 mm");
    type_into(&mut harness, width, "210 mm");
    assert_eq!(field(&harness, width), "210 mm");
    let own = "radiator, width: own value of this variant";
    assert!(harness.query_by_role_and_label(Role::Button, own).is_none(), "it comes with the whole core");
    show(&mut harness, "base");
    assert_eq!(field(&harness, width), "160 mm");
    assert!(harness.query_by_label("this variant only").is_none(), "the base design has nothing to choose");
}

#[test]
fn a_change_of_the_base_design_that_would_not_be_seen_is_refused() {
    let mut harness = open("better plate");
    let before = text(&harness);
    let node = harness.state().snapshot().choices().variants.clone();
    assert_eq!(node, ["base", "better plate"]);
    let context = harness.ctx.clone();
    let changes = vec![("loops.glycol.path.plate.film".to_owned(), schema::Node::text("170 W/K"))];
    let revision = aircraft::revise::Revision::Replace { title: "give it as a table".to_owned(), changes };
    harness.state_mut().apply(&context, app::Command::Revise(revision));
    wait(&mut harness);
    assert_eq!(text(&harness), before);
    harness.get_by_label_contains("is set by the variant better plate");
}
