//! Opening the window, or saying in text what it would show.

use crate::arguments::Margins;
use crate::{Outcome, Page, commands, input};
use anyhow::anyhow;
use app::{Aircraft, Start, WindowError};

/// Opens the window on a project, or on the demo. Without a display the margins are printed instead.
pub(crate) fn open(file: Option<&str>) -> anyhow::Result<Page> {
    let name = file.unwrap_or("demo");
    let read = input::read(name)?;
    // tells every problem with its place before a window comes up
    read.varied(None)?;
    let node = read.node().cloned().ok_or_else(|| anyhow!("there is nothing in the file: {name}"))?;
    let aircraft = Aircraft::new(node).map_err(|problems| anyhow!("{problems}"))?;
    let Err(error) = app::run(Start::new(aircraft)) else {
        return Ok(Page { text: String::new(), outcome: Outcome::Fine });
    };
    match error {
        WindowError::NoDisplay(why) => eprintln!("no display: {why}"),
        WindowError::NoGraphics(why) => eprintln!("no display: it cannot be drawn on: {why}"),
    }
    eprintln!("The margins follow as text. To get the window, run this on a desktop (X11 or Wayland).");
    eprintln!(
        "Headless commands: heatledger check | solve | margins | fluid | relation; --help tells more.\n"
    );
    let page = commands::margins(&Margins { file: name.to_owned(), variant: None, json: false })?;
    Ok(Page { outcome: Outcome::Fine, ..page })
}
