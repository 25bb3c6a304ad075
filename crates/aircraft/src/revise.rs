//! Changes of what a project consists of: named things are renamed with everything that names them, copied, moved and
//! taken away, and devices are added, branched and joined.
//!
//! All work on a copy of the tree. Whether what results is a project, decoding and validation tell.

mod circuit;
mod free_name;
mod new;
mod part;
mod place;
mod refusal;
mod rename;
mod things;

use free_name::free_name;
use place::{Spot, spot};
use schema::path::{get, get_mut};
use schema::{Node, Path};

pub use new::NewDevice;
pub use refusal::Refusal;
pub use things::{Thing, things};

/// One change of what a project consists of. Paths lead to an item of a list: `loops.stator.path.stator feed`.
#[derive(Debug, Clone, PartialEq)]
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
    /// Takes a thing away: a core from its loop, its duct and the list of cores, a component with its links and heats, a duct with its
    /// cores, anything else alone. What still names it stands in the way: validation lists it, and [`things`] tells beforehand.
    Remove(String),
    /// Puts a new device behind another one.
    Add {
        /// The device in front of it.
        after: String,
        /// What is added.
        device: NewDevice,
    },
    /// Puts a device from elsewhere, or from another project, behind another one; everything in it gets a name of its own.
    Insert {
        /// The device in front of it.
        after: String,
        /// What is put there.
        device: Node,
    },
    /// Puts a cold plate (in a loop) or a surface (in a duct) under a component behind another device.
    AddPlate {
        /// The device in front of it.
        after: String,
        /// Name of the component.
        component: String,
    },
    /// Puts a new core behind a device of a loop, and into a duct: a new one with a fan, or one that is there.
    AddCore {
        /// The device in front of it.
        after: String,
        /// Name of the duct; nothing for a new one.
        duct: Option<String>,
    },
    /// Lets a thermostat lead the flow past a device while it is cold.
    Bypass(String),
    /// Adds a duct with inlet and outlet.
    AddDuct(String),
    /// Adds a component with a link to the outside air.
    AddComponent(String),
    /// Adds a stage between the gearbox and the rotor or propeller, behind those that are there.
    AddStage(String),
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
    /// Puts other values in the place of what stands at some paths: a law at another level, a whole table.
    Replace {
        /// What it does, for the list of edits.
        title: String,
        /// Path and new value, in the order in which they are set; a field that is not stated yet is stated.
        changes: Vec<(String, Node)>,
    },
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
            Self::Insert { after, device } => {
                format!("put {} behind {}", device.own_name().unwrap_or("a device"), last(after))
            }
            Self::AddPlate { after, component } => {
                format!("add a plate for {component} after {}", last(after))
            }
            Self::AddCore { after, .. } => format!("add a core after {}", last(after)),
            Self::Bypass(path) => format!("add a thermostat with a bypass around {}", last(path)),
            Self::AddDuct(name) => format!("add the duct {name}"),
            Self::AddComponent(name) => format!("add the component {name}"),
            Self::AddStage(name) => format!("add the stage {name}"),
            Self::Branch(path) => format!("branch {}", last(path)),
            Self::Join(path) => format!("join the branches at {}", last(path)),
            Self::AddLoop { name, .. } => format!("add the loop {name}"),
            Self::RemoveLoop(name) => format!("remove the loop {name}"),
            Self::Replace { title, .. } => title.clone(),
        }
    }
}

impl Revision {
    /// Addresses of what it changes or stands beside.
    pub fn paths(&self) -> Vec<String> {
        match self {
            Self::Rename { path, .. }
            | Self::Duplicate(path)
            | Self::Move(path, _)
            | Self::Remove(path)
            | Self::Bypass(path)
            | Self::Branch(path)
            | Self::Join(path) => vec![path.clone()],
            Self::Add { after, .. }
            | Self::Insert { after, .. }
            | Self::AddPlate { after, .. }
            | Self::AddCore { after, .. } => vec![after.clone()],
            Self::AddDuct(_) | Self::AddComponent(_) | Self::AddStage(_) | Self::AddLoop { .. } => Vec::new(),
            Self::RemoveLoop(name) => vec![format!("loops.{name}")],
            Self::Replace { changes, .. } => changes.iter().map(|(path, _)| path.clone()).collect(),
        }
    }
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
        Revision::Remove(path) => part::remove(&mut copy, path)?,
        Revision::Add { after, device } => {
            let Spot { list, index, .. } = spot(root, after)?;
            let name = free_name(root, device.word());
            place::items(&mut copy, &list)?.insert(index + 1, device.node(&name));
        }
        Revision::Insert { after, device } => insert(&mut copy, after, device)?,
        Revision::AddPlate { after, component } => part::add_plate(&mut copy, after, component)?,
        Revision::AddCore { after, duct } => part::add_core(&mut copy, after, duct.as_deref())?,
        Revision::Bypass(path) => part::bypass(&mut copy, path)?,
        Revision::AddDuct(name) => part::add_duct(&mut copy, name)?,
        Revision::AddComponent(name) => part::add_component(&mut copy, name)?,
        Revision::AddStage(name) => part::add_stage(&mut copy, name)?,
        Revision::Branch(path) => branch(&mut copy, path)?,
        Revision::Join(path) => join(&mut copy, path)?,
        Revision::AddLoop { name, component } => circuit::add_loop(&mut copy, name, component)?,
        Revision::RemoveLoop(name) => circuit::remove_loop(&mut copy, name)?,
        Revision::Replace { changes, .. } => {
            for (path, node) in changes {
                schema::path::set(&mut copy, &Path::parse(path)?, node.clone())?;
            }
        }
    }
    Ok(copy)
}

fn duplicate(root: &mut Node, path: &str) -> Result<(), Refusal> {
    let Spot { list, index, .. } = spot(root, path)?;
    let twin = twin(root, path)?;
    place::items(root, &list)?.insert(index + 1, twin);
    Ok(())
}

/// Puts a device behind another one, with names of its own.
fn insert(root: &mut Node, after: &str, device: &Node) -> Result<(), Refusal> {
    let Spot { list, index, .. } = spot(root, after)?;
    let made = renamed(root, device)?;
    place::items(root, &list)?.insert(index + 1, made);
    Ok(())
}

/// A copy of a thing in which everything has a name of its own.
fn twin(root: &Node, path: &str) -> Result<Node, Refusal> {
    let original = get(root, &Path::parse(path)?)?;
    if matches!(original.tag(), Some("Core" | "Exchanger")) && !path.contains(".path.") {
        // the entry itself: where it stands is another matter
        let mut copy = original.clone();
        let name = free_name(root, copy.own_name().unwrap_or_default());
        place::set_field(copy.unwrapped_mut(), "name", Node::text(name));
        return Ok(copy);
    }
    renamed(root, original)
}

/// The same thing with names that nothing has yet. A hose does not climb, so that the loop ends where it began.
fn renamed(root: &Node, original: &Node) -> Result<Node, Refusal> {
    let mut taken = root.clone();
    let mut copy = original.clone();
    place::each_named(&mut copy, &mut |item| {
        let Some(name) = item.own_name().map(str::to_owned) else { return Ok(()) };
        if place::is_only_named(item) {
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
    let (one, other) = (free_name(root, "A"), free_name(root, "B"));
    let way = |way: &str, device: Node| {
        Node::record("Branch", vec![("name", Node::text(way)), ("path", Node::list(vec![device]))])
    };
    let items = place::items(root, &list)?;
    let first = items.remove(index);
    // sections within sections have branches of their own names
    let branches = Node::list(vec![way(&one, first), way(&other, second)]);
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
