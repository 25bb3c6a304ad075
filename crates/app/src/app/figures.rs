//! Charts that become files: which is wanted, where it goes, and in what form.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use egui::{ColorImage, Context, LayerId, Rect};
use report::sheet::SheetError;

use super::Window;
use super::drawing::svg_of;
use crate::copy::page_csv;
use crate::encode::encoded;
use crate::files::{Job, Overwrite, Wanted, file_name};
use crate::look;
use crate::views::chart::{WantedFigure, csv, suggested_name, svg, take_wanted};
use crate::views::figure::Sign;

type Slot = Arc<Mutex<Option<Arc<ColorImage>>>>;

/// What is under way with the files of charts.
#[derive(Debug, Default)]
pub(super) struct Figures {
    /// The figure whose path is being asked for.
    wanted: Option<Wish>,
    /// A picture that is to be taken once nothing covers the page.
    shot: Option<Shot>,
}

#[derive(Debug)]
struct Shot {
    place: Rect,
    path: PathBuf,
    overwrite: Overwrite,
    /// Frames without anything over the page.
    frames: u32,
    slot: Option<Slot>,
}

/// A figure with its numbers and its drawing, taken when it was asked for: meanwhile the page may change.
#[derive(Debug)]
struct Wish {
    title: String,
    place: Rect,
    csv: Result<Vec<u8>, SheetError>,
    svg: String,
}

/// Frames after which what covered the page is gone from the screen.
const FRAMES_TO_CLEAR: u32 = 2;

impl Figures {
    /// File name of the chart that is wanted.
    pub(super) fn name(&self) -> String {
        let title = self.wanted.as_ref().map_or("", |wanted| wanted.title.as_str());
        format!("{}.svg", suggested_name(title))
    }
}

impl Window {
    /// Takes over what charts ask for and goes on with a picture. Called at the end of a frame.
    pub(super) fn collect_figures(&mut self, ctx: &Context) {
        if let Some(wanted) = take_wanted(ctx) {
            self.figures.wanted = Some(self.wish(ctx, &wanted));
            self.ask_path(ctx, Wanted::Figure);
        }
        let is_covered = self.state.overlay.is_some();
        let Some(mut shot) = self.figures.shot.take() else { return };
        if let Some(slot) = &shot.slot {
            let image = slot.lock().unwrap_or_else(PoisonError::into_inner).take();
            match image {
                Some(image) => self.write_picture(ctx, &shot, &image),
                None => self.figures.shot = Some(shot),
            }
            return;
        }
        shot.frames = if is_covered { 0 } else { shot.frames + 1 };
        if shot.frames > FRAMES_TO_CLEAR {
            let slot = Slot::default();
            let (theirs, waker) = (Arc::clone(&slot), ctx.clone());
            ctx.request_screenshot(move |image| {
                *theirs.lock().unwrap_or_else(PoisonError::into_inner) = Some(image);
                waker.request_repaint();
            });
            shot.slot = Some(slot);
        }
        self.figures.shot = Some(shot);
        ctx.request_repaint();
    }

    fn wish(&self, ctx: &Context, wanted: &WantedFigure) -> Wish {
        let (csv, svg) = match wanted {
            WantedFigure::Chart(wanted) => (csv(wanted), svg(wanted)),
            WantedFigure::Painted { title, place } => {
                let page = page_csv(&self.screen, self.state.page, self.state.strip.as_deref());
                let ground = look::of_theme(ctx.theme()).sheet;
                let drawn = ctx.graphics(|layers| {
                    let shapes: Vec<_> = layers
                        .get(LayerId::background())
                        .map(|list| list.all_entries().cloned().collect())
                        .unwrap_or_default();
                    svg_of(&shapes, *place, ground, title)
                });
                (page, drawn)
            }
        };
        Wish { title: wanted.title().to_owned(), place: wanted.place(), csv, svg }
    }

    /// Writes the wanted chart; the ending of the path tells in what form.
    pub(super) fn write_figure(&mut self, ctx: &Context, path: PathBuf, overwrite: Overwrite) {
        self.state.overlay = None;
        let Some(wanted) = self.figures.wanted.take() else { return };
        let path = if path.extension().is_none() { path.with_extension("svg") } else { path };
        let ending = path.extension().map(|ending| ending.to_string_lossy().to_ascii_lowercase());
        match ending.as_deref() {
            Some("svg") => self.write_bytes(path, wanted.svg.into_bytes(), overwrite),
            Some("csv") => match wanted.csv {
                Ok(bytes) => self.write_bytes(path, bytes, overwrite),
                Err(error) => {
                    let text = format!("{} was not written: {error}.", file_name(&path));
                    self.filing.tell(Sign::Bad, text);
                }
            },
            Some("png") => {
                self.figures.shot =
                    Some(Shot { place: wanted.place, path, overwrite, frames: 0, slot: None });
                ctx.request_repaint();
            }
            _ => {
                let text = format!(
                    "{} was not written: the extension of a figure is .svg (drawing), .png (picture) or .csv (numbers).",
                    file_name(&path)
                );
                self.filing.tell(Sign::Bad, text);
            }
        }
    }

    fn write_bytes(&mut self, path: PathBuf, bytes: Vec<u8>, overwrite: Overwrite) {
        self.filing.ask(Job::Write { path, bytes, overwrite });
    }

    fn write_picture(&mut self, ctx: &Context, shot: &Shot, image: &ColorImage) {
        let seen = shot.place.intersect(ctx.content_rect());
        if !seen.is_positive() {
            let text =
                format!("{} was not written: the figure is no longer on screen.", file_name(&shot.path));
            self.filing.tell(Sign::Bad, text);
            return;
        }
        match encoded(&image.region(&seen, Some(ctx.pixels_per_point()))) {
            Ok(bytes) => self.write_bytes(shot.path.clone(), bytes, shot.overwrite),
            Err(error) => {
                let text = format!("{} was not written: {error}.", file_name(&shot.path));
                self.filing.tell(Sign::Bad, text);
            }
        }
    }

    /// A figure was written, or not.
    pub(super) fn figure_written(&mut self, path: &Path, result: Result<(), String>) {
        match result {
            Ok(()) => self.filing.tell(Sign::Good, format!("{} was written.", path.display())),
            Err(why) => {
                self.filing.tell(Sign::Bad, format!("{} was not written: {why}.", file_name(path)));
            }
        }
    }
}
