//! What is sized, what may be chosen, and how a choice changes the project.

use crate::StudyError;
use aircraft::check::cores_of;
use aircraft::records::core::{Core, Transfer};
use aircraft::records::device::{Device, Machine, devices};
use aircraft::records::project::Project;
use aircraft::records::sizing::{LengthRange, Sizing};
use model::assembly;
use model::assembly::build_core;
use model::budget::{MachineSize, core_dry_kg};
use schema::{Change, Decode as _, Input, InputKind, Node, Path, Problem};

/// Part of a grain or layer by which a length may miss a whole number of them: the rounding of typed lengths, not a size.
pub(crate) const WHOLE_SLACK: f64 = 1e-6;
/// Lengths are chosen in steps of 0.01 mm, so that a result is the same number in a file.
pub(crate) const GRAIN_M: f64 = 1e-5;
/// Room that is taken where the project states none, over the present dimension.
const ASSUMED: (f64, f64) = (0.1, 1.6);
/// Range of a conductance that is searched, over the present one.
const CONDUCTANCE: (f64, f64) = (1.0 / 256.0, 64.0);
/// Temperature at which coolant is filled in, K.
const FILLED_AT_K: f64 = 293.15;

/// A range of a dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Least, m.
    pub min_m: f64,
    /// Greatest, m.
    pub max_m: f64,
}

impl Range {
    /// Whether there is nothing to choose.
    pub fn is_one_value(self) -> bool {
        self.max_m - self.min_m < GRAIN_M
    }

    pub(crate) fn at(self, share: f64) -> f64 {
        self.min_m + share * (self.max_m - self.min_m)
    }
}

/// Room for a core of free dimensions.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// Across the tubes or layers, which come in whole numbers.
    pub width: Range,
    /// Along the liquid.
    pub height: Range,
    /// Along the air.
    pub depth: Range,
    /// Distances from fin to fin (louvered) or clear spacings (offset strip), m.
    pub fins_m: Vec<f64>,
    /// Dimensions whose range the project does not state: taken from the present core.
    pub assumed: Vec<&'static str>,
    /// Width of one tube or layer, m.
    pub layer_m: f64,
}

/// A core that may be chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CoreChoice {
    /// Free dimensions.
    Fins {
        /// Number of tubes or layers.
        layers: u32,
        /// Height, m.
        height_m: f64,
        /// Depth, m.
        depth_m: f64,
        /// Fins: number in [`Room::fins_m`].
        fin: usize,
    },
    /// A fixed conductance, W/K.
    Conductance(f64),
    /// Number in the list of the sizing.
    Listed(usize),
}

/// A choice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Design {
    /// Core.
    pub core: CoreChoice,
    /// Number in the list of pumps; none: the present ones.
    pub pump: Option<usize>,
    /// Number in the list of fans; none: the present ones.
    pub fan: Option<usize>,
}

/// What is sized.
#[derive(Clone, Debug)]
pub struct Plan {
    /// Loop.
    pub circuit: String,
    /// Core as it is.
    pub present: Core,
    /// What may be chosen.
    pub sizing: Sizing,
    /// Room, for a core that is given by its fins.
    pub room: Option<Room>,
    /// Duct of the core.
    pub duct: Option<String>,
    density_kg_m3: f64,
}

fn refused(path: String, message: String, remedy: &str) -> StudyError {
    StudyError::Project(Box::new(Problem::error(path, message, remedy)))
}

fn project_problem(problem: Problem) -> StudyError {
    StudyError::Project(Box::new(problem))
}

/// A length in whole steps as it is written.
pub(crate) fn written_mm(length_m: f64) -> String {
    format!("{:.2} mm", (length_m / GRAIN_M).round() * GRAIN_M * 1e3)
}

/// Up to the next whole step.
pub(crate) fn grained_up_m(length_m: f64) -> f64 {
    (length_m / GRAIN_M - WHOLE_SLACK).ceil() * GRAIN_M
}

fn input<K: InputKind>(text: &str) -> Input<K> {
    Input::parse(text).expect("a finite number with a unit of the kind")
}

