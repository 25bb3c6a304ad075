//! Laws of devices: from typed inputs to the solver's laws.

use super::channels::{channels, tubes};
use super::liquids::REFERENCE_K;
use super::measured;
use aircraft::records::device::{Film, FlowResistance, Machine, MachinePower};
use aircraft::records::measured::Statement;
use aircraft::records::project::Project;

use numerics::Curve;
use schema::Problem;
use solver::{Carried, FilmLaw, FlowLaw, Fluid, MeasuredFilm, MeasuredFilmLaw, Reference};
use std::f64::consts::FRAC_PI_4;

/// Density that fan curves are measured at unless stated, kg/m3: the standard air of fan tests (ISO 5801).
const FAN_DENSITY_KG_M3: f64 = 1.2;

pub(super) fn curve(points: &[(f64, f64)], path: &str) -> Result<Curve, Problem> {
    Curve::new(points)
        .map_err(|error| Problem::error(path, error.to_string(), "give points with rising flow"))
}

/// The film of a device in a circuit with this fluid.
pub(crate) fn film(project: &Project, film: &Film, fluid: &Fluid, path: &str) -> Result<FilmLaw, Problem> {
    let measured = match film {
        Film::Fixed(conductance) => return Ok(FilmLaw::Fixed { conductance_w_k: conductance.si() }),
        Film::Channels(geometry) => return Ok(FilmLaw::Passage(channels(geometry))),
        Film::Tubes(geometry) => return Ok(FilmLaw::Passage(tubes(geometry))),
        Film::PowerLaw(law) => MeasuredFilm::Power {
            conductance_w_k: law.conductance.si(),
            at_m3_s: law.at.si(),
            exponent: law.exponent.si(),
        },
        Film::Table(table) => MeasuredFilm::Curve(curve(&table.si(), path)?),
        Film::Measured(table) => MeasuredFilm::Curve(curve(&table.points.si(), &format!("{path}.points"))?),
    };
    let carried = match Statement::of_film(film) {
        Some(statement) => measured::carried(project, &statement, fluid, path)?,
        None => Carried::Volume,
    };
    Ok(FilmLaw::Measured(MeasuredFilmLaw { film: measured, carried }))
}

/// Factor of the project on a film that is given by its dimensions; 1 for any other.
pub(super) fn film_factor(project: &Project, film: &Film) -> f64 {
    match film {
        Film::Channels(_) | Film::Tubes(_) => project.policy.relations.wetted_walls.si(),
        Film::Fixed(_) | Film::PowerLaw(_) | Film::Table(_) | Film::Measured(_) => 1.0,
    }
}

/// A film with the factor of the project, at its place between what is published.
pub(crate) fn corrected_film(
    project: &Project,
    given: &Film,
    fluid: &Fluid,
    path: &str,
) -> Result<FilmLaw, Problem> {
    let film = between_published(project, film(project, given, fluid, path)?);
    Ok(scaled_film(film, film_factor(project, given)))
}

/// A film of channels at the place between published laws that the project asks for; at 0, and any other film, as it is.
pub(super) fn between_published(project: &Project, film: FilmLaw) -> FilmLaw {
    let place = project.policy.relations.tube_law.si();
    match film {
        FilmLaw::Passage(passage) if place != 0.0 => FilmLaw::Published { place, passage },
        film => film,
    }
}

/// A film multiplied by a factor; by 1 it stays what it is.
pub(super) fn scaled_film(film: FilmLaw, factor: f64) -> FilmLaw {
    if factor == 1.0 { film } else { FilmLaw::Scaled { factor, film: Box::new(film) } }
}

/// A pressure loss multiplied by a factor; by 1 it stays what it is.
pub(super) fn scaled_flow(law: FlowLaw, factor: f64) -> FlowLaw {
    if factor == 1.0 { law } else { FlowLaw::Scaled { factor, law: Box::new(law) } }
}

