//! Parts that need more than one entry: cores, plates, thermostats with a bypass, ducts, components.

use super::free_name::free_name;
use super::place::{self, Spot, is_only_named, spot};
use super::refusal::Refusal;
use crate::records::surroundings::OUTSIDE_AIR;
use crate::starter;
use schema::path::get;
use schema::{Name, Node, Path, Tree};

/// Air flow that a new core is laid out for, m3/s. Judgement: it is to be replaced.
const CORE_M3_S: f64 = 0.3;

/// Takes a thing away with what cannot be without it.
pub(super) fn remove(root: &mut Node, path: &str) -> Result<(), Refusal> {
    let Spot { list, index, name } = spot(root, path)?;
    let item = get(root, &Path::parse(path)?)?;
    let list_name = list.to_string();
    if matches!(item.tag(), Some("Core")) || list_name == "cores" {
        return remove_cores(root, &[name]);
    }
    if list_name == "ducts" {
        let mut cores = Vec::new();
        named_cores(item, &mut cores);
        place::items(root, &list)?.remove(index);
        return remove_cores(root, &cores);
    }
    place::items(root, &list)?.remove(index);
    if list_name == "components" {
        remove_paths_of(root, &name);
    }
    Ok(())
}

/// Takes cores out of every loop and duct and out of the list of cores.
fn remove_cores(root: &mut Node, names: &[String]) -> Result<(), Refusal> {
    if names.is_empty() {
        return Ok(());
    }
    let is_gone = |node: &Node| node.own_name().is_some_and(|name| names.iter().any(|gone| gone == name));
    if let Some(Tree::List(items)) = root.field_mut("cores").map(|node| &mut node.tree) {
        items.retain(|item| !is_gone(item));
    }
    for list in ["loops", "ducts"] {
        if root.field(list).is_none() {
            continue;
        }
        for circuit in place::items(root, &Path::parse(list)?)? {
            if let Some(path) = circuit.field_mut("path") {
                super::circuit::drop_cores(path, &is_gone);
            }
        }
    }
    Ok(())
}

pub(super) fn named_cores(node: &Node, found: &mut Vec<String>) {
    if is_only_named(node) && node.tag() == Some("Core") {
        found.extend(node.own_name().map(str::to_owned));
        return;
    }
    match &node.tree {
        Tree::List(items) => items.iter().for_each(|item| named_cores(item, found)),
        Tree::Record { fields, .. } => fields.iter().for_each(|(_, value)| named_cores(value, found)),
        _ => {}
    }
}

/// Takes the links and heats of a component away.
fn remove_paths_of(root: &mut Node, component: &str) {
    for (list, ends) in [("links", ["from", "to"].as_slice()), ("heats", &["into"])] {
        if let Some(Tree::List(items)) = root.field_mut(list).map(|node| &mut node.tree) {
            items.retain(|item| {
                let named =
                    |field: &str| item.unwrapped().field(field).and_then(Node::as_text) == Some(component);
                !ends.iter().any(|end| named(end))
            });
        }
    }
}

/// A plate or surface under a component behind a device.
pub(super) fn add_plate(root: &mut Node, after: &str, component: &str) -> Result<(), Refusal> {
    get(root, &Path::parse(&format!("components.{component}"))?)?;
    let Spot { list, index, .. } = spot(root, after)?;
    let name = free_name(root, &format!("{component} plate"));
    let is_duct = after.starts_with("ducts.");
    let made =
        if is_duct { starter::new_surface(&name, component) } else { starter::new_plate(&name, component) };
    place::items(root, &list)?.insert(index + 1, made);
    Ok(())
}

/// A core behind a device of a loop and in a duct.
pub(super) fn add_core(root: &mut Node, after: &str, duct: Option<&str>) -> Result<(), Refusal> {
    if after.starts_with("ducts.") {
        return Err(Refusal::NotInLoop(after.to_owned()));
    }
    let Spot { list, index, .. } = spot(root, after)?;
    let name = free_name(root, "core");
    let stands = || Node::record("Core", vec![("name", Node::text(&*name))]);
    place::items(root, &list)?.insert(index + 1, stands());
    append(root, "cores", starter::new_core(&name))?;
    if let Some(duct) = duct {
        let path = Path::parse(&format!("ducts.{duct}.path"))?;
        let devices = place::items(root, &path)?;
        // in front of the fan, so that it stays the last to be heated; else in front of the outlet
        let at = devices.iter().position(|device| matches!(device.tag(), Some("Fan" | "Outlet")));
        let at = at.unwrap_or(devices.len());
        devices.insert(at, stands());
        return Ok(());
    }
    let stem = free_name(root, &format!("{name} air"));
    let mut made = starter::duct(&stem, CORE_M3_S, stands());
    starter::without_supplies(&mut made);
    unique(root, &made)?;
    append(root, "ducts", made)
}