impl Plan {
    /// What is sized in a loop: by the sizing of the project that names it, or around the present core.
    ///
    /// # Errors
    /// [`StudyError::Project`] if there is no such loop, it has no core or several and none is named, or nothing of it can be chosen.
    pub fn of(project: &Project, circuit: &str) -> Result<Self, StudyError> {
        let Some(found) = project.loops.iter().find(|l| l.name.as_str() == circuit) else {
            let known: Vec<&str> = project.loops.iter().map(|l| l.name.as_str()).collect();
            let remedy = format!("name one of: {}", known.join(", "));
            return Err(refused("loops".to_owned(), format!("no loop is called {circuit:?}"), &remedy));
        };
        let stated = project.sizings.iter().find(|sizing| sizing.circuit == circuit);
        let sizing = stated.cloned().unwrap_or_else(|| empty(circuit));
        let cores = cores_of(found);
        let name = match (&sizing.core, cores.as_slice()) {
            (Some(name), _) => name.clone(),
            (None, [one]) => (*one).to_owned(),
            (None, _) => {
                let message = format!("loop {circuit:?} has {} cores", cores.len());
                return Err(refused(format!("loops.{circuit}"), message, "name the core in a sizing"));
            }
        };
        let present = project.cores.iter().find(|core| core.name.as_str() == name).cloned();
        let present = present.ok_or_else(|| {
            refused("cores".to_owned(), format!("no core is called {name:?}"), "describe it")
        })?;
        let path = format!("loops.{circuit}.fluid");
        let liquid = assembly::liquid(project, &found.fluid, &path).map_err(project_problem)?;
        let room = room(&present, &sizing);
        if sizing.cores.is_empty() && room.is_none() && !matches!(present.transfer, Transfer::Fixed(_)) {
            let message = "nothing of a core given by a map or by its films can be chosen".to_owned();
            let remedy = "list cores to choose from in a sizing, or give the core by its fins";
            return Err(refused(format!("cores.{name}.transfer"), message, remedy));
        }
        let duct = project.ducts.iter().find(|duct| holds_core(&duct.path, &name));
        Ok(Self {
            circuit: circuit.to_owned(),
            duct: duct.map(|duct| duct.name.as_str().to_owned()),
            density_kg_m3: liquid.density(FILLED_AT_K),
            present,
            sizing,
            room,
        })
    }

    /// Number of the fins in the room that are closest to the present ones.
    pub(crate) fn nearest_fin(&self) -> usize {
        let Some(room) = &self.room else { return 0 };
        let present_m = match &self.present.transfer {
            Transfer::Louvered(fins) => fins.fin_pitch.si(),
            Transfer::OffsetStrip(fins) => fins.fin_spacing.si(),
            Transfer::Fixed(_) | Transfer::Map(_) | Transfer::Sides(_) => return 0,
        };
        let distance = |n: &usize| (room.fins_m[*n] - present_m).abs();
        (0..room.fins_m.len()).min_by(|a, b| distance(a).total_cmp(&distance(b))).unwrap_or(0)
    }

    /// Lists of pumps or fans as choices: the present ones where none is listed.
    fn numbers(list: &[Machine]) -> Vec<Option<usize>> {
        if list.is_empty() { vec![None] } else { (0..list.len()).map(Some).collect() }
    }

    /// Pumps that may be chosen.
    pub fn pumps(&self) -> Vec<Option<usize>> {
        Self::numbers(&self.sizing.pumps)
    }

    /// Fans that may be chosen.
    pub fn fans(&self) -> Vec<Option<usize>> {
        Self::numbers(&self.sizing.fans)
    }

    /// The fewest and the most tubes or layers that the room holds.
    pub(crate) fn layers(&self) -> (u32, u32) {
        let Some(room) = &self.room else { return (1, 1) };
        let count = |width_m: f64| (width_m / room.layer_m + WHOLE_SLACK).floor().max(1.0) as u32;
        let least = (room.width.min_m / room.layer_m - WHOLE_SLACK).ceil().max(1.0) as u32;
        let most = count(room.width.max_m);
        (least.min(most), most)
    }

    /// Range of a conductance that is searched, W/K.
    pub(crate) fn conductances_w_k(&self) -> (f64, f64) {
        let Transfer::Fixed(present) = &self.present.transfer else { return (1.0, 1.0) };
        (CONDUCTANCE.0 * present.si(), CONDUCTANCE.1 * present.si())
    }

    /// The core of a design.
    pub fn core(&self, design: &Design) -> Core {
        match design.core {
            CoreChoice::Listed(number) => {
                Core { name: self.present.name.clone(), ..self.sizing.cores[number].clone() }
            }
            CoreChoice::Conductance(conductance_w_k) => {
                let mut core = self.present.clone();
                if let Transfer::Fixed(fixed) = &mut core.transfer {
                    let share = conductance_w_k / fixed.si();
                    *fixed = input(&format!("{conductance_w_k:.6} W/K"));
                    core.volume = input(&format!("{:.6} L", 1e3 * share * core.volume.si()));
                    core.mass = core.mass.map(|mass| input(&format!("{:.6} kg", share * mass.si())));
                }
                core
            }
            CoreChoice::Fins { layers, height_m, depth_m, fin } => {
                let mut core = self.present.clone();
                let Some(room) = &self.room else { return core };
                let width = written_mm(f64::from(layers) * room.layer_m);
                let (height, depth) = (written_mm(height_m), written_mm(depth_m));
                let fin = written_mm(room.fins_m[fin]);
                match &mut core.transfer {
                    Transfer::Louvered(fins) => {
                        (fins.width, fins.height) = (input(&width), input(&height));
                        (fins.depth, fins.fin_pitch) = (input(&depth), input(&fin));
                    }
                    Transfer::OffsetStrip(fins) => {
                        (fins.width, fins.height) = (input(&width), input(&height));
                        (fins.depth, fins.fin_spacing) = (input(&depth), input(&fin));
                    }
                    Transfer::Fixed(_) | Transfer::Map(_) | Transfer::Sides(_) => {}
                }
                self.scale_content(&mut core);
                core
            }
        }
    }

