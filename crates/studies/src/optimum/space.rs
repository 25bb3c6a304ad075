//! What is free in a whole aircraft: numbers and picks of every loop, as a point that makes a project.

use crate::StudyError;
use crate::size::plan::{GRAIN_M, Plan, WHOLE_SLACK};
use crate::size::{CoreChoice, Design, face};
use aircraft::records::core::Transfer;
use aircraft::records::project::Project;
use schema::Change;

/// Step of a length over which slopes are taken, m: ten of the steps in which lengths are chosen.
const LENGTH_STEP_M: f64 = 1e-4;
/// Step of the logarithm of a conductance over which slopes are taken.
const LOG_STEP: f64 = 1e-3;

/// What a free number is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Knob {
    /// Whole number of tubes or layers.
    Layers,
    /// Height, m.
    Height,
    /// Depth, m.
    Depth,
    /// Logarithm of a conductance, W/K.
    Conductance,
}

/// A free number of a loop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Variable {
    pub(super) plan: usize,
    pub(super) knob: Knob,
    pub(super) least: f64,
    pub(super) most: f64,
}

impl Variable {
    /// The value at a share of the range, in whole steps.
    pub(super) fn at(&self, share: f64) -> f64 {
        self.grained(self.least + share * (self.most - self.least))
    }

    /// The share of the range.
    pub(super) fn share(&self, value: f64) -> f64 {
        ((value - self.least) / (self.most - self.least)).clamp(0.0, 1.0)
    }

    /// The nearest value that can be chosen.
    pub(super) fn grained(&self, value: f64) -> f64 {
        let whole = match self.knob {
            Knob::Layers => value.round(),
            Knob::Height | Knob::Depth => (value / GRAIN_M).round() * GRAIN_M,
            Knob::Conductance => value,
        };
        whole.clamp(self.least, self.most)
    }

    pub(super) fn is_whole(&self) -> bool {
        self.knob == Knob::Layers
    }

    /// A step from a value for a slope, to the side where there is room.
    pub(super) fn step(&self, value: f64) -> f64 {
        let step = match self.knob {
            Knob::Layers => 1.0,
            Knob::Height | Knob::Depth => LENGTH_STEP_M,
            Knob::Conductance => LOG_STEP,
        };
        if value + step <= self.most + 1e-9 { step } else { -step }
    }

    /// A step for a slope of a flight, whose accuracy asks for a larger one.
    pub(super) fn wide_step(&self, value: f64) -> f64 {
        let step = match self.knob {
            Knob::Layers => (0.1 * (self.most - self.least)).round().max(1.0),
            _ => 0.1 * (self.most - self.least),
        };
        let step = if value + step <= self.most + 1e-9 { step } else { -step };
        self.grained(value + step) - value
    }
}

/// What a pick is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Of {
    Fin,
    Core,
    Pump,
    Fan,
}

/// A list from which a loop picks one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct List {
    pub(super) plan: usize,
    pub(super) of: Of,
    pub(super) count: usize,
}

/// A choice in all loops.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Point {
    /// Values of the variables.
    pub(super) numbers: Vec<f64>,
    /// Numbers in the lists.
    pub(super) picks: Vec<usize>,
}

/// A loop that is not sized.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftAsIs {
    /// Loop.
    pub circuit: String,
    /// Why.
    pub reason: String,
}

/// Everything that is free.
#[derive(Clone, Debug)]
pub(super) struct Space {
    pub(super) plans: Vec<Plan>,
    pub(super) variables: Vec<Variable>,
    pub(super) lists: Vec<List>,
    pub(super) left: Vec<LeftAsIs>,
}

impl Space {
    /// What is free in the loops of a project.
    ///
    /// # Errors
    /// [`StudyError::Project`] if nothing is.
    pub(super) fn of(project: &Project) -> Result<Self, StudyError> {
        let mut space =
            Self { plans: Vec::new(), variables: Vec::new(), lists: Vec::new(), left: Vec::new() };
        let mut fans_of: Vec<String> = Vec::new();
        let mut last = None;
        for circuit in &project.loops {
            match Plan::of(project, circuit.name.as_str()) {
                Ok(plan) => space.add(plan, &mut fans_of),
                Err(error) => {
                    let reason = match &error {
                        StudyError::Project(problem) => problem.message.clone(),
                        other => other.to_string(),
                    };
                    space.left.push(LeftAsIs { circuit: circuit.name.as_str().to_owned(), reason });
                    last = Some(error);
                }
            }
        }
        match last {
            Some(error) if space.variables.is_empty() && space.lists.is_empty() => Err(error),
            _ if space.variables.is_empty() && space.lists.is_empty() => {
                Err(crate::size::judge::nothing_to_judge())
            }
            _ => Ok(space),
        }
    }

    fn add(&mut self, plan: Plan, fans_of: &mut Vec<String>) {
        let number = self.plans.len();
        let mut variable = |knob, least: f64, most: f64| {
            if most - least > GRAIN_M {
                self.variables.push(Variable { plan: number, knob, least, most });
            }
        };
        if plan.sizing.cores.is_empty() {
            if let Some(room) = &plan.room {
                let (least, most) = plan.layers();
                variable(Knob::Layers, f64::from(least), f64::from(most));
                variable(Knob::Height, room.height.min_m, room.height.max_m);
                variable(Knob::Depth, room.depth.min_m, room.depth.max_m);
            } else {
                let (least, most) = plan.conductances_w_k();
                variable(Knob::Conductance, least.ln(), most.ln());
            }
        }
        let mut list = |of, count: usize| {
            if count > 1 {
                self.lists.push(List { plan: number, of, count });
            }
        };
        match (&plan.room, plan.sizing.cores.len()) {
            (Some(room), 0) => list(Of::Fin, room.fins_m.len()),
            (_, listed) => list(Of::Core, listed),
        }
        list(Of::Pump, plan.sizing.pumps.len());
        // two loops that share a duct share its fans: the first one picks
        if let Some(duct) = plan.duct.clone().filter(|duct| !fans_of.contains(duct)) {
            list(Of::Fan, plan.sizing.fans.len());
            if !plan.sizing.fans.is_empty() {
                fans_of.push(duct);
            }
        }
        self.plans.push(plan);
    }

