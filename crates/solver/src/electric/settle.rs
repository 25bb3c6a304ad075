//! The electrical unknowns that temperatures and flows imply.
//!
//! The loss of a machine, the sag of the bus and the temperature of the cells are circular, so they are solved together.

use super::charger::SET_WEIGHT;
use super::drive::{DrivePiece, drive_output};
use super::numbered::{CHARGE, CURRENT, ELECTRIC_UNKNOWNS, Electric, POWER, VOLTAGE};
use super::pieces::GearPiece;
use crate::failure::Failure;
use crate::power_path::ConverterPiece;
use crate::stencil::Piece as _;
use crate::stencil::Stencil;
use num_dual::Dual64;
use numerics::constant;

/// Newton steps for the power into the gearbox at most; four reach rounding, because the loss is nearly straight.
const MAX_GEAR_STEPS: usize = 20;
/// Change of that power that counts as none, as a share of the shaft power: a little above its rounding.
const GEAR_STANDS_STILL: f64 = 1e-10;
/// The same where the shaft hardly gives anything, W.
const GEAR_STANDS_STILL_W: f64 = 1e-9;
/// Rounds between bus voltage and demand at most. Each shrinks the error by the sag over the voltage; only a pack near its greatest
/// power takes more than a dozen, and what is left there the Newton steps of the whole network take up.
const MAX_BUS_ROUNDS: usize = 60;
/// Change of the bus voltage that counts as none, as a share of the voltage without current.
const VOLTAGE_STANDS_STILL: f64 = 1e-12;
/// Rounds on a charger: its current is set, and what else runs moves it by no more than rounding.
const CHARGE_ROUNDS: usize = 3;

/// What stands behind the bus.
#[derive(Clone, Copy)]
struct BusSource {
    open_circuit_v: f64,
    resistance_ohm: f64,
}

impl BusSource {
    fn voltage_v(self, current_a: f64) -> f64 {
        self.open_circuit_v - self.resistance_ohm * current_a
    }
}

impl Electric {
    pub(crate) fn cold_start(&self, state: &mut [f64]) {
        state[self.start + POWER] = self.spec.shaft_power_w;
        for (index, stage) in self.spec.stages.iter().enumerate() {
            state[self.start + self.spec.stage_unknown(index)] =
                stage.branch.unwrap_or(1.0) * self.spec.shaft_power_w;
        }
        state[self.start + CHARGE] = self.spec.feed.pack().map_or(1.0, |pack| pack.state_of_charge);
        state[self.start + VOLTAGE] = self.source_voltage(state);
        state[self.start + CURRENT] = 0.0;
        for (index, converter) in self.spec.converters.iter().enumerate() {
            state[self.start + ELECTRIC_UNKNOWNS + index] = converter.load_w;
        }
    }

    /// Power that turns motors against their own losses, W.
    fn drag_w(&self, state: &[f64]) -> f64 {
        let drives = self.spec.drives.iter().zip(&self.drives);
        drives
            .filter(|(drive, _)| DrivePiece(drive).is_dragged())
            .map(|(drive, stencil)| {
                DrivePiece(drive).evaluate(stencil.gather::<7>(state))[drive_output::DRAG]
            })
            .sum()
    }

    /// Power into gearbox and stages at the present oil temperatures, from the shaft to the motors. What motors without power take
    /// hardly depends on what the others give.
    fn settle_gears(&self, pumps_w: f64, state: &mut [f64]) {
        let end = self.spec.last_of_chain();
        for stage in (0..self.stages.len()).rev() {
            let pumps_w = if end == Some(stage) { pumps_w } else { 0.0 };
            let behind_w = self.asked_behind_w(Some(stage), state) + pumps_w;
            let unknown = self.start + self.spec.stage_unknown(stage);
            self.settle_gear((&self.stage_piece(stage), &self.stages[stage], unknown), |_| behind_w, state);
        }
        let pumps_w = if end.is_none() { pumps_w } else { 0.0 };
        let behind_w = self.asked_behind_w(None, state) + pumps_w;
        let more_w = |state: &[f64]| behind_w + self.drag_w(state);
        self.settle_gear((&self.gear_piece(), &self.gear, self.start + POWER), more_w, state);
    }

