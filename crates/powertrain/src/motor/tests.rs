use super::*;
use crate::inverter::{InverterState, output_power_w};
use crate::loss::LossSurface;
use num_dual::{Dual64, first_derivative};
use proptest::prelude::*;
use testkit::{assert_close, assert_within};

const TORQUE_CONSTANT: TorqueConstant =
    TorqueConstant { nm_per_a_rms: 0.8, reference_magnet_k: 293.15, magnet_coefficient_per_k: -0.0011 };

fn copper_only() -> MachineParameters {
    MachineParameters::new(0.010, 293.15, TORQUE_CONSTANT)
}

fn full() -> MachineParameters {
    MachineParameters {
        pole_pairs: 10,
        inductance_h: Some(60e-6),
        winding_sets: 2,
        saturation: Some(Saturation { torque_nm: 400.0, excess: 0.1 }),
        alternating_copper: Some(AlternatingCopper { frequency_hz: 500.0, extra: 0.3 }),
        iron: SpeedLoss {
            reference_w: 900.0,
            reference_speed_rad_s: 300.0,
            hysteresis_share: 0.4,
            hysteresis_exponent: 1.0,
            eddy_exponent: 2.0,
            load_growth: 0.3,
            reference_torque_nm: 400.0,
            flux_exponent: 2.0,
        },
        magnet: SpeedLoss { reference_w: 150.0, reference_speed_rad_s: 300.0, ..SpeedLoss::NONE },
        windage: Windage::SpeedLaw { reference_w: 80.0, reference_speed_rad_s: 300.0, exponent: 3.0 },
        bearing: Some(BearingFriction { torque_nm: 0.1, viscous_nm_s: 1e-4 }),
        ..copper_only()
    }
}

fn motor(machine: MachineParameters) -> Motor {
    Motor::new(MotorLosses::Machine(Box::new(machine))).unwrap()
}

fn at(torque: f64, speed: f64) -> MotorState<f64> {
    MotorState::new(torque, speed, 400.0, 293.15, 293.15)
}

fn by_power(winding_sets: u8) -> Terminals {
    Terminals {
        winding_sets,
        phase_current: PhaseCurrent::Power { modulation_index: 0.9, power_factor: 0.95 },
    }
}

const SPLIT: LossSplit = LossSplit { copper: 0.6, iron: 0.3, magnet: 0.05, windage: 0.05 };

fn map(terminals: Terminals) -> MotorMap {
    // loss over torque (rows 0, 100, 200 N m) and speed (0, 300 rad/s), straight in torque, at 300 and 400 V
    let low =
        LossSurface::new(&[0.0, 100.0, 200.0], &[0.0, 300.0], &[0.0, 400.0, 1000.0, 1400.0, 2000.0, 2400.0])
            .unwrap();
    let high =
        LossSurface::new(&[0.0, 100.0, 200.0], &[0.0, 300.0], &[0.0, 600.0, 1000.0, 1600.0, 2000.0, 2600.0])
            .unwrap();
    MotorMap::new(vec![(300.0, low), (400.0, high)], SPLIT, 353.15, 333.15, terminals).unwrap()
}

#[test]
fn copper_loss_by_hand() {
    let motor = motor(copper_only());
    // 200 N m / 0.8 = 250 A; 3 x 250^2 x 0.010 = 1875 W at 20 degC
    let heat = motor.heat(&at(200.0, 300.0));
    assert_close("A", heat.phase_current_rms_a, 250.0, 1e-6);
    assert_close("W", heat.copper_w, 1875.0, 1e-9);
    // winding at 120 degC: x 1.393 = 2611.875 W
    let hot = MotorState { winding_k: 393.15, ..at(200.0, 300.0) };
    assert_close("W", motor.heat(&hot).copper_w, 2611.875, 1e-9);
    // magnets 100 K hotter: 0.89 of the flux, 280.899 A, 2611.875 / 0.7921 = 3297.406 W
    let hot = MotorState { magnet_k: 393.15, ..hot };
    assert_close("A", motor.heat(&hot).phase_current_rms_a, 280.8989, 1e-6);
    assert_close("W", motor.heat(&hot).copper_w, 3297.406, 1e-6);
}

