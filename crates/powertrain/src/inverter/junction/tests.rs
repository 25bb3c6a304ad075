use super::super::Switch;
use super::*;
use num_dual::Dual64;
use testkit::assert_close;

/// Bipolar switches at 125 degC: 1 V and 4 mOhm, diodes 1.1 V and 3 mOhm, 30 and 10 mJ at 300 A and 600 V, 8 kHz.
fn devices() -> DeviceParameters {
    DeviceParameters {
        switch: Switch::TransistorDiode {
            threshold_v: 1.0,
            slope_ohm: 0.004,
            diode_threshold_v: 1.1,
            diode_slope_ohm: 0.003,
        },
        switching_energy_j: 0.030,
        recovery_energy_j: 0.010,
        reference_current_a: 300.0,
        reference_voltage_v: 600.0,
        current_exponent: 1.0,
        voltage_exponent: 1.0,
        carrier_frequency_hz: 8000.0,
        parallel_devices: 1,
        reference_junction_k: 398.15,
        slope_coefficient_per_k: 0.004,
        threshold_coefficient_v_k: -0.001,
        energy_coefficient_per_k: 0.003,
        capacitor_resistance_ohm: 0.0,
    }
}

fn base(junction_k: f64) -> InverterState<f64> {
    InverterState {
        phase_current_rms_a: 200.0,
        bus_voltage_v: 600.0,
        modulation_index: 0.9,
        power_factor: 0.9,
        junction_k,
        diode_k: junction_k,
    }
}

fn inverter(devices: DeviceParameters) -> Inverter {
    Inverter::new(InverterLosses::Devices(devices), 0.0).unwrap()
}

#[test]
fn a_channel_by_hand() {
    // field-effect switches: r = 10 mOhm at 25 degC, +0.5 %/K, 100 A rms, no switching loss; baseplate 75 degC, 0.4 K/W.
    // per switch r (sqrt2 I)^2/4 = 0.010 x 20000/4 = 50 W at 25 degC; at 75 degC x 1.25 = 62.5 W; slope 0.005 x 50 = 0.25 W/K.
    // gain 0.4 x 0.25 = 0.1; T_j = 75 + 0.4 x 62.5/0.9 = 75 + 27.7778 = 102.7778 degC; loss 50 x (1 + 0.005 x 77.7778) = 69.4444 W
    let channel = DeviceParameters {
        switch: Switch::Channel { resistance_ohm: 0.010 },
        switching_energy_j: 0.0,
        recovery_energy_j: 0.0,
        reference_junction_k: 298.15,
        slope_coefficient_per_k: 0.005,
        ..devices()
    };
    let inverter = inverter(channel);
    let resistance = JunctionResistance::PerSwitch { switch_k_w: 0.4, diode_k_w: 0.8 };
    let from = InverterState { phase_current_rms_a: 100.0, ..base(348.15) };
    let (state, point) = inverter.at_junction(from, &resistance);
    assert_close("junction", point.switch_k - 348.15, 27.777_78, 1e-6);
    assert_close("diode", point.diode_k, 348.15, 1e-12);
    assert_close("gain", point.gain, 0.1, 1e-9);
    assert_close("bridge", inverter.heat(&state).total(), 6.0 * 69.444_44, 1e-6);
    // the same bridge as one module: 6 x 62.5 = 375 W, gain 0.05 x 6 x 0.25 = 0.075: 75 + 0.05 x 375/0.925 = 75 + 20.2703
    let (_, whole) = inverter.at_junction(from, &JunctionResistance::Whole(0.05));
    assert_close("module", whole.hottest_k() - 348.15, 20.270_27, 1e-6);
    // two devices in parallel: each half the current, a quarter of 62.5 W at 75 degC
    let two = self::inverter(DeviceParameters { parallel_devices: 2, ..channel });
    let (_, half) = two.at_junction(from, &resistance);
    // 15.625 W, slope 0.0625: 0.4 x 15.625/(1 - 0.025) = 6.41026
    assert_close("parallel", half.switch_k - 348.15, 6.410_26, 1e-6);
}

