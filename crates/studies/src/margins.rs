//! Every margin of every case, worst first.

use super::missions;
use model::case_name::CaseName;
use model::result::{CaseResult, Margin};

/// A margin and the case it belongs to.
#[derive(Clone, Copy, Debug)]
pub struct CaseMargin<'a> {
    /// Case.
    pub case: &'a CaseName,
    /// Margin.
    pub margin: &'a Margin,
    /// When it is least, s; none in a steady case.
    pub time_s: Option<f64>,
}

/// Margins of all solved cases, least reserve over the required margin first; one that is no number comes before all others.
pub fn margins(results: &[CaseResult]) -> Vec<CaseMargin<'_>> {
    let all = results.iter().flat_map(|result| {
        result.margins.iter().map(move |margin| CaseMargin { case: &result.case, margin, time_s: None })
    });
    worst_first(all.collect())
}

/// Margins of steady cases and of missions over time, in the order of [`margins`].
pub fn all_margins<'a>(results: &'a [CaseResult], flown: &'a [missions::Flown]) -> Vec<CaseMargin<'a>> {
    let over_time = flown.iter().flat_map(|flown| {
        flown.margins.iter().map(move |timed| CaseMargin {
            case: &flown.case,
            margin: &timed.margin,
            time_s: Some(timed.time_s),
        })
    });
    worst_first(margins(results).into_iter().chain(over_time).collect())
}

fn worst_first(mut all: Vec<CaseMargin<'_>>) -> Vec<CaseMargin<'_>> {
    all.sort_by(|a, b| Margin::worst_first(a.margin, b.margin));
    all
}

/// Whether every case has a state and keeps every required margin.
pub fn holds(results: &[CaseResult]) -> bool {
    results.iter().all(|r| r.status.can_be_judged() && r.margins.iter().all(|m| !m.is_short()))
}
