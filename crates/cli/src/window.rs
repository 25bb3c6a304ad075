//! Opening the window, or saying in text what it would show.

use crate::arguments::Margins;
use crate::{Outcome, Page, commands, input};
use anyhow::anyhow;
use app::files::{Demo, Dialogs, Origin, Settings, state_folder, typed_path};
use app::{Aircraft, Start, WindowError};

/// The demos that are offered to begin with, and what each is.
const OFFERED: [(&str, &str, &str); 3] = [
    (
        "demo:tug",
        "Glider tug",
        "Two motors on one gearbox, five cooling systems, short hops and fast turnarounds",
    ),
    ("demo:rescue", "Surf-rescue rotorcraft", "It hovers on the hot beach: hover and one motor out decide"),
    ("demo:rig", "Bench rig", "A heater block and one glycol loop: the smallest whole project, to learn by"),
];

/// Opens the window on a project, or on the demo. Without a display the margins are printed instead.
pub(crate) fn open(file: Option<&str>) -> anyhow::Result<Page> {
    let name = file.unwrap_or("demo");
    let read = input::read(name)?;
    // tells every problem with its place before a window comes up
    read.varied(None)?;
    let node = read.node().cloned().ok_or_else(|| anyhow!("there is nothing in the file: {name}"))?;
    let aircraft = Aircraft::new(node).map_err(|problems| anyhow!("{problems}"))?;
    let start = Start { origin: origin(name), files: settings(), ..Start::new(aircraft) };
    let Err(error) = app::run(start) else {
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

/// Where a project of this name is saved to: a demo is a copy that has no file yet.
fn origin(name: &str) -> Origin {
    let is_demo = input::DEMOS.iter().any(|(demo, _)| *demo == name);
    match typed_path(name) {
        Some(path) if !is_demo => Origin::File(path),
        _ => Origin::Untitled(name.to_owned()),
    }
}

fn settings() -> Settings {
    let demo = |(key, name, summary): (&str, &'static str, &'static str)| {
        let (_, text) = input::DEMOS.iter().find(|(demo, _)| *demo == key)?;
        Some(Demo { name, summary, bytes: text.as_bytes() })
    };
    Settings {
        state_folder: state_folder(),
        demos: OFFERED.into_iter().filter_map(demo).collect(),
        dialogs: Dialogs::Native,
        ..Settings::default()
    }
}
