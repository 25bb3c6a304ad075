//! What types cannot check: names and values ([`aircraft::check`]), and then all that shows when cases are put together.

mod ground;
mod missions;
mod rehearsal;

pub use rehearsal::rehearse;

use crate::assembly::{Gears, Situation, assemble, junction_law, liquid, try_out};
use crate::outside::{Outside, Over};
use aircraft::check::{self, Check};
use aircraft::records::project::Project;
use schema::{Problem, Problems};

/// Checks a decoded project. Every problem is told, with the path of the input and what to do.
pub fn validate(project: &Project) -> Problems {
    let amounts = check::amounts(project);
    if amounts.has_errors() {
        return amounts;
    }
    let mut tried = Tried { check: check::names_and_values(project) };
    tried.check.problems.append(amounts);
    tried.inverters();
    tried.craft();
    tried.missions();
    tried.ground();
    tried.fluids();
    if !tried.check.problems.has_errors() {
        tried.first_case();
    }
    tried.check.problems
}

/// A check that goes on where numbers are put together.
struct Tried<'a> {
    check: Check<'a>,
}

impl Tried<'_> {
    /// Junctions of inverters are checked against the losses of their inverter.
    fn inverters(&mut self) {
        for motor in self.check.project.powertrain.iter().flat_map(|powertrain| &powertrain.motors) {
            if let Err(problem) = junction_law(motor, &format!("powertrain.motors.{}", motor.name.as_str())) {
                self.check.once(problem);
            }
        }
    }

    fn craft(&mut self) {
        if let Some(Err(problem)) = self.check.project.craft.as_ref().map(crate::estimate::check_craft) {
            self.check.problems.push(problem);
        }
    }

    /// Every fluid must be known, and must not freeze in a condition that is flown.
    fn fluids(&mut self) {
        let project = self.check.project;
        for circuit in &project.loops {
            let path = format!("loops.{}.fluid", circuit.name.as_str());
            let fluid = match liquid(project, &circuit.fluid, &path) {
                Ok(fluid) => fluid,
                Err(problem) => {
                    self.check.problems.push(problem);
                    continue;
                }
            };
            let (Some(nominal_k), Some(freezing_k)) =
                (fluid.freezing_point_k(), fluid.warmest_freezing_point_k())
            else {
                continue;
            };
            for condition in &project.conditions {
                let Ok(outside) = Outside::at(condition, 0.0, Over::Ground) else { continue };
                if outside.air_k < freezing_k {
                    self.check.problems.push(Problem::warning(
                        &*path,
                        format!(
                            "{} freezes or stops to pour at {:.1} degC, by other sources at up to {:.1} degC; {:?} is {:.1} degC",
                            circuit.fluid,
                            nominal_k - 273.15,
                            freezing_k - 273.15,
                            condition.name.as_str(),
                            outside.air_k - 273.15
                        ),
                        "choose a stronger mixture or another fluid, or heat the loop before start",
                    ));
                }
            }
        }
        let powertrain = project.powertrain.iter();
        let gears = powertrain.flat_map(|powertrain| {
            let stages = powertrain.stages.iter().map(Gears::of_stage);
            powertrain.gearbox.iter().map(Gears::of_gearbox).chain(stages)
        });
        for gears in gears {
            let oil = gears.oil.map(|oil| liquid(project, oil, &format!("{}.oil", gears.path)));
            if let Some(Err(problem)) = oil {
                self.check.problems.push(problem);
            }
        }
    }

    /// What only shows when a case is put together: curves, maps, dimensions.
    fn first_case(&mut self) {
        let project = self.check.project;
        if project.points.is_empty() {
            let flown = crate::cases::missions(project).first().map(crate::mission::schedule);
            self.check.problems.extend(flown.and_then(Result::err));
        }
        let Some(point) = project.points.first() else { return };
        for (index, condition) in project.conditions.iter().enumerate() {
            let situation = Situation { project, condition, point, failure: None };
            // the network is the same under every condition
            let tried = if index == 0 { assemble(situation).map(drop) } else { try_out(situation) };
            let Err(problem) = tried else { continue };
            if !self.check.problems.iter().any(|p| p.path == problem.path && p.message == problem.message) {
                self.check.problems.push(problem);
            }
        }
    }
}
