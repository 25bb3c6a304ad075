//! Cores and the ducts they stand in.

use super::dice::{quantity, short};
use super::{Dice, Growing};

impl Growing {
    /// Adds a core between a loop of this usual flow and a duct that is made later; returns its name.
    pub(super) fn core(
        &mut self,
        dice: &mut Dice,
        number: usize,
        flow: f64,
        liquid: &str,
        drop: &str,
    ) -> String {
        let name = format!("core {number}");
        let (width, height, depth) =
            (dice.between(100.0, 600.0), dice.between(80.0, 450.0), dice.between(15.0, 90.0));
        let size = |width: f64| {
            format!(
                "width: {}, height: {}, depth: {}",
                quantity(width, "mm"),
                quantity(height, "mm"),
                quantity(depth, "mm")
            )
        };
        let kind = dice.count(0, 19);
        let transfer = match kind {
            0..=7 => format!("Louvered({})", size(width)),
            8..=11 => format!("OffsetStrip({})", size(width * 0.6)),
            12..=14 => format!("Fixed({})", dice.log(30.0, 1500.0, "W/K")),
            15 | 16 => format!(
                "Sides(liquid: PowerLaw(conductance: {}, at: {}), air: PowerLaw(conductance: {}, at: \"0.3 m3/s\", exponent: 0.6))",
                dice.log(100.0, 3000.0, "W/K"),
                quantity(flow, "L/min"),
                dice.log(50.0, 1500.0, "W/K")
            ),
            _ => {
                let base = dice.spread(40.0, 400.0);
                let at = |factor: f64| quantity(base * factor, "W/K");
                format!(
                    "Map(liquid: [{}, {}], air: [\"0.05 m3/s\", \"0.6 m3/s\"], conductance: [{}, {}, {}, {}]{})",
                    quantity(flow * 0.3, "L/min"),
                    quantity(flow * 1.4, "L/min"),
                    at(1.0),
                    at(1.8),
                    at(1.4),
                    at(2.7),
                    if dice.chance(0.5) { ", altitude: \"2000 ft\"" } else { "" }
                )
            }
        };
        let is_built = kind <= 11;
        let liquid_flow = if liquid == "OfFilm" && !is_built {
            format!("Point(drop: {drop}, at: {})", quantity(flow, "L/min"))
        } else {
            liquid.to_owned()
        };
        let face_m2 = width * height * 1e-6;
        let air_flow = if is_built && dice.chance(0.8) {
            "OfFins".to_owned()
        } else if dice.chance(0.5) {
            format!("Point(drop: {}, at: \"0.3 m3/s\")", dice.log(20.0, 600.0, "Pa"))
        } else {
            format!(
                "Face(coefficient: {}, area: {})",
                short(dice.between(1.0, 30.0)),
                quantity(face_m2, "m2")
            )
        };
        let fouling = if dice.chance(0.2) {
            format!(", fouling: {}", dice.log(1e-5, 1e-3, "K/W"))
        } else {
            String::new()
        };
        let blocked = if dice.chance(0.1) {
            format!(", blocked: {:.2}", dice.between(0.05, 0.4))
        } else {
            String::new()
        };
        self.cores.push(format!(
            "Core(name: \"{name}\", transfer: {transfer}, liquid_flow: {liquid_flow}, air_flow: {air_flow}, volume: {}{fouling}{blocked})",
            dice.log(0.1, 3.0, "L")
        ));
        self.bare_cores.push((name.clone(), face_m2));
        self.parts.cores.push(name.clone());
        name
    }

    /// Puts every core into a duct, up to four in one, and adds a duct that washes a part now and then.
    pub(super) fn add_ducts(&mut self, dice: &mut Dice) {
        let mut number = 0;
        while !self.bare_cores.is_empty() {
            let most = *dice.one(&[&1, &1, &1, &2, &3, &4]);
            let count = most.min(self.bare_cores.len());
            let group: Vec<(String, f64)> = self.bare_cores.drain(..count).collect();
            self.duct(dice, number, &group);
            number += 1;
        }
        if dice.chance(0.15) {
            self.washed_part(dice, number);
        }
    }

