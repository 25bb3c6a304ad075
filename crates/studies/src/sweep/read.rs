//! Reading what is watched at a point.

use super::needed::{Absence, Absent};
use super::study::Study;
use super::watch::Watch;
use crate::StudyError;
use crate::levers::situated;
use crate::missions::fly_case;
use crate::size::{SearchScope, SizeOptions, SizeResult, Sized, size};
use crate::uncooled::Boundary;
use aircraft::records::project::{OutsideRange, Project};
use model::assembly::Situation;
use model::case::Linearization;
use model::mission::{Flight, FlyOptions};
use model::result::{CaseResult, ComponentResult, Margin};
use model::{case, cases};
use rayon::prelude::*;
use schema::Node;
use std::sync::atomic::{AtomicBool, Ordering};

/// Solved states of the steady cases of the project that is swept, as far as they are watched: points start from them, so that a point
/// does not depend on its neighbours.
pub(super) fn linearizations(
    project: &Project,
    watched: &[Watch],
    chosen: &[String],
    cancel: &AtomicBool,
) -> Vec<(String, Option<Linearization>)> {
    let needed: Vec<_> = needed(project, watched, chosen);
    let linearization = |(name, one): (String, Situation<'_>)| {
        let is_cancelled = cancel.load(Ordering::Relaxed);
        // what stands in the way of a case is told at the points
        let found = if is_cancelled { None } else { Linearization::of(&one).ok() };
        (name, found.and_then(|(_, linearization)| linearization))
    };
    needed.into_par_iter().map(linearization).collect()
}

/// The loops whose absence is looked at.
pub(super) fn absent(node: &Node, project: &Project, watched: &[Watch]) -> Vec<Absent> {
    let mut found: Vec<Absent> = Vec::new();
    for watch in watched {
        if let Watch::Size { circuit } | Watch::Fitted { circuit } | Watch::Boundary { circuit, .. } = watch
            && found.iter().all(|known| known.circuit != *circuit)
        {
            found.extend(Absent::of(node, project, circuit));
        }
    }
    found
}

/// Values of a project, and what there is to say: why some are missing, and where a loop is not needed.
pub(super) fn read(
    study: &Study<'_>,
    project: &Project,
    inputs_si: &[f64],
) -> Result<(Vec<Option<f64>>, String), StudyError> {
    let mut read = Read {
        study,
        project,
        inputs_si,
        solved: solved(study, project),
        flown: flown(project, study.watched, study.cancel)?,
        loops: Vec::new(),
    };
    let mut remarks: Vec<String> = Vec::new();
    let mut remark = |text: String| {
        if !remarks.contains(&text) {
            remarks.push(text);
        }
    };
    let mut values = Vec::with_capacity(study.watched.len());
    for watch in study.watched {
        match read.value(watch) {
            Ok(value) if value.is_finite() => values.push(Some(value)),
            Ok(_) => {
                values.push(None);
                remark("no result: it is not a finite number".to_owned());
            }
            Err(Missing::Because(reason)) => {
                values.push(None);
                remark(reason);
            }
            Err(Missing::Cancelled) => return Err(StudyError::Cancelled),
        }
    }
    for (circuit, found) in &read.loops {
        match found {
            Ok(LoopNeed { need: Need::Rests, .. }) => remark(format!("{circuit}: holds at rest, no core")),
            Ok(LoopNeed { need: Need::Gone, .. }) => remark(format!("{circuit}: holds without the loop")),
            _ => {}
        }
    }
    Ok((values, remarks.join("; ")))
}

/// A case by its full name, with its result or what stands in the way.
type Solved = (String, Result<CaseResult, String>);

/// A mission case by its full name, with its flight or what stands in the way.
type Flown = (String, Result<Flight, String>);

/// What is known of a point.
struct Read<'a> {
    study: &'a Study<'a>,
    project: &'a Project,
    inputs_si: &'a [f64],
    solved: Vec<Solved>,
    flown: Vec<Flown>,
    /// Loops that were sized so far.
    loops: Vec<(String, Result<LoopNeed, Missing>)>,
}

/// How much of a loop is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Need {
    /// All of it.
    Sized,
    /// It may be at rest, so no core.
    Rests,
    /// Nothing of it.
    Gone,
}

/// A loop at a point.
#[derive(Clone, Copy, Debug)]
struct LoopNeed {
    need: Need,
    core_dry_kg: f64,
    /// The whole loop, if that is watched.
    fitted_kg: f64,
}

#[derive(Clone, Debug)]
enum Missing {
    Because(String),
    Cancelled,
}

/// The steady cases that are needed.
fn needed<'a>(project: &'a Project, watched: &[Watch], chosen: &[String]) -> Vec<(String, Situation<'a>)> {
    let is_watched = |name: &str| watched.iter().any(|watch| watch.case() == Some(name));
    let worst = watched.contains(&Watch::Worst);
    let is_chosen = |name: &str| chosen.is_empty() || chosen.iter().any(|known| known == name);
    let is_needed = |name: &str| is_watched(name) || (worst && is_chosen(name));
    let named = cases::steady(project).into_iter().map(|case| (case.name().to_string(), case));
    named.filter(|(name, _)| is_needed(name)).collect()
}

