//! What the cooling draws and drags: at an instant, and on average over a mission.

use super::carry::carry_w_kg;
use crate::assembly::{Outside, Situation};
use crate::mission::Flight;
use crate::result::{CaseResult, ElectricResult};
use aircraft::records::device::{Device, devices};
use aircraft::records::project::Project;
use schema::Problem;

/// Power of a pump or fan.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineDraw {
    /// Name.
    pub name: String,
    /// Loop or duct it stands in.
    pub circuit: String,
    /// Electrical power, or power taken from the output shaft, W.
    pub power_w: f64,
    /// Whether the output shaft turns it.
    pub on_shaft: bool,
}

/// Drag of a duct.
#[derive(Clone, Debug, PartialEq)]
pub struct DuctDraw {
    /// Name.
    pub name: String,
    /// Momentum drag: the air is brought to rest in the aircraft, N.
    pub drag_n: f64,
    /// Drag times true airspeed, W.
    pub drag_power_w: f64,
}

/// What the cooling takes at an instant, or on average.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Draw {
    /// Pumps and fans.
    pub machines: Vec<MachineDraw>,
    /// Their share of the losses of the converters that feed them, W.
    pub converter_w: f64,
    /// Ducts.
    pub ducts: Vec<DuctDraw>,
    /// Shaft power to carry one kilogram more, W/kg; 0 on the ground and without a craft.
    pub carry_w_kg: f64,
}

impl Draw {
    /// Electrical power of pumps and fans with their share of the converters, W.
    pub fn electrical_w(&self) -> f64 {
        self.converter_w + self.machine_w(false)
    }

    /// Power that pumps and fans take from the output shaft, W.
    pub fn shaft_w(&self) -> f64 {
        self.machine_w(true)
    }

    /// Drag of all ducts, N.
    pub fn drag_n(&self) -> f64 {
        self.ducts.iter().map(|duct| duct.drag_n).sum()
    }

    /// Drag times airspeed, W.
    pub fn drag_power_w(&self) -> f64 {
        self.ducts.iter().map(|duct| duct.drag_power_w).sum()
    }

    fn machine_w(&self, on_shaft: bool) -> f64 {
        self.machines.iter().filter(|m| m.on_shaft == on_shaft).map(|m| m.power_w).sum()
    }

    /// Adds a share of another draw of the same project.
    fn add(&mut self, other: &Self, share: f64) {
        if self.machines.is_empty() && self.ducts.is_empty() {
            self.machines =
                other.machines.iter().map(|m| MachineDraw { power_w: 0.0, ..m.clone() }).collect();
            let still = |d: &DuctDraw| DuctDraw { drag_n: 0.0, drag_power_w: 0.0, ..d.clone() };
            self.ducts = other.ducts.iter().map(still).collect();
        }
        for (sum, one) in self.machines.iter_mut().zip(&other.machines) {
            sum.power_w += share * one.power_w;
        }
        for (sum, one) in self.ducts.iter_mut().zip(&other.ducts) {
            sum.drag_n += share * one.drag_n;
            sum.drag_power_w += share * one.drag_power_w;
        }
        self.converter_w += share * other.converter_w;
        self.carry_w_kg += share * other.carry_w_kg;
    }
}

/// What the cooling takes in a solved case that is flown; on the ground nothing is carried.
///
/// # Errors
/// A [`Problem`] for an altitude outside the atmosphere model.
pub fn draw(situation: &Situation<'_>, result: &CaseResult, on_ground: bool) -> Result<Draw, Problem> {
    let project = situation.project;
    let outside = Outside::of(situation.condition, situation.point)?;
    let (airspeed_m_s, climb_m_s) = (outside.airspeed_m_s, situation.point.climb_rate.si());
    let machines = machine_draws(project, result);
    let ducts = result.ducts.iter().map(|duct| DuctDraw {
        name: duct.name.clone(),
        drag_n: duct.drag_n,
        drag_power_w: duct.drag_n * airspeed_m_s,
    });
    let shaft_w = result.electric.as_ref().map_or(0.0, |e| e.motors.iter().map(|m| m.shaft_power_w).sum());
    Ok(Draw {
        converter_w: result.electric.as_ref().map_or(0.0, |e| converter_share_w(project, e, &machines)),
        machines,
        ducts: ducts.collect(),
        carry_w_kg: if on_ground { 0.0 } else { carry_w_kg(project, &outside, climb_m_s, shaft_w) },
    })
}

