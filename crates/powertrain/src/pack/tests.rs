use super::*;
use crate::cell::tests::cell;
use crate::conductor::COPPER;
use num_dual::first_derivative;
use proptest::prelude::*;
use testkit::{assert_close, assert_within};

fn pack() -> Pack {
    let interconnects = Interconnects {
        string_busbars: Resistor { resistance_ohm: 0.010, ..Resistor::NONE },
        string_contactor: Resistor { resistance_ohm: 0.002, ..Resistor::NONE },
        main_contactor: Resistor { resistance_ohm: 0.001, ..Resistor::NONE },
        cable: Resistor::cable(6.0, 50e-6, &COPPER).unwrap(),
    };
    let layout = Layout { series: 100, cells_in_parallel: 20, strings: 2 };
    Pack::new(cell(0.020, 0.0, 0.0), layout, interconnects).unwrap()
}

fn temperatures() -> InterconnectTemperatures<f64> {
    InterconnectTemperatures { busbar_k: 293.15, contactor_k: 293.15, cable_k: 293.15 }
}

#[test]
fn sag_by_hand() {
    // U0 400 V, R 0.1 ohm, P 70 kW: sqrt(160000 - 28000) = 363.318; I = 36.682 / 0.2 = 183.41 A; V = 381.66 V
    let source = VoltageSource { open_circuit_v: 400.0, resistance_ohm: 0.1 };
    let current = source.current_from_power(70e3).unwrap();
    assert_within("A", current, 183.410, 0.001);
    assert_within("V", source.terminal_v(current), 381.659, 0.001);
    assert_close("W", current * source.terminal_v(current), 70e3, 1e-12);
    assert_close("back", source.current_at(source.terminal_v(current)), current, 1e-9);
    // without resistance: 175 A
    assert_close("A", current_from_power(70e3, 400.0, 0.0).unwrap(), 175.0, 1e-15);
    // charging with 70 kW: sqrt(160000 + 28000) = 433.590; I = -33.590 / 0.2 = -167.95 A
    assert_within("A", source.current_from_power(-70e3).unwrap(), -167.948, 0.001);
}

#[test]
fn impossible_power_is_named_with_numbers() {
    // U0^2 / (4 R) = 160000 / 0.4 = 400 kW
    let source = VoltageSource { open_circuit_v: 400.0, resistance_ohm: 0.1 };
    let error = source.current_from_power(401e3).unwrap_err();
    let PackPower::Impossible { demand_w, greatest_w } = error else { panic!("{error}") };
    assert_eq!(demand_w, 401e3);
    assert_close("greatest", greatest_w, 400e3, 1e-12);
    assert!(error.to_string().contains("401000 W") && error.to_string().contains("400000 W"), "{error}");
    assert!(current_from_power(1.0, f64::NAN, 0.1).is_err());
    assert!(current_from_power(f64::NAN, 400.0, 0.1).is_err());
    assert!(current_from_power(1.0, 0.0, 0.1).is_err());
}

#[test]
fn a_pack_by_hand() {
    let pack = pack();
    let groups = [Group { series: 100, temperature_k: 293.15, soc: 0.5 }];
    // 100 x 3.7 V = 370 V; cells 100/40 x 20 mOhm = 50 mOhm; strings (10 + 2)/2 = 6; main 1; cable 2.06892: 59.06892 mOhm
    let source = pack.source(groups, &temperatures(), 0).unwrap();
    assert_close("V", source.open_circuit_v, 370.0, 1e-12);
    assert_close("ohm", source.resistance_ohm, 0.05906892, 1e-12);
    // 400 A: 10 A a cell, 2 W each, 4000 cells = 8 kW; busbars 2 x 200^2 x 0.010 = 800 W;
    // contactors 2 x 200^2 x 0.002 + 400^2 x 0.001 = 320 W; cable 400^2 x 2.06892e-3 = 331.03 W
    assert_close("cells", pack.group_heat_w(&groups[0], 400.0, 0).unwrap(), 8000.0, 1e-12);
    let heat = pack.interconnect_heat_w(400.0, &temperatures(), 0).unwrap();
    assert_close("busbars", heat.busbar_w, 800.0, 1e-12);
    assert_close("contactors", heat.contactor_w, 320.0, 1e-12);
    assert_close("cable", heat.cable_w, 331.0272, 1e-9);
    // all of it is I^2 R
    let sum = 8000.0 + heat.busbar_w + heat.contactor_w + heat.cable_w;
    assert_close("sum", sum, 400.0 * 400.0 * source.resistance_ohm, 1e-12);
    // 400 A from 40 x 3 A h: 1/1080 per second... 400 / 120 / 3600
    assert_close("soc", pack.soc_rate_per_s(400.0, 0).unwrap(), -400.0 / 120.0 / 3600.0, 1e-12);
    assert_close("mass", pack.cell_mass_kg(), 280.0, 1e-12);
}

