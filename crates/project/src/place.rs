//! From byte offsets to lines and columns.

use schema::Place;

/// Finds lines and columns of rising offsets without starting over each time.
#[derive(Debug)]
pub(crate) struct Locator<'t> {
    text: &'t str,
    offset: usize,
    line: u32,
    line_start: usize,
    column: u32,
}

impl<'t> Locator<'t> {
    pub(crate) fn new(text: &'t str) -> Self {
        Self { text, offset: 0, line: 1, line_start: 0, column: 1 }
    }

    /// The place of the characters from `from` up to `to`, cut at the end of the first line.
    pub(crate) fn place(&mut self, from: usize, to: usize) -> Place {
        self.go_to(from);
        let covered = &self.text[from..to.max(from)];
        let covered = covered.find(['\n', '\r']).map_or(covered, |end| &covered[..end]);
        Place::new(self.line, self.column, (count_chars(covered)).max(1))
    }

    fn go_to(&mut self, target: usize) {
        if target < self.line_start {
            *self = Self::new(self.text);
        } else if target < self.offset {
            self.offset = self.line_start;
            self.column = 1;
        }
        let skipped = &self.text[self.offset..target];
        if let Some(last) = skipped.rfind('\n') {
            self.line += count_lines(skipped);
            self.line_start = self.offset + last + 1;
            self.column = 1 + count_chars(&self.text[self.line_start..target]);
        } else {
            self.column += count_chars(skipped);
        }
        self.offset = target;
    }
}

fn count_chars(text: &str) -> u32 {
    u32::try_from(text.chars().count()).unwrap_or(u32::MAX)
}

fn count_lines(text: &str) -> u32 {
    u32::try_from(text.matches('\n').count()).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_offsets_may_go_back() {
        let text = "a\n  °µx = 1\nlast";
        let mut locator = Locator::new(text);
        let x = text.find('x').unwrap();
        assert_eq!(locator.place(x, x + 1), Place::new(2, 5, 1));
        let last = text.find("last").unwrap();
        assert_eq!(locator.place(last, text.len()), Place::new(3, 1, 4));
        assert_eq!(locator.place(x, last + 1), Place::new(2, 5, 5), "cut at the end of the line");
        assert_eq!(locator.place(0, 1), Place::new(1, 1, 1));
    }
}
