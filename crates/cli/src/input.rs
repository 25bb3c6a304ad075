//! Reading a project by file name, or the demo that is part of the program.

use crate::arguments::Solve;
use anyhow::{Context as _, anyhow};
use model::schema::{Node, Problems};
use model::variant::{self, Varied};
use project::{InputHash, render_problem};

/// The demo projects that are part of the program; the first is `demo`.
const DEMOS: [(&str, &str); 2] = [
    ("demo", include_str!("../../../demo-projects/tug.ron")),
    ("demo:rig", include_str!("../../../demo-projects/rig.ron")),
];

/// A project as it was read.
pub(crate) struct Read {
    /// Name of the file as given.
    pub(crate) name: String,
    text: String,
    node: Option<Node>,
    problems: Problems,
}

/// Reads a file or a demo; syntax problems are kept.
pub(crate) fn read(name: &str) -> anyhow::Result<Read> {
    let bytes = match DEMOS.iter().find(|(demo, _)| *demo == name) {
        Some((_, text)) => text.as_bytes().to_vec(),
        None => std::fs::read(name).with_context(|| format!("cannot read the project: {name}"))?,
    };
    let (node, problems) = project::parse(&bytes);
    Ok(Read { name: name.to_owned(), text: String::from_utf8_lossy(&bytes).into_owned(), node, problems })
}

impl Read {
    /// Every problem of the file and of its variants, rendered.
    pub(crate) fn all_problems(&self) -> (Vec<String>, bool) {
        let mut problems = self.problems.clone();
        if let Some(node) = &self.node {
            problems.append(model_problems(node));
        }
        problems.sort_by_place();
        let lines = problems.iter().map(|p| render_problem(p, &self.text, &self.name)).collect();
        (lines, problems.has_errors())
    }

    /// The project with a variant applied, and the hash of the input.
    pub(crate) fn varied(&self, variant: Option<&str>) -> anyhow::Result<(Varied, String)> {
        let rendered = |problems: &Problems| {
            let lines: Vec<String> =
                problems.iter().map(|p| render_problem(p, &self.text, &self.name)).collect();
            anyhow!("{}", lines.join("\n"))
        };
        if self.problems.has_errors() {
            let (lines, _) = self.all_problems();
            return Err(anyhow!("{}", lines.join("\n")));
        }
        let node = self.node.as_ref().ok_or_else(|| anyhow!("there is nothing in the file: {}", self.name))?;
        let varied = variant::apply(node, variant).map_err(|problems| rendered(&problems))?;
        Ok((varied, InputHash::of(node).to_string()))
    }

    /// Tree of the project.
    pub(crate) fn node(&self) -> Option<&Node> {
        self.node.as_ref()
    }
}

/// Problems of the base design, with its warnings, and of every variant.
fn model_problems(node: &Node) -> Problems {
    let mut problems = match variant::apply(node, None) {
        Ok(base) => {
            let mut warnings = model::validate::validate(&base.project);
            warnings.locate(node);
            for variant in &base.project.variants {
                if let Err(found) = variant::apply(node, Some(variant.name.as_str())) {
                    warnings.append(found);
                }
            }
            warnings
        }
        Err(found) => found,
    };
    problems.sort_by_place();
    problems
}

/// The project, variant and hash that a solve asks for.
pub(crate) fn for_solve(solve: &Solve) -> anyhow::Result<(Varied, String)> {
    read(&solve.file)?.varied(solve.variant.as_deref())
}
