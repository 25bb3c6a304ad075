//! A motor with its inverter and cable: losses and power drawn. Also motors that give no power and still turn, and shorted windings.

use super::spec::Drive;
use crate::stencil::Piece;
use numerics::{Scalar, constant};
use powertrain::inverter::{InverterState, JunctionPoint};
use powertrain::motor::{GapAir, MotorHeat, MotorState};

/// Lanes: power into the gearbox, bus voltage, winding, magnet, inverter, sensor and cable temperature; outputs: [`drive_output`].
pub(super) struct DrivePiece<'a>(pub(super) &'a Drive);

pub(super) mod drive_output {
    pub(in crate::electric) const COPPER: usize = 0;
    pub(in crate::electric) const IRON: usize = 1;
    pub(in crate::electric) const MAGNET: usize = 2;
    pub(in crate::electric) const WINDAGE: usize = 3;
    pub(in crate::electric) const INVERTER: usize = 4;
    pub(in crate::electric) const CABLE: usize = 5;
    pub(in crate::electric) const DEMAND: usize = 6;
    pub(in crate::electric) const DRAG: usize = 7;
}

impl DrivePiece<'_> {
    #[inline]
    pub(super) fn shaft_power<S: Scalar>(&self, gear_power_w: S, sensed_k: S) -> S {
        let asked_w = gear_power_w * self.0.share;
        let within_w =
            if asked_w.value() > self.0.max_power_w { constant(self.0.max_power_w) } else { asked_w };
        within_w * self.0.derate.at(sensed_k)
    }

    #[inline]
    pub(super) fn motor_state<S: Scalar>(
        &self,
        shaft_power_w: S,
        bus_v: S,
        winding_k: S,
        magnet_k: S,
    ) -> MotorState<S> {
        let speed = self.0.speed_rad_s;
        MotorState {
            torque_nm: shaft_power_w / speed.max(1e-9),
            speed_rad_s: constant(speed),
            bus_voltage_v: bus_v,
            winding_k,
            magnet_k,
            active_sets: self.0.active_sets,
        }
    }

    #[inline]
    pub(super) fn motor<S: Scalar>(&self, state: &MotorState<S>) -> MotorHeat<S> {
        let air = GapAir { windage_w: constant(0.0), density_ratio: constant(self.0.air_density_ratio) };
        self.0.motor.heat_in_air(state, &air)
    }

    /// Winding sets that carry current, each with its bridge.
    pub(super) fn sets(&self) -> u8 {
        self.0.active_sets.min(self.0.motor.winding_sets())
    }

    /// The bridge of one winding set, at its junctions where their resistance is known.
    #[inline]
    pub(super) fn bridge<S: Scalar>(
        &self,
        motor: &MotorHeat<S>,
        bus_v: S,
        base_k: S,
    ) -> (InverterState<S>, Option<JunctionPoint<S>>) {
        let base = InverterState::from_motor(motor, bus_v, base_k);
        match &self.0.junction {
            None => (base, None),
            Some(resistance) => {
                let (state, point) = self.0.inverter.at_junction(base, resistance);
                (state, Some(point))
            }
        }
    }

    /// Whether anything turns it against losses of its own.
    pub(super) fn is_dragged(&self) -> bool {
        (!self.0.freewheels && self.0.share <= 0.0) || self.shorts()
    }

    /// Whether a shorted winding set turns; behind a freewheel it stands.
    pub(super) fn shorts(&self) -> bool {
        self.0.shorted_sets > 0 && !(self.0.freewheels && self.0.share <= 0.0)
    }

    pub(super) fn turning<S: Scalar>(&self, bus_v: S, winding_k: S, magnet_k: S) -> MotorState<S> {
        self.motor_state(constant(0.0), bus_v, winding_k, magnet_k)
    }

    /// Copper loss of the shorted winding sets, W: nothing where its current is not known.
    #[inline]
    pub(super) fn short_w<S: Scalar>(&self, winding_k: S, magnet_k: S) -> S {
        if !self.shorts() {
            return constant(0.0);
        }
        let short = self.0.motor.short_circuit(&self.turning(constant(0.0), winding_k, magnet_k));
        short.map_or(constant(0.0), |short| short.copper_w * f64::from(self.0.shorted_sets))
    }

    /// Outputs of a motor that gives no power.
    #[inline]
    pub(super) fn dragged<S: Scalar>(
        &self,
        gear_power_w: S,
        [bus_v, winding_k, magnet_k]: [S; 3],
        short_w: S,
    ) -> [S; 8] {
        let zero = constant(0.0);
        if self.0.freewheels {
            return [zero; 8];
        }
        let state = self.turning(bus_v, winding_k, magnet_k);
        let air = GapAir { windage_w: zero, density_ratio: constant(self.0.air_density_ratio) };
        let drag = self.0.motor.dragged(&state, &air, gear_power_w * self.0.usual_share);
        [short_w, drag.iron_w, drag.magnet_w, drag.windage_w, zero, zero, zero, drag.total() + short_w]
    }

    /// Current of a shorted winding set, A rms.
    pub(super) fn short_current_a(&self, [_, bus_v, winding_k, magnet_k, ..]: [f64; 7]) -> Option<f64> {
        if !self.shorts() {
            return None;
        }
        self.0.motor.short_circuit(&self.turning(bus_v, winding_k, magnet_k)).map(|short| short.current_a)
    }
}

impl Piece<7, 8> for DrivePiece<'_> {
    const GENERATES: bool = true;

    #[inline]
    fn evaluate<S: Scalar>(
        &self,
        [gear_power_w, bus_v, winding_k, magnet_k, device_k, sensed_k, cable_k]: [S; 7],
    ) -> [S; 8] {
        let short_w = self.short_w(winding_k, magnet_k);
        if self.0.share <= 0.0 {
            return self.dragged(gear_power_w, [bus_v, winding_k, magnet_k], short_w);
        }
        let shaft = self.shaft_power(gear_power_w, sensed_k);
        let motor = self.motor(&self.motor_state(shaft, bus_v, winding_k, magnet_k));
        let (bridge, _) = self.bridge(&motor, bus_v, device_k);
        let inverter = self.0.inverter.heat(&bridge).total() * f64::from(self.sets());
        let before_cable = motor.electrical_power_w + inverter;
        let cable_current = before_cable / bus_v;
        let cable = self.0.cable.heat_w(cable_current, cable_k);
        let copper = motor.copper_w + short_w;
        let demand = before_cable + cable;
        [copper, motor.iron_w, motor.magnet_w, motor.windage_w, inverter, cable, demand, short_w]
    }
}
