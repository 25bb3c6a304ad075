//! The law of the wetted walls between laminar and turbulent, and the published set beside it.

use correlations::{evaluate, internal};
use testkit::{assert_close, assert_within, table};

const SMOOTH: f64 = 0.0;
const ROUND: f64 = 3.66;

fn used(reynolds: f64, prandtl: f64, length: f64) -> f64 {
    internal::nusselt_developing_laminar_turbulent(reynolds, prandtl, length, SMOOTH, ROUND)
}

#[test]
fn both_published_sets_between_4000_and_1e4() {
    let mut worst = testkit::Worst::new();
    for row in table("tube_published.csv").rows() {
        let (re, pr) = (row.number("reynolds"), row.number("prandtl"));
        let length = row.number("length_over_diameter");
        let value = match row.text("relation") {
            "vdi_G1_transition_interpolation" => internal::heat_atlas_transition_linear(re, pr, length),
            "gnielinski_2013_turbulent_with_entry" => {
                internal::turbulent_gnielinski_2013(re, pr, length, SMOOTH)
            }
            _ => used(re, pr, length),
        };
        worst.check(row, value);
    }
    worst.finish(17);
}

/// By hand, Re 4617, Pr 11.3, L/D 100:
///
/// log10 Re = 3.66436; f = (1.8 x 3.66436 - 1.5)^-2 = 5.09585^-2 = 0.0385094; f/8 = 0.00481368, its root 0.0693807;
/// Pr^(2/3) = 5.03561; 1 + 12.7 x 0.0693807 x 4.03561 = 4.55592;
/// 0.00481368 x 3617 x 11.3 = 196.745; / 4.55592 = 43.1845; x (1 + 100^(-2/3) = 1.0464159) = 45.189.
///
/// The line of the Heat Atlas: 9.78154 at 2300, 108.860 at 1e4; (4617 - 2300)/7700 = 0.300909; 9.78154 + 0.300909 x 99.0785 = 39.595.
#[test]
fn one_point_by_hand_through_the_list() {
    let inputs = [("reynolds", 4617.0), ("prandtl", 11.3), ("length_over_diameter", 100.0)];
    let found = evaluate("tube_all_regimes", &inputs).unwrap();
    assert_within("Gnielinski 2013", found.value, 45.189, 5e-4);
    assert_within("Heat Atlas", found.get("nusselt_heat_atlas").unwrap(), 39.595, 5e-4);
    assert_within("worst end", found.get("worst_end").unwrap(), 39.595 / 45.189, 1e-4);
    assert_eq!(found.value, used(4617.0, 11.3, 100.0), "one function for relation and solver");
    let same = evaluate("gnielinski_2013_turbulent_with_entry", &inputs).unwrap();
    assert_eq!(found.value, same.value);
}

/// Against the law of before, whose turbulent part was the Re Pr form: Re/(Re - 1000) lower, so -25 % at 4000, -20 % at 5000, -16.7 % at
/// 6000, -10 % at 1e4.
#[test]
fn the_film_fell_by_a_quarter_at_4000() {
    for (re, part) in [(4000.0, 0.75), (5000.0, 0.80), (6000.0, 5.0 / 6.0), (1e4, 0.90)] {
        let before = internal::turbulent_vdi(re, 11.6, 133.0, SMOOTH);
        assert_close(&format!("Re {re}"), used(re, 11.6, 133.0) / before, part, 1e-12);
    }
}

/// The largest published difference is at 4000, where the Heat Atlas is a fifth lower; it changes sign near 6500 to 7000.
#[test]
fn the_published_spread_at_a_wall() {
    let ratio = |re| internal::heat_atlas_ratio(re, 7.0, 133.0, SMOOTH, ROUND);
    assert_eq!(ratio(2200.0), 1.0);
    // evaluated apart from this project: -15.0 % at 3000, -20.0 % at 4000, -11.2 % at 5000, +0.3 % at 7000, +11.1 % at 1e4
    for (re, expected) in [(3000.0, 0.850), (4000.0, 0.800), (5000.0, 0.888), (7000.0, 1.003), (1e4, 1.111)] {
        assert_within(&format!("Re {re}"), ratio(re), expected, 6e-4);
    }
    assert_close("far", ratio(1e5), 1e5 / 99_000.0, 1e-12);
}

