//! The window.
//!
//! Invariant: no physics, no unit conversion; files only on the threads of [`files`]. Everything on screen is plain data in display units, made by a
//! [`Subject`] on a worker thread; everything the user does is a [`Command`] that is applied after the frame. A number
//! that only the window could compute is a mistake: the command line must reach it too.
//!
//! | Module | Subject |
//! |---|---|
//! | [`aircraft`] | a project as a subject: results to display units |
//! | [`app`] | the window itself: draws, collects results, applies commands |
//! | [`subject`] | what the window shows and edits, as a trait |
//! | [`command`] | every action with label, tooltip and keys |
//! | [`files`] | open, save, recent files, work kept against a crash |
//! | [`history`] | undo and redo of whole snapshots |
//! | [`worker`] | one thread beside the window; the newest request wins |
//! | [`look`] | colours, spacing, type |
//! | [`views`] | the pages |

pub mod aircraft;
pub mod app;
pub mod command;
mod edit;
pub mod files;
pub mod history;
pub mod look;
pub mod subject;
pub mod views;
pub mod worker;

mod copy;
mod picture;
mod start;

pub use aircraft::Aircraft;
pub use app::Window;
pub use command::{Command, DeviceCommand, FileCommand, Overlay, Page, TableCommand, ThemeChoice};
pub use history::History;
pub use picture::{PictureError, picture};
pub use start::{Start, WindowError, run};
pub use subject::{Choice, Choices, Compared, Listed, Screen, Study, Subject};