    /// Power into a gearbox or stage at the present oil temperature: Newton on one unknown, which converges from any
    /// start because the loss grows slower than the power.
    fn settle_gear(
        &self,
        (piece, stencil, unknown): (&GearPiece<'_>, &Stencil, usize),
        more_w: impl Fn(&[f64]) -> f64,
        state: &mut [f64],
    ) {
        for _ in 0..MAX_GEAR_STEPS {
            let [input_w, oil_k] = stencil.gather::<2>(state);
            let [balance, ..] = piece.evaluate([Dual64::new(input_w, 1.0), constant(oil_k)]);
            let change = (balance.re + more_w(state)) / -balance.eps;
            state[unknown] += change;
            if change.abs() <= GEAR_STANDS_STILL * self.spec.shaft_power_w.abs() + GEAR_STANDS_STILL_W {
                break;
            }
        }
    }

    /// Sets the output of each converter; returns the power of pumps on the shaft and of everything on the bus that
    /// is no drive, W.
    fn settle_consumers(
        &self,
        machine_power: impl Fn(usize, &[f64]) -> Option<f64>,
        state: &mut [f64],
    ) -> (f64, f64) {
        let (mut on_shaft, mut on_bus) = (0.0, self.spec.other_load_w);
        let first = self.start + ELECTRIC_UNKNOWNS;
        for (index, converter) in self.spec.converters.iter().enumerate() {
            state[first + index] = converter.load_w;
        }
        for (element, row) in self.power_rows.iter().enumerate() {
            let Some(power_w) = machine_power(element, state) else { continue };
            match row - self.start {
                POWER => on_shaft += power_w,
                CURRENT => on_bus += power_w,
                stage if stage >= self.spec.stage_unknown(0) => on_shaft += power_w,
                converter => state[self.start + converter] += power_w,
            }
        }
        for (index, converter) in self.spec.converters.iter().enumerate() {
            on_bus += ConverterPiece(converter).read(state[first + index]).input_w;
        }
        (on_shaft, on_bus)
    }

    /// Brings the electrical unknowns into balance with temperatures and flows; `machine_power` gives the power of each element
    /// that is a pump or fan, W.
    pub(crate) fn settle(
        &self,
        machine_power: impl Fn(usize, &[f64]) -> Option<f64>,
        state: &mut [f64],
    ) -> Result<(), Failure> {
        let (pumps_w, machines_w) = self.settle_consumers(machine_power, state);
        self.settle_gears(pumps_w, state);
        if self.is_charge_held {
            state[self.start + CHARGE] = self.spec.feed.pack().map_or(1.0, |pack| pack.state_of_charge);
        }
        let source =
            BusSource { open_circuit_v: self.source_voltage(state), resistance_ohm: self.resistance(state) };
        match self.charger_piece() {
            Some((piece, stencil)) => {
                let [_, charge, first_k, last_k] = stencil.gather::<4>(state);
                let set_a = piece.point(charge, first_k, last_k).bus_current_a();
                self.settle_charge(set_a, machines_w, source, state);
                Ok(())
            }
            None => self.settle_bus(machines_w, source, state),
        }
    }

    /// Bus of a pack on a charger that sets the current.
    fn settle_charge(&self, set_a: f64, machines_w: f64, source: BusSource, state: &mut [f64]) {
        let mut current = set_a;
        for _ in 0..CHARGE_ROUNDS {
            let voltage = source.voltage_v(current);
            state[self.start + CURRENT] = current;
            state[self.start + VOLTAGE] = voltage;
            current = set_a + (self.demand_w(state) + machines_w - voltage * current) / SET_WEIGHT;
        }
    }

    /// Bus that gives what is asked: the losses follow its voltage, so it is gone round until that stands still.
    fn settle_bus(&self, machines_w: f64, source: BusSource, state: &mut [f64]) -> Result<(), Failure> {
        let BusSource { open_circuit_v, resistance_ohm } = source;
        for _ in 0..MAX_BUS_ROUNDS {
            let demand_w = self.demand_w(state) + machines_w;
            let Some(current) = bus_current(demand_w, open_circuit_v, resistance_ohm) else {
                return Err(Failure::InsufficientPackPower {
                    demand_w,
                    greatest_w: open_circuit_v * open_circuit_v / (4.0 * resistance_ohm),
                });
            };
            let voltage = source.voltage_v(current);
            let change = (voltage - state[self.start + VOLTAGE]).abs();
            state[self.start + VOLTAGE] = voltage;
            state[self.start + CURRENT] = current;
            if change <= VOLTAGE_STANDS_STILL * open_circuit_v {
                break;
            }
        }
        Ok(())
    }

    /// Power that the drives draw from the bus, W.
    fn demand_w(&self, state: &[f64]) -> f64 {
        let drives = self.spec.drives.iter().zip(&self.drives);
        drives
            .map(|(drive, stencil)| {
                DrivePiece(drive).evaluate(stencil.gather::<7>(state))[drive_output::DEMAND]
            })
            .sum()
    }

    fn resistance(&self, state: &[f64]) -> f64 {
        let cells = self.group_pieces().fold(0.0, |sum, (piece, stencil)| {
            let [_, temperature_k, charge] = stencil.gather::<3>(state);
            sum + piece.pack.resistance(piece.group, temperature_k, charge)
        });
        self.conductor_pieces()
            .fold(cells, |sum, (piece, stencil)| sum + piece.0.resistor.at(stencil.gather::<2>(state)[1]))
    }
}

/// Current that delivers a power, A: the smaller root, written without cancellation.
fn bus_current(power_w: f64, open_circuit_v: f64, resistance_ohm: f64) -> Option<f64> {
    powertrain::pack::current_from_power(power_w, open_circuit_v, resistance_ohm).ok()
}
