//! Levers of the worst margins as tables and as JSON.

use crate::clock;
use crate::json::{Origin, margin, with};
use crate::margins::shown;
use crate::table::table;
use model::result::MarginKind;
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::levers::{Lever, MarginLevers, TolerancePedigree};

/// How many levers of each margin the sheet shows.
pub const SHOWN: usize = 12;
/// How many more it shows for their tolerance.
const UNCERTAIN: usize = 6;

/// A change of a margin of a kind, with sign and unit.
pub fn change(kind: MarginKind, change: f64) -> String {
    let (value, unit) = match kind {
        MarginKind::RatedSpeed => (change * 30.0 / std::f64::consts::PI, "rpm"),
        other => (change, other.unit()),
    };
    let size = value.abs();
    if size >= 99.95 {
        format!("{value:+.0} {unit}")
    } else if size >= 9.995 {
        format!("{value:+.1} {unit}")
    } else {
        format!("{value:+.3} {unit}")
    }
}

/// Change of a margin within the tolerance of an input, to either side; empty without a tolerance. A star marks published scatter.
pub fn within_tolerance(kind: MarginKind, lever: &Lever) -> String {
    let Some(width) = lever.per_tolerance() else { return String::new() };
    let mark = if lever.input.tolerance_from == Some(TolerancePedigree::Published) { " *" } else { "" };
    format!("±{}{mark}", change(kind, width.abs()).trim_start_matches('+'))
}

/// What moves the worst margins, strongest first.
pub fn sheet(project: &str, variant: &str, margins: &[MarginLevers]) -> String {
    let mut text = format!("{project}, variant {variant}: what moves the worst margins\n\n");
    if margins.is_empty() {
        text.push_str("No case has a state with a limit: there is no margin to move.\n\n");
    }
    for of in margins {
        let [value, limit, distance, required] = shown(&of.margin);
        let time = of.time_s.map_or_else(String::new, |time_s| format!(" at {}", clock(time_s)));
        let verdict = if of.margin.is_short() { "SHORT " } else { "" };
        let _infallible = writeln!(
            text,
            "{verdict}{}, {}, in {}{time}: {value} of {limit}, margin {distance} of {required}",
            of.margin.place, of.margin.limit, of.case
        );
        if let Some(why) = &of.without {
            let _infallible = writeln!(text, "  {why}\n");
            continue;
        }
        let listed = of.listed(SHOWN, UNCERTAIN, 5e-4);
        let rows = listed.into_iter().map(|lever| row(of.margin.kind, lever)).collect();
        text.push_str(&table(&["step", "margin", "tolerance", "input", "value"], &[0, 1, 2], rows));
    }
    text.push_str(
        "Step: what the input is raised by. Margin: what that adds to the margin. Tolerance: by how much the\n\
         margin moves over the tolerance of the input; * published scatter of a family of relations, two\n\
         standard deviations. ~ the margin has a corner or a jump here: another place becomes the hottest,\n\
         or a core gets one tube more.\n",
    );
    text
}

fn row(kind: MarginKind, lever: &Lever) -> Vec<String> {
    let mark = if lever.checked { "" } else { "~" };
    vec![
        lever.input.step_words().to_owned(),
        format!("{mark}{}", change(kind, lever.effect())),
        within_tolerance(kind, lever),
        lever.input.path.clone(),
        lever.input.text.clone(),
    ]
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