/// The cases that are needed, one after the other: points are what runs side by side.
fn solved(study: &Study<'_>, project: &Project) -> Vec<Solved> {
    let (watched, linearizations) = (study.watched, &study.linearizations);
    let refuses = project.policy.outside_range == OutsideRange::Refuse;
    let all = needed(project, watched, study.maker.cases).into_iter().map(|(name, one)| {
        let needs_heat = || watched.iter().any(|w| matches!(w, Watch::Heat { case, .. } if *case == name));
        let linearization = linearizations
            .iter()
            .find(|(known, _)| *known == name)
            .and_then(|(_, linearization)| linearization.as_ref());
        let result = match (linearization, situated(project, &one)) {
            (Some(linearization), Some(situation)) if refuses || needs_heat() => {
                linearization.solve_in_full(&situation)
            }
            (Some(linearization), Some(situation)) => linearization.solve(&situation),
            _ => case::solve(&one),
        };
        (name, result.map_err(|problem| problem.message))
    });
    all.collect()
}

/// The missions that are needed.
fn flown(project: &Project, watched: &[Watch], cancel: &AtomicBool) -> Result<Vec<Flown>, StudyError> {
    let mut found = Vec::new();
    for mission in cases::missions(project) {
        let name = mission.name().to_string();
        if !watched.iter().any(|watch| watch.case() == Some(name.as_str())) {
            continue;
        }
        if cancel.load(Ordering::Relaxed) {
            return Err(StudyError::Cancelled);
        }
        let flight = fly_case(&mission, &FlyOptions::default()).map_err(|error| error.to_string());
        found.push((name, flight));
    }
    Ok(found)
}

fn usable(solved: &Solved) -> Result<&CaseResult, Missing> {
    match &solved.1 {
        Ok(result) if result.status.can_be_judged() => Ok(result),
        Ok(result) => Err(Missing::Because(format!("{}: {}", solved.0, result.status.word()))),
        Err(message) => Err(Missing::Because(format!("{}: {message}", solved.0))),
    }
}

