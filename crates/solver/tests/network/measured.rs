//! Measured laws carried to the air and the liquid that flow; by hand.
//!
//! Properties of the hand calculations: water and 50 % ethylene glycol by mass at 60 degC and air from CoolProp 8 (IAPWS-95, Melinder
//! 2010, Lemmon et al. 2000).

use media::Liquid;
use num_dual::Dual64;
use numerics::Curve;
use solver::{
    Carried, FilmLaw, FlowLaw, Fluid, MapError, MeasuredFilm, MeasuredFilmLaw, MeasuredMap, Passage,
    Reference, ReratedLoss, Side, TransferLaw,
};
use std::f64::consts::{FRAC_PI_4, PI};

#[track_caller]
fn assert_close(what: &str, computed: f64, expected: f64, relative: f64) {
    assert!(
        (computed - expected).abs() <= relative * expected.abs(),
        "{what}: {computed}, expected {expected}"
    );
}

const STANDARD: (f64, f64) = (1.225, 288.15);
const WARM_K: f64 = 333.15;

fn liquid(name: &str) -> Fluid {
    Fluid::Liquid(Liquid::named(name).unwrap())
}

/// Round tubes of 3 mm, 0.3 m long, that are laminar in both liquids at 12 L/min through 120 of them.
fn tubes(count: f64) -> Passage {
    Passage {
        length_m: 0.3,
        hydraulic_diameter_m: 3e-3,
        flow_area_m2: count * FRAC_PI_4 * 9e-6,
        wetted_area_m2: count * PI * 3e-3 * 0.3,
        roughness_m: 1.5e-6,
        laminar_friction: 64.0,
        laminar_nusselt: 3.6568,
        loss_coefficient: 1.5,
    }
}

fn in_air(film: MeasuredFilm) -> FilmLaw {
    let carried = Carried::Mass(Reference::air(STANDARD.0, STANDARD.1));
    FilmLaw::Measured(MeasuredFilmLaw { film, carried })
}

fn rotor_face() -> FilmLaw {
    in_air(MeasuredFilm::Power { conductance_w_k: 9.0, at_m3_s: 0.06, exponent: 0.75 })
}

#[test]
fn a_film_measured_at_sea_level_follows_the_mass_of_thin_air() {
    // 15,000 ft: 57,182 Pa. The same 0.06 m3/s at the 15 degC of the measurement: rho = 57182/(287.053 x 288.15) = 0.69131 kg/m3,
    // V = 0.69131 x 0.06/1.225 = 0.033860 m3/s, hA = 9 (0.033860/0.06)^0.75 = 9 x 0.65109 = 5.8598 W/K: by volume flow it was 9
    let thin = Fluid::Air { pressure_pa: 57_182.0 };
    let film = rotor_face();
    let cold_kg_s = 0.06 * thin.density(288.15);
    assert_close("at 15 degC", film.conductance(&thin, cold_kg_s, 288.15), 5.8598, 5e-4);
    // at 40 degC: rho = 0.63613 kg/m3, V = 0.031157 m3/s, 9 (0.031157/0.06)^0.75 = 5.5056 W/K; viscosity (Sutherland)
    // 1.08676^1.5 x 398.55/423.55 = 1.06605, to the power 0.25 = 1.01612; specific heat 1006.92/1006.00 = 1.00092; Prandtl number
    // 0.70548/0.70864 = 0.99554, to the power -2/3 = 1.00298: 5.5056 x 1.01612 x 1.00092 x 1.00298 = 5.6161 W/K
    let warm_kg_s = 0.06 * thin.density(313.15);
    assert_close("at 40 degC", film.conductance(&thin, warm_kg_s, 313.15), 5.6161, 1e-3);
    // at rest a twentieth of the 9 W/K, times (0.69131/1.225)^0.75 = 0.65109; denser air than measured is not counted on
    assert_close("at rest", film.at_rest(&thin, 288.15), 0.05 * 9.0 * 0.65109, 1e-3);
    let dense = Fluid::Air { pressure_pa: 200e3 };
    assert_close("at rest, dense", film.at_rest(&dense, 288.15), 0.45, 1e-9);
}

