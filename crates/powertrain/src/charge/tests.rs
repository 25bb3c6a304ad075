use super::*;
use crate::cell::{Cell, CellData, CellResistance, Entropic, ResistanceBasis, ResistanceLaw, TemperatureLaw};
use crate::error::InputError;
use num_dual::{Dual64, first_derivative};
use numerics::Curve;
use proptest::prelude::*;
use testkit::{assert_close, assert_within};

const ZERO_C: f64 = 273.15;

fn stage(from_c: f64, to_c: f64, c_rate: f64) -> Stage {
    Stage { from_k: ZERO_C + from_c, to_k: ZERO_C + to_c, c_rate }
}

/// Trade facts, section 4: 0-5 degC 0.2C, 5-15 degC 0.5C, 15-55 degC 1C (a data sheet of a cell).
fn stages() -> [Stage; 3] {
    [stage(0.0, 5.0, 0.2), stage(5.0, 15.0, 0.5), stage(15.0, 55.0, 1.0)]
}

fn window() -> ChargeWindow {
    ChargeWindow::new(&stages(), 1.0, 5.0).unwrap()
}

fn data() -> ChargeData {
    ChargeData {
        rated_capacity_ah: 50.0,
        c_rate: 1.0,
        constant_voltage_v: 400.0,
        taper_c_rate: DEFAULT_TAPER_C_RATE,
        stop_soc: None,
        charger: Charger::IDEAL,
        window: window(),
    }
}

fn limiter() -> ChargeLimiter {
    ChargeLimiter::new(data()).unwrap()
}

fn with_power(bus_power_w: f64) -> ChargeLimiter {
    let charger = Charger { bus_power_w: Some(bus_power_w), ..Charger::IDEAL };
    ChargeLimiter::new(ChargeData { charger, ..data() }).unwrap()
}

fn pack_at(cell_c: f64, open_circuit_v: f64, resistance_ohm: f64) -> PackCondition<f64> {
    PackCondition {
        coldest_k: ZERO_C + cell_c,
        hottest_k: ZERO_C + cell_c,
        soc: 0.5,
        open_circuit_v,
        cell_resistance_ohm: resistance_ohm,
        lead_resistance_ohm: 0.0,
    }
}

#[test]
fn the_staged_table_of_the_data_sheet() {
    for (celsius, rate) in [(2.5, 0.2), (4.99, 0.2), (10.0, 0.5), (14.99, 0.5), (16.0, 1.0), (54.9, 1.0)] {
        assert_close("1/h", window().c_rate(ZERO_C + celsius, 9.0), rate, 1e-12);
    }
    // half up the ramp, which lies in the stage of the higher rate: 0.2 + 0.3/2
    assert_close("1/h", window().c_rate(ZERO_C + 5.5, 9.0), 0.35, 1e-9);
    assert_close("held", window().c_rate(ZERO_C + 30.0, 0.7), 0.7, 1e-12);
    let falling = [stage(10.0, 45.0, 1.0), stage(45.0, 55.0, 0.5)];
    let falling = ChargeWindow::new(&falling, 2.0, 3.0).unwrap();
    assert_close("1/h", falling.c_rate(ZERO_C + 44.0, 9.0), 0.75, 1e-9);
    assert_close("1/h", falling.c_rate(ZERO_C + 45.0, 9.0), 0.5, 1e-9);
    assert!(!window().reaches_below_freezing());
    let cold = ChargeWindow::new(&[stage(-10.0, 30.0, 0.1)], 1.0, 3.0).unwrap();
    assert!(cold.reaches_below_freezing());
}

