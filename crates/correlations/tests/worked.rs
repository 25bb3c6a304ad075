//! Worked examples of textbooks, with the exact recomputations printed beside them in the project's collection of trade facts
//! (section 12 there; numbers of the examples kept).

use correlations::{exchanger, fin, friction, internal};
use std::f64::consts::PI;
use testkit::{assert_close, assert_within};

/// Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed., example 11.3, p. 692. Book: NTU 2.1 read from a chart.
#[test]
fn example_1_finned_crossflow_exchanger_sized() {
    let q: f64 = 1.0 * 4197.0 * (125.0 - 35.0);
    let gas_capacity = q / (300.0 - 100.0);
    let ratio: f64 = gas_capacity / 4197.0;
    let effectiveness = q / (gas_capacity * (300.0 - 35.0));
    assert_within("q", q, 377_730.0, 5.0);
    assert_within("effectiveness", effectiveness, 0.7547, 5e-5);
    assert_within("capacity ratio", ratio, 0.45, 5e-5);
    let ntu = exchanger::crossflow_unmixed_ntu_for(effectiveness, ratio).unwrap();
    assert_within("NTU", ntu, 2.0808, 5e-5);
    assert_within("area", ntu * gas_capacity / 100.0, 39.30, 5e-3);
    assert_close("book NTU, chart", ntu, 2.1, 0.02);
    // the popular closed form gives 38.22 m2
    let (mut low, mut high) = (1.0, 4.0);
    while high - low > 1e-9 {
        let middle = 0.5 * (low + high);
        if exchanger::crossflow_unmixed_approximate(middle, ratio) < effectiveness {
            low = middle;
        } else {
            high = middle;
        }
    }
    assert_within("area, closed form", low * gas_capacity / 100.0, 38.22, 5e-3);
}

/// Same, example 11.4, p. 695. Book: effectiveness 0.82 read from a chart.
#[test]
fn example_2_finned_crossflow_exchanger_rated() {
    let (gas, water): (f64, f64) = (1.5 * 1000.0, 1.0 * 4197.0);
    let (ntu, ratio) = (100.0 * 40.0 / gas, gas / water);
    assert_within("NTU", ntu, 2.6667, 5e-5);
    assert_within("capacity ratio", ratio, 0.35740, 5e-6);
    let effectiveness = exchanger::crossflow_unmixed(ntu, ratio);
    assert_within("effectiveness", effectiveness, 0.83579, 5e-6);
    let q = effectiveness * gas * (250.0 - 35.0);
    assert_within("q", q, 269_540.0, 5.0);
    assert_within("gas out", 250.0 - q / gas, 70.31, 5e-3);
    assert_within("water out", 35.0 + q / water, 99.22, 5e-3);
}

/// Cengel & Ghajar, Heat and Mass Transfer, example 11-6 (car radiator). Book: F 0.97, Ui 3347 W/(m2 K).
#[test]
fn example_3_car_radiator() {
    let q: f64 = 0.6 * 4195.0 * (90.0 - 65.0);
    assert_within("q", q, 62_925.0, 1.0);
    let area = 40.0 * PI * 0.005 * 0.65;
    assert_within("area", area, 0.4084, 5e-5);
    let lmtd = exchanger::log_mean_temperature_difference(90.0 - 40.0, 65.0 - 20.0);
    assert_within("LMTD", lmtd, 47.456, 5e-4);
    // the water changes by 25 K, the air by 20 K: the water has the smaller capacity flow
    let (p, r): (f64, f64) = ((40.0 - 20.0) / (90.0 - 20.0), (90.0 - 65.0) / (40.0 - 20.0));
    let (effectiveness, ratio) = (p * r, 1.0 / r);
    assert_within("capacity ratio", ratio, 0.80, 1e-9);
    let ntu = exchanger::crossflow_unmixed_ntu_for(effectiveness, ratio).unwrap();
    let counter = exchanger::counterflow_ntu_for(effectiveness, ratio).unwrap();
    let f = counter / ntu;
    assert_within("F", f, 0.97035, 5e-6);
    assert_within("Ui", q / (area * f * lmtd), 3346.0, 0.5);
}

