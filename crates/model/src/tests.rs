//! Structural edits, tables and the starter, looked at by putting together and solving what comes of them.

mod revise;
mod starter;
mod tables;

use schema::{Node, Tree};

/// The items of a list; none of what is no list.
fn listed(node: &Node) -> &[Node] {
    match &node.unwrapped().tree {
        Tree::List(items) => items,
        _ => &[],
    }
}
