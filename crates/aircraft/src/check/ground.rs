//! Mistakes on the ground: charging, carts, turnarounds, chains.

use super::Check;
use crate::records::charging::Charging;
use crate::records::device::devices;
use crate::records::ground::{GroundCooling, Leg, Turnaround, TurnaroundOption};
use crate::records::powertrain::{Bus, Pack};
use crate::records::study::PointPower;
use powertrain::charge::CORNER_C_RATE;
use schema::Problem;

impl<'a> Check<'a> {
    pub(super) fn ground(&mut self) {
        let project = self.project;
        let carts: Vec<&str> = project.carts.iter().map(|cart| cart.name.as_str()).collect();
        for circuit in &project.loops {
            for device in devices(&circuit.path) {
                if let crate::records::device::Device::GroundConnection(connection) = device {
                    let name = connection.name.as_str();
                    let path = format!("loops.{}.path.{name}.cart", circuit.name.as_str());
                    self.refers(path, &connection.cart, "cart", &carts);
                }
            }
        }
        if let Some(charging) = self.pack().and_then(|pack| pack.charging.as_ref()) {
            self.charging(charging);
        }
        for point in &project.points {
            let path = format!("points.{}", point.name.as_str());
            self.connected(&point.carts, &path);
        }
        for turnaround in &project.turnarounds {
            self.turnaround(turnaround);
        }
        self.chains();
    }

