//! Every page shows its data under names that can be found, and leads where it says.

use app::Page;
use app::views::figure::{Figure, number, signed};
use app::views::ledger::LedgerItem;
use egui::{Event, Key, Modifiers, OutputCommand, PointerButton, Role, Theme};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::{open, open_on, open_sized, rig, settle, show_mission};

#[test]
fn the_worst_margin_is_on_every_page() {
    for page in Page::ALL {
        let harness = open(page);
        let worst = harness.state().screen().header.worst.clone().expect("the demos have margins");
        assert!(harness.query_all_by_label(&worst.reserve).next().is_some(), "{page:?}");
        harness.get_by_label(&format!("{} · {}", worst.where_, worst.case));
    }
}

#[test]
fn the_rail_and_the_keys_lead_to_every_page() {
    let mut harness = open(Page::Loops);
    for page in [Page::Margins, Page::Ledger, Page::Temperatures, Page::Loops] {
        harness.get_by_role_and_label(Role::Button, page.label()).click();
        harness.run_steps(2);
        assert_eq!(harness.state().page(), page);
    }
    for (key, page) in [
        (Key::Num3, Page::Margins),
        (Key::Num4, Page::Ledger),
        (Key::Num5, Page::Mission),
        (Key::Num1, Page::Loops),
    ] {
        harness.key_press_modifiers(Modifiers::COMMAND, key);
        harness.run_steps(2);
        assert_eq!(harness.state().page(), page);
    }
}

#[test]
fn a_strip_shows_its_devices_in_flow_order_and_a_click_selects_one() {
    let mut harness = open(Page::Loops);
    let place = |harness: &crate::Desk, label: &str| harness.get_by_label_contains(label).rect();
    let devices = harness.state().screen().strips[0].strip.devices().into_iter().cloned().collect::<Vec<_>>();
    let hose = devices.iter().find(|device| device.name == "stator feed").expect("a device of the demo");
    let spoken = format!(
        "stator feed, hose: {} to {} degC, heat {} kW",
        number(hose.temperature_in, 1),
        number(hose.temperature_out, 1),
        signed(hose.heat_kw, 2)
    );
    let feed = place(&harness, &spoken);
    let first_branch = place(&harness, "left jacket, jacket:");
    let second_branch = place(&harness, "right jacket, jacket:");
    let core = place(&harness, "stator radiator, core:");
    assert!(feed.right() <= first_branch.left() + 0.5 && first_branch.right() < core.left());
    assert!((first_branch.left() - second_branch.left()).abs() < 0.5, "branches begin at the same place");
    assert!(first_branch.bottom() <= second_branch.top(), "branches stack");
    harness.get_by_label_contains("stator radiator, core:").click();
    harness.run_steps(2);
    let toggled = harness.get_by_label_contains("stator radiator, core:").accesskit_node().toggled();
    assert_eq!(toggled, Some(egui::accesskit::Toggled::True));
}

#[test]
fn ducts_are_strips_too() {
    let mut harness = open_on(rig(), Page::Loops, Theme::Light, [1440.0, 900.0]);
    harness.get_by_role_and_label(Role::Button, "radiator duct").click();
    harness.run_steps(2);
    harness.get_by_label_contains("radiator, core:");
    harness.get_by_label_contains("fan, fan:");
}

#[test]
fn temperatures_are_listed_with_limit_and_margin() {
    let harness = open(Page::Temperatures);
    let row = harness.state().screen().temperatures.rows.iter().find(|row| row.limit_value.is_some());
    let row = row.expect("something has a limit");
    let name = format!("{}, {}", row.component, row.limit_name);
    harness.get_by_label(&format!("{name}, temperature: {}", row.temperature.text));
    harness.get_by_label(&format!("{name}, margin: {}", row.margin.text));
    let bars = format!("{}: {} of {}", row.component, row.temperature.text, row.limit.text);
    assert!(harness.query_all_by_label(&bars).next().is_some(), "{bars}");
}

