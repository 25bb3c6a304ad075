//! Hot spots over time, and the margins of flights without the rest of their results.
#![expect(clippy::unwrap_used, reason = "tests")]

use aircraft::records::project::Project;
use model::cases;
use model::design;
use model::mission::{self, Flight, FlyOptions, Moment, Then, TimedMargin, fly, schedule};
use model::rating::RatingClock;
use model::result::{Margin, MarginKind};
use testkit::assert_within;

fn read(text: &str) -> Project {
    let (node, problems) = project::parse(text.as_bytes());
    design::decode(&node.unwrap_or_else(|| panic!("{problems:?}"))).unwrap_or_else(|p| panic!("{p}"))
}

/// A winding with 1 kW for two minutes and nothing for one; its hot spot is 0.01 K/W above it, with a lag.
fn winding(start: &str, lag: &str) -> (Project, Flight) {
    let text = r#"Project(format: "heatledger", version: 1, name: "late",
conditions: [Condition(name: "day", day: Fixed("20 degC"))],
components: [Component(name: "winding", capacity: "5 kJ/K", hot_spot: HotSpot(per_heat: "0.01 K/W"LAG),
    limits: [Limit(name: "hot spot", value: "150 degC", on_hot_spot: true)])],
links: [Link(from: "winding", to: "outside air", law: Conductance("20 W/K"))],
heats: [Heat(name: "copper", into: "winding", law: Fixed("1 kW"))],
missions: [Mission(name: "bursts", start: START, soak: LeftOut("a bench test"), segments: [
    Segment(name: "burst", duration: "1 min"),
    Segment(name: "burst goes on", duration: "1 min"),
    Segment(name: "rest", duration: "1 min", heats: [PointHeat(name: "copper", heat: "0 W")]),
])],
cases: [CaseGroup(conditions: ["day"], missions: ["bursts"])])"#;
    let project = read(&text.replace("LAG", lag).replace("START", start));
    let case = cases::missions(&project)[0];
    let flight = fly(&project, schedule(&case).unwrap(), None, &FlyOptions::default());
    (project, flight)
}

/// Rise of the hot spot at a time, K; of two samples at one time the last.
fn rise_k(flight: &Flight, project: &Project, time_s: f64) -> f64 {
    let sample = flight.times_s.iter().rposition(|t| (t - time_s).abs() < 1e-6).unwrap();
    flight.hot_spot_k(project, "winding")[sample] - flight.component_k("winding")[sample]
}

/// By hand: 1 kW raises the hot spot by 10 K in the end. With a time constant of a minute that is 10 (1 - 1/e) = 6.3212 K after
/// one and 10 (1 - 1/e^2) = 8.6466 K after two; a minute without heat leaves 8.6466/e = 3.1809 K.
#[test]
fn a_hot_spot_follows_its_heat_a_minute_late() {
    let (project, flight) = winding("OutsideAir", ", lag: \"60 s\"");
    for (time_s, expected) in [(0.0, 0.0), (60.0, 6.3212), (120.0, 8.6466), (180.0, 3.1809)] {
        assert_within("rise, K", rise_k(&flight, &project, time_s), expected, 1e-4);
    }
    // the hot spot that the limit judges is the same: hottest at the end of the burst
    let margins = flight.margins(&project);
    let worst = margins.iter().find(|timed| timed.margin.limit == "hot spot").unwrap();
    assert_within("time, s", worst.time_s, 120.0, 1e-6);
    let at = flight.times_s.iter().position(|t| (t - 120.0).abs() < 1e-6).unwrap();
    let expected = flight.component_k("winding")[at] + 8.6466;
    assert_within("judged, K", worst.margin.value, expected, 1e-4);
    assert_within("named, K", flight.case_at(&project, at).components[0].hot_spot_k, expected, 1e-4);
}

