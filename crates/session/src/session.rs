//! The project that is open: its history, what of it is asked for, and the worker that answers. Every edit and every choice asks anew; the
//! newest request wins.

use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

use aircraft::revise::Revision;

use crate::choice::{Choice, Study};
use crate::edit::{Edit, Went};
use crate::history::History;
use crate::snapshot::Snapshot;
use crate::trades::{Proposal, Question};
use crate::worker::{NoThread, Worker};

/// Where an edit of an input goes while a variant is on screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Scope {
    /// Into the variant where it has a value of its own there, else into the base design.
    #[default]
    Design,
    /// Into the variant only.
    VariantOnly,
}

/// An open project; `V` is what the worker hands out: [`crate::Found`], or what is made of it beside the one who waits.
#[derive(Debug)]
pub struct Session<V> {
    history: History<Snapshot, Edit>,
    choice: Choice,
    worker: Worker<(Snapshot, Choice), V>,
    /// The generation that the results on screen belong to, which may be older than the newest.
    drawn: u64,
    /// When the newest was asked for.
    asked: Instant,
    /// The generation that has been answered whole, and how long that took.
    whole: (u64, Duration),
}

impl<V: Send + 'static> Session<V> {
    /// Opens a project and asks for the choice, or for the nearest there is. `job` answers on a thread of its own and hands out what it
    /// has so far; `wake` is called after each answer.
    ///
    /// # Errors
    /// [`NoThread`] when the system refuses the thread that solves.
    pub fn start(
        snapshot: Snapshot,
        choice: &Choice,
        job: impl Fn((Snapshot, Choice), &AtomicBool, &(dyn Fn(V) + Sync)) -> V + Send + 'static,
        wake: impl Fn() + Send + Sync + 'static,
    ) -> Result<Self, NoThread> {
        let worker = Worker::start("heatledger-solve", job, wake)?;
        let choice = snapshot.choices().settle(choice);
        let asked = Instant::now();
        let history = History::new(snapshot);
        let mut session = Self { history, choice, worker, drawn: 0, asked, whole: (0, Duration::ZERO) };
        session.ask();
        Ok(session)
    }

    /// The snapshot that is shown and edited.
    pub fn snapshot(&self) -> &Snapshot {
        self.history.current()
    }

    /// What is asked for.
    pub fn choice(&self) -> &Choice {
        &self.choice
    }

    /// The edits, to be undone and done again.
    pub fn history(&self) -> &History<Snapshot, Edit> {
        &self.history
    }

    /// Notes that the snapshot of a revision is now on disk.
    pub fn mark_saved(&mut self, revision: u64) {
        self.history.mark_saved(revision);
    }

    /// Ends a gesture: a later edit is an edit of its own.
    pub fn end_gesture(&mut self) {
        self.history.end_gesture();
    }

    /// Another project takes the place of the one that is open; it is the one on disk, or nowhere yet.
    pub fn open(&mut self, snapshot: Snapshot, is_saved: bool) {
        self.history = if is_saved { History::new(snapshot) } else { History::unsaved(snapshot) };
        self.ask_settled();
    }
}

/// Asking and answers.
impl<V: Send + 'static> Session<V> {
    /// Asks for the choice of the current snapshot.
    pub fn ask(&mut self) {
        self.asked = Instant::now();
        self.worker.request((self.history.current().clone(), self.choice.clone()));
    }

    /// The same for the nearest choice there is.
    fn ask_settled(&mut self) {
        self.choice = self.history.current().choices().settle(&self.choice);
        self.ask();
    }

    /// An answer to the newest request, or to a part of it, or the message of a panic. One to an older request is dropped, its successor
    /// is on the way.
    pub fn collect(&mut self) -> Option<Result<V, String>> {
        let done = self.worker.take().filter(|done| done.generation == self.worker.newest())?;
        if done.is_whole {
            self.whole = (done.generation, done.elapsed);
        }
        Some(done.result)
    }

    /// Notes that what was collected last is on screen.
    pub fn mark_drawn(&mut self) {
        self.drawn = self.worker.newest();
    }

    /// Whether anything has been on screen.
    pub fn has_drawn(&self) -> bool {
        self.drawn > 0
    }

    /// Whether what is on screen, whole or not, belongs to the newest request.
    pub fn is_drawn_anew(&self) -> bool {
        self.drawn == self.worker.newest()
    }

    /// Whether the newest request has been answered as far as it will be.
    pub fn is_settled(&self) -> bool {
        self.whole.0 == self.worker.newest()
    }

    /// How long the last whole answer took.
    pub fn took(&self) -> Duration {
        self.whole.1
    }

    /// How long ago the newest request was made.
    pub fn waited(&self) -> Duration {
        self.asked.elapsed()
    }

    /// Stops what is being worked on; what there is stays, and is not begun again before [`Session::resume`].
    pub fn stop(&mut self) {
        if !self.is_settled() {
            self.choice.is_stopped = true;
            self.worker.stop();
        }
    }

    /// What was stopped is worked on from now on, with the next request.
    pub fn resume(&mut self) {
        self.choice.is_stopped = false;
    }

    /// Asks for another choice, or the nearest there is; nothing happens where it is the present one.
    pub fn choose(&mut self, wanted: &Choice) {
        let settled = self.history.current().choices().settle(wanted);
        if settled != self.choice {
            self.choice = settled;
            self.ask();
        }
    }

    /// Drops the study: what is known holds without it, and the next request does not work it out.
    pub fn drop_study(&mut self) {
        self.choice.study = Study::Cases;
    }

    /// Describes no device any more, from the next request on.
    pub fn drop_described(&mut self) {
        self.choice.described = None;
    }
}

