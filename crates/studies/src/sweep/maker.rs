//! Projects of the points of a grid.

use super::axis::Axis;
use aircraft::records::project::Project;
use aircraft::variant::project_shape;
use model::design;
use rayon::prelude::*;
use schema;
use schema::{Node, Severity};

/// How the projects of points are made.
pub(super) struct Maker<'a> {
    pub(super) node: &'a Node,
    pub(super) axes: &'a [Axis],
    /// Chosen cases by their full names; none: all.
    pub(super) cases: &'a [String],
    /// The decoded project, if moving its numbers makes a point: much faster than to decode the tree again.
    pub(super) moved: Option<Project>,
}

/// Whether looking at every value of every axis beforehand is little beside the points. What a point is does not depend on it.
pub(super) fn is_worth_moving(axes: &[Axis], points: usize) -> bool {
    points >= 4 * axes.iter().map(Axis::steps).sum::<usize>()
}

/// Whether every value of every axis alone can be decoded, so that numbers may be moved in the decoded project. Of lists, where one
/// number may have to be larger than another, only one may be moved.
pub(super) fn can_be_moved(node: &Node, axes: &[Axis]) -> bool {
    let in_list = |axis: &&Axis| axis.entry.path.steps().iter().any(|step| step.parse::<usize>().is_ok());
    if axes.iter().filter(in_list).count() > 1 {
        return false;
    }
    let values: Vec<(&Axis, f64)> =
        axes.iter().flat_map(|axis| (0..axis.steps()).map(move |step| (axis, axis.value_si(step)))).collect();
    values.par_iter().all(|(axis, si)| decoded(node, std::slice::from_ref(*axis), &[*si]).is_ok())
}

/// Copies are cheaper without the variants, unless these hold numbers that are counted.
pub(super) fn without_variants(mut project: Project) -> Project {
    let mut bare = Project { variants: Vec::new(), ..project.clone() };
    let counted_alike = schema::numbers_si(&mut bare).len() == schema::numbers_si(&mut project).len();
    if counted_alike { bare } else { project }
}

impl Maker<'_> {
    /// The tree at a point, or why there is none.
    pub(super) fn tree(&self, inputs_si: &[f64]) -> Result<Node, String> {
        set(self.node, self.axes, inputs_si)
    }

    /// The project at a point, or why there is none.
    pub(super) fn make(&self, inputs_si: &[f64]) -> Result<Project, String> {
        if let Some(base) = &self.moved {
            let mut project = base.clone();
            let is_moved = move_exactly(&mut project, self.axes, inputs_si);
            if is_moved && !model::validate::validate(&project).has_errors() {
                return Ok(project);
            }
        }
        // from the tree, which also says what is wrong as a file does
        decoded(self.node, self.axes, inputs_si)
    }
}

/// The project with inputs set in its tree, or why there is none.
fn decoded(node: &Node, axes: &[Axis], inputs_si: &[f64]) -> Result<Project, String> {
    let tree = set(node, axes, inputs_si)?;
    let mut project = design::decode(&tree).map_err(|problems| {
        let errors = problems.iter().filter(|problem| problem.severity == Severity::Error);
        errors.map(|problem| format!("{}: {}", problem.path, problem.message)).collect::<Vec<_>>().join("; ")
    })?;
    move_exactly(&mut project, axes, inputs_si);
    Ok(project)
}

/// Sets inputs to the bits of the grid: text in the unit of the file may round the last digit.
fn move_exactly(project: &mut Project, axes: &[Axis], inputs_si: &[f64]) -> bool {
    let mut exact: Vec<(usize, f64)> =
        axes.iter().zip(inputs_si).map(|(axis, si)| (axis.index, *si)).collect();
    exact.sort_by_key(|(index, _)| *index);
    schema::move_numbers(project, &exact)
}

/// The tree with inputs set.
fn set(node: &Node, axes: &[Axis], inputs_si: &[f64]) -> Result<Node, String> {
    let mut tree = node.clone();
    for (axis, si) in axes.iter().zip(inputs_si) {
        schema::set_input_si(&mut tree, project_shape(), &axis.entry, *si)
            .map_err(|error| format!("{}: {error}", axis.path))?;
    }
    Ok(tree)
}

/// Values of a point, in SI: the last axis varies fastest.
pub(super) fn inputs(axes: &[Axis], point: usize) -> Vec<f64> {
    let mut rest = point;
    let mut values: Vec<f64> = axes
        .iter()
        .rev()
        .map(|axis| {
            let step = rest % axis.steps();
            rest /= axis.steps();
            axis.value_si(step)
        })
        .collect();
    values.reverse();
    values
}
