//! Inverters: one bridge of a motor.

use super::figure::{
    Axis, Figure, LOSS, Line, MachineCurves, MachineKind, Value, different, efficiency, line, parts, reach,
    value,
};
use super::level;
use super::level::Level;
use crate::assembly::inverter_law;
use crate::result::DrivePoint;
use aircraft::records::powertrain::{InverterLosses, Motor};
use powertrain::inverter::{self as law, InverterHeat, InverterState};
use schema::{Input, Node, Problem, decode};
use units::Kind;

const CURRENT: Axis = Axis { name: "phase current", kind: Kind::Current };
const VOLTAGE: Axis = Axis { name: "bus voltage", kind: Kind::Voltage };
/// Device temperatures of the additional curves, K: 25 and 125 degC.
const DEVICES_K: [(f64, &str); 2] = [(298.15, "devices at 25 degC"), (398.15, "devices at 125 degC")];
const VOLTAGES: [f64; 2] = [0.8, 1.2];
const SAMPLED: usize = 6;
/// Carrier and share of the conduction where nothing is known. Common practice, no source.
const ASSUMED_CARRIER: &str = "16 kHz";
const ASSUMED_CONDUCTION: f64 = 0.5;

pub(super) fn machine(
    spec: &Motor,
    point: Option<&DrivePoint>,
    case: &str,
) -> Result<MachineCurves, Problem> {
    let path = format!("powertrain.motors.{}", spec.name.as_str());
    let inverter = inverter_law(spec, &path)?;
    let law = format!("{path}.inverter_losses");
    let mut machine = MachineCurves {
        name: spec.name.as_str().to_owned(),
        sort: MachineKind::Inverter,
        path: law.clone(),
        law,
        values: Vec::new(),
        figures: Vec::new(),
        levels: Vec::new(),
        note: String::new(),
    };
    let Some(point) = point else {
        "Its motor takes no share in this case.".clone_into(&mut machine.note);
        machine.levels = level::all(&spec.inverter_losses, |_| None, |_| None);
        return Ok(machine);
    };
    let bench = Bench { inverter: &inverter, spec, point };
    machine.values = bench.values();
    machine.figures = vec![bench.over_current(), bench.over_voltage()];
    machine.levels = bench.levels(case);
    if point.active_sets > 1 {
        machine.note = format!("The motor has {} of these bridges in use; this is one.", point.active_sets);
    }
    Ok(machine)
}

struct Bench<'a> {
    inverter: &'a law::Inverter,
    spec: &'a Motor,
    point: &'a DrivePoint,
}

