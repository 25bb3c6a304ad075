//! Files, seen from the window: what was asked for, what waits for an answer of the user, what is to be told.

mod answers;
mod keeping;
mod paths;

use std::path::{Path, PathBuf};
use std::time::Instant;

use egui::{Context, ViewportCommand};
use session::NoThread;

use super::Window;
use crate::command::{FileCommand, Overlay};
use crate::files::{Desk, Dialog, Job, Leftover, OpenFrom, Origin, Overwrite, Refusal, Settings, Wanted};
use crate::views::figure::Sign;
use crate::views::files::{Losses, Notice, TypedPath};
use crate::views::tips::Dismissed;

/// What was asked for and would lose the edits that are not saved.
#[derive(Debug)]
enum Leave {
    Close,
    Open(OpenFrom),
}

/// Everything about files that the window holds.
#[derive(Debug)]
pub(super) struct Filing {
    pub(super) settings: Settings,
    pub(super) origin: Origin,
    pub(super) recent: Vec<PathBuf>,
    pub(super) leftovers: Vec<Leftover>,
    /// Whether another program has changed the open file, or has taken it away (true).
    pub(super) changed: Option<bool>,
    pub(super) notice: Option<Notice>,
    pub(super) findings: Refusal,
    /// The path that is being typed.
    pub(super) typed: TypedPath,
    desk: Desk,
    dialog: Option<Dialog>,
    leave: Option<Leave>,
    /// The revision on screen when a project was asked for.
    asked_at: u64,
    /// The revision that is kept against a crash.
    kept: Option<u64>,
    edited_at: Option<(u64, Instant)>,
    may_close: bool,
    title: String,
}

impl Filing {
    /// Keeps in mind which tips were dismissed.
    pub(super) fn keep_tips(&self, dismissed: Dismissed) {
        self.desk.ask(Job::KeepTips(dismissed));
    }

    pub(super) fn start(ctx: &Context, settings: Settings, origin: Origin) -> Result<Self, NoThread> {
        let waker = ctx.clone();
        let desk = Desk::start(&settings, move || waker.request_repaint())?;
        if let Origin::File(path) = &origin {
            desk.ask(Job::Watch { path: path.clone(), bytes: None });
        }
        Ok(Self {
            settings,
            origin,
            recent: Vec::new(),
            leftovers: Vec::new(),
            changed: None,
            notice: None,
            findings: Refusal::default(),
            typed: TypedPath::default(),
            desk,
            dialog: None,
            leave: None,
            asked_at: 0,
            kept: None,
            edited_at: None,
            may_close: false,
            title: String::new(),
        })
    }

    /// Asks the file thread for a job.
    pub(super) fn ask(&self, job: Job) {
        self.desk.ask(job);
    }

    pub(super) fn tell(&mut self, sign: Sign, text: impl Into<String>) {
        self.notice = Some(Notice { sign, text: text.into(), has_findings: false });
    }

    /// Where a dialog begins: at the open file, or at the newest of the recent ones.
    fn begin(&self, wanted: Wanted, name: &str) -> Option<PathBuf> {
        match (&self.origin, wanted) {
            (Origin::File(path), Wanted::Figure) => Some(path.with_file_name(name)),
            (Origin::Untitled(_), Wanted::Figure) => {
                let folder = self.recent.first().and_then(|path| path.parent()).map(Path::to_owned);
                Some(folder.or_else(|| std::env::current_dir().ok())?.join(name))
            }
            (Origin::File(path), Wanted::Table) => path.parent().map(|folder| folder.join("table.csv")),
            (Origin::Untitled(_), Wanted::Table) => Some(std::env::current_dir().ok()?.join("table.csv")),
            (Origin::File(path), _) => Some(path.clone()),
            (Origin::Untitled(_), Wanted::Open) => self.recent.first().cloned(),
            (Origin::Untitled(_), Wanted::Save) => {
                let folder = self.recent.first().and_then(|path| path.parent()).map(Path::to_owned);
                let folder = folder.or_else(|| std::env::current_dir().ok())?;
                Some(folder.join(suggested_name(name)))
            }
        }
    }
}

/// A file name made from the name of a project: small letters and digits, with a hyphen between words.
fn suggested_name(project: &str) -> String {
    let plain: String =
        project.chars().map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { ' ' }).collect();
    let words: Vec<&str> = plain.split_whitespace().collect();
    let name = if words.is_empty() { "project".to_owned() } else { words.join("-") };
    format!("{name}.ron")
}

impl Window {
    /// Where the project on screen is saved to.
    pub fn origin(&self) -> &Origin {
        &self.filing.origin
    }

    /// Whether there are edits since the last save.
    pub fn is_unsaved(&self) -> bool {
        self.session.history().is_unsaved()
    }

    /// Whether everything that was asked of the files has been answered: nothing is being chosen.
    pub fn has_dialog(&self) -> bool {
        self.filing.dialog.is_some()
    }

    /// Collects what the file threads have to tell, and what the system asks for.
    pub(super) fn collect_files(&mut self, ctx: &Context) {
        while let Some(done) = self.filing.desk.take() {
            self.take_over(ctx, done);
        }
        self.take_answer(ctx);
        self.take_dropped(ctx);
        if ctx.input(|input| input.viewport().close_requested()) && !self.filing.may_close {
            self.commit_drafts();
            if self.losses().any() {
                ctx.send_viewport_cmd(ViewportCommand::CancelClose);
                self.leave(ctx, Leave::Close);
            }
        }
        self.keep_work(ctx);
        self.write_title(ctx);
    }

    /// Closes the window, after a question if edits would be lost.
    pub(super) fn quit(&mut self, ctx: &Context) {
        self.commit_drafts();
        self.leave(ctx, Leave::Close);
    }

