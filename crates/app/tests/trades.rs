//! The page Trades: a question is put together, asked and answered; a design that was found is kept.

use app::{Opening, Page, Window};
use egui::{Key, Modifiers, Role, Theme, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use session::Question;
use session::{Snapshot, Study};

use crate::{Desk, open_on, rig, settle, type_into};

/// The page on the bench rig.
fn open() -> Desk {
    open_on(rig(), Page::Trades, Theme::Light, [1440.0, 900.0])
}

#[test]
fn variants_stand_side_by_side_without_being_asked_for() {
    let harness = open();
    harness.get_by_label("Mass, power, turnaround");
    assert!(harness.query_all_by_label("small radiator").next().is_some());
    assert_eq!(harness.state().choice().study, Study::Trades(Question::Variants));
}

#[test]
fn a_question_about_an_input_is_asked_by_name_and_answered_by_curves() {
    let mut harness = open();
    harness.get_by_role_and_label(Role::Button, "Result against inputs").click();
    harness.run_steps(2);
    // an input stands there from the start; another is put in its place, with half to one and a half times its value
    assert_eq!(harness.get_all_by_role_and_label(Role::TextInput, "from").count(), 1);
    type_into(&mut harness, "Input on the axis", "height radiator");
    harness.get_by_role_and_label(Role::Button, "cores.radiator.transfer.height").click();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, "Calculate").click();
    harness.run_steps(2);
    settle(&mut harness);
    let axes = vec!["cores.radiator.transfer.height=110 mm..330 mm/9".to_owned()];
    let asked = Question::Inputs { axes, watch: "worst".to_owned() };
    assert_eq!(harness.state().choice().study, Study::Trades(asked));
    harness.get_by_label("Points");
    // another page and back: the answer is still that of the question
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num1);
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num0);
    harness.run_steps(2);
    settle(&mut harness);
    harness.get_by_label("Points");
}

#[test]
fn an_input_is_found_by_words_of_its_name() {
    let mut harness = open();
    harness.get_by_role_and_label(Role::Button, "Result against inputs").click();
    harness.run_steps(2);
    let label = "Second input, one curve per value (optional)";
    harness.get_by_role_and_label(Role::TextInput, label).focus();
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, label).type_text("width radiator");
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, "cores.radiator.transfer.width").click();
    harness.run_steps(2);
    harness.get_by_label("now 240 mm");
}

#[test]
fn a_design_that_cannot_be_kept_says_why() {
    let mut harness = Harness::builder().with_size(Vec2::new(1440.0, 900.0)).build_eframe(move |cc| {
        let start = Opening { page: Page::Trades, ..Opening::new(crate::read(RIG)) };
        Window::new(&cc.egui_ctx, start).expect("a thread can be started")
    });
    settle(&mut harness);
    harness.get_by_role_and_label(Role::Button, "Size a loop").click();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, "Calculate").click();
    harness.run_steps(2);
    settle(&mut harness);
    harness.get_by_role_and_label(Role::TextInput, "Name of the variant").focus();
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, "Name of the variant").type_text("base");
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, "Save as variant").click();
    harness.run_steps(2);
    let proposals = &harness.state().screen().trades.as_ref().expect("it is there").proposals;
    let kept = harness.state().snapshot().with_variant(&proposals[0].1, "base");
    let reason = kept.expect_err("the name is taken");
    harness.get_by_label(&reason);
}

/// A block of 2 kW on one loop; the width and depth of its radiator are fixed, its height is free.
const RIG: &str = r#"
Project(format: "heatledger", version: 1, name: "bench",
    conditions: [Condition(name: "warm", day: Fixed("40 degC"))],
    components: [Component(name: "block", capacity: "3 kJ/K", limits: [Limit(value: "90 degC", required: "10 K")])],
    heats: [Heat(name: "heater", into: "block", law: Fixed("2 kW"))],
    loops: [Loop(name: "glycol", fluid: "ethylene-glycol:0.5", boiling_margin: "0 K", path: [
        Pump(name: "pump", curve: [("0 L/min", "95 kPa"), ("26 L/min", "5 kPa")], power: Efficiency(0.3)),
        ColdPlate(name: "plate", walls: ["block"], film: PowerLaw(conductance: "150 W/K", at: "10 L/min"), flow: Point(drop: "12 kPa", at: "10 L/min")),
        Core(name: "radiator"),
        Reservoir(name: "bottle", volume: "1 L", cap: "90 kPag"),
    ])],
    cores: [Core(name: "radiator", transfer: Louvered(width: "160 mm", height: "220 mm", depth: "32 mm"), liquid_flow: OfFilm, air_flow: OfFins)],
    ducts: [Duct(name: "duct", path: [
        Inlet(name: "in", area: "0.05 m2"),
        Core(name: "radiator"),
        Fan(name: "fan", curve: [("0 m3/s", "320 Pa"), ("0.3 m3/s", "0 Pa")], power: Fixed("95 W")),
        Outlet(name: "out", area: "0.05 m2"),
    ])],
    points: [Point(name: "on")],
    sizings: [Sizing(name: "room", circuit: "glycol", height: LengthRange(least: "20 mm", most: "260 mm"))],
    cases: [CaseGroup(conditions: ["warm"], points: ["on"])],
)
"#;

