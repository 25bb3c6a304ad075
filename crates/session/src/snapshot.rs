//! One state of a project: its tree, the text it is saved by, the base design and every variant decoded from it, and what has been solved
//! of them. Cheap to clone; an edit makes another.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use aircraft::records::device::Device;
use aircraft::records::project::Project;
use aircraft::revise::{self, Revision, Thing};
use aircraft::tables::{self, CellProblem, Table};
use aircraft::variant::{self, BASE, Varied};
use model::cases::{self, Case};
use model::design;
use schema::{Node, Path, Problem, Problems, Severity, set_input_text};

use crate::cache::Solved;
use crate::choice::{Choice, Choices, Listed};
use crate::designs::Designs;
use crate::opened::{Finding, Opened};
use crate::source::SavedText;
use crate::trades::Proposal;

/// A snapshot of a project.
#[derive(Debug, Clone)]
pub struct Snapshot {
    node: Arc<Node>,
    /// The text that the tree was read from, by which it is saved.
    source: Arc<SavedText>,
    pub(crate) designs: Arc<Designs>,
    choices: Arc<Choices>,
    solved: Arc<Mutex<Solved>>,
}

impl Snapshot {
    /// A project from the bytes of its file, with what is to be known about it.
    ///
    /// # Errors
    /// Every mistake with its place.
    pub fn from_bytes(bytes: &[u8]) -> Result<(Self, Vec<Finding>), Vec<Finding>> {
        Opened::new(bytes.to_vec()).snapshot()
    }

    /// The base design and every variant of it, from a tree and the text that it was read from if there is one.
    ///
    /// # Errors
    /// The problems of the design or of one of its variants.
    pub(crate) fn decoded(node: Node, text: Option<String>) -> Result<Self, Problems> {
        let snapshot = Self::on_base(node, SavedText::of(text))?;
        snapshot.designs.decode_all(&snapshot.node)?;
        Ok(snapshot)
    }

    /// The base design; the variants are decoded when they are asked for.
    fn on_base(node: Node, source: SavedText) -> Result<Self, Problems> {
        let designs = Designs::new(design::apply(&node, None)?);
        let choices = choices(&designs.base().project, &designs.variant_names());
        Ok(Self {
            node: Arc::new(node),
            source: Arc::new(source),
            designs: Arc::new(designs),
            choices: Arc::new(choices),
            solved: Arc::default(),
        })
    }

    /// The bytes of the project's file, with every number and unit as typed.
    ///
    /// # Errors
    /// Why it cannot be written without a loss, and what to do.
    pub fn to_bytes(&self) -> Result<Vec<u8>, String> {
        if project::has_broken(&self.node) {
            return Err(project::ProjectError::Unreadable.to_string());
        }
        self.designs.decode_all(&self.node).map_err(|problems| problem_lines(&problems))?;
        Ok(self.source.saved(&self.node).into_bytes())
    }

    /// Tree of the project as it is now.
    pub fn node(&self) -> &Node {
        &self.node
    }

    /// The name of the project.
    pub fn name(&self) -> &str {
        self.base().project.name.as_str()
    }

    /// What can be chosen.
    pub fn choices(&self) -> &Choices {
        &self.choices
    }

    /// The base design.
    pub fn base(&self) -> &Varied {
        self.designs.base()
    }

    /// The design that is chosen. One that could not be decoded has been told; the base design stands in for it.
    pub fn varied(&self, choice: &Choice) -> &Varied {
        match self.designs.design(&self.node, &choice.variant) {
            Some(Ok(varied)) => varied,
            _ => self.base(),
        }
    }

    pub(crate) fn solved(&self) -> MutexGuard<'_, Solved> {
        self.solved.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Edits: each makes another snapshot.
impl Snapshot {
    /// The project with another tree. Whoever edits waits for the design on screen; the other variants are looked at by [`Snapshot::solve`].
    fn shown_from(&self, choice: &Choice, node: Node) -> Result<Self, String> {
        let edited =
            Self::on_base(node, self.source.edited()).map_err(|problems| problem_lines(&problems))?;
        match edited.designs.design(&edited.node, &choice.variant) {
            Some(Err(problems)) => Err(problem_lines(problems)),
            _ => Ok(edited),
        }
    }

    /// The project with another tree, all of whose designs hold.
    fn with_tree(&self, node: Node) -> Result<Self, String> {
        let edited =
            Self::on_base(node, self.source.edited()).map_err(|problems| problem_lines(&problems))?;
        edited.designs.decode_all(&edited.node).map_err(|problems| problem_lines(&problems))?;
        Ok(edited)
    }

    /// The snapshot with one input set to what was typed. The design on screen is checked at once; what the edit does to other
    /// variants comes later, as [`crate::Extent::Refused`].
    ///
    /// # Errors
    /// The reason, to be shown beside the field: wrong unit, out of range, no such input.
    pub fn edited(&self, choice: &Choice, path: &str, text: &str) -> Result<Self, String> {
        let path = parsed(path)?;
        let mut node = (*self.node).clone();
        set_input_text(&mut node, variant::project_shape(), &path, text)
            .map_err(|error| error.to_string())?;
        self.shown_from(choice, node)
    }

