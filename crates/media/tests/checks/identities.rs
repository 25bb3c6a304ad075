//! Identities that hold at every temperature.

use media::{Liquid, air};
use num_dual::Dual64;
use proptest::prelude::*;

fn liquids() -> Vec<Liquid> {
    let mut names = Liquid::all_names();
    for glycol in ["ethylene-glycol", "propylene-glycol"] {
        for strength in ["0", "0.1", "0.25", "0.4", "0.6", "0.6vol", "0.35vol"] {
            names.push(format!("{glycol}:{strength}"));
        }
    }
    names.iter().map(|name| Liquid::named(name).unwrap()).collect()
}

fn dual(t: f64) -> Dual64 {
    Dual64::from_re(t).derivative()
}

proptest! {
    #[test]
    fn the_slope_of_the_enthalpy_is_the_specific_heat(t in 150.0_f64..600.0) {
        for liquid in liquids() {
            let (slope, cp) = (liquid.enthalpy(dual(t)).eps, liquid.specific_heat(t));
            prop_assert!((slope / cp - 1.0).abs() < 1e-12, "{} at {t} K: {slope} {cp}", liquid.name());
        }
        prop_assert!((air::enthalpy(dual(t)).eps / air::specific_heat(t) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn dual_slopes_equal_central_differences(share in 0.01_f64..0.99) {
        for liquid in liquids() {
            let (low, high) = liquid.evaluated_range_k();
            let t = low + share * (high - low);
            let step = 1e-3;
            let laws: [(&str, f64, f64, f64); 3] = [
                ("density", liquid.density(dual(t)).eps, liquid.density(t - step), liquid.density(t + step)),
                ("viscosity", liquid.viscosity(dual(t)).eps, liquid.viscosity(t - step), liquid.viscosity(t + step)),
                ("conductivity", liquid.conductivity(dual(t)).eps, liquid.conductivity(t - step), liquid.conductivity(t + step)),
            ];
            for (what, exact, before, after) in laws {
                let numeric = (after - before) / (2.0 * step);
                let scale = exact.abs() + 1e-5 * before.abs();
                prop_assert!((exact - numeric).abs() < 1e-4 * scale, "{} {what} at {t} K: {exact} {numeric}", liquid.name());
            }
        }
    }

    #[test]
    fn enthalpy_is_the_numerical_integral_of_the_specific_heat(a in 200.0_f64..500.0, b in 200.0_f64..500.0) {
        for liquid in liquids() {
            // midpoint rule; the specific heat has a corner at the ends of its range
            let n = 4000;
            let width = (b - a) / f64::from(n);
            let sum: f64 = (0..n).map(|k| liquid.specific_heat(a + (f64::from(k) + 0.5) * width)).sum();
            let exact = liquid.enthalpy(b) - liquid.enthalpy(a);
            prop_assert!((sum * width - exact).abs() < 1e-4 + 1e-6 * exact.abs(), "{}", liquid.name());
        }
    }
}

#[test]
fn enthalpy_is_zero_at_the_reference() {
    for liquid in liquids() {
        assert!(liquid.enthalpy(media::ENTHALPY_ZERO_K).abs() < 1e-9, "{}", liquid.name());
    }
    assert!(air::enthalpy(media::ENTHALPY_ZERO_K).abs() < 1e-9);
}

#[test]
fn properties_are_positive_and_viscosity_falls() {
    for liquid in liquids() {
        let (low, high) = liquid.evaluated_range_k();
        let mut viscosity = f64::INFINITY;
        for k in 0..=1000 {
            let t = low + (high - low) * f64::from(k) / 1000.0;
            let name = liquid.name();
            assert!((600.0..1200.0).contains(&liquid.density(t)), "{name} {t}");
            assert!(
                (1500.0..4500.0).contains(&liquid.specific_heat(t)),
                "{name} {t}: {}",
                liquid.specific_heat(t)
            );
            assert!((0.05..0.7).contains(&liquid.conductivity(t)), "{name} {t}");
            assert!(liquid.viscosity(t) < viscosity, "{name} {t}");
            viscosity = liquid.viscosity(t);
            assert!(viscosity > 0.0 && liquid.prandtl(t) > 0.5, "{name} {t}");
        }
    }
}

#[test]
fn outside_the_range_properties_are_held() {
    for liquid in liquids() {
        let (low, high) = liquid.evaluated_range_k();
        for (edge, outside) in [(low, low - 40.0), (high, high + 40.0)] {
            assert_eq!(liquid.density(outside), liquid.density(edge));
            assert_eq!(liquid.viscosity(outside), liquid.viscosity(edge));
            assert_eq!(liquid.conductivity(outside), liquid.conductivity(edge));
            let linear = liquid.enthalpy(edge) + liquid.specific_heat(edge) * (outside - edge);
            assert!((liquid.enthalpy(outside) - linear).abs() < 1e-6);
            assert!(!liquid.in_range(outside));
        }
    }
}

#[test]
fn slopes_are_continuous_where_the_oil_pairs_are_blended() {
    for name in ["turbine-oil", "atf", "gear-oil-75w90"] {
        let oil = Liquid::named(name).unwrap();
        for seam in [273.15, 313.15] {
            let slope = |t: f64| oil.viscosity(dual(t)).eps / oil.viscosity(t);
            assert!((slope(seam - 1e-5) - slope(seam + 1e-5)).abs() < 1e-6, "{name} at {seam} K");
        }
    }
}