    /// The content of a core of other dimensions keeps its ratio to that of its channels; a stated mass gives way to the computed
    /// one.
    fn scale_content(&self, core: &mut Core) {
        let built = |core: &Core| build_core(core).ok().flatten().map(|build| build.liquid_volume_m3);
        if let (Some(now), Some(new)) = (built(&self.present), built(core)) {
            core.volume = input(&format!("{:.6} L", 1e3 * self.present.volume.si() * new / now));
        }
        core.mass = None;
    }

    /// Mass that the design decides, kg: dry core, coolant in it, pumps of the loop and fans of the duct.
    ///
    /// # Errors
    /// [`StudyError::Project`] for dimensions that no core can have.
    pub fn mass_kg(&self, project: &Project, design: &Design) -> Result<f64, StudyError> {
        let core = self.core(design);
        let (dry_kg, _) = core_dry_kg(&core).map_err(project_problem)?;
        Ok(dry_kg + self.density_kg_m3 * core.volume.si() + self.machines_kg(project, design))
    }

    fn machines_kg(&self, project: &Project, design: &Design) -> f64 {
        let paths = project.loops.iter().filter(|l| l.name.as_str() == self.circuit).map(|l| &l.path);
        let own = |d: &&aircraft::records::device::Duct| Some(d.name.as_str()) == self.duct.as_deref();
        let paths = paths.chain(project.ducts.iter().filter(own).map(|d| &d.path));
        let mass = |device: &Device| match device {
            Device::Pump(machine) => {
                MachineSize::of_pump(design.pump.map_or(machine, |n| &self.sizing.pumps[n])).mass_kg
            }
            Device::Fan(machine) => {
                MachineSize::of_fan(design.fan.map_or(machine, |n| &self.sizing.fans[n])).mass_kg
            }
            _ => 0.0,
        };
        paths.flat_map(|path| devices(path)).map(mass).sum()
    }

    /// The project with a design.
    pub fn applied(&self, project: &Project, design: &Design) -> Project {
        let mut changed = project.clone();
        self.apply(&mut changed, design);
        changed
    }

    /// Makes a design of a project.
    pub fn apply(&self, changed: &mut Project, design: &Design) {
        let core = self.core(design);
        for known in changed.cores.iter_mut().filter(|known| known.name == core.name) {
            *known = core.clone();
        }
        if let Some(number) = design.pump {
            for circuit in changed.loops.iter_mut().filter(|l| l.name.as_str() == self.circuit) {
                exchange(&mut circuit.path, &self.sizing.pumps[number]);
            }
        }
        if let Some(number) = design.fan {
            for duct in changed.ducts.iter_mut().filter(|d| Some(d.name.as_str()) == self.duct.as_deref()) {
                exchange(&mut duct.path, &self.sizing.fans[number]);
            }
        }
    }

    /// The same as changes of the project, for a variant.
    pub fn changes(&self, project: &Project, design: &Design) -> Vec<Change> {
        let core = self.core(design);
        let mut changes = Vec::new();
        let mut set =
            |steps: &[&str], node: Node| changes.push(Change::Set(Path::from_steps(steps.to_vec()), node));
        let name = core.name.as_str();
        match (&design.core, &core.transfer) {
            (CoreChoice::Fins { .. }, Transfer::Louvered(fins)) => {
                set(&["cores", name, "transfer", "width"], fins.width.encode());
                set(&["cores", name, "transfer", "height"], fins.height.encode());
                set(&["cores", name, "transfer", "depth"], fins.depth.encode());
                set(&["cores", name, "transfer", "fin_pitch"], fins.fin_pitch.encode());
                set(&["cores", name, "volume"], core.volume.encode());
            }
            (CoreChoice::Fins { .. }, Transfer::OffsetStrip(fins)) => {
                set(&["cores", name, "transfer", "width"], fins.width.encode());
                set(&["cores", name, "transfer", "height"], fins.height.encode());
                set(&["cores", name, "transfer", "depth"], fins.depth.encode());
                set(&["cores", name, "transfer", "fin_spacing"], fins.fin_spacing.encode());
                set(&["cores", name, "volume"], core.volume.encode());
            }
            _ => set(&["cores", name], core.encode()),
        }
        if matches!(design.core, CoreChoice::Fins { .. }) && self.present.mass.is_some() {
            changes.push(Change::Remove(Path::from_steps(["cores", name, "mass"])));
        }
        let applied = self.applied(project, design);
        let mut machines = |list: &str, circuit: &str, path: &[Device]| {
            for device in devices(path).into_iter().filter(|d| matches!(d, Device::Pump(_) | Device::Fan(_)))
            {
                let path = Path::from_steps([list, circuit, "path", device.name()]);
                changes.push(Change::Set(path, device.encode()));
            }
        };
        for circuit in
            applied.loops.iter().filter(|l| design.pump.is_some() && l.name.as_str() == self.circuit)
        {
            machines("loops", circuit.name.as_str(), &circuit.path);
        }
        for duct in applied
            .ducts
            .iter()
            .filter(|d| design.fan.is_some() && Some(d.name.as_str()) == self.duct.as_deref())
        {
            machines("ducts", duct.name.as_str(), &duct.path);
        }
        changes
    }
}