/// Som, Introduction to Heat Transfer, chapter 10, example 7. Book: about 26 degC with the closed form, rounded.
#[test]
fn example_4_large_crossflow_exchanger() {
    let (air, water): (f64, f64) = (10.0 * 1010.0, 7.0 * 4180.0);
    let (ntu, ratio) = (220.0 * 250.0 / air, air / water);
    assert_within("NTU", ntu, 5.4455, 5e-5);
    assert_within("capacity ratio", ratio, 0.34518, 5e-6);
    let approximate = exchanger::crossflow_unmixed_approximate(ntu, ratio);
    assert_within("closed form", approximate, 0.95282, 5e-6);
    assert_within("outlet, closed form", 125.0 - approximate * 105.0, 24.95, 5e-3);
    let exact = exchanger::crossflow_unmixed(ntu, ratio);
    assert_within("exact", exact, 0.94859, 5e-6);
    assert_within("outlet", 125.0 - exact * 105.0, 25.40, 5e-3);
}

/// Incropera & DeWitt, example 11.1, p. 680: oil cooled by water in counterflow. Book: L 65.9 m.
#[test]
fn example_5_oil_cooler() {
    let q: f64 = 0.1 * 2131.0 * (100.0 - 60.0);
    assert_within("q", q, 8524.0, 0.5);
    let water_out = 30.0 + q / (0.2 * 4178.0);
    assert_within("water out", water_out, 40.20, 5e-3);
    let lmtd = exchanger::log_mean_temperature_difference(100.0 - water_out, 60.0 - 30.0);
    assert_within("LMTD", lmtd, 43.20, 5e-3);
    let re = 4.0 * 0.2 / (PI * 0.025 * 725e-6);
    assert_within("Re", re, 14_050.0, 5.0);
    let inner = internal::dittus_boelter_heating(re, 4.85) * 0.625 / 0.025;
    assert_within("h inside", inner, 2250.0, 2.0);
    let outer = 5.63 * 0.138 / (0.045 - 0.025);
    let u = 1.0 / (1.0 / inner + 1.0 / outer);
    assert_within("U", u, 38.19, 5e-3);
    assert_within("length", q / (u * PI * 0.025 * lmtd), 65.79, 0.02);
}

/// Incropera & DeWitt, example 8.3, p. 503: steam condensing on a tube, wall at 100 degC.
#[test]
fn example_6_wall_at_one_temperature() {
    let lmtd: f64 = exchanger::log_mean_temperature_difference(100.0 - 15.0, 100.0 - 57.0);
    assert_within("LMTD", lmtd, 61.63, 6e-3);
    let h = 0.25 * 4178.0 * (57.0 - 15.0) / (PI * 0.05 * 6.0 * lmtd);
    assert_within("h", h, 755.2, 0.2);
}

/// Incropera & DeWitt, example 8.4, p. 506: laminar water at constant heat flux (viscosity 352e-6 Pa s at 50 degC, book table).
#[test]
fn example_7_laminar_constant_flux() {
    let length = 0.01 * 4181.0 * (80.0 - 20.0) / (PI * 0.06 * 2000.0);
    assert_close("length", length, 6.649, 1e-3);
    let re = 4.0 * 0.01 / (PI * 0.06 * 352e-6);
    assert_close("Re", re, 602.9, 2e-3);
    let found = correlations::evaluate("laminar_constant_flux", &[]).unwrap();
    assert_within("Nu", found.value, 4.364, 5e-4);
    let wall = 80.0 + 2000.0 / (found.value * 0.670 / 0.06);
    assert_within("wall at outlet", wall, 121.04, 0.01);
}

/// Incropera & DeWitt, example 8.6, p. 516: hot air in an uninsulated duct (viscosity 208.2e-7 Pa s, k 0.030 W/(m K), Pr 0.70, book table).
#[test]
fn example_8_air_duct() {
    let re = 4.0 * 0.05 / (PI * 0.15 * 208.2e-7);
    assert_close("Re", re, 20_385.0, 5e-4);
    let h = internal::dittus_boelter_cooling(re, 0.70) * 0.030 / 0.15;
    assert_close("h", h, 11.58, 5e-4);
    let q = 0.05 * 1010.0 * (103.0 - 77.0);
    assert_within("q", q, 1313.0, 0.5);
    let flux = 77.0 / (1.0 / 11.58 + 1.0 / 6.0);
    assert_within("flux", flux, 304.3, 0.1);
    assert_within("wall", 77.0 - flux / 11.58, 50.72, 0.01);
}