#[test]
fn one_string_out_puts_its_current_on_the_others() {
    // two strings: the one left carries twice the current, each of its cells four times the heat
    let pack = pack();
    let group = Group { series: 100, temperature_k: 293.15, soc: 0.5 };
    assert_close("A", pack.cell_current_a(400.0, 1).unwrap(), 20.0, 1e-12);
    assert_close("W", pack.group_heat_w(&group, 400.0, 1).unwrap(), 16_000.0, 1e-12);
    // three strings, one out: + 1/(n-1) = +50 %
    let three = Layout { strings: 3, ..pack.layout() };
    let three = Pack::new(pack.cell().clone(), three, Interconnects::NONE).unwrap();
    let (all, left) = (three.cell_current_a(400.0, 0).unwrap(), three.cell_current_a(400.0, 1).unwrap());
    assert_close("ratio", left / all, 1.5, 1e-12);
    assert_eq!(pack.strings_in_service(2), Err(PackPower::NoString));
    assert_eq!(pack.strings_in_service(3), Err(PackPower::NoString));
}

#[test]
fn groups_with_their_own_temperatures_add_up() {
    let warm = Pack::new(cell(0.020, 2500.0, 0.0), pack().layout(), Interconnects::NONE).unwrap();
    let group = |series, temperature_k| Group { series, temperature_k, soc: 0.5 };
    let source = |groups: &[Group<f64>]| {
        warm.source(groups.iter().copied(), &temperatures(), 0).unwrap().resistance_ohm
    };
    let split = source(&[group(60, 298.15), group(40, 318.15)]);
    let by_hand = 0.6 * source(&[group(100, 298.15)]) + 0.4 * source(&[group(100, 318.15)]);
    assert_close("ohm", split, by_hand, 1e-12);
}

#[test]
fn unequal_strings_share_by_their_resistance() {
    // 400 V behind 0.1 and 0.2 ohm at 300 A: R = 0.0667 ohm, V = 380 V, 200 A and 100 A
    let (a, b) = (
        VoltageSource { open_circuit_v: 400.0, resistance_ohm: 0.1 },
        VoltageSource { open_circuit_v: 400.0, resistance_ohm: 0.2 },
    );
    let both = a.in_parallel(b);
    let volts: f64 = both.terminal_v(300.0);
    assert_close("V", volts, 380.0, 1e-12);
    assert_close("A", a.current_at(volts), 200.0, 1e-9);
    assert_close("A", b.current_at(volts), 100.0, 1e-9);
}

proptest! {
    #[test]
    fn impossible_power_is_named_exactly_above_the_greatest(
        u in 10.0..1000.0_f64, r in 1e-4..1.0_f64, share in -3.0..3.0_f64,
    ) {
        prop_assume!((share - 1.0).abs() > 1e-9);
        let power = share * greatest_power_w(u, r);
        match current_from_power(power, u, r) {
            Ok(current) => {
                prop_assert!(share < 1.0);
                prop_assert!((current * (u - current * r) - power).abs() <= 1e-9 * power.abs().max(1.0));
                // the smaller root: at most half the short-circuit current
                prop_assert!(current <= 0.5 * u / r * (1.0 + 1e-12));
            }
            Err(error) => {
                let named = matches!(error, PackPower::Impossible { .. });
                prop_assert!(share > 1.0 && named);
            }
        }
    }

    #[test]
    fn current_slopes_equal_central_differences(
        u in 100.0..900.0_f64, r in 1e-3..0.5_f64, share in -2.0..0.95_f64,
    ) {
        let power = share * greatest_power_w(u, r);
        let current = |r: f64| current_from_power(power, u, r).unwrap();
        let (_, exact) =
            first_derivative(|r| current_from_power(constant(power), constant(u), r).unwrap(), r);
        let step = 1e-6 * r;
        let central = (current(r + step) - current(r - step)) / (2.0 * step);
        prop_assert!((exact - central).abs() <= 1e-5 * (exact.abs() + 1e-3 * u / (r * r)), "{} {}", exact, central);
    }

    #[test]
    fn current_grows_as_voltage_sags(u in 300.0..800.0_f64, p in 1e3..100e3_f64) {
        let at = |u: f64| current_from_power(p, u, 0.05).unwrap();
        prop_assert!(at(0.95 * u) > at(u));
    }
}

#[test]
fn the_hottest_cell_by_hand() {
    // trade facts, section 12, no. 16: 4.5 W, 8 K/W: 36 K steady, tau 532 s, 15.517 K at 300 s; a tenth more heat adds a tenth
    let cell = cell(0.020, 0.0, 0.0);
    let joule = cell.heat_parts(15.0, 300.0, 0.5).joule_w;
    let hot = HotCell::new(0.1, 8.0).unwrap();
    let allowance = hot.allowance(&cell, joule);
    assert_close("W", hot.extra_heat_w(joule), 0.45, 1e-12);
    assert_close("K", allowance.steady_rise_k, 3.6, 1e-12);
    assert_close("s", allowance.lag_s, 532.0, 1e-12);
    // its rate integrated for 300 s by the midpoint rule
    let mut rise = 0.0;
    for _ in 0..3000 {
        let half = rise + 0.05 * allowance.rate_k_s(rise);
        rise += 0.1 * allowance.rate_k_s(half);
    }
    assert_within("at 300 s", rise, 1.5517, 1e-4);
    assert!(HotCell::new(-0.1, 8.0).is_err() && HotCell::new(0.1, 0.0).is_err());
}
