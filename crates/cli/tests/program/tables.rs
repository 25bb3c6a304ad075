//! `fluid` and `relation` against published values.

use crate::run::{has_keys, run};

#[test]
fn glycol_at_four_temperatures() {
    let at = "-20degC,20degC,60degC,95degC";
    let ended = run(&["fluid", "ethylene-glycol:0.5", "--at", at, "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    let rows = json.as_array().unwrap();
    assert_eq!(rows.len(), 4);
    for (row, temperature) in rows.iter().zip([253.15, 293.15, 333.15, 368.15]) {
        has_keys(
            row,
            &[
                "density_kg_m3",
                "specific_heat_J_kgK",
                "viscosity_Pa_s",
                "conductivity_W_mK",
                "source",
                "in_range",
            ],
        );
        assert!((row["temperature_K"].as_f64().unwrap() - temperature).abs() < 1e-9);
    }
}

/// Water at 20 degC and 1 atm: IAPWS-95 as tabulated by NIST gives 998.21 kg/m3 and 1.0016 mPa s (from memory; ISO/TR 3666 has 1.0016 mPa s).
#[test]
fn water_at_20_degc() {
    let json = run(&["fluid", "water", "--at", "20 degC", "--json"]).json();
    let number = |key: &str| json[0][key].as_f64().unwrap();
    assert!((number("density_kg_m3") / 998.21 - 1.0).abs() < 5e-4);
    assert!((number("viscosity_Pa_s") / 1.0016e-3 - 1.0).abs() < 3e-3);
}

#[test]
fn outside_the_fitted_range_is_marked() {
    let json = run(&["fluid", "water", "--at", "200degC", "--json"]).json();
    assert_eq!(json[0]["in_range"], false);
    assert!(run(&["fluid", "water", "--at", "200degC"]).out.contains("OUTSIDE"));
}

#[test]
fn a_temperature_needs_its_unit_and_a_fluid_its_name() {
    for arguments in [
        ["fluid", "water", "--at", "20"],
        ["fluid", "water", "--at", "20kPa"],
        ["fluid", "wter", "--at", "20degC"],
    ] {
        let ended = run(&arguments);
        assert_eq!((ended.code, ended.out.as_str()), (1, ""), "{arguments:?}");
    }
}

/// Gnielinski 1976 by hand: Petukhov f = (0.79 ln 20000 - 1.64)^-2 = 0.026151, f/8 = 0.0032689;
/// Nu = 0.0032689 x 19000 x 8 / (1 + 12.7 x sqrt(0.0032689) x (8^(2/3) - 1)) = 496.88 / 3.1784 = 156.33.
#[test]
fn gnielinski_by_hand() {
    let ended = run(&["relation", "gnielinski", "reynolds=20000", "prandtl=8", "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    has_keys(&json, &["name", "value", "unit", "in_range", "inputs", "source"]);
    assert!((json["value"].as_f64().unwrap() - 156.33).abs() < 0.02, "{}", json["value"]);
    assert_eq!(json["in_range"], true);
    assert_eq!(json["inputs"]["reynolds"], 20000.0);
}

#[test]
fn every_relation_is_listed_with_range_and_source() {
    let json = run(&["relation", "--json"]).json();
    let all = json.as_array().unwrap();
    assert!(all.len() > 50, "{}", all.len());
    for one in all {
        has_keys(one, &["name", "summary", "inputs", "range", "scatter", "source"]);
        assert!(one["inputs"].is_array());
    }
}

#[test]
fn a_relation_by_name_alone_says_what_it_takes() {
    let ended = run(&["relation", "gnielinski"]);
    assert_eq!(ended.code, 0);
    assert!(ended.out.contains("inputs: reynolds, prandtl"), "{}", ended.out);
}

#[test]
fn every_key_of_a_relation_is_described() {
    let ended = run(&["relation", "tube_all_regimes"]);
    assert_eq!(ended.code, 0);
    for said in [
        "Reynolds number rho u D/mu",
        "must be given",
        "optional",
        "3.66",
        "0.6 to 1000",
        "if not given",
        "Gnielinski 2013",
        "63, 134-140",
    ] {
        assert!(ended.out.contains(said), "{said}: {}", ended.out);
    }
    assert!(ended.out.lines().all(|line| line.chars().count() <= 250), "{}", ended.out);
    let json = run(&["relation", "tube_all_regimes", "--json"]).json();
    has_keys(&json[0]["keys"][0], &["name", "meaning", "unit", "low", "high", "default", "required"]);
    assert_eq!(json[0]["inputs"][0], "reynolds");
}

/// Re 4617, Pr 11.3, L/D 100 by hand in the tests of the correlations: 45.189; the law of before gave 4617/3617 times that, 57.68.
#[test]
fn the_film_of_a_tube_is_that_of_2013() {
    let inputs = ["reynolds=4617", "prandtl=11.3", "length_over_diameter=100"];
    let ended = run(&["relation", "tube_all_regimes", inputs[0], inputs[1], inputs[2], "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    assert!((json["value"].as_f64().unwrap() - 45.189).abs() < 1e-3, "{}", json["value"]);
    assert_eq!(json["in_range"], true);
}

#[test]
fn the_fluids_are_listed_with_range_and_spread() {
    let ended = run(&["fluid"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    for said in ["ethylene-glycol:0.5", "iso-vg-32", "air", "range: ", "spread: ", "source: "] {
        assert!(ended.out.contains(said), "{said}: {}", ended.out);
    }
    let json = run(&["fluid", "--json"]).json();
    let all = json.as_array().unwrap();
    assert!(all.len() > 15);
    for one in all {
        has_keys(one, &["name", "description", "range_K", "evaluated_K", "spread", "source"]);
    }
    // the other way round one of both is missing
    assert_eq!(run(&["fluid", "water"]).code, 1);
    assert_eq!(run(&["fluid", "--at", "20degC"]).code, 1);
}

#[test]
fn a_value_held_at_the_edge_says_so() {
    let ended = run(&["fluid", "water", "--at", "20degC,200degC"]);
    assert!(ended.out.contains("held at"), "{}", ended.out);
    let json = run(&["fluid", "water", "--at", "20degC,200degC", "--json"]).json();
    assert!(json[0]["held_at_K"].is_null());
    let edge = json[1]["held_at_K"].as_f64().unwrap();
    assert!((300.0..473.15).contains(&edge), "{edge}");
    let at_edge = run(&["fluid", "water", "--at", &format!("{edge} K"), "--json"]).json();
    assert_eq!(json[1]["viscosity_Pa_s"], at_edge[0]["viscosity_Pa_s"]);
}

/// Developed laminar flow in a round tube, constant wall temperature: Nu = 3.657 (Shah & London 1978). It takes no input.
#[test]
fn a_constant_needs_no_input() {
    let ended = run(&["relation", "laminar_developed_constant_wall_temperature", "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert!((ended.json()["value"].as_f64().unwrap() - 3.657).abs() < 1e-3, "{}", ended.out);
}

#[test]
fn mistakes_in_a_relation_are_told() {
    for (arguments, said) in [
        (&["relation", "gnielinsky", "reynolds=1e4"][..], "gnielinski"),
        (&["relation", "gnielinski", "reynolds=1e4"], "prandtl"),
        (&["relation", "gnielinski", "reynolds=many", "prandtl=7"], "many"),
        (&["relation", "gnielinski", "reynolds=NaN", "prandtl=7"], "reynolds"),
        (&["relation", "gnielinski", "reynolds=-1e4", "prandtl=7"], "`reynolds` is -10000"),
        (
            &["relation", "tube", "reynolds=1e4", "prandtl=7", "length_over_diameter=0"],
            "length_over_diameter",
        ),
        (&["relation", "gnielinski", "reynolds", "prandtl=7"], "key=value"),
    ] {
        let ended = run(arguments);
        assert_eq!((ended.code, ended.out.as_str()), (1, ""), "{arguments:?}");
        assert!(ended.err.contains(said), "{arguments:?}: {}", ended.err);
    }
    let outside = run(&["relation", "gnielinski", "reynolds=100", "prandtl=7", "--json"]);
    assert_eq!(outside.code, 0);
    assert_eq!(outside.json()["in_range"], false);
}
