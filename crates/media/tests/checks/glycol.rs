use crate::property;
use media::{Glycol, Liquid, Strength, ethylene_glycol_conde};
use testkit::{Row, Worst, assert_close, assert_within, table};

fn base(fluid: &str) -> &str {
    if fluid.contains("ethylene") { "ethylene-glycol" } else { "propylene-glycol" }
}

fn by_mass(row: &Row) -> Liquid {
    Liquid::named(&format!("{}:{}", base(row.text("fluid")), row.text("glycol_mass_fraction"))).unwrap()
}

#[test]
fn properties_by_mass_equal_melinder() {
    let mut worst = Worst::new();
    for row in table("coolant_properties.csv").select_where("glycol", |row| row.text("fluid") != "water") {
        let liquid = by_mass(row);
        // the same equation is meant: far inside the table's tolerance, above 100 degC as well
        assert_close(&row.case_id(), property(&liquid, row), row.expected(), 2e-6);
        worst.check(row, property(&liquid, row));
        let extrapolated = row.text("note").starts_with("extrapolated");
        assert_eq!(liquid.in_range(row.number("temperature_K")), !extrapolated, "{}", row.case_id());
    }
    worst.finish(96);
    print!("{}", worst.markdown_rows());
}

#[test]
fn properties_by_volume_agree_with_the_tables_of_inhibited_glycol() {
    let (mut worst, mut beyond) = (Worst::new(), Worst::new());
    for row in &table("coolant_volume_basis.csv") {
        let name = format!("{}:{}vol", base(row.text("fluid")), row.text("glycol_volume_fraction"));
        let liquid = Liquid::named(&name).unwrap();
        if liquid.in_range(330.0) {
            worst.check(row, property(&liquid, row));
        } else {
            // 0.6 by volume is 0.626 by mass, outside the law and flagged: the other source is up to 13 % of its own
            // tolerance further away (density 1.1 %, viscosity 17 %)
            beyond.record(row, property(&liquid, row));
            assert!(row.error(property(&liquid, row)) < 1.15, "{}", row.case_id());
        }
    }
    worst.finish(37);
    assert_eq!(beyond.tables()["coolant_volume_basis.csv"].rows, 7);
    print!("{}", worst.markdown_rows());
}

/// Four of the seven rows at 60 % by volume lie outside their tolerance (density by 4 to 10 % of it, viscosity by 13 %). What
/// "by volume" is taken to mean does not explain it: volumes of the neat liquids at 20 degC (0.626 by mass), at 15.6 degC
/// (0.6263), at the temperature of the row (0.623), or the share of the volume of the mixture (0.619).
#[test]
fn no_reading_of_by_volume_explains_the_tables_of_inhibited_glycol() {
    let at =
        |mass: f64, row: &Row| property(&Liquid::named(&format!("ethylene-glycol:{mass}")).unwrap(), row);
    let strong =
        |row: &&Row| row.text("fluid").contains("ethylene") && row.number("glycol_volume_fraction") == 0.6;
    let mut densities = 0;
    for row in table("coolant_volume_basis.csv").rows().iter().filter(strong) {
        let deviation = |mass| at(mass, row) / row.expected() - 1.0;
        match row.text("quantity") {
            // even more glycol than any reading gives leaves the inhibited mixture 0.9 % denser
            // (beyond 110 degC the law is held, which hides part of it)
            "density" if row.number("temperature_K") < 383.2 => {
                densities += 1;
                for mass in [0.619, 0.623, 0.626, 0.63] {
                    assert!((-0.0116..-0.009).contains(&deviation(mass)), "{}: {mass}", row.case_id());
                }
                assert!((deviation(0.626) - deviation(0.619)).abs() < 1e-3, "{}", row.case_id());
            }
            // the weakest reading brings the viscosity to the edge of its 15 % and the density further away
            "dynamic_viscosity" => {
                assert_within("neat volumes", deviation(0.626), 0.17, 0.003);
                assert_within("volume of the mixture", deviation(0.619), 0.15, 0.003);
            }
            _ => assert!(row.error(at(0.626, row)) < 1.0, "{}", row.case_id()),
        }
    }
    assert_eq!(densities, 3);
    // the same lack of density at strengths inside the law, where the conversion hardly matters: it is the inhibitor and salts
    let weak = |row: &&Row| {
        row.text("quantity") == "density"
            && row.number("glycol_volume_fraction") == 0.3
            && (370.0..383.2).contains(&row.number("temperature_K"))
    };
    for row in table("coolant_volume_basis.csv").rows().iter().filter(weak) {
        assert_within(&row.case_id(), at(0.3234, row) / row.expected() - 1.0, -0.009, 0.0003);
    }
}

#[test]
fn freezing_points_equal_melinder() {
    let mut worst = Worst::new();
    for row in &table("coolant_freezing.csv") {
        let freezing = by_mass(row).freezing_point_k().unwrap();
        assert_within(&row.case_id(), freezing, row.expected(), 0.001);
        worst.check(row, freezing);
    }
    worst.finish(12);
    print!("{}", worst.markdown_rows());
    // practice.md section 6: table of freezing by volume 30/40/50 %: -16/-25/-37 degC (its own law says -25.9 and -37.2 for
    // 40 and 50 %): the difference must be
    // inside the stated spread, and the handbook is the warmer one
    for (volume, celsius) in [(0.3, -16.0), (0.4, -25.0), (0.5, -37.0)] {
        let liquid = Liquid::named(&format!("ethylene-glycol:{volume}vol")).unwrap();
        let spread = liquid.spread().freezing_k.unwrap();
        assert_within("freezing by volume", liquid.freezing_point_k().unwrap() - 273.15, celsius, spread);
        assert!(liquid.freezing_point_k().unwrap() - 273.15 < celsius);
        // the warm end, which margins are taken from, is on the safe side of every source
        let warmest = liquid.warmest_freezing_point_k().unwrap();
        assert!(warmest >= celsius + 273.15, "{volume}: {warmest}");
        let mass = Strength::Volume(volume).mass_fraction(Glycol::Ethylene).unwrap();
        assert!(warmest >= ethylene_glycol_conde(mass, 273.15).freezing_k, "{volume}: {warmest}");
    }
}

