//! Going on behind what cannot be read.

use super::Reader;
use crate::scan;
use crate::scan::Blanks;

impl Reader<'_> {
    /// Goes past a bracket and everything in it, without looking closer.
    pub(super) fn skip_bracket(&mut self) {
        let mut depth = 0_usize;
        loop {
            self.skip_blanks();
            let rest = self.rest();
            let Some(next) = rest.chars().next() else { return };
            match next {
                '(' | '[' | '{' => depth += 1,
                ')' | ']' | '}' => depth -= 1,
                '"' => {
                    self.value_silently();
                    continue;
                }
                _ => {}
            }
            self.at += next.len_utf8();
            if depth == 0 {
                return;
            }
        }
    }

    /// Goes to the comma or closing bracket that ends an item with a mistake in it.
    pub(super) fn skip_to_end_of_item(&mut self) {
        while let Some(next) = self.rest().chars().next() {
            match next {
                ',' | ')' | ']' | '}' | '\n' => return,
                '(' | '[' | '{' => self.skip_bracket(),
                '"' => {
                    self.value_silently();
                }
                _ => self.at += next.len_utf8(),
            }
        }
    }

    pub(super) fn skip_blanks(&mut self) {
        match scan::skip_blanks(self.text, self.at) {
            Blanks::End(at) => self.at = at,
            Blanks::Unclosed(at) => {
                self.tell(at, at + 2, "this comment is never closed", "write */ where it ends");
                self.at = self.text.len();
            }
        }
    }
}
