use media::air;
use testkit::{Worst, table};

#[test]
fn air_agrees_with_the_reference_equation_and_the_standard_atmosphere() {
    let mut worst = Worst::new();
    for row in &table("air_properties.csv") {
        let t = row.number("temperature_K");
        let computed = match row.text("quantity") {
            "density" => air::density(t, row.number("pressure_Pa")),
            "specific_heat" => air::specific_heat(t),
            "dynamic_viscosity" => air::viscosity(t),
            "thermal_conductivity" if row.text("relation") == "us_standard_atmosphere_1976" => {
                air::conductivity_us_standard_1976(t)
            }
            "thermal_conductivity" => air::conductivity(t),
            "prandtl" => air::prandtl(t),
            other => panic!("no property is called {other}"),
        };
        worst.check(row, computed);
    }
    worst.finish(67);
    print!("{}", worst.markdown_rows());
}

#[test]
fn enthalpy_equals_the_reference_equation() {
    let mut worst = Worst::new();
    for row in &table("air_enthalpy.csv") {
        worst.check(row, air::enthalpy(row.number("temperature_K")));
    }
    worst.finish(8);
    print!("{}", worst.markdown_rows());
}

#[test]
fn the_gas_constant_is_that_of_the_standard() {
    // ISO 2533: 287.05287 J/(kg K) (molar gas constant 8314.32 J/(kmol K) over 28.964420 kg/kmol)
    testkit::assert_close("gas constant", air::GAS_CONSTANT, 8314.32 / 28.964_420, 1e-7);
}
