//! The pages: each is plain data, a layout where it paints its own figure, and the drawing.
//!
//! A drawing function takes the data, what the user is in the middle of ([`Drafts`]), and a list it pushes commands to.
//! It changes nothing else.

pub mod about;
pub mod begin;
pub mod chart;
pub mod edit_scope;
pub mod empty;
pub mod explanation;
pub mod failures;
pub mod field;
pub mod figure;
pub mod files;
pub mod find;
pub mod guide;
pub mod header;
pub mod ledger;
pub mod levels;
pub mod levers;
pub mod loops;
pub mod machines;
pub mod margins;
pub mod mission;
pub mod names;
pub mod rail;
pub mod sheet;
pub mod table;
pub mod temperatures;
pub mod time;
pub mod tips;
pub mod trades;
pub mod turnaround;
pub mod work;

pub use field::{Draft, Drafts, Evidence, InputField};
pub use figure::{Figure, Flag, Sign};
