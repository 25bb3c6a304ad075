//! Motors.

use super::figure::{
    Axis, Figure, LOSS, Line, MachineCurves, MachineKind, SPEED, different, efficiency, line, parts, reach,
    value,
};
use super::level;
use super::level::Level;
use crate::assembly::motor_law;
use crate::result::DrivePoint;
use aircraft::records::powertrain::{Motor, MotorLosses};
use powertrain::motor::{self as law, GapAir, MotorHeat, MotorState};
use schema::{Input, Node, Problem, decode};
use units::Kind;

const TORQUE: Axis = Axis { name: "torque", kind: Kind::Torque };
/// Speed, rad/s, and torque, N m, that a curve reaches at least where nothing else is known.
const MIN_REACH: (f64, f64) = (100.0, 10.0);
/// Winding temperatures of the additional curves, K: 20 and 140 degC.
const WINDINGS_K: [(f64, &str); 2] = [(293.15, "winding at 20 degC"), (413.15, "winding at 140 degC")];
/// Bus voltages of the additional curves over that of the case.
const VOLTAGES: [f64; 2] = [0.8, 1.2];
/// Rows and columns of a table that is filled from another law.
const SAMPLED: usize = 7;

pub(super) fn machine(
    spec: &Motor,
    point: Option<&DrivePoint>,
    case: &str,
) -> Result<MachineCurves, Problem> {
    let path = format!("powertrain.motors.{}", spec.name.as_str());
    let motor = motor_law(spec, &path)?;
    let mut machine = MachineCurves {
        name: spec.name.as_str().to_owned(),
        sort: MachineKind::Motor,
        law: format!("{path}.losses"),
        path,
        values: Vec::new(),
        figures: Vec::new(),
        levels: Vec::new(),
        note: String::new(),
    };
    let Some(point) = point else {
        "It takes no share in this case.".clone_into(&mut machine.note);
        machine.levels = level::all::<MotorLosses>(&spec.losses, |_| None, |_| None);
        return Ok(machine);
    };
    let bench = Bench { motor: &motor, spec, point };
    machine.values = bench.values();
    machine.figures = vec![bench.over_speed(), bench.over_torque()];
    machine.levels = bench.levels(case);
    Ok(machine)
}

/// A motor held at the point of a case.
struct Bench<'a> {
    motor: &'a law::Motor,
    spec: &'a Motor,
    point: &'a DrivePoint,
}

