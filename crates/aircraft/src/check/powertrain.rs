//! Checks of motors, gearbox, pack and converters.

use super::Check;
use crate::records::powertrain::{Bus, Cell, InverterLosses, Motor, MotorFailure, MotorLosses, Powertrain};
use crate::records::study::Point;
use schema::{Input, InputKind, Problem};
use std::collections::BTreeMap;

/// Take-off power beyond this time needs temperature limits of its own (27.1521(b)(4)), s.
const LONG_TAKE_OFF_S: f64 = 120.0;

impl<'a> Check<'a> {
    pub(super) fn powertrain(&mut self) {
        let Some(powertrain) = &self.project.powertrain else { return };
        let components = self.components();
        for motor in &powertrain.motors {
            let path = format!("powertrain.motors.{}", motor.name.as_str());
            let needed = [
                ("winding", Some(&motor.winding)),
                ("iron", Some(&motor.iron)),
                ("rotor", Some(&motor.rotor)),
                ("inverter", Some(&motor.inverter)),
                ("windage_into", motor.windage_into.as_ref()),
                ("cable_into", motor.cable_into.as_ref()),
                ("derate.sensor", motor.derate.as_ref().map(|d| &d.sensor)),
            ];
            for (field, component) in needed {
                if let Some(component) = component {
                    self.refers(format!("{path}.{field}"), component, "component", &components);
                }
            }
            self.motor_tables(motor, &path);
            self.short(motor, &path);
            if let Some(derate) = &motor.derate {
                self.ramp(&format!("{path}.derate"), derate.from.si(), derate.to.si());
            }
        }
        self.converters(powertrain, &components);
        if let Some(gearbox) = &powertrain.gearbox {
            self.refers("powertrain.gearbox.sump".to_owned(), &gearbox.sump, "component", &components);
        }
        if let Bus::Pack(pack) = &powertrain.bus {
            self.refers("powertrain.bus.cells".to_owned(), &pack.cells, "component", &components);
            if let Some(into) = &pack.interconnect_into {
                self.refers("powertrain.bus.interconnect_into".to_owned(), into, "component", &components);
            }
            for conductor in &pack.conductors {
                let path = format!("powertrain.bus.conductors.{}.into", conductor.name.as_str());
                self.refers(path, &conductor.into, "component", &components);
            }
            self.cell_table(&pack.cell);
        }
    }

    /// A short that nothing can be said about is worth a word before anything fails.
    fn short(&mut self, motor: &Motor, path: &str) {
        let knows = matches!(&motor.losses, MotorLosses::Machine(machine) if machine.inductance.is_some());
        if motor.failure == MotorFailure::Shorted && !knows {
            self.problems.push(Problem::warning(
                format!("{path}.failure"),
                "the current of a short is not known without machine parameters and an inductance: an outage of this motor is not judged",
                "give losses as Machine(.., inductance: ..), or state failure: Open",
            ));
        }
    }

    /// What is stated beside a measured table of resistance would have no effect.
    fn cell_table(&mut self, cell: &Cell) {
        if cell.resistance_table.is_none() {
            return;
        }
        let stated = [
            ("cold_growth", cell.cold_growth.stated()),
            ("hot_growth", cell.hot_growth.stated()),
            ("charge_factor", cell.charge_factor.is_some()),
        ];
        for (field, _) in stated.into_iter().filter(|(_, is_stated)| *is_stated) {
            self.error(
                format!("powertrain.bus.cell.{field}"),
                format!("{field} has no effect beside a resistance_table, which says what temperature and charge do"),
                format!("leave out {field}, or the table"),
            );
        }
    }

    fn converters(&mut self, powertrain: &'a Powertrain, components: &[&str]) {
        let supplies: Vec<&str> = self.project.supplies.iter().map(|s| s.name.as_str()).collect();
        let mut fed: BTreeMap<&str, &str> = BTreeMap::new();
        for converter in &powertrain.converters {
            let name = converter.name.as_str();
            let path = format!("powertrain.converters.{name}");
            self.refers(format!("{path}.into"), &converter.into, "component", components);
            for supply in &converter.supplies {
                self.refers(format!("{path}.supplies"), supply, "supply", &supplies);
                if let Some(other) = fed.insert(supply, name) {
                    self.error(
                        format!("{path}.supplies"),
                        format!("the supply {supply:?} is fed by {other:?} already"),
                        "let one converter feed each supply, and split the supply if two share it",
                    );
                }
            }
        }
    }

