//! Filling a law from another one, so that both give the same at the case.

use super::law::Law;
use crate::assembly::CircuitPart;
use crate::result::StationResult;
use aircraft::records::core::Core;
use aircraft::records::project::Project;
use schema::Node;
use solver::Fluid;
use units::Kind;

/// Points of a table that is filled from another law.
pub(super) const SAMPLED: usize = 6;

/// How far a filled table reaches beyond the flow of the case.
pub(super) const BEYOND: f64 = 1.6;

/// Flows below this, m3/s, say nothing about a law.
const MIN_FLOW_M3_S: f64 = 1e-9;

/// A flow through a device at a case.
pub(super) struct At<'a> {
    pub(super) project: &'a Project,
    pub(super) case: &'a str,
    pub(super) fluid: Fluid,
    /// Name of the liquid; none for air.
    pub(super) liquid: Option<&'a str>,
    pub(super) station: &'a StationResult,
    pub(super) mass_flow_kg_s: f64,
    pub(super) flow_m3_s: f64,
    pub(super) mean_k: f64,
}

pub(super) fn side<'a>(
    project: &'a Project,
    case: &'a str,
    parts: &[CircuitPart],
    states: &'a [crate::result::CircuitResult],
    device: &str,
) -> Option<At<'a>> {
    parts.iter().zip(states).find_map(|(part, state)| {
        let station = state.stations.iter().find(|station| station.name == device)?;
        let mean_k = 0.5 * (station.temperature_in_k + station.temperature_out_k);
        let mass_flow_kg_s = station.mass_flow_kg_s.abs();
        let flow_m3_s = mass_flow_kg_s / part.fluid.density(mean_k);
        let circuit = project.loops.iter().find(|circuit| circuit.name.as_str() == part.name);
        let liquid = circuit.filter(|_| matches!(part.fluid, Fluid::Liquid(_))).map(|it| it.fluid.as_str());
        let fluid = part.fluid.clone();
        Some(At { project, case, fluid, liquid, station, mass_flow_kg_s, flow_m3_s, mean_k })
    })
}

impl At<'_> {
    /// Whether something flows, so that a law can be told from its value here.
    pub(super) fn flows(&self) -> bool {
        self.flow_m3_s > MIN_FLOW_M3_S
    }

    pub(super) fn is_liquid(&self) -> bool {
        matches!(self.fluid, Fluid::Liquid(_))
    }

    /// Unit that flows are told in.
    pub(super) fn flow_unit(&self) -> &'static str {
        if self.is_liquid() { "L/min" } else { "m3/s" }
    }

    /// Mass flow, kg/s, of a volume flow at the temperature of the case.
    pub(super) fn mass_of(&self, flow_m3_s: f64) -> f64 {
        flow_m3_s * self.fluid.density(self.mean_k)
    }

    pub(super) fn told(&self, si: f64, kind: Kind, unit: &str) -> Option<Node> {
        crate::curves::level::told(si, kind, unit, self.case)
    }

    pub(super) fn flow_node(&self, flow_m3_s: f64) -> Option<Node> {
        self.told(flow_m3_s, Kind::VolumeFlow, self.flow_unit())
    }

    /// What a law that is filled here was measured with: the air of the case by density and temperature, or the liquid of the case with
    /// the passages it goes through where these are known.
    pub(super) fn measured_with(&self, passages: Option<Node>) -> Option<Vec<(&'static str, Node)>> {
        let temperature = ("temperature", self.told(self.mean_k, Kind::Temperature, "degC")?);
        Some(match self.liquid {
            None => vec![temperature, ("density", self.density_node()?)],
            Some(name) => {
                let passages = passages.map(|passages| ("passages", passages));
                [("fluid", Node::text(name)), temperature].into_iter().chain(passages).collect()
            }
        })
    }

    pub(super) fn density_node(&self) -> Option<Node> {
        self.told(self.fluid.density(self.mean_k), Kind::Density, "kg/m3")
    }

    /// Flows from zero to beyond the case, that of the case among them.
    pub(super) fn flows_to_sample(&self) -> Vec<f64> {
        crate::curves::level::spread(BEYOND * self.flow_m3_s, self.flow_m3_s, SAMPLED)
    }

    /// A curve over the flow whose first value says where it comes from.
    pub(super) fn sampled(&self, kind: Kind, unit: &str, value: impl Fn(f64) -> f64) -> Option<Node> {
        let flows = self.flows_to_sample();
        let values: Vec<f64> = flows.iter().map(|&flow| value(flow)).collect();
        curve(&flows, self.flow_unit(), &values, (kind, unit), self.case)
    }

    /// Exponent of the flow in what grows with a power of it near the case.
    pub(super) fn exponent(&self, value: impl Fn(f64) -> f64) -> f64 {
        let (low, high) = (0.97 * self.flow_m3_s, 1.03 * self.flow_m3_s);
        ((value(high) / value(low)).ln() / (high / low).ln()).max(0.0)
    }
}

