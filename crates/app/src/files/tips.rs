//! Which tips were dismissed: the name of a page on each line.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn list(state_folder: &Path) -> PathBuf {
    state_folder.join("tips-dismissed")
}

/// Reads the list; nothing where there is none, as at the first start.
pub(super) fn load(state_folder: &Path) -> BTreeSet<String> {
    let text = std::fs::read_to_string(list(state_folder)).unwrap_or_default();
    text.lines().filter(|line| !line.is_empty()).map(str::to_owned).collect()
}

/// Writes the list. Losing it shows the tips again and does no harm, so that a failure is not told.
pub(super) fn keep(state_folder: &Path, dismissed: &BTreeSet<String>) {
    let lines: Vec<String> = dismissed.iter().map(|page| format!("{page}\n")).collect();
    if std::fs::create_dir_all(state_folder).is_ok() {
        project::replace_file(&list(state_folder), lines.concat().as_bytes()).unwrap_or(());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_dismissed_stays_dismissed() {
        let folder = tempfile::tempdir().expect("a folder");
        let state = folder.path().join("state");
        assert!(load(&state).is_empty());
        let dismissed: BTreeSet<String> = ["Loops", "Mission"].map(str::to_owned).into();
        keep(&state, &dismissed);
        assert_eq!(load(&state), dismissed);
        keep(&state, &BTreeSet::new());
        assert!(load(&state).is_empty());
    }
}
