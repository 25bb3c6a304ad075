//! The one door through which files are written: all of a file or nothing, never over a file that must stay.
//!
//! # Rule
//! A new name is always written. A file that is there already is replaced only where the caller says so ([`Existing::Replace`]), and a
//! project is never replaced by anything but a project. Several files that belong together are all prepared before the first of them
//! takes its name; if one then fails, those that are new are taken back. After a failure every file is the old one or the new one by
//! content, and nothing else is left in the folder.

use std::fs::File;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use tempfile::NamedTempFile;

/// What becomes of a file that has the name of an output already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Existing {
    /// It stays, and nothing is written.
    Keep,
    /// It is replaced; a project by a project only.
    Replace,
}

/// What an output is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutputKind {
    /// A project.
    Project,
    /// Anything else: a table, a picture.
    Other,
}

/// A file to be written.
#[derive(Clone, Debug)]
pub struct Output {
    /// Where.
    pub path: PathBuf,
    /// What it will hold.
    pub bytes: Vec<u8>,
}

/// Why nothing was written.
#[derive(Debug, thiserror::Error)]
pub enum OutputError {
    /// A file has this name already.
    #[error("{} exists already and was not changed; name another file, or add --overwrite", .0.display())]
    Exists(PathBuf),
    /// A project has this name, and what is to be written is none.
    #[error("{} is a project and was not changed; name another file", .0.display())]
    IsProject(PathBuf),
    /// Two outputs have one name.
    #[error("two results would have the name {}; name another folder", .0.display())]
    Twice(PathBuf),
    /// The system refused.
    #[error("{}", refusal(path, system))]
    Refused {
        /// Which file or folder.
        path: PathBuf,
        /// What the system says.
        system: io::Error,
    },
}

impl OutputError {
    /// Whether the system refused a write, and not what was asked for.
    pub fn is_refusal(&self) -> bool {
        matches!(self, Self::Refused { .. })
    }
}

/// What happened and what to do, with the path once.
fn refusal(path: &Path, source: &io::Error) -> String {
    let shown = path.display();
    match source.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded | io::ErrorKind::FileTooLarge => {
            format!("{shown} was not written, the disk is full: free some space, or name another place")
        }
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            format!("{shown} was not written, no permission to write there: name another place")
        }
        io::ErrorKind::NotFound => {
            format!(
                "{shown} was not written, its folder does not exist: create it first, or name another place"
            )
        }
        io::ErrorKind::IsADirectory => format!("{shown} is a folder: name a file in it"),
        io::ErrorKind::NotADirectory => {
            format!("{shown} was not written, its folder is a file: name another place")
        }
        // the text of a temporary file names its own path as well
        kind if source.raw_os_error().is_none() => {
            format!("{shown} was not written, {kind}: name another place")
        }
        _ => format!("{shown} was not written, {source}: name another place"),
    }
}

/// Asked before every call of the disk; a test refuses the n-th.
pub trait Watch {
    /// Lets the call happen, or refuses it.
    ///
    /// # Errors
    /// What the disk would say.
    fn ask(&self) -> io::Result<()>;
}

/// Lets every call happen.
#[derive(Clone, Copy, Debug, Default)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn ask(&self) -> io::Result<()> {
        Ok(())
    }
}

/// Writes one file.
///
/// # Errors
/// [`OutputError`]; then the old file, if any, is as it was.
pub fn write_output(
    path: &Path,
    bytes: &[u8],
    sort: OutputKind,
    existing: Existing,
) -> Result<(), OutputError> {
    let output = Output { path: path.to_owned(), bytes: bytes.to_vec() };
    write_outputs(None, &[output], sort, existing)
}

/// Writes files that belong together; `folder` is made if it is not there.
///
/// # Errors
/// [`OutputError`]; then every file is the old one or the new one, and a folder that was made for them is gone again.
pub fn write_outputs(
    folder: Option<&Path>,
    outputs: &[Output],
    sort: OutputKind,
    existing: Existing,
) -> Result<(), OutputError> {
    write_watched(folder, outputs, sort, existing, &Unwatched)
}

/// Whether [`write_output`] would be refused for what has the name already: looked at before long work, so that it is not lost.
///
/// # Errors
/// [`OutputError`].
pub fn may_write(path: &Path, sort: OutputKind, existing: Existing) -> Result<(), OutputError> {
    target(path, sort, existing).map(drop)
}

/// As [`write_outputs`], with somebody who is asked before every call of the disk.
///
/// # Errors
/// As [`write_outputs`].
pub fn write_watched(
    folder: Option<&Path>,
    outputs: &[Output],
    sort: OutputKind,
    existing: Existing,
    watch: &dyn Watch,
) -> Result<(), OutputError> {
    let mut targets: Vec<PathBuf> = Vec::with_capacity(outputs.len());
    for output in outputs {
        let target = target(&output.path, sort, existing)?;
        if targets.contains(&target) {
            return Err(OutputError::Twice(output.path.clone()));
        }
        targets.push(target);
    }
    let made = folder.map_or(Ok(Vec::new()), |folder| make_folder(folder, watch))?;
    let written = prepare(outputs, &targets, watch).and_then(|ready| name_all(ready, existing, watch));
    if written.is_err() {
        for folder in made.iter().rev() {
            // only what is empty goes; whatever else stands there is not ours
            std::fs::remove_dir(folder).unwrap_or(());
        }
    }
    written
}

