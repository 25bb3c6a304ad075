//! The thread that reads and writes: jobs are done in order, answers are collected by the window.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::time::{Duration, SystemTime};

use session::{Finding, NoThread, Snapshot};

use super::kept::{self, Kept, Leftover};
use super::{Demo, Origin, Refusal, Settings, disk, file_name, recent, tips};

/// Where a project is to be read from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum OpenFrom {
    /// A file.
    File(PathBuf),
    /// A demo of the program.
    Demo(Demo),
    /// A copy that a crash left.
    Leftover(Leftover),
    /// Made in the window: its name, and what its file would hold.
    Made(String, Vec<u8>),
}

/// What may become of a file that is already there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Overwrite {
    /// Replaced only if it is the open one and holds what was read or saved last.
    OwnOnly,
    /// Replaced: the user was asked.
    Agreed,
}

/// What the desk is asked for.
#[derive(Debug)]
pub(crate) enum Job {
    /// Read a project.
    Open(OpenFrom),
    /// Write a project.
    Save { snapshot: Snapshot, revision: u64, path: PathBuf, overwrite: Overwrite },
    /// Write a figure; one that is there is replaced only if the user was asked.
    Write { path: PathBuf, bytes: Vec<u8>, overwrite: Overwrite },
    /// Read the cells of a table.
    Read { path: PathBuf },
    /// Compare this file with its content from time to time.
    Watch { path: PathBuf, bytes: Option<Vec<u8>> },
    /// Keep a copy against a crash.
    Keep { snapshot: Snapshot, origin: Origin },
    /// Keep in mind which tips were dismissed.
    KeepTips(BTreeSet<String>),
    /// Take the own copy away.
    Forget,
    /// Take away a copy that a crash left.
    RemoveLeftover(Leftover),
}

/// Why a project was not saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum NotSaved {
    /// Another file has this name.
    Exists,
    /// Another program has changed the file since it was read.
    ChangedByOthers,
    /// It failed; the reason and what to do.
    Failed(String),
}

/// What the desk has to tell.
#[derive(Debug)]
pub(crate) enum Done {
    /// A project was read.
    Opened { source: OpenFrom, snapshot: Snapshot, warnings: Vec<Finding> },
    /// A project could not be read.
    Refused(Refusal),
    /// A project was written.
    Saved { path: PathBuf, revision: u64 },
    /// A figure was written, or why not.
    Written { path: PathBuf, result: Result<(), String> },
    /// The bytes of a table, or why there are none.
    Read { path: PathBuf, result: Result<Vec<u8>, String> },
    /// A project was not written.
    NotSaved { path: PathBuf, reason: NotSaved },
    /// Another program has changed the open file, or taken it away.
    Changed { path: PathBuf, is_gone: bool },
    /// No copy can be kept against a crash.
    NotKept(String),
    /// The recent files.
    Recent(Vec<PathBuf>),
    /// The tips that were dismissed, by page.
    Tips(BTreeSet<String>),
    /// The copies that crashes left.
    Leftovers(Vec<Leftover>),
}

/// The thread, seen from the window.
pub(crate) struct Desk {
    jobs: Option<mpsc::Sender<Job>>,
    done: mpsc::Receiver<Done>,
    ended: mpsc::Receiver<()>,
}

impl std::fmt::Debug for Desk {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Desk").finish_non_exhaustive()
    }
}

impl Desk {
    /// Starts the thread; `wake` is called after each answer. The recent files and what crashes left come by
    /// themselves.
    pub(crate) fn start(settings: &Settings, wake: impl Fn() + Send + 'static) -> Result<Self, NoThread> {
        let (jobs, their_jobs) = mpsc::channel();
        let (their_done, done) = mpsc::channel();
        let (their_end, ended) = mpsc::channel();
        let (state_folder, look_every) = (settings.state_folder.clone(), settings.look_every);
        std::thread::Builder::new()
            .name("heatledger-files".to_owned())
            .spawn(move || {
                let kept = state_folder.as_deref().map(Kept::new);
                let tell = Box::new(move |answer| {
                    // The window may have been closed meanwhile.
                    their_done.send(answer).unwrap_or(());
                    wake();
                });
                Clerk { state_folder, kept, open: None, tell }.work(&their_jobs, look_every);
                their_end.send(()).unwrap_or(());
            })
            .map_err(NoThread)?;
        Ok(Self { jobs: Some(jobs), done, ended })
    }

    /// Asks for a job; returns at once.
    pub(crate) fn ask(&self, job: Job) {
        if let Some(jobs) = &self.jobs {
            // The thread ends only with this sender.
            jobs.send(job).unwrap_or(());
        }
    }

    /// The next answer, if there is one.
    pub(crate) fn take(&self) -> Option<Done> {
        self.done.try_recv().ok()
    }
}

impl Drop for Desk {
    /// What was asked for before the window closed is still done; a file system that hangs is not waited for.
    fn drop(&mut self) {
        self.jobs = None;
        self.ended.recv_timeout(Duration::from_secs(3)).unwrap_or(());
    }
}

/// The open file as it was read or saved last.
struct OpenFile {
    path: PathBuf,
    bytes: Vec<u8>,
    seen: Option<(SystemTime, u64)>,
}

impl OpenFile {
    fn new(path: &Path, bytes: Vec<u8>) -> Self {
        Self { path: path.to_owned(), bytes, seen: stamp(path) }
    }
}

