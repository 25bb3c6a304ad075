//! A complete project from a few answers, to begin a new aircraft with.
//!
//! Every number that is not an answer is a placeholder: it stands as assumed, with a source that says by which rule it was
//! chosen. The rules are first estimates of the trade; whether the margins hold is for the solution to tell.

mod answers;
mod circuits;
mod drive;
mod duty;
mod heat;
mod nodes;

pub use answers::{Answers, AnswersError, Cooling, CraftKind, MOST_MOTORS, PackSize, Part, parse_power};
pub(crate) use circuits::{
    duct, fan, new_core, new_loop, new_plate, new_surface, pump, reservoir, without_supplies,
};
pub use nodes::PLACEHOLDER;

use heat::First;
use nodes::{list, record, text};
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
    let mut fields = vec![
        ("format", text(FORMAT)),
        ("version", Node::count(VERSION as usize)),
        ("name", text(name.as_str())),
        ("note", text(note(answers))),
        ("conditions", duty::conditions(answers)),
        ("components", drive::components(answers, &first)),
        ("links", drive::links(answers, &first)),
        ("loops", list(circuits.loops)),
        ("cores", list(circuits.cores)),
        ("ducts", list(circuits.ducts)),
        ("powertrain", drive::powertrain(answers, &first)),
        ("craft", duty::craft(answers, &first)),
        ("supplies", list(vec![record("Supply", vec![("name", text(drive::SUPPLY))])])),
        ("points", duty::points(answers, &first)),
        ("missions", duty::missions(&first)),
        ("turnarounds", duty::turnarounds(&machines)),
        ("sensors", drive::sensors(answers)),
        ("failures", duty::failures(answers, &machines)),
        ("cases", duty::cases()),
    ];
    fields.retain(|(_, node)| !matches!(&node.tree, schema::Tree::List(items) if items.is_empty()));
    Ok(record("Project", fields))
}

/// What the project says of itself.
fn note(answers: &Answers) -> String {
    let count = match answers.motors {
        1 => "one motor".to_owned(),
        n => format!("{n} motors"),
    };
    let drive = if answers.is_geared { "on a gearbox" } else { "in direct drive" };
    format!(
        "Begun from answers: {}, {count} {drive}. Everything that is not an answer is a placeholder to be replaced: curves of pumps \
         and fans, counts and names too, which carry no source of their own. Nothing here is a design.",
        answers.kind.word()
    )
}