fn machine_draws(project: &Project, result: &CaseResult) -> Vec<MachineDraw> {
    let paths = project.loops.iter().map(|l| (l.name.as_str(), &l.path));
    let paths = paths.chain(project.ducts.iter().map(|d| (d.name.as_str(), &d.path)));
    let stations = || result.loops.iter().chain(&result.ducts).flat_map(|circuit| &circuit.stations);
    let mut found = Vec::new();
    for (circuit, path) in paths {
        for device in devices(path) {
            let (Device::Pump(machine) | Device::Fan(machine)) = device else { continue };
            let station = stations().find(|station| station.name == machine.name.as_str());
            found.push(MachineDraw {
                name: machine.name.as_str().to_owned(),
                circuit: circuit.to_owned(),
                power_w: station.map_or(0.0, |station| station.power_w),
                on_shaft: machine.shaft_drive.is_some(),
            });
        }
    }
    found
}

/// Share of the losses of converters: loss times the power of pumps and fans over the whole output.
fn converter_share_w(project: &Project, electric: &ElectricResult, machines: &[MachineDraw]) -> f64 {
    let Some(powertrain) = &project.powertrain else { return 0.0 };
    let supply_of = |name: &str| {
        let paths = project.loops.iter().map(|l| &l.path).chain(project.ducts.iter().map(|d| &d.path));
        paths.flat_map(|path| devices(path)).find_map(|device| match device {
            Device::Pump(machine) | Device::Fan(machine) if machine.name.as_str() == name => {
                machine.supply.as_deref()
            }
            _ => None,
        })
    };
    let share_w =
        |(spec, state): (&aircraft::records::power_path::Converter, &crate::result::ConverterResult)| {
            let fed = machines.iter().filter(|machine| {
                !machine.on_shaft
                    && supply_of(&machine.name)
                        .is_some_and(|supply| spec.supplies.iter().any(|s| s == supply))
            });
            let fed_w: f64 = fed.map(|machine| machine.power_w).sum();
            if state.output_w > 0.0 { state.heat_w * (fed_w / state.output_w).min(1.0) } else { 0.0 }
        };
    powertrain.converters.iter().zip(&electric.converters).map(share_w).sum()
}

/// What the cooling takes over a mission.
#[derive(Clone, Debug, PartialEq)]
pub struct MissionDraw {
    /// From the beginning to the end of the soak after shutdown, s.
    pub duration_s: f64,
    /// Mean over that time: times the duration it is energy.
    pub mean: Draw,
}

/// What the cooling takes over a flight, sample by sample (trapezoids).
///
/// # Errors
/// As [`draw`].
pub fn mission_draw(project: &Project, flight: &Flight) -> Result<MissionDraw, Problem> {
    let duration_s = flight.duration_s();
    let mut mean = Draw::default();
    let mut before: Option<(f64, Draw)> = None;
    for (sample, &time_s) in flight.times_s.iter().enumerate() {
        let ground = flight.schedule.steps.get(flight.step_of[sample]);
        let on_ground = ground.is_none_or(|step| step.ground || step.segment.is_none());
        let result = flight.case_at(project, sample);
        let now = draw(&flight.situation_at(project, sample), &result, on_ground)?;
        if let Some((then_s, then)) = &before {
            let half = if duration_s > 0.0 { 0.5 * (time_s - then_s) / duration_s } else { 0.0 };
            mean.add(then, half);
            mean.add(&now, half);
        }
        before = Some((time_s, now));
    }
    Ok(MissionDraw { duration_s, mean })
}
