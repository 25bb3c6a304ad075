//! Loops and ducts: devices become elements, sensors become signals.

use super::{Assembler, CircuitPart, DevicePart, MachinePart, Step, channels, laws};
use crate::pump_inlet::PumpInlet;
use aircraft::records::device::{Control, Device, Duct, Loop, Machine, OnOff, Plate, Shutter};
use aircraft::records::study::Failed;
use aircraft::records::surroundings::OUTSIDE_AIR;
use schema::Problem;
use solver::{
    Casing, Cell, Circuit, Element, ElementId, Ends, Entry, FilmLaw, FlowLaw, Fluid, Node, Relief, Series,
    Signal, Wall,
};
use std::f64::consts::FRAC_PI_4;

/// Conductance by which a sensor with a lag follows what it senses, W/K: far below any real path.
const SENSOR_W_K: f64 = 1e-3;

/// A signal that waits until every device has its number.
struct Waiting<'a> {
    element: ElementId,
    sensor: &'a str,
    lag_s: f64,
    follows: Follows,
    path: String,
}

/// How a setting follows its sensor, as [`Signal`] has it.
enum Follows {
    Ramp { from_k: f64, to_k: f64, at_from: f64, at_to: f64 },
    Switch { off_k: f64, on_k: f64, at_off: f64, at_on: f64 },
}

/// A circuit while its devices are numbered.
struct Laying<'a, 'b> {
    assembler: &'b mut Assembler<'a>,
    circuit: &'a str,
    fluid: Fluid,
    waiting: &'b mut Vec<Waiting<'a>>,
}

impl<'a> Assembler<'a> {
    pub(super) fn add_circuits(&mut self) -> Result<(), Problem> {
        let project = self.situation.project;
        let mut waiting = Vec::new();
        for circuit in &project.loops {
            let part = self.add_loop(circuit, &mut waiting)?;
            self.parts.loops.push(part);
        }
        for duct in &project.ducts {
            let part = self.add_duct(duct, &mut waiting)?;
            self.parts.ducts.push(part);
        }
        for Waiting { element, sensor, lag_s, follows, path } in waiting {
            let mut sensor = self.node(sensor, &path)?;
            if lag_s > 0.0 {
                // a small body that follows what is sensed: the wax of a thermostat
                let body = Node::Component(self.builder.component(SENSOR_W_K * lag_s));
                self.builder.link(body, sensor, solver::LinkLaw::Conductance { conductance_w_k: SENSOR_W_K });
                sensor = body;
            }
            let signal = match follows {
                Follows::Ramp { from_k, to_k, at_from, at_to } => {
                    Signal::Ramp { sensor, from_k, to_k, at_from, at_to }
                }
                Follows::Switch { off_k, on_k, at_off, at_on } => {
                    Signal::Switched { sensor, off_k, on_k, at_off, at_on }
                }
            };
            self.builder.set_signal(element, signal);
        }
        Ok(())
    }

    fn add_loop(
        &mut self,
        circuit: &'a Loop,
        waiting: &mut Vec<Waiting<'a>>,
    ) -> Result<CircuitPart, Problem> {
        let path = format!("loops.{}", circuit.name.as_str());
        let fluid = self.liquid(&circuit.fluid, &format!("{path}.fluid"))?;
        let name = circuit.name.as_str();
        let mut laying = Laying { assembler: self, circuit: name, fluid: fluid.clone(), waiting };
        let (series, course) = laying.series(&circuit.path, &format!("{path}.path"))?;
        let min_flow_kg_s = circuit.least_flow.si() * fluid.density(self.outside.air_k);
        let id = self.builder.circuit(Circuit {
            fluid: fluid.clone(),
            course: series,
            ends: Ends::Closed,
            min_flow_kg_s,
        });
        let cap_open = self.situation.is_cap_open(circuit);
        Ok(CircuitPart { name: circuit.name.as_str().to_owned(), id, fluid, course, cap_open })
    }