/// A parallel section with the device behind a port that opens with temperature, and a way past it through one that closes. Both sense
/// what leaves the device in front.
pub(super) fn bypass(root: &mut Node, path: &str) -> Result<(), Refusal> {
    if path.starts_with("ducts.") {
        return Err(Refusal::NotInLoop(path.to_owned()));
    }
    let Spot { list, index, name } = spot(root, path)?;
    let devices = place::items(root, &list)?;
    let senses = |device: &&Node| {
        !matches!(device.tag(), Some("Parallel")) && device.own_name() != Some(name.as_str())
    };
    let (before, behind) = devices.split_at(index);
    // the last one in front; a device at the beginning is fed by the last of the loop
    let sensor = before.iter().rev().chain(behind.iter().rev()).find(senses);
    let sensor = sensor.and_then(Node::own_name).map(str::to_owned);
    let sensor = sensor.ok_or_else(|| Refusal::NothingToSense(name.clone()))?;
    let open = free_name(root, &format!("{name} port"));
    let past = free_name(root, &format!("{name} bypass port"));
    let section = free_name(root, &format!("{name} section"));
    let (cooled, bypassing) = (free_name(root, "cooled"), free_name(root, "bypass"));
    let held = |value: &str| {
        let source = "placeholder: replace it by that of the thermostat";
        Node::record("Input", vec![("value", Node::text(value)), ("source", Node::text(source))])
    };
    let port = |name: &str, closes: bool| {
        let mut fields = vec![
            ("name", Node::text(name)),
            ("sensor", Node::text(&*sensor)),
            ("from", held("60 degC")),
            ("to", held("75 degC")),
            ("diameter", held("16 mm")),
        ];
        if closes {
            fields.extend([("closes", Node::flag(true)), ("coefficient", Node::count(25))]);
        }
        Node::record("Thermostat", fields)
    };
    let way = |name: &str, devices: Vec<Node>| {
        Node::record("Branch", vec![("name", Node::text(name)), ("path", Node::list(devices))])
    };
    let items = place::items(root, &list)?;
    let device = items.remove(index);
    let branches =
        vec![way(&cooled, vec![port(&open, false), device]), way(&bypassing, vec![port(&past, true)])];
    let fields = vec![("name", Node::text(&section)), ("branches", Node::list(branches))];
    items.insert(index, Node::record("Parallel", fields));
    Ok(())
}

/// A duct with inlet and outlet.
pub(super) fn add_duct(root: &mut Node, name: &str) -> Result<(), Refusal> {
    let name = Name::new(name.trim()).map_err(Refusal::BadName)?;
    let mut made = starter::duct(name.as_str(), CORE_M3_S, Node::word("None"));
    place::set_field(&mut made, "name", Node::text(name.as_str()));
    if let Some(Tree::List(devices)) = made.field_mut("path").map(|path| &mut path.tree) {
        devices.retain(|device| matches!(device.tag(), Some("Inlet" | "Outlet")));
    }
    unique(root, &made)?;
    append(root, "ducts", made)
}

/// A component with a heat path to the outside air.
pub(super) fn add_component(root: &mut Node, name: &str) -> Result<(), Refusal> {
    let name = Name::new(name.trim()).map_err(Refusal::BadName)?;
    let held = |value: &str| {
        let source = "placeholder: replace it by that of the component";
        Node::record("Input", vec![("value", Node::text(value)), ("source", Node::text(source))])
    };
    let component =
        Node::record("Component", vec![("name", Node::text(name.as_str())), ("capacity", held("1 kJ/K"))]);
    unique(root, &component)?;
    let link = free_name(root, &format!("{} to the air", name.as_str()));
    let link = Node::record(
        "Link",
        vec![
            ("name", Node::text(link)),
            ("from", Node::text(name.as_str())),
            ("to", Node::text(OUTSIDE_AIR)),
            ("law", Node::tuple("Conductance", vec![held("1 W/K")])),
        ],
    );
    append(root, "components", component)?;
    append(root, "links", link)
}

/// A stage at the end of the drive.
pub(super) fn add_stage(root: &mut Node, name: &str) -> Result<(), Refusal> {
    let name = Name::new(name.trim()).map_err(Refusal::BadName)?;
    let made = super::new::stage(name.as_str());
    unique(root, &made)?;
    let drive = root.field_mut("powertrain").ok_or(Refusal::NoDrive)?;
    append(drive.unwrapped_mut(), "stages", made)
}

/// Refuses names that are in use.
fn unique(root: &Node, made: &Node) -> Result<(), Refusal> {
    place::each_named(&mut made.clone(), &mut |item| match item.own_name() {
        Some(name) if !is_only_named(item) && place::count_named(root, name) > 0 => {
            Err(Refusal::NameTaken(name.to_owned()))
        }
        _ => Ok(()),
    })
}

/// Adds an item to a list of the project, which begins with it if there is none.
fn append(root: &mut Node, list: &str, item: Node) -> Result<(), Refusal> {
    if root.field(list).is_none() {
        place::set_field(root, list, Node::list(vec![]));
    }
    place::items(root, &Path::parse(list)?)?.push(item);
    Ok(())
}
