//! Addresses into a tree: `loops.stator.path.long hose.length`.
//!
//! A step names a field of a record, or an item of a list by the text of its `name` field, or by
//! its number counted from 1; an item that is plain text, as in a list of failures, by itself. A tag around a single value, as in `Fixed("12 W/K")`, is looked through.
//! In the `path` list of a loop or duct an item is also found inside `branches` at any depth, so
//! that `loops.stator.path.thermostat` works although the thermostat sits in a branch.

use std::fmt;

use super::nearest::{listed, nearest};
use super::problem::Problem;
use super::shape::{ChoiceSchema, RecordSchema, Shape};
use super::tree::{Key, Node, Place, Tree};

/// Characters that a name may not hold, because paths and the command line use them.
pub const RESERVED: [char; 6] = ['.', '/', '=', '"', '[', ']'];

/// Fields whose lists are searched together with the lists nested in them.
const FLOW_LISTS: [&str; 2] = ["path", "branches"];

/// True for the lists in which nested names are found at any depth.
pub(crate) fn is_flow_list(field: &str) -> bool {
    FLOW_LISTS.contains(&field)
}

/// An address: one or more steps. Equality ignores where it was written.
#[derive(Debug, Clone, Eq)]
pub struct Path {
    steps: Vec<String>,
    /// Where the path itself was written, if it came from a file.
    pub place: Place,
}

impl PartialEq for Path {
    fn eq(&self, other: &Self) -> bool {
        self.steps == other.steps
    }
}

impl Path {
    /// Reads a dotted path.
    ///
    /// # Errors
    /// [`PathError::Malformed`] if a step is empty or holds a reserved character.
    pub fn parse(text: &str) -> Result<Self, PathError> {
        let steps: Vec<String> = text.split('.').map(|step| step.trim().to_owned()).collect();
        let malformed = |reason: String| PathError::Malformed { path: text.to_owned(), reason };
        if steps.iter().any(String::is_empty) {
            return Err(malformed("a step is empty".to_owned()));
        }
        if let Some(found) = text.chars().find(|c| *c != '.' && RESERVED.contains(c)) {
            return Err(malformed(format!("{found:?} cannot be part of a name")));
        }
        Ok(Self { steps, place: Place::none() })
    }

    /// A path of these steps.
    pub fn from_steps<S: Into<String>>(steps: impl IntoIterator<Item = S>) -> Self {
        Self { steps: steps.into_iter().map(Into::into).collect(), place: Place::none() }
    }

    /// The steps.
    pub fn steps(&self) -> &[String] {
        &self.steps
    }

    /// The path one step further.
    #[must_use]
    pub fn join(&self, step: impl Into<String>) -> Self {
        let mut longer = self.clone();
        longer.steps.push(step.into());
        longer
    }
}

impl fmt::Display for Path {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.steps.join("."))
    }
}

/// Why a path leads nowhere.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PathError {
    /// The text is not a path.
    #[error("the path {path:?} cannot be read: {reason}")]
    Malformed {
        /// As given.
        path: String,
        /// What is wrong with it.
        reason: String,
    },
    /// A step names nothing.
    #[error("there is no {missing:?} in {}", owner_of(.within))]
    NotFound {
        /// The whole path.
        path: String,
        /// The step that was not found.
        missing: String,
        /// The steps before it.
        within: String,
        /// The name that is nearest.
        suggestion: Option<String>,
        /// Names that stand there.
        known: Vec<String>,
    },
    /// A step goes on below something that has no parts.
    #[error("{} is {found} and has no part {missing:?}", owner_of(.within))]
    NoParts {
        /// The whole path.
        path: String,
        /// The step that was not found.
        missing: String,
        /// The steps before it.
        within: String,
        /// What stands there.
        found: String,
    },
    /// Something cannot be added or removed there.
    #[error("{path:?} {reason}")]
    NotPossible {
        /// The whole path.
        path: String,
        /// Why not.
        reason: String,
    },
}

fn owner_of(steps: &str) -> String {
    if steps.is_empty() { "the project".to_owned() } else { format!("{steps:?}") }
}

impl PathError {
    /// What to do about it.
    pub fn remedy(&self) -> String {
        match self {
            Self::Malformed { .. } => {
                "write names separated by single dots, as in \"loops.stator.path.long hose.length\""
                    .to_owned()
            }
            Self::NotFound { suggestion: Some(name), .. } => format!("write {name:?} if that is meant"),
            Self::NotFound { known, .. } if !known.is_empty() => {
                format!("write one of {}", listed(known.iter().map(String::as_str)))
            }
            Self::NotFound { .. } => "nothing has a name there: check the path".to_owned(),
            Self::NoParts { within, .. } => format!("end the path at {within:?}"),
            Self::NotPossible { .. } => {
                "give the path of a list, of an item of a list, or of a field".to_owned()
            }
        }
    }

