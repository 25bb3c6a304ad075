//! Every margin of every case, worst first.

use super::missions;
use model::case_name::CaseName;
use model::result::{CaseResult, Margin};
use model::standing::Standing;

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

/// Margins of all solved cases, worst first by [`Margin::worst_first`].
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

/// How several steady cases stand: as the worst of them; none holds.
pub fn standing(results: &[CaseResult]) -> Standing {
    results.iter().map(|result| result.standing().standing).min().unwrap_or(Standing::Holds)
}
