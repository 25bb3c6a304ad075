//! Changes of a tree: what a variant is made of.

use super::decode::{Decode, Decoder};
use super::nearest::nearest;
use super::path::{self, Path};
use super::problem::Problem;
use super::shape::Shape;
use super::tree::{Node, Tree};

/// One change of the base design.
///
/// In a file: `Set("loops.stator.path.long hose.length", "3 m")`, `Remove("path")`, `Add("path", value)`.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Replaces a value; a field that the record does not state yet is stated.
    Set(Path, Node),
    /// Takes away a field (its default applies then) or an item of a list.
    Remove(Path),
    /// Adds an item at the end of a list, an item after another one, or a field. A list that is left out begins with the item.
    Add(Path, Node),
}

impl Change {
    /// What the change is about.
    pub fn path(&self) -> &Path {
        match self {
            Self::Set(path, _) | Self::Remove(path) | Self::Add(path, _) => path,
        }
    }
}

/// A copy of a tree of this shape with all changes made, in order.
///
/// # Errors
/// Each change that leads nowhere is a problem at the place where its path was written.
pub fn apply_changes(root: &Node, shape: Shape, changes: &[Change]) -> Result<Node, Vec<Problem>> {
    let mut changed = root.clone();
    let mut problems = Vec::new();
    for change in changes {
        let result = match change {
            Change::Set(path, node) => path::set(&mut changed, path, node.clone()),
            Change::Remove(path) => path::remove(&mut changed, path).map(|_| ()),
            Change::Add(path, node) => path::insert(&mut changed, shape, path, node.clone()),
        };
        problems.extend(result.err().map(|error| error.into_problem(change.path())));
    }
    if problems.is_empty() { Ok(changed) } else { Err(problems) }
}

impl Decode for Change {
    fn shape() -> Shape {
        Shape::Change
    }

    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        let items: &[Node] = match &node.tree {
            Tree::Tuple { tag: Some(_), items } => items,
            _ => &[],
        };
        match (node.tag(), items) {
            (Some("Set"), [path, value]) => {
                Some(Self::Set(Path::decode(path, decoder)?, Node::decode(value, decoder)?))
            }
            (Some("Add"), [path, value]) => {
                Some(Self::Add(Path::decode(path, decoder)?, Node::decode(value, decoder)?))
            }
            (Some("Remove"), [path]) => Path::decode(path, decoder).map(Self::Remove),
            (tag, _) => {
                let what = match tag.and_then(|tag| nearest(tag, ["Set", "Add", "Remove"])) {
                    Some("Remove") => "Remove(\"path\")".to_owned(),
                    Some(word) => format!("{word}(\"path\", value)"),
                    None => "Set(\"path\", value), Add(\"path\", value) or Remove(\"path\")".to_owned(),
                };
                decoder.expected(node, "a change", &what);
                None
            }
        }
    }

    fn encode(&self) -> Node {
        match self {
            Self::Set(path, node) => Node::tuple("Set", vec![path.encode(), node.clone()]),
            Self::Add(path, node) => Node::tuple("Add", vec![path.encode(), node.clone()]),
            Self::Remove(path) => Node::tuple("Remove", vec![path.encode()]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Place, decode};

    fn path(text: &str) -> Path {
        Path::parse(text).unwrap()
    }

    #[test]
    fn all_changes_are_made_or_all_failures_told() {
        let root = Node::record("", vec![("a", Node::text("1 m")), ("b", Node::list(vec![]))]);
        let changes = [
            Change::Set(path("a"), Node::text("2 m")),
            Change::Add(path("b"), Node::count(1)),
            Change::Set(path("c"), Node::flag(true)),
        ];
        let changed = apply_changes(&root, Shape::Any, &changes).unwrap();
        let expected = Node::record(
            "",
            vec![("a", Node::text("2 m")), ("b", Node::list(vec![Node::count(1)])), ("c", Node::flag(true))],
        );
        assert_eq!(changed, expected);

        let mut bad = path("b.pump");
        bad.place = Place::new(9, 7, 8);
        let problems =
            apply_changes(&root, Shape::Any, &[Change::Remove(bad), Change::Remove(path("x"))]).unwrap_err();
        assert_eq!(problems.len(), 2);
        let told =
            "9:7: error: b.pump: there is no \"pump\" in \"b\"; nothing has a name there: check the path";
        assert_eq!(problems[0].to_string(), told);
    }

    #[test]
    fn changes_are_read_and_written() {
        let list = Node::list(vec![
            Node::tuple("Set", vec![Node::text("a.b"), Node::text("1 m")]),
            Node::tuple("Remove", vec![Node::text("c")]),
            Node::tuple("Add", vec![Node::text("d"), Node::word("None")]),
        ]);
        let changes = decode::<Vec<Change>>(&list).value.unwrap();
        assert_eq!(changes.encode(), list);
        let wrong = decode::<Change>(&Node::tuple("Sett", vec![Node::text("a")])).problems;
        assert_eq!(wrong.iter().next().unwrap().remedy, "write Set(\"path\", value)");
    }
}
