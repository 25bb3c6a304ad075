//! The margin sheet: every limit in every case, worst first.

use crate::limit;
use crate::sheet::{Cell, Column, Row, Sheet, Style, text_of, texts};
use model::case::{COLD_WALL_KIND, TRANSITION};
use model::case_name::CaseName;
use model::height::{CAN, NOTICE};
use model::result::{CaseResult, Margin, Notice, Status};
use std::fmt::Write as _;
use studies::CaseMargin;
use studies::missions::Flown;

/// Value, limit, margin and what is required, in the units of the trade, for a sentence.
pub(crate) fn shown(margin: &Margin) -> [String; 4] {
    let text = |column: &Column, cell: &Cell| text_of(column, cell, &Style::PAGE);
    let (distance, plain) = (limit::distance(margin.kind, margin.margin), Column::mixed(""));
    let [bare, nominal] = limit::limits(margin);
    let [bare_column, nominal_column] = limit::limit_columns();
    let nominal = match nominal {
        Cell::Absent => String::new(),
        cell => format!(" (nominal {})", text(&nominal_column, &cell)),
    };
    [
        text(&plain, &limit::value(margin.kind, margin.value)),
        text(&bare_column, &bare) + &nominal,
        text(&plain.clone().signed(), &distance),
        text(&limit::needs_column(), &limit::distance(margin.kind, margin.required)),
    ]
}

/// Columns of [`margin_cells`]; the distance under the head that is given.
pub(crate) fn margin_columns(head: &str) -> Vec<Column> {
    let mut columns = vec![
        Column::short(["SHORT ", " "]),
        Column::mixed("margin").head(head).signed(),
        limit::needs_column(),
        limit::unit_column(),
        Column::text("where").head("where, limit"),
        Column::text("limit").after(", "),
        Column::mixed("value"),
    ];
    columns.extend(limit::limit_columns());
    columns
}

/// A margin with all that it stands between.
pub(crate) fn margin_cells(margin: &Margin) -> Row {
    let mut cells = vec![
        margin.is_short().into(),
        limit::distance(margin.kind, margin.margin),
        limit::distance(margin.kind, margin.required),
        limit::unit(margin),
        (&margin.place).into(),
        (&margin.limit).into(),
        limit::value(margin.kind, margin.value),
    ];
    cells.extend(limit::limits(margin));
    cells
}

/// Every limit in every case, in the order given.
pub fn sheets(margins: &[CaseMargin<'_>]) -> Vec<Sheet> {
    let mut columns = margin_columns("margin");
    columns.extend([Column::text("case"), Column::time("time_s").after(" at ")]);
    let rows = margins.iter().map(|CaseMargin { case, margin, time_s }| {
        let mut row = margin_cells(margin);
        row.extend([case.to_string().into(), Cell::time(*time_s)]);
        row
    });
    vec![Sheet::new("margins", columns).with_rows(rows)]
}

/// Every limit in every case, least reserve first; cases without a state, or that do not keep still, come before all numbers.
pub fn page(
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
    text.push_str(&texts(&sheets(margins)));
    text.push_str(&films(results, flown));
    text.push_str(&worst(results, flown, margins));
    text
}

/// What is told about films and power of cases that are solved: each place once for each kind, with the first case and the number of the others.
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

/// Notices of films and of power that is lost or does not hold height, in all cases that are solved.
pub(crate) fn film_notices<'a>(
    results: &'a [CaseResult],
    flown: &'a [Flown],
) -> impl Iterator<Item = (&'a CaseName, &'a Notice)> {
    let steady = results.iter().map(|r| (&r.case, r.status, r.notices.as_slice()));
    steady
        .chain(flown.iter().map(|f| (&f.case, f.status, f.notices.as_slice())))
        .filter(|(_, status, _)| *status == Status::Solved)
        .flat_map(|(case, _, notices)| notices.iter().map(move |notice| (case, notice)))
        .filter(|(_, notice)| {
            [TRANSITION, COLD_WALL_KIND, "derate", "power_lost", NOTICE, CAN].contains(&notice.kind)
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
