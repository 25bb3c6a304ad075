//! Reading a project by file name, or a demo that is part of the program.

use aircraft::variant::Varied;
use anyhow::{Context as _, anyhow};
use model::design;
use project::{Existing, InputHash, render_problem};
use schema::{Node, Problems, Severity};
use std::path::Path;
use studies::StudyError;

/// The demo projects that are part of the program.
pub(crate) const DEMOS: [(&str, &str); 4] = [
    ("demo", include_str!("../../../demo-projects/tug.ron")),
    ("demo:tug", include_str!("../../../demo-projects/tug.ron")),
    ("demo:rescue", include_str!("../../../demo-projects/rescue.ron")),
    ("demo:rig", include_str!("../../../demo-projects/rig.ron")),
];

/// A project as it was read.
#[derive(Debug)]
pub(crate) struct Read {
    /// Name of the file as given.
    pub(crate) name: String,
    bytes: Vec<u8>,
    text: String,
    node: Option<Node>,
    problems: Problems,
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
    let (node, problems) = project::parse(&bytes);
    Ok(Read { name: name.to_owned(), text: project::decode_text(&bytes).0, bytes, node, problems })
}

impl Read {
    /// Every problem of the file and of its variants.
    pub(crate) fn findings(&self) -> Findings {
        let mut problems = self.problems.clone();
        if let Some(node) = &self.node {
            problems.append(model_problems(node));
        }
        problems.sort_by_place();
        let errors = problems.iter().filter(|p| p.severity == Severity::Error).count();
        Findings { lines: self.rendered(&problems), errors, warnings: problems.len() - errors }
    }

    fn rendered(&self, problems: &Problems) -> Vec<String> {
        problems.iter().map(|p| render_problem(p, &self.text, &self.name)).collect()
    }

    /// The project with a variant applied, and the hash of the input.
    pub(crate) fn varied(&self, variant: Option<&str>) -> anyhow::Result<(Varied, String)> {
        if self.problems.has_errors() {
            return Err(anyhow!("{}", self.findings().lines.join("\n")));
        }
        let node =
            self.node.as_ref().ok_or_else(|| anyhow!("there is nothing in the file: {}", self.name))?;
        let varied = design::apply(node, variant)
            .map_err(|problems| anyhow!("{}", self.rendered(&problems).join("\n")))?;
        Ok((varied, InputHash::of(node).to_string()))
    }

    /// Warnings of the varied design, rendered.
    pub(crate) fn warnings(&self, varied: &Varied) -> Vec<String> {
        let mut problems = model::validate::validate(&varied.project);
        problems.locate(&varied.node);
        self.rendered(&problems)
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

    /// The text as it stands in the file.
    pub(crate) fn original(&self) -> Option<String> {
        String::from_utf8(self.bytes.clone()).ok()
    }

    /// Writes an edited project: the text that was read, with what was edited changed.
    pub(crate) fn write(&self, file: &Path, node: &Node, existing: Existing) -> anyhow::Result<()> {
        Ok(project::update(file, &self.bytes, node, existing)?)
    }

    /// Tree of the project.
    pub(crate) fn node(&self) -> Option<&Node> {
        self.node.as_ref()
    }
}

/// Problems of the base design, with its warnings, and of every variant.
fn model_problems(node: &Node) -> Problems {
    let base = match design::apply(node, None) {
        Ok(base) => base,
        Err(found) => return found,
    };
    let mut problems = model::validate::validate(&base.project);
    problems.locate(node);
    append_new(&mut problems, rehearsed(&base));
    for variant in &base.project.variants {
        match design::apply(node, Some(variant.name.as_str())) {
            Ok(varied) => append_new(&mut problems, rehearsed(&varied)),
            Err(found) => problems.append(found),
        }
    }
    problems
}

/// What shows when every case is put together.
fn rehearsed(varied: &Varied) -> Problems {
    let mut problems = model::validate::rehearse(&varied.project);
    problems.locate(&varied.node);
    problems
}

/// Adds what is not known yet.
fn append_new(problems: &mut Problems, found: Problems) {
    for problem in found {
        if !problems.iter().any(|known| known.path == problem.path && known.message == problem.message) {
            problems.push(problem);
        }
    }
}