    fn add_duct(&mut self, duct: &'a Duct, waiting: &mut Vec<Waiting<'a>>) -> Result<CircuitPart, Problem> {
        let path = format!("ducts.{}", duct.name.as_str());
        let fluid = Fluid::Air { pressure_pa: self.outside.pressure_pa };
        let name = duct.name.as_str();
        let mut laying = Laying { assembler: self, circuit: name, fluid: fluid.clone(), waiting };
        let (series, course) = laying.series(&duct.path, &format!("{path}.path"))?;
        let airspeed = self.outside.airspeed_m_s;
        let id = self.builder.circuit(Circuit {
            fluid: fluid.clone(),
            course: series,
            ends: Ends::Open {
                outside: self.outside_node,
                recirculation: self.situation.recirculation(duct),
                ram_heat_j_kg: 0.5 * airspeed * airspeed,
            },
            min_flow_kg_s: 0.0,
        });
        Ok(CircuitPart { name: duct.name.as_str().to_owned(), id, fluid, course, cap_open: false })
    }
}

impl<'a> Laying<'a, '_> {
    fn series(&mut self, devices: &'a [Device], path: &str) -> Result<(Series, Vec<Step>), Problem> {
        let mut series = Series::default();
        let mut course = Vec::new();
        for device in devices {
            if let Device::Parallel(parallel) = device {
                let mut branches = Vec::new();
                let mut steps = Vec::new();
                for branch in &parallel.branches {
                    let (inner, step) = self.series(&branch.path, path)?;
                    branches.push(inner);
                    steps.push((branch.name.as_str().to_owned(), step));
                }
                series.0.push(Entry::Parallel(branches));
                course.push(Step::Parallel(parallel.name.as_str().to_owned(), steps));
            } else {
                let (id, part) = self.device(device, path)?;
                series.0.push(Entry::Element(id));
                course.push(Step::Device(part));
            }
        }
        Ok((series, course))
    }

    fn device(&mut self, device: &'a Device, path: &str) -> Result<(ElementId, DevicePart), Problem> {
        let name = device.name();
        let path = format!("{path}.{name}");
        let project = self.assembler.situation.project;
        let fluid = self.fluid.clone();
        let mut climb_m = 0.0;
        let mut inlet = None;
        let mut element = match device {
            Device::Pump(machine) | Device::Fan(machine) => {
                let mut element = Element::plain(laws::machine(machine, &fluid, &path)?, machine.volume.si());
                element.signal = Signal::Fixed(self.setting(machine, machine.speed.si()));
                if matches!((device, &fluid), (Device::Pump(_), Fluid::Liquid(_))) {
                    inlet = Some(PumpInlet::of(machine, &fluid, &path)?);
                }
                let place = machine.into.as_deref().unwrap_or(OUTSIDE_AIR);
                element.casing = Some(Casing {
                    place: self.assembler.node(place, &format!("{path}.into"))?,
                    conductance_w_k: machine.casing.si(),
                });
                element
            }
            Device::Hose(hose) => {
                climb_m = hose.climb.si();
                self.hose(hose, &path)?
            }
            Device::ColdPlate(plate) | Device::Jacket(plate) | Device::Surface(plate) => {
                self.plate(plate, &path)?
            }
            Device::Core(core) => {
                let core = laws_of_core(project, core.name.as_str(), &path)?;
                match &fluid {
                    Fluid::Liquid(_) => {
                        let law = super::cores::liquid_law(project, core, &fluid)?;
                        Element::plain(law, core.volume.si())
                    }
                    Fluid::Air { .. } => {
                        let blocked = self.assembler.blocked_share(core);
                        Element::plain(super::cores::air_law(project, core, blocked)?, 0.0)
                    }
                }
            }
            Device::Exchanger(reference) => {
                let exchanger = project
                    .exchangers
                    .iter()
                    .find(|e| e.name == reference.name)
                    .ok_or_else(|| missing(&path, "exchanger", name))?;
                let here = path.split('.').nth(1).unwrap_or_default();
                let flow =
                    if exchanger.first == here { &exchanger.first_flow } else { &exchanger.second_flow };
                Element::plain(laws::resistance(project, flow, &fluid, None, &path)?, exchanger.volume.si())
            }
            Device::Reservoir(reservoir) => {
                let bore = reservoir.bore.si();
                let law =
                    FlowLaw::Loss { coefficient: reservoir.losses.si(), area_m2: FRAC_PI_4 * bore * bore };
                Element::plain(law, reservoir.volume.si() * reservoir.fill.si())
            }
            Device::Restrictor(part) | Device::Filter(part) | Device::Screen(part) => {
                let law = laws::resistance(project, &part.flow, &fluid, None, &path)?;
                Element::plain(law, part.volume.si())
            }
            Device::CheckValve(valve) => Element::plain(
                FlowLaw::CheckValve {
                    opening_pa: valve.opening.si(),
                    coefficient: valve.coefficient.si(),
                    area_m2: FRAC_PI_4 * valve.diameter.si() * valve.diameter.si(),
                },
                0.0,
            ),
            Device::ReliefValve(valve) => {
                let spring = &valve.spring;
                let relief =
                    Relief { cracking_pa: spring.cracking.si(), slope_m3_s_pa: spring.slope_m3_s_pa() };
                Element::plain(FlowLaw::Relief(relief), valve.volume.si())
            }
            Device::BypassValve(valve) => {
                let slope_m3_s_pa = valve.flow.si() / valve.over.si();
                Element::plain(FlowLaw::Relief(Relief { cracking_pa: 0.0, slope_m3_s_pa }), valve.volume.si())
            }
            Device::Thermostat(valve) => {
                let law = FlowLaw::Valve {
                    coefficient: valve.coefficient.si(),
                    area_m2: FRAC_PI_4 * valve.diameter.si() * valve.diameter.si(),
                    leak: valve.leak.si(),
                };
                Element::plain(law, 0.0)
            }
            Device::GroundConnection(connection) => {
                self.assembler.ground_connection(connection, &fluid, &path)?
            }
            Device::Shutter(shutter) => {
                let law = FlowLaw::Valve {
                    coefficient: shutter.coefficient.si(),
                    area_m2: shutter.area.si(),
                    leak: shutter.leak.si(),
                };
                let mut element = Element::plain(law, 0.0);
                element.signal = Signal::Fixed(self.opening_of(shutter, shutter.opening.si()));
                element
            }
            Device::Flap(flap) => Element::plain(
                FlowLaw::CheckValve {
                    opening_pa: flap.lift.si(),
                    coefficient: flap.coefficient.si(),
                    area_m2: flap.area.si(),
                },
                0.0,
            ),
            Device::Inlet(opening) => Element::plain(self.opening(opening, 0.0, 1.0), 0.0),
            Device::Outlet(opening) => Element::plain(self.opening(opening, 1.0, 1.0), 0.0),
            Device::Parallel(_) => unreachable!("parallel groups are laid out by `series`"),
        };
        self.fail(&mut element, name);
        let volume_m3 = element.cells.iter().map(|c| c.volume_m3).sum();
        let cells = element.cells.len();
        let id = self.assembler.builder.element(element);
        if let Device::GroundConnection(connection) = device {
            self.assembler.cart_heat(connection, id, &fluid, &path)?;
        }
        if let Device::Pump(machine) | Device::Fan(machine) = device {
            self.assembler.parts.machines.push(MachinePart {
                element: id,
                supply: machine.supply.clone(),
                on_shaft: machine.shaft_drive.is_some(),
            });
        }
        let is_air_side = matches!((&fluid, device), (Fluid::Air { .. }, Device::Core(_)));
        if !is_air_side {
            self.assembler.nodes.entry(name.to_owned()).or_insert(Node::Cell(id, cells - 1));
        }
        self.wait_for_sensor(device, id, &path);
        let part =
            DevicePart { name: name.to_owned(), kind: device.kind(), element: id, volume_m3, climb_m, inlet };
        Ok((id, part))
    }

    /// Speed of a machine: that of the output shaft if it turns it, that of the point, or else this one, and what a failure
    /// leaves of it.
    fn setting(&self, machine: &Machine, otherwise: f64) -> f64 {
        let situation = &self.assembler.situation;
        let name = machine.name.as_str();
        let share = situation.machine_share(name, machine.supply.as_deref(), self.circuit);
        share
            * match &machine.shaft_drive {
                Some(gears) => gears.ratio.si() * situation.point.shaft_speed.si() / gears.curve_speed.si(),
                None => self.set_at_point(name).unwrap_or(otherwise),
            }
    }

    /// Opening of a shutter: where a failure holds it, that of the point, or else this one.
    fn opening_of(&self, shutter: &Shutter, otherwise: f64) -> f64 {
        let name = shutter.name.as_str();
        self.stuck(name).or_else(|| self.set_at_point(name)).unwrap_or(otherwise)
    }

    fn set_at_point(&self, name: &str) -> Option<f64> {
        let settings = &self.assembler.situation.point.settings;
        settings.iter().find(|s| s.name.as_str() == name).map(|setting| setting.speed.si())
    }

    /// What a failure makes worse in a device: clogging, and a loop that loses its liquid.
    fn fail(&self, element: &mut Element, name: &str) {
        let situation = &self.assembler.situation;
        let (factor, filled, wet) = (
            situation.clogging(name),
            situation.filled_share(self.circuit),
            situation.wet_share(self.circuit),
        );
        if factor != 1.0 {
            clog(&mut element.law, factor);
        }
        for cell in &mut element.cells {
            cell.volume_m3 *= filled;
            if let (Some(wall), true) = (&mut cell.wall, wet < 1.0) {
                let film = Box::new(wall.film.clone());
                wall.film = FilmLaw::Scaled { factor: wet, film };
            }
        }
    }

    fn stuck(&self, valve: &str) -> Option<f64> {
        self.assembler.situation.failed().find_map(|f| match f {
            Failed::ThermostatStuck(stuck) if stuck.thermostat == valve => Some(stuck.opening.si()),
            _ => None,
        })
    }

    /// Notes the sensor of a device whose setting follows a temperature. A setting that is overruled, by a point or by a failure,
    /// keeps its sensor with the same value at every temperature: what depends on what is the same all over a mission.
    fn wait_for_sensor(&mut self, device: &'a Device, element: ElementId, path: &str) {
        let error_k = self.assembler.situation.sensor_error_k(device.name());
        match device {
            Device::Pump(machine) | Device::Fan(machine) => {
                if let Some(control) = &machine.control {
                    let ends = [&control.at_from, &control.at_to].map(|at| self.setting(machine, at.si()));
                    self.follow(control, ends, element, path, error_k);
                }
                if let Some(OnOff { sensor, on_above, off_below, at_on, at_off }) = &machine.on_off {
                    let follows = Follows::Switch {
                        off_k: off_below.si() - error_k,
                        on_k: on_above.si() - error_k,
                        at_off: self.setting(machine, at_off.si()),
                        at_on: self.setting(machine, at_on.si()),
                    };
                    let path = format!("{path}.on_off.sensor");
                    self.waiting.push(Waiting { element, sensor, lag_s: 0.0, follows, path });
                }
            }
            Device::Shutter(shutter) => {
                if let Some(control) = &shutter.control {
                    let ends = [&control.at_from, &control.at_to].map(|at| self.opening_of(shutter, at.si()));
                    self.follow(control, ends, element, path, error_k);
                }
            }
            Device::Thermostat(valve) => {
                let (at_from, at_to) = match self.stuck(valve.name.as_str()) {
                    Some(opening) => (opening, opening),
                    None if valve.closes => (1.0, 0.0),
                    None => (0.0, 1.0),
                };
                self.waiting.push(Waiting {
                    element,
                    sensor: &valve.sensor,
                    lag_s: valve.lag.si(),
                    follows: Follows::Ramp {
                        from_k: valve.from.si() - error_k,
                        to_k: valve.to.si() - error_k,
                        at_from,
                        at_to,
                    },
                    path: format!("{path}.sensor"),
                });
            }
            _ => {}
        }
    }

    /// Notes a setting that follows a temperature along a ramp, with its values at both ends.
    fn follow(
        &mut self,
        control: &'a Control,
        [at_from, at_to]: [f64; 2],
        element: ElementId,
        path: &str,
        error_k: f64,
    ) {
        let (from_k, to_k) = (control.from.si() - error_k, control.to.si() - error_k);
        let follows = Follows::Ramp { from_k, to_k, at_from, at_to };
        let path = format!("{path}.control.sensor");
        self.waiting.push(Waiting { element, sensor: &control.sensor, lag_s: 0.0, follows, path });
    }

    fn hose(&self, hose: &aircraft::records::device::Hose, path: &str) -> Result<Element, Problem> {
        let passage = channels::tubes(&aircraft::records::device::Tubes {
            count: 1,
            diameter: hose.diameter.clone(),
            length: hose.length.clone(),
            roughness: hose.roughness.clone(),
            losses: hose.losses.clone(),
        });
        let volume = passage.flow_area_m2 * passage.length_m;
        let factor = self.assembler.situation.project.policy.relations.channel_friction.si();
        let law = laws::scaled_flow(FlowLaw::Passage(passage), factor);
        let mut element = Element::plain(law, volume);
        if let Some(around) = &hose.surroundings {
            element.cells[0].wall = Some(Wall {
                node: self.assembler.node(&around.to, &format!("{path}.surroundings.to"))?,
                film: FilmLaw::Fixed { conductance_w_k: around.conductance.si() },
            });
        }
        element.climb_m = hose.climb.si();
        Ok(element)
    }

    fn plate(&self, plate: &Plate, path: &str) -> Result<Element, Problem> {
        let project = self.assembler.situation.project;
        let film = laws::film(project, &plate.film, &self.fluid, &format!("{path}.film"))?;
        let law = laws::resistance(project, &plate.flow, &self.fluid, Some(&film), &format!("{path}.flow"))?;
        let film = laws::between_published(project, film);
        let mut walls = Vec::new();
        for wall in &plate.walls {
            walls.extend(self.assembler.segments(wall, &format!("{path}.walls"))?);
        }
        let parts = walls.len().max(1) as f64;
        let share = laws::film_factor(project, &plate.film) / parts;
        let volume_m3 = plate.volume.si() / parts;
        let mut element = Element::plain(law, volume_m3);
        if !walls.is_empty() {
            element.cells = walls
                .into_iter()
                .map(|wall| Cell {
                    volume_m3,
                    wall: Some(Wall {
                        node: Node::Component(wall),
                        film: FilmLaw::Scaled { factor: share, film: Box::new(film.clone()) },
                    }),
                    heat_w: 0.0,
                })
                .collect();
        }
        Ok(element)
    }

    /// Ram pressure and loss of an opening; an outlet loses at least its dynamic head.
    fn opening(&self, opening: &aircraft::records::device::Opening, min_loss: f64, sign: f64) -> FlowLaw {
        let rise_pa = sign * opening.recovery.si() * self.assembler.outside.dynamic_pressure_pa();
        FlowLaw::Series(vec![
            FlowLaw::Rise { rise_pa },
            FlowLaw::Loss { coefficient: opening.losses.si().max(min_loss), area_m2: opening.area.si() },
        ])
    }
}

/// Multiplies the loss of a law; a ram pressure in it stays what it is.
fn clog(law: &mut FlowLaw, factor: f64) {
    if let FlowLaw::Series(laws) = law {
        for law in laws {
            clog(law, factor);
        }
    } else if !matches!(law, FlowLaw::Rise { .. } | FlowLaw::Machine(_)) {
        let clean = Box::new(law.clone());
        *law = FlowLaw::Scaled { factor, law: clean };
    }
}

fn missing(path: &str, what: &str, name: &str) -> Problem {
    Problem::error(path, format!("no {what} is called {name:?}"), format!("add it to `{what}s`"))
}

fn laws_of_core<'a>(
    project: &'a aircraft::records::project::Project,
    name: &str,
    path: &str,
) -> Result<&'a aircraft::records::core::Core, Problem> {
    project.cores.iter().find(|c| c.name.as_str() == name).ok_or_else(|| missing(path, "core", name))
}
