//! From names to a place in the tree.

use super::error::PathError;
use super::written::Path;
use crate::nearest::nearest;
use crate::shape::{ChoiceSchema, RecordSchema, Shape};
use crate::tree::{Node, Place, Tree};

/// Fields whose lists are searched together with the lists nested in them.
const FLOW_LISTS: [&str; 2] = ["path", "branches"];

/// True for the lists in which nested names are found at any depth.
pub(crate) fn is_flow_list(field: &str) -> bool {
    FLOW_LISTS.contains(&field)
}

/// Whether a field of the record at the end of a route holds a list.
pub(super) fn holds_list(root: &Node, shape: Shape, route: &[usize], field: Option<&String>) -> bool {
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

/// Numbers of the children on the way down.
type Route = Vec<usize>;

/// How far a path led.
pub(super) struct Miss {
    pub(super) route: Route,
    pub(super) step: usize,
    pub(super) known: Vec<String>,
    pub(super) no_parts: Option<String>,
}

impl Miss {
    pub(super) fn error(self, path: &Path) -> PathError {
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

pub(super) fn resolve(root: &Node, path: &Path) -> Result<Route, Miss> {
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
pub(super) fn find(node: &Node, holder: &str, step: &str) -> Option<Route> {
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

pub(super) fn child(node: &Node, n: usize) -> &Node {
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

pub(super) fn follow<'a>(root: &'a Node, route: &[usize]) -> &'a Node {
    route.iter().fold(root, |node, n| child(node, *n))
}

pub(super) fn follow_mut<'a>(root: &'a mut Node, route: &[usize]) -> &'a mut Node {
    route.iter().fold(root, |node, n| child_mut(node, *n))
}
