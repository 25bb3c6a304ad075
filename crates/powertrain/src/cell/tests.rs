use super::*;
use crate::error::InputError;
use num_dual::first_derivative;
use numerics::Interpolation;
use proptest::prelude::*;
use testkit::{Worst, assert_close, assert_within, table};

pub(crate) fn cell(resistance_ohm: f64, b_k: f64, entropic_v_k: f64) -> Cell {
    let temperature = TemperatureLaw { reference_k: CELL_REFERENCE_K, cold_b_k: b_k, hot_b_k: b_k };
    let law = ResistanceLaw::Reference { resistance_ohm, temperature, soc_factor: None };
    let basis = ResistanceBasis::DirectCurrentPulse { pulse_s: 10.0 };
    Cell::new(CellData {
        capacity_ah: 3.0,
        open_circuit_v: Curve::new(&[(0.0, 3.0), (0.2, 3.5), (0.5, 3.7), (1.0, 4.2)]).unwrap(),
        resistance: CellResistance::new(law, basis, Some(1.0), 1.0).unwrap(),
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
        let law = TemperatureLaw {
            reference_k: CELL_REFERENCE_K,
            cold_b_k: DEFAULT_COLD_B_K,
            hot_b_k: DEFAULT_COLD_B_K,
        };
        let ohm = (u - v) / i / law.factor(t);
        worst.check(row, cell(ohm, DEFAULT_COLD_B_K, slope).heat(i, t, 0.5));
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
    // own calculation of the collection, printed digits: B 2000 / 2500 / 3500 K, the same on both sides
    let printed = [
        (-20.0, [3.3, 4.4, 8.1], 0.05),
        (-10.0, [2.4, 3.1, 4.8], 0.05),
        (0.0, [1.85, 2.15, 2.9], 0.05),
        (45.0, [0.66, 0.59, 0.48], 0.005),
        (60.0, [0.49, 0.41, 0.29], 0.005),
    ];
    for (celsius, factors, digit) in printed {
        for (b, expected) in [2000.0, 2500.0, 3500.0].into_iter().zip(factors) {
            let law = TemperatureLaw { reference_k: 298.15, cold_b_k: b, hot_b_k: b };
            let factor: f64 = law.factor(celsius + 273.15);
            assert_within(&format!("{celsius} degC, B {b}"), factor, expected, 1.01 * digit);
        }
    }
}

#[test]
fn nothing_is_gained_above_the_reference_unless_stated() {
    let law = TemperatureLaw { reference_k: 298.15, cold_b_k: 2500.0, hot_b_k: 0.0 };
    // 57 degC: the value of the sheet; with 2500 K on both sides it was exp(2500 (1/330.15 - 1/298.15)) = exp(-0.81274) = 0.44364
    assert_eq!(law.factor(330.15), 1.0);
    assert_eq!(law.factor(298.15), 1.0);
    assert_close("both", TemperatureLaw { hot_b_k: 2500.0, ..law }.factor(330.15), 0.443_64, 1e-4);
    // 0 degC: exp(2500 (1/273.15 - 1/298.15)) = exp(0.767439) = 2.154243
    assert_close("cold", law.factor(273.15), 2.154_243, 1e-6);
    // a stated gain: exp(1200 (1/318.15 - 1/298.15)) = exp(-0.25302) = 0.77646 at 45 degC
    assert_close("hot", TemperatureLaw { hot_b_k: 1200.0, ..law }.factor(318.15), 0.776_46, 1e-5);
}

#[test]
fn the_corner_is_smooth_falls_and_keeps_the_sheet_value() {
    for hot_b_k in [0.0, 1200.0, 2500.0] {
        let law = TemperatureLaw { reference_k: 298.15, cold_b_k: 2500.0, hot_b_k };
        for edge in [298.15 - CORNER_K, 298.15] {
            let (low, high) = (
                first_derivative(|t| law.factor(t), edge - 1e-9),
                first_derivative(|t| law.factor(t), edge + 1e-9),
            );
            assert_within("value", low.0, high.0, 1e-9);
            assert_within("slope", low.1, high.1, 1e-7);
        }
        let values: Vec<f64> = (0..=40).map(|k| law.factor(295.15 + 0.1 * f64::from(k))).collect();
        assert!(values.windows(2).all(|pair| pair[1] <= pair[0]), "{hot_b_k}");
        // own derivation: with a straight line for the exponential the cubic is t + t^2 - t^3 of the way, at most 4/27 below it
        for t in [296.4, 296.9, 297.5, 298.0] {
            let exponential = (2500.0 * (1.0 / t - 1.0 / 298.15_f64)).exp();
            let most = 0.15 * 2500.0 * 2.0 / (298.15 * 298.15);
            assert!(
                law.factor(t) <= exponential * (1.0 + 1e-7) && law.factor(t) >= exponential * (1.0 - most),
                "{t}"
            );
        }
    }
}

#[test]
fn the_default_of_the_duration_follows_the_pulse() {
    assert_eq!(default_duration_factor(10.0), 1.3);
    assert_eq!(default_duration_factor(60.0), 1.3);
    assert_eq!(default_duration_factor(300.0), 1.0);
    assert_eq!(default_duration_factor(1800.0), 1.0);
    // half-way in the logarithm: sqrt(60 x 300) = 134.164 s gives 1.15; 120 s: 1.3 - 0.3 ln 2/ln 5 = 1.3 - 0.3 x 0.43068 = 1.17080
    assert_close("middle", default_duration_factor(134.164_08), 1.15, 1e-6);
    assert_close("2 min", default_duration_factor(120.0), 1.170_80, 1e-5);
}

#[test]
fn duration_and_age_multiply_and_1_khz_is_refused() {
    let law = ResistanceLaw::Reference {
        resistance_ohm: 0.020,
        temperature: TemperatureLaw { reference_k: CELL_REFERENCE_K, cold_b_k: 2500.0, hot_b_k: 0.0 },
        soc_factor: Some(Curve::new(&[(0.0, 2.0), (0.3, 1.0), (1.0, 1.0)]).unwrap()),
    };
    let basis = ResistanceBasis::DirectCurrentPulse { pulse_s: 10.0 };
    let resistance = CellResistance::new(law.clone(), basis, None, 1.5).unwrap();
    // 20 mOhm x 1.3 x 1.5 = 39 mOhm at 25 degC and 50 % SOC, twice that when empty
    assert_close("ohm", resistance.at(298.15, 0.5), 0.039, 1e-12);
    assert_close("ohm", resistance.at(298.15, 0.0), 0.078, 1e-12);
    assert_close("new", resistance.aged(1.0).unwrap().at(298.15, 0.5), 0.026, 1e-12);
    assert!(resistance.contains(298.15, 0.5) && !resistance.contains(150.0, 0.5));
    assert_eq!(
        CellResistance::new(law, ResistanceBasis::AlternatingCurrent1kHz, None, 1.0),
        Err(InputError::AlternatingCurrentResistance)
    );
}

#[test]
fn a_resistance_table_is_a_shape_that_gives_the_resistance_at_its_point() {
    let (soc, kelvin) = ([0.0, 1.0], [273.15, 313.15]);
    let table = |ohm: &[f64], reference_k| {
        ResistanceLaw::table(0.010, reference_k, (&soc, &kelvin), ohm, Interpolation::Linear)
    };
    let shape = [0.060, 0.030, 0.040, 0.020];
    assert!(table(&[0.060, 0.0, 0.040, 0.020], 293.15).is_err());
    assert!(table(&[0.060], 293.15).is_err());
    // the table must hold its point
    assert!(table(&shape, 320.0).is_err());
    let basis = ResistanceBasis::DirectCurrentPulse { pulse_s: 30.0 };
    let resistance = CellResistance::new(table(&shape, 293.15).unwrap(), basis, Some(1.0), 1.0).unwrap();
    // the shape gives (60 + 30 + 40 + 20)/4 = 37.5 mOhm at its point, which stands for 10 mOhm: 60 mOhm stand for 16 mOhm
    assert_close("point", resistance.at(293.15, 0.5), 0.010, 1e-12);
    assert_close("corner", resistance.at(273.15, 0.0), 0.016, 1e-12);
    assert_close("held", resistance.at(253.15, 0.0), 0.016, 1e-12);
    assert!(!resistance.contains(253.15, 0.0) && resistance.contains(300.0, 0.9));
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
