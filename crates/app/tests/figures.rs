//! A chart becomes a file.

use app::Page;
use app::files::Origin;
use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::files::{start, until_shown};
use crate::{Desk, demo, tug};

fn on_mission() -> Desk {
    let mut harness = start(tug(), Origin::Untitled("demo".into()), None);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num5);
    harness.run_steps(3);
    if harness.query_by_role_and_label(Role::Button, "Save figure: Shaft power").is_none() {
        // the case on screen is a steady point: on to its mission
        let show = harness
            .query_all_by_role(Role::Button)
            .find(|node| node.accesskit_node().label().is_some_and(|label| label.starts_with("Show ")));
        show.expect("the page leads to a mission").click();
        harness.run_steps(3);
    }
    crate::files::until(&mut harness, "the curves", |harness| {
        harness.query_by_role_and_label(Role::Button, "Save figure: Shaft power").is_some()
    });
    assert_eq!(harness.state().page(), Page::Mission);
    harness
}

/// Asks for a figure and types where it goes.
fn save_as(harness: &mut Desk, path: &std::path::Path) {
    harness.get_by_role_and_label(Role::Button, "Save figure: Shaft power").click();
    harness.run_steps(4);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness
        .get_by_role_and_label(Role::TextInput, "Path of the figure")
        .type_text(&path.display().to_string());
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    harness.run_steps(3);
}

#[test]
fn a_chart_is_written_as_drawing_and_as_numbers_and_never_over_a_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut harness = on_mission();
    let drawing = folder.path().join("power.svg");
    save_as(&mut harness, &drawing);
    until_shown(&mut harness, "power.svg was written");
    let text = std::fs::read_to_string(&drawing).expect("it is there");
    assert!(text.starts_with("<svg ") && text.contains("Shaft power, kW"), "{text}");

    let numbers = folder.path().join("power.csv");
    save_as(&mut harness, &numbers);
    until_shown(&mut harness, "power.csv was written");
    let text = std::fs::read_to_string(&numbers).expect("it is there");
    assert!(text.starts_with("time (s),") && text.lines().count() > 3, "{text}");
    assert!(text.lines().next().is_some_and(|head| head.contains("(kW)")), "{text}");

    save_as(&mut harness, &numbers);
    until_shown(&mut harness, "power.csv was not written: a file of this name exists already");
    save_as(&mut harness, &folder.path().join("power.pdf"));
    until_shown(&mut harness, "power.pdf was not written: the extension of a figure is .svg");
    save_as(&mut harness, &folder.path().join("no such folder").join("power.svg"));
    until_shown(&mut harness, "there is no folder");
}

/// The figures that pages paint themselves: the page by its keys, and what its button is called.
const PAINTED: [(Key, &str); 4] = [
    (Key::Num1, "stator"),
    (Key::Num3, "margins"),
    (Key::Num6, "ways of the turnaround"),
    (Key::Num7, "bars of failures"),
];

fn on_page(key: Key, figure: &str) -> Desk {
    let snapshot = demo(if key == Key::Num7 { Page::Failures } else { Page::Loops });
    let mut harness = start(snapshot, Origin::Untitled("demo".into()), None);
    harness.key_press_modifiers(Modifiers::COMMAND, key);
    harness.run_steps(3);
    let button = format!("Save figure: {figure}");
    crate::files::until(&mut harness, "the figure", |harness| {
        harness.state().is_complete() && harness.query_by_role_and_label(Role::Button, &button).is_some()
    });
    harness
}

/// Saves the figure and reads the file back.
fn saved(harness: &mut Desk, figure: &str, path: &std::path::Path) -> Vec<u8> {
    harness.get_by_role_and_label(Role::Button, &format!("Save figure: {figure}")).click();
    harness.run_steps(4);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness
        .get_by_role_and_label(Role::TextInput, "Path of the figure")
        .type_text(&path.display().to_string());
    harness.run_steps(2);
    harness.key_press(Key::Enter);
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    until_shown(harness, &format!("{name} was written"));
    std::fs::read(path).expect("it is there")
}

/// All text of a drawing; panics where it is not well-formed.
fn words(drawing: &[u8]) -> Vec<String> {
    let mut reader = quick_xml::Reader::from_reader(drawing);
    let mut all = Vec::new();
    loop {
        match reader.read_event().expect("it is well-formed") {
            quick_xml::events::Event::Eof => return all,
            quick_xml::events::Event::Text(text) => {
                all.push(text.decode().expect("it is UTF-8").into_owned());
            }
            _ => {}
        }
    }
}

/// Cells of comma-separated values, those in quotes too.
fn cells(numbers: &[u8]) -> Vec<Vec<String>> {
    let text = String::from_utf8(numbers.to_vec()).expect("it is text");
    let line = |line: &str| {
        let (mut all, mut is_quoted) = (vec![String::new()], false);
        for letter in line.chars() {
            match letter {
                '"' => is_quoted = !is_quoted,
                ',' if !is_quoted => all.push(String::new()),
                letter => all.last_mut().expect("it has one").push(letter),
            }
        }
        all
    };
    text.lines().map(line).collect()
}

