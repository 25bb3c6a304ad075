//! A scanner that shares nothing with the one under test: tokens, and in which brackets each stands.

use std::ops::Range;

/// A comment and where it stands.
#[derive(Debug, Clone)]
pub(super) struct Comment {
    /// With its signs; blanks and ends of lines in it are one blank each, because what goes to another bracket is indented anew.
    pub(super) text: String,
    /// Path of the bracket that it stands in.
    pub(super) group: Vec<usize>,
    /// How many commas of that bracket stand before it.
    pub(super) index: usize,
    /// Whether there is something between the last of these commas and the comment.
    pub(super) is_behind: bool,
}

/// What a text consists of.
#[derive(Debug, Default)]
pub(super) struct Scan {
    /// Where tokens start.
    pub(super) starts: Vec<usize>,
    pub(super) comments: Vec<Comment>,
    /// Scalars with their paths.
    pub(super) scalars: Vec<(Vec<usize>, Range<usize>)>,
}

#[derive(Debug, Default)]
struct Bracket {
    index: usize,
    is_behind: bool,
}

impl Scan {
    pub(super) fn of(text: &str) -> Self {
        let mut scan = Self::default();
        let mut brackets = vec![Bracket::default()];
        let mut at = if text.starts_with('\u{FEFF}') { 3 } else { 0 };
        while let Some(c) = text[at..].chars().next() {
            let length = length(&text[at..]);
            let range = at..at + length;
            at += length;
            let path: Vec<usize> = brackets[1..].iter().map(|bracket| bracket.index).collect();
            let here = brackets.last_mut().expect("brackets are balanced");
            if c.is_whitespace() {
                continue;
            }
            if c == '/' {
                let group = path.split_last().map_or(&[][..], |(_, group)| group).to_vec();
                let (index, is_behind) = (here.index, here.is_behind);
                // only those strewn in have a text of their own
                let text = text[range].split_whitespace().collect::<Vec<&str>>().join(" ");
                if text.contains('.') {
                    scan.comments.push(Comment { text, group, index, is_behind });
                }
                continue;
            }
            scan.starts.push(range.start);
            match c {
                '(' | '[' | '{' => {
                    here.is_behind = true;
                    brackets.push(Bracket::default());
                }
                ')' | ']' | '}' => drop(brackets.pop()),
                ',' => (here.index, here.is_behind) = (here.index + 1, false),
                ':' => {}
                _ => {
                    here.is_behind = true;
                    let next = next_token(&text[at..]);
                    if !matches!(next, Some('(' | ':')) {
                        scan.scalars.push((path, range));
                    }
                }
            }
        }
        scan
    }
}

/// The first character that is neither blank nor in a comment.
fn next_token(text: &str) -> Option<char> {
    let mut at = 0;
    loop {
        let c = text[at..].chars().next()?;
        if !c.is_whitespace() && c != '/' {
            return Some(c);
        }
        at += length(&text[at..]);
    }
}

/// Length of the token, comment or blank character at the start of a text.
fn length(text: &str) -> usize {
    let first = text.chars().next().map_or(0, char::len_utf8);
    if text.starts_with("//") {
        return text.find(['\r', '\n']).unwrap_or(text.len());
    }
    if text.starts_with("/*") {
        return comment(text);
    }
    if let Some(inside) = text.strip_prefix('"') {
        let mut is_escaped = false;
        let end = inside.find(|c| {
            let ends = c == '"' && !is_escaped;
            is_escaped = c == '\\' && !is_escaped;
            ends
        });
        return end.expect("text is closed") + 2;
    }
    let word = text.find(|c: char| !(c.is_alphanumeric() || "_.+-".contains(c))).unwrap_or(text.len());
    word.max(first)
}

fn comment(text: &str) -> usize {
    let (mut depth, mut at) = (0, 0);
    loop {
        let rest = &text[at..];
        if rest.starts_with("/*") {
            (depth, at) = (depth + 1, at + 2);
        } else if rest.starts_with("*/") {
            (depth, at) = (depth - 1, at + 2);
        } else {
            at += rest.chars().next().expect("comments are closed").len_utf8();
        }
        if depth == 0 {
            return at;
        }
    }
}
