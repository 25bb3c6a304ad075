//! A new name, and everything that names the thing follows.

use super::place::{self, children, count_named};
use super::refusal::Refusal;
use schema::{Name, Node, Path, Tree};

/// Fields whose text is prose or the name of something outside the project.
const PROSE: [&str; 9] =
    ["note", "source", "owner", "fluid", "format", "tolerance", "evidence", "value", "unit"];

/// Whether the texts of a field are prose, or name something outside the project.
pub(super) fn is_prose(field: &str) -> bool {
    PROSE.contains(&field)
}

/// Renames the thing at a path.
pub(super) fn rename(root: &mut Node, path: &str, to: &str) -> Result<(), Refusal> {
    let to = Name::new(to.trim()).map_err(Refusal::BadName)?;
    let old = place::spot(root, path)?.name;
    if old == to.as_str() {
        return Ok(());
    }
    if count_named(root, to.as_str()) > 0 {
        return Err(Refusal::NameTaken(to.as_str().to_owned()));
    }
    match count_named(root, &old) {
        0 | 1 => {}
        several => return Err(Refusal::NameShared(old, several)),
    }
    follow(root, "", &old, to.as_str());
    Ok(())
}

/// Replaces the name wherever it stands for the thing: as its own name, alone in a text, or as a step of a path.
fn follow(node: &mut Node, field: &str, old: &str, new: &str) {
    if is_prose(field) {
        return;
    }
    match &mut node.tree {
        Tree::Text(text) if text == old => new.clone_into(text),
        Tree::Text(text) => {
            if let Some(longer) = renamed_step(text, old, new) {
                *text = longer;
            }
        }
        Tree::Record { fields, .. } => {
            for (key, value) in fields {
                follow(value, &key.name, old, new);
            }
        }
        _ => {
            for child in children(node) {
                follow(child, field, old, new);
            }
        }
    }
}

/// A path such as `loops.stator.path.feed.length` with one of its steps renamed; nothing for other texts.
fn renamed_step(text: &str, old: &str, new: &str) -> Option<String> {
    let path = Path::parse(text).ok().filter(|path| path.steps().len() > 1)?;
    let is_there = path.steps().iter().any(|step| step == old);
    let steps = path.steps().iter().map(|step| if step == old { new } else { step });
    is_there.then(|| steps.collect::<Vec<&str>>().join("."))
}
