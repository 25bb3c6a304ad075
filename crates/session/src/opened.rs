//! A project as it was read from the bytes of its file: what is wrong with it, its designs, and the snapshot to be shown and edited.

use aircraft::variant::Varied;
use model::design;
use model::validate::{rehearse, validate};
use project::{InputHash, render_problem};
use schema::{Node, Problem, Problems, Severity};

use crate::snapshot::Snapshot;

/// One mistake or warning in the text of a project.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Finding {
    /// Whether the project cannot be opened with it.
    pub is_error: bool,
    /// Line and column, both from 1.
    pub place: Option<(u32, u32)>,
    /// The address in the project; empty where there is none.
    pub path: String,
    /// What is wrong.
    pub message: String,
    /// What to do; empty where nothing can be said.
    pub remedy: String,
    /// The line of the text as it stands in the file; empty without a place.
    pub line: String,
}

impl Finding {
    /// The word in front of it.
    pub fn word(&self) -> &'static str {
        if self.is_error { "mistake" } else { "warning" }
    }

    /// Line and column in words; empty without a place.
    pub fn place_text(&self) -> String {
        self.place.map(|(line, column)| format!("line {line}, column {column}")).unwrap_or_default()
    }

    fn plain(message: String) -> Vec<Self> {
        vec![Self { is_error: true, message, ..Self::default() }]
    }

    fn of(problem: &Problem, text: &str) -> Self {
        let place = problem.place.map(|place| (place.line, place.column));
        let line = place.and_then(|(line, _)| text.lines().nth(line.saturating_sub(1) as usize));
        Self {
            is_error: problem.severity == Severity::Error,
            place,
            path: problem.path.clone(),
            message: problem.message.clone(),
            remedy: problem.remedy.clone(),
            line: line.unwrap_or_default().trim().to_owned(),
        }
    }
}

/// A project as it was read. Syntax is known at once, everything else when it is asked for.
#[derive(Debug)]
pub struct Opened {
    bytes: Vec<u8>,
    text: String,
    node: Option<Node>,
    problems: Problems,
}

impl Opened {
    /// Reads the bytes of a file; mistakes of syntax are kept.
    pub fn new(bytes: Vec<u8>) -> Self {
        let (node, problems) = project::parse(&bytes);
        Self { text: project::decode_text(&bytes).0, bytes, node, problems }
    }

    /// The bytes as they were read.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// The tree; nothing if the text holds nothing that could be looked into.
    pub fn node(&self) -> Option<&Node> {
        self.node.as_ref()
    }

    /// Hash of the content.
    pub fn hash(&self) -> String {
        self.node.as_ref().map(|node| InputHash::of(node).to_string()).unwrap_or_default()
    }

    /// Every problem of the file, of its base design and of every variant, in the order of the file.
    pub fn all_problems(&self) -> Problems {
        let mut problems = self.problems.clone();
        if let Some(node) = &self.node {
            problems.append(model_problems(node));
        }
        problems.sort_by_place();
        problems
    }

    /// A design by the name of its variant; without a name the base design.
    ///
    /// # Errors
    /// All problems of the file if there are mistakes of syntax, else those of the tree, of the variant and of the varied design; none
    /// where there is nothing in the file.
    pub fn design(&self, variant: Option<&str>) -> Result<Varied, Problems> {
        if self.problems.has_errors() {
            return Err(self.all_problems());
        }
        let node = self.node.as_ref().ok_or_else(Problems::new)?;
        design::apply(node, variant)
    }

    /// Problems as text with their lines, under the name of the file.
    pub fn rendered(&self, problems: &Problems, name: &str) -> Vec<String> {
        problems.iter().map(|problem| render_problem(problem, &self.text, name)).collect()
    }

    /// Problems with their lines, in the order of the text, none twice.
    fn findings(&self, mut problems: Problems) -> Vec<Finding> {
        problems.sort_by_place();
        let mut all: Vec<Finding> = Vec::new();
        for problem in &problems {
            let found = Finding::of(problem, &self.text);
            if !all.contains(&found) {
                all.push(found);
            }
        }
        all
    }

    /// The project to be shown and edited, with every variant of it decoded, and its warnings.
    ///
    /// # Errors
    /// Every mistake with its place.
    pub fn snapshot(&self) -> Result<(Snapshot, Vec<Finding>), Vec<Finding>> {
        // the header is looked at first: a newer version may mean anything by what follows
        let read = project::read(&self.bytes).map_err(|error| Finding::plain(error.to_string()))?;
        if read.problems.has_errors() {
            // mistakes of meaning beside those of syntax, as far as the tree could be read
            let mut problems = read.problems;
            if let Some(found) = read.node.as_ref().and_then(|node| design::apply(node, None).err()) {
                problems.append(found);
            }
            return Err(self.findings(problems));
        }
        let Some(node) = read.node else {
            return Err(Finding::plain("there is nothing in the file".to_owned()));
        };
        let text = String::from_utf8(self.bytes.clone()).ok();
        let snapshot = Snapshot::decoded(node, text).map_err(|problems| self.findings(problems))?;
        let warnings = warnings(snapshot.base());
        Ok((snapshot, self.findings(warnings)))
    }
}

/// Warnings of a design, with their places.
pub fn warnings(varied: &Varied) -> Problems {
    let mut problems = validate(&varied.project);
    problems.locate(&varied.node);
    problems
}

/// Problems of the base design, with its warnings, and of every variant.
fn model_problems(node: &Node) -> Problems {
    let base = match design::apply(node, None) {
        Ok(base) => base,
        Err(found) => return found,
    };
    let mut problems = warnings(&base);
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
    let mut problems = rehearse(&varied.project);
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
