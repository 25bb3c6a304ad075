//! Figures, lines and values: what the curves of every machine are made of.

use super::level::Level;
use units::Kind;

/// Points of each curve.
pub(super) const POINTS: usize = 61;

/// What is laid off along one side of a figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// Its name.
    pub name: &'static str,
    /// Its kind; values are in the SI unit of it.
    pub kind: Kind,
}

/// A number that belongs to a figure or machine, in SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Value {
    /// What it is.
    pub name: &'static str,
    /// Its kind.
    pub kind: Kind,
    /// The number in the SI unit of the kind.
    pub si: f64,
}

impl Axis {
    /// The usual unit of its kind.
    pub fn unit(&self) -> &'static str {
        usual_unit(self.kind)
    }

    /// From values in SI to the usual unit.
    pub fn usual(&self) -> impl Fn(f64) -> f64 + use<> {
        let convert = units::converter(self.kind, self.unit());
        move |si| convert.as_ref().map_or(si, |convert| convert(si))
    }
}

impl Value {
    /// In the usual unit of its kind, with four digits; a dash where there is no number.
    pub fn text(&self) -> String {
        let unit = usual_unit(self.kind);
        let value = units::to_unit(self.si, self.kind, unit).unwrap_or(self.si);
        if !value.is_finite() {
            return "-".to_owned();
        }
        if value == 0.0 {
            return format!("0 {unit}").trim_end().to_owned();
        }
        let decimals = (3.0 - value.abs().max(1e-3).log10().floor()).clamp(0.0, 6.0) as usize;
        format!("{value:.decimals$} {unit}").trim_end().to_owned()
    }
}

pub(super) fn usual_unit(kind: Kind) -> &'static str {
    units::preferred_unit(kind, units::System::Si)
}

/// One curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it is.
    pub name: String,
    /// Abscissa and value, abscissas rising.
    pub points: Vec<(f64, f64)>,
}

/// Curves on common axes.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it shows; unlike that of any other figure of the machine.
    pub title: &'static str,
    /// Abscissa.
    pub x: Axis,
    /// Value.
    pub y: Axis,
    /// What is held while the abscissa changes.
    pub held: Vec<Value>,
    /// The curves, the one of the case first.
    pub lines: Vec<Line>,
    /// Points as measured; empty where nothing was measured along this abscissa.
    pub measured: Vec<(f64, f64)>,
    /// Abscissas between which the law was measured; outside it is held. None for a law without such a range.
    pub span: Option<(f64, f64)>,
    /// Working point of the case.
    pub at: Option<(f64, f64)>,
}

/// What sort of thing a machine is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MachineKind {
    /// Motor.
    Motor,
    /// Inverter of a motor.
    Inverter,
    /// Cable of a motor.
    Cable,
    /// Gearbox.
    Gearbox,
    /// Stage behind it: belt, rotor gearbox, tail drive.
    Stage,
    /// Converter.
    Converter,
    /// Bus bar, contactor, fuse or main cable.
    Conductor,
    /// Pack.
    Pack,
}

impl MachineKind {
    /// Its name in the trade.
    pub fn word(self) -> &'static str {
        match self {
            Self::Motor => "motor",
            Self::Inverter => "inverter",
            Self::Cable => "cable",
            Self::Gearbox => "gearbox",
            Self::Stage => "stage",
            Self::Converter => "converter",
            Self::Conductor => "conductor",
            Self::Pack => "pack",
        }
    }
}

/// A machine with its curves.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineCurves {
    /// Name that its owner gave it, or that of the motor it belongs to.
    pub name: String,
    /// What it is.
    pub sort: MachineKind,
    /// Address of its record in the project.
    pub path: String,
    /// Address of its loss law; empty for a pack.
    pub law: String,
    /// The numbers of the case.
    pub values: Vec<Value>,
    /// Its curves; empty if it does not work in the case.
    pub figures: Vec<Figure>,
    /// The levels at which its loss can be given.
    pub levels: Vec<Level>,
    /// What is to be known, such as that it does not work in this case.
    pub note: String,
}

/// A curve over evenly spaced abscissas, with the abscissa of the case among them.
pub(super) fn line(
    name: impl Into<String>,
    (from, to): (f64, f64),
    at: f64,
    law: impl Fn(f64) -> f64,
) -> Line {
    let step = (to - from) / (POINTS - 1) as f64;
    let mut xs: Vec<f64> = (0..POINTS).map(|index| from + step * index as f64).collect();
    if (from..=to).contains(&at) {
        xs.push(at);
    }
    xs.sort_by(f64::total_cmp);
    xs.dedup();
    Line { name: name.into(), points: xs.into_iter().map(|x| (x, law(x))).collect() }
}

/// From zero to beyond the case and beyond what is known; never empty.
pub(super) fn reach(at: f64, known: f64) -> (f64, f64) {
    let end = (1.3 * at.abs()).max(known);
    (0.0, if end.is_finite() && end > 0.0 { end } else { 1.0 })
}

/// Curves of parts of a loss, without those that are nothing everywhere.
pub(super) fn parts(lines: Vec<Line>) -> impl Iterator<Item = Line> {
    lines.into_iter().filter(|line| line.points.iter().any(|point| point.1.abs() > 1e-9))
}

/// Curves that differ from the first one by more than the eye can see.
pub(super) fn different(first: &Line, lines: Vec<Line>) -> Vec<Line> {
    let most = first.points.iter().map(|point| point.1.abs()).fold(0.0, f64::max);
    let differs = |line: &Line| {
        line.points.iter().zip(&first.points).any(|(a, b)| (a.1 - b.1).abs() > 2e-3 * most.max(1e-12))
    };
    lines.into_iter().filter(differs).collect()
}

pub(super) const LOSS: Axis = Axis { name: "loss", kind: Kind::Power };

pub(super) const SPEED: Axis = Axis { name: "speed", kind: Kind::RotationalSpeed };

pub(super) fn value(name: &'static str, kind: Kind, si: f64) -> Value {
    Value { name, kind, si }
}

/// Part of a power that is left; no number where there is no power.
pub(super) fn efficiency(output_w: f64, loss_w: f64) -> Value {
    let input_w = output_w.abs() + loss_w;
    value("efficiency", Kind::Ratio, if output_w.abs() > 1.0 { output_w.abs() / input_w } else { f64::NAN })
}
