use super::*;
use testkit::{Row, Worst, assert_close, table};

fn devices(row: &Row) -> DeviceParameters {
    let or_zero = |name: &str| row.maybe(name).unwrap_or(0.0);
    let switch = match row.text("device") {
        "igbt_diode" => Switch::TransistorDiode {
            threshold_v: row.number("threshold_voltage_V"),
            slope_ohm: row.number("slope_resistance_ohm"),
            diode_threshold_v: row.number("diode_threshold_V"),
            diode_slope_ohm: row.number("diode_slope_ohm"),
        },
        _ => Switch::Channel { resistance_ohm: row.number("slope_resistance_ohm") },
    };
    DeviceParameters {
        switch,
        switching_energy_j: row.number("turn_on_energy_J") + row.number("turn_off_energy_J"),
        recovery_energy_j: or_zero("recovery_energy_J"),
        reference_current_a: row.number("reference_current_A"),
        reference_voltage_v: row.number("reference_voltage_V"),
        carrier_frequency_hz: row.number("switching_frequency_Hz"),
        ..plain()
    }
}

fn plain() -> DeviceParameters {
    DeviceParameters {
        switch: Switch::Channel { resistance_ohm: 0.004 },
        switching_energy_j: 0.008,
        recovery_energy_j: 0.0,
        reference_current_a: 300.0,
        reference_voltage_v: 600.0,
        current_exponent: 1.0,
        voltage_exponent: 1.0,
        carrier_frequency_hz: 20e3,
        parallel_devices: 1,
        reference_junction_k: 398.15,
        slope_coefficient_per_k: 0.0,
        threshold_coefficient_v_k: 0.0,
        energy_coefficient_per_k: 0.0,
        capacitor_resistance_ohm: 0.0,
    }
}

fn state(current: f64, voltage: f64, m: f64, cosine: f64) -> InverterState<f64> {
    InverterState {
        phase_current_rms_a: current,
        bus_voltage_v: voltage,
        modulation_index: m,
        power_factor: cosine,
        junction_k: 398.15,
        diode_k: 398.15,
    }
}

#[test]
fn every_row_of_the_inverter_table() {
    let mut worst = Worst::new();
    for row in table("inverter_loss.csv").rows() {
        let parameters = devices(row);
        let peak = row.number("peak_phase_current_A");
        let point = state(
            peak / 2.0_f64.sqrt(),
            row.number("dc_link_voltage_V"),
            row.maybe("modulation_index").unwrap_or(0.8),
            row.maybe("power_factor").unwrap_or(0.9),
        );
        let one = parameters.position_loss(peak, &point);
        let bridge = Inverter::new(InverterLosses::Devices(parameters), 0.0).unwrap().heat(&point);
        let computed = match row.text("quantity") {
            "transistor_conduction_loss" => one.transistor_conduction_w,
            "diode_conduction_loss" => one.diode_conduction_w,
            "transistor_switching_loss" => one.transistor_switching_w,
            "diode_recovery_loss" => one.diode_recovery_w,
            "bridge_conduction_loss" => bridge.conduction_w,
            "bridge_total_loss" => bridge.total(),
            other => panic!("unknown quantity {other}"),
        };
        worst.check(row, computed);
    }
    worst.finish(14);
}

#[test]
fn two_parallel_devices_halve_the_channel_loss_and_keep_the_switching_loss() {
    // channel: 2 devices x r (I/2)^2 = half; linear switching: 2 x E(I/2) = the same
    let one = Inverter::new(InverterLosses::Devices(plain()), 0.0).unwrap();
    let two = DeviceParameters { parallel_devices: 2, ..plain() };
    let two = Inverter::new(InverterLosses::Devices(two), 0.0).unwrap();
    let point = state(150.0, 600.0, 0.9, 0.9);
    let (a, b) = (one.heat(&point), two.heat(&point));
    assert_close("conduction", b.conduction_w, 0.5 * a.conduction_w, 1e-12);
    assert_close("switching", b.switching_w, a.switching_w, 1e-12);
    // by hand: 3 phases x 150^2 x 0.004 = 270 W
    assert_close("conduction", a.conduction_w, 270.0, 1e-12);
    // by hand: 6 x 20000 x 0.008 / pi x (150 sqrt2 / 300) x 1 = 305.577 / sqrt2 = 216.076 W
    assert_close("switching", a.switching_w, 216.076, 1e-5);
}

