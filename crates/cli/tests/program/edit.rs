//! `fidelity` and `edit`: what a law gives at each fidelity, and a project changed without the window.

use crate::run::{file, has_keys, list, run};

const CASE: &str = "hot day/tow climb";

#[test]
fn levels_give_what_solve_gives_and_fixed_stands_beside() {
    let json = run(&["fidelity", "demo", "--case", CASE, "--json"]).json();
    has_keys(&json, &["project", "case", "laws"]);
    let solved = run(&["solve", "demo", "--case", CASE, "--json"]).json();
    let heat = |name: &str| {
        let found = list(&solved["results"][0], "components").iter().find(|c| c["name"] == name);
        found.unwrap_or_else(|| panic!("no component {name}"))["heat_W"].as_f64().unwrap()
    };
    let laws = list(&json, "laws");
    let gearbox =
        laws.iter().find(|law| law["path"] == "powertrain.gearbox.losses").expect("the tug has one");
    let value = |name: &str| {
        let found = list(gearbox, "levels").iter().find(|level| level["name"] == name);
        found.unwrap_or_else(|| panic!("no level {name}"))["value"].as_f64().unwrap()
    };
    // the gearbox heats its sump alone
    assert!((value("Fixed") - heat("gearbox sump")).abs() < 1e-3 * heat("gearbox sump"));
    for law in laws {
        has_keys(law, &["path", "owner", "what", "unit", "levels"]);
        let used = list(law, "levels").iter().filter(|level| level["used"] == true).count();
        assert_eq!(used, 1, "{law}");
    }
}

#[test]
fn a_law_gets_another_level_and_an_input_another_value() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("new.ron");
    let output = path.to_str().unwrap();
    let level = "powertrain.gearbox.losses=Fixed";
    let wishes = [
        "edit",
        "demo",
        "-o",
        output,
        "--case",
        CASE,
        "--fidelity",
        level,
        "--set",
        "loops.stator.least_flow=0.3 L/min",
    ];
    let ended = run(&wishes);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let written = std::fs::read_to_string(&path).unwrap();
    assert!(written.contains("computed from the law before, at hot day/tow climb"), "the number says so");
    assert!(written.contains("least_flow: \"0.3 L/min\""));
    assert_eq!(run(&["check", output]).code, 0);
    let again = run(&wishes);
    assert_eq!(again.code, 1, "a file that is there is not replaced");
    let other = folder.path().join("other.ron");
    let nothing = run(&["edit", "demo", "-o", other.to_str().unwrap(), "--fidelity", "loops.stator=Fixed"]);
    assert_eq!(nothing.code, 1);
    assert!(nothing.err.contains("is not a law whose fidelity can be chosen"), "{}", nothing.err);
    assert!(!other.exists(), "nothing is written after a mistake");
}

#[test]
fn a_table_is_taken_from_a_file_and_every_mistake_is_told_with_its_row() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let good = write("pump.csv", "flow [gpm],rise [psi]\n0,14\n4,10\n7,1\n");
    let bad = write("comma.csv", "flow;rise\n0;95\n10,5;82\n");
    let output = folder.path().join("rig.ron");
    let output = output.to_str().unwrap();
    let wish = |file: &str| format!("loops.glycol.path.pump.curve={file}");
    let refused = run(&["edit", "demo:rig", "-o", output, "--table", &wish(&bad)]);
    assert_eq!(refused.code, 1);
    assert!(refused.err.contains("row 2, volume flow: \"10,5\" has a comma; write 10.5"), "{}", refused.err);
    let unknown = run(&["edit", "demo:rig", "-o", output, "--table", "loops.glycol=x.csv"]);
    assert!(unknown.err.contains("loops.glycol.path.pump.curve"), "the tables are listed: {}", unknown.err);
    let ended = run(&["edit", "demo:rig", "-o", output, "--table", &wish(&good)]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = run(&["solve", output, "--json"]).json();
    let circuit = &list(&json["results"][0], "loops")[0];
    let (flow, rise) =
        (circuit["volume_flow_m3_s"].as_f64().unwrap(), circuit["pump_rise_Pa"].as_f64().unwrap());
    // between 4 gpm (2.5236e-4 m3/s, 68948 Pa) and 0 gpm (96527 Pa), or beyond down to 7 gpm (4.4163e-4 m3/s, 6895 Pa): the curve falls
    // from point to point, so that the rise lies between the ends of its stretch; 1 psi is 6894.757 Pa, 1 gpm 6.30902e-5 m3/s
    let (low, high) = if flow < 2.5236e-4 { (68_947.0, 96_527.0) } else { (6_894.0, 68_948.0) };
    assert!(flow < 4.4163e-4 && low * 0.9 < rise && rise < high * 1.1, "{flow} m3/s, {rise} Pa");
}

