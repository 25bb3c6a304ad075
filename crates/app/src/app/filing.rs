//! Files, seen from the window: what was asked for, what waits for an answer of the user, what is to be told.

use std::path::{Path, PathBuf};
use std::time::Instant;

use eframe::egui::{Context, ViewportCommand};
use session::{Finding, NoThread, Snapshot};

use super::Window;
use crate::command::{FileCommand, Overlay};
use crate::files::{
    Answer, Desk, Dialog, Dialogs, Done, Job, Leftover, NotSaved, Origin, Overwrite, Refusal, Settings,
    Source, Wanted, file_name, typed_path,
};
use crate::views::figure::Standing;
use crate::views::files::{Losses, Notice, TypedPath};
use crate::views::tips::Dismissed;

/// What was asked for and would lose the edits that are not saved.
#[derive(Debug)]
enum Leave {
    Close,
    Open(Source),
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

    pub(super) fn tell(&mut self, standing: Standing, text: impl Into<String>) {
        self.notice = Some(Notice { standing, text: text.into(), has_findings: false });
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
                    self.open(ctx, Source::Demo(demo));
                }
            }
            FileCommand::BeginNew => {
                self.state.begin.ask_again();
                self.state.overlay = Some(Overlay::Begin);
            }
            FileCommand::Make => self.make(ctx),
            FileCommand::Open => self.ask_path(ctx, Wanted::Open),
            FileCommand::OpenTyped => self.type_path(Wanted::Open),
            FileCommand::OpenPath(path) => self.open(ctx, Source::File(path)),
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
                    self.open(ctx, Source::File(path));
                }
            }
            FileCommand::KeepHere => self.filing.changed = None,
            FileCommand::Recover(leftover) => self.open(ctx, Source::Leftover(leftover)),
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
            Ok((name, bytes)) => self.open(ctx, Source::Made(name, bytes)),
            Err(reason) => self.state.begin.refused = Some(reason),
        }
    }

    fn open(&mut self, ctx: &Context, source: Source) {
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

    fn begin(&self, wanted: Wanted) -> Option<PathBuf> {
        match wanted {
            Wanted::Open | Wanted::Save | Wanted::Table => {
                self.filing.begin(wanted, self.session.snapshot().name())
            }
            Wanted::Figure => self.filing.begin(wanted, &self.figures.name()),
        }
    }

    pub(super) fn ask_path(&mut self, ctx: &Context, wanted: Wanted) {
        if self.filing.dialog.is_some() {
            return;
        }
        self.state.overlay = None;
        if self.filing.settings.dialogs == Dialogs::Native {
            let begin = self.begin(wanted);
            let waker = ctx.clone();
            self.filing.dialog = Dialog::open(wanted, begin, move || waker.request_repaint()).ok();
        }
        if self.filing.dialog.is_none() {
            self.type_path(wanted);
        }
    }

    fn type_path(&mut self, wanted: Wanted) {
        let begin = self.begin(wanted);
        let text = begin.map(|path| path.display().to_string()).unwrap_or_default();
        self.filing.typed = TypedPath { text, has_begun: false };
        self.state.overlay = Some(Overlay::TypedPath(wanted));
    }

    fn take_answer(&mut self, ctx: &Context) {
        let Some((wanted, answer)) =
            self.filing.dialog.as_ref().and_then(|dialog| Some((dialog.wanted, dialog.answer()?)))
        else {
            return;
        };
        self.filing.dialog = None;
        match (answer, wanted) {
            (Answer::Chosen(path), Wanted::Open) => self.open(ctx, Source::File(path)),
            (Answer::Chosen(path), Wanted::Save) if path.extension().is_none() => {
                // The dialog has asked about another name than the one that is written.
                self.save_to(with_ending(path), Overwrite::OwnOnly);
            }
            (Answer::Chosen(path), Wanted::Save) => self.save_to(path, Overwrite::Agreed),
            (Answer::Chosen(path), Wanted::Figure) => {
                // the dialog has asked about the name that is written, unless it has no ending
                let asked = if path.extension().is_some() { Overwrite::Agreed } else { Overwrite::OwnOnly };
                self.write_figure(ctx, path, asked);
            }
            (Answer::Chosen(path), Wanted::Table) => self.filing.ask(Job::Read { path }),
            (Answer::Cancelled, Wanted::Table) => self.show_table(),
            (Answer::Cancelled, _) => self.filing.leave = None,
            (Answer::NoService, wanted) => self.type_path(wanted),
        }
    }

    fn take_typed(&mut self, ctx: &Context, wanted: Wanted, text: &str) {
        let Some(path) = typed_path(text) else { return };
        self.state.overlay = None;
        match wanted {
            Wanted::Open => self.open(ctx, Source::File(path)),
            // A path that ends like a folder is one.
            Wanted::Save if text.trim_end().ends_with(['/', '\\']) => {
                let name = suggested_name(self.session.snapshot().name());
                self.save_to(path.join(name), Overwrite::OwnOnly);
            }
            Wanted::Save => self.save_to(with_ending(path), Overwrite::OwnOnly),
            Wanted::Figure if text.trim_end().ends_with(['/', '\\']) => {
                let name = self.figures.name();
                self.write_figure(ctx, path.join(name), Overwrite::OwnOnly);
            }
            Wanted::Figure => self.write_figure(ctx, path, Overwrite::OwnOnly),
            Wanted::Table => self.filing.ask(Job::Read { path }),
        }
    }

    fn take_dropped(&mut self, ctx: &Context) {
        let dropped = ctx.input(|input| {
            let files = &input.raw.dropped_files;
            files.first().map(|file| (file.path().to_owned(), files.len()))
        });
        let Some((path, count)) = dropped else { return };
        if count > 1 {
            let text =
                format!("One project is open at a time: of {count} files, {} was taken.", file_name(&path));
            self.filing.tell(Standing::Short, text);
        }
        self.open(ctx, Source::File(path));
    }

    fn save_to(&mut self, path: PathBuf, overwrite: Overwrite) {
        self.state.overlay = None;
        self.commit_drafts();
        self.session.end_gesture();
        let refused = self.losses().refused;
        if refused > 0 {
            let text =
                format!("Saved without {refused} typed text(s) that were refused; they are marked in red.");
            self.filing.tell(Standing::Short, text);
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

    fn take_over(&mut self, ctx: &Context, done: Done) {
        match done {
            Done::Opened { source, snapshot, warnings } => self.adopt(source, snapshot, warnings),
            Done::Refused(refusal) => {
                self.filing.findings = refusal;
                self.state.overlay = Some(Overlay::Findings);
            }
            Done::Saved { path, revision } => {
                self.session.mark_saved(revision);
                self.filing.origin = Origin::File(path);
                self.filing.changed = None;
                if !self.session.history().is_unsaved()
                    && let Some(leave) = self.filing.leave.take()
                {
                    self.go(ctx, leave);
                }
            }
            Done::NotSaved { path, reason } => match reason {
                NotSaved::Exists => self.state.overlay = Some(Overlay::Exists(path)),
                NotSaved::ChangedByOthers => self.state.overlay = Some(Overlay::ChangedByOthers(path)),
                NotSaved::Failed(why) => {
                    self.filing.leave = None;
                    let text = format!("{} was not saved: {why}.", file_name(&path));
                    self.filing.tell(Standing::Passed, text);
                }
            },
            Done::Read { path, result } => self.take_cells(&path, result),
            Done::Written { path, result } => self.figure_written(&path, result),
            Done::Changed { path, is_gone } => {
                if self.filing.origin.path() == Some(path.as_path()) {
                    self.filing.changed = Some(is_gone);
                }
            }
            Done::NotKept(why) => {
                let text = format!("Work is not kept against a crash: {why}. Save often.");
                self.filing.tell(Standing::Short, text);
            }
            Done::Recent(recent) => self.filing.recent = recent,
            Done::Tips(dismissed) => self.state.tips = Some(dismissed),
            Done::Leftovers(leftovers) => self.filing.leftovers = leftovers,
        }
    }

    /// Another project takes the place of the one on screen.
    fn adopt(&mut self, source: Source, snapshot: Snapshot, warnings: Vec<Finding>) {
        if self.session.history().revision() != self.filing.asked_at {
            self.filing
                .tell(Standing::Short, "Nothing was opened: there were edits meanwhile. Open it again.");
            return;
        }
        let (origin, is_saved) = match source {
            Source::File(path) => (Origin::File(path), true),
            Source::Demo(demo) => (Origin::Untitled(demo.name.to_owned()), true),
            Source::Made(name, _) => (Origin::Untitled(name), false),
            Source::Leftover(leftover) => {
                let origin = leftover.origin.clone();
                if let Origin::File(path) = &origin {
                    self.filing.desk.ask(Job::Watch { path: path.clone(), bytes: None });
                }
                // The own copy is written before the one of the crash is taken away.
                self.filing.desk.ask(Job::Keep { snapshot: snapshot.clone(), origin: origin.clone() });
                self.filing.leftovers.retain(|known| *known != leftover);
                self.filing.desk.ask(Job::RemoveLeftover(leftover));
                self.filing.kept = Some(0);
                (origin, false)
            }
        };
        let is_same = self.filing.origin == origin;
        self.filing.origin = origin;
        self.filing.changed = None;
        self.filing.notice = None;
        if !warnings.is_empty() {
            let what = format!("{} was opened with {} warning(s)", self.filing.origin.name(), warnings.len());
            let text = format!("{what}.");
            self.filing.findings = Refusal { what, why: String::new(), findings: warnings };
            self.filing.notice = Some(Notice { standing: Standing::Short, text, has_findings: true });
        }
        self.state.drafts.clear();
        if !is_same {
            self.state.strip = None;
            self.state.device = None;
        }
        self.session.open(snapshot, is_saved);
    }

    /// Keeps a copy against a crash some time after an edit; takes it away when everything is saved.
    fn keep_work(&mut self, ctx: &Context) {
        let filing = &mut self.filing;
        if filing.may_close {
            // What is not saved by now is not wanted.
            return;
        }
        let revision = self.session.history().revision();
        if !self.session.history().is_unsaved() {
            if filing.kept.take().is_some() {
                filing.desk.ask(Job::Forget);
            }
            filing.edited_at = None;
            return;
        }
        if filing.kept == Some(revision) || filing.settings.state_folder.is_none() {
            return;
        }
        let since = match filing.edited_at {
            Some((seen, since)) if seen == revision => since,
            _ => {
                let now = Instant::now();
                filing.edited_at = Some((revision, now));
                now
            }
        };
        match filing.settings.keep_after.checked_sub(since.elapsed()) {
            Some(left) if !left.is_zero() => ctx.request_repaint_after(left),
            _ => {
                filing.kept = Some(revision);
                let snapshot = self.session.snapshot().clone();
                filing.desk.ask(Job::Keep { snapshot, origin: filing.origin.clone() });
            }
        }
    }

    /// The title is the name of the product; with edits that are not saved it says so.
    fn write_title(&mut self, ctx: &Context) {
        let title = match (self.session.history().is_unsaved(), &self.filing.origin) {
            (false, _) => "Heatledger".to_owned(),
            (true, Origin::File(path)) => format!("Heatledger: edits in {} not saved", file_name(path)),
            (true, Origin::Untitled(_)) => "Heatledger: edits not saved".to_owned(),
        };
        if title != self.filing.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.filing.title = title;
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
