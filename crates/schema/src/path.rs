//! Addresses into a tree: `loops.stator.path.long hose.length`.
//!
//! A step names a field of a record, or an item of a list by the text of its `name` field, or by
//! its number counted from 1; an item that is plain text, as in a list of failures, by itself. A tag around a single value, as in `Fixed("12 W/K")`, is looked through.
//! In the `path` list of a loop or duct an item is also found inside `branches` at any depth, so
//! that `loops.stator.path.thermostat` works although the thermostat sits in a branch.

mod error;
mod resolve;
mod written;

use super::shape::Shape;
use super::tree::{Key, Node, Place, Tree};
use resolve::{Miss, child, follow, follow_mut, holds_list, resolve};

pub use error::PathError;
pub(crate) use resolve::{flow_names, is_flow_list};
pub use written::{Path, RESERVED};

/// The node at a path.
///
/// # Errors
/// [`PathError`] names the step that was not found.
pub fn get<'a>(root: &'a Node, path: &Path) -> Result<&'a Node, PathError> {
    resolve(root, path).map(|route| follow(root, &route)).map_err(|miss| miss.error(path))
}

/// The node at a path, to be changed.
///
/// # Errors
/// [`PathError`] names the step that was not found.
pub fn get_mut<'a>(root: &'a mut Node, path: &Path) -> Result<&'a mut Node, PathError> {
    let route = resolve(root, path).map_err(|miss| miss.error(path))?;
    Ok(follow_mut(root, &route))
}

/// Puts a node in the place of another; a field that a record does not have yet is added.
///
/// # Errors
/// [`PathError`] names the step that was not found.
pub fn set(root: &mut Node, path: &Path, node: Node) -> Result<(), PathError> {
    match resolve(root, path) {
        Ok(route) => *follow_mut(root, &route) = node,
        Err(miss) => add_field(root, path, miss, node)?,
    }
    Ok(())
}

/// Adds a node: at the end if the path leads to a list, after the item if it leads to an item of
/// a list, as a new field if a record lacks the last step. If that field holds a list by the shape of the root, the node
/// becomes its first item, unless it is a list itself.
///
/// # Errors
/// [`PathError`] if a step is not found, or if a field stands there already.
pub fn insert(root: &mut Node, shape: Shape, path: &Path, node: Node) -> Result<(), PathError> {
    let route = match resolve(root, path) {
        Ok(route) => route,
        Err(miss) => {
            let is_item = !matches!(node.tree, Tree::List(_))
                && holds_list(root, shape, &miss.route, path.steps.last());
            let place = node.place;
            let node = if is_item { Node::list(vec![node]).at(place) } else { node };
            return add_field(root, path, miss, node);
        }
    };
    if let Tree::List(items) = &mut follow_mut(root, &route).unwrapped_mut().tree {
        items.push(node);
        return Ok(());
    }
    if let Some((last, owner)) = route.split_last()
        && let Tree::List(items) = &mut follow_mut(root, owner).tree
    {
        items.insert(last + 1, node);
        return Ok(());
    }
    let reason = "is there already and is not a list".to_owned();
    Err(PathError::NotPossible { path: path.to_string(), reason })
}

/// Takes away a field or an item of a list, and returns it.
///
/// # Errors
/// [`PathError`] if a step is not found, or if it is part of a fixed group.
pub fn remove(root: &mut Node, path: &Path) -> Result<Node, PathError> {
    let route = resolve(root, path).map_err(|miss| miss.error(path))?;
    if let Some((last, owner)) = route.split_last() {
        match &mut follow_mut(root, owner).tree {
            Tree::Record { fields, .. } => return Ok(fields.remove(*last).1),
            Tree::List(items) => return Ok(items.remove(*last)),
            Tree::Map(entries) => return Ok(entries.remove(*last).1),
            _ => {}
        }
    }
    Err(PathError::NotPossible { path: path.to_string(), reason: "cannot be removed".to_owned() })
}

/// The place of the node at a path, or of the deepest node on the way that has one.
pub fn deepest_place(root: &Node, path: &Path) -> Place {
    let route = match resolve(root, path) {
        Ok(route) => route,
        Err(miss) => miss.route,
    };
    (0..=route.len())
        .rev()
        .map(|n| follow(root, &route[..n]).place)
        .find(Place::is_known)
        .unwrap_or(Place::none())
}

/// The steps of a path with the branches on the way written out, as far as the path leads; the
/// rest as given.
pub fn expand(root: &Node, path: &Path) -> Vec<String> {
    let (route, reached) = match resolve(root, path) {
        Ok(route) => (route, path.steps.len()),
        Err(miss) => (miss.route, miss.step),
    };
    let mut steps = Vec::new();
    let mut node = root;
    for n in route {
        match &node.tree {
            Tree::Record { fields, .. } => steps.push(fields[n].0.name.clone()),
            Tree::Tuple { tag: Some(_), items } if items.len() == 1 => {}
            _ => steps.push(child(node, n).own_name().map_or_else(|| (n + 1).to_string(), str::to_owned)),
        }
        node = child(node, n);
    }
    steps.extend_from_slice(&path.steps[reached..]);
    steps
}

