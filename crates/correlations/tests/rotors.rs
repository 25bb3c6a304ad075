//! Rotating surfaces, against the tables.

use crate::support::check_table;
use correlations::{rotating_free, rotating_gap, windage};
use testkit::{Worst, assert_close, table};

#[test]
fn every_row_through_the_list() {
    let by_relation = |row: &testkit::Row| row.text("relation").to_owned();
    check_table("rotating_gap_heat.csv", 30, by_relation);
    check_table("rotating_windage.csv", 44, by_relation);
    check_table("rotating_free_convection.csv", 14, by_relation);
}

#[test]
fn the_gap_in_the_hot_path() {
    let mut worst = Worst::new();
    for row in table("rotating_gap_heat.csv").rows() {
        let (radius, gap) = (row.number("rotor_radius_m"), row.number("gap_m"));
        let factor = match row.text("relation") {
            "becker_kaye_1962_with_geometry_factor" => rotating_gap::geometry_factor(radius, gap),
            _ => 1.0,
        };
        let (speed, viscosity) = (row.number("speed_rad_s"), row.number("kinematic_viscosity_m2_s"));
        let taylor = rotating_gap::taylor_number(speed, radius, gap, viscosity) / factor;
        let nusselt = rotating_gap::nusselt_on_two_delta(taylor);
        worst.check(
            row,
            match row.text("quantity") {
                "taylor_number" => taylor,
                "nusselt_on_2_delta" => nusselt,
                _ => rotating_gap::heat_transfer_coefficient(nusselt, row.number("conductivity_W_mK"), gap),
            },
        );
    }
    worst.finish(30);
    // limit of a vanishing gap, stated with the source
    assert_close("narrow gap", rotating_gap::geometry_factor(1.0, 1e-9), 0.9955, 1e-4);
}

#[test]
fn windage_in_the_hot_path() {
    let mut worst = Worst::new();
    for row in table("rotating_windage.csv").rows() {
        let (w, r, mu) = (row.number("speed_rad_s"), row.number("radius_m"), row.number("viscosity_Pa_s"));
        let (gap, rho) = (row.maybe("gap_m").unwrap_or(0.0), row.maybe("density_kg_m3").unwrap_or(0.0));
        let length = row.maybe("length_m").unwrap_or(0.0);
        let re = windage::rotational_reynolds(w, r, rho, mu);
        let couette = windage::couette_reynolds(w, r, gap, rho, mu);
        let value = match (row.text("relation"), row.text("quantity")) {
            ("bilgen_boulos_1973_cylinder_in_gap", "couette_reynolds") => couette,
            ("bilgen_boulos_1973_cylinder_in_gap", "power") => {
                windage::cylinder_in_gap_power(w, r, gap, length, rho, mu)
            }
            ("bilgen_boulos_1973_cylinder_in_gap", _) => {
                windage::cylinder_in_gap_coefficient(couette, gap / r)
            }
            ("laminar_concentric_cylinders_exact", _) => {
                windage::concentric_cylinders_laminar_power(w, r, gap, length, mu)
            }
            ("daily_nece_1960_largest_of_four", _) => windage::enclosed_disc(re, gap / r),
            (name, "power") if name.starts_with("free_disc") => windage::free_disc_power(w, r, rho, mu),
            (name, _) if name.starts_with("free_disc") => windage::free_disc_both_faces(re),
            _ => continue,
        };
        worst.check(row, value);
    }
    worst.finish(28);
}

#[test]
fn free_rotors_in_the_hot_path() {
    let mut worst = Worst::new();
    for row in table("rotating_free_convection.csv").rows() {
        let (re, pr) = (row.number("rotational_reynolds"), row.number("prandtl"));
        match row.text("quantity") {
            "nusselt_on_radius" | "nusselt_mean_on_radius" => worst.check(row, rotating_free::disc(re, pr)),
            "nusselt_on_diameter" if row.text("relation") == "rotating_cylinder_becker_1963" => {
                worst.check(row, rotating_free::cylinder(re, pr));
            }
            _ => {}
        }
    }
    worst.finish(9);
}

#[test]
fn the_laminar_disc_meets_its_limit_at_large_prandtl_numbers() {
    // Levich's limit for large Pr with two further terms (Newman 1966, from memory)
    for pr in [150.0_f64, 400.0, 900.0] {
        let levich = 0.62048 * pr.cbrt() / (1.0 + 0.2980 / pr.cbrt() + 0.14514 / pr.cbrt().powi(2));
        assert_close(&format!("Pr {pr}"), rotating_free::disc_laminar(1.0, pr), levich, 2e-3);
    }
}

#[test]
fn a_housed_disc_in_merged_laminar_flow_is_exact() {
    // Couette flow between disc and wall: C_M = 2 pi/(g Re) for both faces
    let (re, gap) = (500.0, 0.01);
    let exact = 2.0 * std::f64::consts::PI / (gap * re);
    assert_close("regime I", windage::enclosed_disc(re, gap), exact, 1e-15);
    let power: f64 = windage::enclosed_disc_power(10.0, 0.1, 0.001, 1.0, 2e-4);
    assert_close("power", power, 0.5 * exact * 1e3 * 0.1_f64.powi(5), 1e-12);
}

#[test]
fn nothing_turns_at_rest() {
    assert_eq!(windage::cylinder_in_gap_power(0.0, 0.05, 0.001, 0.1, 1.1, 1.9e-5), 0.0);
    assert_eq!(windage::free_disc_power(0.0, 0.05, 1.1, 1.9e-5), 0.0);
    assert_eq!(windage::enclosed_disc_power(0.0, 0.05, 0.001, 1.1, 1.9e-5), 0.0);
    assert_eq!(rotating_gap::nusselt_on_two_delta(0.0), 2.0);
}
