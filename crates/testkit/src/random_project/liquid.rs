//! Loops: pumps, hoses, plates, valves, what cools them, and the reservoir.

use super::dice::{quantity, short};
use super::{Dice, Growing, LoopText};

const GLYCOLS: [&str; 6] = [
    "ethylene-glycol:0.5vol",
    "ethylene-glycol:0.5",
    "ethylene-glycol:0.35",
    "propylene-glycol:0.5",
    "propylene-glycol:0.5vol",
    "brine",
];
const OTHERS: [&str; 7] =
    ["water", "turbine-oil", "atf", "gear-oil-75w90", "iso-vg-32", "silicone", "aliphatic"];

/// Sizes that the parts of one loop share.
struct Scale {
    number: usize,
    /// Usual flow, L/min.
    flow: f64,
    /// Usual pressure rise, kPa.
    rise: f64,
    /// Bore of hoses, mm.
    bore: f64,
    is_oil: bool,
}

impl Growing {
    /// Adds one loop with the components it cools.
    pub(super) fn add_loop(&mut self, dice: &mut Dice, number: usize, driven: bool) {
        let fluid = if dice.chance(0.6) { dice.one(&GLYCOLS) } else { dice.one(&OTHERS) };
        let flow = dice.spread(3.0, 60.0);
        let bore = ((flow * 1.7).sqrt() * 3.5).max(6.0) * dice.between(0.8, 1.4);
        let is_oil = fluid.contains("oil") || fluid == "atf" || fluid.starts_with("iso");
        let scale = Scale { number, flow, rise: dice.spread(15.0, 250.0), bore, is_oil };
        let name = format!("loop {number}");
        let mut path = Vec::new();
        self.pumps(dice, &scale, driven, &mut path);
        path.push(hose(dice, &scale, "feed"));
        self.valves(&scale, &mut path);
        self.plates(dice, &scale, driven, &mut path);
        path.push(hose(dice, &scale, "return"));
        if dice.chance(0.25) {
            let name = format!("filter {number}");
            let exponent = dice.between(1.0, 1.9);
            path.push(format!(
                "Filter(name: \"{name}\", flow: Point(drop: {}, at: {}, exponent: {exponent:.2}, temperature: \"60 degC\"))",
                quantity(scale.rise * dice.between(0.02, 0.2), "kPa"),
                quantity(scale.flow, "L/min"),
            ));
            self.parts.resistances.push(name);
        }
        if dice.chance(0.1) {
            path.push(format!(
                "CheckValve(name: \"check {number}\", diameter: {})",
                quantity(scale.bore, "mm")
            ));
        }
        if dice.chance(0.12) {
            self.couplings(dice, &scale, &mut path);
        }
        self.cooler(dice, &scale, &mut path);
        let cap = *dice.one(&[&0.0, &50.0, &90.0, &140.0]);
        path.push(format!(
            "Reservoir(name: \"bottle {number}\", volume: {}, fill: {:.2}, cap: {})",
            dice.even(0.3, 5.0, "L"),
            dice.between(0.3, 0.8),
            quantity(cap, "kPag")
        ));
        self.parts.reservoirs.push(format!("bottle {number}"));
        self.parts.loops.push(name.clone());
        let more = if dice.chance(0.3) {
            format!(
                ", limits: [StationLimit(device: \"return {number}\", side: {}, value: {})]",
                dice.one(&["Inlet", "Outlet"]),
                dice.even(60.0, 110.0, "degC")
            )
        } else {
            String::new()
        };
        self.loops.push(LoopText { name, fluid: fluid.to_owned(), path, more });
    }

    fn pumps(&mut self, dice: &mut Dice, scale: &Scale, driven: bool, path: &mut Vec<String>) {
        let number = scale.number;
        if !dice.chance(0.35) {
            let pump = self.pump(dice, scale, &format!("pump {number}"), driven);
            path.push(pump);
            return;
        }
        let valves = dice.chance(0.75);
        let branches: Vec<String> = ["A", "B"]
            .iter()
            .map(|branch| {
                let pump = self.pump(dice, scale, &format!("pump {number}{branch}"), false);
                let valve = if valves {
                    format!(
                        ", CheckValve(name: \"valve {number}{branch}\", diameter: {})",
                        dice.log(8.0, 25.0, "mm")
                    )
                } else {
                    String::new()
                };
                format!("Branch(name: \"{branch}\", path: [{pump}{valve}])")
            })
            .collect();
        path.push(format!("Parallel(name: \"pumps {number}\", branches: [{}])", branches.join(", ")));
    }

