//! The margin sheet: every limit in every case, worst first.

use crate::{celsius, clock, table::table};
use model::case::{COLD_WALL_KIND, TRANSITION};
use model::case_name::CaseName;
use model::result::{CaseResult, Margin, MarginKind, Notice, Status};
use std::fmt::Write as _;
use studies::CaseMargin;
use studies::missions::Flown;

/// Turns in a minute over radians in a second.
const RPM_S_RAD: f64 = 30.0 / std::f64::consts::PI;

/// Value, limit and margin of a line in the units of the trade.
pub(crate) fn shown(margin: &Margin) -> [String; 4] {
    match margin.kind {
        MarginKind::Rating => [
            format!("{:.1} kW", 1e-3 * margin.value),
            format!("{:.1} kW", 1e-3 * margin.limit_value),
            format!("{:+.1} kW", 1e-3 * margin.margin),
            format!("{:.1}", 1e-3 * margin.required),
        ],
        MarginKind::RatedTorque => [
            format!("{:.1} N m", margin.value),
            format!("{:.1} N m", margin.limit_value),
            format!("{:+.1} N m", margin.margin),
            format!("{:.1}", margin.required),
        ],
        MarginKind::RatedSpeed => [
            format!("{:.0} rpm", RPM_S_RAD * margin.value),
            format!("{:.0} rpm", RPM_S_RAD * margin.limit_value),
            format!("{:+.0} rpm", RPM_S_RAD * margin.margin),
            format!("{:.0}", RPM_S_RAD * margin.required),
        ],
        MarginKind::Maximum | MarginKind::Minimum | MarginKind::Boiling | MarginKind::Freezing => [
            format!("{:.1} degC", celsius(margin.value)),
            match margin.nominal_limit.filter(|nominal| *nominal != margin.limit_value) {
                Some(nominal) => {
                    format!("{:.1} degC (nominal {:.1})", celsius(margin.limit_value), celsius(nominal))
                }
                None => format!("{:.1} degC", celsius(margin.limit_value)),
            },
            format!("{:+.1} K", margin.margin),
            format!("{:.1}", margin.required),
        ],
    }
}

/// Every limit in every case, least reserve first; cases without a state, or that do not keep still, come before all numbers.
pub fn sheet(
    project: &str,
    variant: &str,
    results: &[CaseResult],
    flown: &[Flown],
    margins: &[CaseMargin<'_>],
) -> String {
    let mut text = format!(
        "{project}, variant {variant}: margins of {} steady cases and {} missions, worst first\n\n",
        results.len(),
        flown.len()
    );
    for (case, status, notices) in outcomes(results, flown) {
        let verdict = if status.can_be_judged() { "NOTE" } else { "SHORT" };
        let _infallible = writeln!(text, "{verdict} {case}: {}", status.word());
        for notice in notices {
            let _infallible = writeln!(text, "  {}: {}", notice.place, notice.message);
        }
    }
    let rows = margins
        .iter()
        .map(|CaseMargin { case, margin, time_s }| {
            let [value, limit, distance, required] = shown(margin);
            let verdict = if margin.is_short() { "SHORT" } else { "" };
            vec![
                format!("{verdict} {distance}"),
                required,
                format!("{}, {}", margin.place, margin.limit),
                value,
                limit,
                time_s.map_or_else(|| case.to_string(), |time_s| format!("{case} at {}", clock(time_s))),
            ]
        })
        .collect();
    text.push_str(&table(
        &["margin", "needs", "where, limit", "value", "limit", "case"],
        &[0, 1, 3, 4],
        rows,
    ));
    text.push_str(&films(results, flown));
    text.push_str(&worst(results, flown, margins));
    text
}

/// What is told about films of cases that are solved: each place once for each kind, with the first case and the number of the others.
fn films(results: &[CaseResult], flown: &[Flown]) -> String {
    let mut told: Vec<(&CaseName, &Notice, usize)> = Vec::new();
    for (case, notice) in film_notices(results, flown) {
        match told.iter_mut().find(|(_, known, _)| known.kind == notice.kind && known.place == notice.place) {
            Some((_, _, others)) => *others += 1,
            None => told.push((case, notice, 0)),
        }
    }
    let mut text = String::new();
    for (case, notice, others) in told {
        let also = match others {
            0 => String::new(),
            1 => " (and in 1 other case)".to_owned(),
            others => format!(" (and in {others} other cases)"),
        };
        let _infallible = writeln!(text, "NOTE {case}{also}\n  {}: {}", notice.place, notice.message);
    }
    text
}

/// Notices of films in all cases that are solved.
pub(crate) fn film_notices<'a>(
    results: &'a [CaseResult],
    flown: &'a [Flown],
) -> impl Iterator<Item = (&'a CaseName, &'a Notice)> {
    let steady = results.iter().map(|r| (&r.case, r.status, r.notices.as_slice()));
    steady
        .chain(flown.iter().map(|f| (&f.case, f.status, f.notices.as_slice())))
        .filter(|(_, status, _)| *status == Status::Solved)
        .flat_map(|(case, _, notices)| notices.iter().map(move |notice| (case, notice)))
        .filter(|(_, notice)| [TRANSITION, COLD_WALL_KIND].contains(&notice.kind))
}

/// Cases that are not simply solved, with the reason.
fn outcomes<'a>(
    results: &'a [CaseResult],
    flown: &'a [Flown],
) -> impl Iterator<Item = (&'a CaseName, Status, &'a [Notice])> {
    let steady = results.iter().map(|r| (&r.case, r.status, r.notices.as_slice()));
    steady
        .chain(flown.iter().map(|f| (&f.case, f.status, f.notices.as_slice())))
        .filter(|(_, status, _)| *status != Status::Solved)
}

/// One line: the worst margin, or the first case without a state.
pub fn worst(results: &[CaseResult], flown: &[Flown], margins: &[CaseMargin<'_>]) -> String {
    if let Some((case, status, _)) = outcomes(results, flown).find(|(_, status, _)| !status.can_be_judged()) {
        let what = if results.iter().any(|r| r.case == *case && r.status == status) {
            "has no steady state"
        } else {
            "is not flown to its end without fault"
        };
        return format!("Worst: {case} {what} ({})\n", status.word());
    }
    match margins.first() {
        Some(CaseMargin { case, margin, .. }) => {
            let [_, _, distance, required] = shown(margin);
            let verdict = if margin.is_short() { "is short of" } else { "keeps" };
            format!(
                "Worst margin: {distance} at {}, {}, in {case}; it {verdict} the {required} that is required\n",
                margin.place, margin.limit
            )
        }
        None => "No limits are given: there is no margin to show\n".to_owned(),
    }
}