#[test]
fn painted_figures_are_drawings_that_can_be_read() {
    let folder = tempfile::tempdir().expect("a folder");
    for (key, figure) in PAINTED {
        let mut harness = on_page(key, figure);
        let drawing = saved(&mut harness, figure, &folder.path().join(format!("{key:?}.svg")));
        let words = words(&drawing);
        let screen = harness.state().screen();
        let wanted = match key {
            Key::Num1 => screen.strips[0].strip.devices()[0].name.clone(),
            Key::Num3 => screen.margins.rows[0].where_.clone(),
            Key::Num6 => screen.turnaround.as_ref().expect("it is there").options[0].name.clone(),
            _ => screen.failures.as_ref().expect("it is there").rows[0].name.clone(),
        };
        assert!(words.iter().any(|word| word.contains(&wanted)), "{figure}: {wanted} in {words:?}");
    }
}

#[test]
fn the_numbers_of_painted_figures_are_those_on_screen() {
    let folder = tempfile::tempdir().expect("a folder");
    for (key, figure) in PAINTED {
        let mut harness = on_page(key, figure);
        let found = cells(&saved(&mut harness, figure, &folder.path().join(format!("{key:?}.csv"))));
        let screen = harness.state().screen();
        let expected: Vec<Option<f64>> = match key {
            // heat of every device of the loop, the last column
            Key::Num1 => screen.strips[0].table.rows.iter().map(|row| row.heat.value).collect(),
            Key::Num3 => {
                let cell = |row: &app::views::margins::MarginRow| row.cells.last().cloned().flatten();
                screen.margins.rows.iter().map(|row| cell(row).and_then(|c| c.reserve)).collect()
            }
            Key::Num6 => {
                let data = screen.turnaround.as_ref().expect("it is there");
                data.options.iter().map(|option| option.pack_temperature.value).collect()
            }
            _ => {
                let data = screen.failures.as_ref().expect("it is there");
                data.rows.iter().map(|row| row.time_to_limit_s).collect()
            }
        };
        assert_eq!(found.len(), expected.len() + 1, "{figure}: a head and a line for each: {found:?}");
        for (row, expected) in found[1..].iter().zip(expected) {
            let cell = match key {
                Key::Num6 => &row[4],
                Key::Num7 => &row[row.len() - 6],
                _ => row.last().expect("it has cells"),
            };
            assert_eq!(cell.parse().ok(), expected, "{figure}: {row:?}");
            assert_eq!(cell.is_empty(), expected.is_none(), "{figure}: {row:?}");
        }
    }
}

/// Needs a graphics driver, as the pictures do.
#[test]
fn painted_figures_are_pictures_of_their_own_size() {
    if std::env::var_os("HEATLEDGER_PICTURES").is_none() {
        return;
    }
    let folder = tempfile::tempdir().expect("a folder");
    for (key, figure) in PAINTED {
        let mut harness = on_page(key, figure);
        let picture = saved(&mut harness, figure, &folder.path().join(format!("{key:?}.png")));
        let reader = png::Decoder::new(std::io::Cursor::new(picture)).read_info().expect("it is a PNG");
        let (width, height) = reader.info().size();
        // a part of the window of 1440 x 900: wider than half of it, and not the whole
        assert!((720..1440).contains(&width) && (150..900).contains(&height), "{figure}: {width} x {height}");
    }
}

/// The button of a figure whose head is in sight while its curves, 120 points and more, reach below the window.
fn low_figure(harness: &Desk) -> Option<(String, f32)> {
    harness
        .query_all_by_role(Role::Button)
        .filter_map(|node| Some((node.accesskit_node().label()?, node.rect())))
        .find(|(label, place)| label.starts_with("Save figure: ") && (540.0..600.0).contains(&place.top()))
        .map(|(label, place)| (label, place.top()))
}

/// A picture shows what is on screen: a chart that reaches below the window is brought into sight before it is taken.
#[test]
fn a_chart_that_is_partly_out_of_sight_is_brought_into_sight_first() {
    let mut harness = on_mission();
    harness.set_size(egui::Vec2::new(1100.0, 700.0));
    harness.run_steps(3);
    let mut low = low_figure(&harness);
    for _ in 0..60 {
        if low.is_some() {
            break;
        }
        harness.hover_at(egui::pos2(600.0, 400.0));
        harness.event(egui::Event::MouseWheel {
            unit: egui::MouseWheelUnit::Point,
            delta: egui::vec2(0.0, -20.0),
            phase: egui::TouchPhase::Move,
            source: egui::MouseWheelSource::Unknown,
            modifiers: Modifiers::NONE,
        });
        harness.run_steps(30);
        low = low_figure(&harness);
    }
    let (label, before) = low.expect("a chart reaches below the window");
    harness.get_by_role_and_label(Role::Button, &label).click();
    let mut highest = before;
    for _ in 0..90 {
        harness.run_steps(1);
        if harness.query_by_role_and_label(Role::TextInput, "Path of the figure").is_some() {
            assert!(highest < before - 20.0, "{label} was taken where it stood: {before} to {highest}");
            return;
        }
        highest = highest.min(harness.get_by_role_and_label(Role::Button, &label).rect().top());
    }
    panic!("{label} was never taken");
}