    fn pump(&mut self, dice: &mut Dice, scale: &Scale, name: &str, driven: bool) -> String {
        let end = scale.flow * dice.between(1.5, 2.2);
        let power = match dice.count(0, 2) {
            0 => format!("Efficiency({:.3})", dice.between(0.1, 0.7)),
            1 => format!("Fixed({})", dice.log(10.0, 500.0, "W")),
            _ => format!(
                "Table([(\"0 L/min\", {}), ({}, {})])",
                dice.log(10.0, 300.0, "W"),
                quantity(scale.flow * 1.5, "L/min"),
                dice.log(10.0, 300.0, "W")
            ),
        };
        let sensor = format!("part {}.0", scale.number).replace('.', "-");
        let speed = match dice.count(0, 9) {
            0 => {
                self.parts.controlled.push(name.to_owned());
                format!(
                    ", control: Control(sensor: \"{sensor}\", from: \"30 degC\", to: \"60 degC\", at_from: {:.2}, at_to: 1)",
                    dice.between(0.1, 0.8)
                )
            }
            1 => {
                self.parts.controlled.push(name.to_owned());
                format!(
                    ", on_off: OnOff(sensor: \"{sensor}\", on_above: \"50 degC\", off_below: \"40 degC\", at_off: {:.2})",
                    dice.between(0.0, 0.5)
                )
            }
            2 => format!(", speed: {:.2}", dice.between(0.3, 1.2)),
            3 | 4 if driven => {
                let at = dice.between(1500.0, 5000.0);
                format!(", shaft_drive: ShaftDrive(ratio: 1.5, curve_speed: {})", quantity(at, "rpm"))
            }
            _ => String::new(),
        };
        let into = if dice.chance(0.3) { ", into: \"bay\"" } else { "" };
        if !speed.contains("shaft_drive") {
            self.parts.pumps.push(name.to_owned());
        }
        let curve = format!(
            "curve: [(\"0 L/min\", {}), ({}, {}), ({}, {})], power: {power}",
            quantity(scale.rise * 1.3, "kPa"),
            quantity(scale.flow, "L/min"),
            quantity(scale.rise, "kPa"),
            quantity(end, "L/min"),
            quantity(scale.rise * 0.02, "kPa"),
        );
        let rise = self.displacement(scale).unwrap_or(curve);
        format!(
            "Pump(name: \"{name}\", {rise}{}{speed}{into})",
            if speed.contains("shaft_drive") {
                String::new()
            } else {
                format!(", supply: \"{}\"", dice.one(&["bus A", "bus B"]))
            },
        )
    }

    /// A displacement pump, in some loops: it moves a little more than the flow, and relieves above the pressure that the loop is made for.
    fn displacement(&mut self, scale: &Scale) -> Option<String> {
        let late = self.late.as_mut()?;
        if !late.chance(if scale.is_oil { 0.25 } else { 0.05 }) {
            return None;
        }
        let turns = late.spread(1000.0, 6000.0);
        let moved = scale.flow * late.between(1.0, 1.4);
        Some(format!(
            "displacement: Displacement(per_turn: {}, speed: {}, slip: {}, slip_pressure: {}, slip_viscosity: {}, relief: ReliefSpring(cracking: {}, flow: {}, over: {})), power: Efficiency({:.3})",
            quantity(1e3 * moved / turns, "mL"),
            quantity(turns, "rpm"),
            quantity(moved * late.between(0.01, 0.1), "L/min"),
            quantity(scale.rise, "kPa"),
            late.log(2.0, 60.0, "mPa s"),
            quantity(scale.rise * late.between(0.8, 2.5), "kPa"),
            quantity(moved * late.between(0.2, 1.5), "L/min"),
            quantity(scale.rise * late.between(0.1, 1.0), "kPa"),
            late.between(0.6, 0.92)
        ))
    }

