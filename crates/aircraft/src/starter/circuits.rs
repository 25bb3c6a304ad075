//! Loops and ducts, sized so that a first solution is near the mark.

use super::answers::{Answers, Cooling, Part};
use super::drive::{SUPPLY, wall};
use super::heat::First;
use super::nodes::{PLACEHOLDER, assumed, curve, list, quantity, record, tagged, text};
use schema::Node;

/// Air of a hot day at sea level, degC: 14 CFR 27.1043, 100 degF.
const HOT_DAY_C: f64 = 37.8;
/// Air density on that day, kg/m3.
const HOT_DAY_KG_M3: f64 = 1.136;
/// Speed of the air at the face of a core, m/s: 2.5 to 5 by a fan, common practice, no source.
const FACE_M_S: f64 = 4.0;
/// Speed of the air in openings of ducts, m/s. Judgement.
const OPENING_M_S: f64 = 8.0;
/// Loss of a core and its duct at that speed, Pa: 80 to 400 for a core at 3 to 6 m/s, common practice, no source.
const DUCT_PA: f64 = 230.0;

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
    fn fluid(self) -> &'static str {
        match self {
            Self::Glycol => "ethylene-glycol:0.5vol",
            Self::Oil => "turbine-oil",
            Self::Insulating => "silicone",
        }
    }

    /// Flow for each kilowatt of heat, L/min, and where that is from.
    fn flow(self) -> (f64, &'static str) {
        match self {
            Self::Glycol => (2.0, "2 L/min for each kW: 1.5 to 4 is common practice, no source"),
            Self::Oil | Self::Insulating => (3.5, "3.5 L/min for each kW: 10 K of rise in oil"),
        }
    }

    /// Loss of one cold plate or jacket at its flow, kPa.
    fn plate_kpa(self) -> f64 {
        if self == Self::Glycol { 10.0 } else { 25.0 }
    }
}