#[test]
fn an_input_becomes_the_own_value_of_a_variant() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("new.ron");
    let output = path.to_str().unwrap();
    let set = "powertrain.bus.cell.resistance=7 mOhm";
    let ended = run(&["edit", "demo", "-o", output, "--variant", "low-resistance cells", "--set", set]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert!(ended.out.contains("= 7 mOhm in low-resistance cells"), "{}", ended.out);
    let written = std::fs::read_to_string(&path).unwrap();
    // the quotation stays behind the new number, and the base design as it was
    let own = r#"Set("powertrain.bus.cell.resistance", Input(value: "7 mOhm", tolerance: "15 %","#;
    let one_line = written.split_whitespace().collect::<Vec<&str>>().join(" ");
    assert!(one_line.contains(own), "{written}");
    assert_eq!(written.matches("\"7 mOhm\"").count(), 1);
    assert_eq!(run(&["check", output]).code, 0);
    let other = folder.path().join("other.ron");
    let nothing = run(&["edit", "demo", "-o", other.to_str().unwrap(), "--variant", "base", "--set", set]);
    assert_eq!(nothing.code, 1);
    assert!(nothing.err.contains("name a variant"), "{}", nothing.err);
}

/// The bench rig with comments at every sort of place.
fn commented() -> String {
    let rig = include_str!("../../../../demo-projects/rig.ron");
    let comment = |(n, line): (usize, &str)| {
        let margin = &line[..line.len() - line.trim_start().len()];
        let above = if n % 3 == 0 { format!("{margin}// above line {n}\n") } else { String::new() };
        format!("{above}{line}{}\n", if n % 4 == 0 { " // behind" } else { "" })
    };
    let text: String = rig.lines().enumerate().map(comment).collect();
    text.replace("name: \"feed hose\", ", "name: \"feed hose\", /* measured */ ")
}

/// The lines that differ, of two texts of as many lines.
fn changed_lines<'t>(before: &'t str, after: &'t str) -> Vec<(&'t str, &'t str)> {
    assert_eq!(before.lines().count(), after.lines().count());
    before.lines().zip(after.lines()).filter(|(before, after)| before != after).collect()
}

#[test]
fn one_number_edited_is_one_line_changed() {
    let text = commented();
    let (_file, path) = file(text.as_bytes());
    let folder = tempfile::tempdir().unwrap();
    let output = folder.path().join("new.ron");
    let output = output.to_str().unwrap();
    let set = "loops.glycol.path.feed hose.length=2.25 m";
    let ended = run(&["edit", &path, "-o", output, "--set", set]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let written = std::fs::read_to_string(output).unwrap();
    let changed = changed_lines(&text, &written);
    assert_eq!(changed.len(), 1, "{changed:?}");
    let (before, after) = changed[0];
    assert_eq!(before.replace("\"1.8 m\"", "\"2.25 m\""), after);
    assert!(after.contains("/* measured */"), "{after}");

    // and over itself, one more; a file of another computer keeps its ends of lines
    std::fs::write(output, text.replace('\n', "\r\n")).unwrap();
    let ended = run(&["edit", output, "-o", output, "--overwrite", "--set", set]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert_eq!(std::fs::read_to_string(output).unwrap(), written.replace('\n', "\r\n"));
}

#[test]
fn a_level_and_a_table_leave_the_rest_of_the_file() {
    let text = commented();
    let (_file, path) = file(text.as_bytes());
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (output, table) = (at("new.ron"), at("pump.csv"));
    std::fs::write(&table, "flow [L/min],rise [kPa]\n0,95\n10,80\n20,45\n26,5\n").unwrap();
    let ended =
        run(&["edit", &path, "-o", &output, "--table", &format!("loops.glycol.path.pump.curve={table}")]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let written = std::fs::read_to_string(&output).unwrap();
    let changed = changed_lines(&text, &written);
    assert_eq!(changed.len(), 1, "{changed:?}");
    assert!(changed[0].1.contains("80 kPa"), "{changed:?}");
}