#[test]
fn enthalpy_differences_equal_the_reference_library() {
    let mut worst = Worst::new();
    for row in &table("glycol_enthalpy.csv") {
        let liquid = by_mass(row);
        let (from, to) = (row.number("from_temperature_K"), row.number("temperature_K"));
        worst.check(row, liquid.enthalpy(to) - liquid.enthalpy(from));
    }
    worst.finish(12);
    print!("{}", worst.markdown_rows());
}

#[test]
fn the_second_law_equals_its_published_table() {
    // practice.md section 6, xi = 0.50: degC, kg/m3, J/(kg K), W/(m K), mPa s
    let rows = [
        (-20.0, 1098.3, 3164.0, 0.4140, 24.78),
        (0.0, 1089.6, 3241.0, 0.4106, 8.98),
        (20.0, 1078.8, 3321.0, 0.4057, 4.17),
        (40.0, 1066.9, 3402.0, 0.3998, 2.33),
        (60.0, 1054.6, 3482.0, 0.3935, 1.48),
        (80.0, 1042.2, 3559.0, 0.3870, 1.05),
        (100.0, 1030.0, 3633.0, 0.3804, 0.80),
    ];
    // and its freezing points at 40 and 50 % by volume: -25.9 and -37.2 degC
    for (volume, celsius) in [(0.4, -25.9), (0.5, -37.2)] {
        let mass = Strength::Volume(volume).mass_fraction(Glycol::Ethylene).unwrap();
        assert_within("freezing", ethylene_glycol_conde(mass, 273.15).freezing_k - 273.15, celsius, 0.05);
    }
    for (celsius, density, specific_heat, conductivity, viscosity) in rows {
        let law = ethylene_glycol_conde(0.5, celsius + 273.15);
        assert_within("density", law.density_kg_m3, density, 0.06);
        assert_within("specific heat", law.specific_heat_j_kgk, specific_heat, 0.6);
        assert_within("conductivity", law.conductivity_w_mk, conductivity, 0.00006);
        assert_within("viscosity", law.viscosity_pa_s * 1e3, viscosity, 0.006);
    }
}

#[test]
fn the_spread_covers_the_second_law() {
    for name in ["ethylene-glycol:0.3", "ethylene-glycol:0.5", "ethylene-glycol:0.6"] {
        let liquid = Liquid::named(name).unwrap();
        let mass: f64 = name.split(':').nth(1).unwrap().parse().unwrap();
        let (low, high) = liquid.range_k();
        let spread = liquid.spread();
        for k in 0..=100 {
            let t = low + (high - low) * f64::from(k) / 100.0;
            let other = ethylene_glycol_conde(mass, t);
            // the spread is sampled at 33 temperatures: allow a tenth of a per cent between them
            let within = |ours: f64, theirs: f64, spread: f64| (theirs / ours - 1.0).abs() <= spread + 0.001;
            assert!(within(liquid.density(t), other.density_kg_m3, spread.density));
            assert!(within(liquid.specific_heat(t), other.specific_heat_j_kgk, spread.specific_heat));
            assert!(within(liquid.viscosity(t), other.viscosity_pa_s, spread.viscosity));
            assert!(within(liquid.conductivity(t), other.conductivity_w_mk, spread.conductivity));
        }
        println!("{name}: {spread:?}");
    }
}

#[test]
fn the_spread_covers_the_viscosities_of_practice() {
    // practice.md section 6: handbook-type table for 50 % by volume, mPa s
    let liquid = Liquid::named("ethylene-glycol:0.5vol").unwrap();
    for (celsius, viscosity) in [(26.7_f64, 2.8_f64), (48.9, 1.5), (71.1, 0.95)] {
        let ours = liquid.viscosity(celsius + 273.15) * 1e3;
        // a tenth of a per cent for the printed digits
        assert!((viscosity / ours - 1.0).abs() <= liquid.spread().viscosity + 0.001, "{celsius}: {ours}");
    }
}

#[test]
fn expansion_is_that_of_practice() {
    // practice.md section 6, 50 % (by the other density law): 20 to 100 degC +4.7 %, -30 to 100 degC +6.9 %
    let liquid = Liquid::named("ethylene-glycol:0.5").unwrap();
    let growth = |from: f64, to: f64| liquid.density(from) / liquid.density(to) - 1.0;
    // Melinder: 5.7 % and 8.3 %; the two laws differ by 1 % of density
    assert_within("20 to 100 degC", growth(293.15, 373.15), 0.047, 0.013);
    assert_within("-30 to 100 degC", growth(243.15, 373.15), 0.069, 0.013);
}

#[test]
fn too_strong_is_flagged_and_then_refused() {
    let strong = Liquid::named("ethylene-glycol:0.6vol").unwrap();
    assert!(!strong.in_range(320.0) && strong.description().contains("stronger"));
    assert!(Liquid::named("ethylene-glycol:0.7").is_err());
}