/// Liquid temperature into the core that a part is laid out for, degC, and what the wall lies above the liquid, K.
fn design(part: Part, medium: Medium) -> (f64, f64) {
    match (part, medium) {
        (Part::Stator | Part::Gearbox, Medium::Glycol) => (75.0, 15.0),
        (Part::Stator, _) => (95.0, 20.0),
        (Part::Inverter, _) => (62.0, 6.0),
        (Part::Gearbox, _) => (90.0, 10.0),
        (Part::Pack, _) => (47.0, 3.0),
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
    let shared = with(Cooling::SharedLoop, false);
    if !shared.is_empty() {
        made.add_loop(first, "shared", &shared, Medium::Glycol);
    }
    for part in with(Cooling::OwnLoop, false) {
        made.add_loop(first, part.word(), &[part], Medium::Glycol);
    }
    let oil = with(Cooling::Oil, true);
    if !oil.is_empty() {
        made.add_loop(first, "oil", &oil, Medium::Oil);
    }
    if answers.pack_cooling == Cooling::Oil {
        made.add_loop(first, "pack", &[Part::Pack], Medium::Insulating);
    }
    for part in with(Cooling::Air, false) {
        made.ducts.extend((1..=first.count(part)).map(|n| air_duct(first, part, n)));
    }
    made.set_inlets(answers);
    made
}

impl Circuits {
    fn add_loop(&mut self, first: &First, stem: &str, parts: &[Part], medium: Medium) {
        let plan = Plan::new(first, parts, medium);
        self.loops.push(plan.loop_node(first, stem, parts));
        self.cores.push(plan.core_node(stem));
        self.ducts.push(plan.duct_node(stem));
    }

    /// Wings recover pressure of the air stream at inlets; under a rotor none is counted on.
    fn set_inlets(&mut self, answers: &Answers) {
        let recovery = match answers.kind {
            super::CraftKind::Aeroplane => {
                assumed(0.6, "", "flush inlet, 0.5 to 0.9, common practice, no source")
            }
            super::CraftKind::Rotorcraft => assumed(0.0, "", "in the hover an inlet recovers nothing"),
        };
        for duct in &mut self.ducts {
            let Some(path) = duct.field_mut("path") else { continue };
            let schema::Tree::List(devices) = &mut path.tree else { continue };
            for device in devices.iter_mut().filter(|device| device.tag() == Some("Inlet")) {
                if let Some(field) = device.field_mut("recovery") {
                    *field = recovery.clone();
                }
            }
        }
    }
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
        let coolest_c = parts.iter().map(|part| design(*part, medium).0).fold(f64::INFINITY, f64::min);
        let difference_k = coolest_c - HOT_DAY_C;
        Self {
            medium,
            heat_w,
            flow_l_min: (1e-3 * heat_w * medium.flow().0).max(5.0),
            difference_k,
            face_m2: (heat_w / (face_w_m2k(medium) * difference_k)).max(0.006),
        }
    }

    fn loop_node(&self, first: &First, stem: &str, parts: &[Part]) -> Node {
        self.loop_with(stem, parts.iter().map(|part| self.plates(first, *part)).collect())
    }

    /// A loop with plates and jackets one after the other.
    fn loop_with(&self, stem: &str, stages: Vec<Node>) -> Node {
        let rise_kpa = 1.3 * (15.0 + self.medium.plate_kpa() * stages.len() as f64);
        let mut path = vec![self.pump(stem, rise_kpa), self.hose(&format!("{stem} feed"))];
        path.extend(stages);
        path.push(self.hose(&format!("{stem} return")));
        path.push(record("Core", vec![("name", text(core_name(stem, self.medium)))]));
        path.push(self.reservoir(stem));
        let mut fields =
            vec![("name", text(stem)), ("fluid", text(self.medium.fluid())), ("path", list(path))];
        if self.medium != Medium::Glycol {
            fields.push(("boiling_margin", assumed(0.0, "K", "this liquid decomposes before it boils")));
        }
        let note = format!(
            "{PLACEHOLDER}; laid out for {} of heat with the liquid {} above a hot day. Pump: {}, {} at that flow.",
            quantity(1e-3 * self.heat_w, "kW"),
            quantity(self.difference_k, "K"),
            self.medium.flow().1,
            quantity(rise_kpa, "kPa"),
        );
        fields.push(("note", text(note)));
        record("Loop", fields)
    }

    fn pump(&self, stem: &str, rise_kpa: f64) -> Node {
        pump(&format!("{stem} pump"), self.flow_l_min, rise_kpa)
    }

    fn hose(&self, name: &str) -> Node {
        let bore_m = (self.flow_l_min / 6e4 / 1.5 / std::f64::consts::FRAC_PI_4).sqrt();
        record(
            "Hose",
            vec![
                ("name", text(name)),
                ("length", assumed(1.5, "m", "judgement")),
                (
                    "diameter",
                    assumed(1e3 * bore_m.max(8e-3), "mm", "1.5 m/s: 1 to 2 is common practice, no source"),
                ),
                ("losses", assumed(1.5, "", "three bends, judgement")),
            ],
        )
    }

    /// The plate or jacket of a part; of several motors side by side.
    fn plates(&self, first: &First, part: Part) -> Node {
        let count = first.count(part);
        let one = |n: usize| self.plate(first, part, n, count);
        if count == 1 {
            return one(1);
        }
        let branch = |n: usize| {
            record(
                "Branch",
                vec![("name", text(format!("{} way {n}", part.word()))), ("path", list(vec![one(n)]))],
            )
        };
        let branches = list((1..=count).map(branch).collect());
        record("Parallel", vec![("name", text(format!("{} branches", part.word()))), ("branches", branches)])
    }

    fn plate(&self, first: &First, part: Part, n: usize, count: usize) -> Node {
        let (tag, name) = match part {
            Part::Stator => ("Jacket", format!("stator jacket {n}")),
            Part::Inverter => ("ColdPlate", format!("inverter plate {n}")),
            Part::Gearbox => ("Jacket", "sump jacket".to_owned()),
            Part::Pack => ("ColdPlate", "pack plate".to_owned()),
        };
        let over_k = design(part, self.medium).1;
        self.plate_of(&name, tag, &wall(part, n), (first.heat_w(part), count, over_k))
    }

    /// One of several plates side by side that take a heat together, W, with the wall above the liquid, K.
    fn plate_of(
        &self,
        name: &str,
        tag: &str,
        wall: &str,
        (heat_w, count, over_k): (f64, usize, f64),
    ) -> Node {
        let flow = quantity(self.flow_l_min / count as f64, "L/min");
        let rule = format!("wall {over_k:.0} K above the liquid at the heat of the layout");
        let at = |rule: &str| assumed(self.flow_l_min / count as f64, "L/min", rule);
        let film = record(
            "PowerLaw",
            vec![
                ("conductance", assumed(heat_w / count as f64 / over_k, "W/K", &rule)),
                ("at", at("flow of the layout")),
                ("exponent", assumed(0.7, "", "between laminar and turbulent, judgement")),
            ],
        );
        let drop = assumed(self.medium.plate_kpa(), "kPa", &format!("at {flow}, judgement"));
        let flow = record("Point", vec![("drop", drop), ("at", at("flow of the layout"))]);
        let volume_l = (0.02 * self.flow_l_min / count as f64).max(0.1);
        record(
            tag,
            vec![
                ("name", text(name)),
                ("walls", list(vec![text(wall)])),
                ("film", film),
                ("flow", flow),
                ("volume", assumed(volume_l, "L", "1.2 s of flow, judgement")),
            ],
        )
    }

    fn reservoir(&self, stem: &str) -> Node {
        let cap_kpa = if self.medium == Medium::Glycol { 90.0 } else { 0.0 };
        reservoir(&format!("{stem} bottle"), (0.08 * self.flow_l_min).max(0.6), cap_kpa)
    }

    fn core_node(&self, stem: &str) -> Node {
        let (kind, depth_mm) =
            if self.medium == Medium::Glycol { ("Louvered", 40.0) } else { ("OffsetStrip", 60.0) };
        let rule = format!(
            "{:.1} kW for each m2 of face and kelvin above the air, {} m/s at the face: common practice, no source",
            1e-3 * face_w_m2k(self.medium),
            FACE_M_S
        );
        let height_m = (self.face_m2 / 1.3).sqrt();
        core(&core_name(stem, self.medium), kind, (1.3 * height_m, height_m, 1e-3 * depth_mm), &rule)
    }

    fn duct_node(&self, stem: &str) -> Node {
        let core = record("Core", vec![("name", text(core_name(stem, self.medium)))]);
        duct(stem, self.face_m2 * FACE_M_S, core)
    }
}

