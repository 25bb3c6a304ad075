//! Beyond the end of the model there is no number: steady and over time.

use aircraft::records::project::Project;
use model::assembly::Situation;
use model::cases;
use model::mission::{Flight, FlyOptions, fly, schedule};
use model::result::{CaseResult, Status};
use testkit::assert_close;

/// A plate of 1 kJ/K, 5 W/K to air of 40 degC, heated.
fn plate(heat: &str, limits: &str) -> Project {
    let text = format!(
        "Project(format: \"heatledger\", version: 1, name: \"plate\",
        conditions: [Condition(name: \"warm\", day: Fixed(\"40 degC\"))],
        components: [Component(name: \"plate\", capacity: \"1 kJ/K\", limits: [{limits}])],
        links: [Link(from: \"plate\", to: \"outside air\", law: Conductance(\"5 W/K\"))],
        heats: [Heat(name: \"heater\", into: \"plate\", law: Fixed(\"{heat}\"))],
        points: [Point(name: \"on\")],
        missions: [Mission(name: \"heated\", soak: LeftOut(\"short\"), segments: [Segment(name: \"on\", duration: \"10 min\", point: \"on\")])],
        cases: [CaseGroup(conditions: [\"warm\"], points: [\"on\"], missions: [\"heated\"])])"
    );
    read(&text)
}

fn read(text: &str) -> Project {
    let (node, problems) = project::parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    model::design::decode(&node.expect("a tree")).unwrap_or_else(|problems| panic!("{problems}"))
}

fn solved(project: &Project) -> CaseResult {
    let (condition, point) = (&project.conditions[0], &project.points[0]);
    model::case::solve(&Situation { project, condition, point, failure: None }).expect("it is put together")
}

fn flown(project: &Project) -> Flight {
    let cases = cases::missions(project);
    fly(project, schedule(&cases[0]).expect("it is put together"), None, &FlyOptions::default())
}

const LIMIT: &str = "Limit(value: \"100 degC\", required: \"10 K\"), Limit(name: \"cold\", bound: Minimum, value: \"-40 degC\")";

/// With a limit of 100 degC the model ends at 150 degC: 5 W/K x 110 K = 550 W. Without one at 300 degC: 5 W/K x 260 K = 1300 W.
#[test]
fn a_steady_state_beyond_the_model_is_no_result() {
    for (heat, limits, is_inside) in
        [("540 W", LIMIT, true), ("560 W", LIMIT, false), ("1290 W", "", true), ("1310 W", "", false)]
    {
        let result = solved(&plate(heat, limits));
        if is_inside {
            assert_eq!(result.status, Status::Solved, "{heat}: {:?}", result.notices);
        } else {
            assert_eq!(result.status, Status::OutOfRange, "{heat}");
            assert!(result.components.is_empty() && result.margins.is_empty(), "{heat}");
            let notice = &result.notices[0];
            assert!(notice.place == "plate" && notice.message.contains("outside the model"), "{notice:?}");
        }
    }
}

/// 1000 W: T = 40 + 200 (1 - exp(-t / 200 s)) degC, 1 kJ/K over 5 W/K = 200 s. 150 degC is reached after -200 s ln(1 - 110/200) = 159.7 s.
#[test]
fn a_flight_ends_its_numbers_where_the_model_ends() {
    let project = plate("1000 W", LIMIT);
    let flight = flown(&project);
    assert_eq!(flight.status, Status::OutOfRange);
    let end_s = -200.0 * (1.0 - 110.0_f64 / 200.0).ln();
    // 0.05 K at (1000 - 550) W over 1 kJ/K = 0.45 K/s is 0.11 s
    assert_close("end of the model", flight.duration_s(), end_s, 0.15 / end_s);
    let plate_k = flight.component_k("plate");
    assert!(plate_k.iter().all(|k| *k <= 423.15 + 1e-6), "{:?}", plate_k.last());
    assert!(plate_k.last().is_some_and(|k| *k > 423.1));
    let notice = &flight.notices[0];
    assert!(notice.message.contains("outside the model from 160 s"), "{}", notice.message);
    // 100 degC was passed before; that it stayed warm enough to the end nobody knows
    let margins: Vec<_> = flight.margins(&project).into_iter().map(|timed| timed.margin.limit).collect();
    assert_eq!(margins, ["continuous"]);
}

/// Cells that begin above the onset of self-heating: not one number.
#[test]
fn cells_above_the_onset_of_self_heating_have_no_flight() {
    let pack = |start: &str, onset: &str| {
        read(&format!(
            "Project(format: \"heatledger\", version: 1, name: \"row\",
            conditions: [Condition(name: \"c\", day: Fixed(\"20 degC\"))],
            components: [Component(name: \"cells\", capacity: \"50 kJ/K\"), Component(name: \"w\", capacity: \"1 kJ/K\")],
            links: [Link(from: \"cells\", to: \"outside air\", law: Conductance(\"20 W/K\")), Link(from: \"w\", to: \"outside air\", law: Conductance(\"20 W/K\"))],
            powertrain: Powertrain(motors: [Motor(name: \"m\", winding: \"w\", iron: \"w\", rotor: \"w\", inverter: \"w\",
                losses: Fixed(copper: \"0 W\", iron: \"0 W\"), inverter_losses: Fixed(\"0 W\"))],
                bus: Pack(cells: \"cells\", series: 100, parallel: 10, cell: Cell(capacity: \"5 Ah\",
                open_circuit: [(0, \"3 V\"), (1, \"4.2 V\")], resistance: \"20 mOhm\"{onset}))),
            missions: [Mission(name: \"m\", start: Stated(parts: [(component: \"cells\", temperature: \"{start}\")]), soak: LeftOut(\"no\"),
                segments: [Segment(name: \"s\", duration: \"5 min\", ground: true)])],
            cases: [CaseGroup(conditions: [\"c\"], missions: [\"m\"])])"
        ))
    };
    let hot = flown(&pack("134.8 degC", ""));
    assert_eq!(hot.status, Status::OutOfRange);
    assert!(hot.times_s.is_empty(), "{:?}", hot.times_s);
    assert!(hot.notices[0].message.contains("outside the model from 0 s"), "{}", hot.notices[0].message);
    assert!(hot.notices[0].place == "cells" && hot.notices[0].message.contains("80 degC"));
    assert_eq!(flown(&pack("79 degC", "")).status, Status::Solved);
    assert_eq!(flown(&pack("134.8 degC", ", self_heating: \"140 degC\"")).status, Status::Solved);
}

/// A pump without efficiency has endless power; a project that says so is refused, and the solver calls it no state either.
#[test]
fn endless_heat_is_no_state() {
    use solver::{Builder, Failure, HeatSource, LinkLaw, Node, SteadyOptions, SteadySolver, Unknown};
    let mut builder = Builder::new();
    let plate = builder.component(10.0);
    let air = builder.boundary(300.0);
    builder.link(Node::Component(plate), Node::Boundary(air), LinkLaw::Conductance { conductance_w_k: 5.0 });
    builder.source(HeatSource { into: plate, heat_w: f64::INFINITY, slope_1_k: 0.0, reference_k: 300.0 });
    let network = builder.build().expect("it is whole");
    let failure = SteadySolver::new(network).solve(&SteadyOptions::default()).expect_err("no state");
    assert!(
        matches!(failure, Failure::NotFinite { place: Unknown::Component(id) } if id == plate),
        "{failure:?}"
    );
}
