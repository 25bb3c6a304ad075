//! Motors, inverters, gearbox and pack at the point of the case.

use super::{Assembler, OutletPart, laws, power_path};
use aircraft::records::powertrain::{
    BipolarDevices, Bus, Cell, GearLosses, Gearbox, Interpolation, InverterLosses, JunctionResistance,
    LossSplit, Motor, MotorLosses, MotorTable, Pack, Powertrain, ResistanceBasis,
};
use powertrain::cell::{CellData, CellResistance, Entropic, ResistanceLaw, TemperatureLaw};
use powertrain::gearbox::{ChurningWheel, GearGeometry, Mesh, immersed_area_m2};
use powertrain::inverter::{self as law, DeviceParameters, Switch};
use powertrain::loss::{Loss, LossSurface};
use powertrain::motor::{
    EfficiencyLosses, FixedLosses, MachineParameters, MotorMap, PhaseCurrent, SpeedLoss, Terminals,
    TorqueConstant, Windage,
};
use schema::{Input, InputKind, Problem};
use solver::{
    BusFeed, CellGroup, ChargerOnBoard, Conductor, Drive, DriveNodes, ElectricSpec, Gear, Node, PackCells,
    Signal,
};

/// Modulation index and power factor of a motor whose parameters are not known. Common practice, no source.
const ASSUMED_DRIVE: PhaseCurrent = PhaseCurrent::Power { modulation_index: 0.9, power_factor: 0.95 };
/// Magnet temperature of a measured motor map, K: without effect, since no torque constant goes with a map.
const MAP_MAGNET_K: f64 = 333.15;

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

/// Speed of the motors at a point, rad/s.
fn motor_speed_rad_s(powertrain: &Powertrain, shaft_speed_rad_s: f64) -> f64 {
    shaft_speed_rad_s * powertrain.gearbox.as_ref().map_or(1.0, |gearbox| gearbox.ratio.si())
}

