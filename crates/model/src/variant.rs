//! Variants: named changes applied to the project's tree before it is decoded.

use crate::aircraft::project::Project;
use crate::schema::{self, Decode as _, Node, Problem, Problems};

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
}

/// Decodes a project tree, checks it, and applies a variant by name; no name or [`BASE`] leaves the design as it is.
///
/// # Errors
/// All problems of the tree, of the variant and of the varied design.
pub fn apply(node: &Node, variant: Option<&str>) -> Result<Varied, Problems> {
    let base = decode(node)?;
    let Some(name) = variant.filter(|name| *name != BASE) else {
        return Ok(Varied { name: BASE.to_owned(), node: node.clone(), project: base });
    };
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
    let changed = schema::apply_changes(node, &found.changes).map_err(|list| {
        let mut problems = Problems::default();
        for problem in list {
            problems.push(problem);
        }
        problems
    })?;
    let project = decode(&changed)?;
    Ok(Varied { name: name.to_owned(), node: changed, project })
}

/// Decodes and validates a tree.
///
/// # Errors
/// All problems, with the places of the tree.
pub fn decode(node: &Node) -> Result<Project, Problems> {
    let decoded = schema::decode::<Project>(node);
    let mut problems = decoded.problems;
    if let Some(project) = decoded.value {
        let mut found = crate::validate::validate(&project);
        found.locate(node);
        problems.append(found);
        if !problems.has_errors() {
            return Ok(project);
        }
    }
    problems.sort_by_place();
    Err(problems)
}

/// Shape of a project file, for documentation, completion and addressable inputs.
pub fn project_shape() -> schema::Shape {
    Project::shape()
}
