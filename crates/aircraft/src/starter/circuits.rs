//! Loops and ducts, sized so that a first solution is near the mark.

use super::answers::{Answers, Cooling, CraftKind, Part};
use super::drive::wall;
use super::fragments::{Fragment, fragment};
use super::heat::{AIR_J_KGK, First};
use super::rules::value;
use schema::Node;
use std::f64::consts::FRAC_PI_4;

/// The circuits of a project.
#[derive(Debug, Default)]
pub(super) struct Circuits {
    pub(super) loops: Vec<Node>,
    pub(super) cores: Vec<Node>,
    pub(super) ducts: Vec<Node>,
}

impl Circuits {
    /// Names of all pumps and fans.
    pub(super) fn machines(&self) -> Vec<String> {
        fn collect(node: &Node, found: &mut Vec<String>) {
            if matches!(node.tag(), Some("Pump" | "Fan")) {
                found.extend(node.own_name().map(str::to_owned));
            }
            match &node.tree {
                schema::Tree::List(items) => items.iter().for_each(|item| collect(item, found)),
                schema::Tree::Record { fields, .. } => {
                    for (_, value) in fields {
                        collect(value, found);
                    }
                }
                _ => {}
            }
        }
        let mut found = Vec::new();
        self.loops.iter().chain(&self.ducts).for_each(|node| collect(node, &mut found));
        found
    }
}

/// What flows in a loop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Medium {
    Glycol,
    Oil,
    /// Insulating liquid for cells.
    Insulating,
}

impl Medium {
    /// Its name among the fragments.
    fn liquid(self) -> &'static str {
        match self {
            Self::Glycol => "glycol",
            Self::Oil => "oil",
            Self::Insulating => "insulating",
        }
    }

    /// By which rules a loop is laid out: an insulating liquid like an oil.
    fn word(self) -> &'static str {
        if self == Self::Glycol { "glycol" } else { "oil" }
    }

    /// A number by the rule for this medium.
    fn by(self, rule: &str) -> f64 {
        value(&format!("{rule}, {}", self.word()))
    }

    /// The rule for the flow of each kilowatt of heat. Cells have few kelvins to spare, so that the liquid may warm but little.
    fn flow_rule(self, part: Part) -> &'static str {
        match (self == Self::Glycol, part == Part::Pack) {
            (true, false) => "flow: glycol",
            (true, true) => "flow: glycol, pack",
            (false, false) => "flow: oil",
            (false, true) => "flow: oil, pack",
        }
    }

    /// What the core of a loop is called.
    fn core_name(self, stem: &str) -> String {
        if self == Self::Glycol { format!("{stem} radiator") } else { format!("{stem} cooler") }
    }

    /// Liquid temperature into the core that a part is laid out for, degC.
    fn into_core_c(self, part: Part) -> f64 {
        value(&format!("{} into the core: {}", self.word(), part.word()))
    }

    /// What the wall of a part lies above the liquid, K.
    fn wall_above_k(self, part: Part) -> f64 {
        value(&format!("wall above {}: {}", self.word(), part.word()))
    }
}

/// The loops, cores and ducts that the answers ask for.
pub(super) fn circuits(answers: &Answers, first: &First) -> Circuits {
    let with = |wanted: Cooling, but_pack: bool| -> Vec<Part> {
        // The coolest first, so that it gets the coolest liquid.
        let order = [Part::Pack, Part::Inverter, Part::Stator, Part::Gearbox];
        let is_there =
            |part: &Part| answers.cooling(*part) == Some(wanted) && !(but_pack && *part == Part::Pack);
        order.into_iter().filter(is_there).collect()
    };
    let mut made = Circuits::default();
    let mut add_loop = |stem: &str, parts: &[Part], medium: Medium| {
        let plan = Plan::new(first, parts, medium);
        let stages = parts.iter().map(|part| plan.plates(first, *part)).collect();
        made.loops.push(plan.loop_node(stem, stages, Machines::Two));
        made.cores.push(plan.core_node(&medium.core_name(stem)));
        made.ducts.push(plan.duct_node(stem, recovery(answers.kind), Machines::Two));
    };
    let shared = with(Cooling::SharedLoop, false);
    if !shared.is_empty() {
        add_loop("shared", &shared, Medium::Glycol);
    }
    for part in with(Cooling::OwnLoop, false) {
        add_loop(part.word(), &[part], Medium::Glycol);
    }
    let oil = with(Cooling::Oil, true);
    if !oil.is_empty() {
        add_loop("oil", &oil, Medium::Oil);
    }
    if answers.pack_cooling == Cooling::Oil {
        add_loop("pack", &[Part::Pack], Medium::Insulating);
    }
    for part in with(Cooling::Air, false) {
        made.ducts.extend((1..=first.count(part)).map(|n| air_duct(first, part, n, recovery(answers.kind))));
    }
    if answers.kind == CraftKind::Rotorcraft {
        made.ducts.push(rotor_duct(first));
    }
    made
}