impl Assembler<'_> {
    pub(super) fn motor_speed(&self, motor: &str, path: &str) -> Result<f64, Problem> {
        let powertrain = self.situation.project.powertrain.as_ref();
        match powertrain.filter(|p| p.motors.iter().any(|m| m.name.as_str() == motor)) {
            Some(powertrain) => Ok(motor_speed_rad_s(powertrain, self.situation.point.shaft_speed.si())),
            None => Err(Problem::error(path, format!("no motor is called {motor:?}"), "name a motor")),
        }
    }

    pub(super) fn add_electric(&mut self) -> Result<(), Problem> {
        let Some(powertrain) = &self.situation.project.powertrain else { return Ok(()) };
        let speed_rad_s = motor_speed_rad_s(powertrain, self.situation.point.shaft_speed.si());
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
        let gear = powertrain.gearbox.as_ref().map(|g| self.gear(g, speed_rad_s)).transpose()?;
        self.outlet("gearbox".to_owned(), powertrain.gearbox.as_ref().map_or("", |g| g.sump.as_str()));
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
    fn outlet(&mut self, name: String, into: &str) {
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
            most_power_w: motor.most_power.as_ref().map_or(f64::INFINITY, |most| most.si()),
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

    fn gear(&self, gearbox: &Gearbox, input_speed_rad_s: f64) -> Result<Gear, Problem> {
        let path = "powertrain.gearbox";
        Ok(Gear {
            gearbox: gear_law(gearbox, path)?,
            oil_node: self.place(&gearbox.sump, &format!("{path}.sump"))?,
            oil: laws::liquid(self.situation.project, &gearbox.oil, &format!("{path}.oil"))?,
            input_speed_rad_s,
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

pub(super) fn refused(path: String, error: &impl std::fmt::Display) -> Problem {
    Problem::error(path, error.to_string(), "correct the number, or give the loss at another level")
}

fn count(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

fn terminals(winding_sets: usize) -> Terminals {
    Terminals { winding_sets: winding_sets.clamp(1, 255) as u8, phase_current: ASSUMED_DRIVE }
}

fn split(split: &LossSplit) -> powertrain::motor::LossSplit {
    powertrain::motor::LossSplit {
        copper: split.copper.si(),
        iron: split.iron.si(),
        magnet: split.magnet.si(),
        windage: split.windage.si(),
    }
}

/// The loss law of a gearbox.
///
/// # Errors
/// A [`Problem`] at `path` that names the number that is not physical.
pub fn gear_law(gearbox: &Gearbox, path: &str) -> Result<powertrain::gearbox::Gearbox, Problem> {
    let losses = match &gearbox.losses {
        GearLosses::Fixed(heat) => {
            powertrain::gearbox::GearLosses::Fixed { mesh_w: heat.si(), churning_w: 0.0 }
        }
        GearLosses::Efficiency(law) => powertrain::gearbox::GearLosses::Efficiency {
            efficiency: law.efficiency.si(),
            drag: Loss::PowerLaw {
                reference_w: law.drag.si(),
                reference_load: law.reference_speed.si(),
                exponent: law.exponent.si(),
            },
        },
        GearLosses::Geometry(teeth) => powertrain::gearbox::GearLosses::Geometry(GearGeometry {
            meshes: teeth
                .meshes
                .iter()
                .map(|mesh| Mesh {
                    power_share: mesh.power_share.si(),
                    pinion_teeth: count(mesh.pinion_teeth),
                    tooth_ratio: mesh.ratio.si(),
                    base_helix_rad: mesh.helix.si(),
                    tip_contact_ratio_1: mesh.tip_contact_1.si(),
                    tip_contact_ratio_2: mesh.tip_contact_2.si(),
                    friction: mesh.friction.si(),
                })
                .collect(),
            wheels: teeth
                .wheels
                .iter()
                .map(|wheel| {
                    let (radius, width) = (wheel.pitch_radius.si(), wheel.face_width.si());
                    let depth = wheel.immersion.si();
                    ChurningWheel {
                        speed_ratio: wheel.speed_ratio.si(),
                        pitch_radius_m: radius,
                        face_width_m: width,
                        module_m: wheel.module.si(),
                        immersion_depth_m: depth,
                        oil_volume_m3: wheel.oil_volume.si(),
                        immersed_area_m2: immersed_area_m2(
                            radius,
                            width,
                            depth,
                            // pitch diameter over module; tooth height and pressure angle of the standard basic rack
                            (2.0 * radius / wheel.module.si()).round() as u32,
                            2.25 * wheel.module.si(),
                            20_f64.to_radians(),
                            0.0,
                        ),
                    }
                })
                .collect(),
            bearings: Vec::new(),
        }),
    };
    powertrain::gearbox::Gearbox::new(gearbox.ratio.si(), losses)
        .map_err(|error| refused(format!("{path}.losses"), &error))
}

/// The loss law of a motor.
///
/// # Errors
/// A [`Problem`] at `path` that names the number that is not physical.
pub fn motor_law(motor: &Motor, path: &str) -> Result<powertrain::motor::Motor, Problem> {
    let at = format!("{path}.losses");
    let losses = match &motor.losses {
        MotorLosses::Fixed(fixed) => powertrain::motor::MotorLosses::Fixed(FixedLosses {
            copper_w: fixed.copper.si(),
            iron_w: fixed.iron.si(),
            magnet_w: fixed.magnet.si(),
            windage_w: fixed.windage.si(),
            terminals: terminals(fixed.winding_sets),
        }),
        MotorLosses::Efficiency(law) => powertrain::motor::MotorLosses::Efficiency(EfficiencyLosses {
            efficiency: law.efficiency.si(),
            split: split(&law.split),
            terminals: terminals(law.winding_sets),
        }),
        MotorLosses::Map(map) => {
            // one table holds at every bus voltage, so the number does not matter
            let tables = vec![(1.0, surface(&si(&map.torque), &si(&map.speed), &si(&map.loss), &at)?)];
            measured(tables, &map.split, map.winding_at.si(), map.winding_sets, &at)?
        }
        MotorLosses::Maps(maps) => {
            let table = |(index, table): (usize, &MotorTable)| {
                let at = format!("{at}.tables.{}", index + 1);
                let losses = surface(&si(&table.torque), &si(&table.speed), &si(&table.loss), &at)?;
                Ok((table.voltage.si(), losses))
            };
            let tables = maps.tables.iter().enumerate().map(table).collect::<Result<_, Problem>>()?;
            measured(tables, &maps.split, maps.winding_at.si(), maps.winding_sets, &at)?
        }
        MotorLosses::Machine(machine) => {
            let speed_law = |reference_w, hysteresis_share| SpeedLoss {
                reference_w,
                reference_speed_rad_s: machine.reference_speed.si(),
                hysteresis_share,
                ..SpeedLoss::NONE
            };
            let mut parameters = MachineParameters::new(
                machine.phase_resistance.si(),
                machine.resistance_at.si(),
                TorqueConstant {
                    nm_per_a_rms: machine.torque_constant.si(),
                    reference_magnet_k: machine.magnet_at.si(),
                    magnet_coefficient_per_k: machine.magnet_coefficient.si(),
                },
            );
            parameters.pole_pairs = count(machine.pole_pairs);
            parameters.winding_sets = machine.winding_sets.clamp(1, 255) as u8;
            parameters.inductance_h = machine.inductance.as_ref().map(Input::si);
            parameters.iron = speed_law(machine.iron_loss.si(), 0.5);
            parameters.magnet = speed_law(machine.magnet_loss.si(), 0.0);
            parameters.windage = Windage::SpeedLaw {
                reference_w: machine.windage.si(),
                reference_speed_rad_s: machine.reference_speed.si(),
                exponent: 3.0,
            };
            powertrain::motor::MotorLosses::Machine(Box::new(parameters))
        }
    };
    powertrain::motor::Motor::new(losses).map_err(|error| refused(at, &error))
}

fn si<K: InputKind>(inputs: &[Input<K>]) -> Vec<f64> {
    inputs.iter().map(Input::si).collect()
}

fn measured(
    tables: Vec<(f64, LossSurface)>,
    parts: &LossSplit,
    winding_k: f64,
    winding_sets: usize,
    path: &str,
) -> Result<powertrain::motor::MotorLosses, Problem> {
    MotorMap::new(tables, split(parts), winding_k, MAP_MAGNET_K, terminals(winding_sets))
        .map(powertrain::motor::MotorLosses::Map)
        .map_err(|error| refused(path.to_owned(), &error))
}

fn surface(load: &[f64], second: &[f64], values: &[f64], path: &str) -> Result<LossSurface, Problem> {
    LossSurface::new(load, second, values).map_err(|error| refused(path.to_owned(), &error))
}

fn bipolar(devices: &BipolarDevices) -> DeviceParameters {
    DeviceParameters {
        switch: Switch::TransistorDiode {
            threshold_v: devices.threshold.si(),
            slope_ohm: devices.slope.si(),
            diode_threshold_v: devices.diode_threshold.si(),
            diode_slope_ohm: devices.diode_slope.si(),
        },
        switching_energy_j: devices.switching_energy.si(),
        recovery_energy_j: devices.recovery_energy.si(),
        reference_current_a: devices.reference_current.si(),
        reference_voltage_v: devices.reference_voltage.si(),
        current_exponent: 1.0,
        voltage_exponent: 1.0,
        carrier_frequency_hz: devices.carrier.si(),
        parallel_devices: count(devices.parallel),
        reference_junction_k: devices.junction_at.si(),
        slope_coefficient_per_k: devices.slope_growth.si(),
        threshold_coefficient_v_k: devices.threshold_growth.si(),
        energy_coefficient_per_k: devices.energy_growth.si(),
        capacitor_resistance_ohm: 0.0,
    }
}

/// Thermal resistance of the junctions of a motor's inverter; none where it is not stated.
///
/// # Errors
/// A [`Problem`] at `path` for a resistance by device without devices, or a number that is not physical.
pub fn junction_law(motor: &Motor, path: &str) -> Result<Option<law::JunctionResistance>, Problem> {
    let Some(junction) = &motor.junction else { return Ok(None) };
    let resistance = match &junction.resistance {
        JunctionResistance::Whole(whole) => law::JunctionResistance::Whole(whole.si()),
        JunctionResistance::PerSwitch(one) => {
            law::JunctionResistance::PerSwitch { switch_k_w: one.switch.si(), diode_k_w: one.diode.si() }
        }
    };
    let inverter = inverter_law(motor, path)?;
    resistance
        .check(inverter.losses())
        .map_err(|error| refused(format!("{path}.junction.resistance"), &error))?;
    Ok(Some(resistance))
}

/// The loss law of one inverter.
///
/// # Errors
/// A [`Problem`] at `path` that names the number that is not physical.
pub fn inverter_law(motor: &Motor, path: &str) -> Result<powertrain::inverter::Inverter, Problem> {
    let at = format!("{path}.inverter_losses");
    let losses = match &motor.inverter_losses {
        InverterLosses::Fixed(loss) => powertrain::inverter::InverterLosses::Fixed { loss_w: loss.si() },
        InverterLosses::Efficiency(efficiency) => {
            powertrain::inverter::InverterLosses::Efficiency { efficiency: efficiency.si() }
        }
        InverterLosses::Map(map) => powertrain::inverter::InverterLosses::Map(surface(
            &si(&map.current),
            &si(&map.voltage),
            &si(&map.loss),
            &at,
        )?),
        InverterLosses::Devices(devices) => powertrain::inverter::InverterLosses::Devices(DeviceParameters {
            switch: Switch::Channel { resistance_ohm: devices.resistance.si() },
            switching_energy_j: devices.switching_energy.si(),
            recovery_energy_j: devices.recovery_energy.si(),
            reference_current_a: devices.reference_current.si(),
            reference_voltage_v: devices.reference_voltage.si(),
            current_exponent: 1.0,
            voltage_exponent: 1.0,
            carrier_frequency_hz: devices.carrier.si(),
            parallel_devices: count(devices.parallel),
            reference_junction_k: devices.junction_at.si(),
            slope_coefficient_per_k: devices.resistance_growth.si(),
            threshold_coefficient_v_k: 0.0,
            energy_coefficient_per_k: devices.energy_growth.si(),
            capacitor_resistance_ohm: 0.0,
        }),
        InverterLosses::Bipolar(devices) => powertrain::inverter::InverterLosses::Devices(bipolar(devices)),
    };
    powertrain::inverter::Inverter::new(losses, 0.0).map_err(|error| refused(at, &error))
}

/// The cell of a pack with a part of its life used, 0 to 1.
///
/// # Errors
/// A [`Problem`] at `path` that names the number that is not physical.
pub fn aged_cell(pack: &Pack, life_used: f64, path: &str) -> Result<powertrain::cell::Cell, Problem> {
    let ageing = powertrain::cell::Ageing {
        resistance_factor: pack.ageing.resistance.si(),
        capacity_factor: pack.ageing.capacity.si(),
    };
    let cell = cell_law(&pack.cell, path)?;
    let aged = ageing.part(life_used).and_then(|ageing| cell.aged(ageing));
    aged.map_err(|error| refused(format!("{path}.ageing"), &error))
}

fn interpolation(way: &Interpolation) -> numerics::Interpolation {
    match way {
        Interpolation::Linear => numerics::Interpolation::Linear,
        Interpolation::Monotone => numerics::Interpolation::Monotone,
    }
}

fn resistance_law(cell: &Cell, at: &str) -> Result<ResistanceLaw, Problem> {
    let (resistance_ohm, reference_k) = (cell.resistance.si(), cell.resistance_at.si());
    if let Some(table) = &cell.resistance_table {
        let (soc, kelvin) = (si(&table.state_of_charge), si(&table.temperature));
        let way = interpolation(&table.interpolation);
        return ResistanceLaw::table(resistance_ohm, reference_k, (&soc, &kelvin), &si(&table.ohm), way)
            .map_err(|error| refused(format!("{at}.resistance_table"), &error));
    }
    let soc_factor = match &cell.charge_factor {
        Some(points) => Some(laws::curve(&points.si(), &format!("{at}.charge_factor"))?),
        None => None,
    };
    let temperature =
        TemperatureLaw { reference_k, cold_b_k: cell.cold_growth.si(), hot_b_k: cell.hot_growth.si() };
    Ok(ResistanceLaw::Reference { resistance_ohm, temperature, soc_factor })
}

fn cell_law(cell: &Cell, path: &str) -> Result<powertrain::cell::Cell, Problem> {
    let at = format!("{path}.cell");
    let basis = match &cell.basis {
        ResistanceBasis::Pulse(length) => {
            powertrain::cell::ResistanceBasis::DirectCurrentPulse { pulse_s: length.si() }
        }
        ResistanceBasis::Ac1kHz => powertrain::cell::ResistanceBasis::AlternatingCurrent1kHz,
    };
    let resistance = CellResistance::new(
        resistance_law(cell, &at)?,
        basis,
        cell.duration_factor.as_ref().map(Input::si),
        cell.age_factor.si(),
    )
    .map_err(|error| refused(format!("{at}.resistance"), &error))?;
    let open_circuit_v =
        numerics::Curve::through(&cell.open_circuit.si(), interpolation(&cell.open_circuit_interpolation))
            .map_err(|error| refused(format!("{at}.open_circuit"), &error))?;
    powertrain::cell::Cell::new(CellData {
        capacity_ah: cell.capacity.si() / 3600.0,
        open_circuit_v,
        resistance,
        entropic: Entropic::Fixed(cell.entropic.si()),
        mass_kg: 0.07,
        specific_heat_j_kgk: 950.0,
    })
    .map_err(|error| refused(at, &error))
}
