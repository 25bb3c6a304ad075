//! From two trees and a layout to the splices of a text.

use super::align::{Part, Source, align, have_one_frame, parts};
use super::editor::Editor;
use super::group::Rearranged;
use super::layout::{Group, Layout};
use super::slots::{has_comment, slots};
use super::style::{column, indent, is_blank, line_start};
use crate::writer::{Form, Label, brackets};
use schema::Node;

impl Editor<'_> {
    /// What makes one value of another one that stands here.
    pub(super) fn value(&mut self, old: &Node, here: &Layout, new: &Node, depth: usize) {
        if old == new {
            return;
        }
        match &here.group {
            Some(group) if depth < self.finest && have_one_frame(old, new) => {
                self.group(old, (here, group), new, depth);
            }
            _ => {
                let start = here.span.start;
                let text = self.new_value(new, start);
                self.splice(here.span.clone(), text);
            }
        }
    }

    /// The text of a value that comes at an offset. Inside of a bracket that is on one line it stays on that line.
    fn new_value(&self, value: &Node, at: usize) -> String {
        let part = Part { label: Label::None, value };
        let is_inside = self.text[line_start(self.text, at)..at].contains(['(', '[', '{']);
        let form = if is_inside { Form::OneLine } else { Form::Fitted };
        self.fresh_inside(&part, indent(self.text, at), column(self.text, at), form)
    }

    fn group(&mut self, old: &Node, (here, group): (&Layout, &Group), new: &Node, depth: usize) {
        let (olds, news) = (parts(old), parts(new));
        if olds.is_empty() {
            self.fill(here, group, new);
            return;
        }
        let sources = align(old, &olds, &news);
        let is_in_place = sources.len() == olds.len()
            && sources.iter().enumerate().all(|(n, source)| *source == Source::Kept(n));
        if is_in_place {
            for ((old, new), part) in olds.iter().zip(&news).zip(&group.parts) {
                self.value(old.value, &part.value, new.value, depth + 1);
            }
            return;
        }
        let slots = slots(self.text, group);
        if news.is_empty() && self.is_bare_without(group, &slots) {
            self.splice(group.inside.clone(), "");
            return;
        }
        Rearranged { group, slots: &slots, olds: &olds, news: &news, sources: &sources, depth: depth + 1 }
            .emit(self);
    }

    /// Whether a bracket holds no comment of its own once all of its parts are gone.
    fn is_bare_without(&self, group: &Group, slots: &[super::slots::Slot]) -> bool {
        let starts = slots.iter().map(|slot| slot.own.start).chain([group.inside.end]);
        let ends = [group.inside.start].into_iter().chain(slots.iter().map(|slot| slot.own.end));
        ends.zip(starts).all(|(from, to)| !has_comment(self.text, from..to))
    }

    /// Puts parts into a bracket that has none.
    fn fill(&mut self, here: &Layout, group: &Group, new: &Node) {
        let (start, inner) = (here.span.start, group.inside.clone());
        if is_blank(self.text, inner.clone()) {
            let text = self.new_value(new, start);
            let opened = text.find(brackets(&new.tree).0).map_or(0, |at| at + 1);
            self.splice(inner, &text[opened..text.len() - 1]);
            return;
        }
        // There are comments in it, which stay in front of the parts.
        let closer_line = line_start(self.text, inner.end);
        let has_line = closer_line > inner.start && is_blank(self.text, closer_line..inner.end);
        let outer = indent(self.text, inner.end).to_owned();
        let margin = format!("{outer}{}", self.style.unit);
        let texts = parts(new)
            .into_iter()
            .map(|part| self.fresh_inside(&part, &margin, margin.chars().count(), Form::Fitted))
            .collect::<Vec<String>>();
        if has_line {
            let lines = texts.iter().map(|text| format!("{margin}{text},{}", self.style.new_line));
            self.splice(closer_line..closer_line, lines.collect::<String>());
        } else {
            let gap = if self.text[..inner.end].ends_with(crate::scan::is_blank) { "" } else { " " };
            self.splice(inner.end..inner.end, format!("{gap}{}", texts.join(", ")));
        }
    }
}
