//! The window.
//!
//! Invariant: no physics, no solving; files only on the threads of [`files`]. The project that is open is a [`session::Session`]. Everything
//! on screen is plain data in display units, made of what the session knows on its worker thread; everything the user does is a
//! [`Command`] that is applied after the frame. A number that only the window could compute is a mistake: the command line must reach it
//! too.
//!
//! | Module | Subject |
//! |---|---|
//! | [`app`] | the window itself: draws, collects results, applies commands |
//! | [`screen`] | results turned into what the pages show |
//! | [`command`] | every action with label, tooltip and keys |
//! | [`files`] | open, save, recent files, work kept against a crash |
//! | [`clock`], [`question`] | words that commands and pages share |
//! | [`look`] | colours, spacing, type |
//! | [`views`] | the pages |
//!
//! Arrows point down: `start` and `picture` open the window `app`; it uses `copy` and `places`, these the `screen`, that the data of `views`,
//! those `command`, that `files`. A test holds them.

pub mod app;
pub mod clock;
pub mod command;
pub mod files;
pub mod look;
pub mod question;
pub mod screen;
pub mod views;

mod copy;
mod encode;
mod picture;
mod places;
mod start;

pub use app::{Opening, Window};
pub use command::{Command, DeviceCommand, FileCommand, Overlay, Page, TableCommand, ThemeChoice};
pub use picture::{PictureError, picture};
pub use screen::{Screen, Screens};
pub use start::{WindowError, run};
