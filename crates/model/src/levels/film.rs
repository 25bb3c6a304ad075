//! Films: fixed, power law, table, channels, tubes.

use super::{At, Law, passages_giving};
use crate::aircraft::device::Film;
use crate::assembly::device_laws::corrected_film;
use crate::curves::level;
use crate::schema::{Node, Problem, decode};
use solver::FilmLaw;
use units::Kind;

pub(super) fn law(film: &Film, at: &At<'_>, path: String) -> Result<Law, Problem> {
    let now = corrected_film(at.project, film, &path)?;
    let judged = |node: &Node| {
        let film = decode::<Film>(node).value?;
        let law = corrected_film(at.project, &film, "").ok()?;
        Some(law.conductance(&at.fluid, at.mass_flow_kg_s, at.mean_k))
    };
    let levels = level::all(film, |name| filled(name, at, &now, judged), judged);
    Ok(Law { path, what: "film", kind: Kind::ThermalConductance, levels })
}

/// A film that gives what another law gives at the case.
pub(super) fn filled(
    name: &str,
    at: &At<'_>,
    now: &FilmLaw,
    judged: impl Fn(&Node) -> Option<f64>,
) -> Option<Node> {
    if !at.flows() {
        return None;
    }
    let over = |flow_m3_s: f64| now.conductance(&at.fluid, at.mass_of(flow_m3_s), at.mean_k);
    let value = over(at.flow_m3_s);
    let told = |si: f64| at.told(si, Kind::ThermalConductance, "W/K");
    match name {
        "Fixed" => Some(Node::tuple(name, vec![told(value)?])),
        "PowerLaw" => Some(Node::record(
            name,
            vec![
                ("conductance", told(value)?),
                ("at", at.flow_node(at.flow_m3_s)?),
                ("exponent", at.told(at.exponent(over), Kind::Ratio, "")?),
            ],
        )),
        "Table" => Some(Node::tuple(name, vec![at.sampled(Kind::ThermalConductance, "W/K", over)?])),
        _ => passages_giving(name, at, value, judged),
    }
}
