//! Undo and redo of whole snapshots.
//!
//! A snapshot is cheap to clone (an `Arc` inside), so that keeping the whole project per edit costs little and no field
//! can be forgotten. The history lives in memory only; it is never saved.

/// One edit: what was done, and the snapshot it led to.
#[derive(Debug, Clone)]
struct Entry<T, E> {
    snapshot: T,
    /// None for the snapshot that the history starts from.
    edit: Option<E>,
    gesture: Option<String>,
    revision: u64,
}

/// The snapshots of a project, with one of them current, and the edits that led from one to the next.
#[derive(Debug, Clone)]
pub struct History<T, E> {
    entries: Vec<Entry<T, E>>,
    current: usize,
    next_revision: u64,
    saved_revision: u64,
    limit: usize,
}

/// How many edits are kept by default.
const DEFAULT_LIMIT: usize = 500;

impl<T, E> History<T, E> {
    /// A history that starts from an unedited, saved snapshot.
    pub fn new(snapshot: T) -> Self {
        let first = Entry { snapshot, edit: None, gesture: None, revision: 0 };
        Self { entries: vec![first], current: 0, next_revision: 1, saved_revision: 0, limit: DEFAULT_LIMIT }
    }

    /// A history that starts from a snapshot that is nowhere on disk: one that a crash left.
    pub fn unsaved(snapshot: T) -> Self {
        Self { saved_revision: u64::MAX, ..Self::new(snapshot) }
    }

    /// Keeps at most this many edits; the oldest are dropped.
    #[must_use]
    pub fn with_limit(mut self, edits: usize) -> Self {
        self.limit = edits.max(1);
        self
    }

    /// The snapshot that is shown and edited.
    pub fn current(&self) -> &T {
        &self.entries[self.current].snapshot
    }

    /// A number that differs between any two snapshots of this history.
    pub fn revision(&self) -> u64 {
        self.entries[self.current].revision
    }

    /// Whether the current snapshot differs from the one last saved.
    pub fn is_unsaved(&self) -> bool {
        self.revision() != self.saved_revision
    }

    /// Notes that the snapshot of a revision is now on disk. It need not be the current one: there may have been edits
    /// while it was written.
    pub fn mark_saved(&mut self, revision: u64) {
        self.saved_revision = revision;
    }

    /// Ends a gesture: a later edit must not overwrite a snapshot that is being saved.
    pub fn end_gesture(&mut self) {
        self.entries[self.current].gesture = None;
    }

    /// Adds an edit; what was undone before is gone.
    pub fn push(&mut self, snapshot: T, edit: E) {
        self.add(snapshot, edit, None);
    }

    /// Adds an edit that belongs to a gesture (a drag): edits of one gesture in a row are one undo step.
    pub fn push_gesture(&mut self, snapshot: T, edit: E, gesture: impl Into<String>) {
        let gesture = gesture.into();
        let merges = self.current > 0
            && self.current + 1 == self.entries.len()
            && self.entries[self.current].gesture.as_deref() == Some(gesture.as_str());
        if merges {
            let revision = self.new_revision();
            let entry = &mut self.entries[self.current];
            entry.snapshot = snapshot;
            entry.edit = Some(edit);
            entry.revision = revision;
        } else {
            self.add(snapshot, edit, Some(gesture));
        }
    }

    fn add(&mut self, snapshot: T, edit: E, gesture: Option<String>) {
        self.entries.truncate(self.current + 1);
        let revision = self.new_revision();
        self.entries.push(Entry { snapshot, edit: Some(edit), gesture, revision });
        let too_many = self.entries.len().saturating_sub(self.limit + 1);
        self.entries.drain(..too_many);
        self.current = self.entries.len() - 1;
    }

    fn new_revision(&mut self) -> u64 {
        self.next_revision += 1;
        self.next_revision - 1
    }