#[test]
fn constant_current_voltage_power_and_window_by_hand() {
    let of = |limiter: &ChargeLimiter, pack| limiter.current(ChargeState::Charging, &pack);
    // constant current 1C of 50 Ah
    let point = of(&limiter(), pack_at(25.0, 360.0, 0.1));
    assert_eq!((point.current_a, point.bound_by), (50.0, BoundBy::ConstantCurrent));
    assert_eq!(point.bus_current_a(), -50.0);
    // constant voltage: (400 - 398)/0.1 = 20 A
    let point = of(&limiter(), pack_at(25.0, 398.0, 0.1));
    assert_close("A", point.current_a, 20.0, 1e-9);
    assert_eq!(point.bound_by, BoundBy::ConstantVoltage);
    // above the voltage: nothing, never a discharge
    assert_eq!(of(&limiter(), pack_at(25.0, 403.0, 0.1)).current_a, 0.0);
    // 10 kW into 350 V behind 0.1 ohm: sqrt(122,500 + 4000) = 355.6684; 2 x 10,000/705.6684 = 28.3419 A; at the bus
    // 28.3419 x 352.8342 = 10,000 W
    let point = of(&with_power(10e3), pack_at(25.0, 350.0, 0.1));
    assert_within("A", point.current_a, 28.3419, 1e-4);
    assert_close("W", point.current_a * (350.0 + 0.1 * point.current_a), 10e3, 1e-12);
    assert_eq!(point.bound_by, BoundBy::Power);
    // leads count for the power, not for the voltage held at the cells
    let leads = PackCondition { lead_resistance_ohm: 0.05, ..pack_at(25.0, 398.0, 0.1) };
    assert_close("A", of(&limiter(), leads).current_a, 20.0, 1e-9);
    let leads = PackCondition { lead_resistance_ohm: 0.05, ..pack_at(25.0, 350.0, 0.1) };
    let current = of(&with_power(10e3), leads).current_a;
    assert_close("W", current * (350.0 + 0.15 * current), 10e3, 1e-12);
    // window: the coldest cell at 10 degC holds all at 0.5C
    let spread = PackCondition { hottest_k: ZERO_C + 20.0, ..pack_at(10.0, 360.0, 0.1) };
    let point = of(&limiter(), spread);
    assert_close("A", point.current_a, 25.0, 1e-12);
    assert_eq!(point.bound_by, BoundBy::Window);
}

#[test]
fn the_charger_loses_and_limits_on_both_sides() {
    // 22 kW from the supply at 0.92: 20.24 kW at the bus, 1.76 kW lost
    let charger = Charger { bus_power_w: Some(30e3), supply_power_w: Some(22e3), efficiency: 0.92 };
    assert_close("W", charger.power_cap_w().unwrap(), 20_240.0, 1e-12);
    assert_close("W", charger.loss_w(20_240.0), 1760.0, 1e-9);
    let bus = Charger { bus_power_w: Some(15e3), ..charger };
    assert_eq!(bus.power_cap_w(), Some(15e3));
    assert_eq!(Charger::IDEAL.power_cap_w(), None);
}

#[test]
fn a_blocked_charge_starts_again_only_inside_the_hysteresis() {
    let limiter = limiter();
    let at = |celsius| pack_at(celsius, 360.0, 0.1);
    let value = |state, event, celsius| limiter.event_value(state, event, &at(celsius)).unwrap();
    let (run, hot, cold) = (ChargeState::Charging, ChargeState::TooHot, ChargeState::TooCold);
    // edges 0 and 55 degC, hysteresis 5 K: starts between 5 and 50 degC
    assert!(value(run, ChargeEvent::TooHot, 54.9) < 0.0 && value(run, ChargeEvent::TooHot, 55.1) > 0.0);
    assert!(value(run, ChargeEvent::TooCold, 0.1) < 0.0 && value(run, ChargeEvent::TooCold, -0.1) > 0.0);
    assert!(value(hot, ChargeEvent::Rearmed, 50.1) < 0.0 && value(hot, ChargeEvent::Rearmed, 49.9) > 0.0);
    assert!(value(cold, ChargeEvent::Rearmed, 4.9) < 0.0 && value(cold, ChargeEvent::Rearmed, 5.1) > 0.0);
    // what cannot happen has no value
    assert_eq!(limiter.event_value(hot, ChargeEvent::TooHot, &at(60.0)), None);
    assert_eq!(limiter.event_value(run, ChargeEvent::Rearmed, &at(60.0)), None);
    assert_eq!(limiter.event_value(ChargeState::Done, ChargeEvent::Rearmed, &at(20.0)), None);
    assert_eq!(limiter.event_value(run, ChargeEvent::Reached, &at(20.0)), None);
    for state in [hot, cold] {
        let point = limiter.current(state, &at(20.0));
        assert_eq!((point.current_a, point.bound_by), (0.0, BoundBy::Blocked));
    }
    // after: to and fro, and done for good
    assert_eq!(run.after(ChargeEvent::TooHot), hot);
    assert_eq!(hot.after(ChargeEvent::Rearmed), run);
    assert_eq!(run.after(ChargeEvent::Tapered), ChargeState::Done);
    assert_eq!(ChargeState::Done.after(ChargeEvent::Rearmed), ChargeState::Done);
    // starts
    assert_eq!(limiter.start(&at(52.0)), hot);
    assert_eq!(limiter.start(&at(2.0)), cold);
    assert_eq!(limiter.start(&at(30.0)), run);
    assert_eq!(limiter.start(&at(f64::NAN)), hot);
    assert_eq!(limiter.start(&pack_at(30.0, 399.9, 0.1)), ChargeState::Done);
    // a stated gate instead of the hysteresis: 15 to 40 degC (trade facts, section 9)
    let gate = window().with_start(ZERO_C + 15.0, ZERO_C + 40.0).unwrap();
    let gated = ChargeLimiter::new(ChargeData { window: gate, ..data() }).unwrap();
    assert_eq!(gated.start(&at(45.0)), hot);
    assert_eq!(gated.start(&at(10.0)), cold);
}

