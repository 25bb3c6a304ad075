//! Values that a variant has of its own: found, set, dropped again.

use std::collections::BTreeMap;

use thiserror::Error;

use super::{BASE, Varied, project_shape};
use schema::{self, Change, Decode as _, Node, Path, PathError, Tree, path, set_input_text};

/// Why a value cannot be made, or be no longer, a variant's own.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum NotOwn {
    /// The base design is no variant.
    #[error("the base design has no values beside its own; name a variant")]
    Base,
    /// The path leads nowhere in the variant.
    #[error("{0}")]
    Path(#[from] PathError),
    /// The value comes with something larger.
    #[error("{path} comes with more that {variant} changes; take that change out of the variant in the file")]
    InMore {
        /// The value.
        path: String,
        /// The variant.
        variant: String,
    },
}

/// Whether a variant gives the value at a path itself: it sets the value, or sets or adds what the value stands in.
pub fn owns(varied: &Varied, path: &Path) -> bool {
    let wanted = path::expand(&varied.node, path);
    changes(varied).iter().any(|change| covers(varied, change, &wanted))
}

/// The inputs that a variant gives itself, each with whether it is set alone, so that it can be dropped.
pub fn own_inputs(varied: &Varied) -> BTreeMap<String, bool> {
    let changes = changes(varied);
    if changes.is_empty() {
        return BTreeMap::new();
    }
    let is_set = |change: &Change| matches!(change, Change::Set(..));
    let places: Vec<(Vec<String>, bool)> =
        changes.iter().filter_map(|change| Some((place(varied, change)?, is_set(change)))).collect();
    let own = varied.listing().inputs.iter().filter_map(|entry| {
        let wanted = entry.path.steps();
        let mut covering = places.iter().filter(|(place, _)| wanted.starts_with(place)).peekable();
        covering.peek()?;
        let is_alone = covering.all(|(place, is_set)| *is_set && place == wanted);
        Some((entry.path.to_string(), is_alone))
    });
    own.collect()
}

/// The tree of a project with the value at a path made the own one of a variant of it. Tolerance, source and evidence stay as they are for the variant.
///
/// # Errors
/// [`NotOwn`].
pub fn set_own(node: &Node, varied: &Varied, path: &Path, text: &str) -> Result<Node, NotOwn> {
    if varied.name == BASE {
        return Err(NotOwn::Base);
    }
    let mut changed = varied.node.clone();
    set_input_text(&mut changed, project_shape(), path, text)?;
    let steps = path::expand(&changed, path);
    // a default that is not stated is set together with the records it sits in
    let reach = (1..=steps.len())
        .find(|length| path::get(&varied.node, &Path::from_steps(&steps[..*length])).is_err())
        .unwrap_or(steps.len());
    let target = Path::from_steps(&steps[..reach]);
    let value = path::get(&changed, &target)?.clone();
    let mut tree = node.clone();
    let items = change_list(&mut tree, &varied.name)?;
    match items.iter().rposition(|item| item_sets(varied, item, target.steps())) {
        // what comes after it must not set it anew
        Some(at) if !later(varied, &items[at + 1..], target.steps()) => {
            items[at] = Change::Set(target, value).encode();
        }
        _ => items.push(Change::Set(target, value).encode()),
    }
    Ok(tree)
}

/// The tree with the value at a path as the base design has it: what the variant sets there is dropped.
///
/// # Errors
/// [`NotOwn`].
pub fn drop_own(node: &Node, varied: &Varied, path: &Path) -> Result<Node, NotOwn> {
    if varied.name == BASE {
        return Err(NotOwn::Base);
    }
    let wanted = path::expand(&varied.node, path);
    let mut tree = node.clone();
    let items = change_list(&mut tree, &varied.name)?;
    let before = items.len();
    items.retain(|item| !item_sets(varied, item, &wanted));
    if items.len() == before || later(varied, items, &wanted) {
        return Err(NotOwn::InMore { path: path.to_string(), variant: varied.name.clone() });
    }
    Ok(tree)
}

fn changes(varied: &Varied) -> &[Change] {
    let own = varied.project.variants.iter().find(|known| known.name.as_str() == varied.name);
    own.map_or(&[], |own| &own.changes)
}

