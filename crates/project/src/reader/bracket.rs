//! Lists, maps, records and tuples.

use super::{DEEPEST, IntoNode as _, Open, Reader, broken, unnamed};
use crate::scan;
use crate::scan::Blanks;
use schema::{Key, Node, Tree};

impl Reader<'_> {
    pub(super) fn list(&mut self, start: usize) -> Node {
        let place = self.place(start, start + 1);
        let mut items = Vec::new();
        self.items(|reader| items.push(reader.value()));
        Tree::List(items).into_node(place)
    }

    pub(super) fn map(&mut self, start: usize) -> Node {
        let place = self.place(start, start + 1);
        let mut entries = Vec::new();
        self.items(|reader| {
            let key = reader.value();
            reader.skip_blanks();
            if reader.take(':') {
                reader.skip_blanks();
                entries.push((key, reader.value()));
            } else {
                reader.tell(
                    reader.at,
                    reader.at,
                    "a colon and a value are missing in the map",
                    "write key: value",
                );
            }
        });
        Tree::Map(entries).into_node(place)
    }

    pub(super) fn group(&mut self, tag: Option<String>, start: usize) -> Node {
        let place = self.place(start, start + tag.as_deref().map_or(1, str::len));
        self.bracketed(')', start, |reader| {
            let (mut fields, mut items) = (Vec::new(), Vec::new());
            reader.items(|reader| reader.field_or_item(&mut fields, &mut items));
            if fields.is_empty() && !items.is_empty() {
                return Tree::Tuple { tag, items }.into_node(place);
            }
            fields.extend(items.into_iter().map(|node| (unnamed(node.place), broken(node.place))));
            Tree::Record { tag, fields }.into_node(place)
        })
    }

    pub(super) fn field_or_item(&mut self, fields: &mut Vec<(Key, Node)>, items: &mut Vec<Node>) {
        let start = self.at;
        let Some(key) = self.field_name() else {
            if !fields.is_empty() {
                let remedy = "write name: value; a decimal point is a dot, and quantities stand in quotes";
                let end = start + self.rest().chars().next().map_or(0, char::len_utf8);
                self.tell(start, end, "there is a value without a field name among fields", remedy);
                let node = self.value_silently();
                fields.push((unnamed(node.place), broken(node.place)));
                return;
            }
            items.push(self.value());
            return;
        };
        if !items.is_empty() {
            let message = format!("the field {:?} comes after values without a name", key.name);
            self.tell(start, self.at, &message, "name all of them, or none");
            items.clear();
            fields.push((unnamed(key.place), broken(key.place)));
        }
        self.skip_blanks();
        let node = if self.rest().starts_with([',', ')', ']', '}']) {
            let message = format!("the field {:?} has no value", key.name);
            self.tell(start, start + key.name.len(), &message, "write a value after the colon");
            broken(key.place)
        } else {
            self.value()
        };
        fields.push((key, node));
    }

    /// A field name with the colon after it; slips such as `=`, quotes or a missing colon are told and
    /// taken as meant. `None` leaves everything where it was.
    pub(super) fn field_name(&mut self) -> Option<Key> {
        let start = self.at;
        let rest = self.rest();
        let (name, length, slip) = if let Some(quoted) = rest.strip_prefix('"') {
            let name = &quoted[..quoted.find('"')?];
            if name.is_empty() || !name.chars().all(scan::in_raw_word) {
                return None;
            }
            (
                name,
                name.len() + 2,
                Some(("a field name is in quotes", format!("write {name}: without quotes"))),
            )
        } else {
            let (name, length) = scan::word(rest)?;
            let raw_follows = rest[length..].starts_with(['.', '+', '-']) && !rest.starts_with("r#");
            let longer = if raw_follows { scan::run(rest, scan::in_raw_word) } else { length };
            let name_in_full = if longer > length { &rest[..longer] } else { name };
            let slip = (longer > length).then(|| {
                let fixed = name_in_full.replace(['-', '.', '+'], "_");
                ("a field name holds letters, digits and _ only", format!("write {fixed}:"))
            });
            (name_in_full, longer.max(length), slip)
        };
        let after = start + length;
        let Blanks::End(next) = scan::skip_blanks(self.text, after) else { return None };
        let following = self.text[next..].chars().next()?;
        let sign_slip = match following {
            ':' => None,
            '=' => Some(("an equals sign found where a colon is expected", format!("write {name}:"))),
            '"' | '0'..='9' | '[' | '{' if slip.is_none() && next > after && self.open_record() => {
                Some(("the colon after a field name is missing", format!("write {name}: before the value")))
            }
            _ => return None,
        };
        let place = self.place(start, after);
        self.at = if following == ':' || following == '=' { next + 1 } else { next };
        for (message, remedy) in slip.into_iter().chain(sign_slip) {
            self.tell(start, after, message, &remedy);
        }
        Some(Key { name: name.to_owned(), place })
    }

    /// True inside round brackets.
    pub(super) fn open_record(&self) -> bool {
        self.open.last().is_some_and(|open| open.closer == ')')
    }

    /// Works inside a bracket that opens here; too deep, it is skipped.
    pub(super) fn bracketed(
        &mut self,
        closer: char,
        start: usize,
        work: impl FnOnce(&mut Self) -> Node,
    ) -> Node {
        let at = self.at;
        if self.open.len() >= DEEPEST {
            let message = format!("brackets are nested deeper than {DEEPEST}");
            self.tell(at, at + 1, &message, "make the project flatter");
            self.skip_bracket();
            return broken(self.place(start, start + 1));
        }
        self.at += 1;
        self.open.push(Open { at, closer });
        let node = work(self);
        self.open.pop();
        node
    }

    /// Reads items up to the closing bracket of the innermost open bracket, and past it.
    pub(super) fn items(&mut self, mut item: impl FnMut(&mut Self)) {
        loop {
            self.skip_blanks();
            if self.closed() {
                return;
            }
            if self.rest().starts_with(',') {
                self.tell(self.at, self.at + 1, "a value is missing before this comma", "remove the comma");
                self.at += 1;
                continue;
            }
            let before = self.at;
            item(self);
            let after = self.at;
            self.skip_blanks();
            if self.take(',') || self.ends_here() {
                continue;
            }
            if self.rest().starts_with(';') {
                self.tell(
                    self.at,
                    self.at + 1,
                    "a semicolon found where a comma is expected",
                    "write a comma",
                );
                self.at += 1;
                continue;
            }
            let next = self.rest().chars().next();
            if next
                .is_some_and(|c| c.is_alphanumeric() || matches!(c, '"' | '(' | '[' | '{' | '-' | '+' | '_'))
                && after > before
            {
                let last = self.text[..after].chars().next_back().map_or(0, char::len_utf8);
                self.tell(after - last, after, "a comma is missing after this", "write a comma");
            } else {
                let length = next.map_or(0, char::len_utf8);
                let message = format!("{:?} is not expected here", next.unwrap_or(' '));
                self.tell(self.at, self.at + length, &message, "remove it, or put text in double quotes");
                self.at += length;
                self.skip_to_end_of_item();
                self.take(',');
            }
        }
    }

    pub(super) fn ends_here(&self) -> bool {
        self.rest().is_empty() || self.rest().starts_with([')', ']', '}'])
    }

    /// True if the innermost bracket closes here, rightly or by a mistake that is told.
    pub(super) fn closed(&mut self) -> bool {
        let Some(open) = self.open.last() else { return true };
        let (opened, closer) = (open.at, open.closer);
        let opener = &self.text[opened..=opened];
        if self.rest().is_empty() {
            let message = format!("this {opener} is never closed");
            self.tell(opened, opened + 1, &message, &format!("write {closer} where it ends"));
            return true;
        }
        let Some(found) = self.rest().chars().next().filter(|c| matches!(c, ')' | ']' | '}')) else {
            return false;
        };
        if found == closer {
            self.at += 1;
            return true;
        }
        let line = self.place(opened, opened + 1).line;
        let message =
            format!("{found} found where {closer} is expected to close the {opener} of line {line}");
        self.tell(self.at, self.at + 1, &message, &format!("write {closer}"));
        let belongs_to_outer = self.open.iter().rev().skip(1).any(|outer| outer.closer == found);
        if !belongs_to_outer {
            self.at += 1;
        }
        true
    }
}
