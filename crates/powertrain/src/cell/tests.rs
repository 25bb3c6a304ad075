use super::*;
use num_dual::first_derivative;
use proptest::prelude::*;
use testkit::{Worst, assert_close, assert_within, table};

pub(crate) fn cell(resistance_ohm: f64, b_k: f64, entropic_v_k: f64) -> Cell {
    let law =
        ResistanceLaw::Reference { resistance_ohm, reference_k: CELL_REFERENCE_K, b_k, soc_factor: None };
    let basis = ResistanceBasis::DirectCurrentPulse { pulse_s: 10.0 };
    Cell::new(CellData {
        capacity_ah: 3.0,
        open_circuit_v: Curve::new(&[(0.0, 3.0), (0.2, 3.5), (0.5, 3.7), (1.0, 4.2)]).unwrap(),
        resistance: CellResistance::new(law, basis, 1.0, 1.0).unwrap(),
        entropic: Entropic::Fixed(entropic_v_k),
        mass_kg: 0.070,
        specific_heat_j_kgk: 950.0,
    })
    .unwrap()
}

#[test]
fn every_row_of_the_battery_table() {
    let mut worst = Worst::new();
    for row in table("battery_heat.csv").rows() {
        let (i, t) = (row.number("current_A"), row.number("temperature_K"));
        let (u, v) = (row.number("open_circuit_voltage_V"), row.number("terminal_voltage_V"));
        let slope = row.number("entropic_coefficient_V_K");
        worst.check(row, heat_from_voltages(i, u, v, t, slope));
        // the same through a cell whose resistance gives that voltage drop at that temperature
        let ohm = (u - v) / i / temperature_factor(t, CELL_REFERENCE_K, DEFAULT_RESISTANCE_B_K);
        worst.check(row, cell(ohm, DEFAULT_RESISTANCE_B_K, slope).heat(i, t, 0.5));
    }
    worst.finish(8);
}

#[test]
fn the_single_cell_of_the_worked_example() {
    // 70 g, 950 J/(kg K), 20 mOhm, 15 A: 4.5 W, 4.06 K/min; with 8 K/W: tau 532 s, 15.517 K at 300 s, 36.0 K steady
    let cell = cell(0.020, 0.0, 0.0);
    let heat = cell.heat(15.0, 300.0, 0.5);
    assert_close("W", heat, 4.5, 1e-12);
    assert_within("K/min", 60.0 * heat / cell.heat_capacity_j_k(), 4.06, 0.005);
    let tau = 8.0 * cell.heat_capacity_j_k();
    assert_close("tau", tau, 532.0, 1e-12);
    assert_close("steady", 8.0 * heat, 36.0, 1e-12);
    assert_within("at 300 s", 8.0 * heat * (1.0 - (-300.0 / tau).exp()), 15.517, 0.0005);
}

#[test]
fn the_entropic_example() {
    // 15 A, 298 K, 0.2 mV/K = 0.89 W
    let without = cell(0.020, 0.0, 0.0).heat(15.0, 298.0, 0.5);
    let with = cell(0.020, 0.0, 2e-4).heat(15.0, 298.0, 0.5);
    assert_within("W", without - with, 0.89, 0.005);
}

#[test]
fn the_table_of_temperature_factors() {
    // own calculation of the collection, printed digits: B 2000 / 2500 / 3500 K
    let printed = [
        (-20.0, [3.3, 4.4, 8.1], 0.05),
        (-10.0, [2.4, 3.1, 4.8], 0.05),
        (0.0, [1.85, 2.15, 2.9], 0.05),
        (45.0, [0.66, 0.59, 0.48], 0.005),
        (60.0, [0.49, 0.41, 0.29], 0.005),
    ];
    for (celsius, factors, digit) in printed {
        for (b, expected) in [2000.0, 2500.0, 3500.0].into_iter().zip(factors) {
            let factor = temperature_factor(celsius + 273.15, 298.15, b);
            assert_within(&format!("{celsius} degC, B {b}"), factor, expected, 1.01 * digit);
        }
    }
}

#[test]
fn duration_and_age_multiply_and_1_khz_is_refused() {
    let law = ResistanceLaw::Reference {
        resistance_ohm: 0.020,
        reference_k: CELL_REFERENCE_K,
        b_k: 2500.0,
        soc_factor: Some(Curve::new(&[(0.0, 2.0), (0.3, 1.0), (1.0, 1.0)]).unwrap()),
    };
    let basis = ResistanceBasis::DirectCurrentPulse { pulse_s: 10.0 };
    let resistance = CellResistance::new(law.clone(), basis, DEFAULT_DURATION_FACTOR, 1.5).unwrap();
    // 20 mOhm x 1.2 x 1.5 = 36 mOhm at 25 degC and 50 % SOC, twice that when empty
    assert_close("ohm", resistance.at(298.15, 0.5), 0.036, 1e-12);
    assert_close("ohm", resistance.at(298.15, 0.0), 0.072, 1e-12);
    assert_close("new", resistance.aged(1.0).unwrap().at(298.15, 0.5), 0.024, 1e-12);
    assert!(resistance.contains(298.15, 0.5) && !resistance.contains(150.0, 0.5));
    assert_eq!(
        CellResistance::new(law, ResistanceBasis::AlternatingCurrent1kHz, 1.0, 1.0),
        Err(InputError::AlternatingCurrentResistance)
    );
}