/// How many pumps or fans move what flows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Machines {
    /// One.
    One,
    /// One on each supply, side by side, so that something of every cooling is left when a supply is lost.
    Two,
}

/// The names of the low-voltage supplies.
pub(super) const SUPPLIES: [&str; 2] = ["bus A", "bus B"];

/// What makes a machine on a supply: its name, its flow and the supply.
type OnSupply<'f> = dyn Fn(&str, f64, &str) -> Node + 'f;

/// Two machines side by side, each on its supply and behind a valve that stops what would flow back through it when it stands.
fn on_both(stem: &str, word: &str, flow: f64, machine: &OnSupply<'_>, valve: &dyn Fn(&str) -> Node) -> Node {
    let way = |(letter, supply): (&str, &str)| {
        fragment("machine_way")
            .with("name", format!("{stem} {word} {letter}"))
            .with("machine", machine(&format!("{stem} {word} {letter}"), 0.5 * flow, supply))
            .with("valve", valve(letter))
            .part()
    };
    let ways: Vec<Node> = ["A", "B"].into_iter().zip(SUPPLIES).map(way).collect();
    fragment("machines").with("name", format!("{stem} {word}s")).with("ways", ways).part()
}

/// The rule for inlets: wings recover pressure of the air stream; under a rotor none is counted on.
fn recovery(kind: CraftKind) -> &'static str {
    match kind {
        CraftKind::Aeroplane => "inlet: recovery, aeroplane",
        CraftKind::Rotorcraft => "inlet: recovery, rotorcraft",
    }
}

/// Bore of a round passage, m.
fn bore_m(flow_m3_s: f64, speed_m_s: f64) -> f64 {
    (flow_m3_s / speed_m_s / FRAC_PI_4).sqrt()
}

/// Sizes of one loop.
struct Plan {
    medium: Medium,
    heat_w: f64,
    flow_l_min: f64,
    /// Liquid into the core above the air of the hot day, K.
    difference_k: f64,
    face_m2: f64,
}

impl Plan {
    fn new(first: &First, parts: &[Part], medium: Medium) -> Self {
        let heat_w: f64 = parts.iter().map(|part| first.heat_w(*part)).sum();
        let coolest_c = parts.iter().map(|part| medium.into_core_c(*part)).fold(f64::INFINITY, f64::min);
        let l_min_of = |part: &Part| 1e-3 * first.heat_w(*part) * value(medium.flow_rule(*part));
        Self::of_heat(heat_w, coolest_c, parts.iter().map(l_min_of).sum(), medium)
    }

    fn of_heat(heat_w: f64, into_core_c: f64, flow_l_min: f64, medium: Medium) -> Self {
        let difference_k = into_core_c - value("hot day: temperature");
        let face_m2 = heat_w / (medium.by("core: heat over face") * difference_k);
        Self {
            medium,
            heat_w,
            flow_l_min: flow_l_min.max(value("flow: least")),
            difference_k,
            face_m2: face_m2.max(value("core: least face")),
        }
    }

    /// What a part added to a project is laid out for.
    fn added() -> Self {
        let medium = Medium::Glycol;
        let heat_kw = value("added: heat");
        let flow_l_min = heat_kw * value(medium.flow_rule(Part::Inverter));
        Self::of_heat(1e3 * heat_kw, medium.into_core_c(Part::Inverter), flow_l_min, medium)
    }

