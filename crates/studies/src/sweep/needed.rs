//! Whether a loop is needed at a point: with its pumps and fans at rest, and with all of it removed.
//!
//! What is judged are the highest temperatures of the components that the loop cools, in the cases that are chosen: the same for the
//! core that is sized, for the loop at rest and for the loop removed.

use super::maker::Maker;
use crate::StudyError;
use crate::missions::fly_case;
use crate::uncooled::ways::{own_ducts, path, removed, speeds, without};
use crate::uncooled::{Boundary, RESISTANCE, boundary};
use aircraft::records::device::{Device, Loop, devices};
use aircraft::records::powertrain::Bus;
use aircraft::records::project::Project;
use aircraft::variant::project_shape;
use model::case_name::CaseName;
use model::mission::FlyOptions;
use model::result::{Margin, MarginKind};
use model::{budget, case, cases, design, mission};
use schema;
use schema::{Change, Node, Problem};
use std::sync::atomic::{AtomicBool, Ordering};

/// How a loop is left out in flight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Absence {
    /// Pumps and fans at rest; everything is aboard, the core does nothing.
    AtRest,
    /// The loop, its cores and the ducts that serve no other loop are not aboard.
    Removed,
}

impl Absence {
    /// Both.
    pub const ALL: [Self; 2] = [Self::AtRest, Self::Removed];

    /// As it is asked for.
    pub fn word(self) -> &'static str {
        match self {
            Self::AtRest => "at rest",
            Self::Removed => "removed",
        }
    }
}

/// A loop with what leaves it out.
pub(super) struct Absent {
    pub(super) circuit: String,
    /// Components that it cools.
    walls: Vec<String>,
    /// Speeds of its machines as numbers of the project, all zero, in order.
    rest: Vec<(usize, f64)>,
    /// What removes it, and whatever names it.
    removal: Vec<Change>,
    /// The resistance of a cell as a number of the project, and its present value.
    resistance: Option<(usize, f64)>,
}

fn walls(circuit: &Loop) -> Vec<String> {
    let of = |device: &Device| match device {
        Device::ColdPlate(plate) | Device::Jacket(plate) | Device::Surface(plate) => plate.walls.clone(),
        _ => Vec::new(),
    };
    devices(&circuit.path).into_iter().flat_map(of).collect()
}

/// Whether a loop cools the cells of the pack.
pub(super) fn cools_the_pack(project: &Project, circuit: &Loop) -> bool {
    match project.powertrain.as_ref().map(|powertrain| &powertrain.bus) {
        Some(Bus::Pack(pack)) => walls(circuit).contains(&pack.cells),
        _ => false,
    }
}

/// The tree with a loop removed: lists that are not flown are left out, because they may name its parts.
fn without_loop(tree: &Node, removal: &[Change]) -> Result<Node, Vec<Problem>> {
    let less = without(tree, &["variants", "chains", "turnarounds", "sizings"]);
    schema::apply_changes(&less, project_shape(), removal)
}

/// Failures of a loop go with it: changes that remove those that a decoder finds to name what is gone.
fn failures_that_go(node: &Node, project: &Project, removal: &[Change]) -> Vec<Change> {
    let mut more: Vec<Change> = Vec::new();
    // a failure may be made of others
    for _round in 0..3 {
        let all: Vec<Change> = removal.iter().chain(&more).cloned().collect();
        let Ok(Err(problems)) = without_loop(node, &all).map(|tree| design::decode(&tree)) else { break };
        let names = |failure: &str| {
            problems
                .iter()
                .any(|p| p.path.split('.').nth(1) == Some(failure) && p.path.starts_with("failures."))
        };
        for failure in project.failures.iter().map(|f| f.name.as_str()).filter(|name| names(name)) {
            more.push(Change::Remove(path(&format!("failures.{failure}"))));
            for (number, group) in project.cases.iter().enumerate() {
                if group.failures.iter().any(|name| name == failure) {
                    more.push(Change::Remove(path(&format!("cases.{}.failures.{failure}", number + 1))));
                }
            }
        }
    }
    more
}

impl Absent {
    /// What leaves out a loop of a project; none if there is no such loop.
    pub(super) fn of(node: &Node, project: &Project, circuit: &str) -> Option<Self> {
        let found = project.loops.iter().find(|l| l.name.as_str() == circuit)?;
        let mut removal = removed(project, &[found]);
        let failures = failures_that_go(node, project, &removal);
        removal.extend(failures);
        let resistance = schema::list_inputs(node, project_shape())
            .into_iter()
            .enumerate()
            .find(|(_, entry)| entry.path.to_string() == RESISTANCE);
        Some(Self {
            circuit: circuit.to_owned(),
            walls: walls(found),
            rest: speeds(node, project, &[found]).into_iter().map(|(index, _)| (index, 0.0)).collect(),
            removal,
            resistance: resistance.map(|(index, entry)| (index, entry.si)),
        })
    }

