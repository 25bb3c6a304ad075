//! Single failures over time as display data.

use model::result::{Margin, MarginKind};
use session::failures::Failing;
use studies::failures::{FailureAlert, FailureOutcome, TimesToLand};

use super::units::{Displayed, celsius, displayed};
use crate::clock::clock;
use crate::views::failures::{Alert, FailureRow, FailuresData, PeakUntilTouchdown};
use crate::views::figure::Figure;
use crate::views::sheet::SheetData;

/// The page Failures, the most urgent first; those that wait are counted.
pub(super) fn failures_data(failing: &Failing) -> FailuresData {
    let mut order: Vec<&FailureOutcome> = failing.outcomes.iter().collect();
    order.sort_by(|a, b| FailureOutcome::most_pressing_first(a, b));
    FailuresData {
        during: failing.during.to_string(),
        waiting: failing.all - failing.outcomes.len(),
        rows: order.into_iter().map(|outcome| row(outcome, failing.landing)).collect(),
        temperature_unit: "degC".to_owned(),
        power_notes: power_notes(failing),
        power: match &failing.power {
            Some(Ok(found)) => report::power::sheets(found).into_iter().map(SheetData::from).collect(),
            Some(Err(_)) | None => Vec::new(),
        },
    }
}

/// What is to be said about the power with one motor out.
fn power_notes(failing: &Failing) -> Vec<String> {
    match &failing.power {
        Some(Ok(found)) => report::power::notes(found),
        Some(Err(reason)) => vec![reason.clone()],
        None => vec!["worked out after the failures".to_owned()],
    }
}

fn row(outcome: &FailureOutcome, landing: TimesToLand) -> FailureRow {
    let first = outcome.limits.first();
    let required = outcome.required.as_ref();
    let short_s = outcome.time_to_required_s().into_iter().chain(outcome.short_before_touchdown_s);
    // what is flown after the failure may pass a limit before the power of the moment does
    let passed_s = outcome.time_to_limit_s().into_iter().chain(outcome.passed_before_touchdown_s);
    FailureRow {
        name: outcome.case.failure.clone().unwrap_or_default(),
        start: format!("{}, {}", clock(outcome.start_s), outcome.start_segment),
        first_limit: first.map(|limit| format!("{}, {}", limit.place, limit.limit)).unwrap_or_default(),
        first_required: required.map(|short| format!("{}, {}", short.place, short.limit)).unwrap_or_default(),
        time_to_required_s: short_s.min_by(f64::total_cmp),
        time_to_limit_s: passed_s.min_by(f64::total_cmp),
        time_to_land_s: landing.time_s(outcome.action),
        action: outcome.action.words().to_owned(),
        action_reason: outcome.action_reason.map(|reason| reason.word().to_owned()).unwrap_or_default(),
        action_notes: outcome.action_notes.clone(),
        standing: outcome.standing,
        outcome: if outcome.moments == 0 { outcome_text(outcome) } else { String::new() },
        peaks: peaks(outcome),
        alerts: outcome.alerts.iter().map(|found| alert(found, landing)).collect(),
    }
}

fn outcome_text(outcome: &FailureOutcome) -> String {
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
    let Displayed { margin: distance, unit, .. } = displayed(margin);
    let (shown, unit): (fn(f64) -> f64, String) = match margin.kind {
        MarginKind::Rating | MarginKind::PumpInlet => (|si| 1e-3 * si, format!(" ({unit})")),
        MarginKind::RatedTorque => (|torque| torque, format!(" ({unit})")),
        MarginKind::RatedSpeed => (|speed| 30.0 / std::f64::consts::PI * speed, format!(" ({unit})")),
        _ => (celsius, String::new()),
    };
    PeakUntilTouchdown {
        where_: format!("{}, {}{unit}", margin.place, margin.limit),
        temperature: Figure::new(shown(margin.value), 1),
        limit: Figure::new(shown(margin.limit_value), 1),
        margin: Figure::new(distance, 1),
        standing: margin.standing(),
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
