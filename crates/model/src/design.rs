//! The designs of a project, the base and its variants: decoded, and checked for all that [`crate::validate`] finds.

use crate::validate::validate;
use aircraft::records::project::Project;
use aircraft::revise::Revision;
use aircraft::tables::{self, CellProblem, Table};
use aircraft::variant::{self, NoVariant, Varied};
use schema::{Change, Node, Problems};

/// Decodes and checks a project tree, and applies a variant by name; no name or [`variant::BASE`] leaves the design as it is.
///
/// # Errors
/// All problems of the tree, of the variant and of the varied design.
pub fn apply(node: &Node, name: Option<&str>) -> Result<Varied, Problems> {
    variant::apply(node, name, validate)
}

/// A variant of a tree whose base design has been decoded already.
///
/// # Errors
/// As [`apply`].
pub fn vary(node: &Node, base: &Project, name: &str) -> Result<Varied, Problems> {
    variant::vary(node, base, name, validate)
}

/// Decodes and checks a tree.
///
/// # Errors
/// All problems, with the places of the tree.
pub fn decode(node: &Node) -> Result<Project, Problems> {
    variant::decode(node, validate)
}

/// The tree with one variant more: the changes of another variant (or of none: [`variant::BASE`]), then further ones.
///
/// # Errors
/// [`NoVariant`].
pub fn with_variant(
    node: &Node,
    from: &str,
    name: &str,
    note: &str,
    changes: &[Change],
) -> Result<Node, NoVariant> {
    variant::with_variant(node, (from, name, note), changes, validate)
}

/// The change that puts a table in the place of the one at its address.
///
/// # Errors
/// Every mistake, beside its cell.
pub fn put_table(node: &Node, table: &Table) -> Result<Revision, Vec<CellProblem>> {
    tables::put(node, table, validate)
}