    /// A choke with a relief or bypass valve beside it, in some loops, behind the feed.
    fn valves(&mut self, scale: &Scale, path: &mut Vec<String>) {
        let Some(late) = self.late.as_mut() else { return };
        if !late.chance(0.08) {
            return;
        }
        let number = scale.number;
        let (flow, over) = (late.spread(0.2, 2.0) * scale.flow, late.spread(0.05, 0.5) * scale.rise);
        let (flow, over) = (quantity(flow, "L/min"), quantity(over, "kPa"));
        let valve = if late.chance(0.5) {
            let cracking = quantity(scale.rise * late.between(0.05, 0.6), "kPa");
            format!(
                "ReliefValve(name: \"relief {number}\", spring: ReliefSpring(cracking: {cracking}, flow: {flow}, over: {over}))"
            )
        } else {
            format!("BypassValve(name: \"bypass valve {number}\", flow: {flow}, over: {over})")
        };
        let choke = format!(
            "Restrictor(name: \"choke {number}\", flow: Point(drop: {}, at: {}, exponent: {:.2}))",
            quantity(scale.rise * late.between(0.05, 0.8), "kPa"),
            quantity(scale.flow, "L/min"),
            late.between(1.2, 2.0)
        );
        path.push(format!(
            "Parallel(name: \"relieved {number}\", branches: [Branch(name: \"through choke {number}\", path: [{choke}]), Branch(name: \"beside choke {number}\", path: [{valve}])])"
        ));
    }

    /// The plates and what they cool, in a row or in branches.
    fn plates(&mut self, dice: &mut Dice, scale: &Scale, driven: bool, path: &mut Vec<String>) {
        let number = scale.number;
        let count = *dice.one(&[&1, &1, &2, &2, &3, &4]);
        // what a flow of this size carries at a rise of 1 to 12 K
        let heat_w = scale.flow * if scale.is_oil { 33.0 } else { 58.0 } * dice.between(1.0, 12.0);
        let mut plates: Vec<String> = Vec::new();
        for part in 0..count {
            let component = self.cooled(dice, scale, part, heat_w / count as f64, driven);
            let film = film(dice, scale, true);
            let flow = resistance(dice, scale, &film);
            let name = format!("plate {number}-{part}");
            self.parts.resistances.push(name.clone());
            plates.push(format!(
                "{}(name: \"{name}\", walls: [\"{component}\"], film: {film}, flow: {flow}, volume: {})",
                dice.one(&["ColdPlate", "Jacket"]),
                dice.log(0.02, 2.0, "L")
            ));
            if part > 0 && dice.chance(0.3) {
                self.links.push(format!(
                    "Link(from: \"{component}\", to: \"part {number}-{}\", law: Conductance({}))",
                    part - 1,
                    dice.log(0.5, 80.0, "W/K")
                ));
            }
        }
        if count < 2 || dice.chance(0.5) {
            path.append(&mut plates);
            return;
        }
        let rest = plates.split_off(dice.count(1, count - 1));
        let mut branches = vec![plates, rest];
        if dice.chance(0.3) {
            branches.push(vec![format!(
                "Restrictor(name: \"restrictor {number}\", flow: Loss(coefficient: {}, diameter: {}))",
                short(dice.spread(2.0, 60.0)),
                quantity(scale.bore * 0.6, "mm")
            )]);
        }
        let texts: Vec<String> = branches
            .iter()
            .enumerate()
            .map(|(at, branch)| format!("Branch(name: \"way {at}\", path: [{}])", branch.join(", ")))
            .collect();
        path.push(format!("Parallel(name: \"plates {number}\", branches: [{}])", texts.join(", ")));
    }

    /// A component with its heat and its ways out.
    fn cooled(&mut self, dice: &mut Dice, scale: &Scale, part: usize, heat_w: f64, driven: bool) -> String {
        let name = format!("part {}-{part}", scale.number);
        let segments = *dice.one(&[&1, &1, &1, &3, &6]);
        let hot_spot = if dice.chance(0.3) {
            format!(", hot_spot: HotSpot(per_heat: {})", dice.log(0.5, 10.0, "K/kW"))
        } else {
            String::new()
        };
        self.components.push(format!(
            "Component(name: \"{name}\", capacity: {}, segments: {segments}, limits: [Limit(value: {})]{hot_spot})",
            if dice.chance(0.08) { "\"0 J/K\"".to_owned() } else { dice.log(200.0, 3e5, "J/K") },
            dice.even(70.0, 220.0, "degC")
        ));
        let heat_w = heat_w * dice.between(0.1, 1.0);
        let law = if dice.chance(0.75) {
            format!("Fixed({})", quantity(heat_w, "W"))
        } else {
            let slope = if dice.chance(0.5) {
                format!(", slope: {}", dice.even(0.05, 0.45, "%/K"))
            } else {
                String::new()
            };
            format!("Growing(heat: {}{slope})", quantity(heat_w, "W"))
        };
        let heat = format!("heat {}-{part}", scale.number);
        self.heats.push((heat.clone(), format!("Heat(name: \"{heat}\", into: \"{name}\", law: {law})")));
        if dice.chance(0.5) {
            self.side_path(dice, &name, "bay");
        }
        if driven && scale.number == 0 && part == 0 {
            self.links.push(format!(
                "Link(from: \"iron\", to: \"{name}\", law: Conductance({}))",
                dice.log(40.0, 400.0, "W/K")
            ));
            self.links.push(format!(
                "Link(from: \"inverter\", to: \"{name}\", law: Conductance({}))",
                dice.log(40.0, 400.0, "W/K")
            ));
            self.links.push(format!(
                "Link(from: \"cells\", to: \"{name}\", law: Conductance({}))",
                dice.log(5.0, 400.0, "W/K")
            ));
        }
        name
    }

