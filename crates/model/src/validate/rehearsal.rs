//! Every case put together once, without solving it: what only shows there is told by `check`, and no command finds it later.

use crate::assembly::{Situation, assemble, try_out};
use crate::cases;
use crate::mission::{MissionCase, TurnaroundCase, TurnaroundStart, schedule, schedule_turnaround};
use aircraft::records::project::Project;
use schema::{Problem, Problems};

/// Puts every steady case, every mission case, every failure in every mission and every turnaround together. Slower than
/// [`super::validate`], which is asked at every edit.
pub fn rehearse(project: &Project) -> Problems {
    let mut found = Found::default();
    for group in &project.cases {
        let conditions = project.conditions.iter().filter(|c| group.conditions.iter().any(|n| c.name == *n));
        for condition in conditions {
            for point in project.points.iter().filter(|p| group.points.iter().any(|n| p.name == *n)) {
                let failures =
                    project.failures.iter().filter(|f| group.failures.iter().any(|n| f.name == *n));
                for failure in std::iter::once(None).chain(failures.map(Some)) {
                    found.keep(try_out(Situation { project, condition, point, failure }));
                }
            }
        }
    }
    if let (Some(condition), Some(point)) = (project.conditions.first(), project.points.first()) {
        found.keep(assemble(Situation { project, condition, point, failure: None }).map(drop));
    }
    let flown = cases::missions(project);
    for case in &flown {
        found.keep(schedule(case).map(drop));
    }
    for mission in &project.missions {
        // what a failure takes away does not depend on the weather
        let Some(case) = flown.iter().find(|case| std::ptr::eq(case.mission, mission)) else { continue };
        for failure in &project.failures {
            found.keep(schedule(&MissionCase { failure: Some(failure), ..*case }).map(drop));
        }
    }
    for turnaround in &project.turnarounds {
        let conditions =
            project.conditions.iter().filter(|c| turnaround.conditions.iter().any(|n| c.name == *n));
        for condition in conditions {
            for option in &turnaround.options {
                let case = TurnaroundCase { project, condition, turnaround, option };
                found.keep(schedule_turnaround(&case, TurnaroundStart::Landed).map(drop));
            }
        }
    }
    found.0
}

/// Problems, each told once.
#[derive(Default)]
struct Found(Problems);

impl Found {
    fn keep(&mut self, tried: Result<(), Problem>) {
        let Err(problem) = tried else { return };
        if !self.0.iter().any(|known| known.path == problem.path && known.message == problem.message) {
            self.0.push(problem);
        }
    }
}
