use crate::property;
use media::{Liquid, water_saturation_pressure_pa};
use testkit::{Worst, table};

#[test]
fn water_equals_iapws() {
    let water = Liquid::named("water").unwrap();
    let mut worst = Worst::new();
    for row in &table("water_iapws.csv") {
        let t = row.number("temperature_K");
        let computed = match row.text("quantity") {
            "vapour_pressure" => water_saturation_pressure_pa(t),
            "enthalpy_above_274.15_K" => water.enthalpy(t) - water.enthalpy(274.15),
            _ => property(&water, row),
        };
        worst.check(row, computed);
    }
    worst.finish(60);
    print!("{}", worst.markdown_rows());
}

#[test]
fn water_boils_at_the_standard_points() {
    // IAPWS: normal boiling point 373.124 K (99.974 degC) at 101 325 Pa; triple point 273.16 K at 611.657 Pa
    let water = Liquid::named("water").unwrap();
    testkit::assert_within("boiling", water.boiling_point_k(101_325.0).unwrap(), 373.124, 0.002);
    testkit::assert_close("triple point", water.vapour_pressure_pa(273.16).unwrap(), 611.657, 1e-4);
}

#[test]
fn water_properties_of_the_shared_table() {
    let water = Liquid::named("water").unwrap();
    let mut worst = Worst::new();
    for row in table("coolant_properties.csv").select("fluid", "water") {
        worst.check(row, property(&water, row));
        assert!(water.in_range(row.number("temperature_K")));
    }
    worst.finish(28);
    print!("{}", worst.markdown_rows());
}

#[test]
fn dielectric_liquids_equal_their_source() {
    let mut worst = Worst::new();
    for row in &table("coolant_dielectric.csv") {
        let liquid = Liquid::named(match row.text("fluid") {
            "polydimethylsiloxane_low_viscosity" => "silicone",
            "synthetic_aliphatic_hydrocarbon" => "aliphatic",
            other => panic!("no liquid for {other}"),
        })
        .unwrap();
        testkit::assert_close(&row.case_id(), property(&liquid, row), row.expected(), 1e-8);
        worst.check(row, property(&liquid, row));
    }
    worst.finish(40);
    print!("{}", worst.markdown_rows());
}