    fn couplings(&mut self, dice: &mut Dice, scale: &Scale, path: &mut Vec<String>) {
        let number = scale.number;
        self.carts.push(format!(
            "Cart(name: \"cart {number}\", supply: {}, flow: {}, ceiling: {})",
            dice.even(8.0, 22.0, "degC"),
            quantity(scale.flow * dice.between(0.5, 1.2), "L/min"),
            dice.even(3.0, 20.0, "kW")
        ));
        path.push(format!(
            "GroundConnection(name: \"couplings {number}\", cart: \"cart {number}\", connected: Point(drop: \"12 kPa\", at: {}), \
             apart: Loss(coefficient: 0.3, diameter: {}))",
            quantity(scale.flow, "L/min"),
            quantity(scale.bore, "mm")
        ));
        self.parts.couplings.push(format!("couplings {number}"));
    }

    /// A core, an exchanger with the loop before, or both.
    fn cooler(&mut self, dice: &mut Dice, scale: &Scale, path: &mut Vec<String>) {
        let number = scale.number;
        let exchanges = number > 0 && dice.chance(0.2);
        if exchanges {
            let name = format!("exchanger {number}");
            self.exchangers.push(format!(
                "Exchanger(name: \"{name}\", first: \"loop {number}\", second: \"loop {}\", conductance: {}, passing: {}, \
                 first_flow: Point(drop: {}, at: {}), second_flow: Point(drop: \"6 kPa\", at: \"15 L/min\"))",
                number - 1,
                dice.log(50.0, 2000.0, "W/K"),
                dice.one(&["Counterflow", "ParallelFlow", "Crossflow"]),
                quantity(scale.rise * dice.between(0.05, 0.2), "kPa"),
                quantity(scale.flow, "L/min"),
            ));
            path.push(format!("Exchanger(name: \"{name}\")"));
            let before = &mut self.loops[number - 1].path;
            before.insert(before.len() - 1, format!("Exchanger(name: \"{name}\")"));
        }
        if exchanges && !dice.chance(0.3) {
            return;
        }
        let liquid = resistance(dice, scale, "Channels");
        let drop = quantity(scale.rise * dice.between(0.05, 0.3), "kPa");
        let core = self.core(dice, scale.number, scale.flow, &liquid, &drop);
        if dice.chance(0.25) {
            path.push(self.bypass(dice, scale, &core));
        } else {
            path.push(format!("Core(name: \"{core}\")"));
        }
    }

    /// A thermostat that opens to the core and another that closes the way around it.
    fn bypass(&mut self, dice: &mut Dice, scale: &Scale, core: &str) -> String {
        let number = scale.number;
        let sensors = [format!("return {number}"), format!("part {number}-0")];
        let lag =
            if dice.chance(0.3) { format!(", lag: {}", dice.even(2.0, 30.0, "s")) } else { String::new() };
        let (open, shut) = (format!("port {number}"), format!("bypass port {number}"));
        self.parts.thermostats.extend([open.clone(), shut.clone()]);
        self.parts.controlled.push(open.clone());
        format!(
            "Parallel(name: \"bypass {number}\", branches: [Branch(name: \"cool\", path: [Thermostat(name: \"{open}\", sensor: \"{}\", \
             from: \"40 degC\", to: \"60 degC\", diameter: {}{lag}), Core(name: \"{core}\")]), Branch(name: \"around\", path: [\
             Thermostat(name: \"{shut}\", sensor: \"{}\", from: \"40 degC\", to: \"60 degC\", closes: true, diameter: {}, coefficient: {})])])",
            sensors[dice.count(0, 1)],
            quantity(scale.bore, "mm"),
            sensors[dice.count(0, 1)],
            quantity(scale.bore * 0.7, "mm"),
            short(dice.between(4.0, 40.0)),
        )
    }
}

