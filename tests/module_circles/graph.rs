//! Who uses whom among the modules of a crate, and where that closes a circle.

use super::source::{Crate, Import, Module};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

/// Uses between modules, with one name that shows each.
#[derive(Clone, Debug, Default)]
pub(super) struct Graph {
    /// Word before the circles of this graph.
    kind: &'static str,
    /// By user and used: who exactly names what of whom.
    edges: BTreeMap<(String, String), String>,
}

/// Modules each of which needs all others.
#[derive(Clone, Debug)]
pub(super) struct Circle {
    kind: &'static str,
    pub(super) modules: Vec<String>,
    uses: Vec<String>,
}

impl fmt::Display for Circle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{} ({})", self.kind, self.modules.join(", "), self.uses.join("; "))
    }
}

/// Where a path leads.
enum Found {
    Module(Vec<String>),
    Item(Vec<String>, String),
    /// Another crate, a local name, a type parameter.
    Outside,
}

impl Crate {
    /// The use that a module makes of others: path of the module that declares the item, and its name.
    fn uses(&self, path: &[String]) -> BTreeSet<(Vec<String>, String)> {
        let module = &self.modules[path];
        let named: BTreeSet<&String> = module.paths.iter().map(|path| &path[0]).collect();
        let mut used = BTreeSet::new();
        for import in &module.imports {
            if import.name == "*" {
                continue;
            }
            if !import.is_export || named.contains(&import.name) {
                self.note(path, &import.path, &mut used);
            }
        }
        // names that came with a `*` are found here as well
        for named in &module.paths {
            self.note(path, named, &mut used);
        }
        used
    }

    fn note(&self, from: &[String], path: &[String], used: &mut BTreeSet<(Vec<String>, String)>) {
        if let Found::Item(module, name) = self.find(from, path, true, &mut BTreeSet::new())
            && module != from
        {
            used.insert((module, name));
        }
    }

    /// Follows a path written in the module `from`.
    fn find(
        &self,
        from: &[String],
        path: &[String],
        is_start: bool,
        seen: &mut BTreeSet<(Vec<String>, String)>,
    ) -> Found {
        let Some((name, rest)) = path.split_first() else { return Found::Module(from.to_vec()) };
        let module = &self.modules[from];
        match name.as_str() {
            "crate" => return self.find(&[], rest, false, seen),
            "self" => return self.find(from, rest, false, seen),
            "super" => return self.find(&from[..from.len().saturating_sub(1)], rest, false, seen),
            _ => {}
        }
        let brought = self.find_brought(from, module, path, seen);
        if module.children.contains(name) && !(rest.is_empty() && matches!(brought, Some(Found::Item(..)))) {
            let mut child = from.to_vec();
            child.push(name.clone());
            return self.find(&child, rest, false, seen);
        }
        match brought {
            Some(found) => found,
            None if is_start && !module.items.contains(name) => Found::Outside,
            None => Found::Item(from.to_vec(), name.clone()),
        }
    }

    /// Follows a path whose first name a `use` brought in.
    fn find_brought(
        &self,
        from: &[String],
        module: &Module,
        path: &[String],
        seen: &mut BTreeSet<(Vec<String>, String)>,
    ) -> Option<Found> {
        let (name, rest) = path.split_first()?;
        if module.items.contains(name) || !seen.insert((from.to_vec(), name.clone())) {
            return None;
        }
        let by_name = module.imports.iter().filter(|import| import.name == *name);
        let mut best = None;
        for import in by_name {
            match self.find(from, &import.path, true, seen) {
                Found::Module(inside) => best = best.or(Some(self.find(&inside, rest, false, seen))),
                Found::Item(..) if matches!(best, Some(Found::Item(..))) => {}
                found => best = Some(found),
            }
        }
        seen.remove(&(from.to_vec(), name.clone()));
        best.or_else(|| self.find_in_all(from, module, path, seen))
    }

