//! What every study command is made of: a project and a variant that are opened, work with progress, a page as text or as JSON.

use crate::input::{self, Read};
use crate::output;
use crate::page::{Outcome, Page};
use aircraft::records::project::Project;
use aircraft::variant::Varied;
use anyhow::Context as _;
use indicatif::ProgressBar;
use report::json::Origin;
use serde_json::Value;
use std::sync::atomic::AtomicBool;
use studies::StudyError;
use studies::sweep::SweepError;

/// Program and version as results name it.
const PROGRAM: &str = concat!("heatledger ", env!("CARGO_PKG_VERSION"));

/// A design of a project that a command looks into.
#[derive(Debug)]
pub(crate) struct StudyRun {
    pub(crate) read: Read,
    pub(crate) varied: Varied,
    hash: String,
    json: bool,
}

/// How far a study is; on a terminal only.
#[derive(Debug)]
pub(crate) struct Progress {
    bar: ProgressBar,
    /// A command line is stopped by its signal; a study wants a flag.
    pub(crate) cancel: AtomicBool,
}

impl Progress {
    /// One piece more is done.
    pub(crate) fn one(&self) {
        self.bar.inc(1);
    }

    /// So many are done of all there are.
    pub(crate) fn of(&self, done: usize, all: usize) {
        self.bar.set_length(all as u64);
        self.bar.set_position(done as u64);
    }
}

impl StudyRun {
    /// Opens a project with a variant applied, and tells its warnings.
    pub(crate) fn open(file: &str, variant: Option<&str>, json: bool) -> anyhow::Result<Self> {
        Self::of(input::read(file)?, variant, json)
    }

    /// The same of a project that has been read.
    pub(crate) fn of(read: Read, variant: Option<&str>, json: bool) -> anyhow::Result<Self> {
        let (varied, hash) = read.varied(variant)?;
        for warning in read.warnings(&varied) {
            output::tell(&warning);
        }
        Ok(Self { read, varied, hash, json })
    }

    /// The project, variant applied.
    pub(crate) fn project(&self) -> &Project {
        &self.varied.project
    }

    /// Its name.
    pub(crate) fn name(&self) -> &str {
        self.varied.project.name.as_str()
    }

    /// Where results come from.
    pub(crate) fn origin(&self) -> Origin<'_> {
        Origin { program: PROGRAM, project: self.name(), variant: &self.varied.name, input_hash: &self.hash }
    }

    /// First lines of a page that tells its input.
    pub(crate) fn head(&self) -> String {
        format!("{}, variant {}, input {}\n\n", self.name(), self.varied.name, self.hash)
    }

    /// Whether results are wanted as JSON.
    pub(crate) fn is_json(&self) -> bool {
        self.json
    }

    /// Work in so many pieces; what fails names the place in the file where there is one.
    pub(crate) fn run<T, E: Reported>(
        &self,
        pieces: usize,
        work: impl FnOnce(&Progress) -> Result<T, E>,
    ) -> anyhow::Result<T> {
        let progress = Progress { bar: output::progress(pieces), cancel: AtomicBool::new(false) };
        let found = work(&progress);
        progress.bar.finish_and_clear();
        found.map_err(|error| error.reported(self))
    }

    /// The results as JSON, or as text with the cautions below.
    pub(crate) fn page(
        &self,
        outcome: Outcome,
        json: impl FnOnce(&Origin<'_>) -> Value,
        text: impl FnOnce() -> String,
    ) -> anyhow::Result<Page> {
        let text = if self.json {
            json_text(&json(&self.origin()))?
        } else {
            output::coloured(format!("{}\n{}\n", text(), report::CAUTIONS))
        };
        Ok(Page { text, outcome })
    }
}

/// A failure of work, as a command reports it.
pub(crate) trait Reported {
    /// With the place in the file where there is one.
    fn reported(self, study: &StudyRun) -> anyhow::Error;
}

impl Reported for StudyError {
    fn reported(self, study: &StudyRun) -> anyhow::Error {
        study.read.failed(&study.varied, self)
    }
}

impl Reported for SweepError {
    fn reported(self, _study: &StudyRun) -> anyhow::Error {
        self.into()
    }
}

/// JSON as it is printed.
pub(crate) fn json_text(value: &Value) -> anyhow::Result<String> {
    let text = serde_json::to_string_pretty(value).context("results cannot be written as JSON")?;
    Ok(text + "\n")
}

/// How a command ends whose results hold or not.
pub(crate) fn outcome(holds: bool) -> Outcome {
    if holds { Outcome::Fine } else { Outcome::Short }
}
