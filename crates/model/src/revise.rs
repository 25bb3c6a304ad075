//! Changes of what a project consists of: named things are renamed with everything that names them, copied, moved and
//! taken away, and devices are added, branched and joined.
//!
//! All work on a copy of the tree. Whether what results is a project, decoding and validation tell.

mod circuit;
mod place;
mod rename;

use crate::schema::path::{get, get_mut};
use crate::schema::{Node, Path, PathError};

use place::{Spot, spot};

/// One change of what a project consists of. Paths lead to an item of a list: `loops.stator.path.stator feed`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Revision {
    /// Gives a thing another name; all that names it follows.
    Rename {
        /// The thing.
        path: String,
        /// Its new name.
        to: String,
    },
    /// Puts a copy with a name of its own behind a thing. A copied hose does not climb.
    Duplicate(String),
    /// Moves a thing within its list, down the flow with +1 and up with -1.
    Move(String, isize),
    /// Takes a thing away.
    Remove(String),
    /// Puts a new device behind another one.
    Add {
        /// The device in front of it.
        after: String,
        /// What is added.
        device: NewDevice,
    },
    /// Puts a device and a copy of it side by side, so that they share a pressure drop.
    Branch(String),
    /// Ends the parallel section that a device stands in: its devices follow one another, branch by branch.
    Join(String),
    /// Adds a glycol loop that cools a component: pump, hoses, cold plate, core with a duct and a fan, bottle. All placeholders.
    AddLoop {
        /// Its name.
        name: String,
        /// Name of the component.
        component: String,
    },
    /// Takes the loop of this name away with its cores, and the ducts in which nothing is left to be cooled. What still names a part of
    /// it stands in the way: validation lists it.
    RemoveLoop(String),
}

impl Revision {
    /// What it does, for the list of edits.
    pub fn title(&self) -> String {
        let last = |path: &str| path.rsplit('.').next().unwrap_or_default().to_owned();
        match self {
            Self::Rename { path, to } => format!("rename {} to {to}", last(path)),
            Self::Duplicate(path) => format!("duplicate {}", last(path)),
            Self::Move(path, ..=-1) => format!("move {} up the flow", last(path)),
            Self::Move(path, _) => format!("move {} down the flow", last(path)),
            Self::Remove(path) => format!("remove {}", last(path)),
            Self::Add { after, device } => format!("add a {} after {}", device.word(), last(after)),
            Self::Branch(path) => format!("branch {}", last(path)),
            Self::Join(path) => format!("join the branches at {}", last(path)),
            Self::AddLoop { name, .. } => format!("add the loop {name}"),
            Self::RemoveLoop(name) => format!("remove the loop {name}"),
        }
    }
}

/// A device that can be added with placeholders, which stand as assumed until they are replaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NewDevice {
    /// Half a metre of hose (or duct) of 20 mm.
    Hose,
    /// A fitting of one velocity head at 20 mm.
    Restrictor,
    /// A filter of 5 kPa at 10 L/min.
    Filter,
    /// A check valve of 20 mm.
    CheckValve,
}

impl NewDevice {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Hose, Self::Restrictor, Self::Filter, Self::CheckValve];

    /// Its name in the trade.
    pub fn word(self) -> &'static str {
        match self {
            Self::Hose => "hose",
            Self::Restrictor => "restrictor",
            Self::Filter => "filter",
            Self::CheckValve => "check valve",
        }
    }

    /// The device with placeholders. They are common sizes, no source.
    fn node(self, name: &str) -> Node {
        let text = Node::text;
        let loss = || {
            Node::tuple(
                "Loss",
                vec![Node::record("", vec![("coefficient", Node::number(1.0)), ("diameter", text("20 mm"))])],
            )
        };
        let point = || {
            Node::tuple(
                "Point",
                vec![Node::record("", vec![("drop", text("5 kPa")), ("at", text("10 L/min"))])],
            )
        };
        let (tag, rest) = match self {
            Self::Hose => ("Hose", vec![("length", text("0.5 m")), ("diameter", text("20 mm"))]),
            Self::Restrictor => ("Restrictor", vec![("flow", flat(loss()))]),
            Self::Filter => ("Filter", vec![("flow", flat(point()))]),
            Self::CheckValve => ("CheckValve", vec![("diameter", text("20 mm"))]),
        };
        let mut fields = vec![("name", text(name))];
        fields.extend(rest);
        Node::record(tag, fields)
    }
}

/// `Tag((a: b))` as `Tag(a: b)`.
fn flat(node: Node) -> Node {
    use crate::schema::Tree;
    match node.tree {
        Tree::Tuple { tag, mut items } if items.len() == 1 => match items.remove(0).tree {
            Tree::Record { fields, .. } => Tree::Record { tag, fields }.into(),
            other => Tree::Tuple { tag, items: vec![other.into()] }.into(),
        },
        other => other.into(),
    }
}

