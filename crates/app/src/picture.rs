//! A picture of one page, drawn by the window itself.

use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};

use egui::{ColorImage, Context, Ui, ViewportCommand};
use project::{Existing, OutputError, OutputKind, may_write, write_output};

use crate::app::{Opening, Window};
use crate::encode::encoded;
use crate::start::{WindowError, show, viewport};

/// Why there is no picture.
#[derive(Debug)]
pub enum PictureError {
    /// The window could not be opened.
    Window(WindowError),
    /// The window was closed before the page was drawn.
    Closed,
    /// The pixels could not be made a picture.
    Picture(png::EncodingError),
    /// The picture could not be written.
    Write(OutputError),
}

impl std::fmt::Display for PictureError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Window(error) => error.fmt(f),
            Self::Closed => write!(f, "the window was closed before the page was drawn"),
            Self::Picture(error) => write!(f, "the picture cannot be made: {error}"),
            Self::Write(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for PictureError {}

type Slot = Arc<Mutex<Option<Arc<ColorImage>>>>;

/// Frames that are drawn after the results are there: the first ones measure, the later ones are at rest.
const FRAMES_TO_REST: u32 = 4;

/// Draws the page of a start and writes it as PNG; the size of the start counts in pixels, of which `scale` make a point.
/// Needs a display; the window is seen for a moment.
///
/// # Errors
/// [`PictureError`].
pub fn picture(start: Opening, scale: f32, to: &Path, existing: Existing) -> Result<(), PictureError> {
    may_write(to, OutputKind::Other, existing).map_err(PictureError::Write)?;
    let slot = Slot::default();
    let theirs = Arc::clone(&slot);
    let viewport = viewport(start.size).with_decorations(false).with_resizable(false);
    show(viewport, move |ctx| {
        ctx.set_pixels_per_point(scale);
        Ok(Portrait { window: Window::new(ctx, start)?, slot: theirs, frames: 0, is_asked: false })
    })
    .map_err(PictureError::Window)?;
    let image = slot.lock().unwrap_or_else(PoisonError::into_inner).take().ok_or(PictureError::Closed)?;
    let bytes = encoded(&image).map_err(PictureError::Picture)?;
    write_output(to, &bytes, OutputKind::Other, existing).map_err(PictureError::Write)
}

/// The window until its picture is taken.
struct Portrait {
    window: Window,
    slot: Slot,
    frames: u32,
    is_asked: bool,
}

impl eframe::App for Portrait {
    /// Pointer and keys do not reach the window: the picture is the same wherever they happen to be.
    fn raw_input_hook(&mut self, _: &Context, input: &mut egui::RawInput) {
        input.events.clear();
    }

    fn logic(&mut self, ctx: &Context, frame: &mut eframe::Frame) {
        self.window.logic(ctx, frame);
    }

    fn ui(&mut self, ui: &mut Ui, frame: &mut eframe::Frame) {
        self.window.ui(ui, frame);
        let ctx = ui.ctx().clone();
        if self.slot.lock().unwrap_or_else(PoisonError::into_inner).is_some() {
            ctx.send_viewport_cmd(ViewportCommand::Close);
            return;
        }
        self.frames += u32::from(self.window.is_settled());
        if self.frames > FRAMES_TO_REST && !self.is_asked {
            self.is_asked = true;
            let (slot, waker) = (Arc::clone(&self.slot), ctx.clone());
            ctx.request_screenshot(move |image| {
                *slot.lock().unwrap_or_else(PoisonError::into_inner) = Some(image);
                waker.request_repaint();
            });
        }
        ctx.request_repaint();
    }
}
