//! The list of files that were open, newest first: one path a line.

use std::path::{Path, PathBuf};

/// How many are kept.
const KEPT: usize = 10;

fn list(state_folder: &Path) -> PathBuf {
    state_folder.join("recent")
}

/// Reads the list; nothing where there is none.
pub(super) fn load(state_folder: &Path) -> Vec<PathBuf> {
    let text = std::fs::read_to_string(list(state_folder)).unwrap_or_default();
    text.lines().filter(|line| !line.is_empty()).map(PathBuf::from).take(KEPT).collect()
}

/// Puts a path at the head of the list and returns the list.
///
/// Losing the list does no harm, so that a failure to write it is not told.
pub(super) fn note(state_folder: &Path, path: &Path) -> Vec<PathBuf> {
    let mut paths = load(state_folder);
    paths.retain(|known| known != path);
    // One path a line: a name with a line break in it cannot be noted.
    let is_one_line = path.to_str().is_some_and(|text| !text.contains(['\n', '\r']));
    if is_one_line {
        paths.insert(0, path.to_owned());
    }
    paths.truncate(KEPT);
    let lines: Vec<String> = paths.iter().map(|path| format!("{}\n", path.display())).collect();
    if std::fs::create_dir_all(state_folder).is_ok() {
        project::replace_file(&list(state_folder), lines.concat().as_bytes()).unwrap_or(());
    }
    paths
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_is_first_and_none_is_twice() {
        let folder = tempfile::tempdir().expect("a folder");
        let state = folder.path().join("state");
        assert!(load(&state).is_empty());
        for name in ["/a.ron", "/b.ron", "/a.ron", "/with\nbreak.ron"] {
            note(&state, Path::new(name));
        }
        assert_eq!(load(&state), [PathBuf::from("/a.ron"), PathBuf::from("/b.ron")]);
        for index in 0..20 {
            note(&state, &PathBuf::from(format!("/{index}.ron")));
        }
        assert_eq!((load(&state).len(), load(&state)[0].clone()), (10, PathBuf::from("/19.ron")));
    }
}
