//! Chains: flights and turnarounds one after the other, day after day, until the day repeats itself.
//!
//! Every leg begins in the state that the one before left; the first flight of all begins as its mission says. A day repeats
//! itself when no component differs at its beginning from the day before by more than the tolerance of the chain: what is then
//! true of one day is true of all that follow. Chains are flown at the conditions of their turnarounds, or without one at those
//! at which their missions are cases.

use crate::StudyError;
use crate::missions::state_before;
use aircraft::records::ground::{Chain, Leg, LegTurn};
use aircraft::records::powertrain::Bus;
use aircraft::records::project::Project;
use aircraft::records::surroundings::Condition;
use model::case_name::CaseName;
use model::cases;
use model::mission::{self, EndState, Flight, FlyOptions, MissionCase, Schedule, StartState, TimedMargin};
use model::mission::{TurnaroundCase, TurnaroundStart};
use model::result::Status;
use model::standing::Standing;
use rayon::prelude::*;
use schema::Problem;
use std::sync::atomic::{AtomicBool, Ordering};

/// A chain at a condition.
#[derive(Clone, Copy, Debug)]
pub struct ChainCase<'a> {
    /// Project.
    pub project: &'a Project,
    /// Condition.
    pub condition: &'a Condition,
    /// Chain.
    pub chain: &'a Chain,
}

/// What a leg was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LegKind {
    /// A mission.
    Flight,
    /// A turnaround by an option.
    Turnaround,
    /// Standing with everything off.
    Stand,
}

impl LegKind {
    /// Word used in files and tables.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Flight => "flight",
            Self::Turnaround => "turnaround",
            Self::Stand => "stand",
        }
    }
}

/// A leg that was done.
#[derive(Clone, Debug)]
pub struct LegResult {
    /// Mission, or turnaround and option.
    pub name: String,
    /// Kind.
    pub kind: LegKind,
    /// Start, s since the start of its day.
    pub start_s: f64,
    /// How long it took, s.
    pub duration_s: f64,
    /// Solved, or why it could not go on.
    pub status: Status,
    /// A step that waits for a temperature or a charge, and did not reach it.
    pub not_reached: Option<String>,
    /// Hottest group of cells at start, at most and at the end, K; none without a pack.
    pub pack_k: Option<[f64; 3]>,
    /// State of charge at start and end; none without a pack.
    pub state_of_charge: Option<[f64; 2]>,
    /// Limit with the least reserve; none without limits. Its time is since the start of the leg.
    pub worst: Option<TimedMargin>,
}

impl LegResult {
    /// How it stands.
    pub fn standing(&self) -> Standing {
        Standing::of_case(self.status, self.worst.as_ref().map(|worst| &worst.margin))
    }
}

/// A day of a chain.
#[derive(Clone, Debug)]
pub struct DayResult {
    /// Legs in order.
    pub legs: Vec<LegResult>,
    /// Largest difference of a component at its beginning from the beginning of the day before, K; none on the first day.
    pub difference_k: Option<f64>,
}

/// A chain that was flown.
#[derive(Clone, Debug)]
pub struct ChainResult {
    /// Condition and chain.
    pub case: CaseName,
    /// Days in order; the last one repeats itself if `repeats`.
    pub days: Vec<DayResult>,
    /// Whether the last day began as the one before, within the tolerance.
    pub repeats: bool,
    /// Tolerance, K.
    pub tolerance_k: f64,
}

impl ChainResult {
    /// All legs.
    pub fn legs(&self) -> impl Iterator<Item = &LegResult> {
        self.days.iter().flat_map(|day| &day.legs)
    }

    /// Whether every leg was done to its end and keeps every required margin, and the day repeats itself.
    pub fn holds(&self) -> bool {
        self.repeats && self.legs().all(|leg| leg.not_reached.is_none() && leg.standing().holds())
    }
}

impl ChainCase<'_> {
    /// Name: condition and chain.
    pub fn name(&self) -> CaseName {
        CaseName {
            condition: self.condition.name.as_str().to_owned(),
            point: self.chain.name.as_str().to_owned(),
            failure: None,
        }
    }
}

