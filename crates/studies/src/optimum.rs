//! Sizing of the whole aircraft: the least equivalent mass over the free cores, pumps and fans of all loops at once, subject to every
//! required margin of every case.
//!
//! Equivalent mass is that of the mass and power book ([`model::budget::equivalent`]) over one mission: what the cooling weighs, and the
//! cells that its pumps, fans, drag and weight need. Cores that share a duct are solved together, so the warm air of one reaches the
//! next.
//!
//! # Method
//! Cases that no design makes hold are found first and set apart. From the present design and from the points of a fixed low-discrepancy sequence, `descent` goes down to a design that no small
//! step makes lighter. Steady limits enter with their slopes by the implicit function theorem; what missions take, and their limits,
//! to first order around a flown design that is flown again until nothing moves. Then every neighbour in a whole number (a tube more
//! or less) and in a list (other fins, core, pump, fan) of the lightest design is searched as well, until none is lighter: the result
//! is the lightest of all starts and of all its neighbours. At last all cases are solved from cold and all missions flown; what is short
//! in a mission is held further away by as much, and the search goes on.

mod apart;
mod closest;
mod compare;
mod descent;
mod flown;
mod front;
mod look;
mod options;
mod probe;
mod quadratic;
mod result;
mod search;
mod sizing;
mod space;

#[cfg(test)]
mod tests;

pub use compare::{Compared, Comparison, compare};
pub use flown::Worth;
pub use front::{FrontPoint, front};
pub use options::{OptimumOptions, Progress};
pub use result::{LoopDesign, Optimum, OptimumStudy, Priced, StartOutcome, Tightened, Weighed};
pub use sizing::size_all;
pub use space::LeftAsIs;
