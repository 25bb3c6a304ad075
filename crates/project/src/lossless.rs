//! An edited project as a change of the text that it was read from.
//!
//! The bytes are the truth. The tree as read and the tree as edited are compared, and every difference becomes a [`crate::Splice`] of the
//! text: the token of a value that was replaced, a field, an item. All else stays byte for byte: comments, order, layout, blank lines,
//! the way numbers are written, a byte order mark, the ends of lines. The result is read again and compared with the edited tree before
//! it is handed out.
//!
//! # Rule of comments
//!
//! - Comments on the lines directly above a part (an item, a field, an entry) belong to that part.
//! - The rest of a line belongs to the part that ends on it, also behind its comma.
//! - Where several parts share a line, a comment above the line or at its end belongs to none of them and stays; one between two parts
//!   belongs to the part before it if it stands before the comma, else to the part behind it.
//! - What stands between a value and its comma, or inside of its brackets, belongs to it.
//! - A comment that a blank line separates from the part below, one behind an opening bracket at the end of its line, and one above a
//!   closing bracket belong to nothing and stay.
//! - Who deletes a part deletes exactly its comments; who moves it takes them along; who replaces the value of a part keeps them.
//! - What is added copies indent, ends of lines and the habit of a last comma from its neighbours: a list on one line stays on one
//!   line, a list of one item a line stays so, and an item is broken up if the one beside it is.
//!
//! # Not kept
//!
//! - Comments inside of a value that is replaced by one of another sort: `Fixed(..)` by `Channels(..)`, a list by a word.
//! - The comments of a part that moves to another bracket, unless it is a list item with a name that is otherwise as it was.
//! - The way a text was quoted (`r"C:\x"`, `"\u{b5}"`), once the text itself is changed.
//! - Columns that were aligned with blanks, blanks inside of brackets and around colons, in what is added.
//! - An empty line more than needed where lines are deleted: it stays.

mod align;
mod edit;
mod editor;
mod group;
mod layout;
mod resettle;
mod slots;
mod style;

use schema::{Node, Tree};

use crate::reader::{DEEPEST, parse};
use crate::splice::{Splice, Splices};
use crate::writer::write;
use editor::Editor;
use layout::Layout;
use style::Style;

/// How much of the text as read was kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kept {
    /// All but what was edited.
    AllElse,
    /// Brackets at this depth that hold an edit were written anew: closer work did not read back. A fault of this program.
    ToDepth(usize),
    /// Nothing: the text cannot be read as it is, or nothing of it could be kept.
    Nothing,
}

/// An edited project as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rewriting {
    /// The text.
    pub text: String,
    /// What was changed in the text as read.
    pub splices: Splices,
    /// How much of the text as read was kept.
    pub kept: Kept,
}

/// The text of an edited project, as close to the text that it was read from as can be; see [`rewrite`].
pub fn rewritten(original: &str, edited: &Node) -> String {
    rewrite(original, edited).text
}

/// Changes the text that a project was read from so that it reads as the edited tree. Only the text of what was edited changes.
///
/// A text that cannot be read without a mistake is replaced as a whole by what [`crate::write()`] gives.
pub fn rewrite(original: &str, edited: &Node) -> Rewriting {
    let (read, problems) = parse(original.as_bytes());
    let read = read.filter(|_| problems.is_empty());
    let laid_out = read.and_then(|read| Some((read, layout::layout(original)?)));
    if let Some((read, layout)) = laid_out.filter(|(read, layout)| is_laid_out(read, layout)) {
        let all =
            rewrite_to(original, (&read, &layout), edited, usize::MAX).map(|found| (found, Kept::AllElse));
        let coarser = || {
            (0..DEEPEST).rev().find_map(|finest| {
                let found = rewrite_to(original, (&read, &layout), edited, finest)?;
                Some((found, Kept::ToDepth(finest)))
            })
        };
        if let Some(((text, splices), kept)) = all.or_else(coarser) {
            return Rewriting { text, splices, kept };
        }
    }
    let text = write(edited);
    let splices = Splices::sorted(vec![Splice::new(0..original.len(), text.as_str())]).unwrap_or_default();
    Rewriting { text, splices, kept: Kept::Nothing }
}

/// Whether every value of the tree has its layout.
fn is_laid_out(node: &Node, layout: &Layout) -> bool {
    let parts = align::parts(node);
    let has_group = !matches!(node.tree, Tree::Text(_) | Tree::Number { .. } | Tree::Flag(_) | Tree::Word(_));
    let places = layout.group.as_ref().map_or(&[][..], |group| &group.parts);
    has_group == layout.group.is_some()
        && parts.len() == places.len()
        && parts.iter().zip(places).all(|(part, place)| is_laid_out(part.value, &place.value))
}

/// The new text and its splices, if it reads as the edited tree.
fn rewrite_to(
    original: &str,
    (read, layout): (&Node, &Layout),
    edited: &Node,
    finest: usize,
) -> Option<(String, Splices)> {
    let style = Style::of(original, layout);
    let is_closest = finest == usize::MAX;
    let homeless = if is_closest { resettle::homeless(original, read, layout, edited) } else { Vec::new() };
    let mut editor = Editor { text: original, style, finest, homeless, splices: Vec::new() };
    editor.value(read, layout, edited, 0);
    let splices = Splices::sorted(editor.splices)?;
    if splices.is_empty() {
        return (read == edited).then(|| (original.to_owned(), splices));
    }
    let text = splices.applied(original);
    let (again, problems) = parse(text.as_bytes());
    (problems.is_empty() && again.as_ref() == Some(edited)).then_some((text, splices))
}

#[cfg(test)]
mod tests;