#[test]
fn terminal_voltage_by_hand_and_by_power_balance() {
    let heat = motor(copper_only()).heat(&at(200.0, 300.0));
    // E = 0.8 x 300 / 3 = 80 V, + 0.010 x 250 = 82.5 V; 400 / sqrt 6 = 163.299 V; m = 2 sqrt2 x 82.5 / 400 = 0.583363
    assert_close("V", heat.required_phase_voltage_v, 82.5, 1e-9);
    assert_close("V", heat.available_phase_voltage_v, 163.2993, 1e-6);
    assert_close("m", heat.modulation_index, 0.583_363, 1e-6);
    // 3 V I = 61875 W = 60000 W shaft + 1875 W copper
    assert_close("W", heat.electrical_power_w, 61_875.0, 1e-9);
    assert_close("cos", heat.power_factor, 1.0, 1e-9);
}

#[test]
fn the_inverter_sees_the_power_the_motor_takes() {
    // with inductance, at every point below the base speed: 3 V I cos(phi) = shaft + copper
    let machine = MachineParameters { pole_pairs: 10, inductance_h: Some(100e-6), ..copper_only() };
    let motor = motor(machine);
    for (torque, speed) in [(200.0, 100.0), (200.0, 300.0), (-150.0, 300.0), (50.0, -200.0), (400.0, 250.0)] {
        let state = at(torque, speed);
        let heat = motor.heat(&state);
        assert_eq!(heat.weakening_current_rms_a, 0.0, "{torque} N m, {speed} rad/s");
        let output = output_power_w(&InverterState::from_motor(&heat, 400.0, 353.15));
        assert_close(&format!("{torque} N m, {speed} rad/s"), output, heat.electrical_power_w, 1e-5);
    }
}

#[test]
fn one_winding_set_out_puts_four_times_the_copper_loss_on_the_other() {
    // trade rule: other set at up to 2x current, 4x copper loss per set; hence 2x copper loss in all
    let machine = motor(MachineParameters { winding_sets: 2, ..copper_only() });
    let one = |active_sets| machine.heat(&MotorState { active_sets, ..at(200.0, 300.0) });
    let (both, left) = (one(2), one(1));
    assert_close("current", left.phase_current_rms_a, 2.0 * both.phase_current_rms_a, 1e-6);
    assert_close("set", left.copper_per_set_w, 4.0 * both.copper_per_set_w, 1e-9);
    assert_close("all", left.copper_w, 2.0 * both.copper_w, 1e-9);
    // the levels without parameters follow the same rule
    let fixed = FixedLosses {
        copper_w: 1500.0,
        iron_w: 600.0,
        magnet_w: 100.0,
        windage_w: 50.0,
        terminals: by_power(2),
    };
    let efficiency = EfficiencyLosses { efficiency: 0.95, split: SPLIT, terminals: by_power(2) };
    for losses in
        [MotorLosses::Fixed(fixed), MotorLosses::Efficiency(efficiency), MotorLosses::Map(map(by_power(2)))]
    {
        let motor = Motor::new(losses).unwrap();
        let one = |active_sets| motor.heat(&MotorState { active_sets, ..at(150.0, 300.0) });
        assert_close("all", one(1).copper_w, 2.0 * one(2).copper_w, 1e-12);
        assert_close("set", one(1).copper_per_set_w, 4.0 * one(2).copper_per_set_w, 1e-12);
        assert_close("iron", one(1).iron_w, one(2).iron_w, 1e-12);
    }
}

#[test]
fn a_machine_that_only_turns_takes_no_current() {
    let heat = motor(full()).heat(&MotorState { active_sets: 0, ..at(0.0, 300.0) });
    assert_eq!((heat.copper_w, heat.phase_current_rms_a, heat.electrical_power_w), (0.0, 0.0, 0.0));
    assert!(heat.iron_w > 0.0 && heat.windage_w > 0.0);
}

