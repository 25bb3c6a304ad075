//! Reading and safe writing, with reasons a user can act on.

use std::io;
use std::path::{Path, PathBuf};

use super::file_name;
use project::{Existing, OutputError, OutputKind};

/// The largest file that is read: a project is some ten kilobytes; this stops a film that was dropped by mistake.
const LARGEST_FILE: u64 = 64 * 1024 * 1024;

/// Reads a file.
///
/// # Errors
/// The reason in one sentence.
pub(super) fn read(path: &Path) -> Result<Vec<u8>, String> {
    let told = |error: &io::Error| match error.kind() {
        io::ErrorKind::NotFound => "there is no such file; check the path".to_owned(),
        io::ErrorKind::PermissionDenied => "no permission to read it; ask its owner".to_owned(),
        io::ErrorKind::IsADirectory => "this is a folder; give a file in it".to_owned(),
        io::ErrorKind::NotADirectory => {
            "a part of the path is a file, not a folder; check the path".to_owned()
        }
        _ => error.to_string(),
    };
    let metadata = std::fs::metadata(path).map_err(|error| told(&error))?;
    if metadata.is_dir() {
        return Err("this is a folder; give a file in it".to_owned());
    }
    if !metadata.is_file() {
        return Err("this is neither a file nor a folder".to_owned());
    }
    if metadata.len() > LARGEST_FILE {
        return Err("it is larger than 64 MB, too large for a project".to_owned());
    }
    std::fs::read(path).map_err(|error| told(&error))
}

/// Writes a file: all of it or nothing.
///
/// # Errors
/// The reason and what to do, in one sentence; the old file is then as it was.
pub(super) fn write(path: &Path, bytes: &[u8], sort: OutputKind) -> Result<(), String> {
    let name = file_name(path);
    // Replacing a file asks for rights on its folder only, so a file that is marked read-only must be looked at here.
    if std::fs::metadata(path).is_ok_and(|metadata| metadata.permissions().readonly()) {
        return Err(format!("{name} is marked read-only: save under another name, or make it writable"));
    }
    let folder = folder_of(path);
    let shown = folder.display();
    match std::fs::metadata(&folder) {
        Ok(metadata) if !metadata.is_dir() => {
            return Err(format!("{shown} is not a folder: save somewhere else"));
        }
        Ok(metadata) if metadata.permissions().readonly() => {
            return Err(format!("the folder {shown} is read-only: save somewhere else, or make it writable"));
        }
        Ok(_) => {}
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            return Err(format!("there is no folder {shown}: create it first, or save somewhere else"));
        }
        Err(error) => return Err(format!("the folder {shown} cannot be examined: {error}")),
    }
    let written = project::write_output(path, bytes, sort, Existing::Replace);
    written.map_err(|error| match error {
        OutputError::Refused { system, .. } => why(&system, &shown.to_string()),
        other => other.to_string(),
    })
}

fn why(error: &io::Error, shown: &str) -> String {
    match error.kind() {
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            format!("no permission to write to the folder {shown}: save somewhere else")
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            format!("the disk of the folder {shown} is full: free some space, or save somewhere else")
        }
        _ => format!("{error}; save somewhere else"),
    }
}

/// The folder a file lies in.
pub(super) fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// Whether two paths lead to the same file, links followed.
pub(super) fn is_same(a: &Path, b: &Path) -> bool {
    a == b || matches!((std::fs::canonicalize(a), std::fs::canonicalize(b)), (Ok(a), Ok(b)) if a == b)
}

/// A path as somebody types it: spaces and quotation marks around it are dropped, `~/` is the home folder, and one
/// that does not begin at the root begins at the folder the program was started in.
pub fn typed_path(text: &str) -> Option<PathBuf> {
    let text = text.trim();
    let quoted = |mark: char| text.strip_prefix(mark).and_then(|rest| rest.strip_suffix(mark));
    let text = quoted('"').or_else(|| quoted('\'')).unwrap_or(text);
    if text.is_empty() {
        return None;
    }
    let path = match (text.strip_prefix("~/"), std::env::home_dir()) {
        (Some(rest), Some(home)) => home.join(rest),
        _ => PathBuf::from(text),
    };
    Some(std::path::absolute(&path).unwrap_or(path))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typed_paths_are_taken_as_meant() {
        assert_eq!(typed_path("  \"/a b/c.ron\" "), Some(PathBuf::from("/a b/c.ron")));
        assert_eq!(typed_path("'/a/c.ron'"), Some(PathBuf::from("/a/c.ron")));
        assert_eq!(typed_path("  "), None);
        let relative = typed_path("c.ron").expect("a path");
        assert!(relative.is_absolute() && relative.ends_with("c.ron"));
    }

    #[test]
    fn reasons_for_not_reading_say_what_to_do() {
        let folder = tempfile::tempdir().expect("a folder");
        assert!(read(folder.path()).expect_err("a folder").contains("folder"));
        let file = folder.path().join("a.ron");
        std::fs::write(&file, "").expect("written");
        assert!(read(&file.join("b.ron")).expect_err("below a file").contains("not a folder"));
        assert!(read(&folder.path().join("none.ron")).expect_err("nothing").contains("no such file"));
    }

    #[cfg(unix)]
    #[test]
    fn read_only_files_and_folders_are_left_alone() {
        use std::os::unix::fs::PermissionsExt as _;
        let set = |path: &Path, mode| {
            std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).expect("the mode is set");
        };
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("a.ron");
        std::fs::write(&file, "old").expect("written");
        set(&file, 0o444);
        assert!(
            write(&file, b"new", OutputKind::Project)
                .expect_err("read-only")
                .contains("a.ron is marked read-only")
        );
        set(&file, 0o644);
        set(folder.path(), 0o555);
        let refused =
            write(&folder.path().join("b.ron"), b"new", OutputKind::Project).expect_err("read-only");
        assert!(refused.contains("folder") && refused.contains("read-only"), "{refused}");
        set(folder.path(), 0o755);
        assert_eq!(std::fs::read(&file).expect("still there"), b"old");
        assert_eq!(write(&file, b"new", OutputKind::Project), Ok(()));
        assert_eq!(std::fs::read(&file).expect("still there"), b"new");
        let nowhere = write(&folder.path().join("none").join("b.ron"), b"new", OutputKind::Project)
            .expect_err("no folder");
        assert!(nowhere.contains("there is no folder"), "{nowhere}");
    }
}
