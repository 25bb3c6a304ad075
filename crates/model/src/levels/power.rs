//! Power of pumps and fans: an efficiency, a table, a value.

use super::filling::{At, curve};
use super::law::Law;
use crate::assembly::device_laws::machine;
use crate::curves::level;
use aircraft::records::device::{Machine, MachinePower};
use schema::{Node, Problem, decode};
use solver::Held;
use units::Kind;

pub(super) fn law(spec: &Machine, at: &At<'_>, path: &str) -> Result<Law, Problem> {
    let speed = at.station.setting;
    let of = |power: &MachinePower| {
        let law = machine(&Machine { power: power.clone(), ..spec.clone() }, &at.fluid, path)?;
        law.machine().cloned().ok_or_else(|| Problem::error(path, "it is no machine", ""))
    };
    let now = of(&spec.power)?;
    let held = now.held(&at.fluid, at.mean_k);
    let power_w = now.power(at.flow_m3_s, &held, speed);
    let judged =
        |node: &Node| Some(of(&decode::<MachinePower>(node).value?).ok()?.power(at.flow_m3_s, &held, speed));
    let fill = |name: &str| {
        if !(at.flows() && speed > 1e-6) {
            return None;
        }
        let told = |si: f64, kind, unit| at.told(si, kind, unit);
        match name {
            "Efficiency" if power_w > 0.0 => {
                let hydraulic_w = at.flow_m3_s * now.rise(at.flow_m3_s, &held, speed);
                (hydraulic_w > 0.0)
                    .then(|| Some(Node::tuple(name, vec![told(hydraulic_w / power_w, Kind::Ratio, "")?])))?
            }
            "Fixed" => Some(Node::tuple(name, vec![told(power_w / speed.powi(3), Kind::Power, "W")?])),
            "Table" => {
                // at full speed, and with the fluid of the curve
                let full_m3_s = at.flow_m3_s / speed;
                let flows =
                    level::spread(super::filling::BEYOND * full_m3_s, full_m3_s, super::filling::SAMPLED);
                let density = held.density_kg_m3;
                let reference = reference_density(spec, &now).unwrap_or(density);
                let at_density = |flow: f64| now.power(flow, &held, 1.0) * reference / density;
                let values: Vec<f64> = flows.iter().map(|&flow| at_density(flow)).collect();
                let pairs = curve(&flows, at.flow_unit(), &values, (Kind::Power, "W"), at.case)?;
                Some(Node::tuple(name, vec![pairs]))
            }
            _ => None,
        }
    };
    // what a displacement pump takes follows from what it displaces
    let fill = |name: &str| if spec.displacement.is_some() { None } else { fill(name) };
    let levels = level::all(&spec.power, fill, judged);
    Ok(Law { path: format!("{path}.power"), what: "power", kind: Kind::Power, levels })
}

/// Density that the curve of a machine was measured with, kg/m3: the rise goes with the density.
fn reference_density(spec: &Machine, law: &solver::Machine) -> Option<f64> {
    let (flow, rise) = spec.curve.as_ref()?.si().first().copied()?;
    let of_one = law.rise(flow, &Held { density_kg_m3: 1.0, viscosity_pa_s: 0.0 }, 1.0);
    (of_one > 0.0).then(|| rise / of_one)
}