#[test]
fn speed_losses_by_hand() {
    let heat = motor(full()).heat(&at(200.0, 150.0));
    // iron at half speed, half torque: 900 (0.4 x 0.5 + 0.6 x 0.25) (1 + 0.3 x 0.25) = 900 x 0.35 x 1.075 = 338.625 W
    assert_close("iron", heat.iron_w, 338.625, 1e-6);
    // magnet 150 / 4 = 37.5 W; bearing (0.1 + 1e-4 x 150) x 150 = 17.25 W
    assert_close("magnet", heat.magnet_w, 37.5 + 17.25, 1e-6);
    // windage 80 / 8 = 10 W
    assert_close("windage", heat.windage_w, 10.0, 1e-6);
    // thin air at 8000 ft hot day: 0.726 of it
    let air = GapAir { windage_w: 0.0, density_ratio: 0.726 };
    assert_close("windage", motor(full()).heat_in_air(&at(200.0, 150.0), &air).windage_w, 7.26, 1e-6);
    // magnets 100 K hotter: flux 0.89, squared 0.7921
    let hot = MotorState { magnet_k: 393.15, ..at(200.0, 150.0) };
    assert_close("iron", motor(full()).heat(&hot).iron_w, 338.625 * 0.7921, 1e-6);
    // windage computed from geometry elsewhere passes through and is paid by the bus
    let given = motor(MachineParameters { windage: Windage::Given, ..copper_only() });
    let heat = given.heat_in_air(&at(200.0, 300.0), &GapAir { windage_w: 123.0, density_ratio: 1.0 });
    assert_close("windage", heat.windage_w, 123.0, 1e-12);
    assert_close("electrical", heat.electrical_power_w, 61_875.0 + 123.0, 1e-9);
}

#[test]
fn saturation_and_alternating_copper_by_hand() {
    // excess 10 % at 400 N m: at 200 N m 1 + 0.1 / 4 = 1.025, squared 1.050625: 1875 x 1.050625 = 1969.922 W
    let saturated =
        MachineParameters { saturation: Some(Saturation { torque_nm: 400.0, excess: 0.1 }), ..copper_only() };
    assert_close("W", motor(saturated).heat(&at(200.0, 300.0)).copper_w, 1969.922, 1e-6);
    // 10 pole pairs at 100 pi rad/s = 500 Hz: + 30 %; with the winding at 120 degC 1.393 + 0.3 / 1.393 = 1.608362
    let skin = MachineParameters {
        pole_pairs: 10,
        alternating_copper: Some(AlternatingCopper { frequency_hz: 500.0, extra: 0.3 }),
        ..copper_only()
    };
    let state = at(200.0, 100.0 * std::f64::consts::PI);
    assert_close("cold", motor(skin.clone()).heat(&state).copper_w, 1.3 * 1875.0, 1e-9);
    let hot = MotorState { winding_k: 393.15, ..state };
    assert_close("hot", motor(skin).heat(&hot).copper_w, 1.608_362 * 1875.0, 1e-6);
}

#[test]
fn a_sagging_bus_weakens_the_field() {
    let machine = MachineParameters { pole_pairs: 10, inductance_h: Some(100e-6), ..copper_only() };
    let motor = motor(machine);
    let at_bus = |bus_voltage_v| motor.heat(&MotorState { bus_voltage_v, ..at(200.0, 400.0) });
    // E = 0.8 x 400 / 3 = 106.667 V, X = 10 x 400 x 100e-6 = 0.4 ohm, X i_q = 100 V: no weakening while
    // V_max > sqrt(106.667^2 + 100^2) = 146.21 V, that is U > 358.15 V
    assert_eq!(at_bus(365.0).weakening_current_rms_a, 0.0);
    // U 320 V: V_max 130.639; sqrt(130.639^2 - 100^2) = 84.063; (106.667 - 84.063) / 0.4 = 56.51 A
    let heat = at_bus(320.0);
    assert_close("A", heat.weakening_current_rms_a, 56.509, 1e-4);
    // I = sqrt(250^2 + 56.509^2) = 256.307 A
    assert_close("A", heat.phase_current_rms_a, 256.307, 1e-5);
    assert_close("W", heat.copper_w, 3.0 * 0.010 * (62_500.0 + 56.509 * 56.509), 1e-5);
    // too low even for the torque current alone: said, not hidden
    assert!(at_bus(150.0).is_voltage_short() && !at_bus(400.0).is_voltage_short());
    assert!(at_bus(150.0).copper_w.is_finite() && at_bus(0.0).copper_w.is_finite());
}

