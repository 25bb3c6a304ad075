//! Work kept against a crash: a copy of the project in the state folder while it has edits that are not saved.
//!
//! Each running window has a folder of its own with a lock that the system lets go when the program ends, however it
//! ends. A folder with a copy and a free lock was left by a crash.

use std::fs::{File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use serde::{Deserialize, Serialize};

use super::Origin;

const FOLDER: &str = "kept";
const LOCK: &str = "lock";
const PROJECT: &str = "project.ron";
const ORIGIN: &str = "origin.ron";
/// The same in earlier versions: a word and a path or name, each on a line of its own.
const EARLIER_ORIGIN: &str = "origin";
/// A folder without a copy is taken away when it is older than this: a younger one may be about to be locked.
const EMPTY_FOR: Duration = Duration::from_hours(1);

/// A copy that a crash left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Leftover {
    /// Where it lies.
    pub folder: PathBuf,
    /// What it is a copy of.
    pub origin: Origin,
    /// When it was written, as far as the system tells.
    pub time: Option<SystemTime>,
}

impl Leftover {
    /// How long ago it was written, in words.
    pub fn age(&self) -> String {
        let age = self.time.and_then(|time| time.elapsed().ok());
        match age.map(|age| age.as_secs() / 60) {
            None => "at an unknown time".to_owned(),
            Some(0) => "less than a minute ago".to_owned(),
            Some(minutes @ 1..120) => format!("{minutes} min ago"),
            Some(minutes @ 120..2880) => format!("{} h ago", minutes / 60),
            Some(minutes) => format!("{} days ago", minutes / 1440),
        }
    }

    /// The file of the copy.
    pub(super) fn file(&self) -> PathBuf {
        self.folder.join(PROJECT)
    }

    /// Takes the copy away for good.
    pub(super) fn remove(&self) {
        // A copy that cannot be taken away is offered again: no work is lost by it.
        std::fs::remove_dir_all(&self.folder).unwrap_or(());
    }
}

/// What stands in the file beside a copy.
#[derive(Debug, Serialize, Deserialize)]
enum Note {
    File(String),
    Untitled(String),
}

/// The copy of this window.
#[derive(Debug)]
pub(super) struct Kept {
    folder: PathBuf,
    /// Held while the window lives.
    lock: Option<File>,
}

impl Kept {
    /// A place for the copy of this window; nothing is written yet.
    pub(super) fn new(state_folder: &Path) -> Self {
        let since = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH).unwrap_or_default();
        let name = format!("{}-{}", std::process::id(), since.as_nanos());
        Self { folder: state_folder.join(FOLDER).join(name), lock: None }
    }

    /// Writes the copy.
    ///
    /// # Errors
    /// What the system says.
    pub(super) fn write(&mut self, bytes: &[u8], origin: &Origin) -> io::Result<()> {
        if self.lock.is_none() || !self.folder.is_dir() {
            std::fs::create_dir_all(&self.folder)?;
            let lock = File::create(self.folder.join(LOCK))?;
            lock.lock()?;
            self.lock = Some(lock);
        }
        let note = match origin {
            Origin::Untitled(name) => Note::Untitled(name.clone()),
            Origin::File(path) => Note::File(path.display().to_string()),
        };
        let text = ron::to_string(&note).map_err(io::Error::other)?;
        project::replace_file(&self.folder.join(ORIGIN), text.as_bytes())?;
        project::replace_file(&self.folder.join(PROJECT), bytes)
    }

    /// Takes the copy away: what it holds is saved, or not wanted.
    pub(super) fn remove(&mut self) {
        if self.lock.take().is_some() {
            std::fs::remove_dir_all(&self.folder).unwrap_or(());
        }
    }
}

/// The copies that crashes left, newest first.
pub(super) fn leftovers(state_folder: &Path) -> Vec<Leftover> {
    let Ok(entries) = std::fs::read_dir(state_folder.join(FOLDER)) else { return Vec::new() };
    let mut found: Vec<Leftover> =
        entries.flatten().filter_map(|entry| left_by_a_crash(&entry.path())).collect();
    found.sort_by_key(|leftover| std::cmp::Reverse(leftover.time));
    found
}

