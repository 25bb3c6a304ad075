//! Everything that has a name, and what names it.

use super::part::named_cores;
use super::place::is_only_named;
use super::rename::is_prose;
use schema::{Node, Path, Tree};

/// Something with a name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Thing {
    /// Its address.
    pub path: String,
    /// Its name.
    pub name: String,
    /// What it is, as the file format has it: `component`, `hose`, `mission`.
    pub sort: String,
    /// Addresses of what names it: these would have to be changed before it can be taken away.
    pub named_by: Vec<String>,
    /// What goes with it when it is taken away.
    pub goes_with: Vec<String>,
}

/// Everything in a project that has a name of its own and can be renamed, in the order of the file.
pub fn things(root: &Node) -> Vec<Thing> {
    let mut found = Vec::new();
    collect(root, &mut Vec::new(), &mut found);
    let mut mentions = Vec::new();
    mentioned(root, "", &mut Vec::new(), &mut mentions);
    for thing in &mut found {
        thing.goes_with = goes_with(root, thing);
        let own = format!("{}.", thing.path);
        let is_other =
            |at: &String| !at.starts_with(&own) && !thing.goes_with.iter().any(|gone| at.starts_with(gone));
        let named = mentions.iter().filter(|(name, _)| *name == thing.name).map(|(_, at)| at);
        thing.named_by = named.filter(|at| is_other(at)).cloned().collect();
    }
    found
}

/// Walks the tree with the steps that lead there; branches on the way are left out of the steps, as in the addresses of devices.
fn collect(node: &Node, steps: &mut Vec<String>, found: &mut Vec<Thing>) {
    match &node.unwrapped().tree {
        Tree::List(items) => {
            for item in items {
                let Some(name) = item.own_name().filter(|_| !is_only_named(item)) else {
                    collect(item, steps, found);
                    continue;
                };
                let is_branch = matches!(item.tag(), Some("Branch"));
                let mut inside = steps.clone();
                inside.push(name.to_owned());
                if !is_branch {
                    found.push(Thing {
                        path: Path::from_steps(inside.clone()).to_string(),
                        name: name.to_owned(),
                        sort: sort_of(item, steps),
                        named_by: Vec::new(),
                        goes_with: Vec::new(),
                    });
                }
                collect(item, &mut inside, found);
            }
        }
        Tree::Record { fields, .. } => {
            for (key, value) in fields {
                steps.push(key.name.clone());
                collect(value, steps, found);
                steps.pop();
            }
        }
        _ => {}
    }
}

/// The word before the bracket, or the name of the list without its end.
fn sort_of(item: &Node, steps: &[String]) -> String {
    let list = steps.last().map_or("", String::as_str);
    let word = match item.tag() {
        Some(tag) => tag.to_owned(),
        None => list.trim_end_matches('s').to_owned(),
    };
    let mut spaced = String::new();
    for letter in word.chars() {
        if letter.is_uppercase() && !spaced.is_empty() {
            spaced.push(' ');
        }
        spaced.extend(letter.to_lowercase());
    }
    spaced
}

/// Every text that is a name or a path, with where it stands; names of the things themselves are left out.
fn mentioned(node: &Node, field: &str, steps: &mut Vec<String>, found: &mut Vec<(String, String)>) {
    if is_prose(field) {
        return;
    }
    match &node.tree {
        Tree::Text(text) if field != "name" => {
            let at = || steps.join(".");
            found.push((text.clone(), at()));
            if let Some(path) = Path::parse(text).ok().filter(|path| path.steps().len() > 1) {
                found.extend(path.steps().iter().map(|step| (step.clone(), at())));
            }
        }
        Tree::List(items) | Tree::Tuple { items, .. } => {
            for (n, item) in items.iter().enumerate() {
                let step = item.own_name().map_or_else(|| (n + 1).to_string(), str::to_owned);
                steps.push(step);
                mentioned(item, field, steps, found);
                steps.pop();
            }
        }
        Tree::Record { fields, .. } => {
            for (key, value) in fields {
                steps.push(key.name.clone());
                mentioned(value, &key.name, steps, found);
                steps.pop();
            }
        }
        Tree::Map(entries) => entries.iter().for_each(|(_, value)| mentioned(value, field, steps, found)),
        _ => {}
    }
}

/// What [`super::Revision::Remove`] takes away together with a thing.
fn goes_with(root: &Node, thing: &Thing) -> Vec<String> {
    let mut steps = thing.path.split('.');
    match (steps.next(), steps.next(), steps.next()) {
        (Some("ducts"), Some(_), None) => {
            let mut cores = Vec::new();
            if let Some(duct) =
                Path::parse(&thing.path).ok().and_then(|path| schema::path::get(root, &path).ok())
            {
                named_cores(duct, &mut cores);
            }
            cores.into_iter().map(|core| format!("cores.{core}")).collect()
        }
        (Some("components"), Some(name), None) => {
            let of = |list: &str, ends: &[&str]| -> Vec<String> {
                let items = root.field(list).map(super::place::listed).unwrap_or_default();
                let named = |item: &Node, end: &str| {
                    item.unwrapped().field(end).and_then(Node::as_text) == Some(name)
                };
                let mine =
                    items.iter().enumerate().filter(|(_, item)| ends.iter().any(|end| named(item, end)));
                mine.map(|(n, item)| {
                    let step = item.own_name().map_or_else(|| (n + 1).to_string(), str::to_owned);
                    format!("{list}.{step}")
                })
                .collect()
            };
            let mut all = of("links", &["from", "to"]);
            all.extend(of("heats", &["into"]));
            all
        }
        _ => Vec::new(),
    }
}
