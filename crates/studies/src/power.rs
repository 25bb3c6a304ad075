//! One motor out: the power that is there against the power that flight takes.
//!
//! For every condition of the cases, without failure and with each motor or winding set out (and the other failures of the project that set
//! the power), and for every rating: the greatest power at the output shaft that nothing forbids, and what forbids more. Rating power
//! and torque, the greatest power of a control, the torque at one input of the gearbox, currents, and the sag of an old pack at the
//! lowest charge of the missions, as cold as they have it there, are held against a steady state at that very power, so that derates are those of its
//! temperatures. A rating with a time limit is taken as if it lasted, which errs towards less power.
//!
//! Beside it the power of the hover, of level flight at the best speed and of a climb, by the craft record, and what follows: rate of
//! climb, greatest mass, ceilings. Verdicts are only those that the basis of the project asks for: [`PowerStudy::holds`].

mod bounds;
mod ceilings;
mod needs;
mod search;
mod setup;

#[cfg(test)]
mod tests;

use crate::StudyError;
use aircraft::records::craft::Craft;
use aircraft::records::one_motor_out::Ability;
use aircraft::records::project::Project;
use aircraft::records::surroundings::Condition;
use model::case::Beside;
use model::height;
use rayon::prelude::*;
use setup::{Lost, Setup};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

pub use ceilings::{Ceiling, HighestAltitude};
pub use needs::{Can, Needs};
pub use search::RatedPower;
pub use setup::ALL_LOST;

/// What is asked.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PowerOptions {
    /// Masses, kg; without any, that of the craft.
    pub masses_kg: Vec<f64>,
}

/// Power at one condition, with one failure or none, at one mass.
#[derive(Clone, Debug, PartialEq)]
pub struct PowerRow {
    /// Condition.
    pub condition: String,
    /// Its pressure altitude, m.
    pub pressure_altitude_m: f64,
    /// Mass, kg; none without a craft record.
    pub mass_kg: Option<f64>,
    /// Failure; none for the sound aircraft.
    pub failure: Option<String>,
    /// Whether a motor or winding set is out and power is left: what the basis asks is held against this row.
    pub is_one_out: bool,
    /// Power that is there by rating, the greatest first.
    pub ratings: Vec<RatedPower>,
    /// Power that flight takes and what can be done; none without a craft record.
    pub needs: Option<Needs>,
}

impl PowerRow {
    /// The greatest power, at whatever rating.
    pub fn greatest(&self) -> Option<&RatedPower> {
        self.ratings.first()
    }

    /// The power that lasts longest.
    pub fn lasting(&self) -> Option<&RatedPower> {
        search::longest(&self.ratings)
    }
}

/// Something that the basis asks for, held against a row.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// Condition.
    pub condition: String,
    /// Failure.
    pub failure: String,
    /// Mass, kg.
    pub mass_kg: f64,
    /// What is asked: `level`, `hover_oge`, `hover_ige`, `climb`.
    pub what: String,
    /// Rate of climb that is asked for, m/s.
    pub climb_m_s: Option<f64>,
    /// How long it must last, s; none for any rating.
    pub for_s: Option<f64>,
    /// Power that it takes, W; none if the craft cannot do it at any power.
    pub needed_w: Option<f64>,
    /// Power that is there for so long, W.
    pub there_w: f64,
}

impl Judged {
    /// Whether it is met.
    pub fn is_met(&self) -> bool {
        self.needed_w.is_some_and(|needed_w| self.there_w >= needed_w)
    }
}

/// The study.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PowerStudy {
    /// Condition by condition, failure by failure, mass by mass.
    pub rows: Vec<PowerRow>,
    /// Greatest pressure altitudes.
    pub ceilings: Vec<Ceiling>,
    /// What the basis asks for.
    pub judged: Vec<Judged>,
    /// Whether the basis is stated; otherwise level flight is asked for.
    pub is_basis_stated: bool,
    /// Lowest state of charge that the pack is taken at; none without a pack.
    pub state_of_charge: Option<f64>,
    /// What is missing for a whole answer.
    pub missing: Vec<String>,
}

impl PowerStudy {
    /// Whether everything that the basis asks for is met.
    pub fn holds(&self) -> bool {
        self.judged.iter().all(Judged::is_met)
    }
}

