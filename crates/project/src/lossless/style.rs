//! How a file is laid out, and new text laid out alike.

use std::ops::Range;

use super::align::Part;
use super::layout::Layout;
use super::slots::slots;
use crate::writer::{Breaks, Form, INDENT, part_text};

/// What all lines of a file have in common.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Style {
    /// The end of a line.
    pub(super) new_line: &'static str,
    /// What a line is indented by, for each depth.
    pub(super) unit: String,
}

impl Style {
    /// As the first lines of a text have it; four blanks if no line is indented.
    pub(super) fn of(text: &str, layout: &Layout) -> Self {
        let first = text.split_inclusive('\n').next().unwrap_or_default();
        let new_line = if first.ends_with("\r\n") { "\r\n" } else { "\n" };
        let unit = unit(text, layout).unwrap_or_else(|| " ".repeat(INDENT));
        Self { new_line, unit }
    }

    /// The text of a part behind `used` characters of a line of this indent, without comma.
    pub(super) fn part(
        &self,
        part: &Part<'_>,
        indent: &str,
        used: usize,
        form: Form,
        breaks: Breaks<'_>,
    ) -> String {
        let columns = indent.chars().count();
        let text = part_text(&part.label, part.value, (columns, used), form, breaks);
        let mut lines = text.split('\n');
        let mut laid_out = lines.next().unwrap_or_default().to_owned();
        for line in lines {
            // Text in quotes has no ends of lines in it, so every blank here is one of the writer's indent.
            let line = &line[columns..];
            let content = line.trim_start_matches(' ');
            laid_out.push_str(self.new_line);
            laid_out.push_str(indent);
            laid_out.push_str(&self.unit.repeat((line.len() - content.len()) / INDENT));
            laid_out.push_str(content);
        }
        laid_out
    }
}

/// By how much the first part that has a line of its own is indented more than the line of its bracket.
fn unit(text: &str, layout: &Layout) -> Option<String> {
    let group = layout.group.as_ref()?;
    let outer = indent(text, layout.span.start);
    let first = slots(text, group).into_iter().find(|slot| slot.begins_line);
    let inner = first.and_then(|slot| indent(text, slot.core.start).strip_prefix(outer));
    match inner.filter(|inner| !inner.is_empty()) {
        Some(inner) => Some(inner.to_owned()),
        None => group.parts.iter().find_map(|part| unit(text, &part.value)),
    }
}

/// Where the line of an offset starts.
pub(super) fn line_start(text: &str, offset: usize) -> usize {
    let start = text[..offset].rfind('\n').map_or(0, |at| at + 1);
    if text[start..offset].starts_with('\u{FEFF}') { start + '\u{FEFF}'.len_utf8() } else { start }
}

/// The blanks that the line of an offset starts with.
pub(super) fn indent(text: &str, offset: usize) -> &str {
    let line = &text[line_start(text, offset)..];
    &line[..line.find(|c| c != ' ' && c != '\t').unwrap_or(line.len())]
}

/// Characters before an offset on its line.
pub(super) fn column(text: &str, offset: usize) -> usize {
    text[line_start(text, offset)..offset].chars().count()
}

/// Whether there is nothing but blanks and ends of lines.
pub(super) fn is_blank(text: &str, range: Range<usize>) -> bool {
    text[range].chars().all(crate::scan::is_blank)
}

/// Whether nothing but blanks follows on the line of an offset.
pub(super) fn ends_line(text: &str, offset: usize) -> bool {
    let rest = text[offset..].trim_start_matches([' ', '\t', '\r']);
    rest.is_empty() || rest.starts_with('\n')
}

/// The layout of a new item beside one that is there: broken up or on one line as that one is.
pub(super) fn form_beside(text: &str, beside: &Layout) -> Form {
    if text[beside.span.clone()].contains('\n') { Form::BrokenUp } else { Form::OneLine }
}
