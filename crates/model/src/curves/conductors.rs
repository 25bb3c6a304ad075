//! Cables, conductors and converters.

use super::figure::{
    Axis, Figure, LOSS, MachineCurves, MachineKind, different, efficiency, line, reach, value,
};
use super::level;
use crate::assembly::{conductor_law, converter_law};
use crate::result::{ConductorReading, ConverterReading, DrivePoint};
use aircraft::records::power_path::{ConductorResistance, Converter, ConverterLosses};
use aircraft::records::powertrain::Motor;
use powertrain::conductor::COPPER;
use schema::{Node, Problem, decode};
use units::Kind;

const CURRENT: Axis = Axis { name: "current", kind: Kind::Current };
const OUTPUT: Axis = Axis { name: "output power", kind: Kind::Power };
/// Temperatures of the additional curves, K: 20 and 90 degC.
const CONDUCTORS_K: [(f64, &str); 2] = [(293.15, "at 20 degC"), (363.15, "at 90 degC")];
/// Length of a conductor whose dimensions are not known, m. A placeholder.
const ASSUMED_LENGTH_M: f64 = 2.0;
const SAMPLED: usize = 7;

/// The cable of a motor.
pub(super) fn cable(spec: &Motor, point: Option<&DrivePoint>, case: &str) -> Result<MachineCurves, Problem> {
    let path = format!("powertrain.motors.{}.cable", spec.name.as_str());
    let mut machine = conductor(
        spec.name.as_str(),
        MachineKind::Cable,
        (path.clone(), path),
        &spec.cable,
        point.map(|point| &point.cable),
        case,
    )?;
    if point.is_none() {
        "Its motor takes no share in this case.".clone_into(&mut machine.note);
    }
    Ok(machine)
}

/// A conductor of this name; `paths` lead to its record and to its resistance.
pub(super) fn conductor(
    name: &str,
    sort: MachineKind,
    (path, law): (String, String),
    spec: &ConductorResistance,
    state: Option<&ConductorReading>,
    case: &str,
) -> Result<MachineCurves, Problem> {
    let resistor = conductor_law(spec, &law)?;
    let mut machine = MachineCurves {
        name: name.to_owned(),
        sort,
        path,
        law,
        values: Vec::new(),
        figures: Vec::new(),
        levels: level::all(spec, |_| None, |_| None),
        note: String::new(),
    };
    let Some(state) = state else { return Ok(machine) };
    machine.values = vec![
        value("loss", Kind::Power, state.heat_w),
        value("current", Kind::Current, state.current_a),
        value("resistance", Kind::Resistance, state.resistance_ohm),
        value("temperature", Kind::Temperature, state.temperature_k),
    ];
    let at = state.current_a.abs();
    let range = reach(at, 0.0);
    let first = line("as in the case", range, at, |amperes| resistor.heat_w(amperes, state.temperature_k));
    let others =
        CONDUCTORS_K.map(|(kelvin, name)| line(name, range, at, |amperes| resistor.heat_w(amperes, kelvin)));
    let others = different(&first, others.into());
    machine.figures = vec![Figure {
        title: "Loss over current",
        x: CURRENT,
        y: LOSS,
        held: vec![value("temperature", Kind::Temperature, state.temperature_k)],
        lines: std::iter::once(first).chain(others).collect(),
        measured: Vec::new(),
        span: None,
        at: Some((at, state.heat_w)),
    }];
    let judged = |node: &Node| {
        let law = decode::<ConductorResistance>(node).value?;
        Some(conductor_law(&law, "").ok()?.heat_w(state.current_a, state.temperature_k))
    };
    machine.levels = level::all(spec, |name| filled(name, state, case), judged);
    Ok(machine)
}

fn filled(name: &str, state: &ConductorReading, case: &str) -> Option<Node> {
    let told = |si: f64, kind, unit| level::told(si, kind, unit, case);
    let ohm = state.resistance_ohm;
    match name {
        "Fixed" => Some(Node::tuple(name, vec![told(ohm, Kind::Resistance, "mOhm")?])),
        "Measured" => Some(Node::record(
            name,
            vec![
                ("resistance", told(ohm, Kind::Resistance, "mOhm")?),
                ("at", told(state.temperature_k, Kind::Temperature, "degC")?),
            ],
        )),
        "Dimensions" if ohm > 0.0 => {
            let area_m2 = ASSUMED_LENGTH_M * COPPER.resistivity_ohm_m(state.temperature_k) / ohm;
            Some(Node::record(
                name,
                vec![
                    ("length", Node::text(format!("{ASSUMED_LENGTH_M} m"))),
                    ("area", told(area_m2, Kind::Area, "mm2")?),
                ],
            ))
        }
        _ => None,
    }
}

/// A converter.
pub(super) fn converter(
    spec: &Converter,
    state: &ConverterReading,
    case: &str,
) -> Result<MachineCurves, Problem> {
    let path = format!("powertrain.converters.{}", spec.name.as_str());
    let losses = format!("{path}.losses");
    let law = converter_law(spec, &losses)?;
    let at = state.output_w;
    let points = match &spec.losses {
        ConverterLosses::Table(points) => points.si(),
        _ => Vec::new(),
    };
    let known = spec.rating.as_ref().map_or(0.0, |rating| rating.si());
    let known = points.last().map_or(known, |point| known.max(point.0));
    let is_off = state.heat_w == 0.0 && law.heat_w(at) > 0.0;
    let judged = |node: &Node| {
        let losses = decode::<ConverterLosses>(node).value?;
        Some(converter_law(&Converter { losses, ..spec.clone() }, "").ok()?.heat_w(at))
    };
    let fill = |name: &str| {
        let told = |si: f64, kind, unit| level::told(si, kind, unit, case);
        let loss_w = law.heat_w(at);
        match name {
            "Fixed" => Some(Node::tuple(name, vec![told(loss_w, Kind::Power, "W")?])),
            "Efficiency" if at > 1.0 => Some(Node::record(
                name,
                vec![
                    ("efficiency", told(at / (at + loss_w), Kind::Ratio, "")?),
                    ("standing", Node::text("0 W")),
                ],
            )),
            "Table" => {
                let outputs = level::spread(reach(at, known).1, at, SAMPLED);
                let losses: Vec<f64> = outputs.iter().map(|&output| law.heat_w(output)).collect();
                let pair = |(output, loss): (&f64, &f64)| {
                    let output = told(*output, Kind::Power, "W")?;
                    Some(Node::tuple("", vec![output, told(*loss, Kind::Power, "W")?]))
                };
                let pairs: Option<Vec<Node>> = outputs.iter().zip(&losses).map(pair).collect();
                Some(Node::tuple(name, vec![Node::list(pairs?)]))
            }
            _ => None,
        }
    };
    Ok(MachineCurves {
        name: spec.name.as_str().to_owned(),
        sort: MachineKind::Converter,
        levels: level::all(&spec.losses, fill, judged),
        values: vec![
            value("loss", Kind::Power, state.heat_w),
            efficiency(at, state.heat_w),
            value("output power", Kind::Power, at),
            value("input power", Kind::Power, state.input_w),
        ],
        figures: vec![Figure {
            title: "Loss over output power",
            x: OUTPUT,
            y: LOSS,
            held: Vec::new(),
            lines: vec![line("all", reach(at, known), at, |output| law.heat_w(output))],
            span: points.first().map(|first| first.0).zip(points.last().map(|last| last.0)),
            measured: points,
            at: (!is_off).then_some((at, state.heat_w)),
        }],
        note: if is_off { "It is off in this case.".to_owned() } else { String::new() },
        path,
        law: losses,
    })
}
