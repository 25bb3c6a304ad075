//! Changes of a variant that name what they change.

use crate::bench::{read_variant, sound, text};

fn with(changes: &str) -> String {
    text(&format!(
        "conditions: [Condition(name: \"room\", day: Fixed(\"20 degC\"))],
        components: [Component(name: \"plate\")],
        links: [Link(from: \"plate\", to: \"outside air\", law: Conductance(\"10 W/K\"))],
        heats: [Heat(name: \"heater\", into: \"plate\", law: Fixed(\"100 W\"))],
        ducts: [Duct(name: \"duct\", path: [
            Inlet(name: \"in\", area: \"0.05 m2\"),
            Parallel(name: \"fans\", branches: [
                Branch(name: \"one\", path: [Fan(name: \"fan 1\", curve: [(\"0 m3/s\", \"200 Pa\"), (\"0.4 m3/s\", \"0 Pa\")], power: Fixed(\"40 W\"))]),
                Branch(name: \"two\", path: [Fan(name: \"fan 2\", curve: [(\"0 m3/s\", \"200 Pa\"), (\"0.4 m3/s\", \"0 Pa\")], power: Fixed(\"40 W\"))]),
            ]),
            Outlet(name: \"out\", area: \"0.05 m2\"),
        ])],
        points: [Point(name: \"run\"), Point(name: \"slow\", settings: [PointSetting(name: \"fan 1\", speed: 0.5)])],
        failures: [Failure(name: \"fan 1 stops\", what: Stopped(\"fan 1\")), Failure(name: \"fan 2 stops\", what: Stopped(\"fan 2\"))],
        cases: [
            CaseGroup(conditions: [\"room\"], points: [\"slow\"]),
            CaseGroup(name: \"after a failure\", conditions: [\"room\"], points: [\"run\"], failures: [\"fan 1 stops\", \"fan 2 stops\"]),
        ],
        variants: [Variant(name: \"changed\", changes: [{changes}])],"
    ))
}

fn changed(changes: &str) -> aircraft::records::project::Project {
    let text = with(changes);
    sound(&text);
    read_variant(&text, Some("changed")).unwrap_or_else(|problems| panic!("{problems}")).project
}

fn refused(changes: &str) -> String {
    read_variant(&with(changes), Some("changed")).expect_err(changes)
}

#[test]
fn a_variant_leaves_a_failure_out_of_a_group_by_name() {
    let project = changed(
        "Remove(\"ducts.duct.path.fans.branches.two\"), Remove(\"failures.fan 2 stops\"), Remove(\"cases.after a failure.failures.fan 2 stops\")",
    );
    assert_eq!(project.cases[1].failures, ["fan 1 stops"]);
    assert_eq!(project.failures.len(), 1);
    let problems = refused("Remove(\"cases.after a failure.failures.fan 3 stops\")");
    assert!(problems.contains("there is no \"fan 3 stops\""), "{problems}");
    // a failure that is gone but still flown is told at the group
    let problems = refused("Remove(\"failures.fan 2 stops\")");
    assert!(problems.contains("in variant \"changed\": no failure is called \"fan 2 stops\""), "{problems}");
}

#[test]
fn a_list_that_is_left_out_begins_with_the_item_that_is_added() {
    let project = changed(
        "Add(\"points.run.settings\", PointSetting(name: \"fan 1\", speed: 0.5)), Add(\"points.run.settings\", PointSetting(name: \"fan 2\", speed: 0.7)),
        Add(\"components.plate.limits\", Limit(value: \"80 degC\")), Add(\"supplies\", Supply(name: \"aux\")),
        Add(\"cases.1.failures\", \"fan 1 stops\")",
    );
    let speeds: Vec<f64> = project.points[0].settings.iter().map(|s| s.speed.si()).collect();
    assert_eq!(speeds, [0.5, 0.7]);
    assert_eq!((project.components[0].limits.len(), project.supplies.len()), (1, 1));
    assert_eq!(project.cases[0].failures, ["fan 1 stops"]);
    // a whole list may be added where there was none, and a field that is no list stays what it is
    let project = changed("Add(\"supplies\", [Supply(name: \"aux\")]), Add(\"points.run.note\", \"fast\")");
    assert_eq!((project.supplies.len(), project.points[0].note.as_deref()), (1, Some("fast")));
}

#[test]
fn a_list_in_a_choice_in_a_branch_is_found_by_its_shape() {
    let surface =
        "Surface(name: \"face\", film: Fixed(\"5 W/K\"), flow: Loss(coefficient: 1, diameter: \"0.2 m\"))";
    let project = changed(&format!(
        "Add(\"ducts.duct.path.fan 2\", {surface}), Add(\"ducts.duct.path.face.walls\", \"plate\")"
    ));
    let found = aircraft::records::device::devices(&project.ducts[0].path);
    let face = found.iter().find(|d| d.name() == "face").expect("it was added");
    assert!(
        matches!(face, aircraft::records::device::Device::Surface(plate) if plate.walls == ["plate"]),
        "{face:?}"
    );
}

#[test]
fn a_conductance_below_zero_is_refused() {
    let problems = refused("Set(\"links.1.law\", Conductance(\"-5 W/K\"))");
    assert!(problems.contains("give a thermal conductance zero or more"), "{problems}");
}