impl Bench<'_> {
    fn heat(&self, motor: &law::Motor, change: impl FnOnce(&mut MotorState<f64>)) -> MotorHeat<f64> {
        let mut state = self.point.motor_state;
        change(&mut state);
        motor.heat_in_air(&state, &GapAir { windage_w: 0.0, density_ratio: self.point.air_density_ratio })
    }

    fn values(&self) -> Vec<super::Value> {
        let (state, heat) = (&self.point.motor_state, &self.point.motor);
        let shaft_w = state.torque_nm * state.speed_rad_s;
        vec![
            value("loss", Kind::Power, heat.total()),
            efficiency(shaft_w, heat.total()),
            value("shaft power", Kind::Power, shaft_w),
            value("torque", Kind::Torque, state.torque_nm),
            value("speed", Kind::RotationalSpeed, state.speed_rad_s),
            value("bus voltage", Kind::Voltage, state.bus_voltage_v),
            value("winding", Kind::Temperature, state.winding_k),
            value("magnets", Kind::Temperature, state.magnet_k),
            value("phase current", Kind::Current, heat.phase_current_rms_a),
        ]
    }

    /// Greatest speed, rad/s, and torque, N m, that the project knows of.
    fn known(&self) -> (f64, f64) {
        let last = |si: Option<f64>| si.unwrap_or(0.0);
        let mut known = match &self.spec.losses {
            MotorLosses::Map(map) => {
                (last(map.speed.last().map(Input::si)), last(map.torque.last().map(Input::si)))
            }
            MotorLosses::Maps(maps) => maps.tables.iter().fold((0.0, 0.0), |known: (f64, f64), table| {
                let speed = last(table.speed.last().map(Input::si));
                let torque = last(table.torque.last().map(Input::si));
                (known.0.max(speed), known.1.max(torque))
            }),
            MotorLosses::Machine(machine) => (machine.reference_speed.si(), 0.0),
            _ => MIN_REACH,
        };
        for rating in &self.spec.ratings {
            known.0 = known.0.max(rating.speed.as_ref().map_or(0.0, Input::si));
            known.1 = known.1.max(rating.torque.as_ref().map_or(0.0, Input::si));
            let speed = self.point.motor_state.speed_rad_s;
            if speed > 1.0 {
                known.1 = known.1.max(rating.power.si() / speed);
            }
        }
        known
    }

    fn over_speed(&self) -> Figure {
        let state = &self.point.motor_state;
        let (at, range) = (state.speed_rad_s, reach(state.speed_rad_s, self.known().0));
        let curve = |name: &str, part: fn(&MotorHeat<f64>) -> f64| {
            line(name, range, at, |speed| part(&self.heat(self.motor, |s| s.speed_rad_s = speed)))
        };
        let mut lines = vec![curve("all", |heat| heat.total())];
        lines.extend(parts(vec![
            curve("copper", |heat| heat.copper_w),
            curve("iron", |heat| heat.iron_w),
            curve("magnets and bearings", |heat| heat.magnet_w),
            curve("windage", |heat| heat.windage_w),
        ]));
        let measured = |speed: f64| self.heat(self.motor, |s| s.speed_rad_s = speed).total();
        let (speeds, _) = self.measured();
        Figure {
            title: "Loss over speed",
            x: SPEED,
            y: LOSS,
            held: vec![
                value("torque", Kind::Torque, state.torque_nm),
                value("bus voltage", Kind::Voltage, state.bus_voltage_v),
                value("winding", Kind::Temperature, state.winding_k),
                value("magnets", Kind::Temperature, state.magnet_k),
            ],
            lines,
            span: ends(&speeds),
            measured: speeds.into_iter().map(|speed| (speed, measured(speed))).collect(),
            at: Some((at, self.point.motor.total())),
        }
    }

    fn over_torque(&self) -> Figure {
        let state = &self.point.motor_state;
        let (at, range) = (state.torque_nm, reach(state.torque_nm, self.known().1));
        let curve = |name: &str, change: &dyn Fn(&mut MotorState<f64>)| -> Line {
            let loss = |torque: f64| {
                let heat = self.heat(self.motor, |s| {
                    s.torque_nm = torque;
                    change(s);
                });
                heat.total()
            };
            line(name, range, at, loss)
        };
        let first = curve("as in the case", &|_| ());
        let mut others = Vec::new();
        for factor in VOLTAGES {
            let volts = factor * state.bus_voltage_v;
            others.push(curve(&format!("bus at {volts:.0} V"), &|s| s.bus_voltage_v = volts));
        }
        for (kelvin, name) in WINDINGS_K {
            others.push(curve(name, &|s| s.winding_k = kelvin));
        }
        let others = different(&first, others);
        let measured = |torque: f64| self.heat(self.motor, |s| s.torque_nm = torque).total();
        let (_, torques) = self.measured();
        Figure {
            title: "Loss over torque",
            x: TORQUE,
            y: LOSS,
            held: vec![
                value("speed", Kind::RotationalSpeed, state.speed_rad_s),
                value("bus voltage", Kind::Voltage, state.bus_voltage_v),
                value("winding", Kind::Temperature, state.winding_k),
                value("magnets", Kind::Temperature, state.magnet_k),
            ],
            lines: std::iter::once(first).chain(others).collect(),
            span: ends(&torques),
            measured: torques.into_iter().map(|torque| (torque, measured(torque))).collect(),
            at: Some((at, self.point.motor.total())),
        }
    }

    /// Speeds, rad/s, and torques, N m, of the measured table that holds at the voltage of the case.
    fn measured(&self) -> (Vec<f64>, Vec<f64>) {
        let si = |speed: &[Input<_>], torque: &[Input<_>]| {
            (speed.iter().map(Input::si).collect(), torque.iter().map(Input::si).collect())
        };
        match &self.spec.losses {
            MotorLosses::Map(map) => si(&map.speed, &map.torque),
            MotorLosses::Maps(maps) => {
                let volts = self.point.motor_state.bus_voltage_v;
                let below = maps.tables.iter().rev().find(|table| table.voltage.si() <= volts);
                below.or(maps.tables.first()).map_or_else(Default::default, |t| si(&t.speed, &t.torque))
            }
            _ => (Vec::new(), Vec::new()),
        }
    }

    fn levels(&self, case: &str) -> Vec<Level> {
        let judged = |node: &Node| {
            let losses = decode::<MotorLosses>(node).value?;
            let motor = motor_law(&Motor { losses, ..self.spec.clone() }, "").ok()?;
            Some(self.heat(&motor, |_| ()).total())
        };
        level::all(&self.spec.losses, |name| self.filled(name, case), judged)
    }

    /// The law at another level, so that it gives what the law of the project gives at the case, as far as it can.
    fn filled(&self, name: &str, case: &str) -> Option<Node> {
        let (state, heat) = (&self.point.motor_state, &self.point.motor);
        let told = |si: f64, kind, unit| level::told(si, kind, unit, case);
        let watts = |si: f64| told(si, Kind::Power, "W");
        // what one set takes less or more when another is out is the business of the law
        let sets = Node::count(usize::from(self.motor.winding_sets()));
        let crowding = f64::from(self.motor.winding_sets()) / f64::from(self.point.active_sets.max(1));
        let copper_w = heat.copper_w / crowding;
        let total_w = copper_w + heat.iron_w + heat.magnet_w + heat.windage_w;
        let shaft_w = (state.torque_nm * state.speed_rad_s).abs();
        let split = || level::split(&[copper_w, heat.iron_w, heat.magnet_w, heat.windage_w]);
        match name {
            "Fixed" => Some(Node::record(
                name,
                vec![
                    ("copper", watts(copper_w)?),
                    ("iron", watts(heat.iron_w)?),
                    ("magnet", watts(heat.magnet_w)?),
                    ("windage", watts(heat.windage_w)?),
                    ("winding_sets", sets),
                ],
            )),
            "Efficiency" if shaft_w > 1.0 => Some(Node::record(
                name,
                vec![
                    ("efficiency", level::told(shaft_w / (shaft_w + total_w), Kind::Ratio, "", case)?),
                    ("split", split()),
                    ("winding_sets", sets),
                ],
            )),
            "Map" if shaft_w > 1.0 => self.sampled(name, case, split(), sets),
            "Machine" if shaft_w > 1.0 && heat.phase_current_rms_a > 1e-3 => {
                let active = f64::from(self.point.active_sets.max(1));
                let current_a = heat.phase_current_rms_a;
                let phase_ohm = heat.copper_w / (3.0 * active * current_a * current_a);
                let constant = state.torque_nm.abs() / (active * current_a);
                Some(Node::record(
                    name,
                    vec![
                        ("phase_resistance", told(phase_ohm, Kind::Resistance, "mOhm")?),
                        ("resistance_at", told(state.winding_k, Kind::Temperature, "degC")?),
                        ("torque_constant", told(constant, Kind::TorqueConstant, "N m/A")?),
                        ("magnet_at", told(state.magnet_k, Kind::Temperature, "degC")?),
                        ("pole_pairs", Node::count(ASSUMED_POLE_PAIRS)),
                        ("winding_sets", sets),
                        ("iron_loss", watts(heat.iron_w)?),
                        ("magnet_loss", watts(heat.magnet_w)?),
                        ("windage", watts(heat.windage_w)?),
                        ("reference_speed", told(state.speed_rad_s, Kind::RotationalSpeed, "rpm")?),
                    ],
                ))
            }
            _ => None,
        }
    }

    /// A table read off the law of the project.
    fn sampled(&self, name: &str, case: &str, split: Node, sets: Node) -> Option<Node> {
        let state = &self.point.motor_state;
        let known = self.known();
        let torques = level::spread(reach(state.torque_nm, known.1).1, state.torque_nm.abs(), SAMPLED);
        let speeds = level::spread(reach(state.speed_rad_s, known.0).1, state.speed_rad_s, SAMPLED);
        let crowding = f64::from(self.motor.winding_sets()) / f64::from(self.point.active_sets.max(1));
        let loss = |torque: f64, speed: f64| {
            let heat = self.heat(self.motor, |s| (s.torque_nm, s.speed_rad_s) = (torque, speed));
            heat.total() - heat.copper_w * (1.0 - 1.0 / crowding)
        };
        let losses: Vec<f64> =
            torques.iter().flat_map(|&torque| speeds.iter().map(move |&speed| loss(torque, speed))).collect();
        Some(Node::record(
            name,
            vec![
                ("torque", level::texts(&torques, Kind::Torque, "N m")?),
                ("speed", level::texts(&speeds, Kind::RotationalSpeed, "rpm")?),
                ("loss", level::table(&losses, Kind::Power, "W", case)?),
                ("split", split),
                ("winding_at", level::told(state.winding_k, Kind::Temperature, "degC", case)?),
                ("winding_sets", sets),
            ],
        ))
    }
}

/// Pole pairs where none are known; they do not change the loss at the case. Common practice, no source.
const ASSUMED_POLE_PAIRS: usize = 8;

fn ends(values: &[f64]) -> Option<(f64, f64)> {
    Some((*values.first()?, *values.last()?))
}