    /// A loop with plates and jackets one after the other.
    fn loop_node(&self, stem: &str, stages: Vec<Node>, machines: Machines) -> Node {
        let valves_kpa = if machines == Machines::Two { value("check valve: drop") } else { 0.0 };
        let drop_kpa = value("loop: drop of hoses and core")
            + valves_kpa
            + self.medium.by("plate: drop") * stages.len() as f64;
        let rise_kpa = value("pump: reserve of its rise") * drop_kpa;
        let reservoir_l =
            (value("reservoir: volume over flow") * self.flow_l_min).max(value("reservoir: least volume"));
        let cap_kpa = self.medium.by("reservoir: cap");
        let bore = fragment("bore_of_hose").with("bore_m", self.hose_bore_m()).part();
        let valve = |letter: &str| {
            let bore_m = bore_m(0.5 * self.flow_l_min / 6e4, value("hose: speed"));
            fragment("check_valve")
                .with("name", format!("{stem} check valve {letter}"))
                .with("bore_m", bore_m.max(1e-3 * value("hose: least bore")))
                .part()
        };
        let pumps = match machines {
            Machines::One => pump(&format!("{stem} pump"), self.flow_l_min, rise_kpa),
            Machines::Two => {
                let machine = |name: &str, l_min: f64, supply: &str| pump_on(name, l_min, rise_kpa, supply);
                on_both(stem, "pump", self.flow_l_min, &machine, &valve)
            }
        };
        let decomposes = (self.medium != Medium::Glycol).then(|| fragment("decomposes").part());
        fragment("loop")
            .with("stem", stem)
            .with("liquid", self.medium.liquid())
            .with("pump", pumps)
            .with("feed", self.hose(&format!("{stem} feed")))
            .with("stages", stages)
            .with("return", self.hose(&format!("{stem} return")))
            .with("core", self.medium.core_name(stem))
            .with("reservoir", reservoir_with(&format!("{stem} bottle"), reservoir_l, cap_kpa, Some(bore)))
            .with("boiling_margin", decomposes)
            .with("heat_w", self.heat_w)
            .with("difference_k", self.difference_k)
            .with("flow_l_min", self.flow_l_min)
            .with("rise_kpa", rise_kpa)
            .part()
    }

    fn hose(&self, name: &str) -> Node {
        fragment("hose").with("name", name).with("bore_m", self.hose_bore_m()).part()
    }

    fn hose_bore_m(&self) -> f64 {
        bore_m(self.flow_l_min / 6e4, value("hose: speed")).max(1e-3 * value("hose: least bore"))
    }

    /// The plate or jacket of a part; of several motors side by side.
    fn plates(&self, first: &First, part: Part) -> Node {
        let count = first.count(part);
        if count == 1 {
            return self.plate(first, part, 1, 1);
        }
        let branch = |n: usize| {
            let plate = self.plate(first, part, n, count);
            fragment("branch").with("part", part.word()).with("n", n).with("plate", plate).part()
        };
        let branches: Vec<Node> = (1..=count).map(branch).collect();
        fragment("side_by_side").with("part", part.word()).with("branches", branches).part()
    }

    fn plate(&self, first: &First, part: Part, n: usize, count: usize) -> Node {
        let (is_jacket, name) = match part {
            Part::Stator => (true, format!("stator jacket {n}")),
            Part::Inverter => (false, format!("inverter plate {n}")),
            Part::Gearbox => (true, "sump jacket".to_owned()),
            Part::Pack => (false, "pack plate".to_owned()),
        };
        let made = if is_jacket { fragment("jacket") } else { fragment("plate") };
        self.plate_of(made.with("name", name).with("wall", wall(part, n)), part, first.heat_w(part), count)
    }

    /// One of several plates side by side that take a heat together, W, laid out as for a part.
    fn plate_of(&self, plate: Fragment<'_>, part: Part, heat_w: f64, count: usize) -> Node {
        let flow_l_min = self.flow_l_min / count as f64;
        let volume_l = (value("plate: volume over flow") * flow_l_min).max(value("plate: least volume"));
        plate
            .with("medium", self.medium.word())
            .with("part", part.word())
            .with("w_k", heat_w / count as f64 / self.medium.wall_above_k(part))
            .with("plate_l_min", flow_l_min)
            .with("volume_l", volume_l)
            .part()
    }

