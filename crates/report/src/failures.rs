//! Single failures as text and JSON: standing, times to the required margin and to each limit, peak until touchdown, action, alert
//! temperatures.

use crate::json::{Origin, margin, power_lost, with};
use crate::limit;
use crate::sheet::{Cell, Column, Digits, Row, Sheet, minutes};
use model::height::{CAN, NOTICE};
use model::result::{MarginKind, Notice, Status};
use model::standing::Standing;
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::failures::{Alert, FailureOutcome, FailureStudy, Reason};
use units::Kind::Temperature;

/// A temperature this far past its limit is not shown, K.
const RUNAWAY_K: f64 = 200.0;

/// The failures, the most pressing first.
fn ordered(study: &FailureStudy) -> Vec<&FailureOutcome> {
    let mut order: Vec<&FailureOutcome> = study.failures.iter().collect();
    order.sort_by(|a, b| {
        let mission = |o: &FailureOutcome| study.failures.iter().position(|f| f.case.point == o.case.point);
        let in_mission = mission(a).cmp(&mission(b));
        b.action.cmp(&a.action).then(in_mission).then(FailureOutcome::most_pressing_first(a, b))
    });
    order
}

/// One sheet for each action and mission, the most pressing first; then the alert temperatures, where there are any.
pub fn sheets(study: &FailureStudy) -> Vec<Sheet> {
    let order = ordered(study);
    let groups = order.chunk_by(|a, b| a.action == b.action && a.case.point == b.case.point);
    let mut all: Vec<Sheet> = groups.map(with_one_action).collect();
    if !study.alerts.is_empty() {
        all.push(alert_sheet(&study.alerts));
    }
    all
}

/// All failures, the most pressing first.
pub fn page(project: &str, variant: &str, study: &FailureStudy) -> String {
    let mut text =
        format!("{project}, variant {variant}: {} single failures over time\n\n", study.failures.len());
    let order = ordered(study);
    text.push_str(&overview(&order));
    let landing = study.landing;
    let _infallible = writeln!(
        text,
        "Before the name: how it stands until touchdown, as it is flown after the failure. At: worst moment\n\
         of the mission. Margin lost, limit passed: time until the first required margin is lost and the\n\
         first limit is passed with the command of the moment kept. Why: what asks most for the action.\n\
         Worsened most: until touchdown, from its own worst moment; in brackets the reserve without the\n\
         failure. Times to land: immediately {}, as soon as possible {}, as soon as\n\
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
    for outcome in &order {
        let is_of_power = |notice: &&Notice| ["power_lost", NOTICE, CAN].contains(&notice.kind);
        for notice in outcome.notices.iter().filter(is_of_power) {
            let _infallible = writeln!(text, "NOTE {}, after the failure: {}", outcome.case, notice.message);
        }
    }
    for (note, failures) in action_notes(&order) {
        let _infallible = writeln!(text, "NOTE {}: {note}", failures.join(", "));
    }
    for outcome in order.iter().filter(|outcome| outcome.status != Status::Solved) {
        let mark = outcome.standing.words().to_uppercase();
        let _infallible = writeln!(text, "{mark} {}: {}", outcome.case, outcome.status.word());
        for notice in &outcome.notices {
            let _infallible = writeln!(text, "  {}: {}", notice.place, notice.message);
        }
    }
    text.push_str(&alerts(&study.alerts));
    text.push_str(&last_line(study));
    text
}

/// What is to be said of the actions, with the failures that it is said of.
fn action_notes(order: &[&FailureOutcome]) -> Vec<(String, Vec<String>)> {
    let mut notes: Vec<(String, Vec<String>)> = Vec::new();
    for outcome in order {
        for note in &outcome.action_notes {
            let name = outcome.case.failure.clone().unwrap_or_default();
            match notes.iter_mut().find(|(known, _)| known == note) {
                Some((_, failures)) => failures.push(name),
                None => notes.push((note.clone(), vec![name])),
            }
        }
    }
    notes
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
        text.push_str(&with_one_action(same).text());
    }
    text
}

/// When the first limit would be passed without failure, s.
fn healthy_s(outcome: &FailureOutcome) -> Option<f64> {
    outcome.limits.first().and_then(|limit| limit.healthy_s)
}