pub(super) fn curve(
    flows: &[f64],
    flow_unit: &str,
    values: &[f64],
    (kind, unit): (Kind, &str),
    case: &str,
) -> Option<Node> {
    use crate::curves::level::{table, texts};
    use schema::Tree;
    let flows = texts(flows, Kind::VolumeFlow, flow_unit)?;
    let values = table(values, kind, unit, case)?;
    let (Tree::List(flows), Tree::List(values)) = (flows.tree, values.tree) else { return None };
    let pairs = flows.into_iter().zip(values).map(|(flow, value)| Node::tuple("", vec![flow, value]));
    Some(Node::list(pairs.collect()))
}

/// Where a rising function of a length reaches a value, between a tenth of a millimetre and a hundred metres; none outside.
pub(super) fn length_where(reaches: f64, of_length: impl Fn(f64) -> f64) -> Option<f64> {
    let (mut low, mut high) = (1e-4_f64.ln(), 100.0_f64.ln());
    let is_inside = of_length(low.exp()) <= reaches && reaches <= of_length(high.exp());
    if !is_inside {
        return None;
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if of_length(middle.exp()) < reaches { low = middle } else { high = middle }
    }
    Some((0.5 * (low + high)).exp())
}

/// Equal passages through which the flow of a case runs at a usual speed: how many of this cross-section.
fn count_of(flow_m3_s: f64, area_m2: f64, is_liquid: bool) -> usize {
    // 1 m/s for liquids, 8 m/s for air: placeholders, common practice, no source
    let speed_m_s = if is_liquid { 1.0 } else { 8.0 };
    (flow_m3_s / (speed_m_s * area_m2)).round().max(1.0) as usize
}

/// The dimensions of passages with a length that is sought: channels of 3 by 3 mm or tubes of 6 mm.
pub(super) fn passages(name: &str, at: &At<'_>, length: Node) -> Option<Node> {
    use crate::curves::level::placeholder;
    let count = |area_m2: f64| Node::count(count_of(at.flow_m3_s, area_m2, at.is_liquid()));
    match name {
        "Channels" => Some(Node::record(
            name,
            vec![
                ("count", count(9e-6)),
                ("width", placeholder("3 mm")),
                ("height", placeholder("3 mm")),
                ("length", length),
            ],
        )),
        "Tubes" => Some(Node::record(
            name,
            vec![
                ("count", count(std::f64::consts::FRAC_PI_4 * 36e-6)),
                ("diameter", placeholder("6 mm")),
                ("length", length),
            ],
        )),
        _ => None,
    }
}

/// Passages long enough to give a value, by what a law gives.
pub(super) fn passages_giving(
    name: &str,
    at: &At<'_>,
    value: f64,
    judged: impl Fn(&Node) -> Option<f64>,
) -> Option<Node> {
    let of = |length_m: f64| {
        let length = Node::text(format!("{length_m:e} m"));
        passages(name, at, length).as_ref().and_then(&judged).unwrap_or(f64::NAN)
    };
    let length_m = length_where(value, of)?;
    passages(name, at, at.told(length_m, Kind::Length, "mm")?)
}

/// Share of the face of a core that is blocked in the project itself.
pub(super) fn blocked(core: &Core) -> f64 {
    core.blocked.si().min(0.999)
}

/// A law whose dimensions gave the pressure loss too: without them the loss of the case stands as a measured point.
pub(super) fn keep_loss(law: &mut Law, with_dimensions: &[&str], path: &str, loss: &Law) {
    let point = loss.levels.iter().find(|level| level.name == "Point").and_then(|level| level.law.clone());
    for level in law.levels.iter_mut().filter(|level| !level.is_used) {
        if with_dimensions.contains(&level.name) {
            level.note.clear();
            level.note.push_str("The pressure loss follows the new dimensions.");
        } else if let Some(point) = &point {
            level.also.push((path.to_owned(), point.clone()));
            level.note.clear();
            level
                .note
                .push_str("The pressure loss, which came from the dimensions, becomes a point of this case.");
        } else {
            level.law = None;
        }
    }
}