#[test]
fn a_cold_wall_is_told_and_never_raises_a_film() {
    // Pr 200 in the bulk, 800 at the wall: 4^-0.11 = exp(-0.11 x 1.386294) = 0.858565
    let inputs =
        [("reynolds", 5000.0), ("prandtl", 200.0), ("length_over_diameter", 100.0), ("prandtl_wall", 800.0)];
    let found = evaluate("tube_all_regimes", &inputs).unwrap();
    assert_within("factor", found.get("cold_wall_factor").unwrap(), 0.858_565, 1e-6);
    assert_eq!(found.value, evaluate("tube_all_regimes", &inputs[..3]).unwrap().value, "told, not counted");
    let atlas = found.get("nusselt_heat_atlas").unwrap() / found.value;
    assert_close("worst end", found.get("worst_end").unwrap(), atlas.min(1.0) * 0.858_565, 1e-6);
    // a warm wall: factor above 1, which raises nothing
    let factor = |place| internal::published_factor(place, 0.9, 1.2_f64);
    assert_eq!(factor(0.0), 1.0);
    assert!(factor(1.0) <= 0.9 && factor(-1.0) >= 1.0 && factor(-1.0) < 1.01);
    // the worst end errs low by a quarter of the rounding at most
    let cold: f64 = internal::published_factor(1.0, 0.8, 0.7);
    assert_close("both", cold, 0.56, 1e-12);
    let even: f64 = internal::published_factor(1.0, 1.0, 1.0);
    assert!((0.98..1.0).contains(&even), "{even}");
}

/// A wall colder by the same law at every place is never better than the relation itself, over all regimes.
#[test]
fn the_worst_end_is_never_above_the_law() {
    for re in [100.0, 2310.0, 2400.0, 3000.0, 3999.0, 5000.0, 6800.0, 9700.0, 2e4, 1e6] {
        for (pr, length) in [(0.71, 20.0), (7.0, 133.0), (150.0, 30.0)] {
            let ratio = internal::heat_atlas_ratio(re, pr, length, SMOOTH, ROUND);
            for wall in [0.6, 1.0, 1.6] {
                let worst: f64 = internal::published_factor(1.0, ratio, wall);
                assert!(worst <= 1.0 + 1e-12 && worst > 0.4, "Re {re}: {worst}");
                assert!(worst <= ratio.min(1.0) * f64::min(wall, 1.0) + 1e-12, "Re {re}: {worst}");
            }
        }
    }
}

/// Own solution for the developed film of an equilateral triangle at one wall temperature: Galerkin's method with the symmetric polynomials
/// `(xyz)^(1+j) (xy + yz + zx)^i` of the barycentric coordinates, the exact velocity `xyz` and exact integrals
/// `2A a! b! c!/(a + b + c + 2)!`. Nusselt number `lambda Dh^2/4`, lowest eigenvalue of `-laplace T = lambda u/u_mean T`.
#[test]
fn the_triangle_by_galerkin() {
    let found: Vec<f64> = (1..=4).map(triangle_nusselt_t).collect();
    // from above, one term 2.85185
    assert_within("one term", found[0], 2.851_852, 1e-5);
    assert!(found.windows(2).all(|w| w[1] < w[0]), "{found:?}");
    assert_within("ten terms", found[3], 2.4953, 1e-4);
    let listed = evaluate("equilateral_triangle_exact", &[]).unwrap().get("nusselt_T").unwrap();
    assert_within("listed", listed, found[3], 5e-4);
}

type Polynomial = std::collections::BTreeMap<[usize; 3], f64>;

fn times(a: &Polynomial, b: &Polynomial) -> Polynomial {
    let mut product = Polynomial::new();
    for (x, c) in a {
        for (y, d) in b {
            *product.entry([x[0] + y[0], x[1] + y[1], x[2] + y[2]]).or_default() += c * d;
        }
    }
    product
}

