//! The schema of a project: a generic tree of values, and typed records decoded from it.
//!
//! The aircraft types are declared once with [`crate::record!`] and [`crate::choice!`]. The declaration gives the
//! struct, decoding with all problems told at their place, encoding, the description that the
//! documentation and the editors use, and the table of addressable inputs.
//! A variant of a design is a list of [`Change`]s applied to the tree before decoding, and a project is
//! saved from its tree, so units and numbers stay as typed.
//!
//! Deliberately absent: the syntax of the file (crate `project`), meaning beyond one field (validation).

mod change;
mod curve;
mod decode;
pub mod docs;
mod example;
mod input;
mod inputs;
pub mod kinds;
mod macros;
mod movable;
mod moving;
mod nearest;
pub mod path;
mod problem;
mod rule;
mod shape;
mod shown;
#[cfg(test)]
mod tests;
mod trail;
mod tree;
mod values;

pub use change::{Change, apply_changes};
pub use curve::Curve;
pub use decode::{
    Choice, Decode, Decoded, Decoder, FieldWriter, Fields, Record, check_content, decode, decode_content,
    encode_content, variant_of,
};
pub use input::{Evidence, Input, InputKind, Tolerance, difference_of};
pub use inputs::{
    InputEntry, Listing, Reference, TableEntry, TableShape, find_input, list, list_inputs, list_references,
    list_tables, set_input_si, set_input_text,
};
pub use movable::Movable;
pub use moving::{move_number, move_numbers, numbers_si};
pub use nearest::{listed, nearest};
pub use path::{Path, PathError};
pub use problem::{Problem, Problems, Severity};
pub use rule::Rule;
pub use shape::{ChoiceSchema, FieldSchema, RecordSchema, Shape, ShapeOf, VariantSchema, reachable};
pub use shown::{is_steering, shown};
pub use tree::{Key, Node, Place, Tree};
pub use values::{Count, Flag, List, Name};

/// What a module that declares records needs.
pub mod prelude {
    pub use crate::kinds::*;
    pub use crate::{
        Change, Choice, Count, Curve, Decode, Evidence, Flag, Input, List, Name, Node, Path, Record, decode,
    };
    pub use crate::{choice, record};
}
