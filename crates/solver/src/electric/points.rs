//! Working points behind the losses of a solved drive.

use super::drive::DrivePiece;
use super::pieces::GroupPiece;
use super::spec::Gear;
use crate::power_path::ConductorReading;
use crate::stencil::Piece as _;
use powertrain::gearbox::{GearHeat, GearPoint};
use powertrain::inverter::{InverterHeat, InverterState, JunctionPoint};
use powertrain::motor::{MotorHeat, MotorState};

/// Working point of a motor that runs, and of each of its bridges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrivePoint {
    /// Torque, speed, voltage and temperatures of the motor.
    pub motor_state: MotorState<f64>,
    /// Heat of the motor by place, and its terminals.
    pub motor: MotorHeat<f64>,
    /// Density of the air round the rotor over the density that the windage law was made at.
    pub air_density_ratio: f64,
    /// Winding sets that carry current, each with its bridge.
    pub active_sets: u8,
    /// Temperatures of its junctions, where their resistance to the baseplate is known.
    pub junction: Option<JunctionPoint<f64>>,
    /// Current, voltage and temperature of one bridge.
    pub bridge_state: InverterState<f64>,
    /// Heat of one bridge by cause.
    pub bridge: InverterHeat<f64>,
    /// Cable from the bus.
    pub cable: ConductorReading,
}

/// State of the gearbox, or of a stage behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GearReading {
    /// Oil temperature, K.
    pub oil_k: f64,
    /// Power, speed and oil.
    pub point: GearPoint<f64>,
    /// Heat by cause.
    pub heat: GearHeat<f64>,
    /// Whether a measured law is used inside its measurements.
    pub covered: bool,
}

/// State of the cells that share one temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroupReading {
    /// Temperature, K.
    pub temperature_k: f64,
    /// State of charge, 0 to 1.
    pub state_of_charge: f64,
    /// Resistance of the group as the whole current meets it, ohm.
    pub resistance_ohm: f64,
    /// Cells in series in the group.
    pub series: f64,
    /// Strings in service.
    pub strings: f64,
    /// Current of the whole pack, A.
    pub current_a: f64,
    /// Heat of the group, W.
    pub heat_w: f64,
    /// Whether the cell law is used inside its range.
    pub covered: bool,
}

impl DrivePiece<'_> {
    /// The working points behind the losses; `None` for a motor that takes no share.
    pub(super) fn point(
        &self,
        [gear_power_w, bus_v, winding_k, magnet_k, device_k, sensed_k, cable_k]: [f64; 7],
    ) -> Option<DrivePoint> {
        if self.0.share <= 0.0 {
            return None;
        }
        let shaft_w = self.shaft_power(gear_power_w, sensed_k);
        let motor_state = self.motor_state(shaft_w, bus_v, winding_k, magnet_k);
        let motor = self.motor(&motor_state);
        let (bridge_state, junction) = self.bridge(&motor, bus_v, device_k);
        let bridge = self.0.inverter.heat(&bridge_state);
        let current_a = (motor.electrical_power_w + bridge.total() * f64::from(self.sets())) / bus_v;
        Some(DrivePoint {
            motor_state,
            motor,
            air_density_ratio: self.0.air_density_ratio,
            active_sets: self.sets(),
            junction,
            bridge_state,
            bridge,
            cable: ConductorReading {
                temperature_k: cable_k,
                resistance_ohm: self.0.cable.at(cable_k),
                current_a,
                heat_w: self.0.cable.heat_w(current_a, cable_k),
            },
        })
    }
}

impl Gear {
    pub(super) fn read(&self, [input_power_w, oil_k]: [f64; 2]) -> GearReading {
        let point = self.point(input_power_w, oil_k);
        GearReading {
            oil_k,
            point,
            heat: self.gearbox.heat(&point),
            covered: self.gearbox.is_in_range(input_power_w, self.input_speed_rad_s),
        }
    }
}

impl GroupPiece<'_> {
    pub(super) fn read(&self, lanes: [f64; 3]) -> GroupReading {
        let [current_a, temperature_k, state_of_charge] = lanes;
        GroupReading {
            temperature_k,
            state_of_charge,
            resistance_ohm: self.pack.resistance(self.group, temperature_k, state_of_charge),
            series: self.group.series,
            strings: self.pack.strings,
            current_a,
            heat_w: self.evaluate(lanes)[0],
            covered: self.pack.cell.is_in_range(temperature_k, state_of_charge),
        }
    }
}
