//! The file dialog of the desktop, waited for on a thread of its own.

use std::path::PathBuf;
use std::sync::mpsc;
use std::time::{Duration, Instant};

use super::{disk, file_name};

/// What a path is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    /// A file to open.
    Open,
    /// A file to save to.
    Save,
    /// A file to write a figure into.
    Figure,
    /// A file to take the cells of a table from.
    Table,
}

/// How a dialog ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Answer {
    /// A file was chosen. When saving, the dialog has asked whether an existing file may be replaced.
    Chosen(PathBuf),
    /// The user thought better of it.
    Cancelled,
    /// The desktop offers no file dialog.
    NoService,
}

/// Faster than any hand: an answer within this time means that no dialog came up. The library gives the same answer
/// for that as for a cancelled dialog.
const NO_HAND: Duration = Duration::from_millis(150);

/// A dialog that is open.
#[derive(Debug)]
pub(crate) struct Dialog {
    pub(crate) wanted: Wanted,
    receiver: mpsc::Receiver<Answer>,
}

impl Dialog {
    /// Opens a dialog that begins at a path; `wake` is called when it has closed.
    pub(crate) fn open(
        wanted: Wanted,
        begin: Option<PathBuf>,
        wake: impl Fn() + Send + 'static,
    ) -> std::io::Result<Self> {
        let (sender, receiver) = mpsc::channel();
        std::thread::Builder::new().name("heatledger-dialog".to_owned()).spawn(move || {
            let started = Instant::now();
            let answer = match ask(wanted, begin) {
                Some(path) => Answer::Chosen(path),
                None if started.elapsed() < NO_HAND => Answer::NoService,
                None => Answer::Cancelled,
            };
            // The window may have been closed meanwhile.
            sender.send(answer).unwrap_or(());
            wake();
        })?;
        Ok(Self { wanted, receiver })
    }

    /// The answer, once it is there.
    pub(crate) fn answer(&self) -> Option<Answer> {
        match self.receiver.try_recv() {
            Ok(answer) => Some(answer),
            Err(mpsc::TryRecvError::Empty) => None,
            Err(mpsc::TryRecvError::Disconnected) => Some(Answer::NoService),
        }
    }
}

fn ask(wanted: Wanted, begin: Option<PathBuf>) -> Option<PathBuf> {
    let dialog = rfd::FileDialog::new();
    let mut dialog = match wanted {
        Wanted::Open | Wanted::Save => dialog.add_filter("Heatledger project", &["ron"]),
        Wanted::Figure => dialog
            .add_filter("drawing", &["svg"])
            .add_filter("picture", &["png"])
            .add_filter("numbers", &["csv"]),
        Wanted::Table => dialog.add_filter("cells of a spreadsheet", &["csv", "tsv", "txt"]),
    };
    if let Some(begin) = begin {
        dialog = dialog.set_directory(disk::folder_of(&begin)).set_file_name(file_name(&begin));
    }
    match wanted {
        Wanted::Open => dialog.set_title("Open a project").pick_file(),
        Wanted::Save => dialog.set_title("Save the project as").save_file(),
        Wanted::Figure => dialog.set_title("Save the figure as").save_file(),
        Wanted::Table => dialog.set_title("Load a table").pick_file(),
    }
}
