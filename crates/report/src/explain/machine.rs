//! Sources outside the circuits: heats and the electric drive.

use super::explanation::{Explanation, Fidelity, kw};
use super::{gearbox, inverter, motor, pack, power_path};
use crate::explain::written::Written;
use aircraft::records::component::{Heat, HeatLaw};
use aircraft::records::project::Project;
use model::assembly::Gears;
use model::result::CaseResult;

/// Explanations of heats and drive; the laws alone for a case without a state.
pub(super) fn all(project: &Project, result: &CaseResult) -> Vec<Explanation> {
    let mut found: Vec<Explanation> = project.heats.iter().map(|source| heat(source, result)).collect();
    found.extend(drive(project, result));
    found
}

fn heat(source: &Heat, result: &CaseResult) -> Explanation {
    let name = source.name.as_str();
    let (law, input) = match &source.law {
        HeatLaw::Fixed(power) => (format!("{} ({})", power.text(), power.evidence()), power),
        HeatLaw::Growing(law) => (
            format!(
                "{} at {}, grows by {} ({})",
                law.heat.text(),
                law.reference.text(),
                law.slope.text(),
                law.heat.evidence()
            ),
            &law.heat,
        ),
    };
    let line = Explanation::new(name, "heat", Fidelity::Fixed, law).sourced(input.source());
    let Some(booked) = result.lines.iter().find(|l| !l.is_rejection && l.what == name) else { return line };
    let line = match &source.law {
        HeatLaw::Growing(law) => {
            let into = result.components.iter().find(|c| c.name == source.into);
            let rise = into.map_or(f64::NAN, |c| mean(&c.segments_k) - law.reference.si());
            let found = Written::new("growing_heat", "heat", "W")
                .inputs(&[("slope_1_K", law.slope.si()), ("reference_K", law.reference.si())])
                .step("temperature_rise", rise, "K", "component above the reference, mean of its segments")
                .step("growth_factor", 1.0 + law.slope.si() * rise, "-", "1 + slope times rise")
                .source("heat at the reference times growth factor")
                .giving(booked.heat_w);
            line.by(Some(found))
        }
        HeatLaw::Fixed(_) => line,
    };
    line.giving(format!("{} in this case", kw(booked.heat_w)))
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn drive(project: &Project, result: &CaseResult) -> Vec<Explanation> {
    let Some(powertrain) = &project.powertrain else { return Vec::new() };
    let state = result.electric.as_ref().map(|electric| &electric.reading);
    let mut found = Vec::new();
    for (index, spec) in powertrain.motors.iter().enumerate() {
        let solved = state.and_then(|state| state.drives.get(index));
        let point = solved.and_then(|drive| drive.point.as_ref());
        found.push(motor::loss(spec, solved.is_some(), point));
        found.push(inverter::loss(spec, solved.is_some(), point));
        let cable = point.map(|point| &point.cable);
        found.extend(power_path::conductor(spec.name.as_str(), "cable loss", &spec.cable, cable));
    }
    if let Some(spec) = &powertrain.gearbox {
        let state = state.and_then(|state| state.gear.as_ref());
        found.extend(gearbox::loss(&Gears::of_gearbox(spec), state));
    }
    for (index, spec) in powertrain.stages.iter().enumerate() {
        let state = state.and_then(|state| state.stages.get(index));
        found.extend(gearbox::loss(&Gears::of_stage(spec), state));
    }
    let converters = powertrain.converters.iter().enumerate();
    found.extend(converters.map(|(index, spec)| {
        power_path::converter(spec, state.and_then(|state| state.converters.get(index)))
    }));
    let point = project.points.iter().find(|point| point.name.as_str() == result.case.point);
    let life_used = point.and_then(|point| point.life_used.as_ref()).map(|part| part.si());
    found.extend(pack::bus(&powertrain.bus, state, life_used));
    found
}
