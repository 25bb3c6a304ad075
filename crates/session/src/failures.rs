//! Single failures of a choice over time, a few at a time, so that the first are seen while the others are worked out.

use std::sync::Arc;

use aircraft::records::failure::Failure;
use aircraft::records::project::Project;
use aircraft::variant::Varied;
use model::case_name::CaseName;
use model::cases;
use model::mission::{FlyOptions, MissionCase};
use studies::StudyError;
use studies::failures::{FailureOutcome, TimesToLand};
use studies::power::{PowerOptions, PowerStudy};

use crate::choice::Choice;
use crate::found::{Extent, Found, Studied, Work};
use crate::snapshot::Snapshot;
use crate::solve::Asker;

/// Failures worked out before they are handed out.
const AT_ONCE: usize = 2;

/// What single failures leave, as far as they have been worked out.
#[derive(Debug, Clone)]
pub struct Failing {
    /// The mission during which they happen.
    pub during: CaseName,
    /// What each leaves, in the order of the study.
    pub outcomes: Vec<FailureOutcome>,
    /// How many there are.
    pub all: usize,
    /// Times to land.
    pub landing: TimesToLand,
    /// Power with one motor out, once everything else is there; or why there is none.
    pub power: Option<Result<Arc<PowerStudy>, String>>,
}

/// The mission of the study: the one on screen, else the first at the condition, else the first of all at its hottest.
fn mission_case<'a>(project: &'a Project, choice: &Choice) -> Result<Option<MissionCase<'a>>, StudyError> {
    let here: Vec<MissionCase<'a>> = cases::missions(project)
        .into_iter()
        .filter(|case| case.failure.is_none() && case.condition.name.as_str() == choice.case.condition)
        .collect();
    let same = here.iter().find(|case| case.mission.name.as_str() == choice.case.point).or(here.first());
    match same {
        Some(case) => Ok(Some(*case)),
        None => Ok(studies::failures::hottest_cases(project, None)?.into_iter().next()),
    }
}

impl Snapshot {
    pub(crate) fn with_failures(
        &self,
        mut found: Found,
        varied: &Varied,
        choice: &Choice,
        asker: Asker<'_>,
    ) -> Found {
        let key = (varied.name.clone(), choice.case.clone());
        let known = self.solved().failures.get(&key).cloned();
        if let Some(known) = known {
            found.studied = known.map_or(Studied::Nothing, Studied::Failures);
            return found;
        }
        match self.failing(&mut found, varied, choice, asker) {
            Ok(whole) => {
                found.studied = whole.clone().map_or(Studied::Nothing, Studied::Failures);
                found.extent = Extent::Whole;
                self.solved().failures.insert(key, whole);
            }
            Err(StudyError::Cancelled) => {}
            Err(error) => {
                found.problem = Some(format!("failures: {error}"));
                found.studied = Studied::Nothing;
                found.extent = Extent::Whole;
            }
        }
        found
    }

    /// Goes on from what an earlier start left. What there is stands in `found` whenever it is handed out, and when the work is stopped.
    fn failing(
        &self,
        found: &mut Found,
        varied: &Varied,
        choice: &Choice,
        asker: Asker<'_>,
    ) -> Result<Option<Arc<Failing>>, StudyError> {
        let project = &varied.project;
        let key = (varied.name.clone(), choice.case.clone());
        let Some(case) = mission_case(project, choice)? else { return Ok(None) };
        let failures = studies::failures::single_failures(project);
        let outcomes = self.solved().outcomes.get(&key).cloned().unwrap_or_default();
        let landing = TimesToLand::of(&project.policy.landing);
        let mut failing =
            Failing { during: case.name(), outcomes, all: failures.len(), landing, power: None };
        let is_known = |failure: &Failure| {
            let name = Some(failure.name.as_str());
            failing.outcomes.iter().any(|outcome| outcome.case.failure.as_deref() == name)
        };
        let waiting: Vec<Failure> = failures.iter().filter(|failure| !is_known(failure)).cloned().collect();
        for some in waiting.chunks(AT_ONCE) {
            let names: Vec<&str> = some.iter().map(|failure| failure.name.as_str()).collect();
            let work = Work::counted(failing.outcomes.len(), failures.len(), "failures");
            found.extent = Extent::Partial(Work { now: names.join(", "), ..work });
            // Without any, those of an earlier state may stay on screen.
            if !failing.outcomes.is_empty() {
                found.studied = Studied::Failures(Arc::new(failing.clone()));
            }
            self.solved().outcomes.insert(key.clone(), failing.outcomes.clone());
            if choice.is_stopped || asker.is_cancelled() {
                return Err(StudyError::Cancelled);
            }
            asker.hand_out(found);
            let study =
                studies::failures::run(&[case], some, &FlyOptions::default(), asker.cancelled, |_done| ())?;
            failing.landing = study.landing;
            failing.outcomes.extend(study.failures);
        }
        failing.power =
            match studies::power::power(project, &PowerOptions::default(), asker.cancelled, |_, _| ()) {
                Ok(found) => Some(Ok(Arc::new(found))),
                Err(StudyError::Cancelled) => return Err(StudyError::Cancelled),
                Err(error) => Some(Err(error.to_string())),
            };
        Ok((!failures.is_empty()).then(|| Arc::new(failing)))
    }
}
