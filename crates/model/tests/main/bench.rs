//! Small projects for checks by hand.

use aircraft::variant::Varied;
use model::assembly::Situation;
use model::case;
use model::design;
use model::result::CaseResult;

/// A project from its text without header and without the parts every one has.
pub(crate) fn text(parts: &str) -> String {
    format!("Project(format: \"heatledger\", version: 1, name: \"bench\", {parts})")
}

/// The base design, or every problem as text.
pub(crate) fn read(text: &str) -> Result<Varied, String> {
    read_variant(text, None)
}

/// A variant, or every problem as text.
pub(crate) fn read_variant(text: &str, name: Option<&str>) -> Result<Varied, String> {
    let (node, problems) = project::parse(text.as_bytes());
    if problems.has_errors() {
        return Err(problems.to_string());
    }
    design::apply(&node.ok_or("no tree")?, name).map_err(|problems| problems.to_string())
}

/// The base design of a text that must be right.
pub(crate) fn sound(text: &str) -> Varied {
    read(text).unwrap_or_else(|problems| panic!("{problems}\n{text}"))
}

/// The case of the first condition, the named point and the named failure.
pub(crate) fn solve_at(varied: &Varied, point: &str, failure: Option<&str>) -> CaseResult {
    let project = &varied.project;
    let situation = Situation {
        project,
        condition: &project.conditions[0],
        point: project.points.iter().find(|p| p.name.as_str() == point).expect("the point is there"),
        failure: failure.map(|name| {
            project.failures.iter().find(|f| f.name.as_str() == name).expect("the failure is there")
        }),
    };
    case::solve(&situation).unwrap_or_else(|problem| panic!("{problem:?}"))
}

/// The case of the first condition and the first point.
pub(crate) fn solve(varied: &Varied) -> CaseResult {
    solve_at(varied, varied.project.points[0].name.as_str(), None)
}

/// A line on the generated side of the ledger, W.
pub(crate) fn booked(result: &CaseResult, what: &str) -> f64 {
    let line = result.lines.iter().find(|l| !l.is_rejection && l.what == what);
    line.unwrap_or_else(|| panic!("nothing is booked as {what:?}: {:?}", result.lines)).heat_w
}

/// Temperature of a component, K.
pub(crate) fn temperature_k(result: &CaseResult, component: &str) -> f64 {
    let found = result.components.iter().find(|c| c.name == component);
    found.unwrap_or_else(|| panic!("no component {component:?}: {result:?}")).temperature_k()
}
