//! Parts of one bracketed value that come, go and move.

use super::align::{Part, Source};
use super::editor::Editor;
use super::layout::Group;
use super::slots::{Slot, ends_in_line_comment};
use super::style::{column, ends_line, form_beside, indent, is_blank, line_start};
use crate::splice::{Splice, Splices};
use crate::writer::{Form, Label};
use std::ops::Range;

/// A bracketed value as read and as edited.
#[derive(Debug)]
pub(super) struct Rearranged<'a> {
    pub(super) group: &'a Group,
    pub(super) slots: &'a [Slot],
    pub(super) olds: &'a [Part<'a>],
    pub(super) news: &'a [Part<'a>],
    /// Where each of the new parts comes from.
    pub(super) sources: &'a [Source],
    /// Depth of the parts.
    pub(super) depth: usize,
}

/// Where new parts go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Spot {
    /// On lines of their own behind the line of a part.
    LineBehind(usize),
    /// On lines of their own above a part.
    LineAbove(usize),
    /// Behind the comma of a part.
    Behind(usize),
    /// Before a part.
    Before(usize),
}

impl Rearranged<'_> {
    /// Adds the splices.
    pub(super) fn emit(&self, editor: &mut Editor<'_>) {
        self.remove_gone(editor);
        let (mut last, mut waiting) = (None, 0..0);
        for (n, source) in self.sources.iter().enumerate() {
            let (Source::Kept(o) | Source::Put { slot: Some(o), .. }) = *source else {
                waiting.end = n + 1;
                continue;
            };
            self.put(editor, waiting, last, Some(o));
            (last, waiting) = (Some(o), n + 1..n + 1);
            match source {
                Source::Kept(_) => self.keep(editor, n, o),
                Source::Put { .. } => self.put_in_place(editor, n, o),
            }
        }
        self.put(editor, waiting, last, None);
    }

    /// Whether a comma follows a new part: the last one has it as the last one had it before.
    fn wants_comma(&self, n: usize) -> bool {
        n + 1 < self.news.len() || self.slots.last().is_none_or(|slot| slot.comma.is_some())
    }

    fn keep(&self, editor: &mut Editor<'_>, n: usize, o: usize) {
        let slot = &self.slots[o];
        editor.value(self.olds[o].value, &self.group.parts[o].value, self.news[n].value, self.depth);
        match slot.comma {
            None if self.wants_comma(n) => {
                let at = slot.end_before_comma();
                editor.splice(at..at, ",");
            }
            // At the end of a line the comma does no harm, and the line stays as it was.
            Some(comma) if !self.wants_comma(n) && self.slots.last().is_some_and(|slot| !slot.ends_line) => {
                editor.splice(comma..comma + 1, "");
            }
            _ => {}
        }
    }

    /// Puts a part in the place of one that goes, comments and all.
    fn put_in_place(&self, editor: &mut Editor<'_>, n: usize, o: usize) {
        let own = self.slots[o].own.clone();
        let text = editor.text;
        let used = if self.slots[o].begins_line {
            indent(text, self.slots[o].core.start).chars().count()
        } else {
            column(text, own.start)
        };
        let mut put = self.part_text(editor, n, o, used);
        if put.ends_in_line_comment && !ends_line(text, own.end) {
            put.text.push_str(editor.style.new_line);
            put.text.push_str(indent(text, self.slots[o].core.start));
        }
        editor.splice(own, put.text);
    }

    /// Puts parts between two that stay.
    fn put(&self, editor: &mut Editor<'_>, new: Range<usize>, last: Option<usize>, next: Option<usize>) {
        let Some(spot) = self.spot(last, next).filter(|_| !new.is_empty()) else { return };
        let text = editor.text;
        let (beside, at) = match spot {
            Spot::Behind(o) if self.is_kept(o) => (o, self.slots[o].behind_comma()),
            Spot::LineBehind(o) | Spot::Behind(o) => (o, self.slots[o].own.end),
            Spot::LineAbove(o) => (o, line_start(text, self.slots[o].own.start)),
            Spot::Before(o) => (o, self.slots[o].own.start),
        };
        let margin = indent(text, self.slots[beside].core.start);
        let line = format!("{}{margin}", editor.style.new_line);
        let is_on_line = matches!(spot, Spot::LineBehind(_) | Spot::LineAbove(_));
        let used = if is_on_line { margin.chars().count() } else { column(text, at) + 1 };
        let mut all = String::new();
        for n in new.clone() {
            let put = self.part_text(editor, n, beside, used);
            let is_last = n + 1 == new.end;
            let breaks = put.ends_in_line_comment
                && (!is_on_line || (is_last && spot == Spot::LineBehind(beside) && !ends_line(text, at)));
            let (before, behind) = match spot {
                Spot::LineBehind(_) => (line.as_str(), if breaks { line.as_str() } else { "" }),
                Spot::LineAbove(_) => (margin, editor.style.new_line),
                Spot::Behind(_) => (" ", if breaks { line.as_str() } else { "" }),
                Spot::Before(_) => ("", if breaks { line.as_str() } else { " " }),
            };
            all.extend([before, &put.text, behind]);
        }
        editor.splice(at..at, all);
    }

    fn is_kept(&self, o: usize) -> bool {
        self.sources.contains(&Source::Kept(o))
    }

    fn spot(&self, last: Option<usize>, next: Option<usize>) -> Option<Spot> {
        let is_line = |o: usize| {
            let slot = &self.slots[o];
            slot.begins_line && (slot.ends_line || o + 1 == self.slots.len())
        };
        let begins_line = |o: &usize| self.slots[*o].begins_line && !self.slots[*o].shares_first_line;
        match (last, next) {
            (Some(last), _) if is_line(last) => Some(Spot::LineBehind(last)),
            (Some(last), Some(next)) if self.slots[last].ends_line && begins_line(&next) => {
                Some(Spot::LineAbove(next))
            }
            (Some(last), _) => Some(Spot::Behind(last)),
            (None, Some(next)) if begins_line(&next) => Some(Spot::LineAbove(next)),
            (None, next) => next.map(Spot::Before),
        }
    }

    /// The text of a part that comes, with its comma, to stand beside an old one.
    fn part_text(&self, editor: &mut Editor<'_>, n: usize, beside: usize, used: usize) -> PutText {
        if let Source::Put { from: Some(o), .. } = self.sources[n] {
            return self.moved_text(editor, n, o);
        }
        let comma = if self.wants_comma(n) { "," } else { "" };
        let margin = indent(editor.text, self.slots[beside].core.start);
        let fresh = editor.fresh(&self.news[n], margin, used, self.form(editor.text, n, beside));
        let text = [&fresh.text, comma, &fresh.rest].concat();
        PutText { text, ends_in_line_comment: fresh.ends_in_line_comment }
    }

    /// The text of a part that moves here, with what was edited in it.
    fn moved_text(&self, editor: &mut Editor<'_>, n: usize, o: usize) -> PutText {
        let slot = &self.slots[o];
        let start = editor.splices.len();
        editor.value(self.olds[o].value, &self.group.parts[o].value, self.news[n].value, self.depth);
        let inside = editor.splices.split_off(start);
        let at = slot.comma.unwrap_or(slot.end_before_comma());
        let comma = Splice::new(at..slot.behind_comma(), if self.wants_comma(n) { "," } else { "" });
        let all = inside.iter().chain([&comma]).map(|splice| {
            let range = splice.range();
            Splice::new(range.start - slot.own.start..range.end - slot.own.start, splice.text())
        });
        let moved = &editor.text[slot.own.clone()];
        // What cannot be laid over one another is found when the result is read back.
        let text = Splices::sorted(all.collect()).map_or_else(|| moved.to_owned(), |all| all.applied(moved));
        let ends_in_line_comment = ends_in_line_comment(editor.text, slot.core.end..slot.own.end);
        PutText { text, ends_in_line_comment }
    }

    /// A new item of a list is laid out as the one beside it if that is of the same sort, or as the first such one.
    fn form(&self, text: &str, n: usize, beside: usize) -> Form {
        let new = &self.news[n];
        if new.label != Label::None {
            return Form::Fitted;
        }
        let is_alike = |o: &usize| super::align::have_one_frame(self.olds[*o].value, new.value);
        let like = [beside].into_iter().chain(0..self.olds.len()).find(is_alike);
        like.map_or(Form::Fitted, |o| form_beside(text, &self.group.parts[o].value))
    }

    /// Takes away the parts that are gone, also those that stand elsewhere now, if nothing takes their place.
    fn remove_gone(&self, editor: &mut Editor<'_>) {
        let is_gone: Vec<bool> = (0..self.olds.len())
            .map(|o| {
                !self.sources.iter().any(|source| match source {
                    Source::Kept(kept) => *kept == o,
                    Source::Put { slot, .. } => *slot == Some(o),
                })
            })
            .collect();
        let mut removed: Vec<Range<usize>> = Vec::new();
        let mut first = 0;
        while first < is_gone.len() {
            if !is_gone[first] {
                first += 1;
                continue;
            }
            let mut end = first + 1;
            while end < is_gone.len() && is_gone[end] && !self.slots[end].begins_line {
                end += 1;
            }
            let range = self.run(editor.text, first, end - 1);
            match removed.last_mut() {
                Some(before) if range.start < before.end => {
                    *before = before.start.min(range.start)..before.end.max(range.end);
                }
                _ => removed.push(range),
            }
            first = end;
        }
        for range in removed {
            editor.splice(range, "");
        }
    }

    /// What goes with a run of parts on one line.
    fn run(&self, text: &str, first: usize, last: usize) -> Range<usize> {
        let (start, end) = (self.slots[first].own.start, self.slots[last].own.end);
        let line = line_start(text, start);
        if self.slots[first].begins_line
            && self.slots[last].ends_line
            && is_blank(text, line..start)
            && ends_line(text, end)
        {
            let behind = text[end..].find('\n').map_or(text.len(), |at| end + at + 1);
            return line..behind;
        }
        let next = self.slots.get(last + 1);
        let before = first.checked_sub(1).map(|o| self.slots[o].own.end);
        match (before, next) {
            (_, Some(next)) if !self.slots[last].ends_line => start..next.own.start,
            (Some(before), _) if is_blank(text, before..start) => before..end,
            (None, Some(next)) if is_blank(text, end..next.own.start) => start..next.own.start,
            _ => start..end,
        }
    }
}

/// The text of a part that comes.
struct PutText {
    text: String,
    ends_in_line_comment: bool,
}