/// Heat over face area and temperature difference, W/(m2 K): 1.5 to 4 kW for radiators at 3 to 6 m/s, 0.4 to 1.2 for oil coolers;
/// common practice, no source.
fn face_w_m2k(medium: Medium) -> f64 {
    if medium == Medium::Glycol { 2000.0 } else { 800.0 }
}

fn core_name(stem: &str, medium: Medium) -> String {
    if medium == Medium::Glycol { format!("{stem} radiator") } else { format!("{stem} cooler") }
}

/// A pump that gives a rise at a flow.
pub(crate) fn pump(name: &str, flow_l_min: f64, rise_kpa: f64) -> Node {
    let points = [
        (0.0, 1.5 * rise_kpa),
        (0.6 * flow_l_min, 1.3 * rise_kpa),
        (flow_l_min, rise_kpa),
        (1.6 * flow_l_min, 0.05 * rise_kpa),
    ];
    record(
        "Pump",
        vec![
            ("name", text(name)),
            ("curve", curve(&points, ("L/min", "kPa"))),
            ("power", tagged("Efficiency", assumed(0.35, "", "0.25 to 0.45, common practice, no source"))),
            ("supply", text(SUPPLY)),
        ],
    )
}

/// A bottle with its cap.
pub(crate) fn reservoir(name: &str, volume_l: f64, cap_kpa: f64) -> Node {
    record(
        "Reservoir",
        vec![
            ("name", text(name)),
            ("volume", assumed(volume_l, "L", "room for expansion and a reserve against leaks, judgement")),
            ("fill", assumed(0.6, "", "common practice, no source")),
            ("cap", assumed(cap_kpa, "kPag", "common practice, no source")),
        ],
    )
}

