use super::*;
use num_dual::first_derivative;
use testkit::{Row, Worst, assert_close, assert_within, table};

fn mesh(row: &Row) -> Mesh {
    Mesh {
        power_share: 1.0,
        pinion_teeth: row.number("pinion_teeth") as u32,
        tooth_ratio: row.number("gear_ratio"),
        base_helix_rad: row.number("base_helix_angle_deg").to_radians(),
        tip_contact_ratio_1: row.number("tip_contact_ratio_1"),
        tip_contact_ratio_2: row.number("tip_contact_ratio_2"),
        friction: row.number("mesh_friction_coefficient"),
    }
}

fn wheel(row: &Row) -> ChurningWheel {
    ChurningWheel {
        speed_ratio: 1.0,
        pitch_radius_m: row.number("pitch_radius_m"),
        face_width_m: row.number("face_width_m"),
        module_m: row.number("module_m"),
        immersion_depth_m: row.number("immersion_depth_m"),
        oil_volume_m3: row.number("oil_volume_m3"),
        immersed_area_m2: row.number("immersed_area_m2"),
    }
}

/// The box of a row through the public path, at the row's working point.
fn heat(row: &Row, geometry: GearGeometry) -> GearHeat<f64> {
    let point = GearPoint {
        input_power_w: row.maybe("transmitted_power_W").unwrap_or(0.0),
        input_speed_rad_s: row.maybe("speed_rad_s").unwrap_or(100.0),
        oil_density_kg_m3: row.maybe("density_kg_m3").unwrap_or(900.0),
        oil_kinematic_viscosity_m2_s: row.maybe("kinematic_viscosity_m2_s").unwrap_or(3e-5),
    };
    Gearbox::new(3.0, GearLosses::Geometry(geometry)).unwrap().heat(&point)
}

#[test]
fn every_row_of_the_gear_table() {
    let mut worst = Worst::new();
    for row in table("gear_loss.csv").rows() {
        let computed = match row.text("quantity") {
            "loss_factor_Hv" => mesh_loss_factor(&mesh(row)),
            "mesh_power_loss" => {
                heat(row, GearGeometry { meshes: vec![mesh(row)], ..Default::default() }).mesh_w
            }
            "drag_coefficient_Cm" => drag_coefficient(
                &wheel(row),
                row.number("speed_rad_s"),
                row.number("kinematic_viscosity_m2_s"),
            ),
            "churning_power" => {
                heat(row, GearGeometry { wheels: vec![wheel(row)], ..Default::default() }).churning_w
            }
            other => panic!("unknown quantity {other}"),
        };
        worst.check(row, computed);
    }
    worst.finish(14);
}

fn small_box() -> Gearbox {
    let mesh = Mesh {
        power_share: 1.0,
        pinion_teeth: 20,
        tooth_ratio: 3.0,
        base_helix_rad: 0.0,
        tip_contact_ratio_1: 0.75,
        tip_contact_ratio_2: 0.85,
        friction: 0.05,
    };
    let wheel = ChurningWheel {
        speed_ratio: 1.0,
        pitch_radius_m: 0.05,
        face_width_m: 0.02,
        module_m: 0.0025,
        immersion_depth_m: 0.015,
        oil_volume_m3: 0.0005,
        immersed_area_m2: 0.0025,
    };
    let bearing = Bearing {
        speed_ratio: 1.0,
        mean_diameter_m: 0.05,
        lubrication_factor: 2.0,
        load_factor: 0.0005,
        idle_load_n: 100.0,
        load_per_torque_per_m: 10.0,
    };
    let geometry = GearGeometry { meshes: vec![mesh], wheels: vec![wheel], bearings: vec![bearing] };
    Gearbox::new(3.0, GearLosses::Geometry(geometry)).unwrap()
}

fn point(power_w: f64, speed: f64, viscosity: f64) -> GearPoint<f64> {
    GearPoint {
        input_power_w: power_w,
        input_speed_rad_s: speed,
        oil_density_kg_m3: 880.0,
        oil_kinematic_viscosity_m2_s: viscosity,
    }
}

#[test]
fn a_bearing_by_hand() {
    // d_m 50 mm, f0 2, nu 20 mm2/s, n 3000 1/min: nu n = 60000, ^(2/3) = 1532.6;
    // M0 = 1e-7 x 2 x 1532.6 x 125000 = 38.315 N mm; M1 = 0.0005 x 600 N x 50 mm = 15 N mm; M = 53.315 N mm
    let bearing = Bearing {
        speed_ratio: 1.0,
        mean_diameter_m: 0.05,
        lubrication_factor: 2.0,
        load_factor: 0.0005,
        idle_load_n: 600.0,
        load_per_torque_per_m: 0.0,
    };
    let speed = 3000.0 * std::f64::consts::TAU / 60.0;
    assert_close("N m", bearing_drag_nm(&bearing, speed, 600.0, 20e-6), 53.315e-3, 1e-4);
    // slow and thin: 160e-7 x 2 x 125000 = 4 N mm
    assert_close("N m", bearing_drag_nm(&bearing, 1.0, 0.0, 20e-6), 4e-3, 1e-12);
}