fn hose(dice: &mut Dice, scale: &Scale, which: &str) -> String {
    let climb =
        if dice.chance(0.3) { format!(", climb: {}", dice.even(-2.0, 2.0, "m")) } else { String::new() };
    let around = if dice.chance(0.4) {
        format!(
            ", surroundings: HoseSurroundings(to: \"{}\", conductance: {})",
            dice.one(&["bay", "outside air"]),
            dice.log(0.05, 4.0, "W/K")
        )
    } else {
        String::new()
    };
    format!(
        "Hose(name: \"{which} {}\", length: {}, diameter: {}, losses: {:.2}{climb}{around})",
        scale.number,
        dice.log(0.2, 6.0, "m"),
        quantity(scale.bore, "mm"),
        dice.between(0.0, 4.0)
    )
}

/// A law of the film of a plate.
fn film(dice: &mut Dice, scale: &Scale, with_geometry: bool) -> String {
    match dice.count(0, if with_geometry { 5 } else { 3 }) {
        0 => format!("Fixed({})", dice.log(30.0, 2000.0, "W/K")),
        1 => format!(
            "PowerLaw(conductance: {}, at: {}, exponent: {:.2})",
            dice.log(30.0, 1500.0, "W/K"),
            quantity(scale.flow, "L/min"),
            dice.between(0.0, 0.9)
        ),
        2 => format!(
            "Table([({}, {}), ({}, {})])",
            quantity(scale.flow * 0.3, "L/min"),
            dice.log(30.0, 300.0, "W/K"),
            quantity(scale.flow * 1.5, "L/min"),
            dice.log(300.0, 900.0, "W/K")
        ),
        3 => format!(
            "Measured(points: [({}, {}), ({}, {})], fluid: \"water\", temperature: \"60 degC\", passages: Tubes(count: 12, diameter: \"6 mm\", length: \"0.4 m\"))",
            quantity(scale.flow * 0.3, "L/min"),
            dice.log(30.0, 300.0, "W/K"),
            quantity(scale.flow * 1.5, "L/min"),
            dice.log(300.0, 900.0, "W/K")
        ),
        4 => format!(
            "Channels(count: {}, width: {}, height: {}, length: {})",
            dice.count(4, 60),
            dice.even(1.5, 6.0, "mm"),
            dice.even(1.5, 10.0, "mm"),
            dice.even(0.1, 0.8, "m")
        ),
        _ => format!(
            "Tubes(count: {}, diameter: {}, length: {})",
            dice.count(2, 30),
            dice.even(3.0, 10.0, "mm"),
            dice.even(0.1, 2.0, "m")
        ),
    }
}

/// A pressure loss beside a film.
fn resistance(dice: &mut Dice, scale: &Scale, film: &str) -> String {
    if (film.starts_with("Channels") || film.starts_with("Tubes")) && dice.chance(0.7) {
        return "OfFilm".to_owned();
    }
    let drop = scale.rise * dice.between(0.03, 0.4);
    match dice.count(0, 4) {
        0 | 1 => {
            let exponent = if dice.chance(0.4) {
                format!(", exponent: {:.2}", dice.between(1.0, 2.0))
            } else {
                String::new()
            };
            format!("Point(drop: {}, at: {}{exponent})", quantity(drop, "kPa"), quantity(scale.flow, "L/min"))
        }
        2 => format!(
            "Table(points: [(\"0 L/min\", \"0 kPa\"), ({}, {}), ({}, {})])",
            quantity(scale.flow * 0.5, "L/min"),
            quantity(drop * 0.3, "kPa"),
            quantity(scale.flow, "L/min"),
            quantity(drop, "kPa")
        ),
        3 => format!(
            "Tubes(count: {}, diameter: {}, length: {})",
            dice.count(2, 20),
            dice.even(4.0, 12.0, "mm"),
            dice.even(0.1, 1.0, "m")
        ),
        _ => format!(
            "Loss(coefficient: {}, diameter: {})",
            short(dice.between(0.3, 6.0)),
            quantity(scale.bore, "mm")
        ),
    }
}
