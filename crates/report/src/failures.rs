//! Single failures as text and JSON: time to each limit, peak until touchdown, action, alert temperatures.

use crate::json::Origin;
use crate::{celsius, table::table};
use model::result::{Margin, MarginKind, Status};
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::failures::{Alert, FailureOutcome, FailureStudy, Worsened};

/// A temperature this far past its limit is not shown, K.
const RUNAWAY_K: f64 = 200.0;

/// Time as minutes and seconds.
fn minutes(time_s: f64) -> String {
    let seconds = time_s.max(0.0).round();
    format!("{:.0}:{:02.0}", (seconds / 60.0).floor(), seconds % 60.0)
}

/// Factor and unit of a distance to a limit of this kind as it is shown.
fn shown(kind: MarginKind) -> (f64, &'static str) {
    match kind {
        MarginKind::Rating => (1e-3, "kW"),
        MarginKind::RatedTorque => (1.0, "N m"),
        MarginKind::RatedSpeed => (30.0 / std::f64::consts::PI, "rpm"),
        MarginKind::Maximum | MarginKind::Minimum | MarginKind::Boiling | MarginKind::Freezing => (1.0, "K"),
    }
}

fn value(margin: &Margin) -> String {
    let (factor, unit) = shown(margin.kind);
    let distance = format!("{:+.1} {unit}", factor * margin.margin);
    match unit {
        // so far past a limit no law holds: only that it is passed means something
        "K" if margin.margin < -RUNAWAY_K => {
            format!("runs away past {:.0} degC", celsius(margin.limit_value))
        }
        "K" => format!("{:.1} degC, {distance}", celsius(margin.value)),
        _ => format!("{:.1} {unit}, {distance}", factor * margin.value),
    }
}

/// Place, value, margin, and the margin without the failure.
fn worsened(worsened: &Worsened) -> String {
    let margin = &worsened.margin;
    let (factor, unit) = shown(margin.kind);
    let healthy =
        worsened.healthy.map_or_else(String::new, |healthy| format!(" ({:+.1} {unit})", factor * healthy));
    format!("{}, {}: {}{healthy}", margin.place, margin.limit, value(margin))
}

/// Time until a limit is passed; a time longer than the command was kept is not known.
fn time_to_limit(outcome: &FailureOutcome) -> String {
    match outcome.time_to_limit_s() {
        Some(time_s) => minutes(time_s),
        None => format!("> {}", minutes(outcome.held_s)),
    }
}

fn verdict(outcome: &FailureOutcome) -> &'static str {
    if outcome.is_kept() { "" } else { "SHORT" }
}

/// All failures, the most pressing first.
pub fn sheet(project: &str, variant: &str, study: &FailureStudy) -> String {
    let mut text =
        format!("{project}, variant {variant}: {} single failures over time\n\n", study.failures.len());
    let mut order: Vec<&FailureOutcome> = study.failures.iter().collect();
    order.sort_by(|a, b| {
        let time_s = |o: &FailureOutcome| o.time_to_limit_s().unwrap_or(f64::INFINITY);
        let mission = |o: &FailureOutcome| study.failures.iter().position(|f| f.case.point == o.case.point);
        b.action.cmp(&a.action).then(mission(a).cmp(&mission(b))).then(time_s(a).total_cmp(&time_s(b)))
    });
    text.push_str(&overview(&order));
    let landing = study.landing;
    let _infallible = writeln!(
        text,
        "At: worst moment of the mission. To limit: with the command of that moment kept. Worsened most:\n\
         until touchdown, from its own worst moment, as it is flown after the failure; behind it the margin\n\
         without the failure. Times to land: immediately {}, as soon as possible {}, as soon as\n\
         practicable {}.{}\n",
        minutes(landing.at_once_s),
        minutes(landing.soon_s),
        minutes(landing.practicable_s),
        if order.iter().any(|outcome| healthy_s(outcome).is_some()) {
            " Healthy: the same limit\nwithout the failure."
        } else {
            ""
        }
    );
    for outcome in order.iter().filter(|outcome| outcome.status != Status::Solved) {
        let _infallible = writeln!(text, "SHORT {}: {}", outcome.case, outcome.status.word());
        for notice in &outcome.notices {
            let _infallible = writeln!(text, "  {}: {}", notice.place, notice.message);
        }
    }
    text.push_str(&alerts(&study.alerts));
    text.push_str(&last_line(study));
    text
}

/// One table for each action and mission, the most pressing first.
fn overview(order: &[&FailureOutcome]) -> String {
    let mut text = String::new();
    let has_missions = order.windows(2).any(|pair| pair[0].case.point != pair[1].case.point);
    for same in order.chunk_by(|a, b| a.action == b.action && a.case.point == b.case.point) {
        let words = same[0].action.words();
        let during = if has_missions { format!(", in {}", same[0].case.point) } else { String::new() };
        let _infallible =
            writeln!(text, "{}{}{during}: {}", words[..1].to_uppercase(), &words[1..], same.len());
        text.push_str(&with_one_action(same));
    }
    text
}

/// When the first limit would be passed without failure, s.
fn healthy_s(outcome: &FailureOutcome) -> Option<f64> {
    outcome.limits.first().and_then(|limit| limit.healthy_s)
}