/// Required are 10 K: the lightest design keeps just these, whichever they are.
#[test]
fn a_sized_loop_is_kept_as_a_variant_with_its_margin_at_the_target() {
    let (snapshot, _findings) = Snapshot::from_bytes(RIG.as_bytes()).expect("the bench is a project");
    let start = Opening { page: Page::Trades, ..Opening::new(snapshot) };
    let mut harness = Harness::builder()
        .with_size(Vec2::new(1440.0, 900.0))
        .build_eframe(move |cc| Window::new(&cc.egui_ctx, start).expect("a thread can be started"));
    let margin = |window: &Window| {
        let rows = &window.screen().margins.rows;
        let of_block = rows.iter().find(|row| row.where_ == "block").expect("the block is limited");
        of_block.cells.iter().flatten().next().and_then(|cell| cell.margin).expect("it has a state")
    };
    wait(&mut harness, |window| window.is_complete());
    assert!(margin(harness.state()) > 20.0, "{}", margin(harness.state()));
    harness.get_by_role_and_label(Role::Button, "Size a loop").click();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, "Calculate").click();
    harness.run_steps(2);
    wait(&mut harness, |window| {
        let trades = window.screen().trades.as_ref();
        trades.is_some_and(|trades| trades.is_answered && !trades.proposals.is_empty())
    });
    harness.get_by_role_and_label(Role::TextInput, "Name of the variant").focus();
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, "Name of the variant").type_text("light");
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, "Save as variant").click();
    harness.run_steps(2);
    wait(&mut harness, |window| window.is_complete() && window.choice().variant == "light");
    let kept = margin(harness.state());
    assert!((10.0..10.05).contains(&kept), "{kept}");
    // it stands beside the base design, and undo takes it away again
    harness.get_by_label("Limits in steady cases");
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run_steps(2);
    wait(&mut harness, |window| window.is_complete());
    assert_eq!(harness.state().choice().variant, "base");
    assert_eq!(harness.state().snapshot().choices().variants, ["base"]);
}

/// Required are 10 K; with 5 K of reserve the block keeps 10 + 5 = 15 K, and that is heavier than with no reserve.
#[test]
fn a_point_of_mass_against_margin_is_kept_as_a_variant() {
    let (snapshot, _findings) = Snapshot::from_bytes(RIG.as_bytes()).expect("the bench is a project");
    let start = Opening { page: Page::Trades, ..Opening::new(snapshot) };
    let mut harness = Harness::builder()
        .with_size(Vec2::new(1440.0, 900.0))
        .build_eframe(move |cc| Window::new(&cc.egui_ctx, start).expect("a thread can be started"));
    wait(&mut harness, |window| window.is_complete());
    let click = |harness: &mut Harness<'_, Window>, label: &str| {
        harness.get_by_role_and_label(Role::Button, label).click();
        harness.run_steps(2);
    };
    click(&mut harness, "Mass against reserve");
    let field = "Reserve, K";
    harness.get_by_role_and_label(Role::TextInput, field).click();
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.get_by_role_and_label(Role::TextInput, field).type_text("0 5");
    harness.run_steps(2);
    click(&mut harness, "Calculate");
    wait(&mut harness, |window| {
        let trades = window.screen().trades.as_ref();
        trades.is_some_and(|trades| trades.is_answered && trades.proposals.len() == 2)
    });
    let data = harness.state().screen().trades.clone().expect("it is there");
    let curve = &data.chart.as_ref().expect("it has a chart").series[0].points;
    assert_eq!((curve[0][0], curve[1][0]), (0.0, 5.0));
    assert!(curve[1][1] > curve[0][1], "more margin is not lighter: {curve:?}");
    // the table has the numbers of the curve
    for (row, point) in data.sheets[0].shown.rows.iter().zip(curve) {
        assert_eq!(
            (row[0].text.as_str(), row[2].text.as_str()),
            (format!("{:.2}", point[0]).as_str(), format!("{:.2}", point[1]).as_str(),)
        );
    }
    harness.get_by_role_and_label(Role::ComboBox, "Design").click();
    harness.run_steps(2);
    click(&mut harness, "reserve 5 K");
    harness.get_by_role_and_label(Role::TextInput, "Name of the variant").focus();
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, "Name of the variant").type_text("roomy");
    harness.run_steps(2);
    click(&mut harness, "Save as variant");
    wait(&mut harness, |window| window.is_complete() && window.choice().variant == "roomy");
    let rows = &harness.state().screen().margins.rows;
    let of_block = rows.iter().find(|row| row.where_ == "block").expect("the block is limited");
    let kept = of_block.cells.iter().flatten().next().and_then(|cell| cell.margin).expect("it has a state");
    assert!((15.0..15.05).contains(&kept), "{kept}");
}

fn wait(harness: &mut Harness<'_, Window>, until: impl Fn(&Window) -> bool) {
    let start = std::time::Instant::now();
    while !until(harness.state()) {
        assert!(start.elapsed().as_secs() < 300, "it never came");
        std::thread::sleep(std::time::Duration::from_millis(5));
        harness.run_steps(1);
    }
    harness.run_steps(2);
}
