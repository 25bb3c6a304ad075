//! Finite, positive and rising over ranges far wider than any aircraft sees.

use crate::{outside::fin_of, support::log_points};
use correlations::{
    compact::{louver, offset_strip},
    exchanger, external, fin, friction, internal, natural, radiation, rotating_free, rotating_gap, windage,
};
use num_dual::Dual64;
use proptest::prelude::*;

/// Value and slope are finite, the value not below `floor`.
fn sound(what: &str, result: Dual64, floor: f64) {
    assert!(result.re.is_finite() && result.eps.is_finite(), "{what}: {result}");
    assert!(result.re >= floor, "{what}: {result} is below {floor}");
}

proptest! {
    #[test]
    fn internal_flow_is_sound(
        log_re in -12.0..8.0_f64,
        log_pr in -0.3..4.0_f64,
        log_length in 0.0..4.0_f64,
        rough in 0.0..0.05_f64,
        laminar in 2.4..8.3_f64,
    ) {
        let (re, pr) = (Dual64::from_re(10_f64.powf(log_re)).derivative(), Dual64::from(10_f64.powf(log_pr)));
        let length = 10_f64.powf(log_length);
        sound("f Re", friction::darcy_times_reynolds(re, rough, 64.0), 64.0 - 1e-9);
        sound("f", friction::darcy_churchill(re, rough), 0.0);
        let nusselt = internal::nusselt_developing_laminar_turbulent(re, pr, length, rough, laminar);
        sound("Nu", nusselt, laminar.min(3.0) - 1e-9);
    }

    #[test]
    fn outside_surfaces_are_sound(log_re in -12.0..9.0_f64, log_ra in -12.0..13.0_f64, log_pr in -0.3..3.0_f64) {
        let pr = Dual64::from(10_f64.powf(log_pr));
        let re = Dual64::from_re(10_f64.powf(log_re)).derivative();
        let ra = Dual64::from_re(10_f64.powf(log_ra)).derivative();
        sound("plate", external::flat_plate_mean(re, pr), 0.0);
        sound("plate vdi", external::flat_plate_vdi(re, pr), 0.0);
        sound("cylinder", external::cylinder(re, pr), 0.3);
        for signed in [ra, -ra] {
            sound("vertical", natural::vertical_plate(signed, pr), 0.68);
            sound("horizontal", natural::horizontal_cylinder(signed, pr), 0.36);
            sound("up", natural::plate_hot_face_up(signed), 0.0);
        }
        sound("both", natural::combined(external::cylinder(re, pr), natural::vertical_plate(ra, pr)), 0.68);
    }

    #[test]
    fn rotors_are_sound(log_re in -12.0..9.0_f64, gap in 0.001..0.25_f64, speed in 0.0..5000.0_f64) {
        let re = Dual64::from_re(10_f64.powf(log_re)).derivative();
        sound("gap", rotating_gap::nusselt_on_two_delta(re), 2.0);
        sound("cylinder", windage::cylinder_in_gap_times_reynolds(re, gap), 0.0);
        sound("disc", windage::enclosed_disc_times_reynolds(re, gap), 0.0);
        sound("free disc", windage::free_disc_both_faces(re), 0.0);
        sound("disc heat", rotating_free::disc(re, 0.71.into()), 0.0);
        let w = Dual64::from_re(speed).derivative();
        sound("power", windage::cylinder_in_gap_power(w, 0.08, 0.08 * gap, 0.1, 1.1.into(), 2e-5.into()), 0.0);
        sound("disc power", windage::enclosed_disc_power(w, 0.08, 0.08 * gap, 1.1.into(), 2e-5.into()), 0.0);
        sound("free power", windage::free_disc_power(w, 0.08, 1.1.into(), 2e-5.into()), 0.0);
    }

    #[test]
    fn exchangers_are_sound(log_ntu in -9.0..5.0_f64, ratio in 0.0..1.0_f64) {
        let ntu = Dual64::from_re(10_f64.powf(log_ntu)).derivative();
        let c = Dual64::from(ratio);
        let most = -(-ntu.re).exp_m1();
        let all = [
            exchanger::counterflow(ntu, c),
            exchanger::parallel(ntu, c),
            exchanger::crossflow_unmixed(ntu, c),
            exchanger::crossflow_min_mixed(ntu, c),
            exchanger::crossflow_max_mixed(ntu, c),
        ];
        for e in all {
            prop_assert!(e.re >= 0.0 && e.eps.is_finite(), "{e}");
            // nothing beats an exchanger whose other side stays at one temperature, nor counterflow
            prop_assert!(e.re <= most * (1.0 + 1e-9) && e.re <= all[0].re * (1.0 + 1e-9), "{e} {most} {}", all[0]);
            prop_assert!(e.re >= all[1].re * (1.0 - 1e-9), "{e} is below parallel flow");
        }
        for rows in [exchanger::Rows::One, exchanger::Rows::Two, exchanger::Rows::Three, exchanger::Rows::Four] {
            for e in [exchanger::crossflow_rows(rows, ntu, c), exchanger::crossflow_rows_counter(rows, ntu, c)] {
                prop_assert!(e.eps.is_finite() && e.re >= 0.0 && e.re <= most * (1.0 + 1e-9), "{rows:?}: {e}");
            }
        }
    }

    #[test]
    fn fins_and_radiation_are_sound(log_ml in -6.0..3.0_f64, ratio in 1.02..20.0_f64, hot in 200.0..600.0_f64) {
        let ml = Dual64::from_re(10_f64.powf(log_ml)).derivative();
        for eta in [fin::straight_efficiency(ml), fin::annular_efficiency(ml, ratio)] {
            sound("fin", eta, 0.0);
            prop_assert!(eta.re <= 1.0 + 1e-5 && eta.eps <= 1e-3, "{eta}");
        }
        // the annular fin conducts through a shrinking root: less than the straight one of its length
        prop_assert!(fin::annular_efficiency(ml, ratio).re <= fin::straight_efficiency(ml * (ratio - 1.0)).re + 2e-5);
        let t = Dual64::from_re(hot).derivative();
        sound("radiation", radiation::coefficient(0.9, t, 300.0.into()), 0.0);
    }
}

