use super::listed;
use aircraft::revise::*;
use schema::path::get;
use schema::{Node, Path};

const FEED: &str = "loops.stator.path.feed";

fn text(value: &str) -> Node {
    Node::text(value)
}

/// Two pumps in branches, a feed that a limit and a variant name, and a core.
fn root() -> Node {
    let hose = |name: &str| Node::record("Hose", vec![("name", text(name)), ("climb", text("0.2 m"))]);
    let branch = |name: &str, device: Node| {
        Node::record("Branch", vec![("name", text(name)), ("path", Node::list(vec![device]))])
    };
    let pump = |name: &str| Node::record("Pump", vec![("name", text(name))]);
    let pumps = Node::record(
        "Parallel",
        vec![
            ("name", text("pumps")),
            ("branches", Node::list(vec![branch("A", pump("pump A")), branch("B", pump("pump B"))])),
        ],
    );
    let core = Node::record("Core", vec![("name", text("radiator"))]);
    let limit = Node::record("StationLimit", vec![("device", text("feed")), ("source", text("feed"))]);
    let stator = Node::record(
        "Loop",
        vec![
            ("name", text("stator")),
            ("path", Node::list(vec![pumps, hose("feed"), core])),
            ("limits", Node::list(vec![limit])),
        ],
    );
    let change = Node::tuple("Set", vec![text("loops.stator.path.feed.climb"), text("0 m")]);
    let variant =
        Node::record("Variant", vec![("name", text("flat")), ("changes", Node::list(vec![change]))]);
    let whole = Node::record("Core", vec![("name", text("radiator")), ("volume", text("1 L"))]);
    Node::record(
        "Project",
        vec![
            ("loops", Node::list(vec![stator])),
            ("cores", Node::list(vec![whole])),
            ("failures", Node::list(vec![Node::tuple("Stopped", vec![text("pump A")])])),
            ("variants", Node::list(vec![variant])),
        ],
    )
}

fn names(root: &Node, list: &str) -> Vec<String> {
    let node = get(root, &Path::parse(list).unwrap()).unwrap();
    listed(node).iter().filter_map(|item| item.own_name()).map(str::to_owned).collect()
}

fn at<'a>(root: &'a Node, path: &str) -> &'a Node {
    get(root, &Path::parse(path).unwrap()).unwrap()
}

#[test]
fn a_new_name_reaches_limits_failures_and_paths_but_no_prose() {
    let to = Revision::Rename { path: FEED.into(), to: "long feed".into() };
    let revised = revise(&root(), &to).unwrap();
    assert_eq!(names(&revised, "loops.stator.path"), ["pumps", "long feed", "radiator"]);
    let limit = at(&revised, "loops.stator.limits.1");
    assert_eq!(limit.field("device").and_then(Node::as_text), Some("long feed"));
    assert_eq!(limit.field("source").and_then(Node::as_text), Some("feed"), "a source is prose");
    let changed = format!("{:?}", at(&revised, "variants.flat.changes"));
    assert!(changed.contains("loops.stator.path.long feed.climb"), "{changed}");
    let pump = Revision::Rename { path: "loops.stator.path.pump A".into(), to: "main pump".into() };
    let revised = revise(&root(), &pump).unwrap();
    assert!(format!("{:?}", at(&revised, "failures")).contains("main pump"));
}

#[test]
fn a_core_is_renamed_where_it_is_described_and_where_it_stands() {
    let to = Revision::Rename { path: "loops.stator.path.radiator".into(), to: "nose core".into() };
    let revised = revise(&root(), &to).unwrap();
    assert_eq!(names(&revised, "cores"), ["nose core"]);
    assert_eq!(names(&revised, "loops.stator.path"), ["pumps", "feed", "nose core"]);
}

#[test]
fn names_that_are_taken_or_cannot_be_names_are_refused() {
    let refuse =
        |to: &str| revise(&root(), &Revision::Rename { path: FEED.into(), to: to.into() }).unwrap_err();
    assert_eq!(refuse("pump A"), Refusal::NameTaken("pump A".into()));
    assert!(matches!(refuse("a.b"), Refusal::BadName(_)));
    assert!(matches!(refuse(" "), Refusal::BadName(_)));
    let nowhere = Revision::Remove("loops.stator.path.fed".into());
    assert!(matches!(revise(&root(), &nowhere), Err(Refusal::Path(_))));
}