#[test]
fn a_fully_dipped_smooth_disc_is_wetted_on_both_faces_and_the_rim() {
    // 2 pi R^2 + 2 pi R b
    let expected = std::f64::consts::TAU * (0.05 * 0.05 + 0.05 * 0.02);
    assert_close("area", immersed_area_m2(0.05, 0.02, 0.1, 0, 0.0, 0.35, 0.0), expected, 1e-12);
    // half dipped: half of it
    assert_close("area", immersed_area_m2(0.05, 0.02, 0.05, 0, 0.0, 0.35, 0.0), 0.5 * expected, 1e-12);
}

#[test]
fn an_efficiency_by_hand_and_the_input_for_an_output() {
    let drag = Loss::PowerLaw { reference_w: 200.0, reference_load: 500.0, exponent: 2.0 };
    let gearbox = Gearbox::new(3.0, GearLosses::Efficiency { efficiency: 0.99, drag }).unwrap();
    // 100 kW, 250 rad/s: 1000 W in the mesh, 200 / 4 = 50 W drag
    let heat = gearbox.heat(&point(100e3, 250.0, 2e-5));
    assert_close("mesh", heat.mesh_w, 1000.0, 1e-9);
    assert_close("drag", heat.churning_w, 50.0, 1e-6);
    // P_in = (P_out + 50) / 0.99 = 101060.606 W for 100 kW out
    let (input, heat) = gearbox.from_output(100e3, &point(0.0, 250.0, 2e-5));
    assert_close("input", input, (100e3 + 50.0) / 0.99, 1e-9);
    assert_close("closure", input - heat.total(), 100e3, 1e-12);
    // the output drives (windmilling): less comes out than goes in
    let (back, heat) = gearbox.from_output(-10e3, &point(0.0, 250.0, 2e-5));
    assert_close("closure", back - heat.total(), -10e3, 1e-9);
    assert!(back > -10e3);
}

#[test]
fn a_map_is_read_at_torque_and_speed() {
    let map =
        LossSurface::new(&[0.0, 200.0, 400.0], &[0.0, 500.0], &[0.0, 100.0, 200.0, 500.0, 400.0, 900.0])
            .unwrap();
    let gearbox = Gearbox::new(2.0, GearLosses::Map(map)).unwrap();
    // 50 kW at 250 rad/s = 200 N m: middle of 200 and 500 W
    assert_close("map", gearbox.heat(&point(50e3, 250.0, 2e-5)).total(), 350.0, 1e-6);
    assert!(gearbox.is_in_range(50e3, 250.0) && !gearbox.is_in_range(200e3, 250.0));
}

#[test]
fn thicker_oil_churns_more_and_the_slope_is_exact() {
    let gearbox = small_box();
    let cold = gearbox.heat(&point(50e3, 100.0, 3e-4)).churning_w;
    let warm = gearbox.heat(&point(50e3, 100.0, 3e-5)).churning_w;
    assert!(cold > warm, "{cold} {warm}");
    for viscosity in [1e-5, 2.4e-5, 2.5e-5, 2.6e-5, 1e-4, 1e-3] {
        for speed in [80.0, 200.0, 260.0, 500.0] {
            let total = |nu: f64| gearbox.heat(&point(50e3, speed, nu)).total();
            let (_, slope) = first_derivative(
                |nu| {
                    let point = GearPoint {
                        input_power_w: constant(50e3),
                        input_speed_rad_s: speed,
                        oil_density_kg_m3: constant(880.0),
                        oil_kinematic_viscosity_m2_s: nu,
                    };
                    gearbox.heat(&point).total()
                },
                viscosity,
            );
            let step = 1e-6 * viscosity;
            let central = (total(viscosity + step) - total(viscosity - step)) / (2.0 * step);
            assert_within("slope", slope, central, 1e-4 * central.abs() + 1e-3);
        }
    }
}

#[test]
fn a_box_at_rest_makes_no_heat_and_its_slopes_are_finite() {
    let drag = Loss::PowerLaw { reference_w: 200.0, reference_load: 500.0, exponent: 1.5 };
    for gearbox in [
        small_box(),
        Gearbox::none(),
        Gearbox::new(2.0, GearLosses::Fixed { mesh_w: 300.0, churning_w: 100.0 }).unwrap(),
        Gearbox::new(2.0, GearLosses::Efficiency { efficiency: 0.98, drag }).unwrap(),
    ] {
        let (value, slope): (f64, f64) = first_derivative(
            |power| {
                let point = GearPoint {
                    input_power_w: power,
                    input_speed_rad_s: 0.0,
                    oil_density_kg_m3: constant(880.0),
                    oil_kinematic_viscosity_m2_s: constant(1e-4),
                };
                gearbox.heat(&point).total()
            },
            0.0,
        );
        assert_within("heat at rest", value, 0.0, 1e-9);
        assert!(slope.is_finite());
    }
}

#[test]
fn bad_boxes_are_refused() {
    assert!(Gearbox::new(0.0, GearLosses::None).is_err());
    assert!(Gearbox::new(2.0, GearLosses::Geometry(GearGeometry::default())).is_err());
    assert!(Gearbox::new(2.0, GearLosses::Efficiency { efficiency: 0.0, drag: Loss::NONE }).is_err());
}
