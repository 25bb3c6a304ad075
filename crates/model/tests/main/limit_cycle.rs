//! Cases that keep no steady state: they are followed, and judged by their worst moments.
#![expect(clippy::unwrap_used, reason = "tests")]

use aircraft::records::project::Project;
use model::assembly::Situation;
use model::case;
use model::cases;
use model::design;
use model::mission::{Flight, FlyOptions, fly, schedule};
use model::result::{CaseResult, Status};
use testkit::assert_within;

/// The bench rig with its lab at 7,000 ft and a temperature, its heat-up held for three hours, and changes.
fn rig(outside: &str, changes: &[(&str, &str)]) -> Project {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects");
    let mut text = std::fs::read_to_string(format!("{folder}/rig.ron")).unwrap();
    let lab = format!("day: Fixed(\"{outside}\"), pressure_altitude: \"7000 ft\"");
    let held = "Segment(name: \"full heat\", duration: \"3 h\"";
    let usual = [
        ("day: Fixed(\"22 degC\")", lab.as_str()),
        ("Segment(name: \"full heat\", duration: \"15 min\"", held),
    ];
    for (from, to) in usual.iter().chain(changes) {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    let (node, problems) = project::parse(text.as_bytes());
    design::decode(&node.unwrap_or_else(|| panic!("{problems:?}"))).unwrap()
}

fn steady(project: &Project) -> CaseResult {
    let condition = project.conditions.iter().find(|c| c.name.as_str() == "lab").unwrap();
    let point = project.points.iter().find(|p| p.name.as_str() == "full heat").unwrap();
    case::solve(&Situation { project, condition, point, failure: None }).unwrap()
}

fn flown(project: &Project) -> Flight {
    let case =
        cases::missions(project).into_iter().find(|case| case.condition.name.as_str() == "lab").unwrap();
    fly(project, schedule(&case).unwrap(), None, &FlyOptions { accuracy_k: 0.02, max_gap_s: 2.0 })
}

/// Least and greatest temperature of the block in the third hour of full heat.
fn swing_k(flight: &Flight) -> (f64, f64) {
    let temperatures = flight.component_k("heater block");
    let third_hour = flight.times_s.iter().zip(&temperatures).filter(|(t, _)| (7200.0..10800.0).contains(*t));
    third_hour.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), (_, &k)| (least.min(k), most.max(k)))
}

/// Half as much heat again: with 4 kW the film rises too gently to swing.
const MORE_HEAT: (&str, &str) = ("value: \"4 kW\"", "value: \"6 kW\"");

/// By hand, from the steady states at -4.8 and -4.5 degC: coolant leaves at 42.76 and 43.09 degC, film of the plate 117.9 and
/// 122.0 W/K, so 12.6 W/K for each kelvin of coolant, times the 49 K to the wall: 12.6 x 49 = 617 W/K, which is more than the film itself.
/// A warmer coolant thus draws more heat from the wall, not less, until the wall has cooled: no state is kept between the
/// laminar and the turbulent film.
#[test]
fn a_film_between_laminar_and_turbulent_swings_as_a_mission_does() {
    let project = rig("-4.5 degC", &[MORE_HEAT]);
    let result = steady(&project);
    assert_eq!(result.status, Status::Hunting);
    let (min_k, greatest_k) = swing_k(&flown(&project));
    assert!(greatest_k - min_k > 4.0, "{min_k} {greatest_k}");
    let block = result.margins.iter().find(|m| m.place == "heater block").unwrap();
    assert_within("warmest moment, K", block.value, greatest_k, 0.1);
    let shown_k = result.components[0].temperature_k();
    assert!(min_k < shown_k && shown_k < greatest_k, "{shown_k}");
    let told = &result.notices.iter().find(|n| n.kind == "hunting").unwrap().message;
    let span = format!("between {:.1} and {:.1} degC", min_k - 273.15, greatest_k - 273.15);
    assert!(told.contains(&span), "{told}, not {span}");
    assert!(result.ledger.residual_w.abs() < 1e-6 * result.ledger.generated_w);
}

#[test]
fn beside_that_range_the_steady_state_is_kept() {
    for outside in ["-8 degC", "-2 degC"] {
        let project = rig(outside, &[MORE_HEAT]);
        let result = steady(&project);
        assert_eq!(result.status, Status::Solved, "{outside}: {:?}", result.notices);
        let (min_k, greatest_k) = swing_k(&flown(&project));
        assert_within("held, K", min_k, result.components[0].temperature_k(), 0.05);
        assert_within("held, K", greatest_k, result.components[0].temperature_k(), 0.05);
    }
}

/// A fan that switches by the block itself: the block goes from one of its temperatures to the other, and somewhat past them by
/// what the liquid still holds.
#[test]
fn a_switch_is_judged_by_the_turning_points_of_its_swing() {
    let control = "curve: [(\"0 m3/s\", \"320 Pa\"), (\"0.15 m3/s\", \"260 Pa\"), (\"0.3 m3/s\", \"120 Pa\"), (\"0.38 m3/s\", \"0 Pa\")],";
    let switched = format!(
        "{control} on_off: OnOff(sensor: \"heater block\", on_above: \"90 degC\", off_below: \"80 degC\", at_off: 0.2),"
    );
    let project = rig("22 degC", &[(control, &switched)]);
    let result = steady(&project);
    assert_eq!(result.status, Status::Hunting, "{:?} {:?}", result.notices, result.components);
    let (min_k, greatest_k) = swing_k(&flown(&project));
    let block = result.margins.iter().find(|m| m.place == "heater block").unwrap();
    assert_within("warmest moment, K", block.value, greatest_k, 0.1);
    assert!(greatest_k >= 90.0 + 273.15 && min_k <= 80.0 + 273.15, "{min_k} {greatest_k}");
}
