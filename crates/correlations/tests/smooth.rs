//! Value and slope run on through every seam, and the derivative that comes out is the derivative.

use crate::{
    outside::fin_of,
    support::{check_seam, check_slope, log_points},
};
use correlations::{
    compact::{louver, offset_strip},
    exchanger, external, fin, friction, internal, natural, rotating_free, rotating_gap, windage,
};
use num_dual::Dual64;

fn c(x: f64) -> Dual64 {
    Dual64::from(x)
}

fn strip() -> offset_strip::Geometry {
    offset_strip::Geometry::new(1.4e-3, 6.35e-3, 3.18e-3, 1.02e-4).expect("a sound strip")
}

fn louvered() -> [louver::Geometry; 2] {
    let table = testkit::table("compact_louver.csv");
    let rows = table.select("relation", "chang_et_al_2006_amended");
    [rows[0], rows[rows.len() - 1]].map(|row| louver::Geometry::new(&fin_of(row)).expect("a sound fin"))
}

#[test]
fn nothing_jumps_or_bends_at_a_seam() {
    for (length, laminar) in [(20.0, 3.66), (200.0, 7.54)] {
        let nusselt = |re| internal::nusselt_developing_laminar_turbulent(re, c(7.0), length, 1e-3, laminar);
        for at in [length / 7.0, 2300.0, 2500.0, 3800.0, 4000.0] {
            check_seam("nusselt", nusselt, at);
        }
        let ratio = |re| internal::heat_atlas_ratio(re, c(7.0), length, 1e-3, laminar);
        for at in [2300.0, 2500.0, 3800.0, 4000.0, 9600.0, 1e4] {
            check_seam("heat atlas", ratio, at);
        }
        for place in [-1.0, 1.0] {
            let factor = |re| internal::published_factor(place, ratio(re), c(0.9));
            for at in [2300.0, 5500.0, 6000.0, 6500.0, 7000.0, 7500.0] {
                check_seam("published", factor, at);
            }
        }
    }
    for at in [2000.0, 4000.0] {
        check_seam("bridge", |re| friction::darcy_laminar_colebrook(re, 1e-3), at);
    }
    for at in [5e5, 6e5] {
        check_seam("plate", |re| external::flat_plate_mean(re, c(0.71)), at);
    }
    for at in [1e7, 2e7] {
        check_seam("hot plate", natural::plate_hot_face_up, at);
    }
    for at in [1790.0, 2090.0, 6e3, 9e3, 1.1e4] {
        check_seam("gap", rotating_gap::nusselt_on_two_delta, at);
    }
    for at in [58.2, 70.4, 200.0, 455.0, 550.0, 2e3, 9e3, 1.1e4] {
        check_seam("windage", |re| windage::cylinder_in_gap_coefficient(re, 0.02), at);
    }
    for gap in [0.002_f64, 0.02, 0.065, 0.07] {
        let onset = windage::CRITICAL_TAYLOR / gap.sqrt();
        for at in [58.2, 70.4, 455.0, 550.0, onset, 1.02 * onset] {
            check_seam("windage, any gap", |re| windage::cylinder_any_gap_times_reynolds(re, gap), at);
        }
    }
    for at in [2e5, 3e5, 5e5] {
        check_seam("hot face down", |ra| natural::plate_hot_face_down(ra, c(0.71)), at);
    }
    for at in [2.4e5, 3.75e5] {
        check_seam("free disc", windage::free_disc_both_faces, at);
        check_seam("disc heat", |re| rotating_free::disc(re, c(0.71)), at);
    }
    check_seam("strip j", |re| offset_strip::colburn_j(re, &strip()), 120.0);
    check_seam("strip f", |re| offset_strip::fanning_f(re, &strip()), 120.0);
    for geometry in louvered() {
        check_seam("louver j", |re| louver::colburn_j(re, &geometry), 100.0);
        for at in [100.0, 122.0, 138.0, 180.0, 222.0, 238.0] {
            check_seam("louver f", |re| louver::fanning_f(re, &geometry), at);
        }
    }
    check_seam("fin", fin::straight_efficiency, 0.1);
    check_seam("counterflow", |n| exchanger::counterflow(n, c(0.99)), 2.0);
}

#[test]
fn the_largest_of_four_is_smooth_wherever_regimes_change() {
    for gap in [0.0127, 0.02, 0.05, 0.1, 0.217] {
        let coefficient = |re| windage::enclosed_disc_times_reynolds(re, gap);
        let points = log_points(1e2, 1e7, 4000);
        let mut slopes = Vec::new();
        for &re in &points {
            let (value, slope) = crate::support::value_and_slope(coefficient, re);
            slopes.push(slope * re / value);
        }
        // the logarithmic slope moves between 0 and 0.8; a corner would move it by 0.05 or more in one step of 0.3 %
        let largest = slopes.windows(2).map(|w| (w[1] - w[0]).abs()).fold(0.0, f64::max);
        assert!(largest < 0.05, "gap {gap}: the slope jumps by {largest}");
        assert!(slopes.iter().all(|s| (-1e-12..=0.81).contains(s)), "gap {gap}");
    }
}

