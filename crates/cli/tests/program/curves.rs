//! `curves`: the losses of the curves are those that `solve` books.

use crate::run::{has_keys, list, run};

const CASE: &str = "hot day/tow climb";

#[test]
fn the_point_of_the_case_is_what_solve_books() {
    let curves = run(&["curves", "demo", "--case", CASE, "--json"]);
    assert_eq!(curves.code, 0, "{}", curves.err);
    let json = curves.json();
    let machines = list(&json["results"][0], "machines");
    let loss = |name: &str, sort: &str| {
        let found = machines.iter().find(|machine| machine["name"] == name && machine["sort"] == sort);
        found.unwrap_or_else(|| panic!("no {sort} {name}"))["values"]["loss_W"].as_f64().unwrap()
    };
    let solved = run(&["solve", "demo", "--case", CASE, "--json"]).json();
    let heat = |name: &str| {
        let found = list(&solved["results"][0], "components").iter().find(|c| c["name"] == name);
        found.unwrap_or_else(|| panic!("no component {name}"))["heat_W"].as_f64().unwrap()
    };
    // winding, iron and rotor take all that the motor loses: copper, iron, magnets and windage
    let booked = heat("left winding") + heat("left iron") + heat("left rotor");
    assert!((loss("left motor", "motor") - booked).abs() < 1e-6 * booked, "{booked}");
    // two bridges and the cable heat the inverter
    let booked = heat("left inverter");
    let bridges = 2.0 * loss("left motor", "inverter") + loss("left motor", "cable");
    assert!((bridges - booked).abs() < 1e-6 * booked, "{bridges} {booked}");
    assert!((loss("gearbox", "gearbox") - heat("gearbox sump")).abs() < 1e-6 * heat("gearbox sump"));
}

#[test]
fn every_figure_has_axes_with_units_and_goes_through_the_case() {
    let json = run(&["curves", "demo", "--case", CASE, "--json"]).json();
    for machine in list(&json["results"][0], "machines") {
        has_keys(machine, &["name", "sort", "path", "values", "levels", "figures"]);
        for figure in list(machine, "figures") {
            has_keys(figure, &["title", "x", "y", "held", "at", "curves"]);
            let at = figure["at"].as_array().unwrap();
            let (x, y) = (at[0].as_f64().unwrap(), at[1].as_f64().unwrap());
            let first = list(&list(figure, "curves")[0], "points");
            let found = first.iter().find(|point| (point[0].as_f64().unwrap() - x).abs() < 1e-9);
            if let Some(found) = found {
                let value = found[1].as_f64().unwrap();
                assert!((value - y).abs() <= 1e-6 * y.abs().max(1e-9), "{}: {value} {y}", figure["title"]);
            } else {
                assert_eq!(figure["title"], "Charge window", "steps have no point of their own");
            }
        }
    }
}

#[test]
fn curves_are_written_as_comma_separated_values_and_as_a_sheet() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("curves");
    let ended = run(&["curves", "demo", "--case", CASE, "--csv", path.to_str().unwrap()]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let files: Vec<_> = std::fs::read_dir(&path).unwrap().collect();
    assert_eq!(files.len(), 1);
    let text = std::fs::read_to_string(files[0].as_ref().unwrap().path()).unwrap();
    assert!(text.starts_with("machine,sort,figure,curve,x_name,x_unit,x,y_name,y_unit,y"));
    assert!(text.contains("left motor,motor,Loss over speed,all,speed,rad/s,"));
    let sheet = run(&["curves", "demo", "--case", CASE]);
    assert!(sheet.out.contains("left motor, inverter"), "{}", sheet.out);
}