#[test]
fn a_copy_stands_behind_with_names_of_its_own_and_no_climb() {
    let revised = revise(&root(), &Revision::Duplicate(FEED.into())).unwrap();
    assert_eq!(names(&revised, "loops.stator.path"), ["pumps", "feed", "feed 2", "radiator"]);
    assert!(at(&revised, "loops.stator.path.feed 2").field("climb").is_none());
    let again = revise(&revised, &Revision::Duplicate("loops.stator.path.feed 2".into())).unwrap();
    assert_eq!(names(&again, "loops.stator.path")[3], "feed 3");
    let section = revise(&root(), &Revision::Duplicate("loops.stator.path.pumps".into())).unwrap();
    assert_eq!(names(&section, "loops.stator.path"), ["pumps", "pumps 2", "feed", "radiator"]);
    assert_eq!(names(&section, "loops.stator.path.pumps 2.branches.A.path"), ["pump A 2"]);
    let core = revise(&root(), &Revision::Duplicate("loops.stator.path.radiator".into()));
    assert_eq!(core, Err(Refusal::StandsTwice("radiator".into())));
}

#[test]
fn moving_stops_at_the_ends_and_back_is_where_it_was() {
    let down = revise(&root(), &Revision::Move(FEED.into(), 1)).unwrap();
    assert_eq!(names(&down, "loops.stator.path"), ["pumps", "radiator", "feed"]);
    assert_eq!(revise(&down, &Revision::Move(FEED.into(), -1)).unwrap(), root());
    assert_eq!(
        revise(&down, &Revision::Move(FEED.into(), 1)),
        Err(Refusal::AtEnd("feed".into(), "the last"))
    );
    let alone = revise(&root(), &Revision::Move("loops.stator.path.pump A".into(), -1));
    assert_eq!(alone, Err(Refusal::AtEnd("pump A".into(), "the first")), "a branch is a list of its own");
}

#[test]
fn branches_are_made_and_joined() {
    let branched = revise(&root(), &Revision::Branch(FEED.into())).unwrap();
    assert_eq!(names(&branched, "loops.stator.path"), ["pumps", "feed section", "radiator"]);
    assert_eq!(
        names(&branched, "loops.stator.path.feed section.branches"),
        ["A 2", "B 2"],
        "the pumps have A and B"
    );
    let joined = revise(&branched, &Revision::Join("loops.stator.path.feed 2".into())).unwrap();
    assert_eq!(names(&joined, "loops.stator.path"), ["pumps", "feed", "feed 2", "radiator"]);
    assert_eq!(revise(&root(), &Revision::Join(FEED.into())), Err(Refusal::NotParallel("feed".into())));
}

#[test]
fn new_devices_are_added_behind_and_every_kind_decodes() {
    for device in NewDevice::IN_LOOPS.into_iter().chain(NewDevice::IN_DUCTS) {
        let revised = revise(&root(), &Revision::Add { after: FEED.into(), device }).unwrap();
        let added = at(&revised, &format!("loops.stator.path.{}", device.word()));
        let decoded = schema::decode::<aircraft::records::device::Device>(added);
        assert!(decoded.value.is_some(), "{}: {:?}", device.word(), decoded.problems);
        let again = revise(&revised, &Revision::Add { after: FEED.into(), device }).unwrap();
        assert_eq!(names(&again, "loops.stator.path")[2], format!("{} 2", device.word()));
    }
}

#[test]
fn a_loop_is_added_with_all_it_needs_runs_and_is_taken_away_without_a_trace() {
    use aircraft::starter::{Answers, Cooling, begin};
    let answers = Answers { stator: Cooling::NotCooled, inverter: Cooling::NotCooled, ..Answers::default() };
    let root = begin(&answers).unwrap();
    let add = Revision::AddLoop { name: "extra".into(), component: "stator 1".into() };
    let added = revise(&root, &add).unwrap();
    // 3 kW at 2 L/min for each kW; face 3000/(2000 x 18.2) = 0.0824 m2: height (0.0824/1.3)^0.5 = 252 mm; plate 3000 W/6 K
    let typed = |path: &str| at(&added, path).field("value").and_then(Node::as_text).unwrap().to_owned();
    assert_eq!(typed("loops.extra.path.extra plate.film.at"), "6 L/min");
    assert_eq!(typed("loops.extra.path.extra plate.film.conductance"), "500 W/K");
    assert_eq!(typed("cores.extra radiator.transfer.height"), "252 mm");
    let hot = |node: &Node| {
        let mut project = crate::design::apply(node, None).unwrap().project;
        crate::validity::lift(&mut project);
        let point = &project.points[0];
        let situation = crate::assembly::Situation {
            project: &project,
            condition: &project.conditions[0],
            point,
            failure: None,
        };
        let result = crate::case::solve(&situation).unwrap();
        assert_eq!(result.status, crate::result::Status::Solved, "{:?}", result.notices);
        let stator = result.components.iter().find(|c| c.name.as_str() == "stator 1").unwrap();
        stator.temperature_k()
    };
    let (bare_k, cooled_k) = (hot(&root), hot(&added));
    assert!(cooled_k < bare_k - 50.0, "{cooled_k} K against {bare_k} K");
    assert_eq!(revise(&added, &add), Err(Refusal::NameTaken("extra".into())));
    assert_eq!(revise(&added, &Revision::RemoveLoop("extra".into())).unwrap(), root);
    let nowhere = Revision::AddLoop { name: "other".into(), component: "stator 9".into() };
    assert!(matches!(revise(&root, &nowhere), Err(Refusal::Path(_))));
    // What hangs on a loop stands in the way and is listed.
    let without = revise(&root, &Revision::RemoveLoop("oil".into())).unwrap();
    let problems = format!("{:?}", crate::design::apply(&without, None).unwrap_err());
    assert!(problems.contains("failures.oil pump A stops"), "{problems}");
}