/// All chains of a project at their conditions.
pub fn cases(project: &Project) -> Vec<ChainCase<'_>> {
    let mut all = Vec::new();
    for chain in &project.chains {
        let turns: Vec<&LegTurn> = chain
            .legs
            .iter()
            .filter_map(|leg| if let Leg::Turn(turn) = leg { Some(turn) } else { None })
            .collect();
        let at_turns = |condition: &Condition| {
            let of =
                |turn: &&LegTurn| project.turnarounds.iter().find(|t| t.name.as_str() == turn.turnaround);
            let named = |turn: &LegTurn| {
                of(&turn).is_some_and(|t| t.conditions.iter().any(|name| name == condition.name.as_str()))
            };
            turns.iter().all(|turn| named(turn))
        };
        let at_missions = |condition: &Condition| {
            cases::missions(project).iter().any(|case| {
                let flies = |leg: &Leg| matches!(leg, Leg::Fly(name) if name == case.mission.name.as_str());
                case.condition.name == condition.name && chain.legs.iter().any(flies)
            })
        };
        let here = |condition: &&Condition| {
            if turns.is_empty() { at_missions(condition) } else { at_turns(condition) }
        };
        all.extend(project.conditions.iter().filter(here).map(|condition| ChainCase {
            project,
            condition,
            chain,
        }));
    }
    all
}

