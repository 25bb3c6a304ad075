//! Ways of not cooling as changes of a project: what stands still, what is removed, and what names it.

use crate::StudyError;
use aircraft::records::device::{Device, Duct, Loop, devices};
use aircraft::records::powertrain::Bus;
use aircraft::records::project::Project;
use aircraft::variant;
use schema::{Change, InputEntry, Node, Path, Problem};

/// The two ways of a project whose pack is cooled by a loop: plate without flow, and plate removed. A pack without a plate
/// has one: as it is.
///
/// # Errors
/// [`StudyError::Project`] if there is no pack.
pub fn ways(node: &Node, project: &Project) -> Result<Vec<Way>, StudyError> {
    let cells = cells(project)?;
    let circuits: Vec<&Loop> = project
        .loops
        .iter()
        .filter(|circuit| devices(&circuit.path).iter().any(|device| cools(device, cells)))
        .collect();
    if circuits.is_empty() {
        return Ok(vec![Way { name: "as it is: no plate".to_owned(), changes: Vec::new() }]);
    }
    let still = stopped(node, project, &circuits);
    Ok(vec![
        Way { name: "plate fitted, no flow".to_owned(), changes: still },
        Way { name: "plate removed".to_owned(), changes: removed(project, &circuits) },
    ])
}

pub(super) fn cells(project: &Project) -> Result<&str, StudyError> {
    match project.powertrain.as_ref().map(|powertrain| &powertrain.bus) {
        Some(Bus::Pack(pack)) => Ok(&pack.cells),
        _ => Err(refused("powertrain.bus", "there is no pack", "describe the bus as a pack of cells")),
    }
}

fn cools(device: &Device, cells: &str) -> bool {
    match device {
        Device::ColdPlate(plate) | Device::Jacket(plate) | Device::Surface(plate) => {
            plate.walls.iter().any(|wall| wall == cells)
        }
        _ => false,
    }
}

pub(crate) fn core_names(path: &[Device]) -> Vec<&str> {
    devices(path)
        .into_iter()
        .filter_map(|device| match device {
            Device::Core(core) => Some(core.name.as_str()),
            _ => None,
        })
        .collect()
}

/// Ducts that serve no other loop.
pub(crate) fn own_ducts<'a>(project: &'a Project, circuits: &[&Loop]) -> Vec<&'a Duct> {
    let own: Vec<&str> = circuits.iter().flat_map(|circuit| core_names(&circuit.path)).collect();
    let serves = |duct: &&Duct| {
        let cores = core_names(&duct.path);
        !cores.is_empty() && cores.iter().all(|core| own.contains(core))
    };
    project.ducts.iter().filter(serves).collect()
}

pub(crate) fn path(text: &str) -> Path {
    Path::parse(text).expect("made of names that the project holds")
}

/// Pumps of the loops and fans of their own ducts.
fn machines(project: &Project, circuits: &[&Loop]) -> Vec<String> {
    let ducts = own_ducts(project, circuits);
    let paths = circuits.iter().map(|c| &c.path).chain(ducts.iter().map(|d| &d.path));
    let name = |device: &Device| match device {
        Device::Pump(machine) | Device::Fan(machine) => Some(machine.name.as_str().to_owned()),
        _ => None,
    };
    paths.flat_map(|path| devices(path)).filter_map(name).collect()
}

/// Every speed of these machines set to zero: their own, and where points and segments differ.
fn stopped(node: &Node, project: &Project, circuits: &[&Loop]) -> Vec<Change> {
    let still = |(_, entry): (usize, InputEntry)| Change::Set(entry.path, Node::number(0.0));
    speeds(node, project, circuits).into_iter().map(still).collect()
}

/// The speeds of the pumps of the loops and of the fans of their own ducts, counted as in the table of inputs.
pub(crate) fn speeds(node: &Node, project: &Project, circuits: &[&Loop]) -> Vec<(usize, InputEntry)> {
    let machines = machines(project, circuits);
    let of_machine = |entry: &InputEntry| {
        let steps = entry.path.steps();
        let (Some(last), Some(machine)) = (steps.last(), steps.len().checked_sub(2).map(|at| &steps[at]))
        else {
            return false;
        };
        last == "speed" && machines.contains(machine)
    };
    let inputs = schema::list_inputs(node, variant::project_shape());
    let flown = |entry: &InputEntry| {
        !matches!(entry.path.steps().first().map(String::as_str), Some("turnarounds" | "variants"))
    };
    inputs.into_iter().enumerate().filter(|(_, entry)| of_machine(entry) && flown(entry)).collect()
}

/// The loops, their cores and ducts gone, with all that is not flown here and could name them.
pub(crate) fn removed(project: &Project, circuits: &[&Loop]) -> Vec<Change> {
    let ducts = own_ducts(project, circuits);
    let machines = machines(project, circuits);
    let mut gone: Vec<String> = Vec::new();
    for point in &project.points {
        for setting in point.settings.iter().filter(|s| machines.iter().any(|m| m == s.name.as_str())) {
            gone.push(format!("points.{}.settings.{}", point.name.as_str(), setting.name.as_str()));
        }
    }
    for mission in &project.missions {
        for segment in &mission.segments {
            for setting in segment.settings.iter().filter(|s| machines.iter().any(|m| m == s.name.as_str())) {
                let (mission, segment) = (mission.name.as_str(), segment.name.as_str());
                gone.push(format!(
                    "missions.{mission}.segments.{segment}.settings.{}",
                    setting.name.as_str()
                ));
            }
        }
    }
    gone.extend(circuits.iter().map(|circuit| format!("loops.{}", circuit.name.as_str())));
    gone.extend(ducts.iter().map(|duct| format!("ducts.{}", duct.name.as_str())));
    let cores: Vec<&str> = circuits.iter().flat_map(|circuit| core_names(&circuit.path)).collect();
    gone.extend(cores.iter().map(|core| format!("cores.{core}")));
    gone.iter().map(|text| Change::Remove(path(text))).collect()
}

/// Things that name parts and are not flown here: left out, so that parts may be removed.
pub(super) fn bare(node: &Node) -> Node {
    without(node, &["variants", "chains", "turnarounds", "failures", "sizings"])
}

/// Without some of the lists of a project.
pub(crate) fn without(node: &Node, lists: &[&str]) -> Node {
    let mut bare = node.clone();
    for list in lists {
        // a list that the project does not state has nothing to leave out
        let _absent = schema::path::remove(&mut bare, &path(list));
    }
    bare
}

/// Case groups without their failures.
pub(super) fn without_failures(node: &Node) -> Node {
    let mut bare = node.clone();
    let groups = match schema::path::get(node, &path("cases")).map(|found| &found.tree) {
        Ok(schema::Tree::List(items)) => items.len(),
        _ => 0,
    };
    for group in 1..=groups {
        let _absent = schema::path::remove(&mut bare, &path(&format!("cases.{group}.failures")));
    }
    bare
}

/// A way of not cooling the pack.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Name.
    pub name: String,
    /// Changes of the project.
    pub changes: Vec<Change>,
}

/// Fails with words of its own.
pub(super) fn refused(path: &str, message: &str, remedy: &str) -> StudyError {
    StudyError::Project(Box::new(Problem::error(path, message, remedy)))
}
