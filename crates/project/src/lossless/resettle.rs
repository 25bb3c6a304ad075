//! Named items that go from one list to another, also into or out of a new bracket: they take their text and comments along.

use super::align::{Part, Source, align, have_one_frame, parts};
use super::editor::{Editor, Homeless};
use super::layout::{Group, Layout, layout};
use super::slots::{ends_in_line_comment, slots};
use super::style::indent;
use crate::parse;
use crate::splice::{Splice, Splices};
use crate::writer::{Form, Label};
use schema::{Node, Tree};

/// The text of a part that comes, without its comma.
#[derive(Debug, Clone)]
pub(super) struct Fresh {
    pub(super) text: String,
    /// What follows its comma.
    pub(super) rest: String,
    /// Whether the rest ends in a comment that needs the end of a line.
    pub(super) ends_in_line_comment: bool,
}

/// Every named item of a list that is gone from its list.
pub(super) fn homeless<'t>(text: &'t str, old: &'t Node, here: &Layout, new: &Node) -> Vec<Homeless<'t>> {
    let mut found = Vec::new();
    collect(text, old, here, new, &mut found);
    found
}

fn collect<'t>(text: &'t str, old: &'t Node, here: &Layout, new: &Node, found: &mut Vec<Homeless<'t>>) {
    let Some(group) = here.group.as_ref().filter(|_| old != new) else { return };
    let olds = parts(old);
    if !have_one_frame(old, new) {
        for o in 0..olds.len() {
            collect_all(text, &olds, group, o, found);
        }
        return;
    }
    let news = parts(new);
    let mut is_known = vec![false; olds.len()];
    for (n, source) in align(old, &olds, &news).into_iter().enumerate() {
        if let Source::Kept(o) | Source::Put { from: Some(o), .. } = source {
            is_known[o] = true;
            collect(text, olds[o].value, &group.parts[o].value, news[n].value, found);
        }
    }
    for o in (0..olds.len()).filter(|o| !is_known[*o]) {
        collect_all(text, &olds, group, o, found);
    }
}

/// One part with all that is in it.
fn collect_all<'t>(text: &'t str, olds: &[Part<'t>], group: &Group, o: usize, found: &mut Vec<Homeless<'t>>) {
    let node = olds[o].value;
    if olds[o].label == Label::None && node.own_name().is_some() {
        let slot = slots(text, group).swap_remove(o);
        let end = slot.comma.unwrap_or(slot.end_before_comma());
        found.push(Homeless {
            node,
            text: &text[slot.own.start..end],
            rest: &text[slot.behind_comma()..slot.own.end],
            margin: indent(text, slot.core.start),
            ends_in_line_comment: ends_in_line_comment(text, slot.core.end..slot.own.end),
        });
    }
    if let Some(group) = &group.parts[o].value.group {
        let inner = parts(node);
        for o in 0..inner.len() {
            collect_all(text, &inner, group, o, found);
        }
    }
}

impl Homeless<'_> {
    /// Its text with another indent; `None` if that would change more than blanks between values.
    fn settled(&self, margin: &str, new_line: &str) -> Option<Fresh> {
        let mut lines = self.text.split('\n');
        let mut text = lines.next()?.to_owned();
        for line in lines {
            text.push('\n');
            match line.strip_prefix(self.margin) {
                Some(line) if !line.trim_end().is_empty() => text.extend([margin, line]),
                _ => text.push_str(line),
            }
        }
        let probe = format!("{text}{new_line}");
        let (again, problems) = parse(probe.as_bytes());
        (problems.is_empty() && again.as_ref() == Some(self.node)).then(|| Fresh {
            text,
            rest: self.rest.to_owned(),
            ends_in_line_comment: self.ends_in_line_comment,
        })
    }
}

impl Editor<'_> {
    /// The text of a part that was not in its bracket before, behind `used` characters of a line of this indent.
    pub(super) fn fresh(&self, part: &Part<'_>, margin: &str, used: usize, form: Form) -> Fresh {
        let new_line = self.style.new_line;
        if part.label == Label::None
            && let Some(settled) =
                self.homeless_as(part.value).and_then(|item| item.settled(margin, new_line))
        {
            return settled;
        }
        let text = self.fresh_inside(part, margin, used, form);
        Fresh { text, rest: String::new(), ends_in_line_comment: false }
    }

    /// As [`Self::fresh`], of a part that does not itself take its comments along, but what is in it may.
    pub(super) fn fresh_inside(&self, part: &Part<'_>, margin: &str, used: usize, form: Form) -> String {
        // Broken up, so that every item that is put into it has a line of its own.
        let text = self.style.part(part, margin, used, form, &|node| self.holds_homeless(node));
        if !self.holds_homeless(part.value) {
            return text;
        }
        self.with_items(part, &text).unwrap_or(text)
    }

    fn homeless_as(&self, node: &Node) -> Option<&Homeless<'_>> {
        self.homeless.iter().find(|item| item.node == node)
    }

    /// Whether something inside of a value has a text that it takes along.
    fn holds_homeless(&self, node: &Node) -> bool {
        !self.homeless.is_empty()
            && parts(node).iter().any(|part| {
                let is_item = matches!(node.tree, Tree::List(_)) && self.homeless_as(part.value).is_some();
                is_item || self.holds_homeless(part.value)
            })
    }

    /// Puts the texts of items into the text of a new part that holds them.
    fn with_items(&self, part: &Part<'_>, text: &str) -> Option<String> {
        // A field or an entry alone is no value: one bracket more makes it one.
        let (opener, closer) = match part.label {
            Label::None => ("[", "]"),
            Label::Field(_) => ("(", ")"),
            Label::Key(_) => ("{", "}"),
        };
        let whole = [opener, text, closer].concat();
        let outer = layout(&whole)?;
        let here = &outer.group.as_ref()?.parts.first()?.value;
        let mut splices = Vec::new();
        self.put_items(part.value, here, &whole, &mut splices);
        let whole = Splices::sorted(splices)?.applied(&whole);
        Some(whole[opener.len()..whole.len() - closer.len()].to_owned())
    }

    fn put_items(&self, node: &Node, here: &Layout, text: &str, splices: &mut Vec<Splice>) {
        let Some(group) = &here.group else { return };
        let slots = slots(text, group);
        for ((part, slot), place) in parts(node).iter().zip(&slots).zip(&group.parts) {
            let item = self.homeless_as(part.value).filter(|_| part.label == Label::None);
            let margin = indent(text, slot.core.start);
            let is_on_line = slot.begins_line && slot.ends_line;
            match item.filter(|_| is_on_line).and_then(|item| item.settled(margin, self.style.new_line)) {
                Some(Fresh { text, rest, .. }) => {
                    splices.push(Splice::new(slot.own.clone(), format!("{text},{rest}")));
                }
                None => self.put_items(part.value, &place.value, text, splices),
            }
        }
    }
}
