//! One truth: the window and the command line say the same of every margin, in the same order.

use std::sync::atomic::AtomicBool;

use app::Page;
use egui::Theme;
use egui_kittest::kittest::Queryable as _;
use model::cases;
use model::mission::FlyOptions;
use report::sheet::{Cell, Sheet};
use session::{MarginPlace, Snapshot};
use studies::missions::{chosen, flown};

use crate::{open_on, read, rig, tug};

fn column<'a>(sheet: &'a Sheet, key: &str) -> Vec<&'a Cell> {
    let number = sheet.columns.iter().position(|column| column.key == key).expect("a column");
    sheet.rows.iter().map(|row| &row[number]).collect()
}

fn in_order<T: PartialEq>(all: impl IntoIterator<Item = T>) -> Vec<T> {
    let mut seen = Vec::new();
    for one in all {
        if !seen.contains(&one) {
            seen.push(one);
        }
    }
    seen
}

#[test]
fn window_and_command_agree_on_every_margin_of_the_rig() {
    agree(rig());
}

#[test]
fn window_and_command_agree_on_every_margin_of_the_tug() {
    agree(tug());
}

#[test]
fn window_and_command_agree_on_every_margin_of_the_rescue_rotorcraft() {
    agree(read(include_str!("../../../demo-projects/rescue.ron")));
}

fn agree(snapshot: Snapshot) {
    let project = snapshot.base().project.clone();
    let go_on = AtomicBool::new(false);
    let results = studies::solve(&cases::steady(&project), &go_on, |_| ()).expect("it is solved");
    let missions = chosen(&project, &[]).expect("its missions");
    let flown = flown(&missions, &FlyOptions::default(), &go_on, |_| ()).expect("they are flown");
    let all = studies::all_margins(&results, &flown);
    let sheet = report::margins::sheets(&all).swap_remove(0);
    let places: Vec<MarginPlace> = all
        .iter()
        .map(|line| MarginPlace {
            where_: line.margin.place.clone(),
            limit: line.margin.limit.clone(),
            unit: MarginPlace::unit_of(line.margin.kind).to_owned(),
            case: line.case.clone(),
        })
        .collect();

    let harness = open_on(snapshot, Page::Margins, Theme::Light, [1440.0, 900.0]);
    let screen = harness.state().screen();
    let grid = &screen.margins;
    let limits = |place: &MarginPlace| (place.where_.clone(), place.limit.clone(), place.unit.clone());
    let rows: Vec<_> =
        grid.rows.iter().map(|row| (row.where_.clone(), row.limit.clone(), row.unit.clone())).collect();
    assert_eq!(rows, in_order(places.iter().map(limits)), "limits in the order of the sheet");
    assert_eq!(grid.cases, in_order(places.iter().map(|place| place.case.clone())), "cases too");
    let cells = grid.rows.iter().flat_map(|row| row.cells.iter().flatten()).count();
    assert_eq!(cells, all.len());

    for ((place, cell), line) in places.iter().zip(column(&sheet, "standing")).zip(&all) {
        let (row, column) = grid.find(Some(place)).expect("the window has it too");
        assert_eq!(grid.place((row, column)).as_ref(), Some(place));
        let shown = grid.rows[row].cells[column].as_ref().expect("it is there");
        assert_eq!(cell, &Cell::Standing(shown.standing), "{place:?}");
        assert_eq!(shown.standing, line.margin.standing());
        let share = line.margin.reserve() / line.margin.margin;
        let same = shown.reserve.zip(shown.margin).map(|(reserve, margin)| reserve / margin - share);
        assert!(same.is_some_and(|difference| difference.abs() < 1e-9 * share.abs().max(1.0)), "{place:?}");
    }
    let worst = screen.header.worst.as_ref().expect("it has limits");
    assert_eq!((&worst.case, worst.standing), (all[0].case, all[0].margin.standing()));
    // the headline is the reserve, with both numbers behind it; a cell says the same
    for label in [&worst.reserve, &worst.behind, all[0].margin.standing().words()] {
        assert!(harness.query_all_by_label(label).next().is_some(), "{label}");
    }
    let spoken = format!("{}, {}, {}: reserve ", all[0].margin.place, all[0].margin.limit, all[0].case);
    assert!(harness.query_all_by_label_contains(&spoken).next().is_some(), "{spoken}");
    assert_eq!(worst.where_, format!("{}, {}", all[0].margin.place, all[0].margin.limit));
}