    /// Steps back; false when there is nothing to undo.
    pub fn undo(&mut self) -> bool {
        let can = self.current > 0;
        self.current -= usize::from(can);
        can
    }

    /// Steps back for good, from an edit that cannot stand: it is not offered again. The edit; nothing when there is nothing to undo.
    pub fn withdraw(&mut self) -> Option<E> {
        if self.current == 0 {
            return None;
        }
        self.entries.truncate(self.current + 1);
        self.current -= 1;
        self.entries.pop().and_then(|entry| entry.edit)
    }

    /// Steps forward again; false when there is nothing to redo.
    pub fn redo(&mut self) -> bool {
        let can = self.current + 1 < self.entries.len();
        self.current += usize::from(can);
        can
    }

    /// What [`History::undo`] would take back.
    pub fn to_undo(&self) -> Option<&E> {
        self.entries[self.current].edit.as_ref().filter(|_| self.current > 0)
    }

    /// What [`History::redo`] would do again.
    pub fn to_redo(&self) -> Option<&E> {
        self.entries.get(self.current + 1).and_then(|entry| entry.edit.as_ref())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_withdrawn_is_not_offered_again() {
        let mut history: History<i32, &str> = History::new(1);
        assert_eq!(history.withdraw(), None);
        history.push(2, "two");
        history.push(3, "three");
        assert_eq!(history.withdraw(), Some("three"));
        assert_eq!((*history.current(), history.to_redo()), (2, None));
        assert!(history.undo());
        assert_eq!(history.to_redo(), Some(&"two"));
    }

    #[test]
    fn undo_restores_exactly_and_redo_returns() {
        let mut history = History::new(1);
        history.push(2, "two");
        history.push(3, "three");
        assert_eq!((history.to_undo(), history.to_redo()), (Some(&"three"), None));
        assert!(history.undo() && history.undo() && !history.undo());
        assert_eq!((*history.current(), history.is_unsaved()), (1, false));
        assert_eq!(history.to_redo(), Some(&"two"));
        assert!(history.redo());
        assert_eq!(*history.current(), 2);
    }

    #[test]
    fn an_edit_after_undo_drops_what_was_undone() {
        let mut history = History::new(1);
        history.push(2, "two");
        history.undo();
        history.push(3, "three");
        assert!(!history.redo());
        assert_eq!(*history.current(), 3);
    }

    #[test]
    fn one_gesture_is_one_step() {
        let mut history = History::new(0);
        for value in 1..=50 {
            history.push_gesture(value, "slide", "bore");
        }
        assert_eq!(history.to_undo(), Some(&"slide"));
        history.push_gesture(7, "slide", "length");
        assert!(history.undo());
        assert_eq!(*history.current(), 50);
        assert!(history.undo());
        assert_eq!(*history.current(), 0);
    }

    #[test]
    fn revisions_tell_saved_from_unsaved() {
        let mut history = History::new(0);
        history.push_gesture(1, "slide", "bore");
        history.end_gesture();
        history.mark_saved(history.revision());
        history.push_gesture(2, "slide", "bore");
        assert!(history.is_unsaved());
        history.undo();
        assert_eq!((*history.current(), history.is_unsaved()), (1, false));
        history.undo();
        history.push(1, "again");
        assert!(history.is_unsaved(), "the same value by another way is another revision");
    }

    #[test]
    fn an_edit_while_the_file_is_written_stays_unsaved() {
        let mut history = History::new(0);
        history.push(1, "one");
        let written = history.revision();
        history.push(2, "two");
        history.mark_saved(written);
        assert!(history.is_unsaved());
        history.undo();
        assert!(!history.is_unsaved());
        assert!(History::<i32, &str>::unsaved(0).is_unsaved());
    }

    #[test]
    fn the_oldest_edits_are_dropped() {
        let mut history = History::new(0).with_limit(3);
        for value in 1..=10 {
            history.push(value, "step");
        }
        while history.undo() {}
        assert_eq!(*history.current(), 7);
    }
}
