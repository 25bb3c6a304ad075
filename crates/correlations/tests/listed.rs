//! The list of relations: names, keys, explanations, refusals.

use correlations::{RelationError, evaluate, evaluate_words, relations};
use std::collections::BTreeSet;

#[test]
fn every_relation_explains_itself() {
    for r in relations() {
        for text in [r.name, r.summary, r.quantity, r.unit, r.range, r.scatter, r.source] {
            assert!(!text.is_empty(), "{} has an empty field", r.name);
        }
        for input in r.inputs {
            assert!(input.low <= input.high && !input.meaning.is_empty(), "{}: {}", r.name, input.name);
            assert!(!(input.required && input.default.is_some()), "{}: {}", r.name, input.name);
        }
        let first_optional = r.inputs.iter().position(|i| !i.required).unwrap_or(r.inputs.len());
        assert!(
            r.inputs[first_optional..].iter().all(|i| !i.required),
            "{}: required inputs come first",
            r.name
        );
    }
}

#[test]
fn no_name_is_taken_twice() {
    let mut seen = BTreeSet::new();
    for r in relations() {
        for name in std::iter::once(r.name).chain(r.aliases.iter().copied()) {
            assert!(seen.insert(name.to_ascii_lowercase()), "{name} is taken twice");
        }
    }
}

#[test]
fn every_relation_gives_a_number_inside_its_range() {
    for r in relations() {
        let middle = |low: f64, high: f64| match (low > 0.0, high.is_finite()) {
            (true, true) => (low * high).sqrt(),
            (false, true) => 0.5 * high,
            (true, false) => 2.0 * low,
            (false, false) => 1.0,
        };
        let inputs: Vec<(&str, f64)> = r
            .inputs
            .iter()
            .filter(|i| i.required)
            .map(|i| (i.name, typical(r.name, i.name).unwrap_or_else(|| middle(i.low, i.high))))
            .collect();
        let found = evaluate(r.name, &inputs).unwrap_or_else(|e| panic!("{}: {e}", r.name));
        assert!(found.value > 0.0, "{}: {}", r.name, found.value);
        assert_eq!(found.unit, r.unit);
        for step in &found.chain {
            assert!(step.value.is_finite(), "{}: {step}", r.name);
        }
    }
}

/// Dimensions that belong together, where the middle of a range does not make a machine.
fn typical(relation: &str, name: &str) -> Option<f64> {
    const TYPICAL: [(&str, f64); 21] = [
        ("rows", 2.0),
        ("hot_in_K", 370.0),
        ("hot_out_K", 340.0),
        ("cold_in_K", 300.0),
        ("cold_out_K", 325.0),
        ("temperature_1_K", 360.0),
        ("temperature_2_K", 300.0),
        ("tip_radius_m", 0.02),
        ("root_radius_m", 0.01),
        ("diameter_outlet_m", 0.0119),
        ("diameter_inlet_m", 0.012),
        ("fin_pitch_m", 1.4e-3),
        ("fin_spacing_s_m", 1.4e-3),
        ("louver_pitch_m", 1.1e-3),
        ("fin_height_m", 8e-3),
        ("flow_depth_m", 22e-3),
        ("louver_length_m", 6.5e-3),
        ("tube_pitch_m", 10e-3),
        ("tube_minor_dimension_m", 2e-3),
        ("fin_thickness_m", 1e-4),
        ("strip_length_l_m", 3e-3),
    ];
    if relation == "sudden_expansion_borda_carnot" && name == "diameter_inlet_m" {
        return Some(0.01);
    }
    TYPICAL.iter().find(|(known, _)| *known == name).map(|(_, value)| *value)
}

#[test]
fn short_names_and_keys_are_accepted() {
    let long =
        evaluate("gnielinski_1976_with_petukhov_friction", &[("reynolds", 2e4), ("prandtl", 8.0)]).unwrap();
    let short = evaluate("Gnielinski", &[("Re", 2e4), ("pr", 8.0)]).unwrap();
    assert_eq!(long.value, short.value);
    assert_eq!(short.chain[0].to_string().split(" = ").next(), Some("darcy friction factor (Petukhov 1970)"));
    let given = evaluate("gnielinski", &[("re", 2e4), ("pr", 8.0), ("darcy_friction_factor", 0.03)]).unwrap();
    assert_eq!(given.chain[0].by, "given");
    let rough = evaluate("gnielinski", &[("re", 2e4), ("pr", 8.0), ("relative_roughness", 0.001)]).unwrap();
    assert_eq!(rough.chain[0].by, "Colebrook 1939");
}

#[test]
fn defaults_appear_among_the_inputs() {
    let found = evaluate("churchill", &[("reynolds", 1e4)]).unwrap();
    assert_eq!(found.inputs, [("reynolds".to_owned(), 1e4), ("relative_roughness".to_owned(), 0.0)]);
}

#[test]
fn outside_the_range_is_said_with_the_limits() {
    let found = evaluate("dittus_boelter", &[("reynolds", 5e3), ("prandtl", 7.0)]).unwrap();
    assert!(!found.in_range);
    let out = &found.out_of_range[0];
    assert_eq!((out.name, out.value, out.low, out.high), ("reynolds", 5e3, 1e4, 1e6));
    // a derived group has a range too: Taylor number above 1e7
    let inputs =
        [("speed_rad_s", 9e3), ("rotor_radius_m", 0.1), ("gap_m", 3e-3), ("kinematic_viscosity_m2_s", 2e-5)];
    let fast = evaluate("becker_kaye", &inputs).unwrap();
    assert_eq!(fast.out_of_range[0].name, "taylor_number");
}