#[test]
fn a_resistance_surface_is_read_by_charge_and_temperature() {
    let (soc, kelvin) = ([0.0, 1.0], [273.15, 313.15]);
    let law = ResistanceLaw::surface(&soc, &kelvin, &[0.060, 0.030, 0.040, 0.020]).unwrap();
    assert!(ResistanceLaw::surface(&soc, &kelvin, &[0.060, 0.0, 0.040, 0.020]).is_err());
    assert!(ResistanceLaw::surface(&soc, &kelvin, &[0.060]).is_err());
    let basis = ResistanceBasis::DirectCurrentPulse { pulse_s: 30.0 };
    let resistance = CellResistance::new(law, basis, 1.0, 1.0).unwrap();
    // middle of four corners: (60 + 30 + 40 + 20) / 4 = 37.5 mOhm
    assert_close("ohm", resistance.at(293.15, 0.5), 0.0375, 1e-12);
}

#[test]
fn charge_drops_by_current_over_capacity() {
    // 3 A from 3 A h: 1 per hour
    assert_close("1/s", cell(0.02, 0.0, 0.0).soc_rate_per_s(3.0), -1.0 / 3600.0, 1e-12);
}

#[test]
fn a_falling_open_circuit_voltage_is_refused() {
    let good = cell(0.02, 0.0, 0.0).data().clone();
    let falling = Curve::new(&[(0.0, 3.5), (1.0, 3.4)]).unwrap();
    assert!(Cell::new(CellData { open_circuit_v: falling, ..good.clone() }).is_err());
    assert!(Cell::new(CellData { mass_kg: 0.0, ..good }).is_err());
}

proptest! {
    #[test]
    fn discharge_heat_is_positive_and_grows_with_current(
        i in 0.01..200.0_f64, t in 220.0..380.0_f64, soc in 0.0..1.0_f64, b in 0.0..3500.0_f64,
    ) {
        let cell = cell(0.02, b, 0.0);
        let heat = cell.heat(i, t, soc);
        prop_assert!(heat > 0.0);
        prop_assert!(cell.heat(1.01 * i, t, soc) > heat);
    }

    #[test]
    fn dual_slopes_equal_central_differences(
        i in -100.0..100.0_f64, t in 230.0..370.0_f64, slope in -5e-4..3e-4_f64,
    ) {
        let cell = cell(0.02, 2500.0, slope);
        let (_, exact) = first_derivative(|t| cell.heat(constant(i), t, constant(0.4)), t);
        let central = (cell.heat(i, t + 1e-3, 0.4) - cell.heat(i, t - 1e-3, 0.4)) / 2e-3;
        prop_assert!((exact - central).abs() <= 1e-6 * (1.0 + exact.abs() + (i * i * 0.2)), "{} {}", exact, central);
    }
}

#[test]
fn age_multiplies_resistance_and_capacity() {
    let new = cell(0.020, 0.0, 0.0);
    let old = new.aged(Ageing::END_OF_LIFE).unwrap();
    // 20 mOhm x 1.5, 3 A h x 0.8; at 15 A 225 x 0.030 = 6.75 W and empty in 2.4/15 h
    assert_close("W", old.heat(15.0, 300.0, 0.5), 6.75, 1e-12);
    assert_close("1/s", old.soc_rate_per_s(15.0), -15.0 / (3600.0 * 2.4), 1e-12);
    let half = Ageing::END_OF_LIFE.part(0.5).unwrap();
    assert_close("half", half.resistance_factor, 1.25, 1e-12);
    assert_close("half", half.capacity_factor, 0.9, 1e-12);
    assert_eq!(Ageing::END_OF_LIFE.part(0.0), Ok(Ageing::NEW));
    assert_eq!(new.aged(Ageing::NEW).unwrap(), new);
    assert!(Ageing::END_OF_LIFE.part(1.5).is_err());
    assert!(new.aged(Ageing { resistance_factor: 0.9, capacity_factor: 0.8 }).is_err());
    assert!(new.aged(Ageing { resistance_factor: 1.5, capacity_factor: 80.0 }).is_err());
}

#[test]
fn entropic_heat_turns_with_the_current() {
    // row 3 of the battery table: 50 A charge, 2e-4 V/K, 298.15 K: Joule 5 W, entropic +2.9815 W; on discharge it cools
    let cell = cell(0.002, 0.0, 2e-4);
    let charge = cell.heat_parts(-50.0, 298.15, 0.5);
    assert_close("joule", charge.joule_w, 5.0, 1e-12);
    assert_close("entropic", charge.entropic_w, 2.9815, 1e-12);
    let discharge = cell.heat_parts(50.0, 298.15, 0.5);
    assert_close("joule", discharge.joule_w, charge.joule_w, 1e-15);
    assert_close("entropic", discharge.entropic_w, -charge.entropic_w, 1e-15);
    assert_close("all", charge.total(), cell.heat(-50.0, 298.15, 0.5), 1e-15);
}