    /// The same as a problem, at the place where the path was written.
    pub fn into_problem(self, path: &Path) -> Problem {
        Problem::error(path.to_string(), self.to_string(), self.remedy()).at(path.place)
    }
}

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
    let reason = "stands there already and is no list".to_owned();
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

/// Whether a field of the record at the end of a route holds a list.
fn holds_list(root: &Node, shape: Shape, route: &[usize], field: Option<&String>) -> bool {
    let mut node = root;
    let mut shape = shape;
    for &n in route {
        let Some(inner) = shape_of_child(node, shape, n) else { return false };
        (node, shape) = (child(node, n), inner);
    }
    let Some(record) = record_of(node, shape) else { return false };
    let found = record.fields.iter().find(|known| Some(known.name) == field.map(String::as_str));
    found.is_some_and(|known| is_list((known.shape)()))
}

fn is_list(shape: Shape) -> bool {
    match shape {
        Shape::Optional(inner) => is_list(inner()),
        Shape::List(_) => true,
        _ => false,
    }
}

/// The record that a node is written in, if its shape is one, or a choice whose content is one.
fn record_of(node: &Node, shape: Shape) -> Option<&'static RecordSchema> {
    match shape {
        Shape::Optional(inner) => record_of(node, inner()),
        Shape::Record(record) => Some(record),
        Shape::Choice(choice) => record_of(node, content_of(node, choice)?),
        _ => None,
    }
}

fn content_of(node: &Node, choice: &ChoiceSchema) -> Option<Shape> {
    let name = node.tag().or(choice.plain);
    let variant = choice.variants.iter().find(|variant| Some(variant.name) == name)?;
    variant.content.map(|content| content())
}

