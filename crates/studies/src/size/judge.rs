//! Every limit in every chosen case, for one design after the other.

use crate::StudyError;
use crate::limit_name::LimitName;
use crate::missions::fly_case;
use aircraft::records::project::{OutsideRange, Project};
use model::assembly::Situation;
use model::case::{self, Linearization};
use model::case_name::CaseName;
use model::cases;
use model::mission::{FlyOptions, MissionCase};
use model::result::{Margin, Notice, Status, reason};
use rayon::prelude::*;
use std::sync::atomic::{AtomicBool, Ordering};

/// A case by the places of its parts in the project: it holds for every project with the same lists.
#[derive(Clone, Debug, PartialEq)]
struct Judged {
    name: CaseName,
    condition: usize,
    /// Number of the point, or of the mission.
    duty: usize,
    is_flown: bool,
    failure: Option<usize>,
}

impl Judged {
    /// The same steady case of a project with the same lists.
    fn situation<'p>(&self, project: &'p Project) -> Situation<'p> {
        Situation {
            project,
            condition: &project.conditions[self.condition],
            point: &project.points[self.duty],
            failure: self.failure.map(|failure| &project.failures[failure]),
        }
    }
}

/// The solved state of a steady case; none for a mission, a case without a state that is kept, or a cancelled study.
fn linearization(project: &Project, case: &Judged, cancel: &AtomicBool) -> Option<Linearization> {
    if case.is_flown || cancel.load(Ordering::Relaxed) {
        return None;
    }
    // what stands in the way of putting it together is told by the first verdict
    Linearization::of(&case.situation(project)).ok().and_then(|(_, linearization)| linearization)
}

/// What the limits say about one case of one design.
#[derive(Clone, Debug)]
pub(crate) struct CaseVerdict {
    pub(crate) case: usize,
    pub(crate) status: Status,
    pub(crate) notice: Option<Notice>,
    pub(crate) margins: Vec<(Margin, Option<f64>)>,
}

/// The least reserve of several cases.
#[derive(Clone, Debug, PartialEq)]
pub struct Binding {
    /// Case.
    pub case: CaseName,
    /// Number of the case.
    pub(crate) number: usize,
    /// The margin; none where the case has no state.
    pub margin: Option<Margin>,
    /// When it is least, s; none in a steady case.
    pub time_s: Option<f64>,
    /// Why there is no state.
    pub message: Option<String>,
    /// What is left over the required margin, relaxation included; minus infinity without a state.
    pub reserve: f64,
}

/// Limits that are made looser, and limits that are set aside.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Terms {
    /// Looser by this much.
    pub(crate) relaxed: Option<(LimitName, f64)>,
    /// Case and limit that are not judged.
    pub(crate) aside: Vec<(usize, LimitName)>,
}

/// Cases to judge designs by.
#[derive(Debug)]
pub(crate) struct Judge<'a> {
    cases: Vec<Judged>,
    /// Solved states of the project as it is, for its steady cases. Every design starts from them, whatever was tried before it:
    /// the answer does not depend on the order of work.
    linearizations: Vec<Option<Linearization>>,
    fly: FlyOptions,
    cancel: &'a AtomicBool,
}

impl<'a> Judge<'a> {
    /// All cases of a project, or those that are named.
    pub(crate) fn new(project: &Project, wanted: &[String], fly: FlyOptions, cancel: &'a AtomicBool) -> Self {
        let condition = |name: &str| project.conditions.iter().position(|c| c.name.as_str() == name);
        let failure = |name: &str| project.failures.iter().position(|f| f.name.as_str() == name);
        let numbered = |name: CaseName, duty: Option<usize>, is_flown| {
            Some(Judged {
                condition: condition(&name.condition)?,
                duty: duty?,
                is_flown,
                failure: match &name.failure {
                    Some(name) => Some(failure(name)?),
                    None => None,
                },
                name,
            })
        };
        let steady = cases::steady(project).into_iter().map(|case| {
            let name = case.name();
            let duty = project.points.iter().position(|p| p.name.as_str() == name.point);
            numbered(name, duty, false)
        });
        let flown = cases::missions(project).into_iter().map(|case| {
            let name = case.name();
            let duty = project.missions.iter().position(|m| m.name.as_str() == name.point);
            numbered(name, duty, true)
        });
        let is_wanted = |case: &Judged| wanted.is_empty() || wanted.contains(&case.name.to_string());
        let cases: Vec<Judged> = steady.chain(flown).flatten().filter(is_wanted).collect();
        let linearizations = cases.par_iter().map(|case| linearization(project, case, cancel)).collect();
        Self { cases, linearizations, fly, cancel }
    }

    /// The same cases, solved without a state to begin with.
    pub(crate) fn cold(&self) -> Self {
        Self { cases: self.cases.clone(), linearizations: vec![None; self.cases.len()], ..*self }
    }

    pub(crate) fn len(&self) -> usize {
        self.cases.len()
    }

    pub(crate) fn all(&self) -> Vec<usize> {
        (0..self.cases.len()).collect()
    }

    /// Steady cases.
    pub(crate) fn steady(&self) -> Vec<usize> {
        self.all().into_iter().filter(|&case| !self.cases[case].is_flown).collect()
    }