/// Where what a change gives stands in the variant; nowhere for what it takes away.
fn place(varied: &Varied, change: &Change) -> Option<Vec<String>> {
    let steps = path::expand(&varied.node, change.path());
    let is_list = |steps: &[String]| {
        path::get(&varied.node, &Path::from_steps(steps)).is_ok_and(|node| matches!(node.tree, Tree::List(_)))
    };
    let named = |owner: &[String], name: &str| [owner, &[name.to_owned()]].concat();
    match change {
        Change::Remove(_) => None,
        Change::Set(..) => Some(steps),
        Change::Add(_, item) => match (item.own_name(), steps.split_last()) {
            (Some(name), _) if is_list(&steps) => Some(named(&steps, name)),
            (Some(name), Some((_, owner))) if is_list(owner) => Some(named(owner, name)),
            _ => Some(steps),
        },
    }
}

/// Whether what stands at these steps comes from a change.
fn covers(varied: &Varied, change: &Change, wanted: &[String]) -> bool {
    place(varied, change).is_some_and(|place| wanted.starts_with(&place))
}

/// Whether a change sets exactly the value at these steps.
fn is_set(varied: &Varied, change: &Change, wanted: &[String]) -> bool {
    matches!(change, Change::Set(place, _) if path::expand(&varied.node, place) == wanted)
}

/// The same for a change as it stands in the tree.
fn item_sets(varied: &Varied, item: &Node, wanted: &[String]) -> bool {
    decoded(item).is_some_and(|change| is_set(varied, &change, wanted))
}

/// Whether one of these changes gives the value at these steps.
fn later(varied: &Varied, items: &[Node], wanted: &[String]) -> bool {
    items.iter().filter_map(decoded).any(|change| covers(varied, &change, wanted))
}

fn decoded(item: &Node) -> Option<Change> {
    schema::decode::<Change>(item).value
}

/// The changes of a variant in the tree; an empty list where none was stated.
fn change_list<'a>(tree: &'a mut Node, variant: &str) -> Result<&'a mut Vec<Node>, NotOwn> {
    let place = Path::from_steps(["variants", variant, "changes"]);
    if path::get(tree, &place).is_err() {
        path::set(tree, &place, Node::list(Vec::new()))?;
    }
    match &mut path::get_mut(tree, &place)?.unwrapped_mut().tree {
        Tree::List(items) => Ok(items),
        _ => Err(NotOwn::Path(PathError::NotPossible {
            path: place.to_string(),
            reason: "is no list of changes".to_owned(),
        })),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A rig with a variant, as trees; enough of a project for what is tested here.
    fn tree() -> Node {
        let pump = |name: &str, speed: &str| {
            Node::record("Pump", vec![("name", Node::text(name)), ("speed", Node::text(speed))])
        };
        let changes = vec![
            Node::tuple("Set", vec![Node::text("loops.a.path.p.speed"), Node::text("0.5")]),
            Node::tuple("Add", vec![Node::text("loops.a.path.p"), pump("q", "1")]),
            Node::tuple("Remove", vec![Node::text("loops.a.note")]),
        ];
        let path = Node::list(vec![pump("p", "1"), pump("r", "1")]);
        let own_loop = Node::record("Loop", vec![("name", Node::text("a")), ("path", path)]);
        let variant =
            Node::record("Variant", vec![("name", Node::text("slow")), ("changes", Node::list(changes))]);
        Node::record(
            "Project",
            vec![("loops", Node::list(vec![own_loop])), ("variants", Node::list(vec![variant]))],
        )
    }

    fn steps(text: &str) -> Vec<String> {
        text.split('.').map(str::to_owned).collect()
    }

    #[test]
    fn changes_of_the_tree_are_found_by_variant() {
        let mut tree = tree();
        assert_eq!(change_list(&mut tree, "slow").expect("it is there").len(), 3);
        assert!(change_list(&mut tree, "fast").is_err(), "there is no such variant");
        let items = change_list(&mut tree, "slow").expect("it is there").clone();
        assert!(items.iter().all(|item| decoded(item).is_some()));
        assert_eq!(decoded(&items[0]).expect("it is a change").path().steps(), steps("loops.a.path.p.speed"));
    }
}