fn shape_of_child(node: &Node, shape: Shape, n: usize) -> Option<Shape> {
    match (shape, &node.tree) {
        (Shape::Optional(inner), _) => shape_of_child(node, inner(), n),
        (Shape::List(inner), Tree::List(_)) => Some(inner()),
        (Shape::Group(inner), Tree::Tuple { .. }) => inner.get(n).map(|shape| shape()),
        (Shape::Record(record), Tree::Record { fields, .. }) => {
            record.fields.iter().find(|known| known.name == fields[n].0.name).map(|known| (known.shape)())
        }
        // a tag around a single value holds the content of its variant
        (Shape::Choice(choice), Tree::Tuple { .. }) => content_of(node, choice),
        (Shape::Choice(choice), _) => shape_of_child(node, content_of(node, choice)?, n),
        _ => None,
    }
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

/// Numbers of the children on the way down.
type Route = Vec<usize>;

/// How far a path led.
struct Miss {
    route: Route,
    step: usize,
    known: Vec<String>,
    no_parts: Option<String>,
}

impl Miss {
    fn error(self, path: &Path) -> PathError {
        let missing = path.steps[self.step].clone();
        let within = path.steps[..self.step].join(".");
        let path = path.to_string();
        if let Some(found) = self.no_parts {
            return PathError::NoParts { path, missing, within, found };
        }
        let suggestion = nearest(&missing, self.known.iter().map(String::as_str)).map(str::to_owned);
        PathError::NotFound { path, missing, within, suggestion, known: self.known }
    }
}

fn resolve(root: &Node, path: &Path) -> Result<Route, Miss> {
    let mut route = Route::new();
    let mut node = root;
    let mut holder = "";
    for (n, step) in path.steps.iter().enumerate() {
        while matches!(&node.tree, Tree::Tuple { tag: Some(_), items } if items.len() == 1) {
            route.push(0);
            node = child(node, 0);
        }
        let Some(found) = find(node, holder, step) else {
            let no_parts = has_no_parts(node).then(|| node.describe());
            return Err(Miss { route, step: n, known: names_in(node, holder), no_parts });
        };
        node = follow(node, &found);
        route.extend(found);
        holder = step;
    }
    Ok(route)
}

fn has_no_parts(node: &Node) -> bool {
    matches!(node.tree, Tree::Text(_) | Tree::Number { .. } | Tree::Flag(_) | Tree::Word(_) | Tree::Broken)
}

/// The way from a node to the child that a step names.
fn find(node: &Node, holder: &str, step: &str) -> Option<Route> {
    match &node.tree {
        Tree::Record { fields, .. } => fields.iter().position(|(key, _)| key.name == step).map(|n| vec![n]),
        Tree::Map(entries) => entries
            .iter()
            .position(|(key, _)| matches!(&key.tree, Tree::Text(t) | Tree::Word(t) if t == step))
            .map(|n| vec![n]),
        Tree::List(items) => find_named(items, is_flow_list(holder), step).or_else(|| by_number(items, step)),
        Tree::Tuple { items, .. } => by_number(items, step),
        _ => None,
    }
}

fn by_number(items: &[Node], step: &str) -> Option<Route> {
    let number: usize = step.parse().ok()?;
    (1..=items.len()).contains(&number).then(|| vec![number - 1])
}

fn find_named(items: &[Node], nested: bool, name: &str) -> Option<Route> {
    let is_called = |item: &Node| item.own_name().or_else(|| item.as_text()) == Some(name);
    if let Some(n) = items.iter().position(is_called) {
        return Some(vec![n]);
    }
    if !nested {
        return None;
    }
    items.iter().enumerate().find_map(|(n, item)| find_nested(item, name).map(|rest| prefixed(n, &rest)))
}

/// A named item below an item of a flow list: in its own flow lists, or in a list of lists.
fn find_nested(item: &Node, name: &str) -> Option<Route> {
    match &item.tree {
        Tree::Tuple { tag: Some(_), items } if items.len() == 1 => {
            find_nested(&items[0], name).map(|rest| prefixed(0, &rest))
        }
        Tree::List(items) => find_named(items, true, name),
        Tree::Record { fields, .. } => {
            fields.iter().enumerate().find_map(|(n, (key, node))| match &node.tree {
                Tree::List(items) if is_flow_list(&key.name) => {
                    find_named(items, true, name).map(|rest| prefixed(n, &rest))
                }
                _ => None,
            })
        }
        _ => None,
    }
}

fn prefixed(first: usize, rest: &[usize]) -> Route {
    std::iter::once(first).chain(rest.iter().copied()).collect()
}

/// Names of all items in a flow list and in the lists nested in it, with their places.
pub(crate) fn flow_names<'a>(items: &'a [Node], names: &mut Vec<(&'a str, Place)>) {
    for item in items {
        if let Some(name) = item.own_name() {
            let place = item.unwrapped().field("name").map_or(item.place, |node| node.place);
            names.push((name, place));
        }
        match &item.unwrapped().tree {
            Tree::List(inner) => flow_names(inner, names),
            Tree::Record { fields, .. } => {
                for (key, node) in fields {
                    if let Tree::List(inner) = &node.tree
                        && is_flow_list(&key.name)
                    {
                        flow_names(inner, names);
                    }
                }
            }
            _ => {}
        }
    }
}

fn names_in(node: &Node, holder: &str) -> Vec<String> {
    match &node.tree {
        Tree::Record { fields, .. } => fields.iter().map(|(key, _)| key.name.clone()).collect(),
        Tree::Map(entries) => entries
            .iter()
            .filter_map(|(key, _)| match &key.tree {
                Tree::Text(text) | Tree::Word(text) => Some(text.clone()),
                _ => None,
            })
            .collect(),
        Tree::List(items) if is_flow_list(holder) => {
            let mut names = Vec::new();
            flow_names(items, &mut names);
            names.into_iter().map(|(name, _)| name.to_owned()).collect()
        }
        Tree::List(items) => items
            .iter()
            .filter_map(|item| item.own_name().or_else(|| item.as_text()))
            .map(str::to_owned)
            .collect(),
        _ => Vec::new(),
    }
}

fn child(node: &Node, n: usize) -> &Node {
    match &node.tree {
        Tree::Record { fields, .. } => &fields[n].1,
        Tree::List(items) | Tree::Tuple { items, .. } => &items[n],
        Tree::Map(entries) => &entries[n].1,
        _ => unreachable!("routes lead through nodes with parts only"),
    }
}

fn child_mut(node: &mut Node, n: usize) -> &mut Node {
    match &mut node.tree {
        Tree::Record { fields, .. } => &mut fields[n].1,
        Tree::List(items) | Tree::Tuple { items, .. } => &mut items[n],
        Tree::Map(entries) => &mut entries[n].1,
        _ => unreachable!("routes lead through nodes with parts only"),
    }
}

fn follow<'a>(root: &'a Node, route: &[usize]) -> &'a Node {
    route.iter().fold(root, |node, n| child(node, *n))
}

fn follow_mut<'a>(root: &'a mut Node, route: &[usize]) -> &'a mut Node {
    route.iter().fold(root, |node, n| child_mut(node, *n))
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
