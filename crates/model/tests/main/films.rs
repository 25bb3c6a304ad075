//! Films and hoses between laminar and turbulent flow, cooled liquids, and the place of films between published laws.
#![expect(clippy::unwrap_used, reason = "tests")]

use aircraft::records::project::Project;
use correlations::internal;
use media::Liquid;
use model::assembly::{Situation, assemble};
use model::case::{self, COLD_WALL_KIND, DECIDES_BELOW_K, TRANSITION};
use model::cases;
use model::design;
use model::mission::{FlyOptions, fly, schedule};
use model::result::{CaseResult, Notice, StationResult, Status};
use solver::{LimitCycle, SteadyOptions, SteadySolver};
use std::sync::Arc;
use testkit::{assert_close, assert_within};

const ROOT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../..");

fn read(file: &str, changes: &[(&str, &str)]) -> Project {
    let mut text = std::fs::read_to_string(format!("{ROOT}/{file}")).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    let (node, problems) = project::parse(text.as_bytes());
    design::decode(&node.unwrap_or_else(|| panic!("{problems:?}"))).unwrap()
}

fn solved(project: &Project, condition: &str, point: &str) -> CaseResult {
    let condition = project.conditions.iter().find(|c| c.name.as_str() == condition).unwrap();
    let point = project.points.iter().find(|p| p.name.as_str() == point).unwrap();
    case::solve(&Situation { project, condition, point, failure: None }).unwrap()
}

/// The bench rig in a cold lab, its block limited to a temperature.
fn cold_rig(lab: &str, limit: &str, policy: &str) -> Project {
    read(
        "demo-projects/rig.ron",
        &[
            ("day: Fixed(\"22 degC\")", &format!("day: Fixed(\"{lab}\")")),
            ("Limit(value: \"110 degC\"", &format!("Limit(value: \"{limit}\"")),
            (
                "policy: Policy(credibility: Correlated)",
                &format!("policy: Policy(credibility: Correlated{policy})"),
            ),
        ],
    )
}

fn station<'a>(result: &'a CaseResult, name: &str) -> &'a StationResult {
    result.loops.iter().flat_map(|l| &l.stations).find(|s| s.name == name).unwrap()
}

fn told<'a>(result: &'a CaseResult, kind: &str, place: &str) -> Option<&'a Notice> {
    result.notices.iter().find(|n| n.kind == kind && n.place == place)
}

/// Fourteen channels of 3 mm by 8 mm, 0.28 m long: Dh = 2 x 3 x 8/11 mm = 4.363636 mm, area 14 x 24 mm2 = 336 mm2. Reynolds number and
/// published ratio of the plate from its flow and mean temperature.
fn plate_state(result: &CaseResult) -> (f64, f64) {
    let plate = station(result, "plate");
    let glycol = Liquid::named("ethylene-glycol:0.5vol").unwrap();
    let mean_k = 0.5 * (plate.temperature_in_k + plate.temperature_out_k);
    let diameter_m = 4.363_636_363_6e-3;
    let reynolds = plate.mass_flow_kg_s * diameter_m / (336e-6 * glycol.viscosity(mean_k));
    let ratio = internal::heat_atlas_ratio(
        reynolds,
        glycol.prandtl(mean_k),
        0.28 / diameter_m,
        1.5e-6 / diameter_m,
        correlations::duct_laminar::nusselt_t(3.0 / 8.0),
    );
    (reynolds, ratio)
}