#[test]
fn slopes_are_exact_in_field_weakening() {
    let machine = MachineParameters { pole_pairs: 10, inductance_h: Some(100e-6), ..copper_only() };
    let motor = motor(machine);
    // below, inside and beyond the rounded start (358.15 V), and where the torque current alone is too much (below 245 V)
    for volts in [370.0, 358.2, 357.9, 340.0, 300.0, 250.0, 240.0, 200.0] {
        let copper = |u: f64| motor.heat(&MotorState { bus_voltage_v: u, ..at(200.0, 400.0) }).copper_w;
        let exact = slopes(&motor, [200.0, 400.0, volts, 293.15, 293.15], 2)[0];
        let central = (copper(volts + 1e-4) - copper(volts - 1e-4)) / 2e-4;
        assert_within(&format!("{volts} V"), exact.eps, central, 2e-3 * central.abs() + 1e-3);
        assert!(exact.eps <= 0.0, "less voltage costs copper loss");
    }
}

#[test]
fn fixed_losses_stop_with_the_machine() {
    let fixed = FixedLosses {
        copper_w: 1500.0,
        iron_w: 600.0,
        magnet_w: 100.0,
        windage_w: 50.0,
        terminals: by_power(1),
    };
    let motor = Motor::new(MotorLosses::Fixed(fixed)).unwrap();
    assert_eq!(motor.heat(&at(150.0, 300.0)).total(), 2250.0);
    assert_eq!(motor.heat(&at(0.0, 300.0)).total(), 750.0);
    assert_eq!(motor.heat(&at(0.0, 0.0)).total(), 0.0);
    // P = 45000 + 2250 W; V = 0.9 x 400 / (2 sqrt2) = 127.279 V; I = 47250 / (3 x 127.279 x 0.95) = 130.257 A
    assert_close("A", motor.heat(&at(150.0, 300.0)).phase_current_rms_a, 130.257, 1e-5);
}

#[test]
fn an_efficiency_by_hand() {
    let law = EfficiencyLosses { efficiency: 0.95, split: SPLIT, terminals: by_power(1) };
    let motor = Motor::new(MotorLosses::Efficiency(law)).unwrap();
    // 200 N m x 300 rad/s = 60 kW: 60000 / 0.95 - 60000 = 3157.895 W, 60 % of it copper
    let heat = motor.heat(&at(200.0, 300.0));
    assert_close("total", heat.total(), 3157.895, 1e-6);
    assert_close("copper", heat.copper_w, 1894.737, 1e-6);
    assert_close("electrical", heat.electrical_power_w, 63_157.895, 1e-8);
}

#[test]
fn a_map_by_hand() {
    let motor = Motor::new(MotorLosses::Map(map(by_power(1)))).unwrap();
    let state = MotorState { winding_k: 353.15, magnet_k: 333.15, ..at(150.0, 150.0) };
    // 150 N m, 150 rad/s: 1500 + 200 W at 300 V, 1500 + 300 W at 400 V; 350 V: 1750 W
    let heat = motor.heat(&MotorState { bus_voltage_v: 350.0, ..state });
    assert_close("total", heat.total(), 1750.0, 1e-7);
    // winding 40 K hotter than measured: (1 + 0.00393 x 100) / (1 + 0.00393 x 60) = 1.393 / 1.2358 = 1.127205
    let hot = motor.heat(&MotorState { winding_k: 393.15, ..state });
    assert_close("copper", hot.copper_w, 0.6 * 1800.0 * 1.127_205, 1e-6);
    assert_close("iron", hot.iron_w, 0.3 * 1800.0, 1e-7);
    // braking and turning backwards read the same table
    assert_close("brake", motor.heat(&MotorState { torque_nm: -150.0, ..state }).total(), 1800.0, 1e-7);
    assert!(motor.is_in_range(-150.0, -150.0, 350.0));
    assert!(!motor.is_in_range(250.0, 150.0, 350.0) && !motor.is_in_range(150.0, 150.0, 450.0));
    // with a torque constant, hot magnets cost current: flux at 333.15 K 0.956, at 433.15 K 0.846
    let terminals =
        Terminals { winding_sets: 1, phase_current: PhaseCurrent::TorqueConstant(TORQUE_CONSTANT) };
    let motor = Motor::new(MotorLosses::Map(map(terminals))).unwrap();
    let hot = motor.heat(&MotorState { magnet_k: 433.15, ..state });
    assert_close("copper", hot.copper_w, 0.6 * 1800.0 * (0.956_f64 / 0.846).powi(2), 1e-6);
    assert_close("A", hot.phase_current_rms_a, 150.0 / (0.8 * 0.846), 1e-6);
}

