//! The text of a new project, kept as fragments in files, with named holes.
//!
//! A fragment is the text of a part of a project, in which may stand
//! - `{hole}` in a text: what the hole is filled with; `{1e3 hole}` is so many times it. A text that is nothing but a hole becomes what
//!   fills it: a ratio, a count, a part, or several parts, which stand in a list one after another; a field filled with none goes;
//! - `Rule("name")`: the number of that rule, `Rule("name", value)`: a value that follows from it, either as a placeholder;
//! - `Answer(value, "how")`: a value that follows from an answer;
//! - `Part("fragment")`: another fragment with the same holes.

use super::nodes::{PLACEHOLDER, pedigree, quantity, ratio};
use super::rules;
use schema::{Node, Tree};
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// The files.
const FILES: [(&str, &str); 4] = [
    ("project", include_str!("fragments/project.ron")),
    ("drive", include_str!("fragments/drive.ron")),
    ("circuits", include_str!("fragments/circuits.ron")),
    ("duty", include_str!("fragments/duty.ron")),
];

/// Every fragment by its name.
static FRAGMENTS: LazyLock<BTreeMap<String, Node>> = LazyLock::new(|| read().into_iter().collect());

fn read() -> Vec<(String, Node)> {
    let fields = |(file, text): (&str, &str)| match project::parse(text.as_bytes()) {
        (Some(Node { tree: Tree::Record { fields, .. }, .. }), problems) if problems.is_empty() => fields,
        (_, problems) => {
            unreachable!("{file}: {problems:?}: the files are part of the program, and a test reads them")
        }
    };
    FILES.into_iter().flat_map(fields).map(|(key, node)| (key.name, node)).collect()
}

/// Why a fragment cannot be filled.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(super) enum FragmentError {
    #[error("no fragment is called {0:?}")]
    UnknownFragment(String),
    #[error("no rule is called {0:?}")]
    UnknownRule(String),
    #[error("the rule {0:?} has no number of its own")]
    NoNumber(String),
    #[error("nothing fills the hole {0:?}")]
    Unfilled(String),
    #[error("no hole is called {0:?}")]
    UnknownHole(&'static str),
    #[error("{0:?} is no hole: write {{name}} or {{number name}}")]
    NoHole(String),
    #[error("what fills the hole {0:?} cannot stand inside a text")]
    NotText(String),
    #[error("{0}(..) takes other values")]
    Values(&'static str),
}

/// What fills a hole.
#[derive(Debug, Clone)]
pub(super) enum Fill {
    Text(String),
    /// Written with three digits in a text, as a ratio alone.
    Number(f64),
    Count(usize),
    Part(Node),
    Parts(Vec<Node>),
}

impl From<&str> for Fill {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Fill {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<f64> for Fill {
    fn from(number: f64) -> Self {
        Self::Number(number)
    }
}

impl From<usize> for Fill {
    fn from(count: usize) -> Self {
        Self::Count(count)
    }
}

impl From<Node> for Fill {
    fn from(part: Node) -> Self {
        Self::Part(part)
    }
}

impl From<Option<Node>> for Fill {
    fn from(part: Option<Node>) -> Self {
        part.map_or_else(|| Self::Parts(Vec::new()), Self::Part)
    }
}

impl From<Vec<Node>> for Fill {
    fn from(parts: Vec<Node>) -> Self {
        Self::Parts(parts)
    }
}

/// A fragment with what fills its holes.
#[derive(Debug, Clone)]
pub(super) struct Fragment<'n> {
    name: &'n str,
    holes: Vec<(&'static str, Fill)>,
}

/// The fragment of that name.
pub(super) fn fragment(name: &str) -> Fragment<'_> {
    Fragment { name, holes: Vec::new() }
}

impl Fragment<'_> {
    /// Fills a hole.
    pub(super) fn with(mut self, hole: &'static str, fill: impl Into<Fill>) -> Self {
        self.holes.push((hole, fill.into()));
        self
    }

    /// The part of a project that this makes.
    pub(super) fn part(&self) -> Node {
        self.filled()
            .unwrap_or_else(|error| unreachable!("{:?}: {error}: the tests try every answer", self.name))
    }

    /// The parts that a fragment which is a list makes.
    pub(super) fn parts(&self) -> Vec<Node> {
        match self.part().tree {
            Tree::List(parts) => parts,
            tree => vec![tree.into()],
        }
    }

    /// The part, if every hole is filled and every filling has a hole.
    fn filled(&self) -> Result<Node, FragmentError> {
        let mut filling = Filling { holes: &self.holes, is_used: vec![false; self.holes.len()] };
        let part = filling.named(self.name)?;
        match self.holes.iter().zip(filling.is_used).find(|(_, is_used)| !is_used) {
            Some(((hole, _), _)) => Err(FragmentError::UnknownHole(hole)),
            None => Ok(part),
        }
    }
}

/// One part, of whatever fills a hole.
fn part_of(fill: Fill) -> Node {
    match fill {
        Fill::Text(text) => Node::text(text),
        Fill::Number(number) => ratio(number),
        Fill::Count(count) => Node::count(count),
        Fill::Part(part) => part,
        Fill::Parts(parts) => Node::list(parts),
    }
}

struct Filling<'f> {
    holes: &'f [(&'static str, Fill)],
    is_used: Vec<bool>,
}