/// Incropera & DeWitt, example 3.9: very long rods; "infinite" at L = 2.65/m.
#[test]
fn example_11_pin_fins() {
    let d = 0.005;
    for (k, q, infinite) in [(398.0, 8.31, 0.187), (180.0, 5.59, 0.126), (14.0, 1.56, 0.035)] {
        // m^2 = h P/(k A) = 4 h/(k d): a plate fin of thickness d/2
        let m: f64 = fin::parameter(100.0, k, 0.5 * d);
        let length = 20.0 / m;
        let efficiency: f64 = fin::straight_efficiency(m * length);
        assert_within("q", efficiency * 100.0 * PI * d * length * 75.0, q, 5.1e-3);
        assert_within("infinite length", 2.65 / m, infinite, 6e-4);
    }
}

/// Incropera & DeWitt, example 3.10, p. 156: annular fins on a cylinder. Book: efficiency 0.95 read from a chart, 690 W.
#[test]
fn example_12_annular_fins() {
    let (root, tip, thickness) = (0.025_f64, 0.048_f64, 0.006);
    let m: f64 = fin::parameter(50.0, 186.0, thickness);
    let efficiency = fin::annular_efficiency(m * root, tip / root);
    assert_within("efficiency", efficiency, 0.97855, 5.1e-6);
    let fin_area = 5.0 * 2.0 * PI * (tip * tip - root * root);
    let area = fin_area + 2.0 * PI * root * (0.15 - 5.0 * thickness);
    let q = 50.0 * area * fin::overall_efficiency(efficiency, fin_area / area) * 200.0;
    assert_within("q", q, 704.7, 0.05);
    assert_within("bare", 50.0 * 2.0 * PI * root * 0.15 * 200.0, 235.6, 0.05);
}

/// Mason 1955, exact series; E values printed there were checked against a 200 x 200 march.
#[test]
fn example_14_exact_crossflow() {
    let known = [
        (0.5, 0.25, 0.37509),
        (0.5, 0.8, 0.33847),
        (1.0, 0.5, 0.54749),
        (1.0, 1.0, 0.47622),
        (2.0, 0.5, 0.73241),
        (2.0, 1.0, 0.61425),
        (3.0, 0.5, 0.81971),
        (5.0, 1.0, 0.7509),
    ];
    for (ntu, ratio, e) in known {
        assert_within(&format!("{ntu}, {ratio}"), exchanger::crossflow_unmixed(ntu, ratio), e, 6e-6);
    }
    assert_within("counterflow", exchanger::counterflow(2.0, 0.5), 0.77460, 5e-6);
    assert_within("counterflow", exchanger::counterflow(2.0, 1.0), 0.66667, 5e-6);
    assert_within("parallel", exchanger::parallel(2.0, 0.5), 0.63348, 5e-6);
}

/// Hose, 12 L/min, 16 mm, 50 % glycol by mass; density and viscosity of the law printed in section 6 of that collection.
#[test]
fn example_15_hose() {
    let (flow, diameter): (f64, f64) = (12.0 / 60_000.0, 0.016);
    let speed = flow / (0.25 * PI * diameter * diameter);
    let gradient = |re: f64, rho: f64| {
        let f: f64 = if re < 2000.0 { friction::darcy_laminar(re) } else { friction::darcy_petukhov(re) };
        (f, f / diameter * 0.5 * rho * speed * speed)
    };
    let (f, warm) = gradient(11_324.0, 1054.6);
    assert_within("f at 60 C", f, 0.0304, 5e-5);
    assert_close("60 C", warm, 992.0, 1e-3);
    assert_close("20 C", gradient(4_114.0, 1078.8).1, 1370.0, 1e-3);
    assert_close("-20 C", gradient(705.0, 1098.3).1, 3081.0, 2e-3);
    assert_close("Re at 60 C", 1054.6 * speed * diameter / 1.48e-3, 11_324.0, 2e-3);
}
