//! Margins over all cases as display data: the worst of them, and the grid.

use model::case_name::CaseName;
use model::result::{CaseResult, Margin};
use model::standing::{CaseStanding, Rank, Standing, Why};
use session::{Flown, Named, Steady};

use super::units::displayed;
use crate::views::figure::{number, signed};
use crate::views::header::WorstMargin;
use crate::views::margins::{MarginEntry, MarginGrid};

/// A case with its margins, each with its moment if the case is a mission.
pub(super) struct Judged<'a> {
    /// Its name.
    pub(super) case: &'a CaseName,
    /// How it stands, and why.
    pub(super) stands: CaseStanding<'a>,
    /// Every limit.
    pub(super) margins: Vec<(&'a Margin, Option<f64>)>,
}

/// Steady cases and missions with their margins.
pub(super) fn judged<'a>(steady: &'a Steady, flown: &'a [Named]) -> Vec<Judged<'a>> {
    let flights = flown.iter().filter_map(|(name, flown)| Some(of_flight(name, flown.as_ref().ok()?)));
    steady.results.iter().map(Judged::from).chain(flights).collect()
}

fn of_flight<'a>(name: &'a CaseName, flown: &'a Flown) -> Judged<'a> {
    let margins: Vec<_> = flown.margins.iter().map(|timed| (&timed.margin, Some(timed.time_s))).collect();
    let flight = &flown.flight;
    Judged {
        case: name,
        stands: CaseStanding::of(name, flight.status, &flight.notices, margins.iter().copied()),
        margins,
    }
}

impl<'a> From<&'a CaseResult> for Judged<'a> {
    fn from(result: &'a CaseResult) -> Self {
        Self {
            case: &result.case,
            stands: result.standing(),
            margins: result.margins.iter().map(|margin| (margin, None)).collect(),
        }
    }
}

/// How a case without a state ended, and where.
fn no_state(stands: &CaseStanding<'_>) -> Option<(String, String)> {
    match stands.why {
        Why::NoState(status, notice) => {
            let place = notice.map(|notice| notice.place.clone()).unwrap_or_default();
            Some((status.word().replace('_', " "), place))
        }
        Why::Margin(..) | Why::NoLimits => None,
    }
}

/// The worst of all margins; a case without a state comes before every number.
pub(super) fn worst(cases: &[Judged<'_>]) -> Option<WorstMargin> {
    let limited = cases.iter().filter(|case| !matches!(case.stands.why, Why::NoLimits));
    let worst = &limited.min_by_key(|case| case.stands.rank())?.stands;
    let of_case =
        WorstMargin { case: worst.case.clone(), standing: worst.standing, ..WorstMargin::default() };
    match worst.why {
        Why::NoState(..) => {
            let (outcome, place) = no_state(worst)?;
            Some(WorstMargin { reserve: outcome, where_: place, ..of_case })
        }
        Why::Margin(margin, time_s) => {
            let shown = displayed(margin);
            Some(WorstMargin {
                reserve: format!("{} {}", signed(shown.reserve, 1), shown.unit),
                behind: format!(
                    "margin {} of {} {} required",
                    number(shown.margin, 1),
                    number(shown.required, 1),
                    shown.unit
                ),
                where_: format!("{}, {}", margin.place, margin.limit),
                time_s,
                ..of_case
            })
        }
        Why::NoLimits => None,
    }
}

pub(super) fn margins(cases: &[Judged<'_>]) -> MarginGrid {
    let mut entries: Vec<(Rank, MarginEntry)> = Vec::new();
    for case in cases {
        let of_case = MarginEntry { case: case.case.clone(), ..MarginEntry::default() };
        if let Some((outcome, place)) = no_state(&case.stands) {
            let unit = "K".to_owned();
            let of_case = of_case.clone();
            entries.push((Rank::NO_RESULT, MarginEntry { where_: place, limit: outcome, unit, ..of_case }));
        }
        for (margin, time_s) in &case.margins {
            let shown = displayed(margin);
            let is_known = margin.standing() != Standing::NoResult;
            entries.push((
                margin.rank(),
                MarginEntry {
                    where_: margin.place.clone(),
                    limit: margin.limit.clone(),
                    unit: shown.unit.to_owned(),
                    reserve: is_known.then_some(shown.reserve),
                    margin: is_known.then_some(shown.margin),
                    required: shown.required,
                    required_by: margin.required_by.reason(),
                    standing: margin.standing(),
                    time_s: *time_s,
                    ..of_case.clone()
                },
            ));
        }
    }
    // the same order as on the sheets: a stable sort, cases in the order of the project
    entries.sort_by_key(|(rank, _)| *rank);
    MarginGrid::new(entries.into_iter().map(|(_, entry)| entry).collect())
}
