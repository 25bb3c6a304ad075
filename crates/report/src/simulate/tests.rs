use super::{FinishedStep, Story, page, passed_limits};
use crate::clock;
use crate::history::HistoryColumn;
use model::case_name::CaseName;
use model::mission::StepEnd;
use model::mission::{FlyOptions, HeatOverTime};
use model::result::{CaseResult, ComponentResult, Ledger, Margin, MarginKind, Statistics, Status};
use serde_json::Value;
use std::sync::atomic::AtomicBool;

fn sample(temperature_k: f64) -> CaseResult {
    let margin = Margin {
        place: "plate".to_owned(),
        limit: "glue".to_owned(),
        kind: MarginKind::Maximum,
        value: temperature_k,
        limit_value: 350.0,
        nominal_limit: None,
        margin: 350.0 - temperature_k,
        required: 5.0,
        required_by: model::evidence::RequiredBy::Limit,
        source: None,
        owner: None,
    };
    let case = CaseName { condition: "warm".to_owned(), point: "run".to_owned(), failure: None };
    CaseResult {
        case,
        status: Status::Solved,
        components: vec![ComponentResult {
            name: "plate".to_owned(),
            segments_k: vec![temperature_k, temperature_k - 1.0],
            hot_spot_k: temperature_k,
            heat_w: 10.0,
        }],
        loops: Vec::new(),
        ducts: Vec::new(),
        exchangers: Vec::new(),
        links: Vec::new(),
        electric: None,
        margins: vec![margin],
        ledger: Ledger::default(),
        lines: Vec::new(),
        notices: Vec::new(),
        statistics: Statistics::default(),
    }
}

fn story() -> Story {
    let samples = vec![sample(300.0), sample(340.0), sample(360.0), sample(345.0)];
    let times_s = vec![0.0, 10.0, 20.0, 3620.0];
    Story {
        case: samples[0].case.clone(),
        status: Status::Solved,
        notices: Vec::new(),
        events: passed_limits(&times_s, &samples),
        times_s,
        state_of_charge: Vec::new(),
        steps: vec![FinishedStep {
            label: "heat".to_owned(),
            start_s: 0.0,
            end_s: 3620.0,
            ended: StepEnd::TimeUp,
            last: Some(3),
        }],
        heat: HeatOverTime {
            generated_j: 300.0,
            stored_j: 100.0,
            rejected_j: 200.0,
            residual_j: 5e-5,
            turnover_j: 500.0,
        },
        margins: vec![model::mission::TimedMargin { margin: samples[2].margins[0].clone(), time_s: 20.0 }],
        power_lost: None,
        samples,
    }
}

/// By hand: from 340 K to 360 K in 10 s the 350 K are met after 5 s; back from 360 K to 345 K in 3600 s after 2400 s.
#[test]
fn passing_a_limit_and_coming_back_are_events_on_the_straight_line() {
    let times: Vec<f64> = story().events.iter().map(|event| event.time_s).collect();
    assert!((times[0] - 15.0).abs() < 1e-9 && (times[1] - 2420.0).abs() < 1e-9, "{times:?}");
    assert_eq!(story().events[0].what, "plate passes its limit: glue");
}

#[test]
fn the_sheet_names_peak_time_margin_and_residual_within_100_columns() {
    let story = story();
    assert_eq!(story.standing().standing, model::standing::Standing::PastLimit);
    let text = page(&story);
    // 360 K are 86.85 degC; residual 5e-5 J of 500 J turned over is 1e-7
    for part in [
        "86.9",
        "0:00:20",
        "PAST LIMIT -15.0 K",
        "Least reserve -15.0 K, past the limit: margin -10.0 K, 5.0 K required",
        "1:00:20",
        "1.0e-7 of the heat turned over",
    ] {
        assert!(text.contains(part), "{part} is missing in\n{text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
}

#[test]
fn numbers_become_arrays_over_time_and_names_stay() {
    let parts = super::over_time(&story());
    let plate = &parts["components"][0];
    assert_eq!(plate["name"], "plate");
    assert_eq!(plate["temperature_K"], serde_json::json!([300.0, 340.0, 360.0, 345.0]));
    assert_eq!(plate["segments_K"][1], serde_json::json!([299.0, 339.0, 359.0, 344.0]));
}

#[test]
fn a_time_history_has_a_row_for_each_sample() {
    let story = story();
    let table = super::table(&story).expect("plain columns");
    assert_eq!(table.rows(), 4);
    let column = table.columns().iter().find(|column| column.head() == "components/plate/temperature_K");
    assert_eq!(column.expect("the column exists").values, [300.0, 340.0, 360.0, 345.0]);
}

#[test]
fn a_clock_carries_rounded_seconds() {
    assert_eq!(
        (clock(59.96), clock(3599.99), clock(3725.5)),
        ("0:01:00".into(), "1:00:00".into(), "1:02:06".into())
    );
}

/// Paths of all arrays of numbers in a value, with the name of a part in place of its number; a number of a list stands before the unit of
/// its key.
fn paths(path: &str, value: &Value, found: &mut Vec<(String, Vec<Option<f64>>)>) {
    match value {
        Value::Object(fields) => {
            for (key, value) in fields {
                let below = if key == "stations" { path.to_owned() } else { format!("{path}/{key}") };
                paths(&below, value, found);
            }
        }
        Value::Array(items) if items.iter().any(|item| item.is_object() || item.is_array()) => {
            for (number, item) in items.iter().enumerate() {
                let below = match (item["name"].as_str(), path.strip_suffix("_K")) {
                    (Some(name), _) => format!("{path}/{name}"),
                    (None, Some(list)) => format!("{list}/{}_K", number + 1),
                    (None, None) => format!("{path}/{}", number + 1),
                };
                paths(&below, item, found);
            }
        }
        Value::Array(items) if items.iter().any(Value::is_number) => {
            found.push((path.to_owned(), items.iter().map(Value::as_f64).collect()));
        }
        _ => {}
    }
}

/// Every number of the JSON is a column under its path, in the same order, and no more.
#[test]
fn the_table_has_the_numbers_of_the_json() {
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/tug.ron");
    let (node, problems) = project::parse(&std::fs::read(demo).expect("the demo can be read"));
    assert!(problems.is_empty(), "{problems}");
    let varied = model::design::apply(&node.expect("a project"), None).expect("it is valid");
    let cases = studies::missions::chosen(&varied.project, &[]).expect("there are missions");
    let (options, cancelled) = (FlyOptions::default(), AtomicBool::new(false));
    let flights = studies::missions::fly(&cases[..1], &options, &cancelled, |_| ()).expect("it flies");
    let story = Story::of(&varied.project, cases[0].name(), &flights[0]);
    let mut wanted = Vec::new();
    for (key, value) in super::over_time(&story) {
        paths(&key, &value, &mut wanted);
    }
    let table = super::table(&story).expect("plain columns");
    let heads: Vec<String> = table.columns()[2..].iter().map(HistoryColumn::head).collect();
    assert_eq!(heads, wanted.iter().map(|(path, _)| path.clone()).collect::<Vec<_>>());
    for (column, (path, values)) in table.columns()[2..].iter().zip(&wanted) {
        let read: Vec<Option<f64>> =
            column.values.iter().map(|value| Some(*value).filter(|value| value.is_finite())).collect();
        assert_eq!(read, *values, "{path}");
    }
    assert!(heads.len() > 100, "{heads:?}");
}