fn empty(circuit: &str) -> Sizing {
    let node = Node::record("Sizing", vec![("name", Node::text(circuit)), ("circuit", Node::text(circuit))]);
    schema::decode::<Sizing>(&node).value.expect("name and circuit are all that a sizing must state")
}

fn holds_core(path: &[Device], name: &str) -> bool {
    devices(path).iter().any(|device| matches!(device, Device::Core(core) if core.name.as_str() == name))
}

/// Puts the curve, inlet, power, content and mass of a pump or fan in the place of every other.
fn exchange(path: &mut [Device], chosen: &Machine) {
    for device in path {
        match device {
            Device::Pump(machine) | Device::Fan(machine) => {
                machine.curve.clone_from(&chosen.curve);
                machine.curve_density.clone_from(&chosen.curve_density);
                machine.need.clone_from(&chosen.need);
                machine.inlet_bore.clone_from(&chosen.inlet_bore);
                machine.power.clone_from(&chosen.power);
                machine.volume.clone_from(&chosen.volume);
                machine.mass.clone_from(&chosen.mass);
            }
            Device::Parallel(parallel) => {
                for branch in &mut parallel.branches {
                    exchange(&mut branch.path, chosen);
                }
            }
            _ => {}
        }
    }
}

/// Room for a core that is given by its fins.
fn room(core: &Core, sizing: &Sizing) -> Option<Room> {
    let (width, height, depth, fin, layer_m) = match &core.transfer {
        Transfer::Louvered(fins) => {
            (&fins.width, &fins.height, &fins.depth, &fins.fin_pitch, fins.tube_pitch.si())
        }
        Transfer::OffsetStrip(fins) => {
            let layer_m = fins.fin_height.si() + fins.liquid_height.si() + 2.0 * fins.plate.si();
            (&fins.width, &fins.height, &fins.depth, &fins.fin_spacing, layer_m)
        }
        Transfer::Fixed(_) | Transfer::Map(_) | Transfer::Sides(_) => return None,
    };
    let is_free = sizing.width.is_none() && sizing.height.is_none() && sizing.depth.is_none();
    let mut assumed = Vec::new();
    let mut range = |name: &'static str, stated: &Option<LengthRange>, present_m: f64| match stated {
        Some(range) => Range { min_m: range.least.si(), max_m: range.most.si() },
        None if is_free => {
            assumed.push(name);
            Range { min_m: ASSUMED.0 * present_m, max_m: ASSUMED.1 * present_m }
        }
        None => Range { min_m: present_m, max_m: present_m },
    };
    Some(Room {
        width: range("width", &sizing.width, width.si()),
        height: range("height", &sizing.height, height.si()),
        // thin cores are made, but a tube needs room for its walls
        depth: match range("depth", &sizing.depth, depth.si()) {
            range if is_free => Range { min_m: range.min_m.max(0.4 * depth.si()), ..range },
            range => range,
        },
        fins_m: match sizing.fins.as_slice() {
            [] => vec![fin.si()],
            list => list.iter().map(|fin| fin.si()).collect(),
        },
        assumed,
        layer_m,
    })
}

/// Width and depth of a core of fins, m.
pub(crate) fn face(core: &Core) -> (f64, f64) {
    match &core.transfer {
        Transfer::Louvered(fins) => (fins.width.si(), fins.depth.si()),
        Transfer::OffsetStrip(fins) => (fins.width.si(), fins.depth.si()),
        Transfer::Fixed(_) | Transfer::Map(_) | Transfer::Sides(_) => (0.0, 0.0),
    }
}
