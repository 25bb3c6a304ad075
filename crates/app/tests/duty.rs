//! The curve of a pump or fan against what its circuit asks for.

use std::sync::atomic::AtomicBool;

use app::Screens;
use app::files::Origin;
use app::views::chart::Chart;
use app::views::loops::StripKind;
use app::views::time::value_at;
use egui::Role;
use egui_kittest::kittest::Queryable as _;
use session::{Choice, Snapshot};

use crate::files::{start, until_shown};

const DEMOS: [&str; 3] = [
    include_str!("../../../demo-projects/rig.ron"),
    include_str!("../../../demo-projects/tug.ron"),
    include_str!("../../../demo-projects/rescue.ron"),
];

fn aircraft(text: &str) -> Snapshot {
    Snapshot::from_bytes(text.as_bytes()).expect("a demo is a project").0
}

/// Every duty of the first case of every demo, with the pressure rise that the device table shows.
fn duties() -> Vec<(StripKind, String, Chart, f64)> {
    let mut all = Vec::new();
    for demo in DEMOS {
        let aircraft = aircraft(demo);
        let choice = aircraft.choices().settle(&Choice::default());
        for page in Screens::default().screen(&aircraft, &choice, &AtomicBool::new(false), &|_| ()).strips {
            for row in page.table.rows {
                let shown = row.drop.text.replace('−', "-").parse::<f64>().expect("a number");
                if let Some(chart) = row.duty {
                    all.push((page.strip.kind, row.name, chart, -shown));
                }
            }
        }
    }
    all
}

#[test]
fn the_curves_meet_in_the_state_of_the_case() {
    let duties = duties();
    assert!(duties.len() > 8, "pumps and fans run in the demos");
    for (_, name, chart, shown) in duties {
        let [flow, rise] = chart.marks[0].at;
        for series in &chart.series {
            let there = value_at(&series.points, flow).expect("the flow is on the curve");
            assert!(
                (there - rise).abs() < 1e-6 * rise.abs(),
                "{name}, {}: {there} instead of {rise}",
                series.name
            );
        }
        assert!((rise - shown).abs() < 0.06, "{name}: {rise} kPa, but the table shows {shown}");
    }
}

/// Friction grows with the flow at least as in laminar flow (first power, Hagen and Poiseuille) and at most as in fully
/// rough flow (second power, Darcy and Weisbach); valves that are held open by the flow grow less.
#[test]
fn a_loop_asks_for_more_at_more_flow_between_first_and_second_power() {
    for (kind, name, chart, _) in duties() {
        let [flow, rise] = chart.marks[0].at;
        let demand = &chart.series[1].points;
        let more = value_at(demand, 1.5 * flow).expect("the curve goes on");
        assert!(more > rise, "{name}");
        if kind == StripKind::Loop {
            let power = (more / rise).ln() / 1.5_f64.ln();
            assert!(power < 2.02, "{name}: power {power}");
            let least = value_at(demand, 0.0).expect("the curve begins at rest");
            assert!(least.abs() < 0.15 * rise, "{name}: {least} of {rise} kPa at rest");
        }
        let can = &chart.series[0].points;
        assert!(
            can.windows(2).all(|pair| pair[1][1] <= pair[0][1] + 1e-9),
            "{name}: the rise falls with the flow"
        );
    }
}

#[test]
fn a_pump_shows_its_curve_on_a_click() {
    let mut harness = start(aircraft(DEMOS[0]), Origin::Untitled("demo".into()), None);
    harness.get_by_role_and_label(Role::Button, "pump: curve").click();
    until_shown(&mut harness, "The curves meet at the operating point of this case");
    harness.get_by_label_contains("what it can deliver");
    harness.get_by_label_contains("system curve of its loop");
}