/// The column of the time without failure stands only where that limit would be passed without one too.
fn with_one_action(outcomes: &[&FailureOutcome]) -> String {
    let shows_healthy = outcomes.iter().any(|outcome| healthy_s(outcome).is_some());
    let mut head = vec!["failure", "at", "first limit", "to limit"];
    if shows_healthy {
        head.push("healthy");
    }
    head.push("worsened most");
    let rows = outcomes
        .iter()
        .map(|outcome| {
            let first = outcome.limits.first();
            let failure = outcome.case.failure.as_deref().unwrap_or_default();
            let mut row = vec![
                format!("{} {failure}", verdict(outcome)).trim().to_owned(),
                format!("{} {}", minutes(outcome.start_s), outcome.start_segment),
                first.map_or_else(|| "none".to_owned(), |l| format!("{}, {}", l.place, l.limit)),
                time_to_limit(outcome),
            ];
            if shows_healthy {
                row.push(healthy_s(outcome).map_or_else(String::new, minutes));
            }
            row.push(outcome.worsened.as_ref().map_or_else(|| "nothing".to_owned(), worsened));
            row
        })
        .collect();
    table(&head, if shows_healthy { &[3, 4] } else { &[3] }, rows)
}

fn alerts(alerts: &[Alert]) -> String {
    if alerts.is_empty() {
        return "No sensor stands at a part with a limit: there is nothing to warn by\n".to_owned();
    }
    let rows = alerts
        .iter()
        .map(|alert| {
            let mut remarks = Vec::new();
            if !alert.is_derived {
                remarks.push("no failure sets it".to_owned());
            }
            if alert.is_nuisance {
                remarks.push("may show, or stay on, without failure".to_owned());
            }
            if alert.amber_k >= alert.red_k {
                remarks.push("amber comes no earlier than red".to_owned());
            }
            if !alert.too_late.is_empty() {
                let count = alert.too_late.len();
                remarks.push(format!("too late for {count}: warn by flow, level or pressure"));
            }
            vec![
                alert.sensor.clone(),
                format!("{:.0}", celsius(alert.amber_k)),
                format!("{:.0}", celsius(alert.red_k)),
                format!("{:.0}", celsius(alert.limit_k)),
                format!("{:.0}", celsius(alert.normal_k)),
                remarks.join("; "),
            ]
        })
        .collect();
    "Alert temperatures, degC: amber leaves time to land as soon as possible, red to land immediately\n"
        .to_owned()
        + &table(&["sensor", "amber", "red", "limit", "normal", "remark"], &[1, 2, 3, 4], rows)
}

fn last_line(study: &FailureStudy) -> String {
    let short = study.failures.iter().filter(|outcome| !outcome.is_kept()).count();
    match short {
        0 => "Every failure keeps every limit until touchdown\n".to_owned(),
        count => {
            format!("{count} of {} failures pass a limit or end before touchdown\n", study.failures.len())
        }
    }
}

/// Result of `failures`.
pub fn json(origin: &Origin<'_>, study: &FailureStudy) -> Value {
    let mut value = origin.head();
    value["failures"] = study.failures.iter().map(failure).collect();
    value["alerts"] = study.alerts.iter().map(alert).collect();
    value["times_to_land_s"] = json!({
        "immediately": study.landing.at_once_s,
        "as_soon_as_possible": study.landing.soon_s,
        "as_soon_as_practicable": study.landing.practicable_s,
    });
    value
}

fn failure(outcome: &FailureOutcome) -> Value {
    let first = outcome.limits.first();
    json!({
        "name": outcome.case.failure,
        "case": outcome.case.to_string(),
        "status": outcome.status.word(),
        "start_s": outcome.start_s,
        "start_segment": outcome.start_segment,
        "first_limit": first.map(|l| json!({ "where": l.place, "limit": l.limit })),
        "time_to_limit_s": outcome.time_to_limit_s(),
        "held_s": outcome.held_s,
        "limits": outcome.limits.iter().map(|l| json!({
            "where": l.place,
            "limit": l.limit,
            "kind": l.kind.map_or("outcome", MarginKind::word),
            "time_s": l.time_s,
            "time_without_failure_s": l.healthy_s,
        })).collect::<Value>(),
        "peak_until_touchdown": outcome.peak.as_ref().map(|peak| json!({
            "start_s": outcome.peak_start_s,
            "where": peak.margin.place,
            "limit": peak.margin.limit,
            "kind": peak.margin.kind.word(),
            "unit": peak.margin.kind.unit(),
            "value": peak.margin.value,
            "limit_value": peak.margin.limit_value,
            "margin": peak.margin.margin,
            "required": peak.margin.required,
            "time_s": peak.time_s,
        })),
        "worsened_most": outcome.worsened.as_ref().map(|worsened| json!({
            "start_s": outcome.peak_start_s,
            "where": worsened.margin.place,
            "limit": worsened.margin.limit,
            "kind": worsened.margin.kind.word(),
            "unit": worsened.margin.kind.unit(),
            "value": worsened.margin.value,
            "limit_value": worsened.margin.limit_value,
            "margin": worsened.margin.margin,
            "required": worsened.margin.required,
            "time_s": worsened.time_s,
            "margin_without_failure": worsened.healthy,
        })),
        "touchdown_s": outcome.touchdown_s,
        "passed_before_touchdown_s": outcome.passed_before_touchdown_s,
        "action": outcome.action.words(),
        "time_ratio": outcome.time_ratio,
        "alerts": outcome.alerts.iter().map(|a| json!({
            "where": a.place,
            "sensor": a.sensor,
            "amber_K": a.amber_k,
            "red_K": a.red_k,
        })).collect::<Value>(),
        "moments": outcome.moments,
        "notices": outcome.notices.iter().map(|n| json!({
            "kind": n.kind,
            "where": n.place,
            "message": n.message,
        })).collect::<Value>(),
    })
}

fn alert(alert: &Alert) -> Value {
    json!({
        "where": alert.place,
        "sensor": alert.sensor,
        "amber_K": alert.amber_k,
        "red_K": alert.red_k,
        "limit_K": alert.limit_k,
        "normal_K": alert.normal_k,
        "set_by_failure": alert.is_derived,
        "shows_without_failure": alert.is_nuisance,
        "too_late_for": alert.too_late,
    })
}
