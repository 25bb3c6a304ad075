//! The inputs of a project as levers: how far each is moved, and which cases it can affect.

use aircraft::records::project::Project;
use aircraft::records::relations::published_scatter;
use aircraft::records::surroundings::Day;
use aircraft::variant::project_shape;
use model::assembly::Situation;
use schema::{Evidence, Node, list_inputs};
use units::{Kind, Quantity};

/// Step over the size of a value for the first look.
const SMALL: f64 = 1e-5;
/// Step of a temperature or a temperature difference for the first look, K.
const SMALL_K: f64 = 1e-3;

/// By what step a lever is shown and ranked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// 1 % of the value.
    Percent,
    /// 1 K: a percentage of a temperature says nothing, one of a temperature difference little.
    Kelvin,
    /// 1 kPa of a gauge pressure.
    Kilopascal,
    /// One more.
    One,
}

/// Where a tolerance comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TolerancePedigree {
    /// Stated with the input.
    Stated,
    /// Published scatter of a family of relations (two standard deviations).
    Published,
}

/// A number of the project that may move a margin.
#[derive(Clone, Debug, PartialEq)]
pub struct LeverInput {
    /// Its place in the count of all numbers of the project.
    pub index: usize,
    /// Path.
    pub path: String,
    /// Kind.
    pub kind: Kind,
    /// As typed.
    pub text: String,
    /// Value in SI.
    pub si: f64,
    /// Size of the unit as typed, SI.
    pub unit_si: f64,
    /// Half-width of its tolerance in SI; none if none is stated or published.
    pub tolerance_si: Option<f64>,
    /// Where the tolerance comes from.
    pub tolerance_from: Option<TolerancePedigree>,
    /// What the number rests on.
    pub evidence: Evidence,
    /// False for a default that the file does not state.
    pub stated: bool,
    /// How it is shown and ranked.
    pub measure: Measure,
    /// What it is.
    pub doc: &'static str,
}

impl LeverInput {
    /// Whether only whole numbers make sense.
    pub fn is_count(&self) -> bool {
        self.measure == Measure::One
    }

    /// One percent of the value in SI; none where the zero of the kind is a convention.
    pub fn percent_si(&self) -> Option<f64> {
        let has_zero = !matches!(self.kind, Kind::Temperature | Kind::GaugePressure);
        has_zero.then_some(0.01 * self.si.abs())
    }

    /// The step that levers are ranked by, in SI.
    pub fn step_si(&self) -> f64 {
        match self.measure {
            Measure::Percent => 0.01 * self.si.abs(),
            Measure::Kelvin | Measure::One => 1.0,
            Measure::Kilopascal => 1000.0,
        }
    }

    /// Whether it has a step: an input of zero without tolerance has no percent of itself, and is left out.
    pub(crate) fn can_be_ranked(&self) -> bool {
        self.step_si() > 0.0 || self.tolerance_si.is_some()
    }

    /// The step that levers are ranked by, in words.
    pub fn step_words(&self) -> &'static str {
        match self.measure {
            Measure::Percent => "+1 %",
            Measure::Kelvin => "+1 K",
            Measure::Kilopascal => "+1 kPa",
            Measure::One => "+1",
        }
    }

    /// The step of the first look: so small that what is left out (of second order) is below rounding of any shown digit.
    pub(crate) fn small_step_si(&self) -> f64 {
        match self.measure {
            Measure::Kelvin => SMALL_K,
            Measure::One | Measure::Kilopascal => 1.0,
            Measure::Percent if self.si == 0.0 => SMALL * self.unit_si,
            Measure::Percent => SMALL * self.si.abs(),
        }
    }
}

/// Every number of the project that a steady case or a mission may depend on, in order. `node` is what `project` was decoded from.
pub(crate) fn list(node: &Node, project: &Project) -> Vec<LeverInput> {
    let entries = list_inputs(node, project_shape());
    debug_assert_eq!(entries.len(), schema::numbers_si(&mut project.clone()).len(), "both count alike");
    let all = entries.into_iter().enumerate().map(|(index, entry)| {
        let path = entry.path.to_string();
        let scatter = published_scatter(&path).filter(|_| entry.tolerance_si.is_none());
        let tolerance_from = match (entry.tolerance_si, scatter) {
            (Some(_), _) => Some(TolerancePedigree::Stated),
            (None, Some(_)) => Some(TolerancePedigree::Published),
            (None, None) => None,
        };
        let measure = match entry.kind {
            _ if entry.whole => Measure::One,
            Kind::Temperature | Kind::TemperatureDifference => Measure::Kelvin,
            Kind::GaugePressure => Measure::Kilopascal,
            _ => Measure::Percent,
        };
        LeverInput {
            index,
            path,
            kind: entry.kind,
            unit_si: unit_si(&entry.text, entry.kind),
            text: entry.text,
            si: entry.si,
            tolerance_si: entry.tolerance_si.or(scatter.map(|s| s.half_width_at(entry.si))),
            tolerance_from,
            evidence: entry.evidence,
            stated: entry.stated,
            measure,
            doc: entry.doc,
        }
    });
    all.filter(|input| !NEVER.contains(&top(&input.path)) && !repeats_the_day(project, input)).collect()
}

/// An unstated offset of a day that states a temperature of its own: the same lever twice.
fn repeats_the_day(project: &Project, input: &LeverInput) -> bool {
    let is_offset = top(&input.path) == "conditions" && input.path.ends_with(".offset") && !input.stated;
    let mut own = project.conditions.iter().filter(|c| c.name.as_str() == second(&input.path));
    is_offset && own.any(|c| matches!(c.day, Day::Fixed(_) | Day::Offset(_)))
}

/// Size of the unit of a quantity.
fn unit_si(text: &str, kind: Kind) -> f64 {
    let size = Quantity::parse(text, kind).ok().and_then(|now| {
        let [zero, one] = ["0", "1"].map(|n| Quantity::parse(&format!("{n} {}", now.unit()), kind));
        Some(one.ok()?.si() - zero.ok()?.si())
    });
    size.filter(|size| *size > 0.0).unwrap_or(1.0)
}

/// Parts of a project that no margin of a case depends on.
const NEVER: [&str; 6] = ["format", "version", "variants", "cases", "sensors", "turnarounds"];

fn top(path: &str) -> &str {
    path.split('.').next().unwrap_or_default()
}

fn second(path: &str) -> &str {
    path.split('.').nth(1).unwrap_or_default()
}

/// Which inputs a case can depend on, by where they stand.
pub(crate) struct Affects<'a> {
    condition: &'a str,
    point: &'a str,
    with_failure: bool,
}

impl<'a> Affects<'a> {
    pub(crate) fn of(case: &Situation<'a>) -> Self {
        Self {
            condition: case.condition.name.as_str(),
            point: case.point.name.as_str(),
            with_failure: case.failure.is_some(),
        }
    }

    /// Of conditions and points only the own ones; of missions and what belongs to them none.
    pub(crate) fn covers(&self, input: &LeverInput) -> bool {
        match top(&input.path) {
            "conditions" => second(&input.path) == self.condition,
            "points" => second(&input.path) == self.point,
            "failures" => self.with_failure,
            "missions" | "chains" | "craft" => false,
            _ => true,
        }
    }
}
