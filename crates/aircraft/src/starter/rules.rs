//! The table of rules by which a new aircraft is laid out: `rules.ron`.

use schema::{Node, Tree};
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// A row of the table.
#[derive(Debug, Clone)]
pub(super) struct Rule {
    name: String,
    /// The number; none where the rule only names where numbers come from.
    pub(super) value: Option<f64>,
    /// Unit of the number; empty for a ratio.
    pub(super) unit: String,
    /// What a project says of a number that follows from the rule; its holes are those of the fragment, and `value`.
    pub(super) source: String,
}

static RULES: LazyLock<BTreeMap<String, Rule>> =
    LazyLock::new(|| read().into_iter().map(|rule| (rule.name.clone(), rule)).collect());

fn read() -> Vec<Rule> {
    let rows = match project::parse(include_bytes!("rules.ron")) {
        (Some(Node { tree: Tree::List(rows), .. }), problems) if problems.is_empty() => rows,
        (_, problems) => unreachable!("{problems:?}: the table is part of the program, and a test reads it"),
    };
    rows.iter().map(row).collect()
}

fn row(row: &Node) -> Rule {
    let mut rule = Rule { name: String::new(), value: None, unit: String::new(), source: String::new() };
    let Tree::Record { fields, .. } = &row.tree else { unreachable!("{row:?}: a test reads every row") };
    for (key, node) in fields {
        match (key.name.as_str(), &node.tree) {
            ("name", Tree::Text(text)) => text.clone_into(&mut rule.name),
            ("value", Tree::Number { value, .. }) => rule.value = Some(*value),
            ("unit", Tree::Text(text)) => text.clone_into(&mut rule.unit),
            ("source", Tree::Text(text)) => text.clone_into(&mut rule.source),
            (name, _) => unreachable!("{name} in {row:?}: a test reads every row"),
        }
    }
    rule
}

/// The rule of that name.
pub(super) fn rule(name: &str) -> Option<&'static Rule> {
    #[cfg(test)]
    tests::ASKED.with_borrow_mut(|asked| asked.insert(name.to_owned()));
    RULES.get(name)
}

/// The number of a rule, in its unit.
pub(super) fn value(name: &str) -> f64 {
    rule(name)
        .and_then(|rule| rule.value)
        .unwrap_or_else(|| unreachable!("no rule {name:?} with a number: the tests try every answer"))
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use std::cell::RefCell;
    use std::collections::BTreeSet;

    thread_local! {
        /// Rules that a test has asked for.
        pub(in super::super) static ASKED: RefCell<BTreeSet<String>> = const { RefCell::new(BTreeSet::new()) };
    }

    /// Names of all rules.
    pub(in super::super) fn names() -> BTreeSet<String> {
        RULES.keys().cloned().collect()
    }

    #[test]
    fn every_rule_has_a_name_of_its_own_and_says_where_it_comes_from() {
        let all = read();
        assert_eq!(all.len(), RULES.len(), "two rules have the same name");
        for rule in all {
            assert!(!rule.name.is_empty(), "{rule:?}");
            assert!(!rule.source.trim().is_empty(), "{}", rule.name);
            assert!(rule.value.is_none_or(f64::is_finite), "{}", rule.name);
            assert!(rule.value.is_some() || rule.unit.is_empty(), "{}: a unit of nothing", rule.name);
        }
    }

    #[test]
    fn numbers_that_a_source_repeats_are_those_of_the_rules() {
        let source = |name: &str| rule(name).unwrap().source.clone();
        let motor = source("motor: heat capacity");
        for (name, told) in [
            ("motor: power over mass", "4 kW/kg"),
            ("motor: share of copper", "copper 20 %"),
            ("motor: share of stator iron", "stator iron 50 %"),
            ("motor: share of rotor", "rotor 30 %"),
        ] {
            let number = value(name) * if told.contains('%') { 100.0 } else { 1.0 };
            assert!(motor.contains(told) && told.contains(&format!("{number:.0} ")), "{name}");
        }
        assert!(source("inverter: heat capacity").contains(&format!(
            "{} kW/kg, {:.0} %",
            value("inverter: power over mass"),
            100.0 * value("inverter: share that warms")
        )));
        assert!(source("gearbox: heat capacity").contains(&format!(
            "{} kW/kg, {:.0} %",
            value("gearbox: power over mass"),
            100.0 * value("gearbox: share that warms")
        )));
        assert!(source("cells: heat capacity").starts_with(&format!(
            "{:.0} g and {} J/(kg K)",
            1e3 * value("cell: mass"),
            value("cell: specific heat")
        )));
        for medium in ["glycol", "oil"] {
            let name = format!("core: heat over face, {medium}");
            assert!(source(&name).starts_with(&format!("{:.1} kW", 1e-3 * value(&name))), "{name}");
        }
        assert!(source("case: cooled").ends_with(&source("case: bare")));
        assert!(
            source("case: bare")
                .contains(&format!("{:.0} W/(m2 K) on twice", value("case: film, stator") / 2.0))
        );
        assert!(
            source("case: bare").ends_with(&format!("pack {} W/(m2 K), smooth", value("case: film, pack")))
        );
        assert_eq!(
            source("plate: volume over flow"),
            format!("{:.1} s of flow, judgement", 60.0 * value("plate: volume over flow"))
        );
    }
}
