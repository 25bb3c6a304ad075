//! What stands behind a number of the device table.

use std::collections::BTreeMap;

use aircraft::records::core::Transfer;
use aircraft::records::device::devices;
use aircraft::records::device::{Device, Film};
use aircraft::records::project::Project;
use model::result::{CaseResult, CircuitResult, StationResult};

use super::units::celsius;
use crate::views::explanation::Explanation;

/// Explanations by the key of the figure that leads to them.
pub(super) fn explanations(project: &Project, result: &CaseResult) -> BTreeMap<String, Explanation> {
    let mut all = BTreeMap::new();
    for (spec, state) in project.loops.iter().zip(&result.loops) {
        circuit(project, &format!("loops.{}.", spec.name.as_str()), &spec.path, state, result, &mut all);
    }
    for (spec, state) in project.ducts.iter().zip(&result.ducts) {
        circuit(project, &format!("ducts.{}.", spec.name.as_str()), &spec.path, state, result, &mut all);
    }
    all
}

fn circuit(
    project: &Project,
    prefix: &str,
    path: &[Device],
    state: &CircuitResult,
    result: &CaseResult,
    all: &mut BTreeMap<String, Explanation>,
) {
    let specs = devices(path);
    for station in &state.stations {
        let Some(spec) = specs.iter().find(|d| d.name() == station.name) else { continue };
        all.insert(format!("{prefix}{}", station.name), explain(project, spec, station, result));
    }
}

fn explain(project: &Project, spec: &Device, station: &StationResult, result: &CaseResult) -> Explanation {
    let mut inputs = vec![
        ("mass flow".to_owned(), format!("{:.4} kg/s", station.mass_flow_kg_s)),
        ("inlet".to_owned(), format!("{:.2} degC", celsius(station.temperature_in_k))),
        ("outlet".to_owned(), format!("{:.2} degC", celsius(station.temperature_out_k))),
        (
            "pressure drop".to_owned(),
            format!("{:.2} kPa", 1e-3 * (station.pressure_in_pa - station.pressure_out_pa)),
        ),
        ("of it friction".to_owned(), format!("{:.2} kPa", 1e-3 * station.friction_pa)),
        ("of it climb".to_owned(), format!("{:.2} kPa", 1e-3 * station.climb_pa)),
    ];
    inputs.extend(inlet(station));
    let (relation, source) = match spec {
        Device::ColdPlate(plate) | Device::Jacket(plate) | Device::Surface(plate) => {
            inputs.push(("conductance".to_owned(), format!("{:.1} W/K", station.conductance_w_k)));
            film_words(&plate.film)
        }
        Device::Core(reference) => {
            if let Some(exchanger) = result.exchangers.iter().find(|e| e.name == reference.name.as_str()) {
                inputs.push(("conductance UA".to_owned(), format!("{:.1} W/K", exchanger.conductance_w_k)));
                inputs.push(("transfer units NTU".to_owned(), format!("{:.3}", exchanger.transfer_units)));
                inputs.push(("capacity ratio".to_owned(), format!("{:.3}", exchanger.capacity_ratio)));
                inputs.push(("effectiveness".to_owned(), format!("{:.4}", exchanger.effectiveness)));
            }
            let core = project.cores.iter().find(|c| c.name == reference.name);
            core.map_or(("", ""), |core| transfer_words(&core.transfer))
        }
        Device::Pump(_) | Device::Fan(_) => {
            inputs.push(("electrical power".to_owned(), format!("{:.1} W", station.power_w)));
            inputs.push(("speed".to_owned(), format!("{:.2}", station.setting)));
            (
                "measured curve, carried to other speeds and densities by similarity; its power ends as heat in the flow",
                "curve of the project; similarity laws (ISO 5801, pump affinity)",
            )
        }
        Device::Hose(_) => (
            "friction heat m dp/rho, and heat to what surrounds the hose",
            "Churchill 1977, friction in all regimes",
        ),
        _ => ("friction heat m dp/rho", "balance of energy"),
    };
    Explanation {
        title: format!("Heat to the flow in {}", station.name),
        value: format!("{:.3} kW", 1e-3 * station.heat_w),
        relation: relation.to_owned(),
        source: source.to_owned(),
        inputs,
        range: String::new(),
        inside: None,
        scatter: match spec {
            Device::Core(_) => "air side from fins: tests scatter +24/-10 % about such relations".to_owned(),
            _ => String::new(),
        },
    }
}

/// What the inlet of a pump in a loop has and needs.
fn inlet(station: &StationResult) -> Vec<(String, String)> {
    let Some(inlet) = &station.inlet else { return Vec::new() };
    let kpa = |pa: f64| format!("{:.2} kPa", 1e-3 * pa);
    let above = if inlet.for_dissolved_air { "inlet above 5 kPa" } else { "inlet above boiling" };
    let mut told = vec![(above.to_owned(), kpa(inlet.available_pa))];
    told.extend(inlet.need_pa.map(|need| ("needed there".to_owned(), kpa(need))));
    told.extend(inlet.velocity_head_pa.map(|head| ("of it velocity head".to_owned(), kpa(head))));
    told
}

fn film_words(film: &Film) -> (&'static str, &'static str) {
    match film {
        Film::Fixed(_) => ("q = C (1 - exp(-UA/C)) (Tw - Tin), fixed conductance", "value of the project"),
        Film::PowerLaw(_) => (
            "q = C (1 - exp(-UA/C)) (Tw - Tin), UA = a (V/V0)^n; of air V = m/rho of the measurement",
            "measured value of the project",
        ),
        Film::Table(_) | Film::Measured(_) => (
            "q = C (1 - exp(-UA/C)) (Tw - Tin), measured UA; of air at V = m/rho of the measurement",
            "table of the project",
        ),
        Film::Channels(_) | Film::Tubes(_) => (
            "q = C (1 - exp(-UA/C)) (Tw - Tin), UA = Nu k A / d_h",
            "laminar with thermal entry (VDI Heat Atlas G1), transition and turbulent (Gnielinski 2013)",
        ),
    }
}

fn transfer_words(transfer: &Transfer) -> (&'static str, &'static str) {
    match transfer {
        Transfer::Fixed(_) => {
            ("effectiveness of crossflow, both unmixed (exact series), fixed UA", "Mason 1955")
        }
        Transfer::Map(_) => (
            "effectiveness of crossflow, both unmixed (exact series), measured UA, its air by mass flow",
            "Mason 1955; map of the project",
        ),
        Transfer::Sides(_) => (
            "effectiveness of crossflow, both unmixed (exact series), UA from both films and the wall",
            "Mason 1955; films as given",
        ),
        Transfer::Louvered(_) => (
            "effectiveness of crossflow, both unmixed (exact series), UA from louvered fins and tubes",
            "Mason 1955; Chang & Wang 1997; Gnielinski 2013",
        ),
        Transfer::OffsetStrip(_) => (
            "effectiveness of crossflow, both unmixed (exact series), UA from offset strip fins and channels",
            "Mason 1955; Manglik & Bergles 1995; Gnielinski 2013",
        ),
    }
}
