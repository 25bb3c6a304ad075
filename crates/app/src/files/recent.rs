//! The list of files that were open, newest first: a list of paths in RON.

use std::path::{Path, PathBuf};

/// How many are kept.
const KEPT: usize = 10;

fn list(state_folder: &Path) -> PathBuf {
    state_folder.join("recent.ron")
}

/// The list of earlier versions: one path a line.
fn earlier_list(state_folder: &Path) -> PathBuf {
    state_folder.join("recent")
}

/// Reads the list; nothing where there is none, or none that can be read.
pub(super) fn load(state_folder: &Path) -> Vec<PathBuf> {
    let mut paths: Vec<String> = if let Ok(text) = std::fs::read_to_string(list(state_folder)) {
        ron::from_str(&text).unwrap_or_default()
    } else {
        let text = std::fs::read_to_string(earlier_list(state_folder)).unwrap_or_default();
        text.lines().filter(|line| !line.is_empty()).map(str::to_owned).collect()
    };
    paths.truncate(KEPT);
    paths.into_iter().map(PathBuf::from).collect()
}

/// Puts a path at the head of the list and returns the list.
///
/// Losing the list does no harm, so that a failure to write it is not told.
pub(super) fn note(state_folder: &Path, path: &Path) -> Vec<PathBuf> {
    let mut paths = load(state_folder);
    paths.retain(|known| known != path);
    // A path that is no text cannot be noted.
    if path.to_str().is_some() {
        paths.insert(0, path.to_owned());
    }
    paths.truncate(KEPT);
    let texts: Vec<&str> = paths.iter().filter_map(|path| path.to_str()).collect();
    let text = ron::ser::to_string_pretty(&texts, ron::ser::PrettyConfig::default());
    if let (Ok(text), Ok(())) = (text, std::fs::create_dir_all(state_folder)) {
        project::replace_file(&list(state_folder), text.as_bytes()).unwrap_or(());
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
        for name in ["/a.ron", "/with\nbreak \"x\".ron", "/b.ron", "/a.ron"] {
            note(&state, Path::new(name));
        }
        assert_eq!(load(&state), ["/a.ron", "/b.ron", "/with\nbreak \"x\".ron"].map(PathBuf::from));
        for index in 0..20 {
            note(&state, &PathBuf::from(format!("/{index}.ron")));
        }
        assert_eq!((load(&state).len(), load(&state)[0].clone()), (10, PathBuf::from("/19.ron")));
    }

    #[test]
    fn a_list_of_an_earlier_version_is_read_and_a_broken_one_is_none() {
        let folder = tempfile::tempdir().expect("a folder");
        std::fs::write(earlier_list(folder.path()), "/b.ron\n/a.ron\n").expect("written");
        assert_eq!(load(folder.path()), ["/b.ron", "/a.ron"].map(PathBuf::from));
        assert_eq!(note(folder.path(), Path::new("/c.ron")).len(), 3);
        assert_eq!(load(folder.path())[0], PathBuf::from("/c.ron"));
        for broken in ["", "[\"/a.ron\", 3", "(paths: [])", "\u{0}"] {
            std::fs::write(list(folder.path()), broken).expect("written");
            assert!(load(folder.path()).is_empty(), "{broken:?}");
        }
    }
}
