//! Handbook relations in dimensionless groups: friction, convection, fins, exchangers, compact cores, rotors.
//!
//! Two layers:
//!
//! * **Relations** in the modules: plain functions, generic over [`numerics::Scalar`], without allocation and
//!   without range checks, smooth (value and slope continuous) for every positive input. Where a publication
//!   switches formula at a fixed value, a narrow band around the switch is blended; the band is named in the
//!   doc comment and is a public constant.
//! * **The list** in [`registry`]: every relation by name with its inputs, range, scatter and source, and an
//!   evaluation that returns the intermediate steps and whether every input lay inside its range.
//!
//! Invariant: no media, no components, no unit conversion, no I/O, no threads. Numbers with a dimension are SI and
//! carry their unit in the name.

pub mod compact;
pub mod duct_laminar;
pub mod exchanger;
pub mod external;
pub mod fin;
pub mod friction;
pub mod internal;
pub mod minor_loss;
pub mod natural;
pub mod pump_fan;
pub mod radiation;
pub mod registry;
pub mod rotating_free;
pub mod rotating_gap;
pub mod windage;

mod bessel;
mod maths;
mod range;

pub use range::Range;
pub use registry::{
    Evaluated, Input, OutOfRange, Relation, RelationError, Step, evaluate, evaluate_words, relations,
};