#[test]
fn a_margin_leads_to_its_case() {
    let mut harness = open(Page::Margins);
    let grid = harness.state().screen().margins.clone();
    let place = grid.place((0, 0)).expect("the worst one");
    harness.get_by_label_contains(&format!("{}, {}, {}: ", place.where_, place.limit, place.case)).click();
    settle(&mut harness);
    assert_eq!(harness.state().choice().case, place.case);
}

#[test]
fn the_ledger_shows_both_sides_and_their_sums() {
    let harness = open(Page::Ledger);
    let ledger = harness.state().screen().ledger.clone();
    let item = &ledger.generated[0];
    harness.get_by_label_contains(&format!("{}, ", item.name));
    let total = |items: &[LedgerItem]| number(items.iter().map(|item| item.value).sum(), ledger.decimals);
    harness.get_by_label(&format!("Generated, total: {}", total(&ledger.generated)));
    harness.get_by_label(&format!("Rejected, total: {}", total(&ledger.rejected)));
    harness.get_by_label_contains("the balance closes");
}

#[test]
fn another_condition_is_solved_and_shown() {
    let mut harness = open_on(rig(), Page::Temperatures, Theme::Light, [1440.0, 900.0]);
    let block = |harness: &crate::Desk| {
        let rows = &harness.state().screen().temperatures.rows;
        rows.iter().find(|row| row.component == "heater block").expect("a row").temperature.clone()
    };
    let before = block(&harness);
    harness.get_by_role_and_label(Role::ComboBox, "Condition").click();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, "hot day").click();
    settle(&mut harness);
    assert_eq!(harness.state().choice().case.condition, "hot day");
    let after = block(&harness);
    assert!(after.value > before.value);
    harness.get_by_label(&format!("heater block, continuous, temperature: {}", after.text));
}

#[test]
fn a_number_explains_itself_and_escape_closes_it() {
    let mut harness = open_on(rig(), Page::Loops, Theme::Light, [1440.0, 900.0]);
    harness.get_by_label_contains("plate, Heat: ").click();
    harness.run_steps(3);
    harness.get_by_label_contains("Gnielinski 2013");
    harness.key_press(Key::Escape);
    harness.run_steps(2);
    assert!(harness.query_by_label_contains("Gnielinski 2013").is_none());
}

#[test]
fn about_shows_every_caution_and_the_font_licences() {
    let mut harness = open(Page::Loops);
    harness.get_by_role_and_label(Role::Button, "About").click();
    harness.run_steps(3);
    harness.get_by_label_contains("replaces neither a compliance test nor the approval");
    assert_eq!(app::views::about::CAUTIONS.len(), 14);
    harness.get_by_label_contains("Ubuntu font licence");
}

#[test]
fn nothing_leaves_the_window_at_any_size_or_theme() {
    for theme in [Theme::Light, Theme::Dark] {
        for size in [[1440.0, 900.0], [1100.0, 700.0], [900.0, 560.0]] {
            for page in Page::ALL {
                let harness = open_sized(page, theme, size);
                // Undo, redo, keys, about and the rail are never scrolled away.
                for label in ["Undo", "Redo", "Keys", "About", "Ledger"] {
                    let rect = harness.get_by_role_and_label(Role::Button, label).rect();
                    let [width, height] = size;
                    let inside = rect.left() >= 0.0 && rect.right() <= width && rect.bottom() <= height;
                    assert!(inside, "{label} on {page:?} at {size:?}: {rect:?}");
                }
            }
        }
    }
}

/// What a frame with these events puts on the clipboard.
fn copied(harness: &mut crate::Desk, events: Vec<Event>) -> String {
    harness.input_mut().events.extend(events);
    harness.step();
    let copied = |command: &OutputCommand| match command {
        OutputCommand::CopyText(text) => Some(text.clone()),
        _ => None,
    };
    harness.output().platform_output.commands.iter().find_map(copied).unwrap_or_default()
}

