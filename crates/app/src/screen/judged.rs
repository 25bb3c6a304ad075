//! Margins over all cases as display data: the worst of them, and the grid.

use model::case_name::CaseName;
use model::result::{CaseResult, Margin, Status, reason};
use session::{Flown, Named, Steady};

use super::units::displayed;
use crate::views::figure::{Standing, signed};
use crate::views::header::WorstMargin;
use crate::views::margins::{MarginEntry, MarginGrid};

/// A case with its margins, each with its moment if the case is a mission.
pub(super) struct Judged<'a> {
    /// Its name.
    pub(super) case: CaseName,
    /// How the solve ended.
    pub(super) status: Status,
    /// Where it ended badly.
    pub(super) place: String,
    /// Every limit.
    pub(super) margins: Vec<(&'a Margin, Option<f64>)>,
}

/// Steady cases and missions with their margins.
pub(super) fn judged<'a>(steady: &'a Steady, flown: &'a [Named]) -> Vec<Judged<'a>> {
    let flights = flown.iter().filter_map(|(name, flown)| Some(of_flight(name, flown.as_ref().ok()?)));
    steady.results.iter().map(Judged::from).chain(flights).collect()
}

fn of_flight<'a>(name: &CaseName, flown: &'a Flown) -> Judged<'a> {
    Judged {
        case: name.clone(),
        status: flown.flight.status,
        place: reason(flown.flight.status, &flown.flight.notices)
            .map(|n| n.place.clone())
            .unwrap_or_default(),
        margins: flown.margins.iter().map(|timed| (&timed.margin, Some(timed.time_s))).collect(),
    }
}

impl<'a> From<&'a CaseResult> for Judged<'a> {
    fn from(result: &'a CaseResult) -> Self {
        Self {
            case: result.case.clone(),
            status: result.status,
            place: reason(result.status, &result.notices).map(|n| n.place.clone()).unwrap_or_default(),
            margins: result.margins.iter().map(|margin| (margin, None)).collect(),
        }
    }
}

/// The worst of all margins; a case without a state comes before every number.
pub(super) fn worst(cases: &[Judged<'_>]) -> Option<WorstMargin> {
    if let Some(failed) = cases.iter().find(|case| !case.status.can_be_judged()) {
        return Some(WorstMargin {
            margin: failed.status.word().replace('_', " "),
            required: String::new(),
            where_: failed.place.clone(),
            case: failed.case.clone(),
            time_s: None,
            standing: Standing::Passed,
        });
    }
    let all =
        cases.iter().flat_map(|case| case.margins.iter().map(move |(margin, time)| (case, margin, time)));
    let (case, margin, time_s) = all.min_by(|a, b| Margin::worst_first(a.1, b.1))?;
    let (value, required, unit) = displayed(margin);
    Some(WorstMargin {
        margin: format!("{} {unit}", signed(value, 1)),
        required: format!("{required:.0} {unit}"),
        where_: format!("{}, {}", margin.place, margin.limit),
        case: case.case.clone(),
        time_s: *time_s,
        standing: Standing::of(Some(value), required),
    })
}

pub(super) fn margins(cases: &[Judged<'_>]) -> MarginGrid {
    let mut entries: Vec<(f64, MarginEntry)> = Vec::new();
    for case in cases {
        if !case.status.can_be_judged() {
            entries.push((
                f64::NEG_INFINITY,
                MarginEntry {
                    where_: case.place.clone(),
                    limit: case.status.word().replace('_', " "),
                    case: case.case.clone(),
                    unit: "K".to_owned(),
                    ..MarginEntry::default()
                },
            ));
        }
        for (margin, time_s) in &case.margins {
            let (value, required, unit) = displayed(margin);
            entries.push((
                margin.rank(),
                MarginEntry {
                    where_: margin.place.clone(),
                    limit: margin.limit.clone(),
                    case: case.case.clone(),
                    unit: unit.to_owned(),
                    margin: value.is_finite().then_some(value),
                    required,
                    time_s: *time_s,
                },
            ));
        }
    }
    entries.sort_by(|a, b| a.0.total_cmp(&b.0));
    MarginGrid::new(entries.into_iter().map(|(_, entry)| entry).collect())
}