fn add_field(root: &mut Node, path: &Path, miss: Miss, node: Node) -> Result<(), PathError> {
    if miss.step + 1 == path.steps.len()
        && let Tree::Record { fields, .. } = &mut follow_mut(root, &miss.route).unwrapped_mut().tree
    {
        fields.push((Key { name: path.steps[miss.step].clone(), place: path.place }, node));
        return Ok(());
    }
    Err(miss.error(path))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn device(tag: &str, name: &str, value: &str) -> Node {
        Node::record(tag, vec![("name", Node::text(name)), ("length", Node::text(value))])
    }

    fn project() -> Node {
        let branch =
            Node::record("Branch", vec![("path", Node::list(vec![device("Valve", "thermostat", "1 m")]))]);
        let other = Node::list(vec![device("Hose", "short hose", "2 m")]);
        let split = Node::record(
            "Parallel",
            vec![("name", Node::text("split")), ("branches", Node::list(vec![branch, other]))],
        );
        let path = Node::list(vec![device("Hose", "long hose", "3 m"), split]);
        let stator = Node::record("", vec![("name", Node::text("stator")), ("path", path)]);
        let conductance = Node::tuple("Fixed", vec![Node::text("12 W/K")]);
        let points = Node::list(vec![Node::tuple("", vec![Node::number(1.0), Node::number(2.0)])]);
        Node::record(
            "Project",
            vec![("loops", Node::list(vec![stator])), ("link", conductance), ("points", points)],
        )
    }

    fn path(text: &str) -> Path {
        Path::parse(text).unwrap()
    }

    #[test]
    fn names_are_found_in_branches_at_any_depth() {
        let root = project();
        for (at, value) in [("long hose", "3 m"), ("thermostat", "1 m"), ("short hose", "2 m")] {
            let found = get(&root, &path(&format!("loops.stator.path.{at}.length"))).unwrap();
            assert_eq!(found.as_text(), Some(value));
        }
        assert_eq!(get(&root, &path("points.1.2")).unwrap(), &Node::number(2.0));
        // Only inside a flow list: the loops themselves are not searched through.
        assert!(get(&root, &path("loops.thermostat")).is_err());
    }

    #[test]
    fn a_missing_step_is_named_with_a_suggestion() {
        let error = get(&project(), &path("loops.statr.path")).unwrap_err();
        assert_eq!(error.to_string(), "there is no \"statr\" in \"loops\"");
        assert_eq!(error.remedy(), "write \"stator\" if that is meant");
        let error = get(&project(), &path("loops.stator.path.termostat.length")).unwrap_err();
        assert_eq!(error.remedy(), "write \"thermostat\" if that is meant");
        let error = get(&project(), &path("loops.stator.path.thermostat.length.unit")).unwrap_err();
        assert_eq!(
            error.to_string(),
            "\"loops.stator.path.thermostat.length\" is the text \"1 m\" and has no part \"unit\""
        );
        let error = get(&project(), &path("windows")).unwrap_err();
        assert_eq!(error.to_string(), "there is no \"windows\" in the project");
        assert_eq!(error.remedy(), "write one of \"loops\", \"link\", \"points\"");
    }

    #[test]
    fn malformed_paths_are_refused() {
        for text in ["", "a..b", "a.", "a/b", "a[1]", "x=1"] {
            assert!(Path::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn nodes_are_set_added_and_removed() {
        let mut root = project();
        set(&mut root, &path("loops.stator.path.thermostat.length"), Node::text("4 m")).unwrap();
        set(&mut root, &path("loops.stator.path.thermostat.note"), Node::text("new")).unwrap();
        assert_eq!(get(&root, &path("loops.stator.path.thermostat.note")).unwrap().as_text(), Some("new"));
        let any = Shape::Any;
        insert(&mut root, any, &path("loops.stator.path"), device("Hose", "last", "9 m")).unwrap();
        insert(&mut root, any, &path("loops.stator.path.long hose"), device("Hose", "second", "8 m"))
            .unwrap();
        assert_eq!(get(&root, &path("loops.stator.path.2.name")).unwrap().as_text(), Some("second"));
        assert_eq!(get(&root, &path("loops.stator.path.4.name")).unwrap().as_text(), Some("last"));
        remove(&mut root, &path("loops.stator.path.thermostat")).unwrap();
        assert!(get(&root, &path("loops.stator.path.thermostat")).is_err());
        let before = root.clone();
        assert!(insert(&mut root, any, &path("link"), Node::text("1 W/K")).is_err());
        assert!(set(&mut root, &path("loops.rotor.path"), Node::list(vec![])).is_err());
        assert!(remove(&mut root, &path("points.1.1")).is_err());
        assert_eq!(root, before, "a refused change leaves the tree as it was");
    }

    #[test]
    fn items_that_are_plain_text_are_found_by_their_text() {
        let names = Node::list(vec![Node::text("bus A lost"), Node::text("fan stops"), Node::text("1")]);
        let mut root = Node::record("", vec![("failures", names)]);
        assert_eq!(remove(&mut root, &path("failures.fan stops")).unwrap(), Node::text("fan stops"));
        // a text that reads as a number goes before the number
        assert_eq!(get(&root, &path("failures.1")).unwrap(), &Node::text("1"));
        assert_eq!(get(&root, &path("failures.2")).unwrap(), &Node::text("1"));
        let error = remove(&mut root, &path("failures.bus B lost")).unwrap_err();
        assert_eq!(error.remedy(), "write \"bus A lost\" if that is meant");
    }

    #[test]
    fn the_deepest_known_place_is_found() {
        let mut root = project();
        get_mut(&mut root, &path("loops.stator.path.split")).unwrap().place = Place::new(12, 5, 8);
        assert_eq!(deepest_place(&root, &path("loops.stator.path.split.branches.1")), Place::new(12, 5, 8));
        assert_eq!(deepest_place(&root, &path("nowhere")), Place::none());
    }
}