/// The small aircraft with the loop `extra`, as it decodes and solves.
fn aircraft() -> Node {
    use aircraft::starter::{Answers, Cooling, begin};
    let answers = Answers { stator: Cooling::NotCooled, inverter: Cooling::NotCooled, ..Answers::default() };
    let add = Revision::AddLoop { name: "extra".into(), component: "stator 1".into() };
    revise(&begin(&answers).unwrap(), &add).unwrap()
}

fn solved(node: &Node) -> crate::result::CaseResult {
    let mut project = match crate::design::apply(node, None) {
        Ok(varied) => varied.project,
        Err(problems) => panic!("{problems}"),
    };
    crate::validity::lift(&mut project);
    let situation = crate::assembly::Situation {
        project: &project,
        condition: &project.conditions[0],
        point: &project.points[0],
        failure: None,
    };
    let result = crate::case::solve(&situation).unwrap();
    assert_eq!(result.status, crate::result::Status::Solved, "{:?}", result.notices);
    result
}

fn stator_k(node: &Node) -> f64 {
    solved(node).components.iter().find(|c| c.name == "stator 1").unwrap().temperature_k()
}

#[test]
fn a_second_core_behind_the_first_cools_more_and_goes_again_without_a_trace() {
    let root = aircraft();
    let after = "loops.extra.path.extra radiator".to_owned();
    let own = revise(&root, &Revision::AddCore { after: after.clone(), duct: None }).unwrap();
    assert_eq!(names(&own, "loops.extra.path")[4..6], ["extra radiator", "core"]);
    assert!(names(&own, "ducts").contains(&"core air duct".to_owned()));
    let shared = revise(&root, &Revision::AddCore { after, duct: Some("extra duct".into()) }).unwrap();
    assert_eq!(
        names(&shared, "ducts.extra duct.path"),
        ["extra inlet", "extra radiator", "core", "extra fan", "extra outlet"]
    );
    let (bare_k, own_k, shared_k) = (stator_k(&root), stator_k(&own), stator_k(&shared));
    // the second core of the same duct sees the warm air of the first
    assert!(own_k < shared_k && shared_k < bare_k, "{own_k} {shared_k} {bare_k}");
    let without = revise(&shared, &Revision::Remove("loops.extra.path.core".into())).unwrap();
    assert_eq!(without, root, "a core goes from its loop, its duct and the list of cores");
    let gone = revise(&own, &Revision::Remove("ducts.core air duct".into())).unwrap();
    assert_eq!(gone, root, "a duct takes its cores along");
}

#[test]
fn a_thermostat_with_a_bypass_keeps_a_cold_stator_warm() {
    let root = aircraft();
    let made = revise(&root, &Revision::Bypass("loops.extra.path.extra radiator".into())).unwrap();
    let section = "loops.extra.path.extra radiator section.branches";
    assert_eq!(names(&made, section), ["cooled", "bypass"]);
    let port = at(&made, &format!("{section}.cooled.path.extra radiator port"));
    assert_eq!(
        port.field("sensor").and_then(Node::as_text),
        Some("extra return"),
        "it senses what comes from the plate"
    );
    // below 60 degC the liquid goes past the core, so that the stator gets warmer than without a thermostat
    let result = solved(&made);
    let stations: Vec<_> = result.loops.iter().flat_map(|l| &l.stations).collect();
    let flow = |name: &str| stations.iter().find(|s| s.name == name).unwrap().mass_flow_kg_s;
    assert!(flow("extra radiator bypass port") > 0.0);
    assert!(stator_k(&made) > stator_k(&root));
    let in_duct = revise(&root, &Revision::Bypass("ducts.extra duct.path.extra fan".into()));
    assert!(matches!(in_duct, Err(Refusal::NotInLoop(_))));
}

