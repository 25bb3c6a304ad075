//! A project by file name, or a demo that is part of the program, as a command reads it.

use aircraft::variant::Varied;
use anyhow::{Context as _, anyhow};
use project::Existing;
use schema::{Node, Problems, Severity};
use session::{Finding, Opened, Snapshot};
use std::path::Path;
use studies::StudyError;

/// The demo projects that are part of the program.
pub(crate) const DEMOS: [(&str, &str); 4] = [
    ("demo", include_str!("../../../demo-projects/tug.ron")),
    ("demo:tug", include_str!("../../../demo-projects/tug.ron")),
    ("demo:rescue", include_str!("../../../demo-projects/rescue.ron")),
    ("demo:rig", include_str!("../../../demo-projects/rig.ron")),
];

/// A project as it was read, with its name.
#[derive(Debug)]
pub(crate) struct Read {
    /// Name of the file as given.
    pub(crate) name: String,
    opened: Opened,
}

/// All problems of a file.
#[derive(Debug)]
pub(crate) struct Findings {
    /// Rendered, in the order of the file.
    pub(crate) lines: Vec<String>,
    /// How many are errors.
    pub(crate) errors: usize,
    /// How many are warnings or notices.
    pub(crate) warnings: usize,
}

/// Reads a file or a demo; syntax problems are kept.
pub(crate) fn read(name: &str) -> anyhow::Result<Read> {
    let bytes = match DEMOS.iter().find(|(demo, _)| *demo == name) {
        Some((_, text)) => text.as_bytes().to_vec(),
        None => std::fs::read(name).with_context(|| format!("cannot read the project {name}"))?,
    };
    Ok(Read { name: name.to_owned(), opened: Opened::new(bytes) })
}

impl Read {
    /// Every problem of the file and of its variants.
    pub(crate) fn findings(&self) -> Findings {
        let problems = self.opened.all_problems();
        let errors = problems.iter().filter(|p| p.severity == Severity::Error).count();
        Findings { lines: self.rendered(&problems), errors, warnings: problems.len() - errors }
    }

    fn rendered(&self, problems: &Problems) -> Vec<String> {
        self.opened.rendered(problems, &self.name)
    }

    /// The project with a variant applied, and the hash of the input.
    pub(crate) fn varied(&self, variant: Option<&str>) -> anyhow::Result<(Varied, String)> {
        match self.opened.design(variant) {
            Ok(varied) => Ok((varied, self.opened.hash())),
            Err(problems) if problems.is_empty() => Err(self.nothing()),
            Err(problems) => Err(anyhow!("{}", self.rendered(&problems).join("\n"))),
        }
    }

    /// Warnings of the varied design, rendered.
    pub(crate) fn warnings(&self, varied: &Varied) -> Vec<String> {
        self.rendered(&session::opened::warnings(varied))
    }

    /// A study that failed, with the place in the file where there is one.
    pub(crate) fn failed(&self, varied: &Varied, error: StudyError) -> anyhow::Error {
        match error {
            StudyError::Assembly { case, problem } => {
                let mut problems = Problems::new();
                problems.push(*problem);
                problems.locate(&varied.node);
                anyhow!("case {case}:\n{}", self.rendered(&problems).join("\n"))
            }
            other => other.into(),
        }
    }

    /// The project to be shown in the window; every problem is told with its place before one comes up.
    pub(crate) fn snapshot(&self) -> anyhow::Result<Snapshot> {
        self.varied(None)?;
        let told = |found: &Finding| {
            if found.remedy.is_empty() {
                found.message.clone()
            } else {
                format!("{}; {}", found.message, found.remedy)
            }
        };
        let (snapshot, _warnings) = self
            .opened
            .snapshot()
            .map_err(|findings| anyhow!("{}", findings.iter().map(told).collect::<Vec<_>>().join("\n")))?;
        Ok(snapshot)
    }

    /// Writes an edited project: the text that was read, with what was edited changed.
    pub(crate) fn write(&self, file: &Path, node: &Node, existing: Existing) -> anyhow::Result<()> {
        Ok(project::update(file, self.opened.bytes(), node, existing)?)
    }

    /// Tree of the project.
    pub(crate) fn node(&self) -> anyhow::Result<&Node> {
        self.opened.node().ok_or_else(|| self.nothing())
    }

    fn nothing(&self) -> anyhow::Error {
        anyhow!("the file is empty: {}", self.name)
    }
}