#[test]
fn taper_and_wanted_charge_end_it() {
    let limiter = ChargeLimiter::new(ChargeData { stop_soc: Some(0.8), ..data() }).unwrap();
    let value =
        |event, pack: &PackCondition<f64>| limiter.event_value(ChargeState::Charging, event, pack).unwrap();
    // C/20 of 50 Ah is 2.5 A: at 0.1 ohm from 399.75 V on
    assert!(value(ChargeEvent::Tapered, &pack_at(25.0, 399.74, 0.1)) < 0.0);
    assert!(value(ChargeEvent::Tapered, &pack_at(25.0, 399.76, 0.1)) > 0.0);
    let nearly = PackCondition { soc: 0.79, ..pack_at(25.0, 380.0, 0.1) };
    assert_within("soc", value(ChargeEvent::Reached, &nearly), -0.01, 1e-12);
    assert_eq!(limiter.start(&PackCondition { soc: 0.81, ..nearly }), ChargeState::Done);
    // a small charger does not end a charge: the taper looks at the voltage alone
    let small = with_power(500.0);
    assert!(small.current(ChargeState::Charging, &pack_at(25.0, 360.0, 0.1)).current_a < 2.5);
    let tapered = small.event_value(ChargeState::Charging, ChargeEvent::Tapered, &pack_at(25.0, 360.0, 0.1));
    assert!(tapered.unwrap() < 0.0);
}

/// Steps a charge to its end; returns the time to each state of charge asked for and the whole time (s).
fn charge_times(
    limiter: &ChargeLimiter,
    mut pack: PackCondition<f64>,
    ocv: impl Fn(f64) -> f64,
    soc: f64,
    capacity_ah: f64,
    marks: &[f64],
) -> (Vec<f64>, f64) {
    let step_s = 0.5;
    let (mut time, mut times) = (0.0, Vec::new());
    let current = |soc: f64, pack: &mut PackCondition<f64>| {
        (pack.soc, pack.open_circuit_v) = (soc, ocv(soc));
        limiter.current(ChargeState::Charging, pack).current_a
    };
    let mut soc = soc;
    loop {
        // midpoint rule
        let half = soc + 0.5 * step_s * current(soc, &mut pack) / (3600.0 * capacity_ah);
        soc += step_s * current(half, &mut pack) / (3600.0 * capacity_ah);
        time += step_s;
        if times.len() < marks.len() && soc >= marks[times.len()] {
            times.push(time);
        }
        (pack.soc, pack.open_circuit_v) = (soc, ocv(soc));
        let over = limiter.event_value(ChargeState::Charging, ChargeEvent::Tapered, &pack).unwrap() >= 0.0;
        if over || time > 4.0 * 3600.0 {
            return (times, time);
        }
    }
}

#[test]
fn a_whole_charge_takes_the_time_of_the_closed_form() {
    // U = 300 + 100 SOC, R 0.2 ohm, 50 A h at 1C from 20 %: constant current until U + 10 V = 400 V, SOC 0.9: 0.7 h = 2520 s;
    // then tau = 0.2 x 180,000/100 = 360 s, 360 ln 20 = 1078.5 s
    let closed =
        (constant_current_time_s(0.2, 0.9, 50.0, 50.0), constant_voltage_time_s(50.0, 2.5, 0.2, 50.0, 100.0));
    assert_close("constant current", closed.0, 2520.0, 1e-12);
    assert_within("constant voltage", closed.1, 1078.5, 0.1);
    // charge of the taper: 1 - 0.9 less what 2.5 A leave, 2.5 x 0.2/100
    let taper_as = mean_current_of_taper_a(50.0, 2.5) * closed.1;
    assert_within("SOC", taper_as / 180_000.0, 0.095, 1e-9);
    let (times, whole) =
        charge_times(&limiter(), pack_at(25.0, 320.0, 0.2), |soc| 300.0 + 100.0 * soc, 0.2, 50.0, &[0.89]);
    assert_within("to 0.89", times[0], 3600.0 * 0.69, 1.0);
    // the rounded corner takes 0.1 s, a step 0.5 s
    assert_within("whole", whole, closed.0 + closed.1, 2.0);
}