    /// A core given by its fins.
    fn core_node(&self, name: &str) -> Node {
        let height_m = (self.face_m2 / value("core: width over height")).sqrt();
        let width_m = value("core: width over height") * height_m;
        let depth_m = 1e-3 * self.medium.by("core: depth");
        let volume_l = 1e3 * value("core: share of liquid") * width_m * height_m * depth_m;
        let min_m = 1e-3 * value("core: least side");
        fragment("core")
            .with("name", name)
            .with("medium", self.medium.word())
            .with("face_m_s", value(FACE))
            .with("width_m", width_m.max(min_m))
            .with("height_m", height_m.max(min_m))
            .with("volume_l", volume_l.max(value("core: least volume")))
            .part()
    }

    fn duct_node(&self, stem: &str, recovery: &str, machines: Machines) -> Node {
        let core = fragment("core_in_path").with("core", self.medium.core_name(stem)).part();
        duct_with(stem, self.face_m2 * value(FACE), core, recovery, machines)
    }
}

/// The rule for the speed of the air at the face of a core.
const FACE: &str = "duct: speed at the face of a core";
/// The rule for openings that recover nothing.
const NO_RECOVERY: &str = "opening: recovery";

/// A pump that gives a rise at a flow.
pub(crate) fn pump(name: &str, flow_l_min: f64, rise_kpa: f64) -> Node {
    pump_on(name, flow_l_min, rise_kpa, SUPPLIES[0])
}

fn pump_on(name: &str, flow_l_min: f64, rise_kpa: f64, supply: &str) -> Node {
    fragment("pump")
        .with("name", name)
        .with("flow_l_min", flow_l_min)
        .with("rise_kpa", rise_kpa)
        .with("supply", supply)
        .part()
}

/// A bottle with its cap.
pub(crate) fn reservoir(name: &str, volume_l: f64, cap_kpa: f64) -> Node {
    reservoir_with(name, volume_l, cap_kpa, None)
}

/// The same with connections of a bore.
fn reservoir_with(name: &str, volume_l: f64, cap_kpa: f64, bore: Option<Node>) -> Node {
    fragment("reservoir")
        .with("name", name)
        .with("volume_l", volume_l)
        .with("cap_kpa", cap_kpa)
        .with("bore", bore)
        .part()
}

/// A duct with a fan that moves an air flow, m3/s, through what stands in it.
pub(crate) fn duct(stem: &str, flow_m3_s: f64, inside: Node) -> Node {
    duct_with(stem, flow_m3_s, inside, NO_RECOVERY, Machines::One)
}

fn duct_with(stem: &str, flow_m3_s: f64, inside: Node, recovery: &str, machines: Machines) -> Node {
    let valve = |letter: &str| {
        fragment("flap")
            .with("name", format!("{stem} flap {letter}"))
            .with("flap_m2", 0.5 * flow_m3_s / value("duct: speed in openings"))
            .part()
    };
    let drop_pa = value("duct: drop");
    let (rise_pa, fans) = match machines {
        Machines::One => (drop_pa, fan(&format!("{stem} fan"), flow_m3_s, drop_pa)),
        Machines::Two => {
            let rise_pa = drop_pa + value("flap: drop");
            let machine = |name: &str, m3_s: f64, supply: &str| fan_on(name, m3_s, rise_pa, supply);
            (rise_pa, on_both(stem, "fan", flow_m3_s, &machine, &valve))
        }
    };
    fragment("duct")
        .with("stem", stem)
        .with("opening_m2", flow_m3_s / value("duct: speed in openings"))
        .with("recovery", recovery)
        .with("inside", inside)
        .with("fan", fans)
        .with("flow_m3_s", flow_m3_s)
        .with("face_m_s", value(FACE))
        .with("rise_pa", rise_pa)
        .part()
}

/// A fan that gives a rise at a flow.
pub(crate) fn fan(name: &str, flow_m3_s: f64, rise_pa: f64) -> Node {
    fan_on(name, flow_m3_s, rise_pa, SUPPLIES[0])
}