#[test]
fn slopes_equal_central_differences() {
    let re = log_points(3.0, 3e6, 41);
    check_slope("churchill", |x| friction::darcy_churchill(x, 1e-3), &re);
    check_slope("churchill smooth", |x| friction::darcy_times_reynolds(x, 0.0, 96.0), &re);
    check_slope("colebrook", |x| friction::darcy_colebrook(x, 1e-3), &log_points(3e3, 1e7, 15));
    check_slope(
        "nusselt",
        |x| internal::nusselt_developing_laminar_turbulent(x, c(7.0), 30.0, 1e-3, 3.66),
        &log_points(0.7, 1e6, 60),
    );
    check_slope(
        "nusselt by Prandtl",
        |pr| internal::nusselt_developing_laminar_turbulent(c(3000.0), pr, 30.0, 0.0, 3.66),
        &[0.7, 7.0, 150.0],
    );
    check_slope("plate", |x| external::flat_plate_mean(x, c(0.71)), &re);
    check_slope("plate vdi", |x| external::flat_plate_vdi(x, c(0.71)), &re);
    check_slope("cylinder", |x| external::cylinder(x, c(0.71)), &re);
    let ra = log_points(1e-2, 1e11, 30);
    check_slope("vertical plate", |x| natural::vertical_plate(x, c(0.71)), &ra);
    check_slope("horizontal cylinder", |x| natural::horizontal_cylinder(x, c(0.71)), &ra);
    check_slope("hot plate", natural::plate_hot_face_up, &ra);
    check_slope("hot face down", |x| natural::plate_hot_face_down(x, c(0.71)), &ra);
    check_slope(
        "windage, any gap",
        |x| windage::cylinder_any_gap_times_reynolds(x, 0.02),
        &log_points(1.0, 1e5, 61),
    );
    check_slope("gap", rotating_gap::nusselt_on_two_delta, &log_points(10.0, 1e7, 60));
    check_slope("windage", |x| windage::cylinder_in_gap_coefficient(x, 0.02), &log_points(1.0, 1e5, 61));
    check_slope("disc", |x| windage::enclosed_disc(x, 0.05), &log_points(1e2, 1e7, 60));
    check_slope("free disc", windage::free_disc_both_faces, &log_points(1e2, 1e7, 60));
    check_slope("disc heat", |x| rotating_free::disc(x, c(0.71)), &log_points(1e2, 1e7, 60));
    check_slope("disc heat by Prandtl", |pr| rotating_free::disc_laminar(c(1e4), pr), &[0.71, 6.0, 200.0]);
    check_slope("straight fin", fin::straight_efficiency, &[1e-3, 0.05, 0.5, 3.0, 900.0]);
    check_slope("annular fin", |x| fin::annular_efficiency(x, 2.2), &[0.05, 0.5, 1.2, 3.0, 30.0]);
    check_slope("strip j", |x| offset_strip::colburn_j(x, &strip()), &log_points(5.0, 1e4, 30));
    check_slope("strip f", |x| offset_strip::fanning_f(x, &strip()), &log_points(5.0, 1e4, 30));
    let geometry = louvered()[0];
    check_slope("louver f", |x| louver::fanning_f(x, &geometry), &log_points(5.0, 5e3, 60));
    let ntu = log_points(1e-3, 200.0, 30);
    check_slope("counterflow", |x| exchanger::counterflow(x, c(0.8)), &ntu);
    check_slope("counterflow at 1", |x| exchanger::counterflow(c(2.0), x), &[0.9, 1.0]);
    check_slope("crossflow", |x| exchanger::crossflow_unmixed(x, c(0.8)), &ntu);
    check_slope("minimum mixed", |x| exchanger::crossflow_min_mixed(x, c(0.8)), &ntu[..20]);
    check_slope("maximum mixed", |x| exchanger::crossflow_max_mixed(x, c(0.8)), &ntu[..20]);
    check_slope("rows", |x| exchanger::crossflow_rows_counter(exchanger::Rows::Four, x, c(0.8)), &ntu[..20]);
    check_slope(
        "rows by ratio",
        |x| exchanger::crossflow_rows(exchanger::Rows::Four, c(2.0), x),
        &[1e-3, 0.5, 1.0],
    );
    check_slope(
        "mean difference",
        |x| exchanger::log_mean_temperature_difference(x, c(20.0)),
        &[1.0, 19.0, 19.999, 20.0, 20.5, 300.0],
    );
}

#[test]
fn blends_stay_within_the_deviation_they_state() {
    let worst = |low: f64, high: f64, relation: &dyn Fn(f64) -> f64, printed: &dyn Fn(f64) -> f64| {
        log_points(low, high, 400).iter().map(|&x| (relation(x) / printed(x) - 1.0).abs()).fold(0.0, f64::max)
    };
    let printed_gap = |ta: f64| match ta {
        ta if ta < 1700.0 => 2.0,
        ta if ta < 1e4 => 0.128 * ta.powf(0.367),
        ta => 0.409 * ta.powf(0.241),
    };
    let gap = worst(1e3, 1e5, &|x| rotating_gap::nusselt_on_two_delta(x), &printed_gap);
    assert!(gap < 0.021, "gap {gap}");
    for geometry in louvered() {
        let amended = |re: f64| {
            let original = |re: f64| louver::fanning_f_original(re, &geometry);
            let (low, high) = (original(130.0), original(230.0));
            if re <= 130.0 || re >= 230.0 {
                return original(re);
            }
            let w = 3.6 - 0.02 * re;
            (0.5 * ((1.0 + w) * low * low + (1.0 - w) * high * high)).sqrt()
        };
        let louver = worst(101.0, 5e3, &|x| louver::fanning_f(x, &geometry), &amended);
        assert!(louver < 0.01, "louver {louver}");
    }
    let largest = |re: f64| {
        let g = 0.05_f64;
        let four = [
            2.0 * std::f64::consts::PI / (g * re),
            3.70 * g.powf(0.1) * re.powf(-0.5),
            0.080 * g.powf(-1.0 / 6.0) * re.powf(-0.25),
            0.102 * g.powf(0.1) * re.powf(-0.2),
        ];
        four.into_iter().fold(0.0, f64::max)
    };
    let disc = worst(1e2, 1e7, &|x| windage::enclosed_disc(x, 0.05), &largest);
    assert!(disc < 0.026, "disc {disc}");
}
