//! Problems of an input, as data: what is wrong, where, and what to do about it.

use std::fmt;

use super::path::{self, Path};
use super::tree::{Node, Place};

/// How grave a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The input cannot be used.
    Error,
    /// The input can be used, but it is likely to be wrong.
    Warning,
    /// Worth knowing.
    Notice,
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Notice => "notice",
        })
    }
}

/// One problem.
///
/// Wording: lower case, no final dot, values with their unit; the remedy starts with a verb.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// How grave it is.
    pub severity: Severity,
    /// Path of the element or field, as in `loops.stator.path.long hose.length`; may be empty.
    pub path: String,
    /// Where it stands in the project file, if it came from one.
    pub place: Option<Place>,
    /// What is wrong.
    pub message: String,
    /// What to do; may be empty if the message says it already.
    pub remedy: String,
}

impl Problem {
    /// An error at a path, without place.
    pub fn error(path: impl Into<String>, message: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            severity: Severity::Error,
            path: path.into(),
            place: None,
            message: message.into(),
            remedy: remedy.into(),
        }
    }

    /// A warning at a path, without place.
    pub fn warning(path: impl Into<String>, message: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { severity: Severity::Warning, ..Self::error(path, message, remedy) }
    }

    /// A notice at a path, without place.
    pub fn notice(path: impl Into<String>, message: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { severity: Severity::Notice, ..Self::error(path, message, remedy) }
    }

    /// The same problem with a place.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = place.known();
        self
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(place) = self.place {
            write!(f, "{place}: ")?;
        }
        write!(f, "{}: ", self.severity)?;
        if !self.path.is_empty() {
            write!(f, "{}: ", self.path)?;
        }
        f.write_str(&self.message)?;
        if !self.remedy.is_empty() {
            write!(f, "; {}", self.remedy)?;
        }
        Ok(())
    }
}

/// Problems in the order found.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Problems {
    list: Vec<Problem>,
}

impl Problems {
    /// No problem yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds one.
    pub fn push(&mut self, problem: Problem) {
        self.list.push(problem);
    }

    /// Adds all of another collection.
    pub fn append(&mut self, other: Self) {
        self.list.extend(other.list);
    }

    /// True if at least one is an error.
    pub fn has_errors(&self) -> bool {
        self.list.iter().any(|problem| problem.severity == Severity::Error)
    }

    /// True if there is none of any kind.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// How many of any kind.
    pub fn len(&self) -> usize {
        self.list.len()
    }

    /// All of them, in the order found.
    pub fn iter(&self) -> std::slice::Iter<'_, Problem> {
        self.list.iter()
    }

    /// Gives each problem without a place the place of its path in `root`, or of the longest part
    /// of the path that exists there.
    pub fn locate(&mut self, root: &Node) {
        for problem in self.list.iter_mut().filter(|problem| problem.place.is_none()) {
            if let Ok(path) = Path::parse(&problem.path) {
                problem.place = path::deepest_place(root, &path).known();
            }
        }
    }

    /// Says that the problems are those of a varied design: what is removed in a variant is missed at a place of the base design.
    #[must_use]
    pub fn of_variant(mut self, name: &str) -> Self {
        for problem in &mut self.list {
            problem.message = format!("in variant {name:?}: {}", problem.message);
        }
        self
    }

    /// Sorts by place in the file; those without a place come last. Equal places keep their order.
    pub fn sort_by_place(&mut self) {
        self.list
            .sort_by_key(|problem| problem.place.map_or((u32::MAX, 0), |place| (place.line, place.column)));
    }

    /// The problems as a list.
    pub fn into_vec(self) -> Vec<Problem> {
        self.list
    }
}

impl From<Vec<Problem>> for Problems {
    fn from(list: Vec<Problem>) -> Self {
        Self { list }
    }
}

impl IntoIterator for Problems {
    type Item = Problem;
    type IntoIter = std::vec::IntoIter<Problem>;

    fn into_iter(self) -> Self::IntoIter {
        self.list.into_iter()
    }
}

impl<'a> IntoIterator for &'a Problems {
    type Item = &'a Problem;
    type IntoIter = std::slice::Iter<'a, Problem>;

    fn into_iter(self) -> Self::IntoIter {
        self.list.iter()
    }
}

impl Extend<Problem> for Problems {
    fn extend<I: IntoIterator<Item = Problem>>(&mut self, problems: I) {
        self.list.extend(problems);
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for problem in &self.list {
            writeln!(f, "{problem}")?;
        }
        Ok(())
    }
}

impl path::PathError {
    /// The same as a problem, at the place where the path was written.
    pub fn into_problem(self, path: &Path) -> Problem {
        Problem::error(path.to_string(), self.to_string(), self.remedy()).at(path.place)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_like_a_sentence() {
        let problem = Problem::error("loops.stator", "pump curve rises", "sort the points by flow")
            .at(Place::new(4, 9, 3));
        assert_eq!(
            problem.to_string(),
            "4:9: error: loops.stator: pump curve rises; sort the points by flow"
        );
    }

    #[test]
    fn a_missing_part_of_a_path_is_placed_at_its_owner() {
        let root = Node::record("", vec![("pack", Node::record("", vec![]).at(Place::new(7, 3, 1)))]);
        let mut problems = Problems::new();
        problems.push(Problem::error("pack.cell", "no cell", "add one"));
        problems.locate(&root);
        assert_eq!(problems.iter().next().unwrap().place, Some(Place::new(7, 3, 1)));
    }
}