#[test]
fn junction_temperature_by_hand() {
    // +0.5 %/K for 50 K: 270 x 1.25 = 337.5 W; energies +0.2 %/K for 50 K: x 1.10
    let hot = DeviceParameters { slope_coefficient_per_k: 0.005, energy_coefficient_per_k: 0.002, ..plain() };
    let hot = Inverter::new(InverterLosses::Devices(hot), 0.0).unwrap();
    let base = hot.heat(&state(150.0, 600.0, 0.9, 0.9));
    let heat =
        hot.heat(&InverterState { junction_k: 448.15, diode_k: 448.15, ..state(150.0, 600.0, 0.9, 0.9) });
    assert_close("conduction", heat.conduction_w, 337.5, 1e-12);
    assert_close("switching", heat.switching_w, 1.1 * base.switching_w, 1e-12);
}

/// Capacitor current by brute force: the bridge's input current over many carrier periods of one output period,
/// from the duty of each phase (sinusoidal modulation, third of the duties' centre does not matter), minus its mean.
fn averaged_capacitor_share(m: f64, cosine: f64) -> f64 {
    let phi = cosine.acos();
    let third = std::f64::consts::TAU / 3.0;
    let (mut square, mut mean) = (0.0, 0.0);
    let steps = 20_000;
    for k in 0..steps {
        let angle = std::f64::consts::TAU * f64::from(k) / f64::from(steps);
        let mut legs: Vec<(f64, f64)> = (0..3)
            .map(|p| {
                let a = angle - third * f64::from(p);
                (0.5 * (1.0 + m * a.cos()), 2.0_f64.sqrt() * (a - phi).cos())
            })
            .collect();
        // centred pulses: sorted by duty, the input current is the sum of the legs that are on
        legs.sort_by(|x, y| y.0.total_cmp(&x.0));
        let mut current = 0.0;
        for i in 0..3 {
            current += legs[i].1;
            let width = legs[i].0 - legs.get(i + 1).map_or(0.0, |next| next.0);
            square += width * current * current;
            mean += width * current;
        }
    }
    square / f64::from(steps) - (mean / f64::from(steps)).powi(2)
}

#[test]
fn the_capacitor_current_equals_an_average_over_the_switching_states() {
    for (m, cosine) in [(0.9, 0.85), (0.5, 1.0), (0.7, 0.3), (1.0, 0.95), (0.2, 0.6)] {
        let share = averaged_capacitor_share(m, cosine);
        let current: f64 = capacitor_current_rms(200.0, m, cosine);
        assert_close(&format!("m {m} cos {cosine}"), current, 200.0 * share.sqrt(), 1e-6);
    }
}

#[test]
fn an_efficiency_by_hand_and_rest() {
    let inverter = Inverter::new(InverterLosses::Efficiency { efficiency: 0.98 }, 15.0).unwrap();
    // 3 x 0.9 x 600 / (2 sqrt 2) x 150 x 0.95 = 81618 W; x (1/0.98 - 1) = 1665.7 W
    let point = state(150.0, 600.0, 0.9, 0.95);
    assert_close("output", output_power_w(&point), 81_618.4, 1e-5);
    assert_close("loss", inverter.heat(&point).undivided_w, 1665.68, 1e-5);
    assert_eq!(inverter.heat(&state(0.0, 600.0, 0.0, 0.0)).total(), 15.0);
    assert_eq!(inverter.heat(&state(0.0, 0.0, 0.0, 0.0)).total(), 0.0);
}

#[test]
fn bad_devices_are_refused() {
    for bad in [
        DeviceParameters { carrier_frequency_hz: 0.0, ..plain() },
        DeviceParameters { parallel_devices: 0, ..plain() },
        DeviceParameters { switching_energy_j: f64::NAN, ..plain() },
    ] {
        assert!(Inverter::new(InverterLosses::Devices(bad), 0.0).is_err());
    }
    assert!(Inverter::new(InverterLosses::Efficiency { efficiency: 1.2 }, 0.0).is_err());
}
