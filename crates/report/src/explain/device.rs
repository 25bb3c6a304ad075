//! Devices of loops and ducts.

use super::explanation::{Explanation, Fidelity};
use super::state::Medium;
use super::station::Station;

use aircraft::records::device::{Device, devices};
use aircraft::records::project::Project;
use model::assembly::liquid;
use model::result::{CaseResult, CircuitResult};

/// Explanations of every station of a case.
pub(super) fn all(project: &Project, result: &CaseResult) -> Vec<Explanation> {
    let mut found = Vec::new();
    for circuit in &result.loops {
        let Some(spec) = project.loops.iter().find(|l| l.name.as_str() == circuit.name) else { continue };
        let Ok(fluid) = liquid(project, &spec.fluid, "loops") else { continue };
        let source = fluid.source().to_owned();
        let medium = Medium::Liquid(Box::new(fluid));
        let mut properties =
            Explanation::new("fluid", "properties", Fidelity::Measured, circuit.fluid.as_str())
                .sourced(Some(&source));
        properties.circuit.clone_from(&circuit.name);
        found.push(properties);
        found.extend(circuit_lines(project, result, circuit, &devices(&spec.path), &medium));
    }
    for circuit in &result.ducts {
        let Some(spec) = project.ducts.iter().find(|d| d.name.as_str() == circuit.name) else { continue };
        found.extend(circuit_lines(project, result, circuit, &devices(&spec.path), &Medium::Air));
    }
    found
}

fn circuit_lines(
    project: &Project,
    result: &CaseResult,
    circuit: &CircuitResult,
    specs: &[&Device],
    medium: &Medium,
) -> Vec<Explanation> {
    let mut found = Vec::new();
    for station in &circuit.stations {
        let Some(spec) = specs.iter().find(|d| d.name() == station.name) else { continue };
        let at = Station { station, medium };
        let lines = station_lines(project, result, circuit, spec, &at);
        found.extend(lines.into_iter().map(|mut line| {
            line.circuit.clone_from(&circuit.name);
            with_liquid_note(result, line)
        }));
    }
    found
}

fn station_lines(
    project: &Project,
    result: &CaseResult,
    circuit: &CircuitResult,
    spec: &Device,
    at: &Station<'_>,
) -> Vec<Explanation> {
    match spec {
        Device::ColdPlate(plate) | Device::Jacket(plate) | Device::Surface(plate) => at.plate(plate),
        Device::Pump(machine) | Device::Fan(machine) => at.machine(machine),
        Device::Hose(hose) => at.hose(hose),
        Device::Restrictor(part) | Device::Filter(part) | Device::Screen(part) => {
            vec![at.resistance(&part.flow, None)]
        }
        Device::Core(_) => at.core(project, result),
        Device::Exchanger(_) => at.exchanger_state(result).into_iter().collect(),
        Device::Reservoir(_) => {
            let law = "gas cushion: ideal gas squeezed by the expansion of the liquid; the cap opens above local ambient";
            let line = Explanation::new(&at.station.name, "pressure", Fidelity::Geometry, law);
            vec![match &circuit.cushion {
                None => line,
                Some(gas) => line.giving(format!(
                    "{:.2} L of gas at {:.1} kPa above ambient{}",
                    1e3 * gas.gas_m3,
                    1e-3 * gas.gauge_pa,
                    if gas.is_vented { ", open to it" } else { "" }
                )),
            }]
        }
        Device::GroundConnection(connection) => {
            // a cart holds a pressure rise in the couplings: their loss alone is not to be seen there
            let apart = at.resistance(&connection.apart, None);
            vec![apart.giving(format!("cart {:?} may be connected here", connection.cart))]
        }
        Device::ReliefValve(_)
        | Device::BypassValve(_)
        | Device::CheckValve(_)
        | Device::Thermostat(_)
        | Device::Shutter(_)
        | Device::Flap(_)
        | Device::Inlet(_)
        | Device::Outlet(_) => opening_loss(spec, at).into_iter().collect(),
        Device::Parallel(_) => Vec::new(),
    }
}

/// Loss of what opens, or is an opening: valves, shutters, flaps, inlets and outlets.
fn opening_loss(spec: &Device, at: &Station<'_>) -> Option<Explanation> {
    Some(match spec {
        Device::ReliefValve(valve) => at.loss(
            Fidelity::Fixed,
            format!(
                "opens at {}, passes {} at {} above that",
                valve.spring.cracking.text(),
                valve.spring.flow.text(),
                valve.spring.over.text()
            ),
        ),
        Device::BypassValve(valve) => {
            at.loss(Fidelity::Fixed, format!("passes {} at {}", valve.flow.text(), valve.over.text()))
        }
        Device::CheckValve(valve) => at.loss(
            Fidelity::Fixed,
            format!(
                "loss coefficient {} on {}, lifts at {}",
                valve.coefficient.text(),
                valve.diameter.text(),
                valve.opening.text()
            ),
        ),
        Device::Thermostat(valve) => at
            .loss(
                Fidelity::Fixed,
                format!(
                    "loss coefficient {} on {} fully open; stroke from {} to {}",
                    valve.coefficient.text(),
                    valve.diameter.text(),
                    valve.from.text(),
                    valve.to.text()
                ),
            )
            .giving(format!("opening {:.3}", at.station.setting)),
        Device::Shutter(shutter) => at
            .loss(
                Fidelity::Fixed,
                format!(
                    "loss coefficient {} on {} fully open, over the square of the opening",
                    shutter.coefficient.text(),
                    shutter.area.text()
                ),
            )
            .giving(format!("opening {:.3}", at.station.setting)),
        Device::Flap(flap) => at.loss(
            Fidelity::Fixed,
            format!(
                "loss coefficient {} on {}, lifts at {}, shut by back-flow",
                flap.coefficient.text(),
                flap.area.text(),
                flap.lift.text()
            ),
        ),
        Device::Inlet(opening) | Device::Outlet(opening) => at.loss(
            Fidelity::Fixed,
            format!(
                "recovery {} of the onset dynamic pressure, loss coefficient {} on {}",
                opening.recovery.text(),
                opening.losses.text(),
                opening.area.text()
            ),
        ),
        _ => return None,
    })
}

/// Adds by how much a measurement was re-rated to another liquid, or why it was not.
fn with_liquid_note(result: &CaseResult, line: Explanation) -> Explanation {
    let what = match line.what {
        "liquid-side conductance" => "conductance UA",
        what => what,
    };
    let notice = result.notices.iter().find(|notice| {
        matches!(notice.kind, "rerated" | "not_rerated") && notice.place == line.place && notice.about == what
    });
    match notice {
        Some(notice) => line.giving(notice.message.clone()),
        None => line,
    }
}
