//! Freezing is judged at the warm end of what published sources say.

use crate::bench::{read, solve, sound, text};
use model::result::{Margin, MarginKind};
use testkit::assert_within;

fn loop_at(fluid: &str, air: &str) -> String {
    text(&format!(
        "conditions: [Condition(name: \"cold\", day: Fixed(\"{air}\"))],
        fluids: [UserFluid(name: \"own\", freezing: \"-30 degC\", rows: [
            FluidRow(temperature: \"-30 degC\", density: \"1000 kg/m3\", specific_heat: \"3 kJ/(kg K)\", viscosity: \"5 mPa s\", conductivity: \"0.4 W/(m K)\"),
            FluidRow(temperature: \"60 degC\", density: \"980 kg/m3\", specific_heat: \"3 kJ/(kg K)\", viscosity: \"1 mPa s\", conductivity: \"0.4 W/(m K)\"),
        ])],
        components: [Component(name: \"plate\")],
        links: [Link(from: \"plate\", to: \"outside air\", law: Conductance(\"5 W/K\"))],
        heats: [Heat(name: \"heater\", into: \"plate\", law: Fixed(\"100 W\"))],
        loops: [Loop(name: \"coolant\", fluid: \"{fluid}\", path: [
            Pump(name: \"pump\", curve: [(\"0 L/min\", \"200 kPa\"), (\"20 L/min\", \"0 kPa\")], power: Fixed(\"20 W\")),
            Hose(name: \"hose\", length: \"1 m\", diameter: \"16 mm\", surroundings: HoseSurroundings(to: \"outside air\", conductance: \"20 W/K\")),
            Reservoir(name: \"bottle\", volume: \"1 L\"),
        ])],
        points: [Point(name: \"run\")],
        cases: [CaseGroup(conditions: [\"cold\"], points: [\"run\"])],"
    ))
}

fn freezing(fluid: &str, air: &str) -> Margin {
    let result = solve(&sound(&loop_at(fluid, air)));
    let found = result.margins.iter().find(|m| m.kind == MarginKind::Freezing);
    found.unwrap_or_else(|| panic!("no freezing margin: {result:?}")).clone()
}

#[test]
fn the_margin_to_freezing_is_taken_from_the_warmest_source() {
    // 50 % by volume: Melinder 2010 -39.8 degC, but -37 degC in a handbook table and -37.2 degC by Conde 2011 (practice.md, section 6);
    // the spread of 3.0 K covers both: -36.8 degC
    let margin = freezing("ethylene-glycol:0.5vol", "-35 degC");
    assert_within("judged", margin.limit_value - 273.15, -36.8, 0.05);
    assert_within("nominal", margin.nominal_limit.expect("both are told") - 273.15, -39.8, 0.05);
    assert_within("margin", margin.margin, 1.8, 0.05);
    // the law alone would leave 4.8 K of the 3 K asked for; the sources together leave 1.8 K
    assert!(margin.is_short());
    let source = margin.source.expect("it says where both come from");
    assert!(
        source.starts_with("-39.8 degC by Melinder 2010") && source.ends_with("so -36.8 degC is judged"),
        "{source}"
    );
}

#[test]
fn a_freezing_point_without_other_sources_is_judged_as_it_is() {
    for (fluid, celsius) in [("own", -30.0), ("water", 0.0)] {
        let margin = freezing(fluid, "5 degC");
        assert_within(fluid, margin.limit_value - 273.15, celsius, 1e-9);
        assert_eq!(margin.nominal_limit, Some(margin.limit_value));
    }
}

#[test]
fn a_condition_between_the_sources_is_warned_of_with_both_numbers() {
    // -38 degC: liquid by Melinder, frozen by the others
    let problems = model::validate::validate(&sound(&loop_at("ethylene-glycol:0.5vol", "-38 degC")).project);
    let told = problems.to_string();
    assert!(told.contains("stops to pour at -39.8 degC, by other sources at up to -36.8 degC"), "{told}");
    assert!(read(&loop_at("ethylene-glycol:0.5vol", "-38 degC")).is_ok(), "a warning is no error");
}
