//! Opening the window, or saying in text what it would show.

use crate::arguments::{AllMargins, Picture};
use crate::new::existing;
use crate::page::{Outcome, Page};
use crate::{input, margins, output};
use anyhow::anyhow;
use app::files::{Demo, Dialogs, Origin, Settings, state_folder, typed_path};
use app::{Opening, PictureError, ThemeChoice, WindowError};
use model::case_name::CaseName;
use session::{Choice, Choices, Compared};

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
    let snapshot = input::read(name)?.snapshot()?;
    let start = Opening { origin: origin(name), files: settings(), ..Opening::new(snapshot) };
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
    let page =
        margins::margins(&AllMargins { file: name.to_owned(), variant: None, all: false, json: false })?;
    Ok(Page { outcome: Outcome::Fine, ..page })
}

/// Draws one page into a file.
pub(crate) fn picture(asked: &Picture) -> anyhow::Result<Page> {
    let snapshot = input::read(&asked.file)?.snapshot()?;
    let mut start = Opening { origin: origin(&asked.file), ..Opening::new(snapshot) };
    start.page = window_page(&asked.page)?;
    start.size = size(&asked.size, asked.scale)?;
    start.theme = if asked.dark { ThemeChoice::Dark } else { ThemeChoice::Light };
    start.choice = choice(asked, start.snapshot.choices())?;
    match app::picture(start, asked.scale, &asked.output, existing(asked.overwrite)) {
        Ok(()) => Ok(Page { text: String::new(), outcome: Outcome::Fine }),
        Err(PictureError::Write(error)) => Err(error.into()),
        Err(error) => {
            output::tell(&error.to_string());
            Ok(Page { text: String::new(), outcome: Outcome::Failed })
        }
    }
}

fn window_page(name: &str) -> anyhow::Result<app::Page> {
    let labels: Vec<String> = app::Page::ALL.iter().map(|page| page.label().to_lowercase()).collect();
    let found = app::Page::ALL.into_iter().find(|page| page.label().eq_ignore_ascii_case(name));
    found.ok_or_else(|| anyhow!("there is no page {name:?}; name one of {}", labels.join(", ")))
}

/// Width and height in pixels; between a size at which the pages still hold together and one that a driver can draw.
fn size(text: &str, scale: f32) -> anyhow::Result<[f32; 2]> {
    if !(0.5..=4.0).contains(&scale) {
        return Err(anyhow!("a scale of {scale} is out of range; it is a factor from 0.5 to 4"));
    }
    let points = |pixels: u16| f32::from(pixels) / scale;
    let parsed =
        text.split_once('x').and_then(|(w, h)| Some([w.parse::<u16>().ok()?, h.parse::<u16>().ok()?]));
    match parsed {
        Some([width @ ..=8000, height @ ..=8000]) if points(width) >= 900.0 && points(height) >= 540.0 => {
            Ok([f32::from(width), f32::from(height)])
        }
        Some(_) => Err(anyhow!(
            "{text} is out of range; the window is drawn from 900x540 points to 8000x8000 pixels"
        )),
        None => Err(anyhow!("{text:?} is not a size; write it like 1440x900")),
    }
}

/// Seconds from a text such as `4:20`.
fn moment(text: &str) -> anyhow::Result<f64> {
    let parsed = text.split_once(':').and_then(|(minutes, seconds)| {
        let (minutes, seconds) = (minutes.parse::<u16>().ok()?, seconds.parse::<f64>().ok()?);
        (0.0..60.0).contains(&seconds).then(|| 60.0 * f64::from(minutes) + seconds)
    });
    parsed.ok_or_else(|| anyhow!("{text:?} is not a time; write minutes and seconds like 4:20"))
}

/// The variant and case that were asked for; a name that leads nowhere is an error, not another picture.
fn choice(asked: &Picture, choices: &Choices) -> anyhow::Result<Choice> {
    let mut choice = Choice::default();
    if let Some(variant) = &asked.variant {
        if !choices.variants.contains(variant) {
            return Err(anyhow!(
                "no variant is called {variant:?}; name one of {}",
                choices.variants.join(", ")
            ));
        }
        choice.variant.clone_from(variant);
    }
    if let Some(name) = &asked.case {
        let case = name.parse::<CaseName>().ok().filter(|case| choices.has(case));
        choice.case = case.ok_or_else(|| anyhow!("no case is called {name:?}; see heatledger margins"))?;
    }
    if let Some(text) = &asked.at {
        choice.time_s = moment(text)?;
    }
    if let Some(case) = &asked.beneath {
        let mission = case.parse::<CaseName>().ok().filter(|case| choices.missions().any(|m| m == case));
        let mission =
            mission.ok_or_else(|| anyhow!("no mission case is called {case:?}; see heatledger simulate"))?;
        let variant = asked.beneath_variant.clone().or_else(|| asked.variant.clone());
        let variant = variant.or_else(|| choices.variants.first().cloned()).unwrap_or_default();
        if !choices.variants.contains(&variant) {
            return Err(anyhow!(
                "no variant is called {variant:?}; name one of {}",
                choices.variants.join(", ")
            ));
        }
        choice.compared = Some(Compared { variant, case: mission });
    }
    Ok(choice)
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