/// A settled start has its whole rise; what goes on from a state has the rise of that state.
#[test]
fn a_hot_spot_begins_where_the_flight_does() {
    let (project, flight) = winding("Settled", ", lag: \"60 s\"");
    for (time_s, expected) in [(0.0, 10.0), (120.0, 10.0), (180.0, 3.6788)] {
        assert_within("rise, K", rise_k(&flight, &project, time_s), expected, 1e-4);
    }
    let case = cases::missions(&project)[0];
    let held = mission::aftermath(&case, Moment { step: 0, after_s: 0.0 }, Then::Hold(60.0)).unwrap();
    let from = flight.state_at(180.0);
    let again = fly(&project, held, Some(&from), &FlyOptions::default());
    // 10 - (10 - 3.6788)/e
    assert_within("rise, K", rise_k(&again, &project, 0.0), 3.6788, 1e-4);
    assert_within("rise, K", rise_k(&again, &project, 60.0), 7.6746, 1e-4);
}

#[test]
fn without_a_lag_a_hot_spot_is_there_at_once() {
    let (project, flight) = winding("OutsideAir", "");
    for (time_s, expected) in [(0.0, 10.0), (60.0, 10.0), (180.0, 0.0)] {
        assert_within("rise, K", rise_k(&flight, &project, time_s), expected, 1e-9);
    }
}

fn demo(name: &str) -> Project {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects");
    read(&std::fs::read_to_string(format!("{folder}/{name}.ron")).unwrap())
}

/// The long way: every sample with all its results.
fn margins_of_all_samples(flight: &Flight, project: &Project) -> Vec<(f64, Margin)> {
    let mut bound = flight.start_bound(project);
    let mut clock = RatingClock::default();
    let mut all = Vec::new();
    for (sample, &time_s) in flight.times_s.iter().enumerate() {
        let mut result = flight.case_at(project, sample);
        if let Some(bound) = &mut bound {
            flight.ask(bound, &mut result, sample);
        }
        let overrun = clock.overrun(&flight.situation_at(project, sample), &result, time_s);
        all.extend(result.margins.into_iter().chain(overrun).map(|margin| (time_s, margin)));
    }
    all
}

/// A limit that has to be passed for a while is judged in another way, and has its own test.
fn lasts(project: &Project, margin: &Margin) -> bool {
    let component = project.components.iter().find(|c| c.name.as_str() == margin.place);
    let limit = component.and_then(|c| c.limits.iter().find(|l| l.name.as_str() == margin.limit));
    limit.is_some_and(|l| l.duration.is_some())
        && matches!(margin.kind, MarginKind::Maximum | MarginKind::Minimum)
}

#[test]
fn margins_over_time_are_those_of_the_full_results() {
    for (name, mission) in [("rig", 0), ("tug", 0), ("rescue", 0)] {
        let project = demo(name);
        let case = cases::missions(&project)[mission];
        let options = FlyOptions { max_gap_s: 60.0, ..FlyOptions::default() };
        let flight = fly(&project, schedule(&case).unwrap(), None, &options);
        let long = margins_of_all_samples(&flight, &project);
        let short: Vec<TimedMargin> = flight.margins(&project);
        let judged = short.iter().filter(|timed| !lasts(&project, &timed.margin));
        let mut count = 0;
        for TimedMargin { margin, time_s } in judged {
            let same = long
                .iter()
                .filter(|(_, m)| (&m.place, &m.limit, m.kind) == (&margin.place, &margin.limit, margin.kind));
            let least = same.min_by(|a, b| a.1.reserve().total_cmp(&b.1.reserve())).unwrap();
            assert_eq!((time_s, margin), (&least.0, &least.1), "{name}");
            count += 1;
        }
        assert!(count > 3, "{name}: {count}");
        // none is missing
        let is_known =
            |m: &Margin| short.iter().any(|t| t.margin.place == m.place && t.margin.limit == m.limit);
        assert!(long.iter().all(|(_, m)| is_known(m)), "{name}");
    }
}

#[test]
fn a_sample_that_is_judged_has_the_margins_of_its_full_result() {
    let project = demo("tug");
    let case = cases::missions(&project)
        .into_iter()
        .find(|case| case.failure.is_some())
        .unwrap_or(cases::missions(&project)[0]);
    let options = FlyOptions { max_gap_s: 120.0, ..FlyOptions::default() };
    let flight = fly(&project, schedule(&case).unwrap(), None, &options);
    for sample in 0..flight.times_s.len() {
        assert_eq!(flight.judged_at(&project, sample).margins, flight.case_at(&project, sample).margins);
    }
}
