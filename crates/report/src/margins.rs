//! The margin sheet: every limit in every case, worst first.

use crate::sheet::{Cell, Column, Row, Sheet, Style, text_of, texts};
use crate::{clock, counted, limit};
use model::case::{COLD_WALL_KIND, DISSOLVED_AIR, TRANSITION};
use model::case_name::CaseName;
use model::height::{CAN, NOTICE};
use model::pressure_trouble::BELOW_AMBIENT;
use model::result::{CaseResult, Margin, MarginKind, Notice, Status};
use model::standing::{CaseStanding, Standing, Why};
use std::collections::HashSet;
use std::fmt::Write as _;
use studies::missions::Flown;
use studies::{CaseMargin, Filling};

/// How many limits that hold the short sheet shows at most.
const SHOWN: usize = 30;

/// Words of a margin, in the units of the trade, for a sentence.
pub(crate) struct Words {
    /// Value reached.
    pub(crate) value: String,
    /// Limit, with the nominal one where it differs.
    pub(crate) limit: String,
    /// Distance to the limit.
    pub(crate) margin: String,
    /// Distance that is required.
    pub(crate) required: String,
    /// Margin less required, with its sign.
    pub(crate) reserve: String,
}

/// A margin in words.
pub(crate) fn words(margin: &Margin) -> Words {
    let text = |column: &Column, cell: &Cell| text_of(column, cell, &Style::PAGE);
    let plain = Column::mixed("");
    let distance = |value: f64| text(&plain, &limit::distance(margin.kind, value));
    let [bare, nominal] = limit::limits(margin);
    let [bare_column, nominal_column] = limit::limit_columns();
    let nominal = match nominal {
        Cell::Absent => String::new(),
        cell => format!(" (nominal {})", text(&nominal_column, &cell)),
    };
    Words {
        value: text(&plain, &limit::value(margin.kind, margin.value)),
        limit: text(&bare_column, &bare) + &nominal,
        margin: distance(margin.margin),
        required: distance(margin.required),
        reserve: text(&plain.clone().signed(), &limit::distance(margin.kind, margin.reserve())),
    }
}

/// The verdict on a case: the least reserve with both numbers behind it, then where that is.
pub(crate) fn verdict(stands: &CaseStanding<'_>) -> String {
    match stands.why {
        Why::NoState(status, _) => format!("No result: {} ({})\n", stands.case, status.word()),
        Why::NoLimits => NO_LIMITS.to_owned(),
        Why::Margin(margin, time_s) => {
            let Words { margin: distance, required, reserve, .. } = words(margin);
            let time = time_s.map_or_else(String::new, |time_s| format!(" at {}", clock(time_s)));
            format!(
                "Least reserve {reserve}, {}: margin {distance}, {required} required\n  at {}, {}, in {}{time}\n",
                stands.standing.words(),
                margin.place,
                margin.limit,
                stands.case
            )
        }
    }
}

/// What is said where nothing is limited.
const NO_LIMITS: &str = "No limits are given: there is no margin to show\n";

/// Columns of [`margin_cells`].
pub(crate) fn margin_columns() -> Vec<Column> {
    let mut columns = limit::reserve_columns("reserve").to_vec();
    columns.extend([
        limit::unit_column(),
        Column::text("where").head("where, limit"),
        Column::text("limit").after(", "),
        Column::mixed("value"),
    ]);
    columns.extend(limit::limit_columns());
    columns
}

/// A margin with all that it stands between.
pub(crate) fn margin_cells(margin: &Margin) -> Row {
    let mut cells = limit::reserve_cells(Some(margin)).to_vec();
    cells.extend([
        limit::unit(margin),
        (&margin.place).into(),
        (&margin.limit).into(),
        limit::value(margin.kind, margin.value),
    ]);
    cells.extend(limit::limits(margin));
    cells
}

/// Whether the prediction is at or below the limit, where the rule asks for that and no more.
pub(crate) fn rule_word(margin: &Margin) -> Option<&'static str> {
    match margin.rule_standing()? {
        Standing::NoResult => None,
        Standing::PastLimit => Some("passed"),
        Standing::Short | Standing::Holds => Some("met"),
    }
}

/// Every limit in every case, in the order given.
pub fn sheets(margins: &[CaseMargin<'_>]) -> Vec<Sheet> {
    let mut columns = margin_columns();
    columns.extend([
        Column::text("rule").head("rule: at or below limit"),
        Column::text("case"),
        Column::time("time_s").after(" at "),
    ]);
    let rows = margins.iter().map(|CaseMargin { case, margin, time_s }| {
        let mut row = margin_cells(margin);
        row.extend([rule_word(margin).into(), case.to_string().into(), Cell::time(*time_s)]);
        row
    });
    vec![Sheet::new("margins", columns).with_rows(rows)]
}

/// Each limit once, at its worst case, in the order given, which is worst first.
fn worst_of_each<'a>(margins: &[CaseMargin<'a>]) -> Vec<CaseMargin<'a>> {
    let mut seen: HashSet<(&str, &str, MarginKind)> = HashSet::new();
    let is_new = |line: &&CaseMargin<'a>| {
        seen.insert((line.margin.place.as_str(), line.margin.limit.as_str(), line.margin.kind))
    };
    margins.iter().filter(is_new).copied().collect()
}