/// Edits.
impl<V: Send + 'static> Session<V> {
    /// Whether a variant is shown, and not the base design.
    pub fn is_of_variant(&self) -> bool {
        let base = self.history.current().choices().variants.first();
        base.is_some_and(|base| *base != self.choice.variant)
    }

    /// Whether an edit of an input changes the variant on screen only: it has a value of its own there, or that was asked for.
    fn is_own_edit(&self, path: &str, scope: Scope) -> bool {
        self.is_of_variant()
            && (scope == Scope::VariantOnly || self.history.current().owns(&self.choice, path))
    }

    /// The snapshot with an input set, and what that is called.
    fn set(&self, path: &str, text: &str, scope: Scope) -> Result<Snapshot, String> {
        let snapshot = self.history.current();
        if self.is_own_edit(path, scope) {
            snapshot.edited_in_variant(&self.choice, path, text)
        } else {
            snapshot.edited(&self.choice, path, text)
        }
    }

    /// An input set: while a variant is shown it says where it went.
    fn setting(&self, path: &str, text: &str, scope: Scope) -> Edit {
        let went = match (self.is_of_variant(), self.is_own_edit(path, scope)) {
            (false, _) => Went::Here,
            (true, true) => Went::IntoVariant(self.choice.variant.clone()),
            (true, false) => Went::IntoBase,
        };
        Edit::Set { path: path.to_owned(), text: text.to_owned(), went }
    }

    /// Sets an input to what was typed. A value that the variant on screen has of its own is changed there; any other in the base design,
    /// or in the variant only where that is asked for.
    ///
    /// # Errors
    /// The reason, to be shown beside the field; nothing has changed then.
    pub fn edit(&mut self, path: &str, text: &str, scope: Scope) -> Result<(), String> {
        self.resume();
        let edit = self.setting(path, text, scope);
        if self.history.to_undo() == Some(&edit) {
            // the end of a gesture whose last step it was
            self.history.end_gesture();
            return Ok(());
        }
        let snapshot = self.set(path, text, scope)?;
        self.history.push(snapshot, edit);
        self.ask();
        Ok(())
    }

    /// The same as a step of a gesture: all steps in a row are one edit.
    ///
    /// # Errors
    /// As [`Session::edit`].
    pub fn step(&mut self, path: &str, text: &str, scope: Scope, is_new: bool) -> Result<(), String> {
        self.resume();
        let snapshot = self.set(path, text, scope)?;
        if is_new {
            self.history.end_gesture();
        }
        let edit = self.setting(path, text, scope);
        self.history.push_gesture(snapshot, edit, format!("step {path}"));
        self.ask();
        Ok(())
    }

    /// Takes the value of the base design in the place of the variant's own.
    ///
    /// # Errors
    /// Why it cannot be dropped.
    pub fn drop_own(&mut self, path: &str) -> Result<(), String> {
        let snapshot = self.history.current().without_own(&self.choice, path)?;
        self.resume();
        let edit = Edit::DropOwn { path: path.to_owned(), variant: self.choice.variant.clone() };
        self.history.push(snapshot, edit);
        self.ask();
        Ok(())
    }

    /// Why a change of the base design would not be seen in the variant on screen: the variant gives the thing itself.
    pub fn is_hidden(&self, revision: &Revision) -> Option<String> {
        let snapshot = self.history.current();
        let own = revision.paths().into_iter().find(|path| snapshot.owns(&self.choice, path));
        own.filter(|_| self.is_of_variant()).map(|path| {
            format!(
                "{path} is set by the variant {}, and this would change the base design; show the base design to change \
                 it there, or change the variant in the file",
                self.choice.variant
            )
        })
    }

    /// Renames, copies, moves, adds or takes away a thing of the base design.
    ///
    /// # Errors
    /// The reason for which it was not done.
    pub fn revise(&mut self, revision: &Revision) -> Result<(), String> {
        if let Some(reason) = self.is_hidden(revision) {
            return Err(reason);
        }
        let went = if self.is_of_variant() { Went::IntoBase } else { Went::Here };
        let snapshot = self.history.current().revised(revision)?;
        self.resume();
        self.history.push(snapshot, Edit::Revise { revision: Box::new(revision.clone()), went });
        self.ask_settled();
        Ok(())
    }

    /// Adds a design that a study found as a variant, shows it, and asks for it beside the others.
    ///
    /// # Errors
    /// The reason: a name in use, or no name.
    pub fn keep_variant(&mut self, proposal: &Proposal, name: &str) -> Result<(), String> {
        let snapshot = self.history.current().with_variant(proposal, name)?;
        self.resume();
        self.history.push(snapshot, Edit::KeepVariant(name.to_owned()));
        name.clone_into(&mut self.choice.variant);
        self.choice.study = Study::Trades(Question::Variants);
        self.ask_settled();
        Ok(())
    }

    /// Takes back the edit that led to a state that cannot stand; nothing where there is none.
    pub fn withdraw(&mut self) -> Option<Edit> {
        let edit = self.history.withdraw()?;
        self.ask();
        Some(edit)
    }

    /// Takes the last edit back; false where there is none.
    pub fn undo(&mut self) -> bool {
        let is_done = self.history.undo();
        self.follow(is_done)
    }

    /// Does the edit that was taken back again; false where there is none.
    pub fn redo(&mut self) -> bool {
        let is_done = self.history.redo();
        self.follow(is_done)
    }

    fn follow(&mut self, is_done: bool) -> bool {
        if is_done {
            self.resume();
            self.ask_settled();
        }
        is_done
    }
}
