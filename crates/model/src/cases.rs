//! The one list of the cases of a project, in the one order that everything shows: group by group as the project has them, in each
//! its conditions, at each the steady points and then the missions, each without failure and with each failure of the group.

use crate::assembly::Situation;
use crate::case_name::CaseName;
use crate::mission::MissionCase;
use aircraft::records::failure::Failure;
use aircraft::records::mission::Mission;
use aircraft::records::project::Project;
use aircraft::records::study::{CaseGroup, Point};
use aircraft::records::surroundings::Condition;
use std::collections::HashSet;

/// A case of a project.
#[derive(Clone, Copy, Debug)]
pub enum Case<'a> {
    /// A steady point.
    Steady(Situation<'a>),
    /// A mission over time.
    Flown(MissionCase<'a>),
}

impl<'a> Case<'a> {
    /// Name: condition, point or mission, failure.
    pub fn name(&self) -> CaseName {
        match self {
            Self::Steady(situation) => situation.name(),
            Self::Flown(mission) => mission.name(),
        }
    }

    /// Surroundings.
    pub fn condition(&self) -> &'a Condition {
        match self {
            Self::Steady(situation) => situation.condition,
            Self::Flown(mission) => mission.condition,
        }
    }

    /// The steady point, if it is one.
    pub fn steady(self) -> Option<Situation<'a>> {
        match self {
            Self::Steady(situation) => Some(situation),
            Self::Flown(_) => None,
        }
    }

    /// The mission, if it is one.
    pub fn flown(self) -> Option<MissionCase<'a>> {
        match self {
            Self::Steady(_) => None,
            Self::Flown(mission) => Some(mission),
        }
    }
}

/// All cases of a project. A case that several groups name counts once.
pub fn all(project: &Project) -> Vec<Case<'_>> {
    let mut known = HashSet::new();
    let cases = project.cases.iter().flat_map(|group| in_group(project, group));
    cases.filter(|case| known.insert(case.name())).collect()
}

/// The steady points among [`all`].
pub fn steady(project: &Project) -> Vec<Situation<'_>> {
    all(project).into_iter().filter_map(Case::steady).collect()
}

/// The missions among [`all`].
pub fn missions(project: &Project) -> Vec<MissionCase<'_>> {
    all(project).into_iter().filter_map(Case::flown).collect()
}

/// What is done in a case.
#[derive(Clone, Copy)]
enum Task<'a> {
    Point(&'a Point),
    Mission(&'a Mission),
}

fn in_group<'a>(project: &'a Project, group: &'a CaseGroup) -> impl Iterator<Item = Case<'a>> {
    let conditions = project.conditions.iter().filter(|c| has(&group.conditions, &c.name));
    conditions.flat_map(move |condition| {
        let points = project.points.iter().filter(|p| has(&group.points, &p.name)).map(Task::Point);
        let missions = project.missions.iter().filter(|m| has(&group.missions, &m.name)).map(Task::Mission);
        points.chain(missions).flat_map(move |task| {
            let failures = project.failures.iter().filter(|f| has(&group.failures, &f.name)).map(Some);
            let each = std::iter::once(None).chain(failures);
            each.map(move |failure| case(project, condition, task, failure))
        })
    })
}

fn has(names: &[String], name: &str) -> bool {
    names.iter().any(|known| known == name)
}

fn case<'a>(
    project: &'a Project,
    condition: &'a Condition,
    task: Task<'a>,
    failure: Option<&'a Failure>,
) -> Case<'a> {
    match task {
        Task::Point(point) => Case::Steady(Situation { project, condition, point, failure }),
        Task::Mission(mission) => Case::Flown(MissionCase { project, condition, mission, failure }),
    }
}