/// Flies chains on all cores; they come back in order, with the same bits on any number of threads. `progress` is told of each
/// day that is done.
///
/// # Errors
/// [`StudyError::Assembly`] names what stands in the way, [`StudyError::Cancelled`] once the flag is set. A leg that cannot go on
/// ends its chain, which is a result.
pub fn fly(
    cases: &[ChainCase<'_>],
    options: &FlyOptions,
    cancel: &AtomicBool,
    progress: impl Fn() + Sync,
) -> Result<Vec<ChainResult>, StudyError> {
    cases.par_iter().map(|case| Days { case, options, cancel, state: None }.fly(&progress)).collect()
}

struct Days<'a, 'b> {
    case: &'b ChainCase<'a>,
    options: &'b FlyOptions,
    cancel: &'b AtomicBool,
    /// What the last leg left.
    state: Option<EndState>,
}

impl Days<'_, '_> {
    fn fly(mut self, progress: &impl Fn()) -> Result<ChainResult, StudyError> {
        let chain = self.case.chain;
        let tolerance_k = chain.tolerance.si();
        let mut result =
            ChainResult { case: self.case.name(), days: Vec::new(), repeats: false, tolerance_k };
        let mut began: Option<Vec<f64>> = None;
        for _ in 0..chain.most.max(1) {
            let (day, beginning) = self.day()?;
            progress();
            let difference_k = began.as_ref().map(|before| largest_difference(before, &beginning));
            began = Some(beginning);
            let goes_on = day.iter().all(|leg| leg.status.can_be_judged() && leg.not_reached.is_none());
            result.days.push(DayResult { legs: day, difference_k });
            result.repeats = difference_k.is_some_and(|difference| difference <= tolerance_k);
            if result.repeats || !goes_on {
                break;
            }
        }
        Ok(result)
    }

    /// One day, and the temperatures of the components at its beginning, K.
    fn day(&mut self) -> Result<(Vec<LegResult>, Vec<f64>), StudyError> {
        let chain = self.case.chain;
        let mut legs: Vec<LegResult> = Vec::new();
        let mut beginning = Vec::new();
        let mut start_s = 0.0;
        let night = chain.night.as_ref().map(|night| Leg::Stand(night.clone()));
        let day = (0..chain.times.max(1)).flat_map(|_| chain.legs.iter()).chain(night.as_ref());
        for leg in day {
            if self.cancel.load(Ordering::Relaxed) {
                return Err(StudyError::Cancelled);
            }
            let (name, kind, schedule) = self.schedule(leg)?;
            let flight = mission::fly(self.case.project, schedule, self.state.as_ref(), self.options);
            if legs.is_empty() {
                beginning = first_temperatures_k(&flight);
            }
            let done = self.result(name, kind, start_s, &flight);
            start_s += done.duration_s;
            let goes_on = done.status.can_be_judged() && done.not_reached.is_none();
            legs.push(done);
            self.state = Some(flight.end);
            if !goes_on {
                break;
            }
        }
        Ok((legs, beginning))
    }

    fn failed(&self, problem: Problem) -> StudyError {
        StudyError::Assembly { case: self.case.name(), problem: Box::new(problem) }
    }

    fn schedule(&mut self, leg: &Leg) -> Result<(String, LegKind, Schedule), StudyError> {
        let ChainCase { project, condition, .. } = *self.case;
        let made = match leg {
            Leg::Fly(name) => {
                let named = project.missions.iter().find(|mission| mission.name.as_str() == name);
                let mission = named.ok_or_else(|| self.unknown("mission", name))?;
                let case = MissionCase { project, condition, mission, failure: None };
                let schedule = if self.state.is_none() {
                    first(&case)
                } else {
                    mission::schedule_on(&case, false).map(carried)
                };
                (name.clone(), LegKind::Flight, schedule)
            }
            Leg::Turn(LegTurn { turnaround: name, option: wanted }) => {
                let named = project.turnarounds.iter().find(|turnaround| turnaround.name.as_str() == name);
                let turnaround = named.ok_or_else(|| self.unknown("turnaround", name))?;
                let option = turnaround.options.iter().find(|option| option.name.as_str() == wanted);
                let option = option.ok_or_else(|| self.unknown("option", wanted))?;
                let case = TurnaroundCase { project, condition, turnaround, option };
                let start =
                    if self.state.is_some() { TurnaroundStart::Carried } else { TurnaroundStart::Landed };
                (format!("{name}, {wanted}"), LegKind::Turnaround, mission::schedule_turnaround(&case, start))
            }
            Leg::Stand(time) => {
                let schedule = mission::schedule_stand(project, condition, time.si()).map(carried);
                ("stand".to_owned(), LegKind::Stand, schedule)
            }
        };
        let (name, kind, schedule) = (made.0, made.1, made.2.map_err(|problem| self.failed(problem))?);
        if self.state.is_none() && kind == LegKind::Flight {
            let named = project.missions.iter().find(|mission| mission.name.as_str() == name);
            if let Some(mission) = named {
                let case = MissionCase { project, condition, mission, failure: None };
                self.state = state_before(&case, &schedule.start, self.options, 9)?;
            }
        }
        Ok((name, kind, schedule))
    }

    fn unknown(&self, what: &str, name: &str) -> StudyError {
        let path = format!("chains.{}", self.case.chain.name.as_str());
        self.failed(Problem::error(path, format!("there is no {what} {name:?}"), "name one of the project"))
    }

    fn result(&self, name: String, kind: LegKind, start_s: f64, flight: &Flight) -> LegResult {
        let project = self.case.project;
        let pack = match project.powertrain.as_ref().map(|powertrain| &powertrain.bus) {
            Some(Bus::Pack(pack)) => Some(pack),
            _ => None,
        };
        let pack_k = pack.and_then(|pack| {
            let temperatures_k = flight.component_k(&pack.cells);
            let max_k = temperatures_k.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            Some([*temperatures_k.first()?, max_k, *temperatures_k.last()?])
        });
        let charge = flight.state_of_charge();
        let not_reached = flight.steps.iter().find(|step| step.ended == mission::StepEnd::NotReached);
        LegResult {
            name,
            kind,
            start_s,
            duration_s: flight.duration_s(),
            status: flight.status,
            not_reached: not_reached.map(|step| flight.schedule.steps[step.step].label.clone()),
            pack_k,
            state_of_charge: pack.and_then(|_| Some([*charge.first()?, *charge.last()?])),
            worst: flight.margins(project).into_iter().next(),
        }
    }
}

/// The first flight begins as its mission says; its soak is left out.
fn first(case: &MissionCase<'_>) -> Result<Schedule, Problem> {
    let mut schedule = mission::schedule(case)?;
    if schedule.steps.len() > 1 {
        schedule.steps.retain(|step| step.segment.is_some());
    }
    Ok(schedule)
}

fn carried(mut schedule: Schedule) -> Schedule {
    schedule.start = StartState::Carried;
    schedule
}

fn first_temperatures_k(flight: &Flight) -> Vec<f64> {
    let parts = &flight.schedule.parts().components;
    parts.iter().filter_map(|(name, _)| flight.component_k(name).first().copied()).collect()
}

fn largest_difference(before: &[f64], after: &[f64]) -> f64 {
    before.iter().zip(after).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests;