/// Time and size of a file; nothing if it is not there.
fn stamp(path: &Path) -> Option<(SystemTime, u64)> {
    let metadata = std::fs::metadata(path).ok()?;
    Some((metadata.modified().ok()?, metadata.len()))
}

struct Clerk {
    state_folder: Option<PathBuf>,
    kept: Option<Kept>,
    open: Option<OpenFile>,
    tell: Box<dyn Fn(Done)>,
}

impl Clerk {
    fn work(mut self, jobs: &mpsc::Receiver<Job>, look_every: Duration) {
        if let Some(folder) = &self.state_folder {
            (self.tell)(Done::Recent(recent::load(folder)));
            (self.tell)(Done::Tips(tips::load(folder)));
            (self.tell)(Done::Leftovers(kept::leftovers(folder)));
        }
        loop {
            match jobs.recv_timeout(look_every) {
                Ok(job) => self.do_job(job),
                Err(RecvTimeoutError::Timeout) => self.look(),
                Err(RecvTimeoutError::Disconnected) => return,
            }
        }
    }

    fn do_job(&mut self, job: Job) {
        match job {
            Job::Open(source) => self.open(source),
            Job::Save { snapshot, revision, path, overwrite } => match self.save(&snapshot, &path, overwrite)
            {
                Ok(()) => {
                    self.note_recent(&path);
                    (self.tell)(Done::Saved { path, revision });
                }
                Err(reason) => (self.tell)(Done::NotSaved { path, reason }),
            },
            Job::KeepTips(dismissed) => {
                if let Some(folder) = &self.state_folder {
                    tips::keep(folder, &dismissed);
                }
            }
            Job::Write { path, bytes, overwrite } => {
                let result = if overwrite == Overwrite::OwnOnly && path.exists() {
                    Err("a file of this name exists already: choose another name".to_owned())
                } else {
                    disk::write(&path, &bytes, project::OutputKind::Other)
                };
                (self.tell)(Done::Written { path, result });
            }
            Job::Read { path } => {
                let result = disk::read(&path);
                (self.tell)(Done::Read { path, result });
            }
            Job::Watch { path, bytes } => {
                let bytes = bytes.or_else(|| disk::read(&path).ok());
                self.note_recent(&path);
                self.open = bytes.map(|bytes| OpenFile::new(&path, bytes));
            }
            Job::Keep { snapshot, origin } => self.keep(&snapshot, &origin),
            Job::Forget => {
                if let Some(kept) = &mut self.kept {
                    kept.remove();
                }
            }
            Job::RemoveLeftover(leftover) => leftover.remove(),
        }
    }

    fn open(&mut self, source: OpenFrom) {
        let (name, bytes) = match &source {
            OpenFrom::File(path) => (file_name(path), disk::read(path)),
            OpenFrom::Demo(demo) => (demo.name.to_owned(), Ok(demo.bytes.to_vec())),
            OpenFrom::Leftover(leftover) => (leftover.origin.name(), disk::read(&leftover.file())),
            OpenFrom::Made(name, bytes) => (name.clone(), Ok(bytes.clone())),
        };
        let what = format!("{name} was not opened");
        let bytes = match bytes {
            Ok(bytes) => bytes,
            Err(why) => {
                (self.tell)(Done::Refused(Refusal { what, why, findings: Vec::new() }));
                return;
            }
        };
        match Snapshot::from_bytes(&bytes) {
            Ok((snapshot, warnings)) => {
                self.open = None;
                if let OpenFrom::File(path) = &source {
                    self.note_recent(path);
                    self.open = Some(OpenFile::new(path, bytes));
                }
                (self.tell)(Done::Opened { source, snapshot, warnings });
            }
            Err(findings) => {
                (self.tell)(Done::Refused(Refusal { what, why: String::new(), findings }));
            }
        }
    }

    fn save(&mut self, snapshot: &Snapshot, path: &Path, overwrite: Overwrite) -> Result<(), NotSaved> {
        let bytes = snapshot.to_bytes().map_err(NotSaved::Failed)?;
        if overwrite == Overwrite::OwnOnly && path.exists() {
            let own = self.open.as_ref().filter(|open| disk::is_same(&open.path, path));
            match (own, disk::read(path)) {
                (None, _) => return Err(NotSaved::Exists),
                (Some(own), Ok(there)) if there != own.bytes => return Err(NotSaved::ChangedByOthers),
                (Some(_), _) => {}
            }
        }
        disk::write(path, &bytes, project::OutputKind::Project).map_err(NotSaved::Failed)?;
        self.open = Some(OpenFile::new(path, bytes));
        Ok(())
    }

    fn keep(&mut self, snapshot: &Snapshot, origin: &Origin) {
        let Some(kept) = &mut self.kept else { return };
        let result = snapshot
            .to_bytes()
            .and_then(|bytes| kept.write(&bytes, origin).map_err(|error| error.to_string()));
        if let Err(why) = result {
            (self.tell)(Done::NotKept(why));
        }
    }

    fn note_recent(&self, path: &Path) {
        if let Some(folder) = &self.state_folder {
            (self.tell)(Done::Recent(recent::note(folder, path)));
        }
    }

    /// Tells once when the open file is not what it was.
    fn look(&mut self) {
        let Some(open) = &mut self.open else { return };
        let now = stamp(&open.path);
        if now == open.seen {
            return;
        }
        open.seen = now;
        let is_gone = now.is_none();
        // A new time alone is no change: the content decides.
        if is_gone || disk::read(&open.path).is_ok_and(|there| there != open.bytes) {
            (self.tell)(Done::Changed { path: open.path.clone(), is_gone });
        }
    }
}
