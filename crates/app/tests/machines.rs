//! The pages Machines and Pack of a real project.

use std::sync::atomic::AtomicBool;

use app::files::Origin;
use app::{Opening, Page, Screen, Screens, Window};
use egui::{Key, Modifiers, Role, Vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use crate::tug;
use session::{Choice, Snapshot};

fn screen(aircraft: &Snapshot) -> Screen {
    let choice = aircraft.choices().settle(&Choice {
        case: "hot day/tow climb".parse().expect("a name of a case"),
        is_stopped: true,
        ..Choice::default()
    });
    Screens::default().screen(aircraft, &choice, &AtomicBool::new(false), &|_| {})
}

/// Gearbox of the tug at 105 kW and 2600 rpm of its output, ratio 2.3. By hand: 105/0.988 - 105 = 1.275 kW in the meshes and
/// 420 W x (2600 x 2.3/6000)^2 = 0.417 kW of drag; the oil pump that the output turns adds some watts.
#[test]
fn every_machine_is_there_with_its_working_point_on_its_curve() {
    let screen = screen(&tug());
    let keys: Vec<String> = screen.machines.iter().map(|machine| machine.key()).collect();
    for key in ["left motor, motor", "left motor, inverter", "right motor, motor"] {
        assert!(keys.iter().any(|known| known == key), "{key} is not among {keys:?}");
    }
    assert!(screen.machines.iter().any(|machine| machine.is_pack && machine.sort == "pack"));
    let gearbox = screen.machines.iter().find(|machine| machine.sort == "gearbox").expect("the tug has one");
    let (chart, _) = gearbox.charts.first().expect("it works in this case");
    let at = chart.marks.iter().find(|mark| mark.name == "this case").expect("it is marked").at;
    let scale = if chart.unit.ends_with("kW") { 1.0 } else { 1000.0 };
    assert!((at[1] / scale - 1.692).abs() < 0.02, "{at:?} {}", chart.unit);
    for machine in &screen.machines {
        for (chart, _) in &machine.charts {
            let Some(mark) = chart.marks.iter().find(|mark| mark.name == "this case") else { continue };
            let on_curve = chart.values_at(mark.at[0])[0].expect("the curve reaches the case");
            let close = 1e-3 * mark.at[1].abs().max(1e-3);
            assert!(
                (on_curve - mark.at[1]).abs() < close,
                "{}, {}: {on_curve} {mark:?}",
                machine.key(),
                chart.title
            );
        }
        let paths: Vec<&str> = machine.fields.iter().map(|field| field.path.as_str()).collect();
        assert!(paths.iter().all(|path| path.starts_with("powertrain")), "{paths:?}");
    }
}

#[test]
fn an_input_of_a_machine_is_edited_where_it_stands() {
    let mut harness: Harness<'static, Window> =
        Harness::builder().with_size(Vec2::new(1440.0, 900.0)).build_eframe(|context| {
            let start = Opening {
                page: Page::Machines,
                origin: Origin::Untitled("demo".into()),
                ..Opening::new(tug())
            };
            Window::new(&context.egui_ctx, start).expect("threads can be started")
        });
    let until = |harness: &mut Harness<'static, Window>, is_true: &dyn Fn(&Window) -> bool| {
        let begun = std::time::Instant::now();
        loop {
            harness.run_steps(2);
            if is_true(harness.state()) {
                harness.run_steps(2);
                return;
            }
            assert!(begun.elapsed().as_secs() < 120, "it never came");
            std::thread::yield_now();
        }
    };
    until(&mut harness, &|window| !window.screen().machines.is_empty());
    harness.get_by_role_and_label(Role::Button, "gearbox").click();
    harness.run_steps(3);
    let label = "gearbox, efficiency";
    let field = harness.query_by_role_and_label(Role::TextInput, label);
    let field = field.unwrap_or_else(|| panic!("there is no field {label}"));
    field.click();
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.get_by_role_and_label(Role::TextInput, label).type_text("0.97");
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    let loss = |window: &Window| {
        let machines = &window.screen().machines;
        let gearbox = machines.iter().find(|machine| machine.sort == "gearbox")?;
        gearbox.fields.iter().find(|field| field.label == "efficiency").map(|field| field.text.clone())
    };
    until(&mut harness, &|window| loss(window).as_deref() == Some("0.97"));
    assert!(harness.state().is_unsaved());
}