/// A core given by its fins: width, height and depth of its face.
pub(crate) fn core(
    name: &str,
    kind: &str,
    (width_m, height_m, depth_m): (f64, f64, f64),
    rule: &str,
) -> Node {
    let fins = record(
        kind,
        vec![
            ("width", assumed(1e3 * width_m.max(0.06), "mm", rule)),
            ("height", assumed(1e3 * height_m.max(0.06), "mm", rule)),
            ("depth", assumed(1e3 * depth_m, "mm", "judgement")),
        ],
    );
    let volume_l = 1e3 * 0.2 * width_m * height_m * depth_m;
    record(
        "Core",
        vec![
            ("name", text(name)),
            ("transfer", fins),
            ("liquid_flow", Node::word("OfFilm")),
            ("air_flow", Node::word("OfFins")),
            ("volume", assumed(volume_l.max(0.05), "L", "a fifth of the core, common practice, no source")),
        ],
    )
}

/// A duct with a fan that moves an air flow, m3/s, through what stands in it.
pub(crate) fn duct(stem: &str, flow_m3_s: f64, inside: Node) -> Node {
    let opening = |tag: &str, name: String| {
        let area = assumed(1e4 * flow_m3_s / OPENING_M_S, "cm2", "8 m/s by the fan alone, judgement");
        record(
            tag,
            vec![("name", text(name)), ("area", area), ("recovery", assumed(0.0, "", "suction not counted"))],
        )
    };
    let note = format!(
        "{PLACEHOLDER}; laid out for {}: {FACE_M_S} m/s at the face of a core, or air 15 K warmer behind what it cools. Fan: {} at \
         that flow.",
        quantity(flow_m3_s, "m3/s"),
        quantity(DUCT_PA, "Pa")
    );
    record(
        "Duct",
        vec![
            ("name", text(format!("{stem} duct"))),
            (
                "path",
                list(vec![
                    opening("Inlet", format!("{stem} inlet")),
                    inside,
                    fan(&format!("{stem} fan"), flow_m3_s, DUCT_PA),
                    opening("Outlet", format!("{stem} outlet")),
                ]),
            ),
            ("note", text(note)),
        ],
    )
}

/// A fan that gives a rise at a flow.
pub(crate) fn fan(name: &str, flow_m3_s: f64, rise_pa: f64) -> Node {
    let points = [
        (0.0, 1.7 * rise_pa),
        (0.6 * flow_m3_s, 1.4 * rise_pa),
        (flow_m3_s, rise_pa),
        (1.7 * flow_m3_s, 0.0),
    ];
    record(
        "Fan",
        vec![
            ("name", text(name)),
            ("curve", curve(&points, ("m3/s", "Pa"))),
            ("power", tagged("Efficiency", assumed(0.35, "", "0.25 to 0.45, common practice, no source"))),
            ("supply", text(SUPPLY)),
            ("volume", assumed(0.0, "L", "air stores next to nothing")),
        ],
    )
}