#[test]
fn bad_machines_are_refused() {
    for bad in [
        MachineParameters { phase_resistance_ohm: 0.0, ..copper_only() },
        MachineParameters { winding_sets: 3, ..copper_only() },
        MachineParameters { pole_pairs: 0, ..copper_only() },
        MachineParameters { inductance_h: Some(-1.0), ..copper_only() },
        MachineParameters {
            torque_constant: TorqueConstant { magnet_coefficient_per_k: 0.0011, ..TORQUE_CONSTANT },
            ..copper_only()
        },
        MachineParameters {
            iron: SpeedLoss { eddy_exponent: 0.5, reference_w: 1.0, ..SpeedLoss::NONE },
            ..copper_only()
        },
    ] {
        assert!(Motor::new(MotorLosses::Machine(Box::new(bad))).is_err());
    }
    let split = LossSplit { copper: 0.7, ..SPLIT };
    let law = EfficiencyLosses { efficiency: 0.95, split, terminals: by_power(1) };
    assert_eq!(Motor::new(MotorLosses::Efficiency(law)), Err(InputError::SplitSum(1.1)));
    assert_eq!(
        MotorMap::new(vec![], SPLIT, 353.15, 333.15, by_power(1)),
        Err(InputError::Empty("loss tables of a motor map"))
    );
}

/// One motor of every level.
fn every_level() -> Vec<Motor> {
    let fixed = FixedLosses {
        copper_w: 1500.0,
        iron_w: 600.0,
        magnet_w: 100.0,
        windage_w: 50.0,
        terminals: by_power(1),
    };
    let efficiency = EfficiencyLosses { efficiency: 0.95, split: SPLIT, terminals: by_power(1) };
    let torque_constant =
        Terminals { winding_sets: 1, phase_current: PhaseCurrent::TorqueConstant(TORQUE_CONSTANT) };
    [
        MotorLosses::Fixed(fixed),
        MotorLosses::Efficiency(efficiency),
        MotorLosses::Map(map(by_power(1))),
        MotorLosses::Map(map(torque_constant)),
        MotorLosses::Machine(Box::new(full())),
        MotorLosses::Machine(Box::new(copper_only())),
    ]
    .into_iter()
    .map(|losses| Motor::new(losses).unwrap())
    .collect()
}

/// Everything the motor says, at torque, speed, bus voltage, winding and magnet temperature.
fn everything<S: Scalar>(motor: &Motor, x: [S; 5]) -> [S; 9] {
    let heat = motor.heat(&MotorState::new(x[0], x[1], x[2], x[3], x[4]));
    [
        heat.copper_w,
        heat.iron_w,
        heat.magnet_w,
        heat.windage_w,
        heat.phase_current_rms_a,
        heat.electrical_power_w,
        heat.required_phase_voltage_v,
        heat.modulation_index,
        heat.power_factor,
    ]
}

fn slopes(motor: &Motor, x: [f64; 5], along: usize) -> [Dual64; 9] {
    let mut lifted = x.map(Dual64::from);
    lifted[along] = lifted[along].derivative();
    everything(motor, lifted)
}