    /// The same with the input set in the variant of the choice only.
    ///
    /// # Errors
    /// As [`Snapshot::edited`], or that there is no variant.
    pub fn edited_in_variant(&self, choice: &Choice, path: &str, text: &str) -> Result<Self, String> {
        let node = variant::set_own(&self.node, self.varied(choice), &parsed(path)?, text);
        self.shown_from(choice, node.map_err(|error| error.to_string())?)
    }

    /// Whether the variant of the choice gives the value, or what it stands in, itself.
    pub fn owns(&self, choice: &Choice, path: &str) -> bool {
        let varied = self.varied(choice);
        let found = Path::parse(path).map(|path| variant::owns(varied, &path));
        varied.name != BASE && found.unwrap_or(false)
    }

    /// The snapshot with the value of the base design in the place of the variant's own.
    ///
    /// # Errors
    /// Why it cannot be dropped.
    pub fn without_own(&self, choice: &Choice, path: &str) -> Result<Self, String> {
        let node = variant::drop_own(&self.node, self.varied(choice), &parsed(path)?);
        self.shown_from(choice, node.map_err(|error| error.to_string())?)
    }

    /// The snapshot with a thing renamed, copied, moved, added or taken away.
    ///
    /// # Errors
    /// The reason: a name in use, or that something else needs what was to be taken away.
    pub fn revised(&self, revision: &Revision) -> Result<Self, String> {
        let node = revise::revise(&self.node, revision).map_err(|refusal| refusal.to_string())?;
        self.with_tree(node)
    }

    /// The snapshot with a design that a study found as a further variant.
    ///
    /// # Errors
    /// The reason: a name in use, or no name.
    pub fn with_variant(&self, proposal: &Proposal, name: &str) -> Result<Self, String> {
        let Proposal { from, note, changes } = proposal;
        let node = design::with_variant(&self.node, from, name, note, changes)
            .map_err(|refusal| refusal.to_string())?;
        self.with_tree(node)
    }
}

/// Things of the tree.
impl Snapshot {
    /// Everything that has a name, with what names it.
    pub fn things(&self) -> Vec<Thing> {
        revise::things(&self.node)
    }

    /// The device at an address as text, for the clipboard.
    ///
    /// # Errors
    /// Why it cannot be copied.
    pub fn device_text(&self, path: &str) -> Result<String, String> {
        let node = schema::path::get(&self.node, &parsed(path)?).map_err(|error| error.to_string())?;
        if matches!(node.tag(), Some("Core" | "Exchanger")) {
            let name = node.own_name().unwrap_or_default();
            return Err(format!(
                "{name} is described once but is in two circuits; add a core and set its numbers, or copy its entry under Names"
            ));
        }
        Ok(project::write(node))
    }

    /// The measured table at an address, to be edited; none if there is none.
    pub fn table(&self, path: &str) -> Option<Table> {
        tables::read(&self.node, path)
    }

    /// The change that puts a table in the place of the one at its address.
    ///
    /// # Errors
    /// Every mistake, beside its cell.
    pub fn put_table(&self, table: &Table) -> Result<Revision, Vec<CellProblem>> {
        design::put_table(&self.node, table)
    }
}

/// A device from the text of the clipboard.
///
/// # Errors
/// Why the text is no device.
pub fn device_from(text: &str) -> Result<Node, String> {
    let (node, problems) = project::parse(text.as_bytes());
    let line = |problem: &Problem| format!("the clipboard holds no device: {}", problem.message);
    let remedy = "copy a device first (select it and press Ctrl+C)";
    if let Some(problem) = problems.iter().find(|problem| problem.severity == Severity::Error) {
        return Err(format!("{}; {remedy}", line(problem)));
    }
    let node = node.ok_or_else(|| format!("the clipboard is empty; {remedy}"))?;
    let decoded = schema::decode::<Device>(&node);
    match decoded.problems.iter().find(|problem| problem.severity == Severity::Error) {
        Some(problem) => Err(format!("{}; {remedy}", line(problem))),
        None if decoded.value.is_none() => Err(format!("the clipboard holds no device; {remedy}")),
        None => Ok(node),
    }
}

fn parsed(path: &str) -> Result<Path, String> {
    Path::parse(path).map_err(|error| error.to_string())
}

/// Problems as text, a line each.
pub(crate) fn problem_lines(problems: &Problems) -> String {
    let line = |p: &Problem| {
        if p.remedy.is_empty() { p.message.clone() } else { format!("{}; {}", p.message, p.remedy) }
    };
    problems.iter().map(line).collect::<Vec<String>>().join("\n")
}

fn choices(project: &Project, variants: &[String]) -> Choices {
    let listed = |case: &Case<'_>| Listed { name: case.name(), is_mission: case.flown().is_some() };
    Choices {
        variants: std::iter::once(BASE.to_owned()).chain(variants.iter().cloned()).collect(),
        cases: cases::all(project).iter().map(listed).collect(),
    }
}