/// A high-energy cell of 5 A h, 25 mOhm after 10 s: inside the bands of the trade (section 5); voltages of a nickel-rich cell from
/// memory.
fn energy_cell() -> Cell {
    let law = ResistanceLaw::Reference {
        resistance_ohm: 0.025,
        temperature: TemperatureLaw { reference_k: 298.15, cold_b_k: 2500.0, hot_b_k: 2500.0 },
        soc_factor: None,
    };
    let basis = ResistanceBasis::DirectCurrentPulse { pulse_s: 10.0 };
    Cell::new(CellData {
        capacity_ah: 5.0,
        open_circuit_v: Curve::new(&[
            (0.0, 3.0),
            (0.1, 3.4),
            (0.2, 3.52),
            (0.5, 3.72),
            (0.8, 4.0),
            (1.0, 4.2),
        ])
        .unwrap(),
        resistance: CellResistance::new(law, basis, Some(1.2), 1.0).unwrap(),
        entropic: Entropic::Fixed(0.0),
        mass_kg: 0.070,
        specific_heat_j_kgk: 950.0,
    })
    .unwrap()
}

#[test]
fn the_last_fifth_takes_its_share_of_the_time() {
    // common practice, no source: the last 20 % takes 30-40 % of the time (trade facts, section 9), read as a share of a full
    // charge, since no start is stated; a sanity check of the whole. One cell at 1C, 25 degC. From 20 % on the share is larger,
    // as the same end is divided by a shorter time.
    let cell = energy_cell();
    let data = ChargeData { rated_capacity_ah: 5.0, constant_voltage_v: 4.2, ..data() };
    let limiter = ChargeLimiter::new(data).unwrap();
    let pack = pack_at(25.0, 3.5, cell.resistance(298.15, 0.5));
    let (times, whole) = charge_times(&limiter, pack, |soc| cell.open_circuit_v(soc), 0.0, 5.0, &[0.8]);
    let share = 1.0 - times[0] / whole;
    assert!((0.30..0.40).contains(&share), "{share}");
}

#[test]
fn heat_of_a_charge_at_one_hour() {
    // common practice, no source: 2-4 % of the power at 1C (trade facts, section 9)
    let cell = energy_cell();
    let heat = cell.heat(-5.0, 298.15, 0.5);
    let power = 5.0 * cell.terminal_v(-5.0, 298.15, 0.5);
    assert!((0.02..0.04).contains(&(heat / power)), "{}", heat / power);
}

#[test]
fn contradictory_data_are_refused() {
    let bad = |stages: &[Stage]| ChargeWindow::new(stages, 1.0, 5.0).is_err();
    assert_eq!(ChargeWindow::new(&[], 1.0, 5.0), Err(InputError::Empty("charge window")));
    assert!(bad(&[stage(0.0, 5.0, 0.2), stage(6.0, 30.0, 0.5)]));
    assert!(bad(&[stage(0.0, 30.0, 0.0)]));
    assert!(bad(&[stage(0.0, 1.5, 0.2), stage(1.5, 30.0, 0.5)]));
    assert!(bad(&[stage(30.0, 0.0, 0.2)]));
    // a hysteresis that leaves nothing
    assert!(bad(&[stage(20.0, 29.0, 0.5)]));
    assert!(ChargeWindow::new(&stages(), 1.0, 0.0).is_err());
    assert!(window().with_start(ZERO_C - 1.0, ZERO_C + 40.0).is_err());
    assert!(window().with_start(ZERO_C + 10.0, ZERO_C + 55.0).is_err());
    assert!(window().with_start(f64::NAN, ZERO_C + 40.0).is_err());
    let half = Charger { efficiency: 1.5, ..Charger::IDEAL };
    for data in [
        ChargeData { taper_c_rate: 0.2, ..data() },
        ChargeData { taper_c_rate: 0.001, ..data() },
        ChargeData { stop_soc: Some(1.2), ..data() },
        ChargeData { rated_capacity_ah: 0.0, ..data() },
        ChargeData { charger: half, ..data() },
    ] {
        assert!(ChargeLimiter::new(data.clone()).is_err(), "{data:?}");
    }
}

