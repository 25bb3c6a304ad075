//! Every limit in every chosen case, for one design after the other.

use crate::StudyError;
use crate::infeasible::Obstacle;
use crate::limit_name::LimitName;
use crate::missions::fly_case;
use aircraft::records::project::{OutsideRange, Project};
use model::assembly::Situation;
use model::case::{self, Linearization};
use model::case_name::CaseName;
use model::cases;
use model::mission::{FlyOptions, MissionCase};
use model::result::{Margin, Notice, Status, reason};
use model::standing::Rank;
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

impl CaseVerdict {
    /// What stands in the way of a case, limits that are set aside left out; none if it holds.
    pub(crate) fn obstacle(&self, terms: &Terms) -> Option<Obstacle> {
        if !self.status.can_be_judged() {
            let (place, message) =
                self.notice.as_ref().map_or(("", ""), |n| (n.place.as_str(), n.message.as_str()));
            return Some(Obstacle::without_state(place, self.status.word(), message.to_owned()));
        }
        let judged = self.margins.iter().filter(|(margin, _)| {
            !terms.aside.iter().any(|(case, limit)| *case == self.case && limit.is_of(margin))
        });
        let worst = judged.filter(|(m, _)| m.is_short()).min_by(|a, b| Margin::worst_first(&a.0, &b.0))?;
        Some(Obstacle::short(worst.0.clone(), worst.1))
    }
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

impl Binding {
    /// Its place in the ranking of margins, relaxation included.
    pub fn rank(&self) -> Rank {
        match &self.margin {
            Some(margin) => margin.rank_against(margin.margin - self.reserve),
            None if self.message.is_some() => Rank::NO_RESULT,
            None => Rank::NO_LIMITS,
        }
    }

    /// Whether the required margin, relaxation included, is not kept, or there is no state.
    pub fn is_short(&self) -> bool {
        !self.rank().standing().holds()
    }

    /// Its reserve on the scale of the ranking: K, or per cent of the limit. A search follows this number: unlike the place in the
    /// ranking it has no jump where a limit is passed.
    pub fn scaled(&self) -> f64 {
        self.margin.as_ref().map_or(self.reserve, |margin| margin.on_scale(self.reserve))
    }
}

/// Which of the margins of a case binds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Pick {
    /// The worst in the ranking: for what is told.
    Worst,
    /// The least reserve, whatever its standing: for searches.
    Least,
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
    /// Infeasible cases: they are known, and not judged.
    apart: Vec<usize>,
    fly: FlyOptions,
    cancel: &'a AtomicBool,
}

impl<'a> Judge<'a> {
    /// All cases of a project, or those that are named.
    pub(crate) fn new(
        project: &Project,
        wanted: &[String],
        without: &[String],
        fly: FlyOptions,
        cancel: &'a AtomicBool,
    ) -> Self {
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
        let is_wanted = |case: &Judged| {
            let name = case.name.to_string();
            (wanted.is_empty() || wanted.contains(&name)) && !without.contains(&name)
        };
        let cases: Vec<Judged> = steady.chain(flown).flatten().filter(is_wanted).collect();
        let linearizations = cases.par_iter().map(|case| linearization(project, case, cancel)).collect();
        Self { cases, linearizations, apart: Vec::new(), fly, cancel }
    }

    /// Leaves cases out from now on.
    pub(crate) fn set_apart(&mut self, cases: impl IntoIterator<Item = usize>) {
        self.apart.extend(cases);
    }

    /// The same cases, solved without a state to begin with.
    pub(crate) fn cold(&self) -> Self {
        Self {
            cases: self.cases.clone(),
            linearizations: vec![None; self.cases.len()],
            apart: self.apart.clone(),
            ..*self
        }
    }

    /// The same for what is still to be told once a study is stopped.
    pub(crate) fn to_the_end(&self) -> Judge<'static> {
        static NEVER: AtomicBool = AtomicBool::new(false);
        Judge {
            cases: self.cases.clone(),
            linearizations: vec![None; self.cases.len()],
            apart: self.apart.clone(),
            fly: self.fly,
            cancel: &NEVER,
        }
    }

    /// How many cases there are, those set apart too.
    pub(crate) fn len(&self) -> usize {
        self.cases.len()
    }

    /// Cases that are judged.
    pub(crate) fn all(&self) -> Vec<usize> {
        (0..self.cases.len()).filter(|case| !self.apart.contains(case)).collect()
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
    pub(crate) fn verdict(&self, project: &Project, number: usize) -> Result<CaseVerdict, StudyError> {
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
            let found = self.bound(&self.verdict(project, case)?, terms, Pick::Least);
            if least.as_ref().is_none_or(|known| found.scaled() < known.scaled()) {
                least = Some(found);
            }
        }
        least.ok_or_else(nothing_to_judge)
    }

    /// The worst margin of a verdict.
    pub(crate) fn binding(&self, verdict: &CaseVerdict, terms: &Terms) -> Binding {
        self.bound(verdict, terms, Pick::Worst)
    }

    fn bound(&self, verdict: &CaseVerdict, terms: &Terms, pick: Pick) -> Binding {
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
        let rank = |margin: &Margin| margin.rank_against(margin.margin - reserve(margin));
        let least = match pick {
            Pick::Worst => judged.min_by_key(|(margin, _)| rank(margin)),
            Pick::Least => {
                let scaled = |margin: &Margin| margin.on_scale(reserve(margin));
                judged.min_by(|a, b| scaled(&a.0).total_cmp(&scaled(&b.0)))
            }
        };
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
