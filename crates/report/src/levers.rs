//! Levers of the worst margins as tables and as JSON.

use crate::clock;
use crate::json::{Origin, margin, with};
use crate::limit;
use crate::margins::{Words, words};
use crate::sheet::{Column, Digits, Sheet};
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::levers::{Lever, MarginLevers, TolerancePedigree};

/// How many levers of each margin the sheet shows.
pub const SHOWN: usize = 12;
/// How many more it shows for their tolerance.
const UNCERTAIN: usize = 6;

/// What moves a margin: its levers that are worth telling.
fn levers(of: &MarginLevers) -> Sheet {
    let change = |key: &str| Column::mixed(key).digits(Digits::Three);
    let columns = [
        Column::text("step").right(),
        Column::flag("has_corner", ["~", ""]).before(""),
        change("effect").head("margin").signed(),
        Column::flag("has_tolerance", ["\u{b1}", ""]).before(""),
        change("per_tolerance").head("tolerance"),
        Column::flag("is_published", ["*", ""]).after(" "),
        limit::unit_column(),
        Column::text("path").head("input"),
        Column::text("text").head("value"),
    ];
    let kind = of.margin.kind;
    let row = |lever: &Lever| {
        let width = lever.per_tolerance();
        let is_published = lever.input.tolerance_from == Some(TolerancePedigree::Published);
        vec![
            lever.input.step_words().into(),
            (!lever.checked).into(),
            limit::distance(kind, lever.effect()),
            width.is_some().into(),
            width.map(|width| limit::distance(kind, width.abs())).into(),
            (width.is_some() && is_published).into(),
            limit::unit(&of.margin),
            (&lever.input.path).into(),
            (&lever.input.text).into(),
        ]
    };
    let title = format!("{}, {}, {}", of.margin.place, of.margin.limit, of.case);
    Sheet::new(title, columns).with_rows(of.listed(SHOWN, UNCERTAIN, 5e-4).into_iter().map(row))
}

/// A sheet for each margin that has levers.
pub fn sheets(margins: &[MarginLevers]) -> Vec<Sheet> {
    margins.iter().filter(|of| of.without.is_none()).map(levers).collect()
}

/// What moves the worst margins, strongest first.
pub fn page(project: &str, variant: &str, margins: &[MarginLevers]) -> String {
    let mut text = format!("{project}, variant {variant}: what moves the worst margins\n\n");
    if margins.is_empty() {
        text.push_str("No case has a state with a limit: there is no margin to move.\n\n");
    }
    for of in margins {
        let Words { value, limit, margin, required, reserve } = words(&of.margin);
        let time = of.time_s.map_or_else(String::new, |time_s| format!(" at {}", clock(time_s)));
        let stands = of.margin.standing().words();
        let _infallible = writeln!(
            text,
            "{}, {}, in {}{time}: reserve {reserve}, {stands}; margin {margin}, {required} required; {value} of {limit}",
            of.margin.place, of.margin.limit, of.case
        );
        if let Some(why) = &of.without {
            let _infallible = writeln!(text, "  {why}\n");
            continue;
        }
        text.push_str(&levers(of).text());
    }
    text.push_str(
        "Step: what the input is raised by. Margin: what that adds to the margin. Tolerance: by how much the\n\
         margin moves over the tolerance of the input; * published scatter of a family of relations, two\n\
         standard deviations. ~ the margin has a corner or a jump here: another place becomes the hottest,\n\
         or a core gets one tube more.\n",
    );
    text
}

/// Result of `levers`.
pub fn json(origin: &Origin<'_>, margins: &[MarginLevers]) -> Value {
    let lines = margins.iter().map(|of| {
        let line = with(margin(&of.margin, of.time_s), "case", json!(of.case.to_string()));
        let line = with(line, "variant", json!(origin.variant));
        let line = with(line, "message", json!(of.without));
        with(line, "levers", of.levers.iter().map(lever).collect())
    });
    with(origin.head(), "margins", lines.collect())
}

fn lever(lever: &Lever) -> Value {
    let input = &lever.input;
    json!({
        "path": input.path,
        "text": input.text,
        "value_si": input.si,
        "kind": input.kind.name(),
        "evidence": input.evidence.word(),
        "stated": input.stated,
        "per_percent": lever.per_percent(),
        "per_kelvin": lever.per_kelvin(),
        "per_tolerance": lever.per_tolerance(),
        "per_si_unit": lever.slope,
        "tolerance_si": input.tolerance_si,
        "tolerance_from": input.tolerance_from.map(|from| match from {
            TolerancePedigree::Stated => "stated",
            TolerancePedigree::Published => "published",
        }),
        "ranked_by": input.step_words().trim_start_matches('+'),
        "effect": lever.effect(),
        "sides": lever.sides.map(|sides| json!({"lower": sides[0], "higher": sides[1]})),
        "checked": lever.checked,
    })
}
