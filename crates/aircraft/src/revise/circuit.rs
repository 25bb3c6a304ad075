//! Whole loops: one is added with all that it needs to run, or taken away with its cores and the ducts that cooled nothing else.

use super::place::{self, count_named};
use super::refusal::Refusal;
use crate::starter;
use schema::{Name, Node, Path, Tree};

/// Adds a glycol loop with a cold plate under a component, a core and its duct.
pub(super) fn add_loop(root: &mut Node, name: &str, component: &str) -> Result<(), Refusal> {
    let name = Name::new(name.trim()).map_err(Refusal::BadName)?;
    schema::path::get(root, &Path::parse(&format!("components.{component}"))?)?;
    let made = starter::new_loop(name.as_str(), component);
    let parts = [("loops", made.0), ("cores", made.1), ("ducts", made.2)];
    for (_, part) in &parts {
        let mut part = part.clone();
        place::each_named(&mut part, &mut |item| match item.own_name() {
            Some(name) if count_named(root, name) > 0 => Err(Refusal::NameTaken(name.to_owned())),
            _ => Ok(()),
        })?;
    }
    for (list, part) in parts {
        if root.field(list).is_none() {
            place::set_field(root, list, Node::list(vec![]));
        }
        place::items(root, &Path::parse(list)?)?.push(part);
    }
    Ok(())
}

/// Takes a loop away with its cores, and the ducts in which nothing is left to be cooled.
pub(super) fn remove_loop(root: &mut Node, name: &str) -> Result<(), Refusal> {
    let loops = place::items(root, &Path::parse("loops")?)?;
    let at = loops.iter().position(|item| item.own_name() == Some(name));
    let at = at.ok_or_else(|| Refusal::NoItem(format!("loops.{name}")))?;
    let mut cores = Vec::new();
    cores_in(&loops.remove(at), &mut cores);
    let is_gone = |node: &Node| node.own_name().is_some_and(|name| cores.iter().any(|core| core == name));
    if let Some(Tree::List(items)) = root.field_mut("cores").map(|node| &mut node.tree) {
        items.retain(|item| !is_gone(item));
    }
    if let Some(Tree::List(ducts)) = root.field_mut("ducts").map(|node| &mut node.tree) {
        ducts.retain_mut(|duct| {
            let Some(path) = duct.field_mut("path") else { return true };
            let before = path.clone();
            drop_cores(path, &is_gone);
            *path == before || cools(path)
        });
    }
    Ok(())
}

fn cores_in(node: &Node, found: &mut Vec<String>) {
    match &node.tree {
        Tree::List(items) => items.iter().for_each(|item| cores_in(item, found)),
        Tree::Record { .. } if node.tag() == Some("Core") => {
            found.extend(node.own_name().map(str::to_owned));
        }
        Tree::Record { fields, .. } => {
            for (_, value) in fields {
                cores_in(value, found);
            }
        }
        _ => {}
    }
}

/// Takes the cores that are gone out of a path, and branches and sections that are left empty.
pub(super) fn drop_cores(path: &mut Node, is_gone: &impl Fn(&Node) -> bool) {
    let Tree::List(items) = &mut path.tree else { return };
    items.retain_mut(|item| {
        if item.tag() == Some("Core") {
            return !is_gone(item);
        }
        let Some(branches) = item.field_mut("branches") else { return true };
        if let Tree::List(ways) = &mut branches.tree {
            ways.retain_mut(|way| match way.field_mut("path") {
                Some(path) => {
                    drop_cores(path, is_gone);
                    !place::listed(path).is_empty()
                }
                None => true,
            });
        }
        !place::listed(branches).is_empty()
    });
}

/// Whether something in a path takes heat up.
fn cools(path: &Node) -> bool {
    place::listed(path).iter().any(|item| match item.field("branches") {
        Some(branches) => place::listed(branches).iter().filter_map(|way| way.field("path")).any(cools),
        None => matches!(item.tag(), Some("Core" | "Surface")),
    })
}