#[test]
fn a_table_over_air_has_its_local_exponent_and_is_covered_by_mass_flow() {
    let points: Vec<(f64, f64)> =
        (0..9).map(|k| 0.02 + 0.01 * f64::from(k)).map(|v| (v, 9.0 * (v / 0.06_f64).powf(0.75))).collect();
    let table = in_air(MeasuredFilm::Curve(Curve::new(&points).unwrap()));
    let thin = Fluid::Air { pressure_pa: 70e3 };
    for k in 0..40 {
        let mass_kg_s = 1.225 * (0.025 + 1.7e-3 * f64::from(k));
        let (one, other) =
            (table.conductance(&thin, mass_kg_s, 320.0), rotor_face().conductance(&thin, mass_kg_s, 320.0));
        if mass_kg_s < 1.225 * 0.1 {
            assert_close("table and power law", one, other, 3e-3);
        }
        // the derivative that Newton's method sees is that of the law
        let dual = table.conductance(&thin, Dual64::from_re(mass_kg_s).derivative(), Dual64::from_re(320.0));
        let step = 1e-7;
        let difference = (table.conductance(&thin, mass_kg_s + step, 320.0)
            - table.conductance(&thin, mass_kg_s - step, 320.0))
            / (2.0 * step);
        assert!(
            (dual.eps - difference).abs() < 1e-4 * difference.abs().max(1.0),
            "{} {difference}",
            dual.eps
        );
    }
    // 0.02 to 0.1 m3/s of standard air: 0.0245 to 0.1225 kg/s, whatever volume that is up there
    assert!(table.covers(&thin, 0.0246, 320.0) && table.covers(&thin, 0.122, 320.0));
    assert!(!table.covers(&thin, 0.0244, 320.0) && !table.covers(&thin, 0.123, 320.0));
}

/// A map of one value, 180 W/K, whatever the flows near 12 L/min and 0.3 m3/s.
fn map(count: f64, conductance_w_k: f64) -> Result<TransferLaw, MapError> {
    let flows = ([1e-4, 2e-4, 3e-4], [0.1, 0.5]);
    let values = [conductance_w_k; 6];
    let measured = Reference::of(&liquid("water"), WARM_K);
    let passage = tubes(count);
    let map = MeasuredMap::new((&flows.0, &flows.1, &values), 1.225, 0.0, Some((&passage, &measured, 1.0)))?;
    Ok(TransferLaw::Map(Box::new(map)))
}

fn conductance(law: &TransferLaw, liquid: &Fluid, liquid_m3_s: f64, temperature_k: f64) -> (f64, f64) {
    let air = Fluid::Air { pressure_pa: 101_325.0 };
    let mass_flow_kg_s = liquid_m3_s * liquid.density(temperature_k);
    let first = Side { fluid: liquid, mass_flow_kg_s, temperature_k };
    let second = Side { fluid: &air, mass_flow_kg_s: 0.3, temperature_k: 310.0 };
    assert!(law.covers(&first, &second));
    (law.conductance(&first, &second), law.rerating(&first, &second).unwrap())
}

#[test]
fn a_core_tested_on_water_is_worth_less_on_glycol() {
    // 12 L/min = 2e-4 m3/s through 120 tubes: A = 120 x 7.0686e-6 = 8.4823e-4 m2, v = 0.23579 m/s. Wetted area 120 x pi x 0.003 x 0.3
    // = 0.33929 m2, d/L = 0.01.
    // Water, 60 degC: rho 983.24, mu 4.6606e-4, cp 4184.7, k 0.65105. Re = 983.24 x 0.23579 x 0.003/4.6606e-4 = 1492.3, Pr = 2.9957,
    // Gz = 44.704; 1.615 Gz^(1/3) = 5.7314; Nu = (3.6568^3 + 0.343 + 5.0314^3)^(1/3) = (48.900 + 0.343 + 127.37)^(1/3) = 5.6109;
    // hA = 5.6109 x 0.65105/0.003 x 0.33929 = 413.14 W/K.
    // 50 % glycol: rho 1040.49, mu 1.37492e-3, cp 3503.1, k 0.41379. Re = 535.30, Pr = 11.640, Gz = 62.310; 1.615 Gz^(1/3) = 6.4023;
    // Nu = (48.900 + 0.343 + 5.7023^3)^(1/3) = (48.900 + 0.343 + 185.42)^(1/3) = 6.1683; hA = 6.1683 x 0.41379/0.003 x 0.33929 = 288.67.
    // 1/UA = 1/180 - 1/413.14 + 1/288.67 = 5.5556e-3 - 2.4205e-3 + 3.4642e-3 = 6.5993e-3, UA = 151.53 W/K: 15.8 % less.
    let law = map(120.0, 180.0).unwrap();
    let glycol = liquid("ethylene-glycol:0.5");
    let (conductance_w_k, ratio) = conductance(&law, &glycol, 2e-4, WARM_K);
    assert_close("UA", conductance_w_k, 151.53, 5e-3);
    assert_close("against the measured one", ratio, 151.53 / 180.0, 5e-3);
    // on water at the temperature of the test it is the map, at any flow
    for flow_m3_s in [1e-4, 1.37e-4, 2e-4, 3e-4] {
        assert_close("on water", conductance(&law, &liquid("water"), flow_m3_s, WARM_K).0, 180.0, 1e-9);
    }
}

