//! What is known of a choice: the cases, the missions and the study, and how much of what was asked for that is.

use std::collections::BTreeMap;
use std::sync::Arc;

use aircraft::records::project::Project;
use model::case_name::CaseName;
use model::mission::{Flight, MissionCase, TimedMargin};
use model::result::{CaseResult, Notice};

use crate::failures::Failing;
use crate::levers::CellLevers;
use crate::trades::Asked;
use crate::turnaround::Turned;

/// How far something long is.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Work {
    /// What is done.
    pub done: usize,
    /// How many there are.
    pub of: usize,
    /// What they are: `missions`.
    pub what: String,
    /// What is being worked on; empty where it has no name.
    pub now: String,
}

impl Work {
    /// So many of so many things without names of their own.
    pub fn counted(done: usize, of: usize, what: &str) -> Self {
        Self { done, of, what: what.to_owned(), now: String::new() }
    }

    /// Done of all, 0 to 1.
    pub fn share(&self) -> f32 {
        if self.of == 0 { 0.0 } else { self.done as f32 / self.of as f32 }
    }

    /// `3 of 12 missions`.
    pub fn count(&self) -> String {
        format!("{} of {} {}", self.done, self.of, self.what)
    }
}

/// How much of what was asked for is known.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Extent {
    /// Nothing: the cases were stopped before any was solved, and this much is missing.
    Nothing(Work),
    /// The case on screen alone: over all cases nothing is known yet.
    FirstCase(Work),
    /// A part, whole in itself; this much is missing.
    Partial(Work),
    /// The cases and missions; something that is not counted is worked out beside them.
    Uncounted,
    /// Everything.
    #[default]
    Whole,
    /// Nothing, because the state cannot stand: it leaves a variant that makes no sense. The edit that led to it is taken back.
    Refused(String),
}

impl Extent {
    /// What is missing; nothing where everything is there or the missing is not counted.
    pub fn work(&self) -> Option<&Work> {
        match self {
            Self::Nothing(work) | Self::FirstCase(work) | Self::Partial(work) => Some(work),
            Self::Uncounted | Self::Whole | Self::Refused(_) => None,
        }
    }
}

/// The steady cases of a variant.
#[derive(Debug, Default)]
pub struct Steady {
    /// Those that could be put together, in the order of the project.
    pub results: Vec<CaseResult>,
    /// Why a case could not be put together, by its name.
    pub refused: BTreeMap<CaseName, String>,
}

/// A mission case as it was flown.
#[derive(Debug)]
pub struct Flown {
    /// The flight itself, for the state at a moment.
    pub flight: Flight,
    /// Every limit at its worst moment.
    pub margins: Vec<TimedMargin>,
    /// Everything to know about it.
    pub told: Vec<Notice>,
}

impl Flown {
    /// A flight with its margins.
    pub fn new(case: &MissionCase<'_>, flight: Flight) -> Self {
        let judged = flight.judged(case.project);
        Self { flight, margins: judged.margins, told: judged.notices }
    }

    /// The state at the last sample up to a moment.
    pub fn state_at(&self, project: &Project, time_s: f64) -> Option<CaseResult> {
        let after = self.flight.times_s.partition_point(|time| *time <= time_s + 1e-9);
        let sample = after.saturating_sub(1);
        (sample < self.flight.times_s.len()).then(|| self.flight.case_at(project, sample))
    }
}

/// A mission by its name, or why it could not be put together.
pub type Named = (CaseName, Result<Arc<Flown>, String>);

/// The mission that lies beneath the shown one.
#[derive(Debug, Clone)]
pub struct Beneath {
    /// Name of its variant.
    pub variant: String,
    /// The mission.
    pub mission: Named,
}

/// What the study of a choice found so far.
#[derive(Debug, Clone, Default)]
pub enum Studied {
    /// No study was asked for, it found nothing to work on, or it has not begun.
    #[default]
    Nothing,
    /// From landing to ready.
    Turnaround(Arc<Turned>),
    /// Single failures over time.
    Failures(Arc<Failing>),
    /// What moves the margin of a cell.
    Levers(Arc<CellLevers>),
    /// A question with its answer.
    Trades(Arc<Asked>),
}

/// What is known of a choice. Cheap to clone.
#[derive(Debug, Clone, Default)]
pub struct Found {
    /// How much this is.
    pub extent: Extent,
    /// The steady cases.
    pub steady: Arc<Steady>,
    /// The missions that have been flown. In the order of the project once all are.
    pub flown: Vec<Named>,
    /// The mission that lies beneath the one that is chosen, once it has been flown.
    pub beneath: Option<Beneath>,
    /// The study.
    pub studied: Studied,
    /// Why the study has no result.
    pub problem: Option<String>,
}

impl Found {
    /// The mission of this name, if it has been flown or refused.
    pub fn mission(&self, name: &CaseName) -> Option<&Result<Arc<Flown>, String>> {
        self.flown.iter().find(|(known, _)| known == name).map(|(_, flown)| flown)
    }

    /// The steady case of this name, if it was solved.
    pub fn steady(&self, name: &CaseName) -> Option<&CaseResult> {
        self.steady.results.iter().find(|result| result.case == *name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_is_counted() {
        let work = Work::counted(3, 12, "missions");
        assert_eq!((work.share(), work.count().as_str()), (0.25, "3 of 12 missions"));
        assert_eq!(Work::default().share(), 0.0);
    }
}