/// The file that a name leads to, links followed, if it may be written.
fn target(path: &Path, sort: OutputKind, existing: Existing) -> Result<PathBuf, OutputError> {
    let refused = |system| OutputError::Refused { path: path.to_owned(), system };
    let target = match std::fs::canonicalize(path) {
        Ok(target) => target,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(path.to_owned()),
        Err(error) => return Err(refused(error)),
    };
    if target.is_dir() {
        return Err(refused(io::Error::from(io::ErrorKind::IsADirectory)));
    }
    if sort == OutputKind::Other && is_project(&target) {
        return Err(OutputError::IsProject(path.to_owned()));
    }
    match existing {
        Existing::Keep => Err(OutputError::Exists(path.to_owned())),
        Existing::Replace => Ok(target),
    }
}

/// Largest file that is looked into: no project is larger, bytes.
const LARGEST_PROJECT: u64 = 64 << 20;

/// Whether a file is a project by its header, or by its name where it cannot be read as one.
fn is_project(path: &Path) -> bool {
    if path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("ron")) {
        return true;
    }
    let is_small = std::fs::metadata(path).is_ok_and(|metadata| metadata.len() <= LARGEST_PROJECT);
    let bytes = if is_small { std::fs::read(path).unwrap_or_default() } else { Vec::new() };
    let text = String::from_utf8_lossy(&bytes);
    text.contains("format") && text.contains("\"heatledger\"")
}

/// The parents that were not there are made, outermost first; those made are returned.
fn make_folder(folder: &Path, watch: &dyn Watch) -> Result<Vec<PathBuf>, OutputError> {
    let missing: Vec<&Path> =
        folder.ancestors().take_while(|part| !part.as_os_str().is_empty() && !part.exists()).collect();
    let mut made: Vec<PathBuf> = Vec::new();
    for part in missing.into_iter().rev() {
        if let Err(system) = watch.ask().and_then(|()| std::fs::create_dir(part)) {
            for part in made.iter().rev() {
                std::fs::remove_dir(part).unwrap_or(());
            }
            return Err(OutputError::Refused { path: part.to_owned(), system });
        }
        made.push(part.to_owned());
    }
    Ok(made)
}

/// A file that is written and waits for its name. Dropped, it is gone.
struct Ready {
    file: NamedTempFile,
    target: PathBuf,
    shown: PathBuf,
}

fn prepare(outputs: &[Output], targets: &[PathBuf], watch: &dyn Watch) -> Result<Vec<Ready>, OutputError> {
    outputs
        .iter()
        .zip(targets)
        .map(|(output, target)| {
            let file = prepared(target, &output.bytes, watch)
                .map_err(|system| OutputError::Refused { path: output.path.clone(), system })?;
            Ok(Ready { file, target: target.clone(), shown: output.path.clone() })
        })
        .collect()
}

fn prepared(target: &Path, bytes: &[u8], watch: &dyn Watch) -> io::Result<NamedTempFile> {
    watch.ask()?;
    let mut builder = tempfile::Builder::new();
    let mut file = builder.prefix(".heatledger-").suffix(".tmp").tempfile_in(folder_of(target))?;
    let (first, second) = bytes.split_at(bytes.len() / 2);
    for half in [first, second] {
        watch.ask()?;
        file.write_all(half)?;
    }
    watch.ask()?;
    keep_mode(target, file.as_file())?;
    watch.ask()?;
    file.as_file().sync_all()?;
    Ok(file)
}

/// Gives every file its name. If one fails, those that replaced nothing are taken back.
fn name_all(ready: Vec<Ready>, existing: Existing, watch: &dyn Watch) -> Result<(), OutputError> {
    let mut new: Vec<PathBuf> = Vec::new();
    let named = ready.into_iter().try_for_each(|Ready { file, target, shown }| {
        let is_new = !target.exists();
        let put = || -> io::Result<()> {
            watch.ask()?;
            let put = if existing == Existing::Keep || is_new {
                file.persist_noclobber(&target)
            } else {
                file.persist(&target)
            };
            put.map_err(|error| error.error)?;
            if is_new {
                new.push(target.clone());
            }
            watch.ask()?;
            sync_folder(folder_of(&target))
        };
        put().map_err(|system| match system.kind() {
            io::ErrorKind::AlreadyExists => OutputError::Exists(shown),
            _ => OutputError::Refused { path: shown, system },
        })
    });
    if named.is_err() {
        for path in new {
            std::fs::remove_file(path).unwrap_or(());
        }
    }
    named
}

fn folder_of(target: &Path) -> &Path {
    match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Gives a new file the mode of the one it replaces; a file that replaces none is readable by all.
#[cfg(unix)]
fn keep_mode(target: &Path, file: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    let permissions = match std::fs::metadata(target) {
        Ok(metadata) => metadata.permissions(),
        Err(_) => std::fs::Permissions::from_mode(0o644),
    };
    file.set_permissions(permissions)
}

#[cfg(not(unix))]
fn keep_mode(_target: &Path, _file: &File) -> io::Result<()> {
    Ok(())
}

/// Makes the new name last through a loss of power.
#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

#[cfg(not(unix))]
fn sync_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}