/// Why a revision was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// A path leads nowhere.
    #[error("{0}")]
    Path(#[from] PathError),
    /// The path does not lead to a named item of a list.
    #[error("{0} is no named item of a list")]
    NoItem(String),
    /// A text cannot be a name.
    #[error("{0}")]
    BadName(String),
    /// The name is in use.
    #[error("something is called {0:?} already; choose another name")]
    NameTaken(String),
    /// Two things have the name, so that what names one of them cannot be told from what names the other.
    #[error("{0:?} is the name of {1} things; rename it in the file, where each can be told apart")]
    NameShared(String, usize),
    /// There is no place to move to.
    #[error("{0} is {1} in its list already")]
    AtEnd(String, &'static str),
    /// A core or exchanger is described once and stands in two circuits.
    #[error(
        "{0} is described once and stands in two circuits; copy its entry in the list of cores or exchangers instead"
    )]
    StandsTwice(String),
    /// The device stands in no parallel section.
    #[error("{0} stands in no parallel section")]
    NotParallel(String),
}

/// A copy of a project's tree with the revision made.
///
/// # Errors
/// [`Refusal`] says why it cannot be made. What becomes of names that lead nowhere after a removal, validation tells.
pub fn revise(root: &Node, revision: &Revision) -> Result<Node, Refusal> {
    let mut copy = root.clone();
    match revision {
        Revision::Rename { path, to } => rename::rename(&mut copy, path, to)?,
        Revision::Duplicate(path) => duplicate(&mut copy, path)?,
        Revision::Move(path, by) => shift(&mut copy, path, *by)?,
        Revision::Remove(path) => {
            let Spot { list, index, .. } = spot(root, path)?;
            place::items(&mut copy, &list)?.remove(index);
        }
        Revision::Add { after, device } => {
            let Spot { list, index, .. } = spot(root, after)?;
            let name = free_name(root, device.word());
            place::items(&mut copy, &list)?.insert(index + 1, device.node(&name));
        }
        Revision::Branch(path) => branch(&mut copy, path)?,
        Revision::Join(path) => join(&mut copy, path)?,
        Revision::AddLoop { name, component } => circuit::add_loop(&mut copy, name, component)?,
        Revision::RemoveLoop(name) => circuit::remove_loop(&mut copy, name)?,
    }
    Ok(copy)
}

fn duplicate(root: &mut Node, path: &str) -> Result<(), Refusal> {
    let Spot { list, index, .. } = spot(root, path)?;
    let twin = twin(root, path)?;
    place::items(root, &list)?.insert(index + 1, twin);
    Ok(())
}

/// A copy of a thing in which everything has a name of its own.
fn twin(root: &Node, path: &str) -> Result<Node, Refusal> {
    let original = get(root, &Path::parse(path)?)?;
    let mut taken = root.clone();
    let mut copy = original.clone();
    place::each_named(&mut copy, &mut |item| {
        let Some(name) = item.own_name().map(str::to_owned) else { return Ok(()) };
        if matches!(item.tag(), Some("Core" | "Exchanger")) && path.contains(".path.") {
            return Err(Refusal::StandsTwice(name));
        }
        let new = free_name(&taken, &name);
        place::set_field(
            &mut taken,
            &format!("taken {new}"),
            Node::record("", vec![("name", Node::text(&*new))]),
        );
        place::set_field(item.unwrapped_mut(), "name", Node::text(new));
        if item.tag() == Some("Hose") {
            place::drop_field(item, "climb");
        }
        Ok(())
    })?;
    Ok(copy)
}

/// A name like this one that nothing has.
fn free_name(root: &Node, name: &str) -> String {
    let is_free = |name: &str| place::count_named(root, name) == 0;
    if is_free(name) {
        return name.to_owned();
    }
    // `hose 2` is followed by `hose 3`
    let stem = name.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end();
    let stem = if stem.is_empty() { name } else { stem };
    // A project has fewer things than this.
    (2..100_000_usize).map(|n| format!("{stem} {n}")).find(|name| is_free(name)).unwrap_or_default()
}

fn shift(root: &mut Node, path: &str, by: isize) -> Result<(), Refusal> {
    let Spot { list, index, name } = spot(root, path)?;
    let items = place::items(root, &list)?;
    let end = if by < 0 { "the first" } else { "the last" };
    let target = index.checked_add_signed(by).filter(|n| *n < items.len());
    let target = target.ok_or(Refusal::AtEnd(name, end))?;
    let item = items.remove(index);
    items.insert(target, item);
    Ok(())
}

fn branch(root: &mut Node, path: &str) -> Result<(), Refusal> {
    let Spot { list, index, name } = spot(root, path)?;
    let second = twin(root, path)?;
    let section = free_name(root, &format!("{name} section"));
    let way = |way: &str, device: Node| {
        Node::record("Branch", vec![("name", Node::text(way)), ("path", Node::list(vec![device]))])
    };
    let items = place::items(root, &list)?;
    let first = items.remove(index);
    let branches = Node::list(vec![way("A", first), way("B", second)]);
    items
        .insert(index, Node::record("Parallel", vec![("name", Node::text(section)), ("branches", branches)]));
    Ok(())
}

fn join(root: &mut Node, path: &str) -> Result<(), Refusal> {
    let name = spot(root, path)?.name;
    let section = place::section_of(root, path)?.ok_or(Refusal::NotParallel(name))?;
    let Spot { list, index, .. } = spot(root, &section.to_string())?;
    let devices: Vec<Node> = {
        let branches = get_mut(root, &section.join("branches"))?;
        place::listed(branches)
            .iter()
            .flat_map(|way| way.field("path").map(place::listed_of).unwrap_or_default())
            .collect()
    };
    let items = place::items(root, &list)?;
    items.splice(index..=index, devices);
    Ok(())
}

#[cfg(test)]
mod tests;
