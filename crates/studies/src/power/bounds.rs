//! What forbids more power: each bound as the part of it that a solved case uses, and its name.

use super::setup::Setup;
use aircraft::records::powertrain::{Bus, Motor, Pack};
use model::assembly::{Situation, aged_cell, conductor_law};
use model::rating;
use model::result::{DriveReading, ElectricResult};
use schema::{Input, InputKind};

/// Share of its life that the pack has used: it is taken at the end of its life.
pub(super) const LIFE_USED: f64 = 1.0;

/// A bound, and how much of it is used: 1 is all of it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bound {
    pub(super) used: f64,
    pub(super) by: String,
}

/// Every bound of a solved case at a rating.
pub(super) fn bounds(
    setup: &Setup<'_>,
    situation: &Situation<'_>,
    electric: &ElectricResult,
    (rating, coldest_k): (Option<&str>, f64),
) -> Vec<Bound> {
    let mut found = Vec::new();
    for (motor, state) in setup.powertrain.motors.iter().zip(&electric.reading.drives) {
        if state.point.is_some() {
            motor_bounds(setup, situation, (motor, state), (rating, electric.bus_voltage_v), &mut found);
        }
    }
    if let Bus::Pack(pack) = &setup.powertrain.bus {
        pack_bounds(setup, situation, (pack, electric), coldest_k, &mut found);
    }
    found
}

fn motor_bounds(
    setup: &Setup<'_>,
    situation: &Situation<'_>,
    (motor, state): (&Motor, &DriveReading),
    (rating, bus_v): (Option<&str>, f64),
    found: &mut Vec<Bound>,
) {
    let name = motor.name.as_str();
    let mut add = |value: f64, limit: f64, by: String| found.push(Bound { used: value.abs() / limit, by });
    if let Some(rating) = motor.rating(rating) {
        let left = rating::left_share(situation, motor, rating);
        let time = rating.duration.as_ref().map_or(String::new(), |time| format!(" for {}", time.text()));
        let sets = if left < 1.0 { ", the share of its winding sets that are left" } else { "" };
        let of = format!("of rating {:?}{time} of {name}{sets}", rating.name.as_str());
        add(state.asked_w, left * rating.power.si(), format!("power {of}"));
        if let Some(torque) = &rating.torque {
            add(state.torque_nm, left * torque.si(), format!("torque {of}"));
        }
    }
    if let Some(most) = &motor.most_power {
        add(state.asked_w, most.si(), format!("greatest power that the control of {name} allows"));
    }
    let gearbox = setup.powertrain.gearbox.as_ref();
    if let Some(torque) = gearbox.and_then(|gearbox| gearbox.input_torque.as_ref()) {
        add(state.torque_nm, torque.si(), format!("torque at one input of the gearbox, from {name}"));
    }
    if let Some(most) = &motor.most_phase_current {
        add(state.phase_current_a, most.si(), format!("phase current of the inverter of {name}"));
    }
    if let Some(most) = &motor.most_bus_current {
        add(state.demand_w / bus_v, most.si(), format!("bus current of the inverters of {name}"));
    }
}

fn pack_bounds(
    setup: &Setup<'_>,
    situation: &Situation<'_>,
    (pack, electric): (&Pack, &ElectricResult),
    coldest_k: f64,
    found: &mut Vec<Bound>,
) {
    for (name, most_a) in currents(pack) {
        found.push(Bound { used: electric.bus_current_a / most_a, by: name });
    }
    let asked_w = electric.bus_current_a * electric.bus_voltage_v;
    let charge = setup.state_of_charge.unwrap_or_else(|| situation.point.state_of_charge.si());
    let at = format!("at {:.0} % charge, {:.0} degC, end of life", 100.0 * charge, coldest_k - 273.15);
    if let Some(least) = &pack.least_voltage {
        found.push(Bound {
            used: least.si() / electric.bus_voltage_v,
            by: format!("least bus voltage with warm cells at {:.0} % charge, end of life", 100.0 * charge),
        });
    }
    match ColdPack::of(situation, pack, charge, coldest_k) {
        Some(cold) => {
            let (most_w, by) = cold.most();
            found.push(Bound { used: asked_w / most_w, by: format!("{by} {at}") });
        }
        None => found.push(Bound { used: f64::INFINITY, by: format!("no law of the cells {at}") }),
    }
}

/// Currents that the whole pack may give, by what bounds them.
fn currents(pack: &Pack) -> Vec<(String, f64)> {
    fn of<K: InputKind>(name: String, most: Option<&Input<K>>) -> Option<(String, f64)> {
        most.map(|most| (name, most.si()))
    }
    let conductors = pack.conductors.iter().filter_map(|conductor| {
        of(format!("current of {}", conductor.name.as_str()), conductor.rating.as_ref())
    });
    of("current of the pack".to_owned(), pack.most_current.as_ref()).into_iter().chain(conductors).collect()
}

/// A pack at one temperature: a source with a resistance.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct ColdPack {
    /// Voltage without current, V.
    pub(super) open_v: f64,
    /// Resistance of cells, bars, contactors and cables, ohm.
    pub(super) ohm: f64,
    /// Least bus voltage, V; 0 where none is stated.
    pub(super) least_v: f64,
    /// Least of the currents that it may give, A, and what bounds it.
    pub(super) most_a: Option<(String, f64)>,
}

impl ColdPack {
    fn of(situation: &Situation<'_>, pack: &Pack, charge: f64, cells_k: f64) -> Option<Self> {
        let cell = aged_cell(pack, LIFE_USED, "powertrain.bus").ok()?;
        let strings = pack.parallel.checked_sub(situation.strings_out(pack)).filter(|left| *left > 0)?;
        let series = pack.series as f64;
        let mut ohm = series / strings as f64 * cell.resistance_at(cells_k, charge) + pack.interconnect.si();
        for conductor in &pack.conductors {
            ohm +=
                conductor_law(&conductor.resistance, "powertrain.bus.conductors").ok()?.heat_w(1.0, cells_k);
        }
        Some(Self {
            open_v: series * cell.open_circuit_v(charge),
            ohm,
            least_v: pack.least_voltage.as_ref().map_or(0.0, |least| least.si()),
            most_a: currents(pack).into_iter().min_by(|a, b| a.1.total_cmp(&b.1)),
        })
    }

    /// The most power at the bus, W, and what bounds it. `(U0 - R I) I` grows up to half the open voltage, where it is `U0^2/(4 R)`; a least
    /// voltage and a greatest current end it before.
    pub(super) fn most(&self) -> (f64, String) {
        let power_w = |current_a: f64| (self.open_v - self.ohm * current_a) * current_a;
        let half_v = 0.5 * self.open_v;
        let (end_v, by) = if self.least_v > half_v {
            (self.least_v, "sag of the pack to its least voltage")
        } else {
            (half_v, "sag of the pack")
        };
        let sagged_a = ((self.open_v - end_v) / self.ohm).max(0.0);
        match &self.most_a {
            Some((name, most_a)) if *most_a < sagged_a => (power_w(*most_a), name.clone()),
            _ => (power_w(sagged_a), by.to_owned()),
        }
    }
}
