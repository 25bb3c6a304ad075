//! Variants: named changes applied to the project's tree before it is decoded.

mod own;

pub use own::{NotOwn, drop_own, own_inputs, owns, set_own};

use crate::records::project::Project;
use crate::records::study::Variant;
use crate::records::surroundings::OUTSIDE_AIR;
use schema::{
    self, Change, Decode as _, Listing, Name, Node, Path, Problem, Problems, Tree, list_references,
};
use std::sync::OnceLock;
use thiserror::Error;

/// Name of the design without changes.
pub const BASE: &str = "base";

/// A project with one variant applied.
#[derive(Clone, Debug)]
pub struct Varied {
    /// Name of the variant.
    pub name: String,
    /// Tree after the changes.
    pub node: Node,
    /// Decoded project.
    pub project: Project,
    listing: OnceLock<Listing>,
}

impl Varied {
    fn new(name: String, node: Node, project: Project) -> Self {
        Self { name, node, project, listing: OnceLock::new() }
    }

    /// Every input and measured table of the design, listed once.
    pub fn listing(&self) -> &Listing {
        self.listing.get_or_init(|| schema::list(&self.node, project_shape()))
    }
}

/// What a decoded design is checked for.
pub type Check = fn(&Project) -> Problems;

/// Decodes a project tree, checks it, and applies a variant by name; no name or [`BASE`] leaves the design as it is.
///
/// # Errors
/// All problems of the tree, of the variant and of the varied design.
pub fn apply(node: &Node, variant: Option<&str>, check: Check) -> Result<Varied, Problems> {
    let base = decode(node, check)?;
    match variant.filter(|name| *name != BASE) {
        Some(name) => vary(node, &base, name, check),
        None => Ok(Varied::new(BASE.to_owned(), node.clone(), base)),
    }
}

/// A variant of a tree whose base design has been decoded already.
///
/// # Errors
/// As [`apply`].
pub fn vary(node: &Node, base: &Project, name: &str, check: Check) -> Result<Varied, Problems> {
    let Some(found) = base.variants.iter().find(|v| v.name.as_str() == name) else {
        let known: Vec<&str> = base.variants.iter().map(|v| v.name.as_str()).collect();
        let mut problems = Problems::default();
        problems.push(Problem::error(
            "variants",
            format!("no variant is called {name:?}"),
            format!("name one of: {BASE}, {}", known.join(", ")),
        ));
        return Err(problems);
    };
    let changed = schema::apply_changes(node, project_shape(), &found.changes).map_err(|list| {
        let mut problems = Problems::default();
        for problem in list {
            problems.push(problem);
        }
        problems.of_variant(name)
    })?;
    let project = decode(&changed, check).map_err(|problems| problems.of_variant(name))?;
    Ok(Varied::new(name.to_owned(), changed, project))
}

/// Why there is no further variant.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum NoVariant {
    /// The name is in use.
    #[error("there is a variant {0:?} already; give another name")]
    Taken(String),
    /// The text cannot be a name.
    #[error("{0:?} cannot be a name: {1}")]
    BadName(String, String),
    /// The project it belongs to, or the changes, have mistakes.
    #[error("{0}")]
    Problems(Problems),
}

/// The tree with one variant more, by its name and note: the changes of another variant (or of none: [`BASE`]), then further ones.
///
/// # Errors
/// [`NoVariant`].
pub fn with_variant(
    node: &Node,
    (from, name, note): (&str, &str, &str),
    changes: &[Change],
    check: Check,
) -> Result<Node, NoVariant> {
    let base = decode(node, check).map_err(NoVariant::Problems)?;
    let known = |wanted: &str| base.variants.iter().find(|known| known.name.as_str() == wanted);
    let name = name.trim();
    if known(name).is_some() || name == BASE {
        return Err(NoVariant::Taken(name.to_owned()));
    }
    let mut all = known(from).map_or_else(Vec::new, |known| known.changes.clone());
    all.extend_from_slice(changes);
    let own = Name::new(name).map_err(|reason| NoVariant::BadName(name.to_owned(), reason))?;
    let added = Variant { name: own, note: Some(note.to_owned()), changes: all }.encode();
    let path = Path::from_steps(["variants"]);
    let tree = schema::apply_changes(node, project_shape(), &[Change::Add(path, added)]).map_err(|list| {
        let mut problems = Problems::default();
        for problem in list {
            problems.push(problem);
        }
        NoVariant::Problems(problems)
    })?;
    apply(&tree, Some(name), check).map_err(NoVariant::Problems)?;
    Ok(tree)
}

/// Decodes and checks a tree.
///
/// # Errors
/// All problems, with the places of the tree.
pub fn decode(node: &Node, check: Check) -> Result<Project, Problems> {
    let decoded = schema::decode::<Project>(node);
    let mut problems = decoded.problems;
    let decoded_cleanly = decoded.value.is_some();
    if let Some(project) = decoded.value {
        let mut found = check(&project);
        found.locate(node);
        problems.append(found);
        if !problems.has_errors() {
            return Ok(project);
        }
    }
    // names are checked on the tree as well, so that one slip elsewhere does not hide them
    if !decoded_cleanly {
        problems.append(strangers(node));
    }
    problems.sort_by_place();
    Err(problems)
}

/// Names that lead nowhere, found on the tree alone.
fn strangers(node: &Node) -> Problems {
    let mut problems = Problems::default();
    for reference in list_references(node, project_shape()) {
        let Some(path) = list_of(reference.sort) else { continue };
        let known: Vec<String> = match schema::path::get(node, &path).map(|found| &found.tree) {
            Ok(Tree::List(items)) => {
                items.iter().filter_map(|item| item.own_name()).map(str::to_owned).collect()
            }
            _ => Vec::new(),
        };
        let name = reference.name.as_str();
        if known.iter().any(|k| k == name) || (reference.sort == "component" && name == OUTSIDE_AIR) {
            continue;
        }
        let remedy = match schema::nearest(name, known.iter().map(String::as_str)) {
            Some(close) => format!("did you mean {close:?}?"),
            None => format!("add a {} of this name", reference.sort),
        };
        let message = format!("no {} is called {name:?}", reference.sort);
        problems.push(Problem::error(reference.path.to_string(), message, remedy).at(reference.place));
    }
    problems
}

/// Where the things of a sort are listed.
fn list_of(sort: &str) -> Option<Path> {
    let path = match sort {
        "component" => "components",
        "core" => "cores",
        "loop" => "loops",
        "supply" => "supplies",
        "condition" => "conditions",
        "point" => "points",
        "mission" => "missions",
        "turnaround" => "turnarounds",
        "cart" => "carts",
        "failure" => "failures",
        "motor" => "powertrain.motors",
        _ => return None,
    };
    Path::parse(path).ok()
}

/// Shape of a project file, for documentation, completion and addressable inputs.
pub fn project_shape() -> schema::Shape {
    Project::shape()
}