#[test]
fn everything_is_finite_at_rest_and_on_a_dead_bus() {
    for motor in every_level() {
        for (torque, speed, volts) in [
            (0.0, 0.0, 400.0),
            (0.0, 0.0, 0.0),
            (200.0, 0.0, 400.0),
            (0.0, 300.0, 400.0),
            (0.0, 300.0, 0.0),
            (400.0, 5000.0, 0.0),
        ] {
            for along in 0..5 {
                for (k, value) in
                    slopes(&motor, [torque, speed, volts, 300.0, 300.0], along).into_iter().enumerate()
                {
                    assert!(
                        value.re.is_finite() && value.eps.is_finite(),
                        "{motor:?}: output {k} along {along} at {torque} N m, {speed} rad/s, {volts} V: {value}"
                    );
                }
            }
        }
        let rest = motor.heat(&at(0.0, 0.0));
        assert_within("heat at rest", rest.total(), 0.0, 1e-6);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn dual_slopes_equal_central_differences(
        torque in 5.0..190.0_f64, speed in 5.0..290.0_f64, volts in 305.0..395.0_f64,
        winding in 260.0..450.0_f64, magnet in 260.0..420.0_f64, braking in prop::bool::ANY,
    ) {
        let x = [if braking { -torque } else { torque }, speed, volts, winding, magnet];
        for motor in every_level() {
            for along in 0..5 {
                let step = 1e-5 * x[along].abs();
                let shifted = |sign: f64| {
                    let mut y = x;
                    y[along] += sign * step;
                    everything(&motor, y)
                };
                let (low, high) = (shifted(-1.0), shifted(1.0));
                for (k, exact) in slopes(&motor, x, along).into_iter().enumerate() {
                    let central = (high[k] - low[k]) / (2.0 * step);
                    let scale = exact.re.abs() / x[along].abs() + 1e-6;
                    // table knots and the start of weakening have a jump of curvature within the step
                    prop_assert!(
                        (exact.eps - central).abs() <= 2e-4 * (exact.eps.abs() + scale),
                        "output {} along {}: {} against {}", k, along, exact.eps, central
                    );
                }
            }
        }
    }

    #[test]
    fn losses_are_positive_and_energy_closes(
        torque in -400.0..400.0_f64, speed in -400.0..400.0_f64, volts in 200.0..500.0_f64,
        winding in 250.0..470.0_f64, magnet in 250.0..450.0_f64, active_sets in 1..=2_u8,
    ) {
        for motor in every_level() {
            let state = MotorState { active_sets, ..MotorState::new(torque, speed, volts, winding, magnet) };
            let heat = motor.heat(&state);
            for part in [heat.copper_w, heat.iron_w, heat.magnet_w, heat.windage_w, heat.phase_current_rms_a] {
                prop_assert!(part >= 0.0 && part.is_finite());
            }
            let closure = heat.electrical_power_w - torque * speed - heat.total();
            prop_assert!(closure.abs() <= 1e-9 * (torque * speed).abs().max(1.0));
            prop_assert!(heat.power_factor.abs() <= 1.0);
        }
    }

    #[test]
    fn copper_loss_grows_with_torque_and_winding_temperature(
        torque in 1.0..300.0_f64, speed in 0.0..300.0_f64, winding in 250.0..450.0_f64,
    ) {
        let motor = motor(full());
        let state = MotorState { winding_k: winding, ..at(torque, speed) };
        let heat = motor.heat(&state).copper_w;
        let more = motor.heat(&MotorState { torque_nm: 1.01 * torque, ..state }).copper_w;
        prop_assert!(more > heat);
        let direct = motor_without_skin_effect();
        let cold = direct.heat(&state).copper_w;
        let hot = direct.heat(&MotorState { winding_k: winding + 1.0, ..state }).copper_w;
        prop_assert!(hot > cold);
    }
}

fn motor_without_skin_effect() -> Motor {
    motor(MachineParameters { alternating_copper: None, ..full() })
}

#[test]
fn copper_with_temperature_feeds_back_on_itself() {
    // slope of the copper loss at 20 degC is alpha times the loss: 0.00393 x 1875 = 7.36875 W/K
    let motor = motor(copper_only());
    let (_, slope) = first_derivative(
        |t: Dual64| {
            let state =
                MotorState::new(constant(200.0), constant(300.0), constant(400.0), t, constant(293.15));
            motor.heat(&state).copper_w
        },
        293.15,
    );
    assert_close("W/K", slope, 7.36875, 1e-9);
}
