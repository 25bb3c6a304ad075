//! A complete project from a few answers, to begin a new aircraft with.
//!
//! Every number that is not an answer is a placeholder: it stands as assumed, with a source that says by which rule it was
//! chosen. The rules are first estimates of the trade; whether the margins hold is for the solution to tell.
//!
//! The text of a project stands in `fragments/*.ron`, the rules in `rules.ron`; the code chooses fragments, computes sizes by the rules
//! and fills the holes.

mod answers;
mod circuits;
mod drive;
mod duty;
mod fragments;
mod heat;
mod nodes;
mod rules;

pub use answers::{
    Answers, AnswersError, Cooling, CraftKind, MAX_MOTORS, PackSize, Part, parse_mass, parse_power,
    parse_shaft_speed,
};
pub(crate) use circuits::{
    duct, fan, new_core, new_loop, new_plate, new_surface, pump, reservoir, without_supplies,
};
pub use nodes::PLACEHOLDER;

use fragments::fragment;
use heat::First;
use project::{FORMAT, VERSION};
use schema::Node;

/// The tree of a project that answers to these: components, loops, ducts, powertrain, craft, conditions, points, a mission with its
/// soak, turnarounds, failures and cases.
///
/// # Errors
/// [`AnswersError`] names the answer that cannot be, and what could.
pub fn begin(answers: &Answers) -> Result<Node, AnswersError> {
    let name = answers.check()?;
    let first = First::of(answers);
    let circuits = circuits::circuits(answers, &first);
    let machines = circuits.machines();
    let count = match answers.motors {
        1 => "one motor".to_owned(),
        n => format!("{n} motors"),
    };
    let project = fragment("project")
        .with("format", FORMAT)
        .with("version", VERSION as usize)
        .with("name", name.as_str())
        .with("kind", answers.kind.word())
        .with("count", count)
        .with("drive", if answers.is_geared { "on a gearbox" } else { "in direct drive" })
        .with("conditions", duty::conditions(answers))
        .with("components", drive::components(answers, &first))
        .with("links", drive::links(answers, &first))
        .with("loops", circuits.loops)
        .with("cores", circuits.cores)
        .with("ducts", circuits.ducts)
        .with("powertrain", drive::powertrain(answers, &first))
        .with("craft", duty::craft(answers, &first))
        .with("points", duty::points(answers, &first))
        .with("mission", duty::mission(answers, &first))
        .with("turnaround", duty::turnaround(&machines))
        .with("sensors", drive::sensors(answers))
        .with("failures", duty::failures(answers, &machines))
        .with("to_change", to_change(answers))
        .with("cases", duty::cases(answers, &machines));
    Ok(project.part())
}

/// What the note of a project says of parts that cannot hold as answered.
fn to_change(answers: &Answers) -> String {
    let parts = answers.to_change();
    if parts.is_empty() {
        String::new()
    } else {
        format!(" To change before a margin can hold: {}.", parts.join("; "))
    }
}