#[test]
fn a_plate_in_the_transition_is_told_with_its_scatter_where_it_decides() {
    let warm = solved(&cold_rig("22 degC", "110 degC", ""), "lab", "full heat");
    let block_k = warm.components[0].temperature_k();
    let (mut in_transition, mut decided) = (0, 0);
    for lab in [5.0, 18.0, 22.0, 30.0, 40.0] {
        for above_k in [10.0, 60.0] {
            let limit = format!("{} K", block_k + above_k);
            let result = solved(&cold_rig(&format!("{lab} degC"), &limit, ""), "lab", "full heat");
            if result.status != Status::Solved {
                continue;
            }
            let (reynolds, ratio) = plate_state(&result);
            let block = result.margins.iter().find(|m| m.place == "heater block").unwrap();
            let boiling = result.margins.iter().find(|m| m.limit == "boiling").unwrap();
            let decides = block.reserve().min(boiling.reserve()) < DECIDES_BELOW_K;
            let notice = told(&result, TRANSITION, "plate");
            let is_between = (2300.0..4000.0).contains(&reynolds);
            assert_eq!(
                notice.is_some(),
                is_between && decides,
                "{lab} degC, Re {reynolds}: {:?}",
                result.notices
            );
            in_transition += usize::from(is_between);
            if let Some(notice) = notice {
                decided += 1;
                let said = [format!("Re {reynolds:.0}"), format!("{:+.0} %", 100.0 * (ratio - 1.0))];
                for words in said {
                    assert!(notice.message.contains(&words), "{words}: {}", notice.message);
                }
            }
        }
    }
    assert!(in_transition > decided && decided > 0, "{in_transition} {decided}");
}

/// A film at the worst place is the film of the law times the Heat Atlas ratio of its own state (where that is below 1); at the best place it is
/// the law itself there.
#[test]
fn the_place_between_published_laws_moves_the_film_by_the_ratio_of_the_wall() {
    for lab in ["5 degC", "22 degC", "40 degC"] {
        let at = |place: f64| {
            let policy = format!(", relations: RelationFactors(tube_law: {place})");
            solved(&cold_rig(lab, "150 degC", &policy), "lab", "full heat")
        };
        let (law, worst, best) = (at(0.0), at(1.0), at(-1.0));
        for result in [&law, &worst, &best] {
            assert!(result.status.can_be_judged(), "{:?}", result.notices);
        }
        if [&law, &worst, &best].iter().any(|result| result.status != Status::Solved) {
            continue;
        }
        // the plate of each state by the law, at that state
        let by_law = |result: &CaseResult| {
            let plate = station(result, "plate");
            let glycol = Liquid::named("ethylene-glycol:0.5vol").unwrap();
            let mean_k = 0.5 * (plate.temperature_in_k + plate.temperature_out_k);
            let (reynolds, _) = plate_state(result);
            let diameter_m = 4.363_636_363_6e-3;
            let nusselt = internal::nusselt_developing_laminar_turbulent(
                reynolds,
                glycol.prandtl(mean_k),
                0.28 / diameter_m,
                1.5e-6 / diameter_m,
                correlations::duct_laminar::nusselt_t(3.0 / 8.0),
            );
            // wetted: 14 x 2 x 11 mm x 0.28 m = 0.08624 m2
            nusselt * glycol.conductivity(mean_k) * 0.08624 / diameter_m
        };
        let film = |result: &CaseResult| station(result, "plate").conductance_w_k;
        assert_close("law", film(&law), by_law(&law), 1e-6);
        let (_, ratio) = plate_state(&worst);
        let lesser = film(&worst) / by_law(&worst);
        assert!(
            lesser <= ratio.min(1.0) * (1.0 + 1e-9) && lesser > ratio.min(1.0) * 0.98,
            "{lab}: {lesser} {ratio}"
        );
        let (_, ratio) = plate_state(&best);
        let greater = film(&best) / by_law(&best);
        assert!(
            greater >= ratio.max(1.0) * (1.0 - 1e-9) && greater < ratio.max(1.0) * 1.02,
            "{lab}: {greater}"
        );
    }
}

/// Oil at the walls of a cooler: the wall is colder than the oil, its Prandtl number higher.
#[test]
fn a_wall_colder_than_its_oil_is_told() {
    let oil = [
        ("fluid: \"ethylene-glycol:0.5vol\"", "fluid: \"iso-vg-32\""),
        ("day: Fixed(\"22 degC\")", "day: Fixed(\"0 degC\")"),
    ];
    let project = read("demo-projects/rig.ron", &oil);
    let result = solved(&project, "lab", "full heat");
    assert_eq!(result.status, Status::Solved, "{:?}", result.notices);
    let notice = told(&result, COLD_WALL_KIND, "radiator").expect("the wall of the radiator is colder");
    // between the oil and the air, nearer to the oil: the factor lies between 1 and that of a wall as cold as the air
    let radiator = station(&result, "radiator");
    let liquid = Liquid::named("iso-vg-32").unwrap();
    let mean_k = 0.5 * (radiator.temperature_in_k + radiator.temperature_out_k);
    let coldest = (liquid.prandtl(mean_k) / liquid.prandtl(273.15)).powf(0.11);
    let factor: f64 = notice.message.split("^0.11 is ").nth(1).unwrap()[..4].parse().unwrap();
    assert!(coldest < factor && factor < 0.95, "{coldest} {factor}");
    // the plate, which warms it, is not told, and no film is raised by its warm wall
    assert!(told(&result, COLD_WALL_KIND, "plate").is_none());
    let worst = read(
        "demo-projects/rig.ron",
        &[
            oil[0],
            oil[1],
            (
                "Policy(credibility: Correlated)",
                "Policy(credibility: Correlated, relations: RelationFactors(tube_law: 1))",
            ),
        ],
    );
    let worst = solved(&worst, "lab", "full heat");
    assert!(worst.components[0].temperature_k() > result.components[0].temperature_k());
}

