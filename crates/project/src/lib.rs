//! Project files: bytes to a tree and back, with diagnostics and safe saving.
//!
//! The notation is RON. [`parse`] reads it into the generic tree of [`schema`] and tells all mistakes
//! of syntax with their place; [`schema::decode`] turns the tree into typed records. [`write()`] goes back from
//! a tree alone, so that units and numbers stay as typed; [`rewrite`] goes back from a tree and the text that it was
//! read from, and changes only the text of what was edited: comments, order and layout stay.
//!
//! Deliberately absent: derived results in the file; any knowledge of the aircraft types.

pub mod delimited;
mod door;
mod hash;
mod lossless;
mod place;
mod reader;
mod scan;
mod show;
mod splice;
mod store;
mod writer;

pub use door::{
    Existing, Output, OutputError, OutputKind, Unwatched, Watch, may_write, write_output, write_outputs,
    write_watched,
};
pub use hash::InputHash;
pub use lossless::{Kept, Rewriting, rewrite, rewritten};
pub use reader::{DEEPEST, decode_text, parse};
pub use show::render_problem;
pub use splice::{Splice, Splices};
pub use store::{
    FORMAT, Loaded, ProjectError, VERSION, create, has_broken, load, read, replace_file, save, update,
};
pub use writer::{LINE_WIDTH, write};
