//! Outside surfaces, radiation, fins, machines and compact cores, against the tables.

use crate::support::check_table;
use correlations::{
    compact::{louver, offset_strip},
    external, fin, natural, radiation,
};
use testkit::{Worst, table};

#[test]
fn every_row_through_the_list() {
    let by_relation = |row: &testkit::Row| row.text("relation").to_owned();
    check_table("external_forced.csv", 25, by_relation);
    check_table("natural_convection.csv", 23, by_relation);
    check_table("radiation.csv", 11, by_relation);
    check_table("pump_fan_affinity.csv", 24, by_relation);
    check_table("compact_louver.csv", 30, by_relation);
}

#[test]
fn every_fin_and_strip_through_the_list() {
    check_table("fin_efficiency.csv", 13, |row| row.text("fin").to_owned());
    check_table("compact_offset_strip.csv", 25, |row| match row.text("quantity") {
        "hydraulic_diameter" => "offset_strip_hydraulic_diameter".to_owned(),
        _ => "manglik_bergles_1995".to_owned(),
    });
}

#[test]
fn plates_and_cylinders_in_the_hot_path() {
    let mut worst = Worst::new();
    for row in table("external_forced.csv").rows() {
        let (re, pr) = (row.number("reynolds"), row.number("prandtl"));
        match row.text("relation") {
            "flat_plate_laminar_mean_0.664" | "flat_plate_mixed_Rec_5e5" => {
                worst.check(row, external::flat_plate_mean(re, pr));
            }
            "vdi_plate_root_sum_square" => worst.check(row, external::flat_plate_vdi(re, pr)),
            "churchill_bernstein_1977_cylinder" => worst.check(row, external::cylinder(re, pr)),
            _ => {}
        }
    }
    for row in table("natural_convection.csv").rows() {
        let (ra, pr) = (row.number("rayleigh"), row.number("prandtl"));
        let nusselt: f64 = match row.text("relation") {
            "churchill_chu_1975_vertical_plate_all_Ra" => natural::vertical_plate(ra, pr),
            "churchill_chu_1975_vertical_plate_laminar" => natural::vertical_plate_laminar(ra, pr),
            "churchill_chu_1975_horizontal_cylinder" => natural::horizontal_cylinder(ra, pr),
            "mcadams_horizontal_plate_hot_face_up" => natural::plate_hot_face_up(ra),
            other => panic!("no function for {other}"),
        };
        worst.check(row, nusselt);
    }
    worst.finish(38);
}

#[test]
fn radiation_and_fins_in_the_hot_path() {
    let mut worst = Worst::new();
    for row in table("radiation.csv").select("relation", "grey_surface_to_large_enclosure_exact") {
        let (e, hot, cold) =
            (row.number("emissivity"), row.number("temperature_1_K"), row.number("temperature_2_K"));
        let value: f64 = match row.text("quantity") {
            "heat_flux" => radiation::heat_flux(e, hot, cold),
            _ => radiation::coefficient(e, hot, cold),
        };
        worst.check(row, value);
    }
    for row in table("fin_efficiency.csv").rows() {
        let m: f64 = fin::parameter(
            row.number("heat_transfer_coefficient_W_m2K"),
            row.number("conductivity_W_mK"),
            row.number("thickness_m"),
        );
        let eta = match row.text("fin") {
            "straight_rectangular_adiabatic_tip" => fin::straight_efficiency(m * row.number("length_m")),
            "straight_rectangular_corrected_length" => {
                fin::straight_efficiency(m * (row.number("length_m") + 0.5 * row.number("thickness_m")))
            }
            _ => {
                let root = row.number("root_radius_m");
                fin::annular_efficiency(m * root, row.number("tip_radius_m") / root)
            }
        };
        worst.check(row, eta);
    }
    worst.finish(19);
}

#[test]
fn compact_cores_in_the_hot_path() {
    let mut worst = Worst::new();
    for row in table("compact_offset_strip.csv").rows() {
        let geometry = offset_strip::Geometry::new(
            row.number("fin_spacing_s_m"),
            row.number("fin_height_h_m"),
            row.number("strip_length_l_m"),
            row.number("fin_thickness_t_m"),
        )
        .unwrap();
        let value = match row.text("quantity") {
            "hydraulic_diameter" => geometry.hydraulic_diameter_m(),
            "colburn_j" => offset_strip::colburn_j(row.number("reynolds_Dh"), &geometry),
            _ => offset_strip::fanning_f(row.number("reynolds_Dh"), &geometry),
        };
        worst.check(row, value);
    }
    for row in table("compact_louver.csv").select("relation", "chang_et_al_2006_amended") {
        let geometry = louver::Geometry::new(&fin_of(row)).unwrap();
        worst.check(row, louver::fanning_f(row.number("reynolds_louver_pitch"), &geometry));
    }
    worst.finish(25 + 10);
}