fn table_rate(cell_k: f64) -> f64 {
    let inside = |stage: &&Stage| stage.from_k <= cell_k && cell_k <= stage.to_k;
    stages().iter().filter(inside).map(|stage| stage.c_rate).fold(f64::INFINITY, f64::min)
}

proptest! {
    #[test]
    fn no_limit_is_ever_exceeded(
        cold_c in 0.0..54.9_f64, spread in 0.0..10.0_f64, ocv in 300.0..402.0_f64, ohm in 0.02..0.4_f64, lead in 0.0..0.1_f64,
        power in 500.0..25e3_f64,
    ) {
        let limiter = with_power(power);
        let hot_c = (cold_c + spread).min(55.0);
        let pack = PackCondition {
            hottest_k: ZERO_C + hot_c, lead_resistance_ohm: lead, ..pack_at(cold_c, ocv, ohm)
        };
        let point = limiter.current(ChargeState::Charging, &pack);
        let current = point.current_a;
        prop_assert!(current >= 0.0);
        let most = 50.0 * table_rate(pack.coldest_k).min(table_rate(pack.hottest_k)).min(1.0);
        prop_assert!(current <= most * (1.0 + 1e-12), "{current} {most}");
        prop_assert!(current * (ocv + (ohm + lead) * current) <= power * (1.0 + 1e-12));
        // at the voltage of the end the rounding at no current is an eighth of 0.5 A, far below the taper
        prop_assert!(ocv + ohm * current <= 400.0 + 0.0625 * ohm + 1e-9 || current <= 0.0625 + 1e-12);
        // and one of them is all but met
        let voltage = ((400.0 - ocv) / ohm).max(0.0);
        let root = (ocv * ocv + 4.0 * (ohm + lead) * power).sqrt();
        let smooth = 50.0 * limiter.data().window.c_rate(pack.coldest_k, 1.0)
            .min(limiter.data().window.c_rate(pack.hottest_k, 1.0));
        let least = voltage.min(2.0 * power / (ocv + root)).min(smooth);
        prop_assert!(current >= least - 0.15, "{current} {least}");
    }

    #[test]
    fn slopes_are_continuous_and_exact(ocv in 330.0..402.0_f64, cell_c in 1.0..54.0_f64, power in 5e3..25e3_f64) {
        let limiter = with_power(power);
        let of = |ocv: Dual64, cell_k: Dual64| {
            let pack = PackCondition {
                coldest_k: cell_k, hottest_k: cell_k, soc: 0.5.into(), open_circuit_v: ocv,
                cell_resistance_ohm: 0.1.into(), lead_resistance_ohm: 0.02.into(),
            };
            limiter.current(ChargeState::Charging, &pack).current_a
        };
        let kelvin = ZERO_C + cell_c;
        let (_, exact) = first_derivative(|u| of(u, kelvin.into()), ocv);
        let plain = |u: f64| of(u.into(), kelvin.into()).re;
        let central = (plain(ocv + 1e-5) - plain(ocv - 1e-5)) / 2e-5;
        prop_assert!((exact - central).abs() <= 1e-3 * (1.0 + exact.abs()), "{exact} {central}");
        let (_, exact) = first_derivative(|t| of(ocv.into(), t), kelvin);
        let plain = |t: f64| of(ocv.into(), t.into()).re;
        let central = (plain(kelvin + 1e-5) - plain(kelvin - 1e-5)) / 2e-5;
        prop_assert!((exact - central).abs() <= 1e-2 * (1.0 + exact.abs()), "{exact} {central}");
    }

    #[test]
    fn current_falls_as_the_pack_fills(ocv in 330.0..400.0_f64, power in 5e3..25e3_f64) {
        let limiter = with_power(power);
        let at = |ocv| limiter.current(ChargeState::Charging, &pack_at(25.0, ocv, 0.1)).current_a;
        prop_assert!(at(ocv + 0.5) <= at(ocv) + 1e-12);
    }
}
