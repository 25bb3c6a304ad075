//! The text that a project is saved by: only what was edited in it changes.

use std::sync::{Arc, OnceLock};

use schema::Node;

/// The text of one snapshot: as its file had it, and as it was saved.
///
/// A snapshot that follows an edit starts from what the one before it was saved as, if it was. Every snapshot of the history keeps its
/// own text, so that what is undone comes back with its comments.
#[derive(Debug, Default)]
pub(crate) struct SavedText {
    /// As read, or as an earlier snapshot was saved; nothing for a project that was not read from a text.
    read: Option<Arc<str>>,
    /// As this snapshot was saved, in its file or as a copy against a crash.
    saved: OnceLock<Arc<str>>,
}

impl SavedText {
    /// The source of a project that was read from a text.
    pub(crate) fn of(text: Option<String>) -> Self {
        Self { read: text.map(Arc::from), saved: OnceLock::new() }
    }

    /// The source of a snapshot that follows this one by an edit.
    pub(crate) fn edited(&self) -> Self {
        let read = self.saved.get().or(self.read.as_ref()).cloned();
        Self { read, saved: OnceLock::new() }
    }

    /// The text of this snapshot, whose tree is `node`. It is worked out once.
    pub(crate) fn saved(&self, node: &Node) -> String {
        let text = self.saved.get_or_init(|| match &self.read {
            Some(read) => project::rewritten(read, node).into(),
            None => project::write(node).into(),
        });
        text.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tree(text: &str) -> Node {
        project::parse(text.as_bytes()).0.expect("a tree")
    }

    #[test]
    fn each_snapshot_follows_the_text_that_was_saved_last() {
        let read = SavedText::of(Some("(a: 1, // a\n b: 2, // b\n)".to_owned()));
        let without = read.edited();
        assert_eq!(without.saved(&tree("(b: 2)")), "(b: 2, // b\n)");
        let again = without.edited();
        assert_eq!(again.saved(&tree("(b: 3)")), "(b: 3, // b\n)");
        // undone: the comment is there again
        assert_eq!(read.edited().saved(&tree("(a: 5, b: 2)")), "(a: 5, // a\n b: 2, // b\n)");
        assert_eq!(SavedText::default().edited().saved(&tree("(a: 1)")), "(\n    a: 1,\n)\n");
    }
}
