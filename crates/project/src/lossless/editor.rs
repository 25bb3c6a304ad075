//! What an edit of the text knows while it goes on.

use super::style::Style;
use crate::splice::Splice;
use schema::Node;

/// Collects the splices of one text.
#[derive(Debug)]
pub(super) struct Editor<'t> {
    /// The text as read.
    pub(super) text: &'t str,
    /// How it is laid out.
    pub(super) style: Style,
    /// Brackets at this depth and deeper are replaced as a whole if anything in them differs.
    pub(super) finest: usize,
    /// Items that take their text along to another list.
    pub(super) homeless: Vec<Homeless<'t>>,
    /// What has been found so far; in no order.
    pub(super) splices: Vec<Splice>,
}

/// A named item that has no place in its list any more.
#[derive(Debug, Clone, Copy)]
pub(super) struct Homeless<'t> {
    pub(super) node: &'t Node,
    /// Its text up to its comma, with the comments above it.
    pub(super) text: &'t str,
    /// What follows its comma.
    pub(super) rest: &'t str,
    /// The indent of its line.
    pub(super) margin: &'t str,
    /// Whether the rest ends in a comment that needs the end of a line.
    pub(super) ends_in_line_comment: bool,
}

impl Editor<'_> {
    /// Adds a splice.
    pub(super) fn splice(&mut self, range: std::ops::Range<usize>, text: impl Into<String>) {
        self.splices.push(Splice::new(range, text));
    }
}