#[test]
fn words_choose_among_the_relations_of_a_table() {
    let ends = [("hot_in_K", "370"), ("hot_out_K", "340"), ("cold_in_K", "300"), ("cold_out_K", "325")];
    let mut inputs = ends.to_vec();
    inputs.push(("arrangement", "parallel"));
    // hx_lmtd-v002, ht 1.2.0
    let parallel = evaluate_words("log_mean_temperature_difference", &inputs).unwrap();
    testkit::assert_close("parallel", parallel.value, 35.70396771, 1e-9);
    let triangle = evaluate_words("exact", &[("shape", "equilateral_triangle")]).unwrap();
    testkit::assert_close("triangle", triangle.value, 40.0 / 3.0, 1e-12);
    let text = evaluate_words("gnielinski", &[("reynolds", "many"), ("prandtl", "7")]);
    assert_eq!(text.unwrap_err().to_string(), "the input `reynolds` is `many`, which is not a number");
}

#[test]
fn slips_are_named_with_a_remedy() {
    let unknown = evaluate("gnielinsky", &[]).unwrap_err();
    assert_eq!(unknown.to_string(), "unknown relation `gnielinsky`; did you mean `gnielinski`?");
    let key = evaluate("gnielinski", &[("renolds", 1.0)]).unwrap_err();
    assert_eq!(key.to_string(), "`gnielinski_1976` has no input `renolds`; did you mean `reynolds`?");
    let missing = evaluate("gnielinski", &[("reynolds", 1e4)]).unwrap_err();
    assert_eq!(missing.to_string(), "`gnielinski_1976` also needs prandtl");
    let nan = evaluate("gnielinski", &[("reynolds", f64::NAN), ("prandtl", 7.0)]).unwrap_err();
    assert_eq!(nan, RelationError::NotFinite { key: "reynolds" });
    let twice = evaluate("gnielinski", &[("re", 1e4), ("reynolds", 1e4), ("prandtl", 7.0)]).unwrap_err();
    assert_eq!(twice, RelationError::Repeated { key: "reynolds" });
    let negative = evaluate("petukhov", &[("reynolds", -5.0)]).unwrap_err();
    assert_eq!(negative.to_string(), "`reynolds` is -5; it must be zero or more");
    let rows = evaluate("rows_counter", &[("rows", 2.5), ("ntu", 1.0), ("cr", 0.5)]).unwrap_err();
    assert_eq!(rows.to_string(), "`rows` is 2.5; it must be 1, 2, 3 or 4");
    assert!(evaluate("xyzzy_plugh", &[]).unwrap_err().to_string().ends_with("`xyzzy_plugh`"));
}

#[test]
fn what_cannot_be_is_refused_by_name() {
    for (name, inputs, said) in [
        ("gnielinski", &[("re", 1e4), ("pr", 0.0)][..], "`prandtl` is 0; it must be above zero"),
        ("laminar_friction", &[("re", 0.0)], "`reynolds` is 0; it must be above zero"),
        (
            "radiation",
            &[("emissivity", 1.2), ("temperature_1_K", 300.0), ("temperature_2_K", 290.0)],
            "`emissivity` is 1.2; it must be zero or more and at most 1",
        ),
        (
            "counterflow",
            &[("ntu", 1.0), ("cr", 1.5)],
            "`capacity_ratio_Cmin_over_Cmax` is 1.5; it must be zero or more and at most 1",
        ),
        (
            "sudden_contraction",
            &[("diameter_inlet_m", 0.01), ("diameter_outlet_m", 0.02)],
            "`diameter_inlet_m` is 0.01; it must be no smaller than the diameter downstream",
        ),
        (
            "annular_fin",
            &[
                ("heat_transfer_coefficient_W_m2K", 50.0),
                ("conductivity_W_mK", 200.0),
                ("thickness_m", 1e-3),
                ("root_radius_m", 0.02),
                ("tip_radius_m", 0.01),
            ],
            "`tip_radius_m` is 0.01; it must be larger than the radius at the root",
        ),
        (
            "lmtd",
            &[("hot_in_K", 340.0), ("hot_out_K", 370.0), ("cold_in_K", 300.0), ("cold_out_K", 320.0)],
            "`hot_out_K` is 370; it must be no warmer than the hot side comes in",
        ),
        (
            "tube",
            &[("re", 1e4), ("pr", 7.0), ("length_over_diameter", -3.0)],
            "`length_over_diameter` is -3; it must be above zero",
        ),
    ] {
        let refused = evaluate(name, inputs).unwrap_err();
        assert_eq!(refused.to_string(), said);
    }
    // every input of every relation refuses what is below its least
    for r in relations() {
        for input in r.inputs {
            assert!(!input.allows(-1.0) && !input.allows(f64::NAN), "{}: {}", r.name, input.name);
            let inside = if input.low > 0.0 { input.low } else { input.high.min(1.0) };
            assert!(input.allows(inside) || inside == 0.0, "{}: {} refuses {inside}", r.name, input.name);
        }
    }
}

/// What rests on no text carries the word, and nothing says "from memory" any more.
#[test]
fn nothing_rests_on_memory_unsaid() {
    for r in relations() {
        for text in [r.range, r.scatter, r.source] {
            assert!(!text.contains("memory"), "{}: {text}", r.name);
        }
    }
}

#[test]
fn the_theory_page_names_every_relation() {
    let page = testkit::data_path("").join("../../docs/theory/correlations.md");
    let text = std::fs::read_to_string(page).expect("the theory page is there");
    let absent: Vec<&str> =
        relations().iter().map(|r| r.name).filter(|name| !text.contains(&format!("`{name}`"))).collect();
    assert!(absent.is_empty(), "not in docs/theory/correlations.md: {absent:?}");
}