#[test]
fn the_table_of_a_page_is_copied_for_a_spreadsheet() {
    let mut harness = open_on(rig(), Page::Temperatures, Theme::Light, [1440.0, 900.0]);
    let modifiers = Modifiers::COMMAND | Modifiers::SHIFT;
    let key = Event::Key { key: Key::T, physical_key: None, pressed: true, repeat: false, modifiers };
    let text = copied(&mut harness, vec![key]);
    let row = text.lines().find(|line| line.starts_with("heater block\tcontinuous")).expect("the row");
    // the numbers on screen, with all their digits
    let numbers: Vec<f64> =
        row.split('\t').skip(2).take(3).map(|cell| cell.parse().expect("a number")).collect();
    let shown = harness.state().screen().temperatures.rows.iter().find(|row| row.component == "heater block");
    let shown = shown.expect("a row");
    assert_eq!(
        numbers.iter().map(|value| number(*value, 1)).collect::<Vec<_>>(),
        [&shown.temperature, &shown.limit, &shown.margin]
            .map(|figure| figure.text.trim_start_matches('+').to_owned())
    );
    assert_eq!(text.lines().next().map(|line| line.split('\t').count()), Some(row.split('\t').count()));

    let mut harness = open_on(rig(), Page::Loops, Theme::Light, [1440.0, 900.0]);
    let pos = harness.get_by_role_and_label(Role::Button, "Copy table").rect().center();
    harness.hover_at(pos);
    harness.run_steps(2);
    let button = |pressed| Event::PointerButton {
        pos,
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    let text = copied(&mut harness, vec![button(true), button(false)]);
    assert!(text.contains("plate\tcold plate\t"), "{text}");
}

/// Every table of a page is on the clipboard, not only its first: page, title of a table, a cell of it.
#[test]
fn all_tables_of_a_page_are_copied() {
    let modifiers = Modifiers::COMMAND | Modifiers::SHIFT;
    let key = || Event::Key { key: Key::T, physical_key: None, pressed: true, repeat: false, modifiers };
    for page in Page::ALL {
        let mut harness = open(page);
        if page == Page::Mission {
            show_mission(&mut harness);
        }
        let text = copied(&mut harness, vec![key()]);
        let screen = harness.state().screen();
        let named = |title: &str, cell: &str| {
            let after = text.split(&format!("\n{title}\n")).nth(1);
            let after = after.unwrap_or_else(|| panic!("{page:?}: no table {title:?} in {text}"));
            assert!(after.contains(cell), "{page:?}: {cell} under {title}: {after}");
        };
        let digits = |figure: &Figure| figure.value.map(|value| format!("{value:?}"));
        match page {
            Page::Turnaround => {
                let data = screen.turnaround.as_ref().expect("it is there");
                let pack = data.departure.iter().find_map(|limit| digits(&limit.pack));
                named("Hottest pack at departure", &pack.expect("a pack may depart"));
                let table = &data.tables[0];
                named(&format!("Wait and charge, {}", table.option), &table.rows[0].1[0].rate);
            }
            Page::Failures => {
                let rows = &screen.failures.as_ref().expect("it is there").rows;
                let peak = rows.iter().flat_map(|row| &row.peaks).find_map(|peak| digits(&peak.temperature));
                named("Peak until touchdown", &peak.expect("a failure has a peak"));
                let red = rows.iter().flat_map(|row| &row.alerts).find_map(|alert| digits(&alert.red));
                named("Alert temperatures that leave time for the action", &red.expect("a sensor can warn"));
            }
            Page::Mission => {
                let mission = screen.mission.as_ref().expect("it is there");
                named(
                    "Closest to the limits",
                    &digits(&mission.peaks[0].temperature).expect("it has a number"),
                );
                named("Events", &mission.events[0].what);
                named("Segments", &mission.segments[0].name);
            }
            _ => assert!(text.lines().count() > 2 && text.contains('\t'), "{page:?}: {text}"),
        }
    }
}

#[test]
fn an_explanation_is_copied_with_its_numbers() {
    let mut harness = open(Page::Loops);
    let screen = harness.state().screen();
    let (key, shown) = screen.explanations.iter().next().map(|(k, e)| (k.clone(), e.clone())).expect("one");
    let context = harness.ctx.clone();
    harness.state_mut().apply(&context, app::Command::Open(app::Overlay::Explanation(key)));
    harness.run_steps(3);
    let pos = harness.get_by_role_and_label(Role::Button, "Copy explanation").rect().center();
    harness.hover_at(pos);
    harness.run_steps(2);
    let button = |pressed| Event::PointerButton {
        pos,
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    let text = copied(&mut harness, vec![button(true), button(false)]);
    assert!(text.starts_with(&format!("{}\t", shown.title)), "{text}");
    for (name, value) in &shown.inputs {
        assert!(text.contains(&format!("{name}\t{}", report::sheet::text_cell(value))), "{name} in {text}");
    }
}

/// Tab leads to one cell of the grid, the keys move it, Enter shows its case at its worst moment.
#[test]
fn the_grid_of_margins_is_walked_by_keys() {
    let mut harness = open(Page::Margins);
    let focused = |harness: &crate::Desk| {
        let node = harness.query_all_by_role(Role::Button).find(|node| node.is_focused())?;
        node.accesskit_node().label()
    };
    let grid = harness.state().screen().margins.clone();
    let (first, case) = (&grid.rows[0], &grid.cases[0]);
    let begin = format!("{}, {}, {case}: ", first.where_, first.limit);
    // The cell comes once among all that Tab leads to.
    let mut visits = 0;
    for _ in 0..60 {
        harness.key_press(Key::Tab);
        harness.run_steps(2);
        visits += usize::from(focused(&harness).is_some_and(|label| grid_label(&grid, &label)));
        if focused(&harness).is_some_and(|label| label.starts_with(&begin)) {
            break;
        }
    }
    assert_eq!(visits, 1, "Tab enters the grid at its cursor");
    let press = |harness: &mut crate::Desk, key| {
        harness.key_press(key);
        harness.run_steps(3);
        focused(harness).expect("the focus stays in the grid")
    };
    let column = (1..grid.cases.len()).find(|column| first.cells[*column].is_some()).expect("more cases");
    let right = format!("{}, {}, {}: ", first.where_, first.limit, grid.cases[column]);
    assert!(press(&mut harness, Key::ArrowRight).starts_with(&right));
    let last = (0..grid.cases.len()).rfind(|column| first.cells[*column].is_some()).expect("it has cells");
    let end = format!("{}, {}, {}: ", first.where_, first.limit, grid.cases[last]);
    assert!(press(&mut harness, Key::End).starts_with(&end));
    assert!(press(&mut harness, Key::Home).starts_with(&begin));
    let below = press(&mut harness, Key::ArrowDown);
    let row = (1..grid.rows.len()).find(|row| grid.rows[*row].cells[0].is_some()).expect("more limits");
    let expected = format!("{}, {}, {case}: ", grid.rows[row].where_, grid.rows[row].limit);
    assert!(below.starts_with(&expected), "{below}");
    harness.key_press(Key::Enter);
    settle(&mut harness);
    assert_eq!(harness.state().choice().case, *case);
    harness.key_press(Key::Tab);
    harness.run_steps(2);
    assert!(!focused(&harness).is_some_and(|label| grid_label(&grid, &label)), "Tab leaves the grid");
}

fn grid_label(grid: &app::views::margins::MarginGrid, label: &str) -> bool {
    grid.rows.iter().any(|row| label.starts_with(&format!("{}, {}, ", row.where_, row.limit)))
}