/// Limits at their worst cases, narrow enough for a line each.
fn worst_sheet(limits: &[CaseMargin<'_>]) -> Sheet {
    let mut columns = limit::reserve_columns("reserve").to_vec();
    columns.extend([
        limit::unit_column(),
        Column::text("where").head("where, limit"),
        Column::text("limit").after(", "),
        Column::text("case").head("worst case"),
        Column::time("time_s").after(" at "),
    ]);
    let rows = limits.iter().map(|CaseMargin { case, margin, time_s }| {
        let mut row = limit::reserve_cells(Some(margin)).to_vec();
        row.extend([
            limit::unit(margin),
            (&margin.place).into(),
            (&margin.limit).into(),
            case.to_string().into(),
            Cell::time(*time_s),
        ]);
        row
    });
    Sheet::new("limits at their worst cases", columns).with_rows(rows)
}

/// How much the page of margins shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    /// Each limit at its worst case.
    Worst,
    /// Every limit in every case.
    All,
}

/// Limits, worst first; cases without a state, or that do not keep still, come before all numbers.
pub fn page(
    project: &str,
    variant: &str,
    results: &[CaseResult],
    flown: &[Flown],
    margins: &[CaseMargin<'_>],
    filling: &[Filling],
    extent: Extent,
) -> String {
    let limits = worst_of_each(margins);
    let what = match extent {
        Extent::Worst => "each at its worst case",
        Extent::All => "in every case",
    };
    let mut text = format!(
        "{project}, variant {variant}: {} in {} and {}, {what}, least reserve first\n\n",
        counted(limits.len(), "limit"),
        counted(results.len(), "steady case"),
        counted(flown.len(), "mission")
    );
    for (case, status, notices) in outcomes(results, flown) {
        let verdict = if status.can_be_judged() { "NOTE" } else { "NO RESULT" };
        let _infallible = writeln!(text, "{verdict} {case}: {}", status.word());
        for notice in notices {
            let _infallible = writeln!(text, "  {}: {}", notice.place, notice.message);
        }
    }
    match extent {
        Extent::All => text.push_str(&texts(&sheets(margins))),
        Extent::Worst => text.push_str(&short_page(&limits)),
    }
    text.push_str(&told(results, flown));
    text.push_str(&crate::filling::page(filling));
    text.push_str(&standings(results, flown, &limits));
    text.push_str(&worst(results, flown));
    text
}

/// What does not hold, and what holds as far as there is room.
fn short_page(limits: &[CaseMargin<'_>]) -> String {
    let short = limits.iter().take_while(|line| line.margin.is_short()).count();
    let shown = limits.len().min(SHOWN.max(short));
    let mut text = worst_sheet(&limits[..shown]).text();
    if shown < limits.len() {
        let more = counted(limits.len() - shown, "limit");
        let _infallible = writeln!(text, "{more} with more reserve: see them with --all\n");
    }
    text
}

/// How many limits, at their worst cases, and how many cases stand how.
fn standings(results: &[CaseResult], flown: &[Flown], limits: &[CaseMargin<'_>]) -> String {
    let told = |all: &[Standing]| {
        let counts = Standing::ALL.map(|standing| {
            let count = all.iter().filter(|one| **one == standing).count();
            (count > 0).then(|| format!("{count} {}", standing.counted(count)))
        });
        counts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    };
    let of_limits: Vec<Standing> = limits.iter().map(|line| line.margin.standing()).collect();
    let of_cases: Vec<Standing> = stood(results, flown).map(|case| case.standing).collect();
    let mut text = String::new();
    for (what, all) in [("Limits, each at its worst case", of_limits), ("Cases", of_cases)] {
        if !all.is_empty() {
            let _infallible = writeln!(text, "{what}: {}", told(&all));
        }
    }
    text
}

/// How every case stands.
fn stood<'a>(results: &'a [CaseResult], flown: &'a [Flown]) -> impl Iterator<Item = CaseStanding<'a>> {
    results.iter().map(CaseResult::standing).chain(flown.iter().map(Flown::standing))
}

/// What is told about films, pressures and power of cases that are solved: each place once for each kind, with the first case and the number of the others.
fn told(results: &[CaseResult], flown: &[Flown]) -> String {
    let mut told: Vec<(&CaseName, &Notice, usize)> = Vec::new();
    for (case, notice) in told_notices(results, flown) {
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

/// Notices of films, of pressures that no cushion explains, and of power that is lost or does not hold height, in all cases that are solved.
pub(crate) fn told_notices<'a>(
    results: &'a [CaseResult],
    flown: &'a [Flown],
) -> impl Iterator<Item = (&'a CaseName, &'a Notice)> {
    let steady = results.iter().map(|r| (&r.case, r.status, r.notices.as_slice()));
    steady
        .chain(flown.iter().map(|f| (&f.case, f.status, f.notices.as_slice())))
        .filter(|(_, status, _)| *status == Status::Solved)
        .flat_map(|(case, _, notices)| notices.iter().map(move |notice| (case, notice)))
        .filter(|(_, notice)| {
            [TRANSITION, COLD_WALL_KIND, BELOW_AMBIENT, DISSOLVED_AIR, "derate", "power_lost", NOTICE, CAN]
                .contains(&notice.kind)
        })
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

/// The least reserve of all cases, or the first case without a state.
pub fn worst(results: &[CaseResult], flown: &[Flown]) -> String {
    let limited = stood(results, flown).filter(|case| !matches!(case.why, Why::NoLimits));
    match CaseStanding::worst(limited) {
        Some(case) => verdict(&case),
        None => NO_LIMITS.to_owned(),
    }
}
