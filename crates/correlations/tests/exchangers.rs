//! Exchanger effectiveness against the tables, and the exact series against independent limits.

use crate::support::{check_table, log_points, value_and_slope};
use correlations::exchanger::{self, Rows};
use num_dual::Dual2_64;
use testkit::{Worst, assert_close, table};

#[test]
fn every_row_through_the_list() {
    let by_relation = |row: &testkit::Row| row.text("relation").to_owned();
    check_table("hx_effectiveness.csv", 49, by_relation);
    check_table("hx_multirow.csv", 22, by_relation);
    check_table("hx_lmtd.csv", 3, |row| format!("{}_{}", row.text("quantity"), row.text("arrangement")));
}

#[test]
fn effectiveness_in_the_hot_path() {
    let mut worst = Worst::new();
    for row in table("hx_effectiveness.csv").rows() {
        let (ntu, ratio) = (row.number("NTU"), row.number("capacity_ratio_Cmin_over_Cmax"));
        let value: f64 = match row.text("relation") {
            "counterflow" => exchanger::counterflow(ntu, ratio),
            "parallel_flow" => exchanger::parallel(ntu, ratio),
            "crossflow_both_unmixed_exact" => exchanger::crossflow_unmixed(ntu, ratio),
            "crossflow_both_unmixed_approximate" => exchanger::crossflow_unmixed_approximate(ntu, ratio),
            "crossflow_Cmin_mixed" => exchanger::crossflow_min_mixed(ntu, ratio),
            "crossflow_Cmax_mixed" => exchanger::crossflow_max_mixed(ntu, ratio),
            "any_arrangement_Cr_0" => {
                worst.check(row, exchanger::counterflow(ntu, ratio));
                worst.check(row, exchanger::parallel(ntu, ratio));
                worst.check(row, exchanger::crossflow_min_mixed(ntu, ratio));
                worst.check(row, exchanger::crossflow_max_mixed(ntu, ratio));
                worst.check(row, exchanger::crossflow_rows_counter(Rows::Four, ntu, ratio));
                worst.check(row, exchanger::crossflow_rows(Rows::Three, ntu, ratio));
                exchanger::crossflow_unmixed(ntu, ratio)
            }
            other => panic!("no function for {other}"),
        };
        worst.check(row, value);
    }
    worst.finish(55);
}

#[test]
fn large_ntu_meets_the_closed_form_of_equal_capacities() {
    // At C = 1 the series sums to 1 - e^(-2N) [I0(2N) + I1(2N)] (difference of two equal Poisson numbers), which tends to
    // 1 - 1/sqrt(pi N) (1 - 1/(16 N)). Values of the scaled Bessel functions by SciPy 1.17.1 (ive).
    let known = [
        (0.25, 0.198543926366),
        (2.0, 0.614247239274),
        (50.0, 0.920311467676),
        (700.0, 0.978677542354),
        (9000.0, 0.994052960912),
    ];
    for (ntu, exact) in known {
        let asymptote = 1.0 - (1.0 - 1.0 / (16.0 * ntu)) / (std::f64::consts::PI * ntu).sqrt();
        let computed: f64 = exchanger::crossflow_unmixed(ntu, 1.0);
        assert_close(&format!("NTU {ntu}"), computed, exact, 1e-11);
        if ntu >= 50.0 {
            assert_close(&format!("NTU {ntu}, asymptote"), computed, asymptote, 1e-5);
        }
    }
}

#[test]
fn large_ntu_is_reached_without_underflow() {
    for ratio in [0.0, 1e-6, 0.1, 0.5, 0.8] {
        let value: f64 = exchanger::crossflow_unmixed(5000.0, ratio);
        assert_close(&format!("C = {ratio}"), value, 1.0, 1e-12);
    }
    assert_eq!(exchanger::crossflow_unmixed(1e9, 0.5), exchanger::crossflow_unmixed(1e4, 0.5));
}

#[test]
fn it_stays_below_one_and_rises_with_ntu() {
    for ratio in [0.0, 1e-9, 0.2, 0.5, 0.8, 0.999, 1.0] {
        let mut before = 0.0;
        for ntu in log_points(1e-6, 2e4, 400) {
            let (value, slope) = value_and_slope(|n| exchanger::crossflow_unmixed(n, ratio.into()), ntu);
            assert!((0.0..=1.0 + 1e-12).contains(&value), "NTU {ntu}, C {ratio}: {value}");
            assert!(value >= before - 1e-12, "NTU {ntu}, C {ratio}: {value} after {before}");
            assert!(slope >= -1e-12, "NTU {ntu}, C {ratio}: slope {slope}");
            before = value;
        }
    }
}