#[test]
fn the_closed_form_equals_the_fixed_point() {
    let inverter = inverter(devices());
    let resistance = JunctionResistance::PerSwitch { switch_k_w: 0.12, diode_k_w: 0.2 };
    let (_, point) = inverter.at_junction(base(353.15), &resistance);
    // second way: the loss at the last temperature, again and again
    let (mut switch_k, mut diode_k) = (353.15, 353.15);
    for _ in 0..200 {
        let state = InverterState { junction_k: switch_k, diode_k, ..base(353.15) };
        let [switch_w, diode_w] = devices().position(&state);
        (switch_k, diode_k) = (353.15 + 0.12 * switch_w, 353.15 + 0.2 * diode_w);
    }
    assert_close("switch", point.switch_k, switch_k, 1e-10);
    assert_close("diode", point.diode_k, diode_k, 1e-10);
    // the parts of six positions are all of the bridge
    let state = InverterState { junction_k: switch_k, diode_k, ..base(353.15) };
    let [switch_w, diode_w] = devices().position(&state);
    assert_close("bridge", inverter.heat(&state).total(), 6.0 * (switch_w + diode_w), 1e-12);
}

#[test]
fn a_gain_of_one_is_told_and_stays_finite() {
    let channel = DeviceParameters {
        switch: Switch::Channel { resistance_ohm: 0.010 },
        reference_junction_k: 298.15,
        slope_coefficient_per_k: 0.005,
        ..devices()
    };
    let inverter = inverter(channel);
    let resistance = JunctionResistance::PerSwitch { switch_k_w: 5.0, diode_k_w: 0.1 };
    let (_, point) =
        inverter.at_junction(InverterState { phase_current_rms_a: 100.0, ..base(348.15) }, &resistance);
    assert!(point.gain >= 1.0 && point.runs_away() && point.switch_k.is_finite(), "{point:?}");
}

#[test]
fn slopes_equal_differences_and_devices_are_needed() {
    let inverter = inverter(devices());
    for resistance in
        [JunctionResistance::PerSwitch { switch_k_w: 0.12, diode_k_w: 0.2 }, JunctionResistance::Whole(0.02)]
    {
        let of = |kelvin: f64| inverter.heat(&inverter.at_junction(base(kelvin), &resistance).0).total();
        let dual = InverterState {
            phase_current_rms_a: Dual64::from_re(200.0),
            bus_voltage_v: Dual64::from_re(600.0),
            modulation_index: Dual64::from_re(0.9),
            power_factor: Dual64::from_re(0.9),
            junction_k: Dual64::new(353.15, 1.0),
            diode_k: Dual64::new(353.15, 1.0),
        };
        let exact = inverter.heat(&inverter.at_junction(dual, &resistance).0).total().eps;
        assert_close("slope", exact, (of(353.16) - of(353.14)) / 0.02, 1e-7);
    }
    let per_switch = JunctionResistance::PerSwitch { switch_k_w: 0.1, diode_k_w: 0.1 };
    assert!(per_switch.check(&InverterLosses::Fixed { loss_w: 100.0 }).is_err());
    assert!(per_switch.check(&InverterLosses::Devices(devices())).is_ok());
    assert!(JunctionResistance::Whole(-0.1).check(&InverterLosses::Fixed { loss_w: 100.0 }).is_err());
    // a fixed loss has no slope: 100 W x 0.05 K/W = 5 K
    let fixed = Inverter::new(InverterLosses::Fixed { loss_w: 100.0 }, 0.0).unwrap();
    let (_, point) = fixed.at_junction(base(353.15), &JunctionResistance::Whole(0.05));
    assert_close("fixed", point.hottest_k(), 358.15, 1e-9);
}
