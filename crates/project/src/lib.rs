//! Project files: bytes to a tree and back, with diagnostics and safe saving.
//!
//! The notation is RON. [`parse`] reads it into the generic tree of [`schema`] and tells all mistakes
//! of syntax with their place; [`schema::decode`] turns the tree into typed records. [`write()`] and
//! [`save`] go back from the tree, so that units and numbers stay as typed. Comments in a file are not
//! kept when it is saved.
//!
//! Deliberately absent: derived results in the file; any knowledge of the aircraft types.

pub mod delimited;
mod door;
mod hash;
mod place;
mod reader;
mod scan;
mod show;
mod store;
mod writer;

pub use door::{
    Existing, Output, OutputError, Sort, Unwatched, Watch, may_write, write_output, write_outputs,
    write_watched,
};
pub use hash::InputHash;
pub use reader::{DEEPEST, decode_text, parse};
pub use show::render_problem;
pub use store::{FORMAT, Loaded, ProjectError, VERSION, create, has_broken, load, read, replace_file, save};
pub use writer::{LINE_WIDTH, write};
