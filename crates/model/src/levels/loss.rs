//! Pressure losses: a point, a table, a coefficient, channels, tubes.

use super::filling::{At, passages_giving};
use super::law::Law;
use crate::assembly::device_laws::resistance;
use crate::curves::level;
use aircraft::records::device::{Film, FlowResistance};
use schema::{Node, Problem, decode};
use solver::FlowLaw;
use units::Kind;

/// The law of a pressure loss; `film` is that of the same device, whose dimensions may give the loss too.
pub(super) fn law(
    flow: &FlowResistance,
    at: &At<'_>,
    film: Option<&Film>,
    path: String,
    what: &'static str,
) -> Result<Law, Problem> {
    let own_film = match film {
        Some(film) => Some(crate::assembly::device_laws::film(at.project, film, &at.fluid, &path)?),
        None => None,
    };
    let of = |flow: &FlowResistance| resistance(at.project, flow, &at.fluid, own_film.as_ref(), &path);
    let now = of(flow)?;
    let judged =
        |node: &Node| Some(drop_pa(&of(&decode::<FlowResistance>(node).value?).ok()?, at, at.flow_m3_s));
    let levels = level::all(flow, |name| filled(name, at, &now, judged), judged);
    Ok(Law { path, what, kind: Kind::PressureDifference, levels })
}

fn drop_pa(law: &FlowLaw, at: &At<'_>, flow_m3_s: f64) -> f64 {
    law.drop(&at.fluid, at.mass_of(flow_m3_s), at.mean_k, 1.0)
}

/// A loss that is what another law gives at the case.
pub(super) fn filled(
    name: &str,
    at: &At<'_>,
    now: &FlowLaw,
    judged: impl Fn(&Node) -> Option<f64>,
) -> Option<Node> {
    if !at.flows() {
        return None;
    }
    let over = |flow_m3_s: f64| drop_pa(now, at, flow_m3_s);
    let value = over(at.flow_m3_s);
    let told = |si: f64| at.told(si, Kind::PressureDifference, "kPa");
    match name {
        "Point" => {
            let mut fields = vec![
                ("drop", told(value)?),
                ("at", at.flow_node(at.flow_m3_s)?),
                ("exponent", at.told(at.exponent(over), Kind::Ratio, "")?),
            ];
            fields.extend(at.measured_with(None)?);
            Some(Node::record(name, fields))
        }
        "Table" => {
            let mut fields = vec![("points", at.sampled(Kind::PressureDifference, "kPa", over)?)];
            fields.extend(at.measured_with(None)?);
            Some(Node::record(name, fields))
        }
        "Loss" => coefficient(name, at, value),
        "OfFilm" => {
            let node = Node::word(name);
            judged(&node).map(|_| node)
        }
        _ => passages_giving(name, at, value, judged),
    }
}

/// Coefficient on a bore in which the flow has a usual speed: 2 m/s for liquids, 15 m/s for air (placeholders, common practice, no
/// source).
fn coefficient(name: &str, at: &At<'_>, drop_pa: f64) -> Option<Node> {
    let speed_m_s = if at.is_liquid() { 2.0 } else { 15.0 };
    let bore_mm = (1e3 * (4.0 * at.flow_m3_s / (std::f64::consts::PI * speed_m_s)).sqrt()).round().max(1.0);
    let area_m2 = std::f64::consts::FRAC_PI_4 * 1e-6 * bore_mm * bore_mm;
    let velocity_m_s = at.flow_m3_s / area_m2;
    let coefficient = drop_pa / (0.5 * at.fluid.density(at.mean_k) * velocity_m_s * velocity_m_s);
    Some(Node::record(
        name,
        vec![
            ("coefficient", at.told(coefficient, Kind::Ratio, "")?),
            ("diameter", level::placeholder(&format!("{bore_mm} mm"))),
        ],
    ))
}
