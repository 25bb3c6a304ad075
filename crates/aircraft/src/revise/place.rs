//! Where things stand in a tree: lists, items and names.

use super::refusal::Refusal;
use schema::path::{expand, get_mut};
use schema::{Key, Node, Path, Tree};

/// An item of a list.
pub(super) struct Spot {
    /// The list.
    pub(super) list: Path,
    /// Its number in the list, from 0.
    pub(super) index: usize,
    /// Its name.
    pub(super) name: String,
}

/// The list and the number of the thing at a path.
pub(super) fn spot(root: &Node, path: &str) -> Result<Spot, Refusal> {
    let parsed = Path::parse(path)?;
    schema::path::get(root, &parsed)?;
    let mut steps = expand(root, &parsed);
    let no_item = || Refusal::NoItem(path.to_owned());
    let name = steps.pop().ok_or_else(no_item)?;
    let list = Path::from_steps(steps);
    let node = schema::path::get(root, &list)?;
    let Tree::List(items) = &node.unwrapped().tree else { return Err(no_item()) };
    let index = items.iter().position(|item| item.own_name() == Some(name.as_str())).ok_or_else(no_item)?;
    Ok(Spot { list, index, name })
}

/// The items of the list at a path.
pub(super) fn items<'a>(root: &'a mut Node, list: &Path) -> Result<&'a mut Vec<Node>, Refusal> {
    match &mut get_mut(root, list)?.unwrapped_mut().tree {
        Tree::List(items) => Ok(items),
        _ => Err(Refusal::NoItem(list.to_string())),
    }
}

/// The items of a list; none if it is no list.
pub(super) fn listed(node: &Node) -> &[Node] {
    match &node.unwrapped().tree {
        Tree::List(items) => items,
        _ => &[],
    }
}

/// As [`listed`], owned.
pub(super) fn listed_of(node: &Node) -> Vec<Node> {
    listed(node).to_vec()
}

/// The parallel section that the device at a path stands in.
pub(super) fn section_of(root: &Node, path: &str) -> Result<Option<Path>, Refusal> {
    let steps = expand(root, &Path::parse(path)?);
    let at = steps.iter().rposition(|step| step == "branches");
    Ok(at.map(|at| Path::from_steps(steps[..at].to_vec())))
}

/// The nodes right below a node.
pub(super) fn children(node: &mut Node) -> Vec<&mut Node> {
    match &mut node.tree {
        Tree::List(items) | Tree::Tuple { items, .. } => items.iter_mut().collect(),
        Tree::Record { fields, .. } => fields.iter_mut().map(|(_, node)| node).collect(),
        Tree::Map(entries) => entries.iter_mut().flat_map(|(key, value)| [key, value]).collect(),
        _ => Vec::new(),
    }
}

/// Does something to every named thing in a tree that is a device of its own: branches keep their short names.
pub(super) fn each_named(
    node: &mut Node,
    work: &mut impl FnMut(&mut Node) -> Result<(), Refusal>,
) -> Result<(), Refusal> {
    let is_record = matches!(node.tree, Tree::Record { .. });
    let is_branch = matches!(node.tag(), Some("Branch" | "Limit"));
    if is_record && !is_branch && node.own_name().is_some() {
        work(node)?;
    }
    for child in children(node) {
        each_named(child, work)?;
    }
    Ok(())
}

/// How many things have a name; a core counts once, wherever it stands.
pub(super) fn count_named(root: &Node, name: &str) -> usize {
    fn count(node: &Node, name: &str) -> usize {
        let only_stands = is_only_named(node);
        let here = matches!(node.tree, Tree::Record { .. }) && node.own_name() == Some(name) && !only_stands;
        let below: usize = match &node.tree {
            Tree::List(items) | Tree::Tuple { items, .. } => items.iter().map(|item| count(item, name)).sum(),
            Tree::Record { fields, .. } => fields.iter().map(|(_, node)| count(node, name)).sum(),
            Tree::Map(entries) => entries.iter().map(|(_, value)| count(value, name)).sum(),
            _ => 0,
        };
        usize::from(here) + below
    }
    count(root, name)
}

/// Sets a field of a record, or adds it.
pub(super) fn set_field(node: &mut Node, name: &str, value: Node) {
    match node.field_mut(name) {
        Some(old) => *old = value,
        None => {
            if let Tree::Record { fields, .. } = &mut node.tree {
                fields.push((Key::new(name), value));
            }
        }
    }
}

/// Takes a field of a record away, so that its default holds.
pub(super) fn drop_field(node: &mut Node, name: &str) {
    if let Tree::Record { fields, .. } = &mut node.tree {
        fields.retain(|(key, _)| key.name != name);
    }
}

/// Whether a core or exchanger only stands here and is described elsewhere.
pub(super) fn is_only_named(node: &Node) -> bool {
    let is_core = matches!(node.tag(), Some("Core" | "Exchanger"));
    is_core && matches!(&node.tree, Tree::Record { fields, .. } if fields.len() == 1)
}