    pub(super) fn apply_file(&mut self, ctx: &Context, command: FileCommand) {
        match command {
            FileCommand::New => self.state.overlay = Some(Overlay::Demos),
            FileCommand::Begin(name) => {
                let demo = self.filing.settings.demos.iter().find(|demo| demo.name == name).copied();
                if let Some(demo) = demo {
                    self.open(ctx, OpenFrom::Demo(demo));
                }
            }
            FileCommand::BeginNew => {
                self.state.begin.ask_again();
                self.state.overlay = Some(Overlay::Begin);
            }
            FileCommand::Make => self.make(ctx),
            FileCommand::Open => self.ask_path(ctx, Wanted::Open),
            FileCommand::OpenTyped => self.type_path(Wanted::Open),
            FileCommand::OpenPath(path) => self.open(ctx, OpenFrom::File(path)),
            FileCommand::Save => match self.filing.origin.path().map(Path::to_owned) {
                Some(path) => self.save_to(path, Overwrite::OwnOnly),
                None => self.ask_path(ctx, Wanted::Save),
            },
            FileCommand::SaveAs => self.ask_path(ctx, Wanted::Save),
            FileCommand::SaveTyped => self.type_path(Wanted::Save),
            FileCommand::SaveTo(path) => self.save_to(path, Overwrite::OwnOnly),
            FileCommand::Replace(path) => self.save_to(path, Overwrite::Agreed),
            FileCommand::Typed(wanted, text) => self.take_typed(ctx, wanted, &text),
            FileCommand::SaveFirst => {
                self.state.overlay = None;
                self.apply_file(ctx, FileCommand::Save);
            }
            FileCommand::DropEdits => {
                self.state.overlay = None;
                if let Some(leave) = self.filing.leave.take() {
                    self.go(ctx, leave);
                }
            }
            FileCommand::ReadAgain => {
                if let Some(path) = self.filing.origin.path().map(Path::to_owned) {
                    self.open(ctx, OpenFrom::File(path));
                }
            }
            FileCommand::KeepHere => self.filing.changed = None,
            FileCommand::Recover(leftover) => self.open(ctx, OpenFrom::Leftover(leftover)),
            FileCommand::Discard(leftover) => {
                self.filing.leftovers.retain(|known| *known != leftover);
                self.filing.desk.ask(Job::RemoveLeftover(leftover));
            }
            FileCommand::ShowFindings => self.state.overlay = Some(Overlay::Findings),
            FileCommand::Dismiss => self.filing.notice = None,
        }
    }

    /// The overlay was closed without an answer: nothing waits for it any more.
    pub(super) fn close_overlay(&mut self) {
        self.state.overlay = None;
        self.session.drop_described();
        self.filing.leave = None;
    }

    /// Makes a project of the answers; one that cannot be is told beside them.
    fn make(&mut self, ctx: &Context) {
        match self.state.begin.project() {
            Ok((name, bytes)) => self.open(ctx, OpenFrom::Made(name, bytes)),
            Err(reason) => self.state.begin.refused = Some(reason),
        }
    }

    fn open(&mut self, ctx: &Context, source: OpenFrom) {
        self.state.overlay = None;
        self.commit_drafts();
        self.leave(ctx, Leave::Open(source));
    }

    /// What would be lost if the project were left now.
    pub(super) fn losses(&self) -> Losses {
        let refused = self.state.drafts.values().filter(|draft| draft.problem.is_some()).count();
        Losses { is_unsaved: self.session.history().is_unsaved(), refused }
    }

    fn leave(&mut self, ctx: &Context, leave: Leave) {
        if self.losses().any() {
            self.filing.leave = Some(leave);
            self.state.overlay = Some(Overlay::Unsaved);
        } else {
            self.go(ctx, leave);
        }
    }

    fn go(&mut self, ctx: &Context, leave: Leave) {
        match leave {
            Leave::Close => {
                self.filing.may_close = true;
                self.filing.desk.ask(Job::Forget);
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
            Leave::Open(source) => {
                self.filing.asked_at = self.session.history().revision();
                self.filing.desk.ask(Job::Open(source));
            }
        }
    }

    fn save_to(&mut self, path: PathBuf, overwrite: Overwrite) {
        self.state.overlay = None;
        self.commit_drafts();
        self.session.end_gesture();
        let refused = self.losses().refused;
        if refused > 0 {
            let text =
                format!("Saved without {refused} field(s) that were not accepted; they are marked in red.");
            self.filing.tell(Sign::Warn, text);
        } else {
            self.filing.notice = None;
        }
        self.filing.desk.ask(Job::Save {
            snapshot: self.session.snapshot().clone(),
            revision: self.session.history().revision(),
            path,
            overwrite,
        });
    }

    /// What is typed in a field and not yet taken over belongs to the project before it is saved or left.
    fn commit_drafts(&mut self) {
        let typed: Vec<(String, String)> = self
            .state
            .drafts
            .iter()
            .filter(|(_, draft)| draft.problem.is_none())
            .map(|(path, draft)| (path.clone(), draft.text.clone()))
            .collect();
        for (path, text) in typed {
            self.edit(path, text);
        }
    }
}

/// A name without an ending gets that of a project.
fn with_ending(path: PathBuf) -> PathBuf {
    if path.extension().is_none() { path.with_extension("ron") } else { path }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_files_are_plain() {
        assert_eq!(suggested_name("Glider tug (invented), 2 motors"), "glider-tug-invented-2-motors.ron");
        assert_eq!(suggested_name(" ../ "), "project.ron");
        assert_eq!(with_ending(PathBuf::from("/a/tug")), PathBuf::from("/a/tug.ron"));
        assert_eq!(with_ending(PathBuf::from("/a/tug.txt")), PathBuf::from("/a/tug.txt"));
    }
}
