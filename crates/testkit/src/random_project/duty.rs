//! Surroundings, steady points and missions.

use super::dice::{names, quantity};
use super::{Dice, Growing};

const DAYS: [&str; 8] =
    ["Standard", "HotDay", "Hot", "Tropical", "Cold", "Polar", "Offset(\"15 K\")", "Offset(\"-20 K\")"];

impl Growing {
    /// Two to four conditions from -40 to 55 degC and from the ground to 20,000 ft.
    pub(super) fn surroundings(&mut self, dice: &mut Dice, with_missions: bool) {
        // what is flown climbs by up to 3 km, and the tables of the military days end at 20,000 ft
        let ceiling_ft = if with_missions { 10_000.0 } else { 20_000.0 };
        for number in 0..dice.count(2, 4) {
            let name = format!("condition {number}");
            let day = if dice.chance(0.4) {
                format!("Fixed({})", dice.even(-40.0, 55.0, "degC"))
            } else {
                dice.one(&DAYS).to_owned()
            };
            let height = if dice.chance(0.4) { 0.0 } else { dice.between(0.0, ceiling_ft) };
            let speed = if dice.chance(0.25) { 0.0 } else { dice.between(0.0, 150.0) };
            let mut fields = vec![
                format!("name: \"{name}\""),
                format!("day: {day}"),
                format!("pressure_altitude: {}", quantity(height, "ft")),
                format!("airspeed: {}", quantity(speed, "kt")),
            ];
            if dice.chance(0.2) {
                fields.push(format!("ramp_rise: {}", dice.even(0.0, 8.0, "K")));
            }
            if dice.chance(0.2) {
                fields.push(format!("sun: {}", dice.even(200.0, 1120.0, "W/m2")));
            }
            if dice.chance(0.1) {
                fields.push(format!("offset: {}", dice.even(-5.0, 5.0, "K")));
            }
            self.conditions.push((name, format!("Condition({})", fields.join(", "))));
        }
    }

    /// Points that load the parts, let them rest, and stop machines; missions through some of them.
    pub(super) fn operate(&mut self, dice: &mut Dice, with_missions: bool) {
        let driven = self.powertrain.is_some();
        let drive = |dice: &mut Dice, share: f64| {
            if !driven {
                return String::new();
            }
            format!(
                ", shaft_power: {}, shaft_speed: {}, state_of_charge: {:.2}",
                quantity(share * dice.between(10.0, 60.0), "kW"),
                dice.even(1500.0, 2700.0, "rpm"),
                dice.between(0.25, 0.95)
            )
        };
        let full = drive(dice, 1.0);
        self.point("full", &full);
        let low: Vec<String> = self
            .heats
            .iter()
            .map(|(name, _)| format!("PointHeat(name: \"{name}\", heat: {})", dice.log(1.0, 200.0, "W")))
            .collect();
        let shaft = drive(dice, 0.3);
        self.point("low", &format!("{shaft}, heats: [{}]", low.join(", ")));
        let none: Vec<String> = self
            .heats
            .iter()
            .map(|(name, _)| format!("PointHeat(name: \"{name}\", heat: \"0 W\")"))
            .collect();
        self.point("none", &format!(", heats: [{}]", none.join(", ")));
        for (name, machines) in
            [("pumps off", self.parts.pumps.clone()), ("fans off", self.parts.fans.clone())]
        {
            if machines.is_empty() {
                continue;
            }
            let off: Vec<String> = machines
                .iter()
                .filter(|_| dice.chance(0.6))
                .map(|machine| format!("PointSetting(name: \"{machine}\", speed: 0)"))
                .collect();
            self.point(name, &format!("{full}, settings: [{}]", off.join(", ")));
        }
        if !self.parts.shutters.is_empty() {
            let shut: Vec<String> = self
                .parts
                .shutters
                .iter()
                .map(|shutter| {
                    format!("PointSetting(name: \"{shutter}\", speed: {:.2})", dice.between(0.0, 1.0))
                })
                .collect();
            self.point("shutters set", &format!("{full}, settings: [{}]", shut.join(", ")));
        }
        if !self.parts.couplings.is_empty() {
            self.point("on the cart", &format!(", carts: {}", names(&self.parts.couplings)));
        }
        if with_missions {
            for number in 0..dice.count(1, 2) {
                self.mission(dice, number, driven);
            }
        }
    }

    fn point(&mut self, name: &str, more: &str) {
        self.points.push((name.to_owned(), format!("Point(name: \"{name}\"{more})")));
    }

    fn mission(&mut self, dice: &mut Dice, number: usize, driven: bool) {
        let name = format!("mission {number}");
        let keys: Vec<String> = self.points.iter().map(|(name, _)| name.clone()).collect();
        let start = match dice.count(0, 4) {
            0 => String::new(),
            1 => format!(", start: {}", dice.even(-40.0, 50.0, "degC")),
            2 => ", start: Settled".to_owned(),
            3 => format!(
                ", start: Soaked(rise: {}, warmer: [WarmPart(component: \"bay\", rise: \"15 K\")])",
                dice.even(0.0, 10.0, "K")
            ),
            _ => format!(
                ", start: Stated(parts: [StatedPart(component: \"part 0-0\", temperature: {})])",
                dice.even(-20.0, 60.0, "degC")
            ),
        };
        let last = keys[dice.count(0, keys.len() - 1)].clone();
        let ground = if last == "on the cart" { ", ground: true" } else { "" };
        let minutes = *dice.one(&[&1.0, &5.0, &10.0, &30.0]);
        let mut segments = vec![
            format!("Segment(name: \"run\", duration: {}, point: \"full\")", quantity(minutes, "min")),
            format!(
                "Segment(name: \"climb\", height: {}, climb_rate: \"5 m/s\", point: \"full\", airspeed: \"50 m/s\")",
                dice.even(300.0, 3000.0, "m")
            ),
            "Segment(name: \"easy\", duration: \"5 min\", point: \"low\", airspeed: \"30 m/s\")".to_owned(),
            format!("Segment(name: \"last\", duration: \"10 min\", point: \"{last}\"{ground})"),
        ];
        if dice.chance(0.4) {
            let until = match dice.count(0, 2) {
                0 => "CooledTo(component: \"part 0-0\", temperature: \"70 degC\")".to_owned(),
                1 => "WarmedTo(component: \"part 0-0\", temperature: \"60 degC\")".to_owned(),
                _ => "Stabilised()".to_owned(),
            };
            segments.push(format!(
                "Segment(name: \"wait\", duration: \"20 min\", point: \"low\", until: {until})"
            ));
        }
        if driven && self.parts.has_pack && dice.chance(0.4) {
            segments.push(
                "Segment(name: \"charge\", duration: \"40 min\", ground: true, charge: Charge(to: 0.95))"
                    .to_owned(),
            );
        }
        self.missions.push((
            name.clone(),
            format!(
                "Mission(name: \"{name}\"{start}, state_of_charge: {:.2}, segments: [\n    {}], soak: \"20 min\")",
                dice.between(0.8, 1.0),
                segments.join(",\n    ")
            ),
        ));
    }
}
