//! What a measured law was measured with: from what is stated to the solver's references.

use super::{channels, liquids};
use aircraft::records::measured::{Passages, Statement, TransferMap};
use aircraft::records::project::Project;
use schema::Problem;
use solver::{Carried, FlowLaw, Fluid, MapError, MeasuredMap, Passage, Reference, ReratedLoss};

fn passage(passages: &Passages) -> Passage {
    match passages {
        Passages::Channels(channels) => channels::channels(channels),
        Passages::Tubes(tubes) => channels::tubes(tubes),
    }
}

/// A liquid of a measurement at its temperature.
fn liquid(project: &Project, name: &str, temperature_k: f64, path: &str) -> Result<Reference, Problem> {
    let liquid = liquids::liquid(project, name, &format!("{path}.fluid"))?;
    let fluid = Fluid::Liquid(liquid);
    if !fluid.in_range(temperature_k) {
        return Err(Problem::error(
            format!("{path}.temperature"),
            format!("{name} has no properties at {:.0} degC", temperature_k - 273.15),
            "correct the temperature of the measurement",
        ));
    }
    Ok(Reference::of(&fluid, temperature_k))
}

/// What says nothing about the medium at hand is refused: it would look as if it counted.
fn refuse(stated: &[(bool, &str)], path: &str, why: &str) -> Result<(), Problem> {
    match stated.iter().find(|(is_stated, _)| *is_stated) {
        Some((_, field)) => {
            Err(Problem::error(format!("{path}.{field}"), why, format!("leave out `{field}`")))
        }
        None => Ok(()),
    }
}

/// How a measured film is carried to the fluid of its circuit.
pub(super) fn carried(
    project: &Project,
    statement: &Statement<'_>,
    fluid: &Fluid,
    path: &str,
) -> Result<Carried, Problem> {
    if let Fluid::Air { .. } = fluid {
        let stated = [(statement.fluid.is_some(), "fluid"), (statement.passages.is_some(), "passages")];
        refuse(&stated, path, "the film of an air is carried by its mass flow: it names no liquid")?;
        let air = statement.air(path)?;
        return Ok(Carried::Mass(Reference::air(air.density_kg_m3, air.temperature_k)));
    }
    refuse_air(statement, path)?;
    Ok(match statement.liquid() {
        Some((name, temperature, passages)) => {
            let measured = liquid(project, name, temperature.si(), path)?;
            Carried::Passages(Box::new((passage(passages), measured)))
        }
        None => Carried::Volume,
    })
}

fn refuse_air(statement: &Statement<'_>, path: &str) -> Result<(), Problem> {
    let stated = [(statement.density.is_some(), "density"), (statement.altitude.is_some(), "altitude")];
    refuse(&stated, path, "this is the density of an air, and a liquid flows here")
}

/// A measured pressure loss that is carried to the liquid of its loop by the friction of passages; none where these are not stated.
pub(super) fn rerated_loss(
    project: &Project,
    statement: &Statement<'_>,
    fluid: &Fluid,
    points: &[(f64, f64)],
    path: &str,
) -> Result<Option<FlowLaw>, Problem> {
    let Some(passages) = statement.passages else { return Ok(None) };
    let stated = [(matches!(fluid, Fluid::Air { .. }), "passages")];
    refuse(&stated, path, "passages re-rate a liquid; the loss of an air goes with its density")?;
    let measured = reference_of_loss(project, statement, fluid, path)?;
    let law = ReratedLoss::new(passage(passages), measured, points).map_err(|error| {
        Problem::error(
            format!("{path}.points"),
            error.to_string(),
            "give points with rising flow, above zero",
        )
    })?;
    Ok(Some(FlowLaw::Rerated(Box::new(law))))
}

/// The fluid that a pressure loss was measured with: the one stated, else the one of the circuit.
pub(super) fn reference_of_loss(
    project: &Project,
    statement: &Statement<'_>,
    fluid: &Fluid,
    path: &str,
) -> Result<Reference, Problem> {
    let temperature_k = statement.temperature.map_or(liquids::REFERENCE_K, schema::Input::si);
    match (statement.fluid, fluid) {
        (Some(name), _) => {
            refuse_air(statement, path)?;
            Ok(Reference::of(
                &Fluid::Liquid(liquids::liquid(project, name, &format!("{path}.fluid"))?),
                temperature_k,
            ))
        }
        (None, Fluid::Liquid(_)) => {
            refuse_air(statement, path)?;
            Ok(Reference::of(fluid, temperature_k))
        }
        // not the pressure of the flight: a measurement stays what it was at every height
        (None, Fluid::Air { .. }) => {
            let air = statement.air(path)?;
            Ok(Reference::air(air.density_kg_m3, air.temperature_k))
        }
    }
}

/// A measured map of a core; `factor` is that of the project on the relation of the passages.
pub(super) fn map(
    project: &Project,
    map: &TransferMap,
    fouling_k_w: f64,
    factor: f64,
    path: &str,
) -> Result<MeasuredMap, Problem> {
    let statement = Statement::of_map(map);
    let air = statement.air(path)?;
    let known = match statement.liquid() {
        Some((name, temperature, passages)) => {
            Some((passage(passages), liquid(project, name, temperature.si(), path)?))
        }
        None => None,
    };
    let liquid: Vec<f64> = map.liquid.iter().map(|q| q.si()).collect();
    let air_flows: Vec<f64> = map.air.iter().map(|q| q.si()).collect();
    let values: Vec<f64> = map.conductance.iter().map(|q| q.si()).collect();
    let passages = known.as_ref().map(|(passage, measured)| (passage, measured, factor));
    MeasuredMap::new((&liquid, &air_flows, &values), air.density_kg_m3, fouling_k_w, passages).map_err(
        |error| match error {
            MapError::Points(error) => Problem::error(
                path,
                error.to_string(),
                "give one conductance for each pair of flows, row after row",
            ),
            MapError::Passages { index, .. } => Problem::error(
                format!("{path}.conductance.{}", index + 1),
                error.to_string(),
                "correct the passages or the measured value, or leave out `passages`: then it is not re-rated",
            ),
        },
    )
}