/// The study on all cores; `progress` is told how many pairs of condition and failure of how many are done. The same bits on any number of
/// threads.
///
/// # Errors
/// [`StudyError::Assembly`] for a mission that cannot be put together, [`StudyError::Project`] for a mass that is none,
/// [`StudyError::Cancelled`] once the flag is set.
pub fn power(
    project: &Project,
    options: &PowerOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize, usize) + Sync,
) -> Result<PowerStudy, StudyError> {
    let missing = setup::missing(project);
    let Some(setup) = Setup::of(project)? else {
        return Ok(PowerStudy { missing, ..PowerStudy::default() });
    };
    let losses = setup::losses(project);
    let conditions = setup::conditions(project);
    let pairs: Vec<(&Condition, &Lost)> =
        conditions.iter().flat_map(|condition| losses.iter().map(move |lost| (*condition, lost))).collect();
    let masses_kg = masses(project.craft.as_ref(), options);
    let done = AtomicUsize::new(0);
    let beside = Beside::default();
    let found = pairs
        .par_iter()
        .map(|(condition, lost)| {
            if cancel.load(Ordering::Relaxed) {
                return Err(StudyError::Cancelled);
            }
            let there = setup.there(condition, lost, &beside);
            let one = of_pair(&setup, (condition, lost), &there, &masses_kg, &beside);
            progress(done.fetch_add(1, Ordering::Relaxed) + 1, pairs.len());
            one
        })
        .collect::<Result<Vec<_>, _>>()?;
    let mut study = PowerStudy {
        is_basis_stated: !project.policy.one_motor_out.is_empty(),
        state_of_charge: setup.state_of_charge,
        missing,
        ..PowerStudy::default()
    };
    for (rows, ceilings) in found {
        study.rows.extend(rows);
        study.ceilings.extend(ceilings);
    }
    for (condition, lost) in &pairs {
        judge(project, condition, lost, &mut study)?;
    }
    Ok(study)
}

fn masses(craft: Option<&Craft>, options: &PowerOptions) -> Vec<f64> {
    match craft {
        None => Vec::new(),
        Some(craft) if options.masses_kg.is_empty() => vec![height::mass_kg(craft)],
        Some(_) => options.masses_kg.clone(),
    }
}

fn problem(problem: schema::Problem) -> StudyError {
    StudyError::Project(Box::new(problem))
}

fn of_pair(
    setup: &Setup<'_>,
    (condition, lost): (&Condition, &Lost),
    there: &[RatedPower],
    masses_kg: &[f64],
    beside: &Beside,
) -> Result<(Vec<PowerRow>, Vec<Ceiling>), StudyError> {
    let row = |mass_kg, needs| PowerRow {
        condition: condition.name.as_str().to_owned(),
        pressure_altitude_m: condition.pressure_altitude.si(),
        mass_kg,
        failure: lost.name(),
        is_one_out: lost.is_one_out() && there.iter().any(|rated| rated.power_w != Some(0.0)),
        ratings: there.to_vec(),
        needs,
    };
    let Some(craft) = &setup.project.craft else { return Ok((vec![row(None, None)], Vec::new())) };
    let outside = Setup::outside(condition).map_err(problem)?;
    let mut rows = Vec::new();
    for &mass_kg in masses_kg {
        let needs = needs::needs(craft, mass_kg, &outside, there).map_err(problem)?;
        rows.push(row(Some(mass_kg), Some(needs)));
    }
    let ceilings = ceilings::ceilings(setup, (condition, lost), masses_kg, beside);
    Ok((rows, ceilings))
}

/// Holds what the basis asks for against the rows of a condition and a failure.
fn judge(
    project: &Project,
    condition: &Condition,
    lost: &Lost,
    study: &mut PowerStudy,
) -> Result<(), StudyError> {
    let Some(craft) = &project.craft else { return Ok(()) };
    let name = condition.name.as_str();
    let is_row = |row: &&PowerRow| row.condition == name && row.failure == lost.name();
    let Some(there) = study.rows.iter().find(is_row).map(|row| row.ratings.clone()) else { return Ok(()) };
    let is_left = there.iter().any(|rated| rated.power_w != Some(0.0));
    let demands = &project.policy.one_motor_out;
    // with no motor left all power is lost: another thing than one motor out, unless the basis states what it asks
    if !lost.is_one_out() || (demands.is_empty() && !is_left) {
        return Ok(());
    }
    let landing_s = project.policy.landing.practicable.si();
    let outside = model::outside::Outside::at(condition, 0.0, model::outside::Over::Field { height_m: 0.0 });
    let outside = outside.map_err(problem)?;
    let asked: Vec<(&Ability, f64, Option<f64>)> = if demands.is_empty() {
        let masses = study.rows.iter().filter(is_row).filter_map(|row| row.mass_kg);
        masses.map(|mass_kg| (&Ability::Level, mass_kg, Some(landing_s))).collect()
    } else {
        let here = demands.iter().filter(|demand| {
            demand.conditions.is_empty() || demand.conditions.iter().any(|known| known == name)
        });
        here.map(|demand| {
            let mass_kg = demand.mass.as_ref().map_or_else(|| height::mass_kg(craft), |mass| mass.si());
            let lasts = matches!(demand.what, Ability::Level | Ability::Climb(_)).then_some(landing_s);
            (&demand.what, mass_kg, demand.lasting.as_ref().map(|time| time.si()).or(lasts))
        })
        .collect()
    };
    for (what, mass_kg, for_s) in asked {
        let Some((what, climb_m_s, needed_w)) =
            needs::asked(craft, mass_kg, &outside, what).map_err(problem)?
        else {
            continue;
        };
        study.judged.push(Judged {
            condition: name.to_owned(),
            failure: lost.name().unwrap_or_default(),
            mass_kg,
            what: what.to_owned(),
            climb_m_s,
            for_s,
            needed_w,
            there_w: search::there_for_w(&there, for_s),
        });
    }
    Ok(())
}