    fn duct(&mut self, dice: &mut Dice, number: usize, cores: &[(String, f64)]) {
        let face = cores.iter().map(|(_, area)| *area).fold(0.0, f64::max);
        let mut path = vec![format!(
            "Inlet(name: \"inlet {number}\", area: {}, recovery: {:.2}, losses: {:.2})",
            quantity(face * dice.between(0.15, 1.0), "m2"),
            dice.between(-0.2, 0.95),
            dice.between(0.1, 0.8)
        )];
        self.parts.inlets.push(format!("inlet {number}"));
        if dice.chance(0.2) {
            path.push(format!(
                "Screen(name: \"screen {number}\", flow: Loss(coefficient: {}, diameter: {}), volume: \"0 L\")",
                short(dice.between(0.3, 3.0)),
                quantity((face * 1.2).sqrt(), "m")
            ));
            self.parts.resistances.push(format!("screen {number}"));
        }
        if dice.chance(0.2) {
            path.push(self.shutter(dice, number, face));
        }
        let core = |(name, _): &(String, f64)| format!("Core(name: \"{name}\")");
        if cores.len() >= 2 && dice.chance(0.4) {
            let branches: Vec<String> = cores
                .iter()
                .enumerate()
                .map(|(at, pair)| format!("Branch(name: \"side {at}\", path: [{}])", core(pair)))
                .collect();
            path.push(format!("Parallel(name: \"split {number}\", branches: [{}])", branches.join(", ")));
        } else {
            path.extend(cores.iter().map(core));
        }
        self.fans(dice, number, face, &mut path);
        path.push(format!(
            "Outlet(name: \"outlet {number}\", area: {}, recovery: {:.2})",
            quantity(face * dice.between(0.15, 1.0), "m2"),
            if dice.chance(0.6) { 0.0 } else { dice.between(-0.3, 0.9) }
        ));
        let again = if dice.chance(0.2) {
            format!(", recirculation: {:.2}", dice.between(0.0, 0.5))
        } else {
            String::new()
        };
        self.ducts
            .push(format!("Duct(name: \"duct {number}\", path: [\n    {}]{again})", path.join(",\n    ")));
    }

    fn shutter(&mut self, dice: &mut Dice, number: usize, face: f64) -> String {
        let name = format!("shutter {number}");
        let setting = if dice.chance(0.5) {
            format!("opening: {:.2}", dice.between(0.0, 1.0))
        } else {
            self.parts.controlled.push(name.clone());
            "control: Control(sensor: \"part 0-0\", from: \"40 degC\", to: \"70 degC\", at_from: 0, at_to: 1)"
                .to_owned()
        };
        self.parts.shutters.push(name.clone());
        format!(
            "Shutter(name: \"{name}\", area: {}, {setting})",
            quantity(face * dice.between(0.3, 1.0), "m2")
        )
    }

    fn fans(&mut self, dice: &mut Dice, number: usize, face: f64, path: &mut Vec<String>) {
        if !dice.chance(0.65) {
            return;
        }
        let flow = face * dice.spread(2.0, 12.0);
        if !dice.chance(0.25) {
            let fan = self.fan(dice, &format!("fan {number}"), flow);
            path.push(fan);
            return;
        }
        // side by side, each drawn alone: a weak one beside a strong one is not rare
        let flaps = dice.chance(0.8);
        let branches: Vec<String> = ["a", "b"]
            .iter()
            .map(|side| {
                let fan = self.fan(dice, &format!("fan {number}{side}"), flow);
                let flap = if flaps {
                    format!(", Flap(name: \"flap {number}{side}\", area: {})", quantity(face * 0.4, "m2"))
                } else {
                    String::new()
                };
                format!("Branch(name: \"{side}\", path: [{fan}{flap}])")
            })
            .collect();
        path.push(format!("Parallel(name: \"fans {number}\", branches: [{}])", branches.join(", ")));
    }

    fn fan(&mut self, dice: &mut Dice, name: &str, flow: f64) -> String {
        let rise = dice.spread(60.0, 1500.0);
        let power = if dice.chance(0.5) {
            format!("Fixed({})", dice.log(30.0, 900.0, "W"))
        } else {
            format!("Efficiency({:.2})", dice.between(0.2, 0.7))
        };
        let into = if dice.chance(0.2) { ", into: \"bay\"" } else { "" };
        self.parts.fans.push(name.to_owned());
        format!(
            "Fan(name: \"{name}\", curve: [(\"0 m3/s\", {}), ({}, {}), ({}, \"0 Pa\")], power: {power}, supply: \"{}\", volume: \"0 L\"{into})",
            quantity(rise, "Pa"),
            quantity(flow, "m3/s"),
            quantity(rise * 0.7, "Pa"),
            quantity(flow * 1.8, "m3/s"),
            dice.one(&["bus A", "bus B"])
        )
    }

    /// A duct whose air washes the first part: the rotor of a machine, for example.
    fn washed_part(&mut self, dice: &mut Dice, number: usize) {
        let fan = self.fan(dice, &format!("fan {number}"), 0.08);
        self.ducts.push(format!(
            "Duct(name: \"duct {number}\", path: [Inlet(name: \"inlet {number}\", area: \"0.01 m2\", recovery: 0.6), \
             Surface(name: \"surface {number}\", walls: [\"part 0-0\"], film: PowerLaw(conductance: {}, at: \"0.06 m3/s\", exponent: 0.75), \
             flow: Loss(coefficient: 4, diameter: \"80 mm\"), volume: \"0 L\"), {fan}, Outlet(name: \"outlet {number}\", area: \"0.01 m2\")])",
            dice.log(2.0, 30.0, "W/K")
        ));
        self.parts.inlets.push(format!("inlet {number}"));
    }
}
