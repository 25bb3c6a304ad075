//! Opening the window.

use crate::app::{Opening, Window};

/// Why the window could not be opened.
#[derive(Debug)]
pub enum WindowError {
    /// There is no display to open a window on.
    NoDisplay(String),
    /// There is a display, but no way to draw on it.
    NoGraphics(String),
}

impl std::fmt::Display for WindowError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NoDisplay(why) => write!(f, "there is no display for the window: {why}"),
            Self::NoGraphics(why) => write!(f, "the display cannot be drawn on: {why}"),
        }
    }
}

impl std::error::Error for WindowError {}

/// Opens the window and returns when it has been closed.
///
/// # Errors
/// [`WindowError`] when there is no display or no graphics driver; the caller can show the results as text instead.
pub fn run(start: Opening) -> Result<(), WindowError> {
    studies::leave_a_core();
    let viewport = viewport(start.size).with_min_inner_size([900.0, 560.0]);
    show(viewport, move |ctx| Ok(Window::new(ctx, start)?))
}

/// What every window of the program has in common.
pub(crate) fn viewport(size: [f32; 2]) -> egui::ViewportBuilder {
    egui::ViewportBuilder::default().with_title("Heatledger").with_inner_size(size).with_app_id("heatledger")
}

/// Shows a window until it is closed.
///
/// # Errors
/// As [`run`].
pub(crate) fn show<A: eframe::App + 'static>(
    viewport: egui::ViewportBuilder,
    make: impl FnOnce(&egui::Context) -> Result<A, Box<dyn std::error::Error + Send + Sync>>,
) -> Result<(), WindowError> {
    has_display()?;
    let options = eframe::NativeOptions {
        // Chosen by name: a build with tests also contains another renderer.
        renderer: eframe::Renderer::Glow,
        // The same text on every machine.
        system_font_fallback: false,
        viewport,
        ..Default::default()
    };
    let create: eframe::AppCreator<'_> = Box::new(move |context| Ok(Box::new(make(&context.egui_ctx)?)));
    // The window library panics where a system library of the display is missing; the caller wants an error.
    let opened = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
        eframe::run_native("Heatledger", options, create)
    }));
    match opened {
        Ok(Ok(())) => Ok(()),
        Ok(Err(error @ (eframe::Error::Winit(_) | eframe::Error::WinitEventLoop(_)))) => {
            // The message begins with the place in the source of the library, which says nothing to the user.
            let message = error.to_string();
            Err(WindowError::NoDisplay(message.rsplit(": ").next().unwrap_or_default().to_owned()))
        }
        Ok(Err(error)) => Err(WindowError::NoGraphics(error.to_string())),
        Err(_) => Err(WindowError::NoGraphics("a part of the display system is missing".to_owned())),
    }
}

/// On Linux the window system is announced in the environment; asking first keeps the error short.
fn has_display() -> Result<(), WindowError> {
    let is_set = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    let names = ["WAYLAND_DISPLAY", "WAYLAND_SOCKET", "DISPLAY"];
    if cfg!(target_os = "linux") && !names.into_iter().any(is_set) {
        return Err(WindowError::NoDisplay(format!("none of {} is set", names.join(", "))));
    }
    Ok(())
}