    /// Missions.
    pub(crate) fn flown(&self) -> Vec<usize> {
        self.all().into_iter().filter(|&case| self.cases[case].is_flown).collect()
    }

    pub(crate) fn name(&self, case: usize) -> &CaseName {
        &self.cases[case].name
    }

    pub(crate) fn fly_options(&self) -> &FlyOptions {
        &self.fly
    }

    pub(crate) fn is_cancelled(&self) -> bool {
        self.cancel.load(Ordering::Relaxed)
    }

    /// A steady case of a project with the same lists, and the solved state to begin with.
    pub(crate) fn steady_case<'p>(
        &self,
        project: &'p Project,
        case: usize,
    ) -> (Situation<'p>, Option<&Linearization>) {
        (self.cases[case].situation(project), self.linearizations[case].as_ref())
    }

    /// A mission of a project with the same lists.
    pub(crate) fn mission_case<'p>(&self, project: &'p Project, case: usize) -> MissionCase<'p> {
        let judged = &self.cases[case];
        MissionCase {
            project,
            condition: &project.conditions[judged.condition],
            mission: &project.missions[judged.duty],
            failure: judged.failure.map(|failure| &project.failures[failure]),
        }
    }

    /// What the limits say about one case.
    fn verdict(&self, project: &Project, number: usize) -> Result<CaseVerdict, StudyError> {
        if self.cancel.load(Ordering::Relaxed) {
            return Err(StudyError::Cancelled);
        }
        let judged = &self.cases[number];
        if judged.is_flown {
            let flight = fly_case(&self.mission_case(project, number), &self.fly)?;
            let margins = if flight.status.can_be_judged() { flight.margins(project) } else { Vec::new() };
            let margins = margins.into_iter().map(|timed| (timed.margin, Some(timed.time_s))).collect();
            let notice = reason(flight.status, &flight.notices).cloned();
            return Ok(CaseVerdict { case: number, status: flight.status, notice, margins });
        }
        let situation = judged.situation(project);
        let solved = match &self.linearizations[number] {
            Some(linearization) if project.policy.outside_range == OutsideRange::Refuse => {
                linearization.solve_in_full(&situation)
            }
            Some(linearization) => linearization.solve(&situation),
            None => case::solve(&situation),
        };
        let result = solved.map_err(|problem| StudyError::Assembly {
            case: judged.name.clone(),
            problem: Box::new(problem),
        })?;
        Ok(CaseVerdict {
            case: number,
            status: result.status,
            notice: reason(result.status, &result.notices).cloned(),
            margins: result.margins.into_iter().map(|margin| (margin, None)).collect(),
        })
    }

    /// Verdicts on several cases, in their order, with the same bits on any number of threads.
    pub(crate) fn verdicts(
        &self,
        project: &Project,
        cases: &[usize],
    ) -> Result<Vec<CaseVerdict>, StudyError> {
        cases.par_iter().map(|&case| self.verdict(project, case)).collect()
    }

    /// The least reserve over several cases.
    pub(crate) fn least(
        &self,
        project: &Project,
        cases: &[usize],
        terms: &Terms,
    ) -> Result<Binding, StudyError> {
        let mut least: Option<Binding> = None;
        for &case in cases {
            let found = self.binding(&self.verdict(project, case)?, terms);
            if least.as_ref().is_none_or(|known| found.reserve < known.reserve) {
                least = Some(found);
            }
        }
        least.ok_or_else(nothing_to_judge)
    }

    /// The least reserve of a verdict.
    pub(crate) fn binding(&self, verdict: &CaseVerdict, terms: &Terms) -> Binding {
        let none = Binding {
            case: self.cases[verdict.case].name.clone(),
            number: verdict.case,
            margin: None,
            time_s: None,
            message: None,
            reserve: f64::INFINITY,
        };
        if !verdict.status.can_be_judged() {
            let message =
                verdict.notice.as_ref().map(|notice| format!("{}: {}", notice.place, notice.message));
            let message = message.or_else(|| Some(verdict.status.word().to_owned()));
            return Binding { message, reserve: f64::NEG_INFINITY, ..none };
        }
        let judged = verdict.margins.iter().filter(|(margin, _)| {
            !terms.aside.iter().any(|(case, limit)| *case == verdict.case && limit.is_of(margin))
        });
        let reserve = |margin: &Margin| {
            let looser = match &terms.relaxed {
                Some((limit, by)) if limit.is_of(margin) => *by,
                _ => 0.0,
            };
            Some(margin.reserve() + looser).filter(|r| !r.is_nan()).unwrap_or(f64::NEG_INFINITY)
        };
        let least = judged.min_by(|a, b| reserve(&a.0).total_cmp(&reserve(&b.0)));
        match least {
            Some((margin, time_s)) => {
                Binding { margin: Some(margin.clone()), time_s: *time_s, reserve: reserve(margin), ..none }
            }
            None => none,
        }
    }
}

/// A sizing without a case.
pub(crate) fn nothing_to_judge() -> StudyError {
    StudyError::Project(Box::new(schema::Problem::error(
        "cases",
        "there is no case to size for",
        "name conditions with points or missions in a case group",
    )))
}
