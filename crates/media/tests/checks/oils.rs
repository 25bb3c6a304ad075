use media::{
    Anchor, D341, ISO_GRADES, Liquid, MediaError, OilData, cragoe_conductivity, cragoe_specific_heat,
    lubricant_density,
};
use testkit::{Row, Worst, assert_close, table};

fn kinematic_mm2_s(oil: &Liquid, t: f64) -> f64 {
    oil.viscosity(t) / oil.density(t) * 1e6
}

fn d341(row: &Row) -> D341 {
    let anchor = |which: &str| Anchor {
        temperature_k: row.number(&format!("{which}_temperature_K")),
        viscosity_mm2_s: row.number(&format!("{which}_kinematic_viscosity_mm2_s")),
    };
    match row.text("relation") {
        "ASTM_D341_two_point_full" => D341::full(anchor("anchor1"), anchor("anchor2")),
        "ASTM_D341_two_point_Z_is_nu_plus_0.7" => D341::simple(anchor("anchor1"), anchor("anchor2")),
        other => panic!("no relation {other}"),
    }
}

#[test]
fn d341_worked_values() {
    let mut worst = Worst::new();
    for row in &table("oil_viscosity_temperature.csv") {
        let computed = match row.text("quantity") {
            "D341_constant_A" => d341(row).a,
            "D341_constant_B" => d341(row).b,
            _ => d341(row).kinematic_mm2_s(row.number("temperature_K")),
        };
        worst.check(row, computed);
    }
    worst.finish(43);
    print!("{}", worst.markdown_rows());
}

#[test]
fn named_oils_follow_the_worked_values_of_their_class() {
    // warm pair above 40 degC, cold pair below 0 degC
    let mut checked = 0;
    for row in &table("oil_viscosity_temperature.csv") {
        let name = match row.text("oil_class") {
            "polyol_ester_turbine_oil_5cSt" | "polyol_ester_turbine_oil_5cSt_cold_branch" => "turbine-oil",
            "automatic_transmission_fluid_like" => "atf",
            "gear_oil_75W_90_like" => "gear-oil-75w90",
            _ => continue,
        };
        let t = row.number("temperature_K");
        let cold = row.text("oil_class").ends_with("cold_branch");
        if (cold && t <= 273.15) || (!cold && t >= 313.15) {
            row.check(kinematic_mm2_s(&Liquid::named(name).unwrap(), t));
            checked += 1;
        }
    }
    assert!(checked >= 16, "{checked}");
}

#[test]
fn iso_grades_of_index_100_lie_near_the_typical_pairs() {
    // typical mineral pairs of the table (from memory): 32/5.4 and 220/19 mm2/s, indices 102 and 97 by ASTM D2270
    for (name, at_100) in [("iso-vg-32", 5.4), ("iso-vg-220", 19.0)] {
        assert_close(name, kinematic_mm2_s(&Liquid::named(name).unwrap(), 373.15), at_100, 0.025);
    }
    // ASTM D2270 for 70 mm2/s and more at 100 degC: index 100 at 40 degC is H = 0.1684 Y^2 + 11.85 Y - 97
    for grade in ISO_GRADES.iter().filter(|grade| grade.grade >= 2200) {
        let y = grade.viscosity_at_100_c_mm2_s;
        let h = 0.1684 * y * y + 11.85 * y - 97.0;
        assert_close("D2270", grade.viscosity_at_40_c_mm2_s, h, 0.002);
    }
}