    fn number(&self, point: &Point, plan: usize, knob: Knob) -> Option<f64> {
        let at = self.variables.iter().position(|v| v.plan == plan && v.knob == knob)?;
        Some(point.numbers[at])
    }

    fn pick(&self, point: &Point, plan: usize, of: Of) -> Option<usize> {
        let at = self.lists.iter().position(|list| list.plan == plan && list.of == of)?;
        Some(point.picks[at])
    }

    /// The design of one loop.
    pub(super) fn design(&self, point: &Point, number: usize) -> Design {
        let plan = &self.plans[number];
        let picked = |of, list: usize| (list > 0).then(|| self.pick(point, number, of).unwrap_or(0));
        let core = match (&plan.room, plan.sizing.cores.len()) {
            (Some(room), 0) => CoreChoice::Fins {
                layers: self
                    .number(point, number, Knob::Layers)
                    .map_or(plan.layers().1, |layers| layers.round() as u32),
                height_m: self.number(point, number, Knob::Height).unwrap_or(room.height.max_m),
                depth_m: self.number(point, number, Knob::Depth).unwrap_or(room.depth.max_m),
                fin: self.pick(point, number, Of::Fin).unwrap_or(0),
            },
            (None, 0) => {
                let present = if let Transfer::Fixed(g) = &plan.present.transfer { g.si() } else { 1.0 };
                let log = self.number(point, number, Knob::Conductance).unwrap_or(present.ln());
                CoreChoice::Conductance(log.exp())
            }
            _ => CoreChoice::Listed(self.pick(point, number, Of::Core).unwrap_or(0)),
        };
        let is_first_of_duct = !self.plans[..number]
            .iter()
            .any(|other| other.duct == plan.duct && !other.sizing.fans.is_empty());
        let fans = if is_first_of_duct { plan.sizing.fans.len() } else { 0 };
        Design { core, pump: picked(Of::Pump, plan.sizing.pumps.len()), fan: picked(Of::Fan, fans) }
    }

    /// The project at a point.
    pub(super) fn applied(&self, project: &Project, point: &Point) -> Project {
        let mut changed = project.clone();
        for (number, plan) in self.plans.iter().enumerate() {
            plan.apply(&mut changed, &self.design(point, number));
        }
        changed
    }

    /// A point as changes of the project.
    pub(super) fn changes(&self, project: &Project, point: &Point) -> Vec<Change> {
        let plans = self.plans.iter().enumerate();
        plans.flat_map(|(number, plan)| plan.changes(project, &self.design(point, number))).collect()
    }

    /// The point nearest to the project as it is; of lists the last, which is the largest by custom.
    pub(super) fn present(&self) -> Point {
        let number = |variable: &Variable| {
            let plan = &self.plans[variable.plan];
            let (width_m, depth_m) = face(&plan.present);
            let value = match (variable.knob, &plan.room, &plan.present.transfer) {
                (Knob::Layers, Some(room), _) => width_m / room.layer_m + WHOLE_SLACK,
                (Knob::Depth, ..) => depth_m,
                (Knob::Height, _, Transfer::Louvered(fins)) => fins.height.si(),
                (Knob::Height, _, Transfer::OffsetStrip(fins)) => fins.height.si(),
                (Knob::Conductance, _, Transfer::Fixed(conductance)) => conductance.si().ln(),
                _ => variable.most,
            };
            variable.grained(if variable.is_whole() { value.floor() } else { value })
        };
        let pick = |list: &List| match list.of {
            Of::Fin => self.plans[list.plan].nearest_fin(),
            Of::Core | Of::Pump | Of::Fan => list.count - 1,
        };
        Point {
            numbers: self.variables.iter().map(number).collect(),
            picks: self.lists.iter().map(pick).collect(),
        }
    }

    /// A point by shares of all ranges, then of all lists.
    pub(super) fn at(&self, shares: &[f64]) -> Point {
        let (numbers, picks) = shares.split_at(self.variables.len());
        let pick = |(list, share): (&List, &f64)| ((share * list.count as f64) as usize).min(list.count - 1);
        Point {
            numbers: self.variables.iter().zip(numbers).map(|(v, share)| v.at(*share)).collect(),
            picks: self.lists.iter().zip(picks).map(pick).collect(),
        }
    }

    /// Every variable as large as it may be: the picks stay.
    pub(super) fn largest(&self, point: &Point) -> Point {
        Point { numbers: self.variables.iter().map(|v| v.most).collect(), picks: point.picks.clone() }
    }

    /// A point with one variable moved by a step.
    pub(super) fn moved(&self, point: &Point, variable: usize, by: f64) -> Point {
        let mut moved = point.clone();
        moved.numbers[variable] = self.variables[variable].grained(point.numbers[variable] + by);
        moved
    }
}