#[test]
fn passages_that_pass_less_than_the_whole_core_are_refused() {
    // 40 tubes pass 413.14/3 = 137.7 W/K at their flow, 180 were measured for the whole core
    let Err(MapError::Passages { index, conductance_w_k, film_w_k, .. }) = map(40.0, 180.0) else {
        panic!("it is refused");
    };
    assert_eq!((index, conductance_w_k), (0, 180.0));
    assert!(film_w_k < 180.0, "{film_w_k}");
}

#[test]
fn a_film_tested_on_water_goes_with_nusselt_number_and_conductivity() {
    // as above, at 12 L/min: Nu k = 6.1683 x 0.41379 against 5.6109 x 0.65105, 0.69871; 300 W/K x 0.69871 = 209.61 W/K
    let measured = Reference::of(&liquid("water"), WARM_K);
    let film = FilmLaw::Measured(MeasuredFilmLaw {
        film: MeasuredFilm::Power { conductance_w_k: 300.0, at_m3_s: 2e-4, exponent: 0.7 },
        carried: Carried::Passages(Box::new((tubes(120.0), measured))),
    });
    let glycol = liquid("ethylene-glycol:0.5");
    let mass_kg_s = 2e-4 * glycol.density(WARM_K);
    assert_close("film", film.conductance(&glycol, mass_kg_s, WARM_K), 209.61, 5e-3);
    assert_close("ratio", film.rerating(&glycol, mass_kg_s, WARM_K).unwrap(), 0.69871, 5e-3);
    // at rest the Nusselt number is that of developed flow in both: k alone, 0.41379/0.65105 = 0.63557, of a twentieth
    assert_close("at rest", film.at_rest(&glycol, WARM_K), 0.05 * 300.0 * 0.63557, 5e-3);
}

#[test]
fn a_loss_tested_on_water_goes_with_the_friction_of_the_passages() {
    // 12 L/min, laminar in both: 32 mu L v/d^2 + 1.5 rho v^2/2.
    // Water: 32 x 4.6606e-4 x 0.3 x 0.23579/9e-6 = 117.22 Pa, + 0.75 x 983.24 x 0.055595 = 41.00 Pa: 158.22 Pa.
    // Glycol: 32 x 1.37492e-3 x 0.3 x 0.23579/9e-6 = 345.80 Pa, + 0.75 x 1040.49 x 0.055595 = 43.38 Pa: 389.18 Pa, 2.4597 times that.
    // 8 kPa were measured: 19.68 kPa
    let measured = Reference::of(&liquid("water"), WARM_K);
    let glycol = liquid("ethylene-glycol:0.5");
    let mass_kg_s = 2e-4 * glycol.density(WARM_K);
    let point = FlowLaw::Rerated(Box::new(ReratedLoss::new(tubes(120.0), measured, &[(2e-4, 8e3)]).unwrap()));
    assert_close("loss", point.drop(&glycol, mass_kg_s, WARM_K, 1.0), 19.68e3, 5e-3);
    assert_close("ratio", point.rerating(&glycol, mass_kg_s, WARM_K).unwrap(), 2.4597, 5e-3);
    let water_kg_s = 2e-4 * liquid("water").density(WARM_K);
    assert_close("as measured", point.drop(&liquid("water"), water_kg_s, WARM_K, 1.0), 8e3, 1e-9);
}

#[test]
fn a_carried_loss_rises_with_the_flow_whatever_the_regimes_and_the_points() {
    // points that fall against the friction of the passages, which turn turbulent in water between them
    let measured = Reference::of(&liquid("water"), WARM_K);
    for points in [
        vec![(0.0, 0.0), (1e-4, 2e3), (2e-4, 8e3), (4e-4, 31e3), (8e-4, 120e3)],
        vec![(2e-4, 8e3), (4e-4, 9e3), (4.5e-4, 9.1e3), (8e-4, 12e3)],
        vec![(3e-4, 5e3)],
    ] {
        let law = FlowLaw::Rerated(Box::new(ReratedLoss::new(tubes(120.0), measured, &points).unwrap()));
        for name in ["water", "ethylene-glycol:0.5", "iso-vg-46"] {
            let fluid = liquid(name);
            let at = |flow_m3_s: f64| law.drop(&fluid, flow_m3_s * fluid.density(WARM_K), WARM_K, 1.0);
            assert_eq!(at(0.0), 0.0);
            let losses: Vec<f64> = (-150..150).map(|k| at(1e-5 * f64::from(k))).collect();
            assert!(losses.windows(2).all(|two| two[1] > two[0]), "{name} {points:?}");
            assert!((at(-3e-4) + at(3e-4)).abs() < 1e-9 * at(3e-4), "it is the same backwards");
            let slope = law.drop(
                &fluid,
                Dual64::from_re(0.0).derivative(),
                Dual64::from_re(WARM_K),
                Dual64::from_re(1.0),
            );
            assert!(slope.eps > 0.0, "{name}: a resting flow has a slope");
        }
    }
    assert!(ReratedLoss::new(tubes(120.0), measured, &[(0.0, 0.0)]).is_err());
}
