//! An open project without a window: what a project is while it is shown, edited and solved. The window and the command line open
//! projects here, so that both read, check and decode in one way.
//!
//! Invariant: no window types, no display units, no writing of files. Results are those of the model and of the studies, in SI; whoever
//! shows them converts. An edit never changes a [`Snapshot`], it makes another.
//!
//! | Module | Subject |
//! |---|---|
//! | [`opened`] | a project as it was read: its problems, its designs, the snapshot of it |
//! | [`snapshot`] | one state of a project: tree, text, designs, what has been solved of it |
//! | [`choice`] | which variant, case, moment and study are asked for |
//! | [`found`] | what is known of a choice, and how much of it |
//! | [`solve`] | the order in which a choice is worked out |
//! | [`trades`], [`levers`], [`failures`], [`turnaround`] | the studies of a choice |
//! | [`history`] | undo and redo of whole snapshots |
//! | [`worker`] | one thread; the newest request wins |
//! | [`session`] | the project, its history and its worker together |

mod cache;
pub mod choice;
mod designs;
mod edit;
pub mod failures;
pub mod found;
pub mod history;
pub mod levers;
pub mod opened;
pub mod session;
pub mod snapshot;
pub mod solve;
mod source;
pub mod trades;
pub mod turnaround;
pub mod worker;

pub use choice::{CaseNames, Choice, Choices, Compared, Listed, MarginPlace, Study};
pub use edit::{Edit, Went};
pub use found::{Beneath, Extent, Flown, Found, Named, Steady, Studied, Work};
pub use history::History;
pub use opened::{Finding, Opened};
pub use session::{Scope, Session};
pub use snapshot::Snapshot;
pub use solve::Asker;
pub use trades::{Menu, Proposal, Question};
pub use worker::{NoThread, Worker};