/// Pressure loss law; `own_film` is the film of the same device, for [`FlowResistance::OfFilm`].
pub(crate) fn resistance(
    project: &Project,
    law: &FlowResistance,
    fluid: &Fluid,
    own_film: Option<&FilmLaw>,
    path: &str,
) -> Result<FlowLaw, Problem> {
    let friction = project.policy.relations.channel_friction.si();
    let measured_loss = |points: &[(f64, f64)]| -> Result<Option<FlowLaw>, Problem> {
        let Some(statement) = Statement::of_loss(law) else { return Ok(None) };
        measured::rerated_loss(project, &statement, fluid, points, path)
    };
    let reference = || match Statement::of_loss(law) {
        Some(statement) => measured::reference_of_loss(project, &statement, fluid, path),
        None => Ok(Reference::of(fluid, REFERENCE_K)),
    };
    Ok(match law {
        FlowResistance::Point(point) => {
            if let Some(rerated) = measured_loss(&[(point.at.si(), point.drop.si())])? {
                return Ok(rerated);
            }
            let measured = reference()?;
            FlowLaw::Measured {
                drop_pa: point.drop.si(),
                at_m3_s: point.at.si(),
                exponent: point.exponent.si(),
                density_kg_m3: measured.density_kg_m3,
                viscosity_pa_s: measured.viscosity_pa_s,
            }
        }
        FlowResistance::Table(table) => match measured_loss(&table.points.si())? {
            Some(rerated) => rerated,
            None => FlowLaw::Curve {
                curve: curve(&table.points.si(), &format!("{path}.points"))?,
                density_kg_m3: reference()?.density_kg_m3,
            },
        },
        FlowResistance::Loss(loss) => FlowLaw::Loss {
            coefficient: loss.coefficient.si(),
            area_m2: FRAC_PI_4 * loss.diameter.si() * loss.diameter.si(),
        },
        FlowResistance::Channels(geometry) => scaled_flow(FlowLaw::Passage(channels(geometry)), friction),
        FlowResistance::Tubes(geometry) => scaled_flow(FlowLaw::Passage(tubes(geometry)), friction),
        FlowResistance::OfFilm => match own_film {
            Some(FilmLaw::Passage(passage)) => scaled_flow(FlowLaw::Passage(*passage), friction),
            _ => {
                return Err(Problem::error(
                    path,
                    "OfFilm needs a film given by channels or tubes",
                    "give the film by Channels(..) or Tubes(..), or state the pressure loss",
                ));
            }
        },
    })
}

pub(crate) fn machine(machine: &Machine, fluid: &Fluid, path: &str) -> Result<FlowLaw, Problem> {
    let density = machine.curve_density.as_ref().map_or_else(
        || match fluid {
            Fluid::Liquid(_) => fluid.density(REFERENCE_K),
            Fluid::Air { .. } => FAN_DENSITY_KG_M3,
        },
        |density| density.si(),
    );
    let power = match &machine.power {
        MachinePower::Efficiency(efficiency) => solver::MachinePower::Efficiency(efficiency.si()),
        MachinePower::Table(table) => {
            solver::MachinePower::Curve(curve(&table.si(), &format!("{path}.power"))?)
        }
        MachinePower::Fixed(power) => solver::MachinePower::Fixed(power.si()),
    };
    if let (Some(pump), MachinePower::Efficiency(efficiency)) = (&machine.displacement, &machine.power) {
        let displacement = solver::Displacement {
            displaced_m3_s: pump.displaced_m3_s(),
            slip_m3_s_pa: pump.slip.si() / pump.slip_pressure.si(),
            slip_viscosity_pa_s: pump.slip_viscosity.si(),
            cracking_pa: pump.relief.cracking.si(),
            relief_m3_s_pa: pump.relief.slope_m3_s_pa(),
        };
        let displacing = solver::Machine::displacing(displacement, efficiency.si());
        return Ok(FlowLaw::Machine(displacing));
    }
    let points = machine.curve.as_ref().map_or_else(Vec::new, |points| points.si().clone());
    let rise = curve(&points, &format!("{path}.curve"))?;
    let stopped = machine.stopped.as_ref().map(|stopped| {
        let passed = stopped.density.as_ref().map_or(density, |passed| passed.si());
        stopped.drop.si() / (stopped.at.si() * stopped.at.si()) * density / passed
    });
    let with_loss = |machine: solver::Machine| match stopped {
        Some(loss) => machine.with_stopped_loss(loss),
        None => machine,
    };
    solver::Machine::new(rise, density, power).map(with_loss).map(FlowLaw::Machine).map_err(|error| {
        Problem::error(
            format!("{path}.curve"),
            error.to_string(),
            "list points whose pressure rise falls with rising flow",
        )
    })
}