    /// Whether the pumps of the loop can be at rest: a shaft drives its pump as long as it turns.
    fn can_rest(&self, project: &Project) -> bool {
        let own = project.loops.iter().filter(|l| l.name.as_str() == self.circuit);
        let mut machines = own.flat_map(|circuit| devices(&circuit.path)).filter_map(|device| match device {
            Device::Pump(machine) => Some(machine),
            _ => None,
        });
        machines.all(|machine| machine.shaft_drive.is_none())
    }

    /// The project of a point with the loop left out; none if that cannot be.
    fn project(
        &self,
        maker: &Maker<'_>,
        project: &Project,
        inputs_si: &[f64],
        how: Absence,
    ) -> Option<Project> {
        match how {
            Absence::AtRest => {
                let mut rest = project.clone();
                let is_moved = self.can_rest(project) && schema::move_numbers(&mut rest, &self.rest);
                is_moved.then_some(rest)
            }
            Absence::Removed => {
                let tree = maker.tree(inputs_si).ok()?;
                design::decode(&without_loop(&tree, &self.removal).ok()?).ok()
            }
        }
    }

    /// Whether the components that the loop cools hold without it.
    pub(super) fn holds(
        &self,
        maker: &Maker<'_>,
        project: &Project,
        inputs_si: &[f64],
        how: Absence,
        cancel: &AtomicBool,
    ) -> Result<bool, StudyError> {
        let Some(left) = self.project(maker, project, inputs_si, how) else { return Ok(false) };
        Ok(self.short(&left, maker.cases, cancel)?.is_none())
    }

    /// The largest cell resistance that holds without the loop; none if that question makes no sense.
    pub(super) fn boundary(
        &self,
        maker: &Maker<'_>,
        project: &Project,
        inputs_si: &[f64],
        how: Absence,
        cancel: &AtomicBool,
    ) -> Result<Option<Boundary>, StudyError> {
        let Some((index, present_ohm)) = self.resistance else { return Ok(None) };
        let Some(left) = self.project(maker, project, inputs_si, how) else { return Ok(None) };
        let index = match how {
            Absence::AtRest => index,
            Absence::Removed => self.index_without(maker, inputs_si).unwrap_or(usize::MAX),
        };
        let short = |ohm: f64| {
            let mut moved = left.clone();
            if !schema::move_numbers(&mut moved, &[(index, ohm)]) {
                return Ok(Some(()));
            }
            Ok(self.short(&moved, maker.cases, cancel)?.map(|_| ()))
        };
        boundary(present_ohm, short).map(|(found, _)| Some(found))
    }

    /// The place of the resistance among the numbers of the project without the loop.
    fn index_without(&self, maker: &Maker<'_>, inputs_si: &[f64]) -> Option<usize> {
        let tree = without_loop(&maker.tree(inputs_si).ok()?, &self.removal).ok()?;
        let inputs = schema::list_inputs(&tree, project_shape());
        inputs.iter().position(|entry| entry.path.to_string() == RESISTANCE)
    }

    /// The first chosen case in which a component of the loop is too hot, or that has no state.
    fn short(
        &self,
        project: &Project,
        chosen: &[String],
        cancel: &AtomicBool,
    ) -> Result<Option<CaseName>, StudyError> {
        let is_chosen = |name: &CaseName| chosen.is_empty() || chosen.contains(&name.to_string());
        let holds = |margins: &[Margin]| {
            let mut own =
                margins.iter().filter(|m| m.kind == MarginKind::Maximum && self.walls.contains(&m.place));
            own.all(|margin| !margin.is_short())
        };
        let go_on = || if cancel.load(Ordering::Relaxed) { Err(StudyError::Cancelled) } else { Ok(()) };
        for case in cases::steady(project).iter().filter(|case| is_chosen(&case.name())) {
            go_on()?;
            let solved = case::solve(case).ok().filter(|result| result.status.can_be_judged());
            if !solved.is_some_and(|result| holds(&result.margins)) {
                return Ok(Some(case.name()));
            }
        }
        for mission in cases::missions(project).iter().filter(|mission| is_chosen(&mission.name())) {
            go_on()?;
            let flown = fly_case(mission, &FlyOptions::default()).ok().filter(|f| f.status.can_be_judged());
            let margins = |flight: mission::Flight| -> Vec<Margin> {
                flight.margins(project).into_iter().map(|timed| timed.margin).collect()
            };
            if !flown.is_some_and(|flight| holds(&margins(flight))) {
                return Ok(Some(mission.name()));
            }
        }
        Ok(None)
    }

    /// Mass of the loop and of the ducts that serve no other, dry and coolant, kg; without its cores if they are not needed.
    pub(super) fn mass_kg(&self, project: &Project, with_cores: bool) -> Result<f64, Problem> {
        let Some(circuit) = project.loops.iter().find(|l| l.name.as_str() == self.circuit) else {
            return Ok(0.0);
        };
        let ducts = own_ducts(project, &[circuit]);
        let is_own = |name: &str| name == self.circuit || ducts.iter().any(|duct| duct.name.as_str() == name);
        let book = budget::masses(project)?;
        let own =
            book.lines.iter().filter(|line| is_own(&line.circuit) && (with_cores || line.kind != "core"));
        Ok(own.map(budget::MassLine::total_kg).sum())
    }
}