/// The column of the time without failure stands only where that limit would be passed without one too.
fn with_one_action(outcomes: &[&FailureOutcome]) -> Sheet {
    let shows_healthy = outcomes.iter().any(|outcome| healthy_s(outcome).is_some());
    let healthy = Column::time("time_without_failure_s").head("healthy").digits(Digits::Minutes);
    let healthy = if shows_healthy { healthy } else { healthy.data() };
    let columns = [
        Column::standing().verdict(),
        Column::text("failure"),
        Column::text("action_reason").head("why").or("-"),
        Column::time("start_s").head("at").digits(Digits::Minutes).left(),
        Column::text("start_segment").after(" "),
        Column::time("time_to_required_s").head("margin lost").digits(Digits::Minutes).left().or("none"),
        Column::text("first_required_where").after(" "),
        Column::text("first_required").after(", "),
        Column::flag("not_passed", ["> ", ""]).before(""),
        Column::time("time_to_limit_s").head("limit passed").digits(Digits::Minutes).left(),
        Column::time("held_s").digits(Digits::Minutes).after(""),
        Column::text("first_limit_where").after(" "),
        Column::text("first_limit").after(", "),
        healthy,
        Column::text("worsened_where").head("worsened most").or("nothing"),
        Column::text("worsened_limit").after(", "),
        Column::flag("runs_away", ["runs away", ""]).after(": "),
        Column::number("runaway_limit_K", Temperature, "degC", 0).in_cell().after(" past "),
        Column::mixed("value").after(": "),
        Column::mixed("reserve").signed().after(", reserve "),
        Column::mixed("reserve_without_failure").signed().enclosed(" (", ")"),
        Column::text("worsened_standing").data(),
        Column::mixed("margin").data(),
        Column::mixed("margin_without_failure").data(),
        limit::needs_column().data(),
        limit::unit_column(),
    ];
    Sheet::new(outcomes[0].action.words(), columns).with_rows(outcomes.iter().map(|outcome| row(outcome)))
}

fn row(outcome: &FailureOutcome) -> Row {
    let first = outcome.limits.first();
    let passed_s = outcome.time_to_limit_s();
    let worsened = outcome.worsened.as_ref();
    let margin = worsened.map(|worsened| &worsened.margin);
    // so far past a limit no law holds: only that it is passed means something
    let runs_away =
        margin.filter(|margin| limit::value_kind(margin.kind) == Temperature && margin.margin < -RUNAWAY_K);
    let told = margin.filter(|_| runs_away.is_none());
    let healthy = worsened.and_then(|worsened| worsened.healthy);
    vec![
        outcome.standing.into(),
        outcome.case.failure.clone().unwrap_or_default().into(),
        outcome.action_reason.map(Reason::word).into(),
        Cell::Time(outcome.start_s),
        (&outcome.start_segment).into(),
        Cell::time(outcome.time_to_required_s()),
        outcome.required.as_ref().map(|required| &required.place).into(),
        outcome.required.as_ref().map(|required| &required.limit).into(),
        passed_s.is_none().into(),
        Cell::time(passed_s),
        // a time longer than the command was kept is not known
        Cell::time(Some(outcome.held_s).filter(|_| passed_s.is_none())),
        first.map(|limit| &limit.place).into(),
        first.map(|limit| &limit.limit).into(),
        Cell::time(healthy_s(outcome)),
        margin.map(|margin| &margin.place).into(),
        margin.map(|margin| &margin.limit).into(),
        runs_away.is_some().into(),
        runs_away.map(|margin| margin.limit_value).into(),
        told.map(|margin| limit::value(margin.kind, margin.value)).into(),
        told.map(|margin| limit::distance(margin.kind, margin.reserve())).into(),
        margin
            .zip(healthy)
            .map(|(margin, healthy)| limit::distance(margin.kind, healthy - margin.required))
            .into(),
        margin.map(|margin| margin.standing().word()).into(),
        told.map(|margin| limit::distance(margin.kind, margin.margin)).into(),
        margin.zip(healthy).map(|(margin, healthy)| limit::distance(margin.kind, healthy)).into(),
        margin.map(|margin| limit::distance(margin.kind, margin.required)).into(),
        margin.map(limit::unit).into(),
    ]
}

