//! Loading and saving of files.

use std::io;
use std::path::{Path as FilePath, PathBuf};

use schema::{Node, Problem, Problems, Tree};

use crate::door::{Existing, OutputError, OutputKind, write_output};
use crate::hash::InputHash;
use crate::lossless::rewritten;
use crate::reader::{decode_text, parse};
use crate::writer::write;

/// What the field `format` of a project holds.
pub const FORMAT: &str = "heatledger";
/// The newest version of the file format that this program knows.
pub const VERSION: u32 = 1;

/// Why a project cannot be loaded or saved at all. Mistakes in its text are [`Problems`] instead.
#[derive(Debug, thiserror::Error)]
pub enum ProjectError {
    /// The file cannot be read.
    #[error("the project cannot be read: {source}: {}", path.display())]
    Read {
        /// Which file.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// The file cannot be written. The old file, if any, is as it was.
    #[error(transparent)]
    Write(#[from] OutputError),
    /// The project was written by a later version of the program.
    #[error(
        "the project has format version {found}, this program knows versions up to {known}: use a later version"
    )]
    NewerVersion {
        /// Version of the file.
        found: u64,
        /// Newest version known.
        known: u32,
    },
    /// The tree holds values that could not be read, so saving it would lose them.
    #[error("the project has values that could not be read: correct them before saving")]
    Unreadable,
}

/// A project as read.
#[derive(Debug, Clone)]
pub struct Loaded {
    /// The tree; `None` if the text holds nothing that could be looked into.
    pub node: Option<Node>,
    /// The text, for [`crate::render_problem`].
    pub text: String,
    /// Mistakes of syntax and of the header.
    pub problems: Problems,
    /// Hash of the content; only without mistakes.
    pub hash: Option<InputHash>,
}

/// Reads a project from bytes: syntax, then the header. Types are not looked at:
/// [`schema::decode`] does that.
///
/// # Errors
/// [`ProjectError::NewerVersion`].
pub fn read(bytes: &[u8]) -> Result<Loaded, ProjectError> {
    let (node, mut problems) = parse(bytes);
    if let Some(node) = &node {
        check_header(node, &mut problems)?;
    }
    let hash = node.as_ref().filter(|_| !problems.has_errors()).map(InputHash::of);
    Ok(Loaded { node, text: decode_text(bytes).0, problems, hash })
}

/// Reads a project from a file.
///
/// # Errors
/// [`ProjectError::Read`] and those of [`read`].
pub fn load(path: &FilePath) -> Result<Loaded, ProjectError> {
    let bytes = std::fs::read(path).map_err(|source| ProjectError::Read { path: path.to_owned(), source })?;
    read(&bytes)
}

/// Saves a project: all of it or nothing, over a project of the same name. The text goes to a temporary file in the same folder, which
/// then takes the name of the old one; the mode of the old file is kept, and links are followed.
///
/// # Errors
/// [`ProjectError::Write`], and [`ProjectError::Unreadable`] if the tree has broken values.
pub fn save(path: &FilePath, node: &Node) -> Result<(), ProjectError> {
    create(path, node, Existing::Replace)
}

/// Writes a project; `existing` says what becomes of a file of that name.
///
/// # Errors
/// As [`save`].
pub fn create(path: &FilePath, node: &Node, existing: Existing) -> Result<(), ProjectError> {
    if has_broken(node) {
        return Err(ProjectError::Unreadable);
    }
    Ok(write_output(path, write(node).as_bytes(), OutputKind::Project, existing)?)
}

/// Writes a project that was read from the text `original`: only the text of what was edited differs from it.
///
/// # Errors
/// As [`save`].
pub fn update(path: &FilePath, original: &[u8], node: &Node, existing: Existing) -> Result<(), ProjectError> {
    if has_broken(node) {
        return Err(ProjectError::Unreadable);
    }
    let text = match std::str::from_utf8(original) {
        Ok(original) => rewritten(original, node),
        // no text, so nothing of it can stay
        Err(_) => write(node),
    };
    Ok(write_output(path, text.as_bytes(), OutputKind::Project, existing)?)
}

/// Replaces the content of a file as [`save`] does.
///
/// # Errors
/// What the system says; the old file is then as it was.
pub fn replace_file(path: &FilePath, bytes: &[u8]) -> io::Result<()> {
    write_output(path, bytes, OutputKind::Project, Existing::Replace).map_err(|error| match error {
        OutputError::Refused { system, .. } => system,
        other => io::Error::other(other),
    })
}

fn check_header(node: &Node, problems: &mut Problems) -> Result<(), ProjectError> {
    let mut tell = |node: &Node, message: String, remedy: &str| {
        problems.push(Problem::error("", message, remedy).at(node.place));
    };
    if !matches!(node.tree, Tree::Record { .. }) {
        if !matches!(node.tree, Tree::Broken) {
            tell(
                node,
                format!("{} is not a project", node.describe()),
                "begin with Project(format: \"heatledger\", version: 1, ..)",
            );
        }
        return Ok(());
    }
    match node.field("format") {
        None => tell(
            node,
            "the project does not state its format".into(),
            "add format: \"heatledger\" as its first field",
        ),
        Some(format) if format.as_text() == Some(FORMAT) || matches!(format.tree, Tree::Broken) => {}
        Some(format) => {
            tell(format, format!("{} is not a project format", format.describe()), "write \"heatledger\"");
        }
    }
    match node.field("version").map(|version| (version, &version.tree)) {
        None => {
            tell(node, "the project does not state its version".into(), "add version: 1 after its format");
        }
        Some((_, Tree::Number { value, .. })) if *value == f64::from(VERSION) => {}
        Some((_, Tree::Number { value, .. })) if *value > f64::from(VERSION) && value.fract() == 0.0 => {
            return Err(ProjectError::NewerVersion { found: *value as u64, known: VERSION });
        }
        Some((_, Tree::Broken)) => {}
        Some((version, _)) => {
            tell(version, format!("{} is not a version of the format", version.describe()), "write 1");
        }
    }
    Ok(())
}

/// True if a value of the tree could not be read.
pub fn has_broken(node: &Node) -> bool {
    match &node.tree {
        Tree::Broken => true,
        Tree::List(items) | Tree::Tuple { items, .. } => items.iter().any(has_broken),
        Tree::Record { fields, .. } => fields.iter().any(|(_, node)| has_broken(node)),
        Tree::Map(entries) => entries.iter().any(|(key, value)| has_broken(key) || has_broken(value)),
        Tree::Text(_) | Tree::Number { .. } | Tree::Flag(_) | Tree::Word(_) => false,
    }
}