    /// The pack, if the bus is one.
    pub fn pack(&self) -> Option<&'a Pack> {
        match self.project.powertrain.as_ref().map(|powertrain| &powertrain.bus) {
            Some(Bus::Pack(pack)) => Some(pack),
            _ => None,
        }
    }

    /// Names of ground connections whose cart is connected.
    pub fn connected(&mut self, names: &[String], path: &str) {
        let known: Vec<&str> =
            self.project.ground_connections().map(|connection| connection.name.as_str()).collect();
        for name in names {
            self.refers(format!("{path}.carts"), name, "ground connection", &known);
        }
    }

    fn charging(&mut self, charging: &Charging) {
        let path = "powertrain.bus.charging";
        let rates: Vec<f64> = charging.window.iter().map(|(_, rate)| rate.si()).collect();
        let last = rates.len() - 1;
        for (index, rate) in rates.iter().enumerate() {
            if (index == last) != (*rate == 0.0) {
                let (message, remedy) = if index == last {
                    (
                        "the window has no upper end: its last rate is not zero",
                        "end it with a point of \"0 C\"",
                    )
                } else {
                    ("a rate of zero lies inside the window", "give only the last point a rate of zero")
                };
                self.error(format!("{path}.window.{}", index + 1), message, remedy);
                return;
            }
        }
        let least = rates[..last].iter().copied().fold(charging.rate.si(), f64::min);
        if charging.taper.si() >= least {
            self.error(
                format!("{path}.taper"),
                format!(
                    "the taper of {:?} is no less than every rate: the charge would end at once",
                    charging.taper.text()
                ),
                "lower the taper below the charge rate and every rate of the window",
            );
        } else if 3600.0 * charging.taper.si() < CORNER_C_RATE {
            self.error(
                format!("{path}.taper"),
                format!(
                    "the taper of {:?} lies below {CORNER_C_RATE} C, the width over which the limits of a charge pass into each other: \
                     the charge would never end",
                    charging.taper.text()
                ),
                format!("give {CORNER_C_RATE} C or more; a twentieth of the capacity per hour is common practice"),
            );
        }
        if charging.window[0].0.si() < 273.15 {
            self.problems.push(Problem::warning(
                format!("{path}.window.1"),
                "the window allows charging below 0 degC, which plates lithium and lowers the safety of the cells for good",
                "begin the window at 0 degC or above unless the cell maker allows less in writing",
            ));
        }
        let full =
            self.pack().and_then(|pack| pack.cell.open_circuit.last()).map(|(_, voltage)| voltage.si());
        if full.is_some_and(|full| charging.end_voltage.si() < full) {
            self.problems.push(Problem::warning(
                format!("{path}.end_voltage"),
                "a full cell rests above the voltage that is held at the end: the pack cannot be filled",
                "raise the voltage to what the cell sheet gives, or charge to less than full",
            ));
        }
        if let Some(into) = &charging.charger.into {
            let components = self.components();
            self.refers(format!("{path}.charger.into"), into, "component", &components);
        }
    }

    fn turnaround(&mut self, turnaround: &Turnaround) {
        let project = self.project;
        let path = format!("turnarounds.{}", turnaround.name.as_str());
        let missions: Vec<&str> = project.missions.iter().map(|m| m.name.as_str()).collect();
        let points: Vec<&str> = project.points.iter().map(|p| p.name.as_str()).collect();
        let conditions: Vec<&str> = project.conditions.iter().map(|c| c.name.as_str()).collect();
        self.refers(format!("{path}.after"), &turnaround.after, "mission", &missions);
        if let Some(next) = &turnaround.next {
            self.refers(format!("{path}.next"), next, "mission", &missions);
        }
        if let Some(taxi) = &turnaround.taxi {
            self.refers(format!("{path}.taxi"), taxi, "point", &points);
            let point = self.project.points.iter().find(|point| point.name.as_str() == taxi);
            if point.is_some_and(|point| matches!(point.shaft_power, PointPower::Estimated(_))) {
                self.error(
                    format!("{path}.taxi"),
                    format!("the power of {taxi:?} is estimated for flight"),
                    "name a point that states its power",
                );
            }
        }
        for condition in &turnaround.conditions {
            self.refers(format!("{path}.conditions"), condition, "condition", &conditions);
        }
        let machines = self.machines();
        for (field, settings) in [("own", &turnaround.own), ("beside_cart", &turnaround.beside_cart)] {
            for setting in settings {
                let name = setting.name.as_str();
                self.refers(format!("{path}.{field}.{name}"), name, "pump or fan", &machines);
            }
        }
        for option in &turnaround.options {
            self.option(turnaround, option, &path);
        }
    }

    fn option(&mut self, turnaround: &Turnaround, option: &TurnaroundOption, path: &str) {
        let project = self.project;
        let path = format!("{path}.options.{}", option.name.as_str());
        let with_cart = matches!(option.cooling, GroundCooling::Cart | GroundCooling::CartAndOwn);
        if with_cart && project.ground_connections().next().is_none() {
            self.error(
                format!("{path}.cooling"),
                "no loop has a ground connection for a cart",
                "add GroundConnection(..) to the path of a loop",
            );
        }
        let needs_own = matches!(option.cooling, GroundCooling::Own | GroundCooling::CartAndOwn);
        if needs_own && turnaround.own.is_empty() {
            self.error(
                format!("{path}.cooling"),
                "no pump or fan of the aircraft is named for cooling on the ground",
                "list them as `own` of the turnaround",
            );
        }
        let supply_k = project
            .ground_connections()
            .filter_map(|connection| project.cart_of(connection))
            .map(|c| c.supply.si());
        if let (GroundCooling::Cart, Some(wanted)) = (&option.cooling, &option.cool_to)
            && supply_k.fold(f64::INFINITY, f64::min) >= wanted.si()
        {
            self.error(
                format!("{path}.cool_to"),
                format!("{:?} lies below the supply of every cart: it is never reached", wanted.text()),
                "cool to a temperature above the supply, or lower the supply",
            );
        }
    }

    fn chains(&mut self) {
        let project = self.project;
        let missions: Vec<&str> = project.missions.iter().map(|m| m.name.as_str()).collect();
        let turnarounds: Vec<&str> = project.turnarounds.iter().map(|t| t.name.as_str()).collect();
        for chain in &project.chains {
            for (index, leg) in chain.legs.iter().enumerate() {
                let path = format!("chains.{}.legs.{}", chain.name.as_str(), index + 1);
                match leg {
                    Leg::Fly(mission) => self.refers(path, mission, "mission", &missions),
                    Leg::Turn(turn) => {
                        self.refers(
                            format!("{path}.turnaround"),
                            &turn.turnaround,
                            "turnaround",
                            &turnarounds,
                        );
                        let found = project.turnarounds.iter().find(|t| t.name.as_str() == turn.turnaround);
                        if let Some(found) = found {
                            let options: Vec<&str> = found.options.iter().map(|o| o.name.as_str()).collect();
                            self.refers(format!("{path}.option"), &turn.option, "option", &options);
                        }
                    }
                    Leg::Stand(_) => {}
                }
            }
            if !chain.legs.iter().any(|leg| matches!(leg, Leg::Fly(_))) {
                self.error(
                    format!("chains.{}.legs", chain.name.as_str()),
                    "no mission is flown in this chain",
                    "name at least one mission",
                );
            }
        }
    }
}