    /// Looks for the first name in the modules of which everything was brought in.
    fn find_in_all(
        &self,
        from: &[String],
        module: &Module,
        path: &[String],
        seen: &mut BTreeSet<(Vec<String>, String)>,
    ) -> Option<Found> {
        let all = module.imports.iter().filter(|import| import.name == "*");
        for Import { path: of, .. } in all {
            if !seen.insert((from.to_vec(), format!("* of {}", of.join("::")))) {
                continue;
            }
            let Found::Module(inside) = self.find(from, of, true, seen) else { continue };
            let target = &self.modules[&inside];
            let has = target.items.contains(&path[0])
                || target.children.contains(&path[0])
                || self.find_brought(&inside, target, path, seen).is_some();
            seen.remove(&(from.to_vec(), format!("* of {}", of.join("::"))));
            if has {
                return Some(self.find(&inside, path, false, seen));
            }
        }
        None
    }
}

fn shown(path: &[String]) -> String {
    if path.is_empty() { "the root".to_owned() } else { path.join("::") }
}

impl Graph {
    /// One node a file.
    pub(super) fn of_files(read: &Crate) -> Self {
        let mut graph = Self::default();
        for path in read.modules.keys() {
            for (used, name) in read.uses(path) {
                graph.add(shown(path), shown(&used), &name);
            }
        }
        graph
    }

    /// One node a folder or a file without one, beside those of the same parent; circles of files alone are left out.
    pub(super) fn of_folders(read: &Crate) -> Self {
        let mut graph = Self { kind: "folders ", ..Self::default() };
        for path in read.modules.keys() {
            for (used, name) in read.uses(path) {
                let common = path.iter().zip(&used).take_while(|(a, b)| a == b).count();
                if common < path.len() && common < used.len() {
                    let ends = (shown(&path[..=common]), shown(&used[..=common]));
                    let text = format!("{} uses {name} of {}", shown(path), shown(&used));
                    graph.edges.entry(ends).or_insert(text);
                }
            }
        }
        let has_folder = |name: &String| {
            read.modules.iter().any(|(path, module)| shown(path) == *name && !module.children.is_empty())
        };
        let plain: BTreeSet<String> = circles(&graph)
            .into_iter()
            .filter(|circle| !circle.modules.iter().any(has_folder))
            .flat_map(|circle| circle.modules)
            .collect();
        graph.edges.retain(|(user, used), _| !(plain.contains(user) && plain.contains(used)));
        graph
    }

    fn add(&mut self, user: String, used: String, name: &str) {
        let text = format!("{user} uses {name} of {used}");
        self.edges.entry((user, used)).or_insert(text);
    }
}

/// What can be reached from a module along uses.
fn reached<'g>(uses: &BTreeMap<&'g str, Vec<&'g str>>, start: &str) -> BTreeSet<&'g str> {
    let mut reached = BTreeSet::new();
    let mut open = vec![start];
    while let Some(at) = open.pop() {
        for &used in uses.get(at).into_iter().flatten() {
            if reached.insert(used) {
                open.push(used);
            }
        }
    }
    reached
}

/// The circles of a graph: sets of modules each of which leads to all others.
pub(super) fn circles(graph: &Graph) -> Vec<Circle> {
    let mut uses: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (user, used) in graph.edges.keys() {
        uses.entry(user).or_default().push(used);
    }
    let reach: BTreeMap<&str, BTreeSet<&str>> =
        uses.keys().map(|&node| (node, reached(&uses, node))).collect();
    let mut done = BTreeSet::new();
    let mut found = Vec::new();
    for &node in uses.keys().filter(|&&node| reach[node].contains(node)) {
        if done.contains(node) {
            continue;
        }
        let round = reach[node].iter().copied();
        let modules: Vec<&str> =
            round.filter(|other| reach.get(other).is_some_and(|back| back.contains(node))).collect();
        done.extend(modules.iter().copied());
        let inside = |name: &String| modules.contains(&name.as_str());
        let uses = graph.edges.iter().filter(|((user, used), _)| inside(user) && inside(used));
        let uses = uses.map(|(_, text)| text.clone()).collect();
        found.push(Circle {
            kind: graph.kind,
            modules: modules.into_iter().map(str::to_owned).collect(),
            uses,
        });
    }
    found
}