#[test]
fn everything_is_finite_at_rest() {
    let rest = Dual64::from_re(0.0).derivative();
    let pr = Dual64::from(0.71);
    sound("f Re", friction::darcy_times_reynolds(rest, 1e-3, 64.0), 64.0);
    sound("Nu", internal::nusselt_developing_laminar_turbulent(rest, pr, 20.0, 0.0, 3.66), 3.66);
    sound("plate", external::flat_plate_mean(rest, pr), 0.0);
    sound("plate vdi", external::flat_plate_vdi(rest, pr), 0.0);
    sound("cylinder", external::cylinder(rest, pr), 0.3);
    sound("vertical", natural::vertical_plate(rest, pr), 0.68);
    sound("combined", natural::combined(rest, rest), 0.0);
    sound("gap", rotating_gap::nusselt_on_two_delta(rest), 2.0);
    sound("disc", windage::enclosed_disc_times_reynolds(rest, 0.05), 1.0);
    sound("windage", windage::cylinder_in_gap_times_reynolds(rest, 0.05), 1.0);
    sound("disc heat", rotating_free::disc(rest, pr), 0.0);
    sound("rotor heat", rotating_free::cylinder(rest, pr), 0.0);
    sound("fin", fin::straight_efficiency(fin::parameter(rest, 200.0, 1e-4) * 0.01), 1.0);
    sound("annular fin", fin::annular_efficiency(rest, 2.0), 1.0);
    sound("exchanger", exchanger::crossflow_unmixed(rest, 0.5.into()), 0.0);
    let strip = offset_strip::Geometry::new(1.4e-3, 6.35e-3, 3.18e-3, 1.02e-4).unwrap();
    sound("strip j", offset_strip::colburn_j_times_reynolds(rest, &strip), 1e-3);
    sound("strip f", offset_strip::fanning_f_times_reynolds(rest, &strip), 1.0);
    let fin = louver::Geometry::new(&fin_of(&testkit::table("compact_louver.csv").rows()[1])).unwrap();
    sound("louver j", louver::colburn_j_times_reynolds(rest, &fin), 1e-3);
    sound("louver f", louver::fanning_f_times_reynolds(rest, &fin), 1.0);
}

#[test]
fn not_a_number_is_never_hidden() {
    let nan = f64::NAN;
    assert!(friction::darcy_times_reynolds(nan, 0.0, 64.0_f64).is_nan());
    assert!(internal::nusselt_developing_laminar_turbulent(nan, 7.0, 20.0, 0.0, 3.66).is_nan());
    assert!(external::flat_plate_mean(nan, 0.71).is_nan());
    assert!(rotating_gap::nusselt_on_two_delta(nan).is_nan());
    assert!(windage::enclosed_disc(nan, 0.05).is_nan());
    assert!(exchanger::counterflow(nan, 0.5).is_nan());
    assert!(exchanger::crossflow_unmixed(nan, 0.5).is_nan());
}

#[test]
fn heat_transfer_and_friction_rise_with_flow() {
    let rising = |what: &str, relation: &dyn Fn(f64) -> f64, low: f64, high: f64| {
        let values: Vec<f64> = log_points(low, high, 3000).iter().map(|&x| relation(x)).collect();
        let falls = values.windows(2).filter(|w| w[1] < w[0] * (1.0 - 1e-12)).count();
        assert_eq!(falls, 0, "{what} falls somewhere");
    };
    for (pr, length) in [(0.71, 10.0), (7.0, 50.0), (100.0, 300.0)] {
        let nusselt = |re: f64| internal::nusselt_developing_laminar_turbulent(re, pr, length, 0.0, 3.66);
        rising("Nu", &nusselt, 1e-3, 1e6);
    }
    rising("f Re", &|re| friction::darcy_times_reynolds(re, 1e-3, 64.0), 1e-3, 1e8);
    rising("plate", &|re| external::flat_plate_mean(re, 0.71), 1.0, 1e8);
    rising("hot plate", &|ra| natural::plate_hot_face_up(ra), 1.0, 1e11);
    rising("gap", &|ta| rotating_gap::nusselt_on_two_delta(ta), 1.0, 1e7);
    rising("windage", &|re| windage::cylinder_in_gap_times_reynolds(re, 0.02), 1e-3, 1e6);
    rising("disc", &|re| windage::enclosed_disc_times_reynolds(re, 0.05), 1.0, 1e7);
    rising("free disc power", &|w| windage::free_disc_power(w, 0.1, 1.2, 1.8e-5), 1e-2, 1e5);
    for row in [0, 19] {
        let fin = louver::Geometry::new(&fin_of(
            testkit::table("compact_louver.csv").select("relation", "chang_et_al_2000")[row / 19],
        ))
        .unwrap();
        // pressure drop goes with f Re^2
        rising("louver drop", &|re| louver::fanning_f_times_reynolds(re, &fin) * re, 1e-2, 5e3);
        rising("louver film", &|re| louver::colburn_j_times_reynolds(re, &fin), 1e-2, 5e3);
    }
}