fn left_by_a_crash(folder: &Path) -> Option<Leftover> {
    let lock = File::open(folder.join(LOCK)).ok()?;
    if let Err(TryLockError::WouldBlock) = lock.try_lock() {
        return None;
    }
    let time = |name: &str| std::fs::metadata(folder.join(name)).and_then(|m| m.modified()).ok();
    if !folder.join(PROJECT).is_file() {
        let age = time(LOCK).and_then(|time| time.elapsed().ok());
        if age.is_some_and(|age| age > EMPTY_FOR) {
            std::fs::remove_dir_all(folder).unwrap_or(());
        }
        return None;
    }
    let origin = match note_of(folder) {
        Some(Note::File(path)) => Origin::File(PathBuf::from(path)),
        Some(Note::Untitled(name)) => Origin::Untitled(name),
        None => Origin::Untitled("project".to_owned()),
    };
    Some(Leftover { folder: folder.to_owned(), origin, time: time(PROJECT) })
}

fn note_of(folder: &Path) -> Option<Note> {
    if let Ok(text) = std::fs::read_to_string(folder.join(ORIGIN)) {
        return ron::from_str(&text).ok();
    }
    let text = std::fs::read_to_string(folder.join(EARLIER_ORIGIN)).ok()?;
    let (word, rest) = text.split_once('\n')?;
    let rest = rest.trim_end_matches('\n').to_owned();
    Some(if word == "file" { Note::File(rest) } else { Note::Untitled(rest) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_copy_is_left_over_only_when_nobody_holds_it() {
        let state = tempfile::tempdir().expect("a folder");
        let origin = Origin::File(PathBuf::from("/home/tug.ron"));
        let mut kept = Kept::new(state.path());
        kept.write(b"one", &origin).expect("written");
        kept.write(b"two", &origin).expect("written again");
        assert!(leftovers(state.path()).is_empty(), "its window lives");
        drop(kept);
        let left = leftovers(state.path());
        assert_eq!(
            (left.len(), &left[0].origin, left[0].age().as_str()),
            (1, &origin, "less than a minute ago")
        );
        assert_eq!(std::fs::read(left[0].file()).expect("readable"), b"two");
        left[0].remove();
        assert!(leftovers(state.path()).is_empty());
    }

    #[test]
    fn a_copy_that_is_not_needed_any_more_is_gone() {
        let state = tempfile::tempdir().expect("a folder");
        let mut kept = Kept::new(state.path());
        kept.write(b"one", &Origin::Untitled("tug".into())).expect("written");
        kept.remove();
        drop(kept);
        assert!(leftovers(state.path()).is_empty());
    }

    #[test]
    fn where_a_copy_came_from_is_read_back_from_earlier_versions_too() {
        let folder = tempfile::tempdir().expect("a folder");
        let noted = |name: &str, text: &str| {
            std::fs::write(folder.path().join(LOCK), "").expect("written");
            std::fs::write(folder.path().join(PROJECT), "one").expect("written");
            std::fs::write(folder.path().join(name), text).expect("written");
            left_by_a_crash(folder.path()).expect("left").origin
        };
        assert_eq!(noted(EARLIER_ORIGIN, "file\n/home/tug.ron\n"), Origin::File("/home/tug.ron".into()));
        assert_eq!(noted(EARLIER_ORIGIN, "untitled\ntug\n"), Origin::Untitled("tug".into()));
        assert_eq!(noted(EARLIER_ORIGIN, ""), Origin::Untitled("project".into()));
        assert_eq!(noted(ORIGIN, "File(\"/home/glider.ron\")"), Origin::File("/home/glider.ron".into()));
        assert_eq!(noted(ORIGIN, "Untitled(\"tug\")"), Origin::Untitled("tug".into()));
        assert_eq!(noted(ORIGIN, "File(3"), Origin::Untitled("project".into()), "an unreadable note");
    }
}