#[test]
fn a_stage_is_added_behind_those_that_are_there() {
    let root = aircraft();
    let heat_w = |root: &Node, name: &str| {
        let result = solved(root);
        let line = result.lines.iter().find(|line| !line.is_rejection && line.what == name);
        line.map(|line| line.heat_w)
    };
    assert_eq!(heat_w(&root, "belt"), None);
    let belt = revise(&root, &Revision::AddStage("belt".into())).unwrap();
    let both = revise(&belt, &Revision::AddStage("rotor gearbox".into())).unwrap();
    assert_eq!(names(&both, "powertrain.stages"), ["belt", "rotor gearbox"]);
    assert!(
        heat_w(&both, "belt") > heat_w(&both, "rotor gearbox") && heat_w(&both, "rotor gearbox") > Some(0.0)
    );
    assert!(matches!(revise(&both, &Revision::AddStage("belt".into())), Err(Refusal::NameTaken(_))));
}

#[test]
fn ducts_components_plates_pumps_and_fans_are_added_and_solve() {
    let root = aircraft();
    let duct = revise(&root, &Revision::AddDuct("bay duct".into())).unwrap();
    assert_eq!(names(&duct, "ducts.bay duct.path"), ["bay duct inlet", "bay duct outlet"]);
    let part = revise(&duct, &Revision::AddComponent("avionics".into())).unwrap();
    let surface = Revision::AddPlate {
        after: "ducts.bay duct.path.bay duct inlet".into(),
        component: "avionics".into(),
    };
    let part = revise(&part, &surface).unwrap();
    let fan = Revision::Add { after: "ducts.bay duct.path.avionics plate".into(), device: NewDevice::Fan };
    let part = revise(&part, &fan).unwrap();
    let plate =
        Revision::AddPlate { after: "loops.extra.path.extra plate".into(), component: "avionics".into() };
    let part = revise(&part, &plate).unwrap();
    assert_eq!(at(&part, "loops.extra.path.avionics plate 2").tag(), Some("ColdPlate"));
    let pump = Revision::Add { after: "loops.extra.path.extra pump".into(), device: NewDevice::Pump };
    let part = revise(&part, &pump).unwrap();
    solved(&part);
    assert!(matches!(revise(&part, &Revision::AddDuct("bay duct".into())), Err(Refusal::NameTaken(_))));
    let without = revise(&part, &Revision::Remove("components.avionics".into())).unwrap();
    let links = names(&without, "links");
    assert!(!links.contains(&"avionics to the air".to_owned()), "a component takes its links along");
    let problems = crate::design::apply(&without, None).unwrap_err().to_string();
    assert!(problems.contains("avionics plate"), "its plates stand in the way: {problems}");
}

#[test]
fn branches_within_branches_have_names_of_their_own() {
    let plate = "loops.extra.path.extra plate";
    let once = revise(&aircraft(), &Revision::Branch(plate.into())).unwrap();
    let twice = revise(&once, &Revision::Branch(plate.into())).unwrap();
    solved(&twice);
    let back = revise(&twice, &Revision::Join(plate.into())).unwrap();
    solved(&back);
}

#[test]
fn a_device_is_put_into_another_loop_with_names_of_its_own() {
    let root = root();
    let feed = at(&root, FEED).clone();
    let made = revise(&root, &Revision::Insert { after: FEED.into(), device: feed }).unwrap();
    assert_eq!(names(&made, "loops.stator.path"), ["pumps", "feed", "feed 2", "radiator"]);
    assert!(at(&made, "loops.stator.path.feed 2").field("climb").is_none());
    let core = at(&root, "loops.stator.path.radiator").clone();
    let refused = revise(&root, &Revision::Insert { after: FEED.into(), device: core });
    assert_eq!(refused, Err(Refusal::StandsTwice("radiator".into())));
}

#[test]
fn everything_with_a_name_is_listed_with_what_names_it() {
    let root = root();
    let all = things(&root);
    let of =
        |path: &str| all.iter().find(|thing| thing.path == path).unwrap_or_else(|| panic!("{path}: {all:?}"));
    assert_eq!(of(FEED).sort, "hose");
    // a limit and a variant name it; the source of the limit is prose
    assert_eq!(of(FEED).named_by, ["loops.stator.limits.1.device", "variants.flat.changes.1.1"]);
    assert_eq!(of("loops.stator.path.pumps.branches.A.path.pump A").named_by, ["failures.1.1"]);
    assert_eq!(all.iter().filter(|thing| thing.name == "radiator").count(), 1, "a core is listed once");
    let aircraft = aircraft();
    let all = things(&aircraft);
    let duct = all.iter().find(|thing| thing.path == "ducts.extra duct").unwrap();
    assert_eq!(duct.goes_with, ["cores.extra radiator"]);
    for thing in &all {
        let to = format!("{} renamed", thing.name);
        let rename = Revision::Rename { path: thing.path.clone(), to };
        match revise(&aircraft, &rename) {
            Ok(renamed) => {
                crate::design::apply(&renamed, None)
                    .unwrap_or_else(|problems| panic!("{}: {problems}", thing.path));
            }
            Err(Refusal::NameShared(..)) => {}
            Err(other) => panic!("{}: {other}", thing.path),
        }
    }
}