/// The louvered fin of a row of the table.
pub(crate) fn fin_of(row: &testkit::Row) -> louver::Fin {
    louver::Fin {
        louver_angle_deg: row.number("louver_angle_deg"),
        fin_pitch_m: row.number("fin_pitch_m"),
        louver_pitch_m: row.number("louver_pitch_m"),
        fin_height_m: row.number("fin_height_m"),
        flow_depth_m: row.number("flow_depth_m"),
        louver_length_m: row.number("louver_length_m"),
        tube_pitch_m: row.number("tube_pitch_m"),
        fin_thickness_m: row.number("fin_thickness_m"),
        tube_minor_dimension_m: row.number("tube_minor_dimension_m"),
        fin_array_hydraulic_diameter_m: row.number("fin_array_hydraulic_diameter_m"),
    }
}

#[test]
fn impossible_cores_are_refused_by_name() {
    let good = fin_of(table("compact_louver.csv").select("relation", "chang_et_al_2000")[0]);
    let wide = louver::Fin { tube_minor_dimension_m: 0.011, ..good };
    assert!(louver::Geometry::new(&wide).unwrap_err().to_string().contains("tube pitch"));
    let foil = louver::Fin { fin_thickness_m: 1e-5, ..good };
    assert!(louver::Geometry::new(&foil).unwrap_err().to_string().contains("thickness over fin pitch"));
    let nothing = louver::Fin { flow_depth_m: f64::NAN, ..good };
    assert!(louver::Geometry::new(&nothing).unwrap_err().to_string().contains("flow depth"));
    assert!(offset_strip::Geometry::new(1e-3, 4e-3, 0.0, 1e-4).is_err());
}

/// ht 1.2.0, `Nu_horizontal_plate_Rohsenow` and `Nu_horizontal_plate_McAdams` with `buoyancy=False` (Rohsenow et al. 1998; McAdams).
#[test]
fn a_hot_face_down_cools_no_better_than_either_handbook() {
    let printed = [
        (0.71_f64, 1e5_f64, 5.158_009_049_f64, 4.801_354_407_f64),
        (0.71, 1e6, 7.534_186_650, 8.538_149_682),
        (0.71, 1e8, 17.178_181_634, 27.0),
        (0.71, 1e10, 41.323_312_421, 85.381_496_825),
        (7.0, 1e7, 13.680_231_630, 15.183_215_780),
        (100.0, 1e9, 34.281_110_307, 48.013_544_071),
    ];
    for (pr, ra, later, old) in printed {
        let name = format!("Pr {pr}, Ra {ra}");
        testkit::assert_close(&name, natural::plate_hot_face_down_later(ra, pr), later, 1e-9);
        testkit::assert_close(&name, natural::plate_hot_face_down_mcadams(ra), old, 1e-9);
        let used: f64 = natural::plate_hot_face_down(ra, pr);
        assert!(used <= later.min(old) * (1.0 + 1e-9) && used > 0.98 * later.min(old), "{name}: {used}");
    }
}

/// The exact straight fin with the same film on its tip, per width: `q = k t m (sinh mL + H cosh mL)/(cosh mL + H sinh mL)`, `H = h/(m k)`.
#[test]
fn the_corrected_length_is_within_what_it_states() {
    for (group, stated) in [(0.06_f64, 0.01), (0.1, 0.02), (0.5, 0.08)] {
        let mut worst = 0.0_f64;
        for step in 1..=400 {
            let length = 0.05 * f64::from(step);
            let m: f64 = fin::parameter(group, 1.0, 1.0);
            let (sinh, cosh, tip) = ((m * length).sinh(), (m * length).cosh(), group / m);
            let exact = m * (sinh + tip * cosh) / (cosh + tip * sinh);
            let corrected = length + 0.5;
            let efficiency: f64 = fin::straight_efficiency(m * corrected);
            worst = worst.max((efficiency * group * 2.0 * corrected / exact - 1.0).abs());
        }
        assert!(worst < stated && worst > 0.2 * stated, "h t/k {group}: {worst}");
    }
}
