//! Every demo project opens, every variant solves, and every ledger closes.

use aircraft::variant::Varied;
use model::assembly::Situation;
use model::case;
use model::design;
use model::result::{CaseResult, Margin, MarginKind, Status};

pub(crate) fn demos() -> Vec<(String, String)> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
    let mut all: Vec<(String, String)> = std::fs::read_dir(folder)
        .expect("the demo projects are part of the tree")
        .filter_map(|entry| {
            let path = entry.ok()?.path();
            let name = path.file_stem()?.to_str()?.to_owned();
            (path.extension()? == "ron")
                .then(|| std::fs::read_to_string(&path).ok().map(|text| (name, text)))?
        })
        .collect();
    all.sort();
    assert!(!all.is_empty(), "no demo project was found");
    all
}

pub(crate) fn varied(text: &str, name: &str) -> Vec<Varied> {
    let (node, problems) = project::parse(text.as_bytes());
    assert!(!problems.has_errors(), "{name}: {problems}");
    let node = node.expect("a tree was read");
    let base = design::apply(&node, None).unwrap_or_else(|p| panic!("{name}: {p}"));
    let names: Vec<String> = base.project.variants.iter().map(|v| v.name.as_str().to_owned()).collect();
    let mut all = vec![base];
    for variant in names {
        all.push(design::apply(&node, Some(&variant)).unwrap_or_else(|p| panic!("{name}, {variant}: {p}")));
    }
    all
}

fn results(varied: &Varied) -> Vec<CaseResult> {
    let project = &varied.project;
    let mut all = Vec::new();
    for group in &project.cases {
        for condition in
            project.conditions.iter().filter(|c| group.conditions.iter().any(|n| n == c.name.as_str()))
        {
            for point in project.points.iter().filter(|p| group.points.iter().any(|n| n == p.name.as_str())) {
                let failures =
                    project.failures.iter().filter(|f| group.failures.iter().any(|n| n == f.name.as_str()));
                for failure in std::iter::once(None).chain(failures.map(Some)) {
                    let situation = Situation { project, condition, point, failure };
                    all.push(case::solve(&situation).unwrap_or_else(|p| panic!("{}: {p:?}", varied.name)));
                }
            }
        }
    }
    all
}

#[test]
fn every_ledger_of_every_variant_closes() {
    for (name, text) in demos() {
        for varied in varied(&text, &name) {
            for result in results(&varied) {
                if result.status == Status::Solved {
                    let ledger = result.ledger;
                    assert!(
                        ledger.residual_w.abs() < 1e-6 * ledger.generated_w,
                        "{name}, {}, {}: {ledger:?}",
                        varied.name,
                        result.case
                    );
                }
            }
        }
    }
}

#[test]
fn the_base_design_of_every_demo_holds_every_margin() {
    for (name, text) in demos() {
        let base = &varied(&text, &name)[0];
        for result in results(base) {
            assert_eq!(result.status, Status::Solved, "{name}, {}: {:?}", result.case, result.notices);
            for margin in &result.margins {
                assert!(!margin.is_short(), "{name}, {}: {margin:?}", result.case);
            }
        }
    }
}

/// Name of a cooling system, and the parts and coolants that it is there for.
type CoolingSystem = (&'static str, &'static [&'static str]);

/// What each cooling system of the two aircraft is there for: the hottest of the named parts and coolants of every system keeps the margin
/// required of it and stands within 25 K of that, in some steady case. More would say that nobody had sized it.
#[test]
fn every_cooling_system_of_the_aircraft_is_sized_by_a_limit() {
    let systems: [(&str, &[CoolingSystem]); 2] = [
        (
            "tug",
            &[
                ("stator jackets", &["left winding", "right winding"]),
                ("inverters", &["left plate", "left inverter", "right inverter"]),
                ("rotor air", &["left rotor", "right rotor"]),
                ("gearbox oil", &["gearbox sump"]),
                ("battery", &["cells"]),
            ],
        ),
        (
            "rescue",
            &[
                // one loop for each drive: what its jacket may take is what the plate before it leaves
                ("stator jackets and inverters, left", &["left plate"]),
                ("stator jackets and inverters, right", &["right plate"]),
                ("rotor air", &["left rotor", "right rotor"]),
                ("gearbox oil", &["gearbox sump", "sump"]),
                ("battery", &["cells"]),
            ],
        ),
    ];
    for (name, text) in demos() {
        let Some((_, systems)) = systems.iter().find(|(demo, _)| *demo == name) else { continue };
        let all = results(&varied(&text, &name)[0]);
        for (system, places) in *systems {
            let is_hot = |m: &&Margin| places.contains(&m.place.as_str()) && m.kind == MarginKind::Maximum;
            let hot = all.iter().flat_map(|result| &result.margins).filter(is_hot);
            let least = hot.map(Margin::reserve).fold(f64::INFINITY, f64::min);
            assert!((0.0..=25.0).contains(&least), "{name}, {system}: {least} K to spare");
        }
    }
}

/// The core of the rig by hand: the heat of the exhaust is what heater, pump and fan put in, less what the cabinet passes.
#[test]
fn the_rig_rejects_what_its_heater_pump_and_fan_put_in() {
    let (name, text) = demos().into_iter().find(|(name, _)| name == "rig").expect("the rig is a demo");
    let base = &varied(&text, &name)[0];
    let result = results(base).into_iter().next().expect("the rig has cases");
    let line = |what: &str| result.lines.iter().find(|l| l.what == what).map_or(0.0, |l| l.heat_w);
    let machines = result.loops[0].power_w + result.ducts[0].power_w;
    let generated = 4000.0 + machines;
    let rejected = line("exhaust of radiator duct") + line("cabinet wall");
    // the density of the coolant varies round the loop, so pump work and friction differ by some milliwatts
    assert!((generated - rejected).abs() < 0.05, "{generated} {rejected}");
    let duct = &result.ducts[0];
    let exhaust = duct.stations.last().expect("a duct has stations");
    // m cp dT with cp 1006.5 J/(kg K) at 25 degC (CoolProp 8.0.0, air at 1 bar): within half a per cent
    let by_hand = duct.mass_flow_kg_s * 1006.5 * (exhaust.temperature_out_k - 295.15);
    assert!((by_hand / line("exhaust of radiator duct") - 1.0).abs() < 5e-3, "{by_hand}");
}

#[test]
fn a_text_edit_of_one_input_changes_the_result() {
    let (name, text) = demos().into_iter().find(|(name, _)| name == "rig").expect("the rig is a demo");
    let base = results(&varied(&text, &name)[0]);
    let smaller = results(&varied(&text.replace("width: \"240 mm\"", "width: \"120 mm\""), &name)[0]);
    let heater = |all: &[CaseResult]| all[0].components[0].temperature_k();
    assert!(heater(&smaller) > heater(&base) + 1.0, "a narrower radiator runs hotter");
}
