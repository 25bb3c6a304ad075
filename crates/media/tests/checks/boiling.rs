use media::Liquid;
use testkit::assert_within;

/// Cap pressures, Pa gauge: open, +50, +90, +103 kPa.
const CAPS_PA: [f64; 4] = [0.0, 50e3, 90e3, 103e3];

#[test]
fn the_boiling_table_of_practice_is_met() {
    // practice.md section 6: 50 % by volume, Raoult estimate; sea level, 8,000 ft, 10,000 ft (pressures of its section 2)
    let rows = [
        (101_325.0, [107.7, 120.0, 127.6, 129.9]),
        (75_262.0, [99.3, 114.1, 122.8, 125.4]),
        (69_682.0, [97.2, 112.7, 121.7, 124.4]),
    ];
    let coolant = Liquid::named("ethylene-glycol:0.5vol").unwrap();
    for (ambient_pa, celsius) in rows {
        for (cap_pa, expected) in CAPS_PA.into_iter().zip(celsius) {
            let boiling = coolant.boiling_point_k(ambient_pa + cap_pa).unwrap() - 273.15;
            println!("{ambient_pa} {cap_pa}: {boiling:.2} against {expected}");
            assert_within("boiling point", boiling, expected, 0.3);
        }
    }
}

#[test]
fn half_and_half_boils_where_published() {
    // practice.md section 6, published for 50 % by volume of ethylene glycol, open: 106-108 degC; propylene glycol is heavier, so
    // its mole fraction and the rise are smaller
    for name in ["ethylene-glycol:0.5vol", "propylene-glycol:0.5vol"] {
        let boiling = Liquid::named(name).unwrap().boiling_point_k(101_325.0).unwrap() - 273.15;
        assert!((103.5..108.0).contains(&boiling), "{name}: {boiling}");
    }
}

#[test]
fn boiling_inverts_the_vapour_pressure_and_both_rise() {
    for name in ["water", "ethylene-glycol:0.3", "propylene-glycol:0.6"] {
        let liquid = Liquid::named(name).unwrap();
        let mut before = 0.0;
        for k in 0..100 {
            let t = 260.0 + 3.0 * f64::from(k);
            let pressure = liquid.vapour_pressure_pa(t).unwrap();
            assert!(pressure > before, "{name} at {t} K");
            before = pressure;
            assert_within("inverse", liquid.boiling_point_k(pressure).unwrap(), t, 1e-6);
        }
    }
}

#[test]
fn what_is_not_known_is_not_invented() {
    for name in ["turbine-oil", "silicone", "aliphatic"] {
        assert_eq!(Liquid::named(name).unwrap().boiling_point_k(101_325.0), None);
    }
    let water = Liquid::named("water").unwrap();
    for pressure in [0.0, -1.0, f64::NAN, 1e12] {
        assert_eq!(water.boiling_point_k(pressure), None);
    }
    assert_eq!(water.vapour_pressure_pa(900.0), None);
}