/// A duct whose air cools a part; each motor has its own.
fn air_duct(first: &First, part: Part, n: usize) -> Node {
    let heat_w = first.heat_w(part) / first.count(part) as f64;
    // Rise of the air, and of the wall above the air, K.
    let (rise_k, over_k) = match part {
        Part::Stator | Part::Gearbox => (15.0, 55.0),
        Part::Inverter => (15.0, 30.0),
        Part::Pack => (6.0, 8.0),
    };
    let flow_m3_s = heat_w / (HOT_DAY_KG_M3 * 1006.0 * rise_k);
    let stem = match part {
        Part::Stator | Part::Inverter => format!("{} {n} air", part.word()),
        Part::Gearbox | Part::Pack => format!("{} air", part.word()),
    };
    let rule = format!("air {rise_k:.0} K warmer, wall {over_k:.0} K above it at full power");
    let film = record(
        "PowerLaw",
        vec![
            ("conductance", assumed(heat_w / over_k, "W/K", &rule)),
            ("at", assumed(flow_m3_s, "m3/s", &rule)),
            ("exponent", assumed(0.75, "", "turbulent air, judgement")),
            ("temperature", assumed(HOT_DAY_C, "degC", "hot day")),
            ("density", assumed(HOT_DAY_KG_M3, "kg/m3", "hot day")),
        ],
    );
    // Two velocity heads at 10 m/s: about 120 Pa.
    let bore_m = (flow_m3_s / 10.0 / std::f64::consts::FRAC_PI_4).sqrt();
    let loss = record(
        "Loss",
        vec![
            ("coefficient", assumed(2.0, "", "two velocity heads, judgement")),
            ("diameter", assumed(1e3 * bore_m, "mm", "10 m/s between the fins")),
        ],
    );
    let fins = record(
        "Surface",
        vec![
            ("name", text(format!("{stem} fins"))),
            ("walls", list(vec![text(wall(part, n))])),
            ("film", film),
            ("flow", loss),
            ("volume", assumed(0.0, "L", "air stores next to nothing")),
        ],
    );
    duct(&stem, flow_m3_s, fins)
}

/// Heat that a loop added to a project is laid out for, W. Judgement: it is to be replaced.
const ADDED_W: f64 = 3e3;

/// A glycol loop that cools a component, with its core and duct. Pump and fan name no supply, so they draw from the bus.
pub(crate) fn new_loop(name: &str, component: &str) -> (Node, Node, Node) {
    let plan = added();
    let plate = plan.plate_of(&format!("{name} plate"), "ColdPlate", component, (ADDED_W, 1, 6.0));
    let (mut made, mut duct) = (plan.loop_with(name, vec![plate]), plan.duct_node(name));
    without_supplies(&mut made);
    without_supplies(&mut duct);
    (made, plan.core_node(name), duct)
}

/// What a part added to a project is laid out for: 3 kW with glycol.
fn added() -> Plan {
    let difference_k = 62.0 - HOT_DAY_C;
    Plan {
        medium: Medium::Glycol,
        heat_w: ADDED_W,
        flow_l_min: 1e-3 * ADDED_W * Medium::Glycol.flow().0,
        difference_k,
        face_m2: ADDED_W / (face_w_m2k(Medium::Glycol) * difference_k),
    }
}

/// A cold plate under a component.
pub(crate) fn new_plate(name: &str, component: &str) -> Node {
    added().plate_of(name, "ColdPlate", component, (ADDED_W, 1, 6.0))
}

/// A radiator by its fins.
pub(crate) fn new_core(name: &str) -> Node {
    let made = added().core_node(name);
    let mut made = made;
    if let Some(field) = made.field_mut("name") {
        *field = text(name);
    }
    made
}

/// A surface of a component in a duct, for 1 kW with 40 K between wall and air.
pub(crate) fn new_surface(name: &str, component: &str) -> Node {
    let rule = "1 kW with the wall 40 K above the air";
    let film = record(
        "PowerLaw",
        vec![
            ("conductance", assumed(25.0, "W/K", rule)),
            ("at", assumed(0.1, "m3/s", rule)),
            ("exponent", assumed(0.75, "", "turbulent air, judgement")),
        ],
    );
    let loss = record(
        "Loss",
        vec![
            ("coefficient", assumed(2.0, "", "two velocity heads, judgement")),
            ("diameter", assumed(110.0, "mm", "10 m/s between the fins")),
        ],
    );
    record(
        "Surface",
        vec![
            ("name", text(name)),
            ("walls", list(vec![text(component)])),
            ("film", film),
            ("flow", loss),
            ("volume", assumed(0.0, "L", "air stores next to nothing")),
        ],
    )
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
