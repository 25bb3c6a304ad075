//! Films: fixed, power law, table, channels, tubes.

use super::filling::{At, curve, passages_giving};
use super::law::Law;
use crate::assembly::device_laws::corrected_film;
use crate::curves::level;
use aircraft::records::device::Film;
use media::atmosphere::{SEA_LEVEL_PRESSURE_PA, SEA_LEVEL_TEMPERATURE_K};
use numerics::Curve;
use schema::{Decode as _, Node, Problem, decode};
use solver::{Carried, FilmLaw, Fluid, MeasuredFilm, MeasuredFilmLaw, Reference};
use units::Kind;

pub(super) fn law(film: &Film, at: &At<'_>, path: String) -> Result<Law, Problem> {
    let now = corrected_film(at.project, film, &at.fluid, &path)?;
    let judged = |node: &Node| {
        let film = decode::<Film>(node).value?;
        let law = corrected_film(at.project, &film, &at.fluid, "").ok()?;
        Some(law.conductance(&at.fluid, at.mass_flow_kg_s, at.mean_k))
    };
    let passages = match film {
        Film::Channels(_) | Film::Tubes(_) => Some(film.encode()),
        _ => None,
    };
    let levels = level::all(film, |name| filled(name, at, &now, passages.clone(), judged), judged);
    Ok(Law { path, what: "film", kind: Kind::ThermalConductance, levels })
}

/// A film that gives what another law gives at the case; `passages` are the ways of a liquid, where they are known.
pub(super) fn filled(
    name: &str,
    at: &At<'_>,
    now: &FilmLaw,
    passages: Option<Node>,
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
        "PowerLaw" => {
            let mut fields = vec![
                ("conductance", told(value)?),
                ("at", at.flow_node(at.flow_m3_s)?),
                ("exponent", at.told(at.exponent(over), Kind::Ratio, "")?),
            ];
            fields.extend(at.measured_with(passages)?);
            Some(Node::record(name, fields))
        }
        "Measured" => {
            let mut fields = vec![("points", at.sampled(Kind::ThermalConductance, "W/K", over)?)];
            fields.extend(at.measured_with(passages)?);
            Some(Node::record(name, fields))
        }
        "Table" if at.is_liquid() => {
            Some(Node::tuple(name, vec![at.sampled(Kind::ThermalConductance, "W/K", over)?]))
        }
        "Table" => standard_air(name, at, now),
        _ => passages_giving(name, at, value, judged),
    }
}

/// A table says nothing of its air, so it is one of standard sea level: at equal mass flow, and without what the air of the case adds.
fn standard_air(name: &str, at: &At<'_>, now: &FilmLaw) -> Option<Node> {
    let standard = Reference::of(&Fluid::Air { pressure_pa: SEA_LEVEL_PRESSURE_PA }, SEA_LEVEL_TEMPERATURE_K);
    let masses: Vec<f64> = at.flows_to_sample().iter().map(|&flow| at.mass_of(flow)).collect();
    let flows: Vec<f64> = masses.iter().map(|mass| mass / standard.density_kg_m3).collect();
    let wanted: Vec<f64> = masses.iter().map(|&mass| now.conductance(&at.fluid, mass, at.mean_k)).collect();
    let points: Vec<(f64, f64)> = flows.iter().copied().zip(wanted.iter().copied()).collect();
    let carried = FilmLaw::Measured(MeasuredFilmLaw {
        film: MeasuredFilm::Curve(Curve::new(&points).ok()?),
        carried: Carried::Mass(standard),
    });
    let values: Vec<f64> = masses
        .iter()
        .zip(&wanted)
        .map(|(&mass, &wanted)| wanted * wanted / carried.conductance(&at.fluid, mass, at.mean_k))
        .collect();
    let pairs = curve(&flows, at.flow_unit(), &values, (Kind::ThermalConductance, "W/K"), at.case)?;
    Some(Node::tuple(name, vec![pairs]))
}
