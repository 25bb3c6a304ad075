//! Every kind of explanation by hand, and the demos as text.

mod drive;
mod paths;
mod shown;

use correlations::Evaluated;
use model::result::{CaseResult, Status};
use report::explain::{Explanation, explanations};
use std::sync::atomic::AtomicBool;

/// A project solved at its first case, or at the one named, with what is explained.
fn explained(ron: &str, case: Option<&str>) -> (CaseResult, Vec<Explanation>) {
    let (node, problems) = project::parse(ron.as_bytes());
    assert!(!problems.has_errors(), "{problems:?}");
    let varied = model::design::apply(&node.expect("a tree"), None).expect("a project without mistakes");
    let cases = model::cases::steady(&varied.project);
    let results =
        studies::solve(&cases, &AtomicBool::new(false), |_| ()).expect("every case can be assembled");
    let wanted = |result: &CaseResult| case.is_none_or(|name| result.case.to_string() == name);
    let result = results.into_iter().find(wanted).expect("the case exists");
    assert_eq!(result.status, Status::Solved, "{:?}", result.notices);
    let found = explanations(&varied.project, &result);
    (result, found)
}

fn of<'a>(all: &'a [Explanation], place: &str, what: &str) -> &'a Explanation {
    all.iter()
        .find(|one| one.place == place && one.what == what)
        .unwrap_or_else(|| panic!("no explanation of {what} of {place}"))
}

fn relation<'a>(one: &'a Explanation, name: &str) -> &'a Evaluated {
    one.relations.iter().find(|r| r.name == name).unwrap_or_else(|| panic!("{name} is not in {one:?}"))
}

/// Value of the relation or of one of its steps, compared.
fn close(found: &Evaluated, quantity: &str, expected: f64, relative: f64) {
    let value = found.get(quantity).unwrap_or_else(|| panic!("no {quantity} in {found:?}"));
    assert!((value - expected).abs() <= relative * expected.abs(), "{quantity}: {value}, by hand {expected}");
}
