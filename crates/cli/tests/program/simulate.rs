//! `simulate`: missions over time as text, JSON and files.

use crate::run::{has_keys, run};
use serde_json::Value;

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().expect("a list").iter().map(|v| v.as_f64().expect("a number")).collect()
}

#[test]
fn every_mission_of_the_demos_closes_its_heat_book() {
    for demo in ["demo:tug", "demo:rescue", "demo:rig"] {
        let ended = run(&["simulate", demo, "--json"]);
        assert_eq!(ended.code, 0, "{demo}: {}", ended.err);
        let value = ended.json();
        let results = value["results"].as_array().expect("results");
        assert!(!results.is_empty());
        for result in results {
            has_keys(
                result,
                &["components", "loops", "ducts", "state_of_charge", "pack_current_A", "margins", "notices"],
            );
            let ledger = &result["ledger"];
            let joules = |key: &str| ledger[key].as_f64().expect("a number");
            assert!(joules("residual_J").abs() <= 1e-6 * joules("turnover_J"), "{}", result["case"]);
            let balance = joules("generated_J") - joules("stored_J") - joules("rejected_J");
            assert!((balance - joules("residual_J")).abs() <= 1e-9 * joules("turnover_J"), "{ledger}");
            let times = numbers(&result["time_s"]);
            assert!(times.windows(2).all(|pair| pair[0] <= pair[1]));
            for peak in result["peaks"].as_array().expect("peaks") {
                let all = result["components"].as_array().expect("components");
                let own = all.iter().find(|c| c["name"] == peak["component"]).expect("the component");
                let temperatures = numbers(&own["temperature_K"]);
                assert_eq!(temperatures.len(), times.len());
                let highest = temperatures.into_iter().fold(f64::NEG_INFINITY, f64::max);
                assert_eq!(peak["temperature_K"].as_f64(), Some(highest));
            }
        }
    }
}

#[test]
fn a_mission_with_a_failure_is_told_and_chosen_by_name() {
    let ended = run(&["simulate", "demo:rig", "--case", "lab/heat up and cool down"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    for part in [
        "Case lab/heat up and cool down: solved",
        "heater block",
        "cool down begins",
        "of the heat turned over",
    ] {
        assert!(ended.out.contains(part), "{part} is missing in\n{}", ended.out);
    }
    assert!(ended.out.lines().all(|line| line.chars().count() <= 100));
    let strange = run(&["simulate", "demo:rig", "--case", "lab/nothing"]);
    assert_eq!(strange.code, 1);
    assert!(strange.err.contains("lab/heat up and cool down"), "{}", strange.err);
}

#[test]
fn time_histories_are_written_beside_their_description() {
    let folder = tempfile::tempdir().expect("a temporary folder can be made");
    let place = folder.path().join("histories");
    let path = place.to_str().expect("a plain path");
    let case = "lab/heat up and cool down";
    let ended = run(&["simulate", "demo:rig", "--case", case, "--csv", path]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let table = std::fs::read_to_string(place.join("lab_heat-up-and-cool-down.csv")).expect("the table");
    let json = run(&["simulate", "demo:rig", "--case", case, "--json"]).json();
    let block = &json["results"][0]["components"][0]["temperature_K"];
    let mut lines = table.lines();
    let heads: Vec<&str> = lines.next().expect("a head").split(',').collect();
    let column =
        heads.iter().position(|head| *head == "components/heater block/temperature_K").expect("a column");
    let cells =
        lines.map(|line| line.split(',').nth(column).and_then(|cell| cell.parse().ok()).expect("a number"));
    assert_eq!(cells.collect::<Vec<f64>>(), numbers(block));
    let described = std::fs::read_to_string(place.join("lab_heat-up-and-cool-down.csv-metadata.json"))
        .expect("the description");
    let described: Value = serde_json::from_str(&described).expect("JSON");
    assert_eq!(described["tableSchema"]["columns"].as_array().map(Vec::len), Some(heads.len()));
    let ended = run(&["simulate", "demo:rig", "--case", case, "--parquet", path]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let bytes = std::fs::read(place.join("lab_heat-up-and-cool-down.parquet")).expect("the file");
    assert!(bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"));
}

#[test]
fn a_day_of_tows_repeats_itself() {
    let ended = run(&["simulate", "demo", "--case", "hot day/tow day", "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let value = ended.json();
    assert!(value["results"].as_array().expect("results").is_empty());
    let chain = &value["chains"][0];
    assert_eq!(chain["repeats"], true);
    let days = chain["days"].as_array().expect("days");
    let last = days.last().expect("a day");
    assert!(
        last["difference_K"].as_f64().expect("a number") <= chain["tolerance_K"].as_f64().expect("a number")
    );
    let legs = last["legs"].as_array().expect("legs");
    // eight tows, each with its turnaround
    assert_eq!(legs.len(), 16);
    for pair in legs.windows(2) {
        let at = |leg: &Value, key: &str| leg[key].as_f64().expect("a number");
        // one leg begins where the other ends, in time, temperature and charge
        let end_s = at(&pair[0], "start_s") + at(&pair[0], "duration_s");
        assert!((at(&pair[1], "start_s") - end_s).abs() < 1e-6);
        assert!((at(&pair[1], "pack_start_K") - at(&pair[0], "pack_end_K")).abs() < 1e-3);
        assert!((at(&pair[1], "state_of_charge_start") - at(&pair[0], "state_of_charge_end")).abs() < 1e-6);
    }
}
