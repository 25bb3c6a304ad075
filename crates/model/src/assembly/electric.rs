//! Motors, inverters, gearbox and pack at the point of the case.

use super::cell_law::aged_cell;

use super::gear_law::Gears;
use super::inverter_law::{inverter_law, junction_law};
use super::motor_law::motor_law;
use super::{Assembler, OutletPart, power_path, stages};
use aircraft::records::powertrain::{Bus, Motor, Pack, Powertrain};
use schema::Problem;
use solver::{
    BusFeed, CellGroup, ChargerOnBoard, Conductor, Drive, DriveNodes, ElectricSpec, Node, PackCells, Signal,
};

/// Line of the ledger for the resistance that stands for all busbars and contactors together.
pub const INTERCONNECT: &str = "busbars and contactors";

/// Line of the ledger for a charger on board.
const CHARGER: &str = "charger";

/// The component that takes the heat of a charger on board.
fn charger_place(powertrain: &Powertrain) -> Option<&str> {
    let Bus::Pack(pack) = &powertrain.bus else { return None };
    pack.charging.as_ref()?.charger.into.as_deref()
}

/// Density of the air that a stated windage holds at, kg/m3.
const WINDAGE_DENSITY_KG_M3: f64 = 1.2;

impl Assembler<'_> {
    pub(super) fn motor_speed(&self, motor: &str, path: &str) -> Result<f64, Problem> {
        let powertrain = self.situation.project.powertrain.as_ref();
        match powertrain.filter(|p| p.motors.iter().any(|m| m.name.as_str() == motor)) {
            Some(powertrain) => {
                Ok(stages::motor_speed_rad_s(powertrain, self.situation.point.shaft_speed.si()))
            }
            None => Err(Problem::error(path, format!("no motor is called {motor:?}"), "name a motor")),
        }
    }

    pub(super) fn add_electric(&mut self) -> Result<(), Problem> {
        let Some(powertrain) = &self.situation.project.powertrain else { return Ok(()) };
        let speed_rad_s = stages::motor_speed_rad_s(powertrain, self.situation.point.shaft_speed.si());
        let mut weights = Vec::new();
        for motor in &powertrain.motors {
            let path = format!("powertrain.motors.{}", motor.name.as_str());
            weights.push(self.weight(motor, motor_law(motor, &path)?.winding_sets()));
        }
        let total: f64 = weights.iter().sum();
        if total <= 0.0 && self.shaft_power_w > 0.0 {
            return Err(Problem::error(
                "powertrain.motors",
                format!(
                    "no motor is left to give the shaft power of {:?}{}",
                    self.situation.point.name.as_str(),
                    self.situation
                        .failure
                        .map_or_else(String::new, |f| format!(" after {:?}", f.name.as_str()))
                ),
                "leave a motor with a share and a winding set in service, or fly a point without shaft power",
            ));
        }
        let mut drives = Vec::new();
        let usual: f64 = powertrain.motors.iter().map(|motor| motor.share.si()).sum();
        for (motor, weight) in powertrain.motors.iter().zip(&weights) {
            let part = |weight: f64, total: f64| if total > 0.0 { weight / total } else { 0.0 };
            let shares = (part(*weight, total), part(motor.share.si(), usual));
            drives.push(self.drive(motor, shares, speed_rad_s)?);
            let name = motor.name.as_str();
            self.parts.motors.push(name.to_owned());
            let windage = motor.windage_into.as_ref().unwrap_or(&motor.rotor);
            let cable = motor.cable_into.as_ref().unwrap_or(&motor.inverter);
            for (part, into) in [
                ("copper", &motor.winding),
                ("iron", &motor.iron),
                ("magnets", &motor.rotor),
                ("windage", windage),
                ("inverter", &motor.inverter),
                ("cable", cable),
            ] {
                self.outlet(format!("{name} {part}"), into);
            }
        }
        let gear = powertrain.gearbox.as_ref();
        let gear = gear.map(|g| self.gear(&Gears::of_gearbox(g), speed_rad_s)).transpose()?;
        self.outlet("gearbox".to_owned(), powertrain.gearbox.as_ref().map_or("", |g| g.sump.as_str()));
        let stages = self.stages(powertrain)?;
        let feed = match &powertrain.bus {
            Bus::Supply(voltage) => BusFeed::Fixed(voltage.si()),
            Bus::Pack(pack) => self.pack(pack)?,
        };
        let converters: Vec<_> =
            powertrain.converters.iter().map(|c| self.converter(c)).collect::<Result<_, _>>()?;
        for converter in &powertrain.converters {
            self.outlet(converter.name.as_str().to_owned(), &converter.into);
        }
        let charger = self.charger_on_board()?;
        if let Some(into) = charger_place(powertrain) {
            self.outlet(CHARGER.to_owned(), into);
        }
        let shaft_machines = self.parts.machines.iter().filter(|m| m.on_shaft).map(|m| m.element).collect();
        self.builder.electric(ElectricSpec {
            drives,
            gear,
            stages,
            shaft_power_w: self.shaft_power_w,
            feed,
            other_load_w: self.situation.point.other_load.as_ref().unwrap_or(&powertrain.other_load).si(),
            converters,
            shaft_machines,
            charger,
        });
        Ok(())
    }

    /// The next heat outlet in the solver's order.
    pub(super) fn outlet(&mut self, name: String, into: &str) {
        self.parts.electric_outlets.push(OutletPart { name, into: into.to_owned() });
    }

    fn charger_on_board(&self) -> Result<Option<ChargerOnBoard>, Problem> {
        let Some(powertrain) = &self.situation.project.powertrain else { return Ok(None) };
        let Bus::Pack(pack) = &powertrain.bus else { return Ok(None) };
        let (Some(charging), Some(into)) = (&pack.charging, charger_place(powertrain)) else {
            return Ok(None);
        };
        let node = self.place(into, "powertrain.bus.charging.charger.into")?;
        Ok(Some(ChargerOnBoard { node, efficiency: charging.charger.efficiency.si() }))
    }

    /// Share of a motor, which is none if it is out or none of its winding sets is left.
    fn weight(&self, motor: &Motor, sets: u8) -> f64 {
        let name = motor.name.as_str();
        let sets_left = usize::from(sets).saturating_sub(self.situation.winding_sets_out(name));
        if self.situation.is_motor_out(name) || sets_left == 0 { 0.0 } else { motor.share.si() }
    }

    /// The first segment of a component: machines are not cut along the flow.
    pub(super) fn place(&self, component: &str, path: &str) -> Result<Node, Problem> {
        self.segments(component, path).map(|ids| Node::Component(ids[0]))
    }

    /// A motor with its share of the power, now and while nothing has failed.
    fn drive(
        &self,
        motor: &Motor,
        (share, usual_share): (f64, f64),
        speed_rad_s: f64,
    ) -> Result<Drive, Problem> {
        let path = format!("powertrain.motors.{}", motor.name.as_str());
        let made = motor_law(motor, &path)?;
        let inverter = inverter_law(motor, &path)?;
        let sets = made.winding_sets();
        let out = self.situation.winding_sets_out(motor.name.as_str());
        let active_sets = sets.saturating_sub(u8::try_from(out).unwrap_or(u8::MAX)).max(1);
        let at = |component: &str, field: &str| self.place(component, &format!("{path}.{field}"));
        let rotor = at(&motor.rotor, "rotor")?;
        let inverter_node = at(&motor.inverter, "inverter")?;
        let derate = match &motor.derate {
            Some(derate) => Signal::Ramp {
                sensor: at(&derate.sensor, "derate.sensor")?,
                from_k: derate.from.si(),
                to_k: derate.to.si(),
                at_from: 1.0,
                at_to: derate.least.si(),
            },
            None => Signal::Fixed(1.0),
        };
        Ok(Drive {
            motor: made,
            inverter,
            share,
            speed_rad_s,
            active_sets,
            cable: power_path::resistor(&motor.cable, &format!("{path}.cable"))?,
            air_density_ratio: self.outside.density_kg_m3 / WINDAGE_DENSITY_KG_M3,
            derate,
            max_power_w: motor.most_power.as_ref().map_or(f64::INFINITY, |most| most.si()),
            usual_share,
            freewheels: motor.freewheel,
            shorted_sets: self.situation.shorted_sets(motor, sets),
            junction: junction_law(motor, &path)?,
            heats: DriveNodes {
                winding: at(&motor.winding, "winding")?,
                iron: at(&motor.iron, "iron")?,
                magnet: rotor,
                windage: motor.windage_into.as_ref().map_or(Ok(rotor), |c| at(c, "windage_into"))?,
                inverter: inverter_node,
                cable: motor.cable_into.as_ref().map_or(Ok(inverter_node), |c| at(c, "cable_into"))?,
            },
        })
    }

    fn pack(&mut self, pack: &Pack) -> Result<BusFeed, Problem> {
        let path = "powertrain.bus";
        let point = self.situation.point;
        let cell = aged_cell(pack, point.life_used.as_ref().unwrap_or(&pack.life_used).si(), path)?;
        let state_of_charge = point.state_of_charge.si();
        let out = self.situation.strings_out(pack);
        let strings = pack.parallel.saturating_sub(out);
        if strings == 0 {
            return Err(Problem::error(
                format!("{path}.parallel"),
                format!("{out} of {} strings are out: nothing is left", pack.parallel),
                "leave at least one string in service",
            ));
        }
        let nodes = self.segments(&pack.cells, &format!("{path}.cells"))?;
        let series = pack.series as f64 / nodes.len() as f64;
        let groups = nodes.iter().map(|&node| CellGroup { node: Node::Component(node), series }).collect();
        for segment in 1..=nodes.len() {
            let name =
                if nodes.len() == 1 { pack.cells.clone() } else { format!("{} {segment}", pack.cells) };
            self.outlet(name, &pack.cells);
        }
        let interconnect_node = match &pack.interconnect_into {
            Some(component) => self.place(component, &format!("{path}.interconnect_into"))?,
            None => Node::Component(nodes[0]),
        };
        let into = pack.interconnect_into.as_ref().unwrap_or(&pack.cells);
        self.outlet(INTERCONNECT.to_owned(), into);
        let mut conductors = vec![Conductor {
            resistor: power_path::constant(pack.interconnect.si()),
            node: interconnect_node,
        }];
        for conductor in &pack.conductors {
            self.outlet(conductor.name.as_str().to_owned(), &conductor.into);
            conductors.push(self.conductor(conductor)?);
        }
        Ok(BusFeed::Pack(Box::new(PackCells {
            cell,
            series: pack.series as f64,
            strings: strings as f64,
            state_of_charge,
            groups,
            conductors,
        })))
    }
}
