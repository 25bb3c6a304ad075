//! Random valid projects: every case ends in a state or in a named outcome.

mod run;

use model::result::Status;
use rayon::prelude::*;
use run::Ended;

/// Projects in this test; `examples/random_projects.rs` takes thousands.
const SEEDS: std::ops::RangeInclusive<u64> = 1..=400;
/// Steady cases taken of each.
const MAX_CASES: usize = 4;
/// Share of the heat turned over that a ledger may leave open.
const LEDGER_CLOSES_TO: f64 = 1e-6;

fn all() -> Vec<Ended> {
    let ended: Vec<Vec<Ended>> = SEEDS
        .into_par_iter()
        .map(|seed| run::run(seed, MAX_CASES).unwrap_or_else(|message| panic!("{message}")))
        .collect();
    ended.into_iter().flatten().collect()
}

fn told(ended: &[&Ended]) -> String {
    let lines: Vec<String> = ended
        .iter()
        .map(|e| format!("{} {}: {} {:?} {:.1e}", e.seed, e.case, e.says, e.not_finite, e.ledger))
        .collect();
    lines.join("\n")
}

#[test]
fn every_case_of_a_random_project_ends_in_a_state_or_a_named_outcome() {
    let all = all();
    assert!(all.len() > 1000, "only {} cases", all.len());
    let solved = all.iter().filter(|e| e.status == Status::Solved).count();
    assert!(
        solved * 10 > all.len() * 3,
        "only {solved} of {} are solved: the projects are no longer sensible",
        all.len()
    );
    assert!(all.iter().any(|e| e.is_mission && e.status == Status::Solved), "no mission is flown");
    assert!(all.iter().any(|e| e.at_shut_paths > 0), "no machine works against a shut path");
    let lost: Vec<&Ended> = all.iter().filter(|e| e.status == Status::NotConverged).collect();
    // 0.05 % is asked of ten thousand projects; of a sample of this size, no more than one case
    assert!(lost.len() <= 1, "{} of {} cases are not converged:\n{}", lost.len(), all.len(), told(&lost));
    let endless: Vec<&Ended> = all.iter().filter(|e| e.not_finite.is_some()).collect();
    assert!(endless.is_empty(), "numbers that are not finite:\n{}", told(&endless));
    let open: Vec<&Ended> =
        all.iter().filter(|e| e.status.can_be_judged() && !(e.ledger <= LEDGER_CLOSES_TO)).collect();
    assert!(open.is_empty(), "ledgers that do not close:\n{}", told(&open));
}

#[test]
fn every_device_and_law_occurs_in_two_per_cent_of_the_projects() {
    let texts: Vec<String> = SEEDS.map(testkit::random_project).collect();
    let least = texts.len() / 50;
    for word in testkit::WORDS {
        let count = texts.iter().filter(|text| text.contains(word)).count();
        assert!(count >= least, "{word} occurs in {count} of {} projects", texts.len());
    }
    let failing = texts.iter().filter(|text| text.contains("failures: [\n")).count();
    assert!(
        (texts.len() * 2 / 5..=texts.len() * 3 / 5).contains(&failing),
        "{failing} projects have failures"
    );
}

fn kept(name: &str) -> Vec<Ended> {
    let path = format!("{}/tests/random/kept/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    run::run_text(0, &text, usize::MAX).unwrap_or_else(|message| panic!("{name}: {message}"))
}

/// Projects of which a case was once lost, as they were then.
#[test]
fn what_was_lost_once_is_not_lost_again() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/random/kept");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).expect("the folder of kept projects") {
        let name = entry.expect("an entry").file_name().into_string().expect("a plain name");
        let ended = kept(&name);
        let lost: Vec<&Ended> = ended.iter().filter(|e| e.status == Status::NotConverged).collect();
        assert!(lost.is_empty(), "{name}:\n{}", told(&lost));
        count += 1;
    }
    assert!(count > 5, "only {count} projects were found");
}

/// A weak fan whose flap a strong fan beside it holds shut: the case is solved and the fan named.
#[test]
fn a_weak_fan_beside_a_strong_one_is_named() {
    let ended = kept("weak-fan-beside-strong.ron");
    assert!(ended.iter().all(|e| e.status == Status::Solved), "{}", told(&ended.iter().collect::<Vec<_>>()));
    assert!(ended.iter().any(|e| !e.is_mission && e.at_shut_paths > 0), "no fan is named");
}

/// A steady case without equilibrium, by an earlier version, whose flight settled: the flight of twelve hours ends at the steady state.
#[test]
fn the_steady_state_is_where_twelve_hours_end() {
    let text = include_str!("kept/noeq-but-settles-1017.ron");
    let (node, _) = project::parse(text.as_bytes());
    let project = model::design::decode(&node.expect("a tree")).expect("a valid project");
    let steady: Vec<_> = model::cases::steady(&project)
        .iter()
        .map(|case| {
            (
                case.name().to_string(),
                model::case::solve(case).unwrap_or_else(|p| panic!("{}: {p:?}", case.name())),
            )
        })
        .collect();
    let mut compared = 0;
    for case in model::cases::missions(&project) {
        let name = case.name().to_string();
        let same = name.replace("/Mlow", "/low").replace("/Mzero", "/zero");
        let (_, at_rest) = steady.iter().find(|(n, _)| *n == same).expect("the point of the mission");
        if at_rest.status != Status::Solved {
            // glycol of 35 % stands still at -40 degC, and says so
            assert_eq!(
                (at_rest.status, name.starts_with("cold40")),
                (Status::InsufficientPumpHead, true),
                "{same}"
            );
            // the flight goes on with the glycol at rest, and says the same of it
            let flight = studies::missions::fly_case(&case, &model::mission::FlyOptions::default())
                .unwrap_or_else(|error| panic!("{name}: {error}"));
            let kind = Status::InsufficientPumpHead.word();
            let says = |notices: &[model::result::Notice]| -> Vec<String> {
                notices.iter().filter(|n| n.kind == kind).map(|n| n.place.clone()).collect()
            };
            let of_flight = says(&flight.notices);
            assert!(
                says(&at_rest.notices).iter().all(|place| of_flight.contains(place)),
                "{name}: {of_flight:?}"
            );
            assert!(!of_flight.is_empty(), "{name}");
            continue;
        }
        let flight = studies::missions::fly_case(&case, &model::mission::FlyOptions::default())
            .unwrap_or_else(|error| panic!("{name}: {error}"));
        assert_eq!(flight.status, Status::Solved, "{name}");
        assert!(flight.duration_s() >= 43200.0, "{name}");
        for part in &at_rest.components {
            let ends = *flight.component_k(&part.name).last().expect("a sample");
            let off = ends - part.temperature_k();
            assert!(off.abs() < 0.05, "{name}: {} is {off} K off its steady state", part.name);
            compared += 1;
        }
    }
    assert!(compared >= 60, "only {compared} temperatures were compared");
}
