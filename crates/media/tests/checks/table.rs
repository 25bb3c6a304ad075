use media::{Liquid, LiquidRow, MediaError, TableOptions};
use testkit::assert_close;

/// Rows of water at 500 kPa taken from IAPWS-95 through the named liquid, whose own checks are in `water.rs`.
fn rows(step: usize) -> Vec<LiquidRow> {
    let water = Liquid::named("water").unwrap();
    (280..=420)
        .step_by(step)
        .map(|kelvin| {
            let t = f64::from(kelvin);
            LiquidRow {
                temperature_k: t,
                density_kg_m3: water.density(t),
                specific_heat_j_kgk: water.specific_heat(t),
                viscosity_pa_s: water.viscosity(t),
                conductivity_w_mk: water.conductivity(t),
            }
        })
        .collect()
}

#[test]
fn a_table_of_water_behaves_like_water() {
    let water = Liquid::named("water").unwrap();
    let ours = Liquid::from_table("my water", &rows(10), &TableOptions::default()).unwrap();
    for k in 0..280 {
        let t = 280.0 + 0.5 * f64::from(k);
        assert_close("density", ours.density(t), water.density(t), 1e-4);
        assert_close("specific heat", ours.specific_heat(t), water.specific_heat(t), 2e-4);
        assert_close("viscosity", ours.viscosity(t), water.viscosity(t), 3e-3);
        assert_close("conductivity", ours.conductivity(t), water.conductivity(t), 5e-4);
    }
    let difference = |liquid: &Liquid| liquid.enthalpy(415.0) - liquid.enthalpy(285.0);
    assert_close("enthalpy", difference(&ours), difference(&water), 1e-5);
    assert!(!ours.in_range(279.0) && ours.in_range(300.0));
}

#[test]
fn the_vapour_pressure_of_a_table_is_inverted() {
    // ethanol, CRC Handbook of Chemistry and Physics (from memory): 78.29 degC at 101.325 kPa, 7.87 kPa at 25 degC
    let points = vec![(298.15, 7870.0), (351.44, 101_325.0)];
    let options = TableOptions { vapour_pressure: points, ..TableOptions::default() };
    let liquid = Liquid::from_table("spirit", &rows(20), &options).unwrap();
    assert_close("boiling", liquid.boiling_point_k(101_325.0).unwrap(), 351.44, 1e-9);
    // 34.7 degC at 13.33 kPa (100 mmHg), handbook value from memory: 34.9
    assert_close("boiling", liquid.boiling_point_k(13_332.0).unwrap(), 273.15 + 34.9, 0.005);
    assert_eq!(liquid.boiling_point_k(1e6), None);
}

#[test]
fn bad_tables_name_the_row() {
    let make = |rows: &[LiquidRow]| Liquid::from_table("x", rows, &TableOptions::default());
    assert!(matches!(make(&rows(10)[..1]), Err(MediaError::TooFewRows { given: 1, .. })));
    let mut negative = rows(20);
    negative[2].viscosity_pa_s = -1.0;
    let message = make(&negative).unwrap_err().to_string();
    assert_eq!(message, "row 3 of `x`: the viscosity is -1, it must be a positive number");
    let mut disordered = rows(20);
    disordered.swap(0, 1);
    assert!(matches!(make(&disordered), Err(MediaError::NotRising { row: 2, .. })));
    let options =
        TableOptions { vapour_pressure: vec![(300.0, 5.0), (310.0, 4.0)], ..TableOptions::default() };
    assert!(matches!(
        Liquid::from_table("x", &rows(20), &options),
        Err(MediaError::NotRising { row: 2, .. })
    ));
}
