//! Charging, ageing and the hottest cell.

use super::losses::cell;
use super::record::{Allowed, Cited, Origin, Record};
use powertrain::charge::{
    ChargeData, ChargeLimiter, ChargeState, ChargeWindow, Charger, DEFAULT_TAPER_C_RATE, PackCondition, Stage,
};
use powertrain::pack::HotCell;

const ZERO_C_K: f64 = 273.15;

pub(crate) fn record() -> Record {
    let mut record = Record::new("Charging");
    staged_table(&mut record);
    limits(&mut record);
    hottest_cell(&mut record);
    record
}

fn window() -> ChargeWindow {
    let stages = [(0.0, 5.0, 0.2), (5.0, 15.0, 0.5), (15.0, 55.0, 1.0)].map(|(from, to, c_rate)| Stage {
        from_k: ZERO_C_K + from,
        to_k: ZERO_C_K + to,
        c_rate,
    });
    ChargeWindow::new(&stages, ChargeWindow::DEFAULT_BLEND_K, ChargeWindow::DEFAULT_HYSTERESIS_K)
        .expect("adjoining stages")
}

fn limiter(bus_power_w: Option<f64>) -> ChargeLimiter {
    ChargeLimiter::new(ChargeData {
        rated_capacity_ah: 50.0,
        c_rate: 1.0,
        constant_voltage_v: 400.0,
        taper_c_rate: DEFAULT_TAPER_C_RATE,
        stop_soc: None,
        charger: Charger { bus_power_w, ..Charger::IDEAL },
        window: window(),
    })
    .expect("plain data")
}

fn current(limiter: &ChargeLimiter, cell_c: f64, open_circuit_v: f64) -> f64 {
    let pack = PackCondition {
        coldest_k: ZERO_C_K + cell_c,
        hottest_k: ZERO_C_K + cell_c,
        soc: 0.5,
        open_circuit_v,
        cell_resistance_ohm: 0.1,
        lead_resistance_ohm: 0.0,
    };
    limiter.current(ChargeState::Charging, &pack).current_a
}

fn staged_table(record: &mut Record) {
    let cited = Cited {
        source: "Hand calculation with the staged table of a data sheet, 0.2C, 0.5C, 1C (trade facts, section 4)",
        what: "Charge current by cell temperature, 50 A h, away from the ramps between stages",
        origin: Origin::Calculated,
    };
    let limiter = limiter(None);
    for (celsius, amperes) in
        [(0.0, 10.0), (5.0, 10.0), (7.0, 25.0), (15.0, 25.0), (17.0, 50.0), (55.0, 50.0)]
    {
        record.value(&cited, current(&limiter, celsius, 360.0), amperes, Allowed::Part(1e-9));
    }
}

fn limits(record: &mut Record) {
    let cited = Cited {
        source: "Hand calculation: (400 V - 398 V)/0.1 ohm; 10 kW into 350 V behind 0.1 ohm",
        what: "Charge current at constant voltage and at the power of the charger",
        origin: Origin::Calculated,
    };
    record.value(&cited, current(&limiter(None), 25.0, 398.0), 20.0, Allowed::Within(1e-4, "A"));
    record.value(&cited, current(&limiter(Some(10e3)), 25.0, 350.0), 28.3419, Allowed::Within(1e-4, "A"));
}

fn hottest_cell(record: &mut Record) {
    let cited = Cited {
        source: "Hand calculation, a tenth more heat in the cell of trade facts, section 12, example 16",
        what: "Hottest cell: extra rise once settled, and its lag",
        origin: Origin::Calculated,
    };
    let cell = cell(0.020, 0.0, 0.0);
    let hot = HotCell::new(0.1, 8.0).expect("plain data");
    let allowance = hot.allowance(&cell, cell.heat_parts(15.0, 300.0, 0.5).joule_w);
    record.value(&cited, allowance.steady_rise_k, 3.6, Allowed::Part(1e-9));
    record.value(&cited, allowance.lag_s, 532.0, Allowed::Part(1e-9));
}
