//! Changes of a text as a list of replacements: what is in no range of the list is not touched.

use std::ops::Range;

/// One replacement: the bytes of `range` give way to `text`. An empty range is an insertion, an empty text a deletion.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Splice {
    range: Range<usize>,
    text: String,
}

impl Splice {
    pub(crate) fn new(range: Range<usize>, text: impl Into<String>) -> Self {
        Self { range, text: text.into() }
    }

    /// The bytes of the old text that go.
    pub fn range(&self) -> Range<usize> {
        self.range.clone()
    }

    /// What comes in their place.
    pub fn text(&self) -> &str {
        &self.text
    }
}

/// Replacements of one text: sorted, and no two of them touch the same byte.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Splices(Vec<Splice>);

impl Splices {
    /// Sorts replacements; those at one place keep their order. `None` if two of them overlap.
    pub(crate) fn sorted(mut list: Vec<Splice>) -> Option<Self> {
        list.retain(|splice| !(splice.range.is_empty() && splice.text.is_empty()));
        list.sort_by_key(|splice| splice.range.start);
        let is_disjoint = list.windows(2).all(|two| two[0].range.end <= two[1].range.start);
        is_disjoint.then_some(Self(list))
    }

    /// The replacements from the front to the back.
    pub fn iter(&self) -> std::slice::Iter<'_, Splice> {
        self.0.iter()
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether the text stays as it is.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The text with all of them made. The text must be the one they were made for.
    pub fn applied(&self, text: &str) -> String {
        let added: usize = self.0.iter().map(|splice| splice.text.len()).sum();
        let mut new = String::with_capacity(text.len() + added);
        let mut at = 0;
        for splice in &self.0 {
            new.push_str(&text[at..splice.range.start]);
            new.push_str(&splice.text);
            at = splice.range.end;
        }
        new.push_str(&text[at..]);
        new
    }

    /// Where the byte at an offset of the old text stands in the new one; `None` if it is gone.
    pub fn moved(&self, offset: usize) -> Option<usize> {
        let mut moved = offset;
        for splice in self.0.iter().take_while(|splice| splice.range.start <= offset) {
            if splice.range.contains(&offset) {
                return None;
            }
            moved = moved + splice.text.len() - splice.range.len();
        }
        Some(moved)
    }
}

impl<'s> IntoIterator for &'s Splices {
    type Item = &'s Splice;
    type IntoIter = std::slice::Iter<'s, Splice>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn replacements_are_made_in_order_and_offsets_follow() {
        let text = "one two three";
        let splices = Splices::sorted(vec![
            Splice::new(8..13, "3"),
            Splice::new(4..4, "1.5"),
            Splice::new(4..4, " "),
            Splice::new(0..4, ""),
        ]);
        let splices = splices.unwrap();
        let new = splices.applied(text);
        assert_eq!(new, "1.5 two 3");
        for (offset, c) in text.char_indices() {
            match splices.moved(offset) {
                Some(moved) => assert_eq!(new[moved..].chars().next(), Some(c), "{offset}"),
                None => assert!(offset < 4 || offset >= 8, "{offset}"),
            }
        }
    }

    #[test]
    fn two_replacements_of_one_byte_are_none() {
        assert_eq!(Splices::sorted(vec![Splice::new(0..3, "a"), Splice::new(2..4, "b")]), None);
        assert_eq!(Splices::sorted(vec![Splice::new(1..3, "a"), Splice::new(2..2, "b")]), None);
        assert!(Splices::sorted(vec![Splice::new(2..2, "")]).unwrap().is_empty());
    }
}