impl Read<'_> {
    fn value(&mut self, watch: &Watch) -> Result<f64, Missing> {
        match watch {
            Watch::Worst => worst(&self.solved, self.study.maker.cases),
            Watch::Margin { case, place, limit, kind } => {
                let all = self.margins(case)?;
                let own = all.iter().filter(|m| m.place == *place && m.limit == *limit && m.kind == *kind);
                let least = own.map(|margin| margin.margin).reduce(f64::min).filter(|m| m.is_finite());
                least.ok_or_else(|| Missing::Because(format!("{case}: no limit {limit} at {place}")))
            }
            Watch::Temperature { case, component } => Ok(self.of_component(case, component)?.temperature_k()),
            Watch::Heat { case, component } => Ok(self.of_component(case, component)?.heat_w),
            Watch::Peak { case, component } => {
                let peak = self.flight(case)?.component_k(component).into_iter().reduce(f64::max);
                peak.ok_or_else(|| Missing::Because(format!("{case}: no component {component}")))
            }
            Watch::Mass => model::budget::masses(self.project)
                .map(|book| book.total_kg())
                .map_err(|problem| Missing::Because(problem.message)),
            Watch::Size { circuit } => self.need(circuit).map(|found| found.core_dry_kg),
            Watch::Fitted { circuit } => self.need(circuit).map(|found| found.fitted_kg),
            Watch::Boundary { circuit, how } => self.boundary(circuit, *how),
        }
    }

    fn boundary(&self, circuit: &str, how: Absence) -> Result<f64, Missing> {
        let number = self.study.absent.iter().position(|absent| absent.circuit == circuit);
        let beside = self.study.beside_resistance(self.inputs_si);
        let found = number.and_then(|number| self.study.boundaries.get(&(number, how, beside)));
        let because = |what: String| Err(Missing::Because(format!("{circuit} {}: {what}", how.word())));
        match found.copied().flatten() {
            Some(Boundary::UpTo(ohm)) => Ok(ohm),
            Some(Boundary::AtLeast(ohm)) => because(format!("holds to above {:.1} mOhm", 1e3 * ohm)),
            Some(Boundary::Below(ohm)) => because(format!("short down to {:.2} mOhm", 1e3 * ohm)),
            None => because("that cannot be".to_owned()),
        }
    }

    /// A loop sized, once for all that is watched of it.
    fn need(&mut self, circuit: &str) -> Result<LoopNeed, Missing> {
        if let Some((_, found)) = self.loops.iter().find(|(name, _)| name == circuit) {
            return found.clone();
        }
        let found = self.sized(circuit);
        self.loops.push((circuit.to_owned(), found.clone()));
        found
    }

    fn sized(&self, circuit: &str) -> Result<LoopNeed, Missing> {
        let Study { maker, watched, absent, cancel, .. } = self.study;
        let cases = maker.cases.to_vec();
        let options =
            SizeOptions { reach: SearchScope::Height, relax: false, cases, ..SizeOptions::default() };
        let result = size(self.project, circuit, &options, cancel, |_, _| ()).map_err(Missing::from)?;
        let is_fitted = watched.iter().any(|w| matches!(w, Watch::Fitted { circuit: c } if c == circuit));
        let absent = absent.iter().find(|absent| absent.circuit == circuit);
        if let Some(absent) = absent.filter(|_| may_be_needless(&result)) {
            let holds = |how| {
                let found = absent.holds(maker, self.project, self.inputs_si, how, cancel);
                found.map_err(Missing::from)
            };
            if is_fitted && holds(Absence::Removed)? {
                return Ok(LoopNeed { need: Need::Gone, core_dry_kg: 0.0, fitted_kg: 0.0 });
            }
            if holds(Absence::AtRest)? {
                let fitted_kg = if is_fitted { fitted_kg(absent, self.project, false)? } else { 0.0 };
                return Ok(LoopNeed { need: Need::Rests, core_dry_kg: 0.0, fitted_kg });
            }
        }
        let sized = dry_of(circuit, &result)?;
        let fitted_kg = match absent.filter(|_| is_fitted) {
            Some(absent) => {
                let plan = crate::size::Plan::of(self.project, circuit).map_err(Missing::from)?;
                fitted_kg(absent, &plan.applied(self.project, &sized.design), true)?
            }
            None => 0.0,
        };
        Ok(LoopNeed { need: Need::Sized, core_dry_kg: sized.core_dry_kg, fitted_kg })
    }

    fn case(&self, wanted: &str) -> Result<&CaseResult, Missing> {
        let found = self.solved.iter().find(|(name, _)| name == wanted);
        found.ok_or_else(|| Missing::Because(format!("{wanted}: no such case"))).and_then(usable)
    }

    fn flight(&self, wanted: &str) -> Result<&Flight, Missing> {
        let because = |reason: &str| Missing::Because(format!("{wanted}: {reason}"));
        match self.flown.iter().find(|(name, _)| name == wanted) {
            Some((_, Ok(flight))) if flight.status.can_be_judged() => Ok(flight),
            Some((_, Ok(flight))) => Err(because(flight.status.word())),
            Some((_, Err(message))) => Err(because(message)),
            None => Err(because("no such mission")),
        }
    }

    fn margins(&self, case: &str) -> Result<Vec<Margin>, Missing> {
        if self.flown.iter().any(|(name, _)| name == case) {
            let timed = self.flight(case)?.margins(self.project);
            return Ok(timed.into_iter().map(|timed| timed.margin).collect());
        }
        Ok(self.case(case)?.margins.clone())
    }

    fn of_component(&self, case: &str, name: &str) -> Result<&ComponentResult, Missing> {
        let found = self.case(case)?.components.iter().find(|one| one.name == name);
        found.ok_or_else(|| Missing::Because(format!("{case}: no component {name}")))
    }
}

fn worst(solved: &[Solved], chosen: &[String]) -> Result<f64, Missing> {
    let mut least: Option<&Margin> = None;
    for one in solved.iter().filter(|one| chosen.is_empty() || chosen.contains(&one.0)) {
        for margin in &usable(one)?.margins {
            if !margin.reserve().is_finite() {
                return Err(Missing::Because(format!("{}: {} has no number", one.0, margin.place)));
            }
            if least.is_none_or(|known| margin.rank() < known.rank()) {
                least = Some(margin);
            }
        }
    }
    least.map(Margin::reserve).ok_or_else(|| Missing::Because("no steady case has a limit".to_owned()))
}

impl From<StudyError> for Missing {
    fn from(error: StudyError) -> Self {
        match error {
            StudyError::Cancelled => Self::Cancelled,
            other => Self::Because(other.to_string()),
        }
    }
}

/// Whether the smallest core holds: only then can less than a core do.
fn may_be_needless(result: &SizeResult) -> bool {
    result.beyond.is_empty()
        && result.infeasible.is_empty()
        && result.sized.as_ref().is_some_and(|sized| sized.is_smallest)
}

fn fitted_kg(absent: &Absent, project: &Project, with_cores: bool) -> Result<f64, Missing> {
    absent.mass_kg(project, with_cores).map_err(|problem| Missing::Because(problem.message))
}

/// The design, or why there is none.
fn dry_of<'a>(circuit: &str, result: &'a SizeResult) -> Result<&'a Sized, Missing> {
    if !result.is_whole() {
        return Err(Missing::Cancelled);
    }
    if let Some(one) = result.infeasible.first() {
        return Err(Missing::Because(format!("{circuit}: {} holds at no size", one.case)));
    }
    if let Some(beyond) = result.beyond.first() {
        return Err(Missing::Because(format!("{circuit}: {} is short at every size", beyond.case)));
    }
    let none = || Missing::Because(format!("{circuit}: no size holds every margin"));
    result.sized.as_ref().ok_or_else(none)
}