impl Filling<'_> {
    fn named(&mut self, name: &str) -> Result<Node, FragmentError> {
        #[cfg(test)]
        tests::ASKED.with_borrow_mut(|asked| asked.insert(name.to_owned()));
        let node = FRAGMENTS.get(name).ok_or_else(|| FragmentError::UnknownFragment(name.to_owned()))?;
        self.part(node)
    }

    fn part(&mut self, node: &Node) -> Result<Node, FragmentError> {
        self.fill(node).map(part_of)
    }

    fn fill(&mut self, node: &Node) -> Result<Fill, FragmentError> {
        let tree = match &node.tree {
            Tree::Text(text) => return self.fill_of_text(text),
            Tree::Tuple { tag: Some(tag), items } if tag == "Rule" => {
                return self.rule(items).map(Fill::Part);
            }
            Tree::Tuple { tag: Some(tag), items } if tag == "Answer" => {
                return self.answer(items).map(Fill::Part);
            }
            Tree::Tuple { tag: Some(tag), items } if tag == "Part" => {
                let [Node { tree: Tree::Text(name), .. }] = items.as_slice() else {
                    return Err(FragmentError::Values("Part"));
                };
                let name = self.text(name, None)?;
                return self.named(&name).map(Fill::Part);
            }
            Tree::Tuple { tag, items } => Tree::Tuple { tag: tag.clone(), items: self.items(items)? },
            Tree::List(items) => Tree::List(self.items(items)?),
            Tree::Record { tag, fields } => {
                let mut filled = Vec::with_capacity(fields.len());
                for (key, value) in fields {
                    match self.fill(value)? {
                        Fill::Parts(parts) if parts.is_empty() => {}
                        fill => filled.push((key.name.as_str(), part_of(fill))),
                    }
                }
                return Ok(Fill::Part(Node::record(tag.as_deref().unwrap_or_default(), filled)));
            }
            tree @ (Tree::Number { .. } | Tree::Flag(_) | Tree::Word(_) | Tree::Map(_) | Tree::Broken) => {
                tree.clone()
            }
        };
        Ok(Fill::Part(tree.into()))
    }

    fn items(&mut self, items: &[Node]) -> Result<Vec<Node>, FragmentError> {
        let mut filled = Vec::with_capacity(items.len());
        for item in items {
            match self.fill(item)? {
                Fill::Parts(parts) => filled.extend(parts),
                fill => filled.push(part_of(fill)),
            }
        }
        Ok(filled)
    }

    /// `Rule("name")` or `Rule("name", value)`.
    fn rule(&mut self, items: &[Node]) -> Result<Node, FragmentError> {
        let [Node { tree: Tree::Text(name), .. }, value @ ..] = items else {
            return Err(FragmentError::Values("Rule"));
        };
        let name = self.text(name, None)?;
        let rule = rules::rule(&name).ok_or_else(|| FragmentError::UnknownRule(name.clone()))?;
        let value = match (value, rule.value) {
            ([], Some(number)) if rule.unit.is_empty() => ratio(number),
            ([], Some(number)) => Node::text(format!("{} {}", quantity(number), rule.unit)),
            ([], None) => return Err(FragmentError::NoNumber(name)),
            ([value], _) => self.part(value)?,
            _ => return Err(FragmentError::Values("Rule")),
        };
        let source = self.text(&rule.source, rule.value)?;
        Ok(pedigree(value, &format!("{PLACEHOLDER}; {source}")))
    }

    /// `Answer(value, "how it follows")`.
    fn answer(&mut self, items: &[Node]) -> Result<Node, FragmentError> {
        let [value, Node { tree: Tree::Text(how), .. }] = items else {
            return Err(FragmentError::Values("Answer"));
        };
        let (value, how) = (self.part(value)?, self.text(how, None)?);
        Ok(pedigree(value, &format!("from the answers at the beginning; {how}")))
    }

    /// A text of a fragment; one that is nothing but a hole is what fills it.
    fn fill_of_text(&mut self, text: &str) -> Result<Fill, FragmentError> {
        match text.strip_prefix('{').and_then(|rest| rest.strip_suffix('}')) {
            Some(hole) if !hole.contains(['{', '}', ' ']) && hole != "placeholder" => {
                self.hole(hole).cloned()
            }
            _ => self.text(text, None).map(Fill::Text),
        }
    }

    /// A text with its holes filled; `own` is the number of the rule that the text is the source of.
    fn text(&mut self, text: &str, own: Option<f64>) -> Result<String, FragmentError> {
        let mut filled = String::with_capacity(text.len());
        let mut rest = text;
        while let Some((before, behind)) = rest.split_once('{') {
            let (hole, after) =
                behind.split_once('}').ok_or_else(|| FragmentError::NoHole(behind.to_owned()))?;
            filled.push_str(before);
            filled.push_str(&self.words(hole, own)?);
            rest = after;
        }
        filled.push_str(rest);
        Ok(filled)
    }

    /// What stands for `name` or `number name`.
    fn words(&mut self, hole: &str, own: Option<f64>) -> Result<String, FragmentError> {
        let (times, name) = match hole.split_once(' ') {
            Some((times, name)) => {
                let times = times.parse::<f64>().ok();
                (Some(times.ok_or_else(|| FragmentError::NoHole(hole.to_owned()))?), name)
            }
            None => (None, hole),
        };
        let number = |number: f64| quantity(times.unwrap_or(1.0) * number);
        if name == "value"
            && let Some(own) = own
        {
            return Ok(number(own));
        }
        if hole == "placeholder" {
            return Ok(PLACEHOLDER.to_owned());
        }
        match self.hole(name)? {
            Fill::Number(value) => Ok(number(*value)),
            Fill::Text(text) if times.is_none() => Ok(text.clone()),
            Fill::Count(count) if times.is_none() => Ok(count.to_string()),
            _ => Err(FragmentError::NotText(name.to_owned())),
        }
    }

    fn hole(&mut self, name: &str) -> Result<&Fill, FragmentError> {
        let index = self.holes.iter().position(|(hole, _)| *hole == name);
        let index = index.ok_or_else(|| FragmentError::Unfilled(name.to_owned()))?;
        self.is_used[index] = true;
        Ok(&self.holes[index].1)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Answers, Cooling, CraftKind, PackSize, Part, begin, circuits};
    use super::*;
    use std::cell::RefCell;
    use std::collections::BTreeSet;

    thread_local! {
        /// Fragments that a test has asked for.
        pub(super) static ASKED: RefCell<BTreeSet<String>> = const { RefCell::new(BTreeSet::new()) };
    }

    fn refusal(fragment: &Fragment<'_>) -> String {
        fragment.filled().unwrap_err().to_string()
    }

    #[test]
    fn a_hole_that_is_not_filled_or_not_known_is_an_error() {
        let hose = || fragment("hose").with("name", "feed");
        assert!(hose().with("bore_m", 0.0123).filled().is_ok());
        assert_eq!(refusal(&hose()), "nothing fills the hole \"bore_m\"");
        assert_eq!(refusal(&hose().with("bore_m", 0.01).with("bend", 3.0)), "no hole is called \"bend\"");
        assert_eq!(
            refusal(&hose().with("bore_m", "wide")),
            "what fills the hole \"bore_m\" cannot stand inside a text"
        );
        assert_eq!(refusal(&fragment("house")), "no fragment is called \"house\"");
        assert_eq!(
            refusal(&fragment("film_of_plate").with("medium", "tar").with("part", "pack")),
            "no rule is called \"wall above tar: pack\""
        );
    }

    #[test]
    fn holes_take_numbers_texts_and_parts() {
        let hose = fragment("hose").with("name", "{name}").with("bore_m", 0.012345).part();
        assert_eq!(hose.own_name(), Some("{name}"), "what fills a hole has no holes");
        let bore = hose.field("diameter").unwrap();
        assert_eq!(bore.field("value").unwrap().as_text(), Some("12.3 mm"));
        let source = "placeholder: replace; 1.5 m/s: 1 to 2 is common practice, no source";
        assert_eq!(bore.field("source").unwrap().as_text(), Some(source));
        assert_eq!(hose.field("losses").unwrap().field("value"), Some(&Node::number(1.5)));

        let turnaround = |own: Vec<Node>, more: Option<Node>| {
            let made = fragment("turnaround").with("own", own).with("with_machines", more).part();
            let Some(Node { tree: Tree::List(options), .. }) = made.field("options") else { unreachable!() };
            (made.field("own").is_some(), options.len())
        };
        assert_eq!(turnaround(vec![], None), (false, 2), "a field filled with nothing goes");
        assert_eq!(turnaround(vec![Node::text("x")], Some(Node::text("y"))), (true, 3));
    }

    /// Every part cooled in every way, for both kinds of craft, geared and not, of three sizes, and whatever is added to a project.
    #[test]
    fn every_fragment_and_every_rule_is_used_and_every_hole_is_filled() {
        assert_eq!(read().len(), FRAGMENTS.len(), "two fragments have the same name");
        let usual = Answers::default();
        for kind in CraftKind::ALL {
            for way in Cooling::ALL {
                for is_geared in [true, false] {
                    for (motors, motor_power_w) in [(1, 10e3), (2, 80e3), (3, 300e3)] {
                        let pack = PackSize::Energy(motor_power_w * motors as f64 * 7000.0);
                        let mut answers =
                            Answers { kind, motors, is_geared, motor_power_w, pack, ..usual.clone() };
                        for part in Part::ALL {
                            answers.set_cooling(part, way);
                        }
                        assert!(begin(&answers).is_ok(), "{answers:?}");
                    }
                }
            }
        }
        for kind in CraftKind::ALL {
            let (mass_kg, motor_rad_s, output_rad_s) = (Some(400.0), Some(500.0), Some(50.0));
            let answered = Answers { kind, mass_kg, motor_rad_s, output_rad_s, ..usual.clone() };
            assert!(begin(&answered).is_ok(), "{answered:?}");
        }
        let _added = (circuits::new_loop("left", "box"), circuits::new_surface("fins", "box"));
        let asked = ASKED.with_borrow(BTreeSet::clone);
        let there: BTreeSet<String> = FRAGMENTS.keys().cloned().collect();
        assert_eq!(there.difference(&asked).collect::<Vec<_>>(), [""; 0], "nobody uses these fragments");
        let asked = rules::tests::ASKED.with_borrow(BTreeSet::clone);
        assert_eq!(
            rules::tests::names().difference(&asked).collect::<Vec<_>>(),
            [""; 0],
            "nobody uses these rules"
        );
    }
}