fn fan_on(name: &str, flow_m3_s: f64, rise_pa: f64, supply: &str) -> Node {
    fragment("fan")
        .with("name", name)
        .with("flow_m3_s", flow_m3_s)
        .with("rise_pa", rise_pa)
        .with("supply", supply)
        .part()
}

/// Fins on a part in an air flow that is laid out for a heat, and that flow, m3/s. `word` is what the rules call the part.
fn fins(name: &str, wall: &str, word: &str, heat_w: f64) -> (Node, f64) {
    let rise_k = value(&format!("fins: rise of the air, {word}"));
    let over_k = value(&format!("fins: wall above the air, {word}"));
    let flow_m3_s = heat_w / (value("hot day: density") * AIR_J_KGK * rise_k);
    let fins = fragment("fins_in_air")
        .with("name", name)
        .with("wall", wall)
        .with("rise_k", rise_k)
        .with("over_k", over_k)
        .with("w_k", heat_w / over_k)
        .with("flow_m3_s", flow_m3_s)
        .with("bore_m", bore_m(flow_m3_s, value("fins: speed")))
        .part();
    (fins, flow_m3_s)
}

/// The duct whose air cools the rotors of all motors, side by side.
fn rotor_duct(first: &First) -> Node {
    let count = first.count(Part::Stator);
    let heat_w = first.heat_w(Part::Stator) * value("motor: share of its loss in the rotor") / count as f64;
    let of_motor = |n: usize| fins(&format!("rotor {n} passages"), &format!("rotor {n}"), "rotor", heat_w);
    let inside = if count == 1 {
        of_motor(1).0
    } else {
        let branch = |n: usize| {
            fragment("branch").with("part", "rotor").with("n", n).with("plate", of_motor(n).0).part()
        };
        let branches: Vec<Node> = (1..=count).map(branch).collect();
        fragment("side_by_side").with("part", "rotor").with("branches", branches).part()
    };
    duct_with("rotor air", of_motor(1).1 * count as f64, inside, NO_RECOVERY, Machines::Two)
}

/// A duct whose air cools a part; each motor has its own.
fn air_duct(first: &First, part: Part, n: usize, recovery: &str) -> Node {
    let heat_w = first.heat_w(part) / first.count(part) as f64;
    let stem = match part {
        Part::Stator | Part::Inverter => format!("{} {n} air", part.word()),
        Part::Gearbox | Part::Pack => format!("{} air", part.word()),
    };
    let (fins, flow_m3_s) = fins(&format!("{stem} fins"), &wall(part, n), part.word(), heat_w);
    duct_with(&stem, flow_m3_s, fins, recovery, Machines::Two)
}

/// A glycol loop that cools a component, with its core and duct. Pump and fan name no supply, so they draw from the bus.
pub(crate) fn new_loop(name: &str, component: &str) -> (Node, Node, Node) {
    let plan = Plan::added();
    let plate = new_plate(&format!("{name} plate"), component);
    let (mut made, mut duct) =
        (plan.loop_node(name, vec![plate], Machines::One), plan.duct_node(name, NO_RECOVERY, Machines::One));
    without_supplies(&mut made);
    without_supplies(&mut duct);
    (made, plan.core_node(&plan.medium.core_name(name)), duct)
}

/// A cold plate under a component, laid out like that of an inverter.
pub(crate) fn new_plate(name: &str, component: &str) -> Node {
    let plan = Plan::added();
    let plate = fragment("plate").with("name", name).with("wall", component);
    plan.plate_of(plate, Part::Inverter, plan.heat_w, 1)
}

/// A radiator by its fins.
pub(crate) fn new_core(name: &str) -> Node {
    Plan::added().core_node(name)
}

/// A surface of a component in a duct, for 1 kW with 40 K between wall and air.
pub(crate) fn new_surface(name: &str, component: &str) -> Node {
    fragment("added_fins").with("name", name).with("wall", component).part()
}

/// Takes the supplies of the pumps and fans of a circuit away, because another project may not have them.
pub(crate) fn without_supplies(circuit: &mut Node) {
    let Some(path) = circuit.field_mut("path") else { return };
    let schema::Tree::List(devices) = &mut path.tree else { return };
    for device in devices {
        if let schema::Tree::Record { fields, .. } = &mut device.tree {
            fields.retain(|(key, _)| key.name != "supply");
        }
    }
}
