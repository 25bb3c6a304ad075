//! The window itself: it draws the newest results, collects what the user does, and applies it after the frame.

mod apply;
mod devices;
mod drawing;
mod edits;
mod figures;
mod filing;
mod frame;
mod header;
mod keys;
mod overlays;
mod pages;
mod results;
mod start;
mod state;
mod steps;
mod tables;

use std::sync::atomic::AtomicBool;

use egui::Context;
use session::{Choice, Extent, NoThread, Session, Snapshot};

use crate::command::{Command, Page};
use crate::look;
use crate::screen::{Screen, Screens};
use crate::views::trades::TradesForm;
use apply::set_theme;
use figures::Figures;
use filing::Filing;
pub use start::Opening;
use state::{Kept, UiState, study_of};

/// The window on one project.
#[derive(Debug)]
pub struct Window {
    session: Session<Screen>,
    state: UiState,
    screen: Screen,
    /// Results of studies kept from an earlier state while new ones are worked out.
    kept: Kept,
    /// Why the newest results could not be worked out.
    failure: Option<String>,
    filing: Filing,
    figures: Figures,
    commands: Vec<Command>,
}

impl Window {
    /// A window that draws into the context; the first solution is asked for at once.
    ///
    /// # Errors
    /// [`NoThread`] when the system refuses the thread that solves.
    pub fn new(ctx: &Context, start: Opening) -> Result<Self, NoThread> {
        look::install(ctx);
        let (waker, screens) = (ctx.clone(), Screens::default());
        let job = move |(snapshot, choice): (Snapshot, Choice),
                        cancelled: &AtomicBool,
                        so_far: &(dyn Fn(Screen) + Sync)| {
            screens.screen(&snapshot, &choice, cancelled, so_far)
        };
        let study = study_of(start.page, &TradesForm::default());
        let choice = Choice { study, ..start.choice };
        let window = Self {
            session: Session::start(start.snapshot, &choice, job, move || waker.request_repaint())?,
            state: UiState { page: start.page, ..UiState::default() },
            screen: Screen::default(),
            kept: Kept::default(),
            failure: None,
            filing: Filing::start(ctx, start.files, start.origin)?,
            figures: Figures::default(),
            commands: Vec::new(),
        };
        set_theme(ctx, start.theme);
        Ok(window)
    }

    /// The results on screen.
    pub fn screen(&self) -> &Screen {
        &self.screen
    }

    /// The page on screen.
    pub fn page(&self) -> Page {
        self.state.page
    }

    /// The choice on screen.
    pub fn choice(&self) -> &Choice {
        self.session.choice()
    }

    /// What is typed at an address and was not taken.
    pub fn typed(&self, path: &str) -> Option<&str> {
        self.state.drafts.get(path).map(|draft| draft.text.as_str())
    }

    /// The snapshot that is shown and edited.
    pub fn snapshot(&self) -> &Snapshot {
        self.session.snapshot()
    }

    /// Whether the results on screen belong to the newest edit.
    pub fn is_settled(&self) -> bool {
        self.session.is_settled()
    }

    /// Whether everything that was asked for has been worked out, and not been stopped before.
    pub fn is_complete(&self) -> bool {
        self.is_settled() && self.screen.extent.work().is_none()
    }

    /// Whether the results on screen belong to an earlier state of the project.
    pub fn is_stale(&self) -> bool {
        let is_kept = match self.state.page {
            Page::Turnaround => self.kept.turnaround,
            Page::Failures => self.kept.failures,
            _ => false,
        };
        let has_one_case = matches!(self.screen.extent, Extent::FirstCase(_));
        let is_of_before = has_one_case && self.state.page == Page::Margins;
        self.session.has_drawn() && !self.session.is_drawn_anew() || is_kept || is_of_before
    }

    /// Whether the results on screen, whole or not, belong to the newest edit.
    pub fn is_drawn_anew(&self) -> bool {
        self.session.is_drawn_anew()
    }
}
