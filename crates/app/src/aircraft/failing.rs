//! Single failures over time as display data.

use aircraft::records::failure::Failure;
use aircraft::records::project::Project;
use model::cases;
use model::mission::{FlyOptions, MissionCase};
use model::result::{Margin, MarginKind};
use std::sync::atomic::AtomicBool;
use studies::StudyError;
use studies::failures::{FailureAlert, FailureOutcome, TimesToLand};

use super::pages::{celsius, displayed};
use crate::subject::Choice;
use crate::views::failures::{Alert, FailureRow, FailuresData, PeakUntilTouchdown};
use crate::views::figure::{Figure, Standing};
use crate::views::time::clock;
use crate::views::work::Work;

/// Failures worked out before the page is drawn anew.
const AT_ONCE: usize = 2;

/// The mission that the page is about: the one on screen, else the first at the condition, else the first of all at its hottest.
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

/// The page Failures, from what is known of an earlier start. `so_far` is handed what there is, the failures that wait
/// included as unknown, with what is worked on next; it tells whether to go on.
pub(super) fn failures_data(
    project: &Project,
    choice: &Choice,
    known: Vec<FailureOutcome>,
    cancelled: &AtomicBool,
    mut so_far: impl FnMut(FailuresData, Work, &[FailureOutcome]) -> bool,
) -> Result<Option<FailuresData>, StudyError> {
    let Some(case) = mission_case(project, choice)? else { return Ok(None) };
    let failures = studies::failures::single_failures(project);
    let mut outcomes = known;
    let is_known = |failure: &Failure| {
        outcomes.iter().any(|outcome| outcome.case.failure.as_deref() == Some(failure.name.as_str()))
    };
    let waiting: Vec<Failure> = failures.iter().filter(|failure| !is_known(failure)).cloned().collect();
    let mut landing = TimesToLand::of(&project.policy.landing);
    for some in waiting.chunks(AT_ONCE) {
        let names: Vec<&str> = some.iter().map(|failure| failure.name.as_str()).collect();
        let work = Work {
            done: outcomes.len(),
            of: failures.len(),
            what: "failures".to_owned(),
            now: names.join(", "),
        };
        if !so_far(data(&case, &outcomes, failures.len(), landing), work, &outcomes) {
            return Err(StudyError::Cancelled);
        }
        let study = studies::failures::run(&[case], some, &FlyOptions::default(), cancelled, |_done| ())?;
        landing = study.landing;
        outcomes.extend(study.failures);
    }
    Ok((!failures.is_empty()).then(|| data(&case, &outcomes, failures.len(), landing)))
}

fn data(
    case: &MissionCase<'_>,
    outcomes: &[FailureOutcome],
    all: usize,
    landing: TimesToLand,
) -> FailuresData {
    let mut order: Vec<&FailureOutcome> = outcomes.iter().collect();
    order.sort_by(|a, b| {
        let time_s = |outcome: &FailureOutcome| outcome.time_to_limit_s().unwrap_or(f64::INFINITY);
        b.action.cmp(&a.action).then(time_s(a).total_cmp(&time_s(b)))
    });
    FailuresData {
        during: case.name().to_string(),
        waiting: all - outcomes.len(),
        rows: order.into_iter().map(|outcome| row(outcome, landing)).collect(),
        temperature_unit: "degC".to_owned(),
    }
}

fn row(outcome: &FailureOutcome, landing: TimesToLand) -> FailureRow {
    let first = outcome.limits.first();
    // what is flown after the failure may pass a limit before the power of the moment does
    let passed_s = outcome.time_to_limit_s().into_iter().chain(outcome.passed_before_touchdown_s);
    FailureRow {
        name: outcome.case.failure.clone().unwrap_or_default(),
        start: format!("{}, {}", clock(outcome.start_s), outcome.start_segment),
        first_limit: first.map(|limit| format!("{}, {}", limit.place, limit.limit)).unwrap_or_default(),
        time_to_limit_s: passed_s.min_by(f64::total_cmp),
        time_to_land_s: Some(landing.time_s(outcome.action)),
        action: outcome.action.words().to_owned(),
        is_kept: outcome.is_kept(),
        outcome: if outcome.moments == 0 { told(outcome) } else { String::new() },
        peaks: peaks(outcome),
        alerts: outcome.alerts.iter().map(|found| alert(found, landing)).collect(),
    }
}

fn told(outcome: &FailureOutcome) -> String {
    let message = outcome.notices.last().map(|notice| notice.message.clone());
    message.unwrap_or_else(|| outcome.status.word().replace('_', " "))
}

/// What is nearest to its limit, and what the failure worsens most where that is another limit.
fn peaks(outcome: &FailureOutcome) -> Vec<PeakUntilTouchdown> {
    let nearest = outcome.peak.as_ref().map(|peak| &peak.margin);
    let worsened = outcome.worsened.as_ref().map(|worsened| &worsened.margin);
    let other = worsened.filter(|margin| Some(*margin) != nearest);
    other.into_iter().chain(nearest).map(peak_row).collect()
}

fn peak_row(margin: &Margin) -> PeakUntilTouchdown {
    let (distance, required, unit) = displayed(margin);
    let (shown, unit): (fn(f64) -> f64, String) = match margin.kind {
        MarginKind::Rating => (|watt| 1e-3 * watt, format!(" ({unit})")),
        MarginKind::RatedTorque => (|torque| torque, format!(" ({unit})")),
        MarginKind::RatedSpeed => (|speed| 30.0 / std::f64::consts::PI * speed, format!(" ({unit})")),
        _ => (celsius, String::new()),
    };
    PeakUntilTouchdown {
        where_: format!("{}, {}{unit}", margin.place, margin.limit),
        temperature: Figure::new(shown(margin.value), 1),
        limit: Figure::new(shown(margin.limit_value), 1),
        margin: Figure::new(distance, 1),
        standing: Standing::of(Some(distance), required),
    }
}

fn alert(found: &FailureAlert, landing: TimesToLand) -> Alert {
    let figure =
        |kelvin: Option<f64>| kelvin.map_or_else(Figure::none, |kelvin| Figure::new(celsius(kelvin), 0));
    Alert {
        where_: format!("{}, {}", found.place, found.sensor),
        amber: figure(found.amber_k),
        red: figure(found.red_k),
        basis: format!(
            "amber leaves {} to land, red {}, with lag, accuracy and persistence of the sensor",
            clock(landing.soon_s),
            clock(landing.at_once_s)
        ),
    }
}