#[test]
fn oils_hold_the_limits_of_their_grades() {
    let mut checked = 0;
    for row in &table("oil_grade_limits.csv") {
        let grade = row.text("grade");
        // our 75W-90 holds the rows of 75W and 90 and, its 100 degC viscosity being unique, none of the other summer grades
        let (name, holds) = match (row.text("standard"), grade) {
            ("MIL-PRF-23699", _) => ("turbine-oil".to_owned(), true),
            // (multigrades are named by the coldest grade they hold; a 75W holds the milder limits of 80W as well)
            ("SAE J306", "75W" | "80W" | "90") => ("gear-oil-75w90".to_owned(), true),
            ("SAE J306", "70" | "75" | "80" | "140") => ("gear-oil-75w90".to_owned(), false),
            ("ISO 3448", _) => (grade.to_lowercase().replace(' ', "-"), true),
            other => panic!("no oil for {other:?}"),
        };
        let oil = Liquid::named(&name).unwrap();
        let t = row.number("temperature_K");
        let value = match row.text("quantity") {
            "kinematic_viscosity" => kinematic_mm2_s(&oil, t),
            "dynamic_viscosity" => oil.viscosity(t) * 1e3,
            other => panic!("no quantity {other}"),
        };
        let above = row.maybe("limit_min").is_none_or(|least| value >= least);
        let below = row.maybe("limit_max").is_none_or(|most| value <= most);
        assert_eq!(above && below, holds, "{} {name}: {value}", row.case_id());
        checked += 1;
    }
    assert_eq!(checked, 17);
}

#[test]
fn cragoe_and_expansion_and_the_ester_band() {
    let turbine_oil = Liquid::named("turbine-oil").unwrap();
    let mut worst = Worst::new();
    for row in &table("oil_thermal.csv") {
        let t = row.number("temperature_K");
        let computed = match row.text("relation") {
            "Cragoe_1929_specific_heat" => cragoe_specific_heat(row.number("relative_density_60F"), t),
            "Cragoe_1929_conductivity" => cragoe_conductivity(row.number("relative_density_60F"), t),
            "API_MPMS_11.1_lubricant_expansion" => lubricant_density(row.number("density_15C_kg_m3"), t),
            "indicative_polyol_ester_turbine_oil" => crate::property(&turbine_oil, row),
            other => panic!("no relation {other}"),
        };
        worst.check(row, computed);
    }
    worst.finish(36);
    print!("{}", worst.markdown_rows());
}

#[test]
fn petroleum_oils_use_cragoe() {
    let atf = Liquid::named("atf").unwrap();
    let s = media::relative_density(850.0);
    for t in [240.0, 300.0, 400.0] {
        assert_close("specific heat", atf.specific_heat(t), cragoe_specific_heat(s, t), 1e-9);
        assert_close("conductivity", atf.conductivity(t), cragoe_conductivity(s, t), 1e-9);
    }
    // 60/60 degF and 15 degC: within 0.1 %
    assert_close("relative density", s, 0.8505, 0.001);
}

fn sheet() -> OilData {
    OilData {
        density_at_15_c_kg_m3: 860.0,
        viscosity_at_40_c_mm2_s: 46.0,
        viscosity_at_100_c_mm2_s: 7.5,
        cold: Some(Anchor { temperature_k: 243.15, viscosity_mm2_s: 9000.0 }),
        pour_point_k: Some(230.0),
        range_k: (243.15, 423.15),
        source: "invented data sheet".to_owned(),
    }
}

#[test]
fn an_oil_from_a_data_sheet_returns_its_anchors() {
    let oil = Liquid::oil("our oil", &sheet()).unwrap();
    for (t, nu) in [(243.15, 9000.0), (313.15, 46.0), (373.15, 7.5)] {
        // the low-viscosity terms of D341 and their inverse agree to a few parts in 10^5
        assert_close("anchor", kinematic_mm2_s(&oil, t), nu, 1e-4);
    }
    assert_eq!(oil.freezing_point_k(), Some(230.0));
}

#[test]
fn impossible_data_sheets_are_refused() {
    let rising = OilData { viscosity_at_100_c_mm2_s: 50.0, ..sheet() };
    assert!(matches!(Liquid::oil("x", &rising), Err(MediaError::ViscosityNotFalling { .. })));
    let no_number = OilData { viscosity_at_40_c_mm2_s: f64::NAN, ..sheet() };
    assert!(matches!(Liquid::oil("x", &no_number), Err(MediaError::NotPositive { .. })));
    let no_density = OilData { density_at_15_c_kg_m3: 0.0, ..sheet() };
    assert!(matches!(Liquid::oil("x", &no_density), Err(MediaError::NotPositive { .. })));
    let warm = OilData { cold: Some(Anchor { temperature_k: 300.0, viscosity_mm2_s: 9e3 }), ..sheet() };
    assert!(Liquid::oil("x", &warm).is_err());
}