    /// Paths of all places that may name a rating, with what they name: points and failures first, then limits.
    fn named_ratings(&self) -> Vec<(String, Option<&'a String>)> {
        let project = self.project;
        let mut named: Vec<(String, Option<&'a String>)> = Vec::new();
        for point in &project.points {
            named.push((format!("points.{}.rating", point.name.as_str()), point.rating.as_ref()));
        }
        for failure in &project.failures {
            named.push((format!("failures.{}.rating", failure.name.as_str()), failure.rating.as_ref()));
        }
        for component in &project.components {
            for (index, limit) in component.limits.iter().enumerate() {
                let path = format!("components.{}.limits.{}.rating", component.name.as_str(), index + 1);
                named.push((path, limit.rating.as_ref()));
            }
        }
        for circuit in &project.loops {
            for (index, limit) in circuit.limits.iter().enumerate() {
                let path = format!("loops.{}.limits.{}.rating", circuit.name.as_str(), index + 1);
                named.push((path, limit.rating.as_ref()));
            }
        }
        named
    }

    /// Ratings that points, failures and limits name, and points that no rating can carry.
    pub(super) fn ratings(&mut self) {
        let project = self.project;
        let motors = project.powertrain.as_ref().map_or(&[][..], |p| &p.motors);
        let mut known: Vec<&str> =
            motors.iter().flat_map(|m| &m.ratings).map(|rating| rating.name.as_str()).collect();
        known.sort_unstable();
        known.dedup();
        let named = self.named_ratings();
        let places = project.points.len() + project.failures.len();
        let (used, limited) = named.split_at(places);
        for (path, rating) in used {
            let timed = motors.iter().flat_map(|m| &m.ratings).find(|r| {
                Some(r.name.as_str()) == rating.map(String::as_str)
                    && r.duration.as_ref().is_some_and(|d| d.si() > LONG_TAKE_OFF_S)
            });
            let Some(timed) = timed.filter(|_| limited.iter().all(|(_, other)| other != rating)) else {
                continue;
            };
            self.problems.push(Problem::warning(
                path,
                format!("no limit belongs to the rating {:?}, which may last longer than 2 min", timed.name.as_str()),
                "give coolant and oil their limits at this rating (27.1521(b)(4)): a limit with rating: \"name\"",
            ));
        }
        for (path, rating) in named {
            if let Some(rating) = rating {
                self.refers(path, rating, "rating of a motor", &known);
            }
        }
        self.lasting_points(motors);
    }

    /// A point of a case without a rating has to last: every motor with ratings needs one without a time limit.
    fn lasting_points(&mut self, motors: &[Motor]) {
        let project = self.project;
        for motor in motors.iter().filter(|m| !m.ratings.is_empty()) {
            // a point that is flown in missions only does not have to last
            let is_case = |p: &&Point| project.cases.iter().any(|g| g.points.iter().any(|n| p.name == *n));
            let bare = |p: &&Point| p.rating.is_none() && p.shaft_power.is_asked();
            for point in project.points.iter().filter(bare).filter(is_case) {
                if motor.rating(None).is_none() {
                    self.error(
                        format!("points.{}.rating", point.name.as_str()),
                        format!(
                            "every rating of {:?} has a time limit, and this point has to last",
                            motor.name.as_str()
                        ),
                        "name the rating that is used, or give the motor a rating without duration",
                    );
                }
            }
        }
    }

    fn motor_tables(&mut self, motor: &Motor, path: &str) {
        match &motor.losses {
            MotorLosses::Map(map) => {
                let path = format!("{path}.losses");
                self.table(&path, ("torque", &map.torque), ("speed", &map.speed), map.loss.len());
            }
            MotorLosses::Maps(maps) => {
                for (index, table) in maps.tables.iter().enumerate() {
                    let path = format!("{path}.losses.tables.{}", index + 1);
                    self.table(&path, ("torque", &table.torque), ("speed", &table.speed), table.loss.len());
                    let below = index.checked_sub(1).map(|before| &maps.tables[before].voltage);
                    if let Some(below) = below.filter(|below| table.voltage.si() <= below.si()) {
                        self.error(
                            format!("{path}.voltage"),
                            format!("{:?} is not above {:?} before it", table.voltage.text(), below.text()),
                            "sort the tables by their bus voltage and give each voltage once",
                        );
                    }
                }
            }
            _ => {}
        }
        if let InverterLosses::Map(map) = &motor.inverter_losses {
            let path = format!("{path}.inverter_losses");
            self.table(&path, ("current", &map.current), ("voltage", &map.voltage), map.loss.len());
        }
    }

    /// A measured table: inputs that rise, and one value for each pair of them.
    fn table<R: InputKind, C: InputKind>(
        &mut self,
        path: &str,
        rows: (&str, &[Input<R>]),
        columns: (&str, &[Input<C>]),
        values: usize,
    ) {
        self.rises(path, rows);
        self.rises(path, columns);
        let (row_count, column_count) = (rows.1.len(), columns.1.len());
        if values != row_count * column_count {
            self.error(
                format!("{path}.loss"),
                format!(
                    "there are {values} losses for {row_count} values of {} and {column_count} of {}",
                    rows.0, columns.0
                ),
                format!("give {} losses, row after row", row_count * column_count),
            );
        }
    }

    fn rises<K: InputKind>(&mut self, path: &str, (field, inputs): (&str, &[Input<K>])) {
        if let Some(at) = inputs.windows(2).position(|pair| !(pair[1].si() > pair[0].si())) {
            self.error(
                format!("{path}.{field}.{}", at + 2),
                format!("{:?} is not above {:?} before it", inputs[at + 1].text(), inputs[at].text()),
                "sort the values and give each once",
            );
        }
    }
}
