//! Which comments belong to which part of a bracketed value: the rule of comments, see [`super`].

use std::ops::Range;

use super::layout::Group;
use crate::scan;

/// What a part takes up in the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Slot {
    /// Name and value.
    pub(super) core: Range<usize>,
    /// The core with its comments and its comma: what is taken away with the part.
    pub(super) own: Range<usize>,
    /// Where its comma stands.
    pub(super) comma: Option<usize>,
    /// No other part, and not the opening bracket, stands before it on its first line.
    pub(super) begins_line: bool,
    /// No other part, and not the closing bracket, stands behind it on its last line.
    pub(super) ends_line: bool,
    /// Another part begins on the line on which this one begins.
    pub(super) shares_first_line: bool,
}

impl Slot {
    /// Where a comma is put if there is none: the part is the last one then.
    pub(super) fn end_before_comma(&self) -> usize {
        if self.ends_line { self.core.end } else { self.own.end }
    }

    /// Behind the comma, or where it will be.
    pub(super) fn behind_comma(&self) -> usize {
        self.comma.map_or(self.end_before_comma(), |comma| comma + 1)
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sort {
    NewLine,
    Comment,
}

/// A comment, or the end of a line, between two values.
#[derive(Debug, Clone)]
struct Piece {
    sort: Sort,
    range: Range<usize>,
}

/// Comments and ends of lines in what is blank otherwise. The end of a line inside of a comment is none.
fn pieces(text: &str, range: Range<usize>) -> Vec<Piece> {
    let (mut at, mut found) = (range.start, Vec::new());
    while at < range.end {
        let rest = &text[at..range.end];
        if rest.starts_with("//") {
            let length = rest.find('\n').unwrap_or(rest.len());
            let range = at..at + rest[..length].trim_end_matches('\r').len();
            found.push(Piece { sort: Sort::Comment, range });
            at += length;
        } else if let Some(length) = scan::block_comment(rest) {
            found.push(Piece { sort: Sort::Comment, range: at..at + length });
            at += length;
        } else {
            if rest.starts_with('\n') {
                found.push(Piece { sort: Sort::NewLine, range: at..at + 1 });
            }
            at += rest.chars().next().map_or(1, char::len_utf8);
        }
    }
    found
}

/// Whether there is a comment in what is blank otherwise.
pub(super) fn has_comment(text: &str, range: Range<usize>) -> bool {
    pieces(text, range).iter().any(|piece| piece.sort == Sort::Comment)
}

/// Whether what follows a value ends in a comment that only the end of its line ends.
pub(super) fn ends_in_line_comment(text: &str, range: Range<usize>) -> bool {
    let last = pieces(text, range).pop();
    last.is_some_and(|piece| piece.sort == Sort::Comment && text[piece.range].starts_with("//"))
}

/// The slots of all parts of a group.
pub(super) fn slots(text: &str, group: &Group) -> Vec<Slot> {
    let parts = &group.parts;
    let behind = |n: usize| parts[n].comma.map_or(parts[n].value.span.end, |comma| comma + 1);
    // What lies before each part and, last, before the closing bracket; commas are not in it.
    let gaps: Vec<Gap> = (0..=parts.len())
        .map(|n| {
            let from = if n == 0 { group.inside.start } else { behind(n - 1) };
            let to = parts.get(n).map_or(group.inside.end, |part| part.start);
            Gap::new(pieces(text, from..to))
        })
        .collect();
    let mut slots = Vec::with_capacity(parts.len());
    for (n, part) in parts.iter().enumerate() {
        let core = part.start..part.value.span.end;
        let is_on_one_line = !text[core.clone()].contains('\n');
        let (before, after) = (&gaps[n], &gaps[n + 1]);
        let is_last = n + 1 == parts.len();
        let shares_first_line = !is_last && !after.has_new_line() && is_on_one_line;
        let shares_last_line = n > 0 && !before.has_new_line() && is_on_one_line;
        let start = before.start_of_next(core.start, shares_first_line);
        let takes_rest = if after.has_new_line() { !shares_last_line } else { is_last };
        let end = if takes_rest { after.end_of_line(behind(n)) } else { behind(n) };
        slots.push(Slot {
            core,
            own: start..end,
            comma: part.comma,
            begins_line: before.has_new_line(),
            ends_line: after.has_new_line(),
            shares_first_line,
        });
    }
    slots
}

/// What lies between two parts, behind the comma.
struct Gap {
    pieces: Vec<Piece>,
    /// Which piece is the first end of a line.
    first_new_line: Option<usize>,
}

impl Gap {
    fn new(pieces: Vec<Piece>) -> Self {
        let first_new_line = pieces.iter().position(|piece| piece.sort == Sort::NewLine);
        Self { pieces, first_new_line }
    }

    fn has_new_line(&self) -> bool {
        self.first_new_line.is_some()
    }

    /// Where the comments on the rest of the line end; `start` if there are none.
    fn end_of_line(&self, start: usize) -> usize {
        let rest = &self.pieces[..self.first_new_line.unwrap_or(self.pieces.len())];
        rest.last().map_or(start, |piece| piece.range.end)
    }

    /// Where the part behind the gap starts, with the comments that belong to it.
    fn start_of_next(&self, core: usize, shares_first_line: bool) -> usize {
        let above = &self.pieces[self.first_new_line.map_or(0, |n| n + 1)..];
        let (mut start, mut ends, mut is_above) = (core, 0, false);
        for piece in above.iter().rev() {
            match piece.sort {
                Sort::NewLine => {
                    (ends, is_above) = (ends + 1, true);
                    if ends > 1 {
                        break;
                    }
                }
                Sort::Comment if is_above && shares_first_line => break,
                Sort::Comment => (start, ends) = (piece.range.start, 0),
            }
        }
        start
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lossless::layout::layout;

    fn owned(text: &str) -> Vec<&str> {
        let layout = layout(text).unwrap();
        slots(text, layout.group.as_ref().unwrap()).into_iter().map(|slot| &text[slot.own]).collect()
    }

    #[test]
    fn lines_above_belong_to_the_part_below_and_the_rest_of_a_line_to_the_part_on_it() {
        let text = "[ // opener\n\n  // alone\n\n  // a1\n  /* a2 */\n  a /* a3 */, // a4\n  // b1\n  b, /* b2 */ // b3\n\n  // end\n]";
        assert_eq!(owned(text), ["// a1\n  /* a2 */\n  a /* a3 */, // a4", "// b1\n  b, /* b2 */ // b3"]);
    }

    #[test]
    fn on_a_line_of_several_parts_a_comment_belongs_to_the_part_it_touches() {
        let text = "[ /* a1 */ a /* a2 */, /* b1 */ b, c /* c1 */]";
        assert_eq!(owned(text), ["/* a1 */ a /* a2 */,", "/* b1 */ b,", "c /* c1 */"]);
        let lines = "[\n  // of the line\n  a, b, // of the line\n  c, // c\n]";
        assert_eq!(owned(lines), ["a,", "b,", "c, // c"]);
    }

    #[test]
    fn a_value_of_several_lines_has_the_comments_at_both_of_its_ends() {
        let text = "[\r\n\t// a\r\n\tA(\r\n\t\tx: 1, // x\r\n\t), B(\r\n\t), // b\r\n]";
        assert_eq!(owned(text), ["// a\r\n\tA(\r\n\t\tx: 1, // x\r\n\t),", "B(\r\n\t), // b"]);
    }

    #[test]
    fn a_comment_to_the_end_of_the_line_is_told_from_text() {
        for (text, ends) in
            [(", // b", true), ("\n/* // */,", false), ("// a\n", false), (" // b /* c */", true)]
        {
            assert_eq!(ends_in_line_comment(text, 0..text.len()), ends, "{text}");
        }
    }
}