impl Bench<'_> {
    fn heat(
        &self,
        inverter: &law::Inverter,
        change: impl FnOnce(&mut InverterState<f64>),
    ) -> InverterHeat<f64> {
        let mut state = self.point.bridge_state;
        change(&mut state);
        inverter.heat(&state)
    }

    fn values(&self) -> Vec<Value> {
        let (state, loss_w) = (&self.point.bridge_state, self.point.bridge.total());
        vec![
            value("loss", Kind::Power, loss_w),
            efficiency(law::output_power_w(state), loss_w),
            value("output power", Kind::Power, law::output_power_w(state)),
            value("phase current", Kind::Current, state.phase_current_rms_a),
            value("bus voltage", Kind::Voltage, state.bus_voltage_v),
            value("modulation index", Kind::Ratio, state.modulation_index),
            value("power factor", Kind::Ratio, state.power_factor),
            value("devices", Kind::Temperature, state.junction_k),
        ]
    }

    fn held(&self) -> Vec<Value> {
        let state = &self.point.bridge_state;
        vec![
            value("modulation index", Kind::Ratio, state.modulation_index),
            value("power factor", Kind::Ratio, state.power_factor),
            value("devices", Kind::Temperature, state.junction_k),
        ]
    }

    /// Currents and voltages of the measured table.
    fn measured(&self) -> (Vec<f64>, Vec<f64>) {
        match &self.spec.inverter_losses {
            InverterLosses::Map(map) => {
                (map.current.iter().map(Input::si).collect(), map.voltage.iter().map(Input::si).collect())
            }
            _ => (Vec::new(), Vec::new()),
        }
    }

    fn over_current(&self) -> Figure {
        let state = &self.point.bridge_state;
        let at = state.phase_current_rms_a;
        let (currents, _) = self.measured();
        let range = reach(at, currents.last().copied().unwrap_or(0.0));
        let curve =
            |name: &str, change: &dyn Fn(&mut InverterState<f64>), part: fn(&InverterHeat<f64>) -> f64| {
                let heat = |current: f64| {
                    self.heat(self.inverter, |s| {
                        s.phase_current_rms_a = current;
                        change(s);
                    })
                };
                line(name, range, at, |current| part(&heat(current)))
            };
        let all: fn(&InverterHeat<f64>) -> f64 = |heat| heat.total();
        let first = curve("all", &|_| (), all);
        let causes: Vec<Line> = parts(vec![
            curve("conduction", &|_| (), |heat| heat.conduction_w),
            curve("switching", &|_| (), |heat| heat.switching_w),
        ])
        .collect();
        let mut others = Vec::new();
        for factor in VOLTAGES {
            let volts = factor * state.bus_voltage_v;
            others.push(curve(&format!("bus at {volts:.0} V"), &|s| s.bus_voltage_v = volts, all));
        }
        for (kelvin, name) in DEVICES_K {
            others.push(curve(name, &|s| (s.junction_k, s.diode_k) = (kelvin, kelvin), all));
        }
        let others = different(&first, others);
        let measured = |current: f64| self.heat(self.inverter, |s| s.phase_current_rms_a = current).total();
        let mut held = self.held();
        held.insert(0, value("bus voltage", Kind::Voltage, state.bus_voltage_v));
        Figure {
            title: "Loss over phase current",
            x: CURRENT,
            y: LOSS,
            held,
            lines: std::iter::once(first).chain(causes).chain(others).collect(),
            span: currents.first().copied().zip(currents.last().copied()),
            measured: currents.into_iter().map(|current| (current, measured(current))).collect(),
            at: Some((at, self.point.bridge.total())),
        }
    }

    fn over_voltage(&self) -> Figure {
        let state = &self.point.bridge_state;
        let at = state.bus_voltage_v;
        let (_, volts) = self.measured();
        let loss = |volts: f64| self.heat(self.inverter, |s| s.bus_voltage_v = volts).total();
        let known = volts.first().copied().zip(volts.last().copied());
        let range = known.map_or((0.6 * at, 1.3 * at), |(low, high)| (low.min(0.6 * at), high.max(1.3 * at)));
        let mut held = self.held();
        held.insert(0, value("phase current", Kind::Current, state.phase_current_rms_a));
        Figure {
            title: "Loss over bus voltage",
            x: VOLTAGE,
            y: LOSS,
            held,
            lines: vec![line("all", range, at, loss)],
            measured: volts.into_iter().map(|volts| (volts, loss(volts))).collect(),
            span: known,
            at: Some((at, self.point.bridge.total())),
        }
    }

    fn levels(&self, case: &str) -> Vec<Level> {
        let judged = |node: &Node| {
            let inverter_losses = decode::<InverterLosses>(node).value?;
            let inverter = inverter_law(&Motor { inverter_losses, ..self.spec.clone() }, "").ok()?;
            Some(self.heat(&inverter, |_| ()).total())
        };
        level::all(&self.spec.inverter_losses, |name| self.filled(name, case), judged)
    }

    fn filled(&self, name: &str, case: &str) -> Option<Node> {
        let (state, loss_w) = (&self.point.bridge_state, self.point.bridge.total());
        let output_w = law::output_power_w(state).abs();
        let told = |si: f64, kind, unit| level::told(si, kind, unit, case);
        match name {
            "Fixed" => Some(Node::tuple(name, vec![told(loss_w, Kind::Power, "W")?])),
            "Efficiency" if output_w > 1.0 => {
                Some(Node::tuple(name, vec![told(output_w / (output_w + loss_w), Kind::Ratio, "")?]))
            }
            "Map" if state.phase_current_rms_a > 0.0 => self.sampled(name, case),
            "Devices" if state.phase_current_rms_a > 0.0 => self.devices(name, case),
            _ => None,
        }
    }

    fn sampled(&self, name: &str, case: &str) -> Option<Node> {
        let state = &self.point.bridge_state;
        let currents =
            level::spread(reach(state.phase_current_rms_a, 0.0).1, state.phase_current_rms_a, SAMPLED);
        let volts = [0.7, 0.85, 1.0, 1.15, 1.3].map(|factor| factor * state.bus_voltage_v);
        let losses: Vec<f64> = currents
            .iter()
            .flat_map(|&amperes| {
                volts.iter().map(move |&volts| {
                    let heat = self
                        .heat(self.inverter, |s| (s.phase_current_rms_a, s.bus_voltage_v) = (amperes, volts));
                    heat.total()
                })
            })
            .collect();
        Some(Node::record(
            name,
            vec![
                ("current", level::texts(&currents, Kind::Current, "A")?),
                ("voltage", level::texts(&volts, Kind::Voltage, "V")?),
                ("loss", level::table(&losses, Kind::Power, "W", case)?),
            ],
        ))
    }

    /// Power devices: conduction and switching as the law before parts them, else half and half.
    fn devices(&self, name: &str, case: &str) -> Option<Node> {
        let (state, heat) = (&self.point.bridge_state, &self.point.bridge);
        let known = heat.conduction_w + heat.switching_w;
        let share = if known > 0.0 { heat.conduction_w / known } else { ASSUMED_CONDUCTION };
        let (conduction_w, switching_w) = (share * heat.total(), (1.0 - share) * heat.total());
        let current_a = state.phase_current_rms_a;
        // a channel carries its phase all the time: 3 R I^2; each of six switches loses f E sqrt(2) I / (pi I_ref)
        let ohm = conduction_w / (3.0 * current_a * current_a);
        let carrier_hz = 16e3;
        let energy_j = switching_w * std::f64::consts::PI / (6.0 * carrier_hz * std::f64::consts::SQRT_2);
        let told = |si: f64, kind, unit| level::told(si, kind, unit, case);
        Some(Node::record(
            name,
            vec![
                ("resistance", told(ohm, Kind::Resistance, "mOhm")?),
                ("switching_energy", told(energy_j, Kind::Energy, "mJ")?),
                ("reference_current", told(current_a, Kind::Current, "A")?),
                ("reference_voltage", told(state.bus_voltage_v, Kind::Voltage, "V")?),
                ("carrier", Node::text(ASSUMED_CARRIER)),
                ("junction_at", told(state.junction_k, Kind::Temperature, "degC")?),
            ],
        ))
    }
}
