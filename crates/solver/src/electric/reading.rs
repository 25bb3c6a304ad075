//! State of the electric drive in a solved network.

use super::drive::{DrivePiece, drive_output};
use super::numbered::{CHARGE, CURRENT, Electric, POWER, VOLTAGE};
use super::points::{DrivePoint, GearReading, GroupReading};
use super::spec::Drive;
use crate::ids::Node;
use crate::power_path::{ConductorReading, ConverterReading};
use crate::stencil::Piece as _;

/// State of the electric drive in a solved network.
#[derive(Clone, Debug, PartialEq)]
pub struct ElectricReading {
    /// Power asked for at the output shaft, behind the last stage of the chain, W.
    pub shaft_power_w: f64,
    /// Power into the gearbox that the shaft asks for, W.
    pub gear_input_w: f64,
    /// Heat of the gearbox, W.
    pub gear_heat_w: f64,
    /// Bus voltage, V.
    pub bus_voltage_v: f64,
    /// Bus current, A; negative while charging.
    pub bus_current_a: f64,
    /// State of charge of the pack, 0 to 1.
    pub state_of_charge: f64,
    /// Power that derating and the greatest powers of the motors take away, W.
    pub lost_power_w: f64,
    /// Drives in the order they were given.
    pub drives: Vec<DriveReading>,
    /// Heat of each cell group, W.
    pub group_heats_w: Vec<f64>,
    /// Heat of each conductor between the cells and the bus, W.
    pub conductor_heats_w: Vec<f64>,
    /// Converters in the order they were given.
    pub converters: Vec<ConverterReading>,
    /// Gearbox, unless direct drive.
    pub gear: Option<GearReading>,
    /// Stages behind it, in their order.
    pub stages: Vec<GearReading>,
    /// Voltage of the source without current, V.
    pub open_circuit_v: f64,
    /// Conductors between the cells and the bus, the one of no name first; none for a supply.
    pub conductors: Vec<ConductorReading>,
    /// Cell groups; none for a supply.
    pub groups: Vec<GroupReading>,
}

/// State of one drive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DriveReading {
    /// Power at the motor shaft, W; below zero for a motor that the others turn.
    pub shaft_power_w: f64,
    /// Its share of the power into the gearbox, W: what is asked of it. Above `shaft_power_w` where a derate or its greatest power takes some.
    pub asked_w: f64,
    /// Share of what its control allows that a derate leaves, 1 without one.
    pub derate: f64,
    /// Torque, N m.
    pub torque_nm: f64,
    /// Speed, rad/s.
    pub speed_rad_s: f64,
    /// Phase current, A rms.
    pub phase_current_a: f64,
    /// Heats of copper, iron, magnets, windage, inverter, cable, W.
    pub heats_w: [f64; 6],
    /// Power drawn from the bus, W.
    pub demand_w: f64,
    /// Power that turns it, or its shorted winding, against its own losses, W: the others give it.
    pub drag_w: f64,
    /// Current of each shorted winding set, A rms; none without a short.
    pub short_current_a: Option<f64>,
    /// Whether a measured motor map is used inside its measurements.
    pub motor_covered: bool,
    /// Whether a measured inverter map is used inside its measurements.
    pub inverter_covered: bool,
    /// Working points behind these numbers; none for a motor that takes no share.
    pub point: Option<DrivePoint>,
}

impl Electric {
    pub(crate) fn read(&self, state: &[f64]) -> ElectricReading {
        let mut lost_power_w = 0.0;
        let drives = self.spec.drives.iter().zip(&self.drives);
        let drives = drives
            .map(|(drive, stencil)| {
                let (reading, lost_w) = read_drive(drive, stencil.gather::<7>(state));
                lost_power_w += lost_w;
                reading
            })
            .collect();
        ElectricReading {
            shaft_power_w: self.spec.shaft_power_w,
            gear_input_w: state[self.start + POWER],
            gear_heat_w: self.gear_piece().evaluate(self.gear.gather::<2>(state))[1],
            bus_voltage_v: state[self.start + VOLTAGE],
            bus_current_a: state[self.start + CURRENT],
            state_of_charge: state[self.start + CHARGE],
            lost_power_w,
            drives,
            group_heats_w: self
                .group_pieces()
                .map(|(piece, stencil)| piece.evaluate(stencil.gather::<3>(state))[0])
                .collect(),
            conductor_heats_w: self
                .conductor_pieces()
                .map(|(piece, stencil)| piece.evaluate(stencil.gather::<2>(state))[0])
                .collect(),
            converters: self.converter_readings(state).collect(),
            gear: self.spec.gear.as_ref().map(|gear| gear.read(self.gear.gather::<2>(state))),
            stages: (self.spec.stages.iter().zip(&self.stages))
                .map(|(stage, stencil)| stage.gear.read(stencil.gather::<2>(state)))
                .collect(),
            open_circuit_v: self.source_voltage(state),
            conductors: self
                .conductor_pieces()
                .map(|(piece, stencil)| piece.read(stencil.gather::<2>(state)))
                .collect(),
            groups: self
                .group_pieces()
                .map(|(piece, stencil)| piece.read(stencil.gather::<3>(state)))
                .collect(),
        }
    }

    /// Place, temperature (K) and gain of a junction whose loss grows by more than what leaves it.
    pub(crate) fn runaway_junction(&self, state: &[f64]) -> Option<(Node, f64, f64)> {
        let mut drives =
            self.spec.drives.iter().zip(&self.drives).filter(|(drive, _)| drive.junction.is_some());
        drives.find_map(|(drive, stencil)| {
            let point = DrivePiece(drive).point(stencil.gather::<7>(state))?.junction?;
            point.runs_away().then_some((drive.heats.inverter, point.hottest_k(), point.gain))
        })
    }
}

/// A drive at its lanes, and the power that it lacks, W.
fn read_drive(drive: &Drive, lanes: [f64; 7]) -> (DriveReading, f64) {
    let piece = DrivePiece(drive);
    let outputs = piece.evaluate(lanes);
    let [gear_power_w, bus_v, .., sensed_k, _] = lanes;
    let given_w = piece.shaft_power(gear_power_w, sensed_k);
    let drag_w = outputs[drive_output::DRAG];
    let rests = drive.share <= 0.0;
    let shaft_power_w = if rests { -drag_w } else { given_w };
    let short_current_a = piece.short_current_a(lanes);
    let point = piece.point(lanes);
    let mut heats_w = [0.0; 6];
    heats_w.copy_from_slice(&outputs[..drive_output::DEMAND]);
    let torque_nm = shaft_power_w / drive.speed_rad_s.max(1e-9);
    let asked_w = gear_power_w * drive.share;
    let reading = DriveReading {
        shaft_power_w,
        asked_w,
        derate: drive.derate.at(sensed_k),
        torque_nm,
        speed_rad_s: drive.speed_rad_s,
        phase_current_a: point
            .map_or(short_current_a.unwrap_or(0.0), |point| point.motor.phase_current_rms_a),
        heats_w,
        demand_w: outputs[drive_output::DEMAND],
        drag_w,
        short_current_a,
        motor_covered: rests || drive.motor.is_in_range(torque_nm, drive.speed_rad_s, bus_v),
        inverter_covered: point
            .is_none_or(|point| drive.inverter.is_in_range(point.bridge_state.phase_current_rms_a, bus_v)),
        point,
    };
    (reading, asked_w - given_w)
}