/// A flight tells the same at the moment of the least reserve.
#[test]
fn a_flight_tells_the_film_that_decides_it() {
    for lab in [16.0, 18.0, 22.0] {
        let project = cold_rig(&format!("{lab} degC"), "60 degC", "");
        let case =
            cases::missions(&project).into_iter().find(|case| case.condition.name.as_str() == "lab").unwrap();
        let flight = fly(&project, schedule(&case).unwrap(), None, &FlyOptions::default());
        let margins = flight.margins(&project);
        let block = margins.iter().find(|timed| timed.margin.place == "heater block").unwrap();
        let at = flight.times_s.iter().position(|time| *time == block.time_s).unwrap();
        let (reynolds, _) = plate_state(&flight.case_at(&project, at));
        if !(2310.0..3990.0).contains(&reynolds) {
            continue;
        }
        let all = flight.told(&project, &margins);
        let notice = all.iter().find(|n| n.kind == TRANSITION && n.place == "plate").expect("it decides");
        assert!(notice.message.contains("at ") && notice.message.contains(" s: Re "), "{}", notice.message);
        assert!(
            flight.notices.iter().all(|n| n.kind != TRANSITION),
            "what the run itself has to tell stays apart"
        );
        return;
    }
    panic!("no lab temperature puts the plate into the transition");
}

/// A jacket in the transition that swung by 3.2 K every 349 s with the steep film of before. Its flow now stands at Re 2431.
#[test]
fn the_jacket_in_the_transition_keeps_still() {
    let project = read("tests/repro/hunting-jacket.ron", &[]);
    let result = solved(&project, "ISA", "HOGE");
    assert_eq!(result.status, Status::Solved, "{:?}", result.notices);
    assert!(result.ledger.residual_w.abs() < 1e-6 * result.ledger.generated_w);
    let jacket = station(&result, "left jacket");
    let glycol = Liquid::named("ethylene-glycol:0.5vol").unwrap();
    // eight channels of 4 mm by 8 mm: Dh 5.3333 mm, area 256 mm2
    let mean_k = 0.5 * (jacket.temperature_in_k + jacket.temperature_out_k);
    let reynolds = jacket.mass_flow_kg_s * 5.333_333e-3 / (256e-6 * glycol.viscosity(mean_k));
    assert!((2300.0..4000.0).contains(&reynolds), "between laminar and turbulent flow: {reynolds}");
    // followed over time from half a kelvin beside it, at the same charge, it comes back
    let condition = project.conditions.iter().find(|c| c.name.as_str() == "ISA").unwrap();
    let point = project.points.iter().find(|p| p.name.as_str() == "HOGE").unwrap();
    let situation = Situation { project: &project, condition, point, failure: None };
    let network = assemble(situation).unwrap().network;
    let mut steady = SteadySolver::new(Arc::unwrap_or_clone(network));
    let solution = steady.solve(&SteadyOptions::default()).unwrap();
    match steady.network().follow_limit_cycle(&solution).unwrap() {
        LimitCycle::Settles { solution: rest, .. } => {
            let components = steady.network().components();
            for (there, back) in solution.state()[..components].iter().zip(&rest.state()[..components]) {
                assert_within("comes back, K", *back, *there, 0.02);
            }
        }
        LimitCycle::Swings(swing) => panic!("it swings with a period of {:?} s", swing.period_s),
    }
}