fn alerts(alerts: &[Alert]) -> String {
    if alerts.is_empty() {
        return "No sensor stands at a part with a limit: there is nothing to warn by\n".to_owned();
    }
    "Alert temperatures, degC: amber leaves time to land as soon as possible, red to land immediately\n"
        .to_owned()
        + &alert_sheet(alerts).text()
}

fn alert_sheet(alerts: &[Alert]) -> Sheet {
    let kelvin = |key: &str, head: &str| Column::number(key, Temperature, "degC", 0).head(head).silent();
    let columns = [
        Column::text("sensor"),
        kelvin("amber_K", "amber"),
        kelvin("red_K", "red"),
        kelvin("limit_K", "limit"),
        kelvin("normal_K", "normal"),
        Column::text("remark"),
    ];
    let row = |alert: &Alert| {
        let temperatures = [alert.amber_k, alert.red_k, alert.limit_k, alert.normal_k].map(Cell::Number);
        let sensor = std::iter::once(Cell::from(&alert.sensor));
        sensor.chain(temperatures).chain([Cell::said(remarks(alert))]).collect()
    };
    Sheet::new("alert temperatures", columns).with_rows(alerts.iter().map(row))
}

/// What is to be known about an alert temperature.
fn remarks(alert: &Alert) -> String {
    let mut remarks = Vec::new();
    if !alert.is_derived {
        remarks.push("no failure sets it".to_owned());
    }
    remarks.extend(alert.cannot_warn().map(str::to_owned));
    if !alert.too_late.is_empty() {
        let count = alert.too_late.len();
        remarks.push(format!("too late for {count}: warn by flow, level or pressure"));
    }
    remarks.join("; ")
}

/// How many keep what: every required margin, and at least every limit.
pub fn last_line(study: &FailureStudy) -> String {
    let (all, holding) = (study.failures.len(), study.at_least(Standing::Holds));
    if all == holding {
        return "Every failure keeps every required margin until touchdown\n".to_owned();
    }
    let limits = study.at_least(Standing::Short);
    let unknown = all - study.at_least(Standing::PastLimit);
    let keep = |count: usize| if count == 1 { "keeps" } else { "keep" };
    let unknown = if unknown == 0 { String::new() } else { format!("; {unknown} without result") };
    format!(
        "{holding} of {all} failures {} every required margin until touchdown, {limits} {} every limit{unknown}\n",
        keep(holding),
        keep(limits)
    )
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
        "standing": outcome.standing.word(),
        "start_s": outcome.start_s,
        "start_segment": outcome.start_segment,
        "first_limit": first.map(|l| json!({ "where": l.place, "limit": l.limit })),
        "time_to_limit_s": outcome.time_to_limit_s(),
        "first_required": outcome.required.as_ref().map(|r| {
            json!({ "where": r.place, "limit": r.limit, "start_s": r.start_s })
        }),
        "time_to_required_s": outcome.time_to_required_s(),
        "held_s": outcome.held_s,
        "limits": outcome.limits.iter().map(|l| json!({
            "where": l.place,
            "limit": l.limit,
            "kind": l.kind.map_or("outcome", MarginKind::word),
            "time_s": l.time_s,
            "time_without_failure_s": l.healthy_s,
        })).collect::<Value>(),
        "peak_until_touchdown": outcome.peak.as_ref().map(|peak| {
            with(margin(&peak.margin, Some(peak.time_s)), "start_s", json!(outcome.peak_start_s))
        }),
        "worsened_most": outcome.worsened.as_ref().map(|worsened| {
            let line = margin(&worsened.margin, Some(worsened.time_s));
            let line = with(line, "start_s", json!(outcome.peak_start_s));
            with(line, "margin_without_failure", json!(worsened.healthy))
        }),
        "lost_power_W": outcome.power_lost.map_or(0.0, |lost| lost.power_w),
        "power_lost": power_lost(outcome.power_lost),
        "touchdown_s": outcome.touchdown_s,
        "passed_before_touchdown_s": outcome.passed_before_touchdown_s,
        "short_before_touchdown_s": outcome.short_before_touchdown_s,
        "action": outcome.action.word(),
        "action_reason": outcome.action_reason.map(Reason::word),
        "action_notes": outcome.action_notes,
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
        "cannot_warn": alert.cannot_warn(),
        "too_late_for": alert.too_late,
    })
}
