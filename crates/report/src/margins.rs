//! The margin sheet: every limit in every case, worst first.

use crate::{celsius, table::table};
use model::result::{CaseResult, Margin, MarginKind, Status};
use std::fmt::Write as _;
use studies::CaseMargin;

/// Turns in a minute over radians in a second.
const RPM_S_RAD: f64 = 30.0 / std::f64::consts::PI;

/// Value, limit and margin of a line in the units of the trade.
fn shown(margin: &Margin) -> [String; 4] {
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
pub fn sheet(project: &str, variant: &str, results: &[CaseResult], margins: &[CaseMargin<'_>]) -> String {
    let mut text =
        format!("{project}, variant {variant}: margins of {} cases, worst first\n\n", results.len());
    for result in results.iter().filter(|r| r.status != Status::Solved) {
        let verdict = if result.status.can_be_judged() { "NOTE" } else { "SHORT" };
        let _infallible = writeln!(text, "{verdict} {}: {}", result.case, result.status.word());
        for notice in &result.notices {
            let _infallible = writeln!(text, "  {}: {}", notice.place, notice.message);
        }
    }
    let rows = margins
        .iter()
        .map(|CaseMargin { case, margin }| {
            let [value, limit, distance, required] = shown(margin);
            let verdict = if margin.is_short() { "SHORT" } else { "" };
            vec![
                format!("{verdict} {distance}"),
                required,
                format!("{}, {}", margin.place, margin.limit),
                value,
                limit,
                case.to_string(),
            ]
        })
        .collect();
    text.push_str(&table(
        &["margin", "needs", "where, limit", "value", "limit", "case"],
        &[0, 1, 3, 4],
        rows,
    ));
    text.push_str(&worst(results, margins));
    text
}

/// One line: the worst margin, or the first case without a state.
pub fn worst(results: &[CaseResult], margins: &[CaseMargin<'_>]) -> String {
    if let Some(failed) = results.iter().find(|r| !r.status.can_be_judged()) {
        return format!("Worst: {} has no steady state ({})\n", failed.case, failed.status.word());
    }
    match margins.first() {
        Some(CaseMargin { case, margin }) => {
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