#[test]
fn both_derivatives_of_the_series_are_right() {
    for (ntu, ratio) in
        [(0.01, 0.3), (0.7, 0.0), (0.7, 0.01), (2.0, 0.5), (5.0, 1.0), (60.0, 0.97), (900.0, 0.99)]
    {
        let plain = |n: f64, c: f64| -> f64 { exchanger::crossflow_unmixed(n, c) };
        let by_ntu = value_and_slope(|n| exchanger::crossflow_unmixed(n, ratio.into()), ntu).1;
        let by_ratio = value_and_slope(|c| exchanger::crossflow_unmixed(ntu.into(), c), ratio).1;
        let h = 1e-5 * ntu;
        let difference = (plain(ntu + h, ratio) - plain(ntu - h, ratio)) / (2.0 * h);
        assert!((by_ntu - difference).abs() < 1e-8, "NTU {ntu}, C {ratio}: {by_ntu} {difference}");
        let h = 1e-5;
        let difference = (plain(ntu, ratio + h) - plain(ntu, (ratio - h).abs())) / (2.0 * h);
        if ratio > h {
            assert!((by_ratio - difference).abs() < 2e-6, "NTU {ntu}, C {ratio}: {by_ratio} {difference}");
        }
        // the general path: value, first and second derivative
        let second = exchanger::crossflow_unmixed(Dual2_64::from_re(ntu).derivative(), ratio.into());
        assert!((second.re - plain(ntu, ratio)).abs() < 1e-12, "NTU {ntu}, C {ratio}");
        assert!((second.v1 - by_ntu).abs() < 1e-11, "NTU {ntu}, C {ratio}: {} {by_ntu}", second.v1);
        let h = 1e-3 * ntu;
        let curvature = (plain(ntu + h, ratio) - 2.0 * plain(ntu, ratio) + plain(ntu - h, ratio)) / (h * h);
        assert!(
            (second.v2 - curvature).abs() < 1e-4 * (1.0 + curvature.abs()),
            "NTU {ntu}, C {ratio}: {} {curvature}",
            second.v2
        );
    }
    // at C = 0: e = P(1, N) (1 - b/2) + P(2, N) b/2 with b = C N, so de/dC = N (P(2, N) - P(1, N))/2 = -N^2 exp(-N)/2
    let at_zero = value_and_slope(|c| exchanger::crossflow_unmixed(1.5.into(), c), 0.0).1;
    assert_close("dC at 0", at_zero, -0.5 * 1.5 * 1.5 * (-1.5_f64).exp(), 1e-12);
}

#[test]
fn inverses_return_to_their_start() {
    for ratio in [0.0, 0.3, 0.75, 1.0] {
        for ntu in [0.0, 0.1, 1.0, 3.0, 8.0] {
            let e = exchanger::crossflow_unmixed(ntu, ratio);
            let back = exchanger::crossflow_unmixed_ntu_for(e, ratio).unwrap();
            assert!((back - ntu).abs() < 1e-9 * (1.0 + ntu * ntu), "C {ratio}: {ntu} {back}");
            let e = exchanger::counterflow(ntu, ratio);
            let back = exchanger::counterflow_ntu_for(e, ratio).unwrap();
            assert!((back - ntu).abs() < 1e-9 * (1.0 + ntu * ntu), "C {ratio}: {ntu} {back}");
        }
    }
    assert_eq!(exchanger::crossflow_unmixed_ntu_for(1.01, 0.5), None);
    assert_eq!(exchanger::crossflow_unmixed_ntu_for(0.9999, 1.0), None);
    assert_eq!(exchanger::counterflow_ntu_for(1.0, 0.5), None);
    assert_eq!(exchanger::counterflow_ntu_for(f64::NAN, 0.5), None);
}

#[test]
fn more_rows_come_closer_to_their_limits() {
    // rows in parallel lie below unmixed crossflow and approach it; rows in counterflow lie below counterflow
    let all = [Rows::One, Rows::Two, Rows::Three, Rows::Four];
    for (ntu, ratio) in [(0.5, 0.4), (2.0, 0.8), (4.0, 1.0)] {
        let parallel: Vec<f64> = all.iter().map(|r| exchanger::crossflow_rows(*r, ntu, ratio)).collect();
        let counter: Vec<f64> =
            all.iter().map(|r| exchanger::crossflow_rows_counter(*r, ntu, ratio)).collect();
        assert!(parallel.windows(2).all(|w| w[0] < w[1]), "{parallel:?}");
        assert!(counter.windows(2).all(|w| w[0] < w[1]), "{counter:?}");
        assert!(parallel[3] < exchanger::crossflow_unmixed(ntu, ratio));
        assert!(counter[3] < exchanger::counterflow(ntu, ratio));
    }
    let cold_tube: f64 = exchanger::air_side_counter(Rows::Four, 1e3, 1e3);
    assert_close("tube fluid runs out", cold_tube, 1e-3, 1e-9);
}