fn slope(a: &Polynomial, along: usize) -> Polynomial {
    let mut found = Polynomial::new();
    for (x, c) in a.iter().filter(|(x, _)| x[along] > 0) {
        let mut lower = *x;
        lower[along] -= 1;
        *found.entry(lower).or_default() += c * x[along] as f64;
    }
    found
}

/// Mean over the triangle.
fn mean(a: &Polynomial) -> f64 {
    let factorial = |n: usize| (1..=n).map(|k| k as f64).product::<f64>();
    a.iter()
        .map(|(x, c)| {
            2.0 * c * x.iter().map(|&n| factorial(n)).product::<f64>()
                / factorial(x.iter().sum::<usize>() + 2)
        })
        .sum()
}

fn triangle_nusselt_t(order: usize) -> f64 {
    // side 1: height^2 = 3/4, Dh^2 = 1/3
    let bubble = Polynomial::from([([1, 1, 1], 1.0)]);
    let pairs = Polynomial::from([([1, 1, 0], 1.0), ([0, 1, 1], 1.0), ([1, 0, 1], 1.0)]);
    let mut basis = Vec::new();
    for i in 0..order {
        for j in 0..order - i {
            let mut one = bubble.clone();
            (0..i).for_each(|_| one = times(&one, &pairs));
            (0..j).for_each(|_| one = times(&one, &bubble));
            basis.push(one);
        }
    }
    let gradients = |a: &Polynomial, b: &Polynomial| {
        let mut sum = 0.0;
        for i in 0..3 {
            for j in 0..3 {
                let along = if i == j { 4.0 / 3.0 } else { -2.0 / 3.0 };
                sum += along * mean(&times(&slope(a, i), &slope(b, j)));
            }
        }
        sum
    };
    let size = basis.len();
    let velocity = mean(&bubble);
    let stiff: Vec<Vec<f64>> =
        basis.iter().map(|a| basis.iter().map(|b| gradients(a, b)).collect()).collect();
    let carried: Vec<Vec<f64>> = basis
        .iter()
        .map(|a| basis.iter().map(|b| mean(&times(&times(a, b), &bubble)) / velocity).collect())
        .collect();
    // inverse iteration: stiff x' = carried x
    let mut x = vec![0.0; size];
    x[0] = 1.0;
    let mut eigenvalue = 0.0;
    for _ in 0..60 {
        let right: Vec<f64> =
            carried.iter().map(|row| row.iter().zip(&x).map(|(a, b)| a * b).sum()).collect();
        let next = solved(stiff.clone(), right);
        let largest = next.iter().copied().fold(0.0, |a: f64, b| if b.abs() > a.abs() { b } else { a });
        let place = next.iter().position(|&b| b == largest).expect("the largest is one of them");
        eigenvalue = x[place] / largest;
        x = next.iter().map(|b| b / largest).collect();
    }
    eigenvalue / 12.0
}

/// Gauss' elimination with the largest pivot.
fn solved(mut matrix: Vec<Vec<f64>>, mut right: Vec<f64>) -> Vec<f64> {
    let size = right.len();
    for column in 0..size {
        let pivot = (column..size)
            .max_by(|&a, &b| matrix[a][column].abs().total_cmp(&matrix[b][column].abs()))
            .expect("rows are left");
        matrix.swap(column, pivot);
        right.swap(column, pivot);
        for row in column + 1..size {
            let factor = matrix[row][column] / matrix[column][column];
            let (above, below) = matrix.split_at_mut(row);
            for (value, over) in below[0][column..].iter_mut().zip(&above[column][column..]) {
                *value -= factor * over;
            }
            right[row] -= factor * right[column];
        }
    }
    for row in (0..size).rev() {
        let known: f64 = (row + 1..size).map(|k| matrix[row][k] * right[k]).sum();
        right[row] = (right[row] - known) / matrix[row][row];
    }
    right
}
