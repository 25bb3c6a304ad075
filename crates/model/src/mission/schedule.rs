//! From a planned mission to networks: each step is cut into pieces, and each end of a piece is assembled.

use super::plan::{Commanded, Phase, Planned, Swap, number, plan};
use super::turnaround::plan_turnaround;
use super::{MissionCase, SOAK, TurnaroundCase};
use crate::aircraft::mission::{Start, Until};
use crate::aircraft::powertrain::{Bus, Pack};
use crate::aircraft::project::Project;
use crate::aircraft::study::{Failure, Point};
use crate::aircraft::surroundings::Condition;
use crate::assembly::{Assembled, Outside, Parts, Situation, assemble, charge_limiter};
use crate::schema::kinds::Ratio;
use crate::schema::{Input, Name, Problem, Severity};
use powertrain::charge::ChargeLimiter;
use powertrain::pack::HotCell;
use solver::ComponentId;

/// Climbs are cut about this often, m: air pressure and the temperature of the day follow well.
const PIECE_HEIGHT_M: f64 = 300.0;
/// Changes of airspeed are cut this often, m/s: ram pressure grows with the square of the airspeed.
const PIECE_AIRSPEED_M_S: f64 = 5.0;

/// A mission as networks over time.
#[derive(Clone, Debug)]
pub struct Schedule {
    /// Temperatures at the beginning.
    pub start: StartState,
    /// State of charge at the beginning.
    pub state_of_charge: f64,
    /// The pack, if there is one.
    pub pack: Option<PackPart>,
    /// Steps in order, at least one.
    pub steps: Vec<ScheduleStep>,
}

/// What a charge and its limits must know of the pack.
#[derive(Clone, Debug)]
pub struct PackPart {
    /// Groups of cells along the coolant.
    pub cells: Vec<ComponentId>,
    /// Allowance for the hottest cell of a group.
    pub hot_cell: Option<HotCell>,
    /// Cells in series.
    pub series: usize,
    /// Strings in parallel.
    pub strings: usize,
}

/// Temperatures at the beginning of a schedule.
#[derive(Clone, Debug, PartialEq)]
pub enum StartState {
    /// Known beforehand.
    Temperatures {
        /// Coolant and components that are not named, K.
        rest_k: f64,
        /// Components that differ, K.
        parts: Vec<(Vec<ComponentId>, f64)>,
    },
    /// The steady state of the first network.
    Settled,
    /// The end of the mission of this name at the same condition, its soak included.
    After(String),
    /// The end of the last segment of the mission of this name at the same condition, before its soak.
    AfterSegments(String),
    /// Whatever state the schedule before left, its state of charge included.
    Carried,
}

/// A segment, or the soak after shutdown.
#[derive(Clone, Debug)]
pub struct ScheduleStep {
    /// Name of the segment, or [`super::SOAK`].
    pub label: String,
    /// Number of the segment in the mission; none for the soak.
    pub segment: Option<usize>,
    /// What it counts as.
    pub phase: Phase,
    /// What ends it; the pieces give the longest time it takes.
    pub ending: Ending,
    /// Pieces in order, at least one.
    pub pieces: Vec<Piece>,
    /// What decides the current of a charge.
    pub charge: Option<ChargeLimiter>,
    /// Ground connections whose cart is connected.
    pub carts: Vec<String>,
    /// The pack is replaced at the end.
    pub swap: Option<Swap>,
    /// Rating of the motors that is used.
    pub rating: Option<String>,
    /// On the ground.
    pub ground: bool,
}

impl ScheduleStep {
    /// Duration of all pieces, s: the longest the step may take.
    pub fn duration_s(&self) -> f64 {
        self.pieces.iter().map(|piece| piece.duration_s).sum()
    }
}

/// What ends a step.
#[derive(Clone, Debug, PartialEq)]
pub enum Ending {
    /// Its time is up.
    Time,
    /// All of these are at or below a temperature, K.
    AllBelow(Vec<ComponentId>, f64),
    /// One of these is at or above a temperature, K.
    AnyAbove(Vec<ComponentId>, f64),
    /// The state of charge has risen to this.
    ChargeAbove(f64),
    /// The state of charge has fallen to this.
    ChargeBelow(f64),
    /// The charge is done: wanted state of charge reached, or tapered off.
    Charged,
    /// Every temperature changes more slowly than the rate over the whole window, and the last peak lies behind by the run-on.
    Stabilised {
        /// K/s.
        rate_k_s: f64,
        /// s.
        window_s: f64,
        /// s.
        run_on_s: f64,
    },
}

/// A piece of a step: every number of the network changes evenly from one instant to the other.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Duration, s.
    pub duration_s: f64,
    /// Beginning.
    pub from: Instant,
    /// End; nothing changes without it.
    pub to: Option<Instant>,
}

/// The aircraft at one instant of a mission.
#[derive(Clone, Debug)]
pub struct Instant {
    /// What is asked of it.
    pub commanded: Commanded,
    /// Surroundings at the height of the instant.
    pub condition: Condition,
    /// Operating point of the instant; its state of charge is that of the beginning of the mission.
    pub point: Point,
    /// Failure in effect.
    pub failure: Option<Failure>,
    /// Network and names.
    pub assembled: Assembled,
}

impl Piece {
    /// The piece as the solver runs it.
    pub fn stretch(&self) -> solver::Stretch {
        solver::Stretch {
            duration_s: self.duration_s,
            from: self.from.assembled.network.clone(),
            to: self.to.as_ref().map(|to| to.assembled.network.clone()),
        }
    }
}

impl Instant {
    /// The instant as a steady case, for naming of results.
    pub fn situation<'a>(&'a self, project: &'a Project) -> Situation<'a> {
        Situation { project, condition: &self.condition, point: &self.point, failure: self.failure.as_ref() }
    }
}

impl Schedule {
    /// Names of the parts, the same in every network.
    ///
    /// # Panics
    /// Never for a schedule made here: it has at least one step with one piece.
    pub fn parts(&self) -> &Parts {
        &self.steps[0].pieces[0].from.assembled.parts
    }
}

/// Makes the networks of a mission case.
///
/// # Errors
/// The first [`Problem`] that stands in the way. A project that passed [`crate::validate::validate`] fails only for values that
/// contradict each other at this case.
pub fn schedule(case: &MissionCase<'_>) -> Result<Schedule, Problem> {
    let planned = planned(case)?;
    let maker = Maker::of(case);
    let mut schedule = maker.schedule(&planned, &case.path())?;
    schedule.start = start_state(&case.mission.start, &schedule.steps[0].pieces[0].from.assembled);
    Ok(schedule)
}

/// The same for a mission flown from the state that something else left: in a chain, or after a turnaround.
///
/// # Errors
/// As [`schedule`].
pub fn schedule_on(case: &MissionCase<'_>, with_soak: bool) -> Result<Schedule, Problem> {
    let mut planned = planned(case)?;
    if !with_soak {
        planned.retain(|step| step.label != SOAK || step.segment.is_some());
    }
    Maker::of(case).schedule(&planned, &case.path())
}

fn planned<'a>(case: &MissionCase<'a>) -> Result<Vec<Planned<'a>>, Problem> {
    let (planned, problems) = plan(case.project, case.condition, case.mission);
    match problems.into_iter().find(|problem| problem.severity == Severity::Error) {
        Some(problem) => Err(problem),
        None => Ok(planned),
    }
}

/// Where a turnaround begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TurnaroundStart {
    /// At touchdown of the mission it follows.
    Landed,
    /// In whatever state the schedule before left.
    Carried,
    /// With the pack as indicated and everything else at the outside air, as the tables of the ground team have it.
    Indicated {
        /// Temperature of every cell, K.
        pack_k: f64,
        /// State of charge.
        state_of_charge: f64,
    },
}

/// Makes the networks of an option of a turnaround.
///
/// # Errors
/// As [`schedule`].
pub fn schedule_turnaround(case: &TurnaroundCase<'_>, start: TurnaroundStart) -> Result<Schedule, Problem> {
    let TurnaroundCase { project, condition, turnaround, option } = *case;
    let planned = plan_turnaround(project, turnaround, option)?;
    let landed = project.missions.iter().find(|mission| mission.name.as_str() == turnaround.after);
    let state_of_charge = match start {
        TurnaroundStart::Indicated { state_of_charge, .. } => state_of_charge,
        _ => landed.map_or(0.5, |mission| mission.state_of_charge.si()),
    };
    let life_used = landed.and_then(|mission| mission.life_used.as_ref());
    let maker = Maker { project, condition, failure: None, state_of_charge, life_used };
    let mut schedule = maker.schedule(&planned, &format!("turnarounds.{}", turnaround.name.as_str()))?;
    schedule.start = match start {
        TurnaroundStart::Landed => StartState::AfterSegments(turnaround.after.clone()),
        TurnaroundStart::Carried => StartState::Carried,
        TurnaroundStart::Indicated { pack_k, .. } => StartState::Temperatures {
            rest_k: schedule.steps[0].pieces[0].from.assembled.outside.inlet_air_k,
            parts: schedule.pack.iter().map(|pack| (pack.cells.clone(), pack_k)).collect(),
        },
    };
    Ok(schedule)
}

struct Maker<'a> {
    project: &'a Project,
    condition: &'a Condition,
    failure: Option<&'a Failure>,
    state_of_charge: f64,
    life_used: Option<&'a Input<Ratio>>,
}

impl<'a> Maker<'a> {
    fn of(case: &MissionCase<'a>) -> Self {
        let MissionCase { project, condition, mission, failure } = *case;
        let (state_of_charge, life_used) = (mission.state_of_charge.si(), mission.life_used.as_ref());
        Self { project, condition, failure, state_of_charge, life_used }
    }

    /// A schedule whose start is carried.
    fn schedule(&self, planned: &[Planned<'_>], path: &str) -> Result<Schedule, Problem> {
        let steps: Vec<ScheduleStep> =
            planned.iter().map(|step| self.step(step)).collect::<Result<_, _>>()?;
        let Some(first) = steps.first() else {
            return Err(Problem::error(path, "nothing happens: there is no step", "add at least one"));
        };
        let pack = self.pack(&first.pieces[0].from.assembled.parts);
        Ok(Schedule { start: StartState::Carried, state_of_charge: self.state_of_charge, pack, steps })
    }

    fn pack_record(&self) -> Option<&'a Pack> {
        match self.project.powertrain.as_ref().map(|powertrain| &powertrain.bus) {
            Some(Bus::Pack(pack)) => Some(pack),
            _ => None,
        }
    }

    fn pack(&self, parts: &Parts) -> Option<PackPart> {
        let pack = self.pack_record()?;
        let hot_cell = pack.hot_cell.as_ref();
        Some(PackPart {
            cells: ids(parts, &pack.cells),
            // validation refuses what the law would
            hot_cell: hot_cell.and_then(|hot| HotCell::new(hot.excess.si(), hot.to_coolant.si()).ok()),
            series: pack.series,
            strings: pack.parallel.saturating_sub(pack.strings_out),
        })
    }

    fn step(&self, planned: &Planned<'_>) -> Result<ScheduleStep, Problem> {
        let pieces = self.pieces(planned)?;
        let first = &pieces[0].from;
        let charge = charge_limiter(&first.situation(self.project))
            .map_err(|problem| Problem { path: format!("{}.charge", planned.path), ..problem })?;
        let ending = self.ending(planned, &first.assembled.parts);
        Ok(ScheduleStep {
            label: planned.label.clone(),
            segment: planned.segment,
            phase: planned.phase,
            ending,
            charge,
            carts: planned.carts.clone(),
            swap: planned.swap,
            pieces,
            rating: planned.rating.map(str::to_owned),
            ground: planned.ground,
        })
    }

    fn pieces(&self, planned: &Planned<'_>) -> Result<Vec<Piece>, Problem> {
        let (from, to) = (&planned.from, &planned.to);
        if from == to {
            let from = self.instant(planned, *from)?;
            return Ok(vec![Piece { duration_s: planned.duration_s, from, to: None }]);
        }
        let climbs = ((to.height_m - from.height_m).abs() / PIECE_HEIGHT_M).ceil();
        let speed_changes = ((to.airspeed_m_s - from.airspeed_m_s).abs() / PIECE_AIRSPEED_M_S).ceil();
        let count = climbs.max(speed_changes).max(1.0);
        let mut pieces = Vec::new();
        let mut begin = self.instant(planned, *from)?;
        for number in 1..=count as usize {
            let end = self.instant(planned, from.towards(to, number as f64 / count))?;
            let duration_s = planned.duration_s / count;
            pieces.push(Piece { duration_s, from: begin, to: Some(end.clone()) });
            begin = end;
        }
        Ok(pieces)
    }

    fn instant(&self, planned: &Planned<'_>, commanded: Commanded) -> Result<Instant, Problem> {
        let condition = at_height(self.condition, commanded.height_m);
        let point = Point {
            name: Name::new(planned.label.clone()).expect("the name of a segment, or that of the soak"),
            shaft_power: number(commanded.shaft_power_w, "W"),
            shaft_speed: number(commanded.shaft_speed_rad_s, "rad/s"),
            state_of_charge: number(self.state_of_charge, ""),
            airspeed: Some(number(commanded.airspeed_m_s, "m/s")),
            life_used: self.life_used.cloned(),
            charge: planned.charge.clone(),
            carts: planned.carts.clone(),
            other_load: planned.other_load.clone(),
            heats: planned.heats.clone(),
            settings: planned.settings.clone(),
            note: None,
        };
        // an altitude that the atmosphere does not cover is a mistake of the segment, not of the condition
        Outside::at(&condition, commanded.airspeed_m_s)
            .map_err(|problem| Problem { path: format!("{}.height", planned.path), ..problem })?;
        let failure = self.failure.cloned();
        let assembled = assemble(Situation {
            project: self.project,
            condition: &condition,
            point: &point,
            failure: failure.as_ref(),
        })?;
        Ok(Instant { commanded, condition, point, failure, assembled })
    }

    fn ending(&self, planned: &Planned<'_>, parts: &Parts) -> Ending {
        let cells = || self.pack_record().map_or_else(Vec::new, |pack| ids(parts, &pack.cells));
        let ids = |name: &str| ids(parts, name);
        match &planned.until {
            None if planned.charge.is_some() => Ending::Charged,
            None => Ending::Time,
            Some(Until::PackCooledTo(temperature)) => Ending::AllBelow(cells(), temperature.si()),
            Some(Until::PackWarmedTo(temperature)) => Ending::AnyAbove(cells(), temperature.si()),
            Some(Until::CooledTo(part)) => Ending::AllBelow(ids(&part.component), part.temperature.si()),
            Some(Until::WarmedTo(part)) => Ending::AnyAbove(ids(&part.component), part.temperature.si()),
            Some(Until::ChargedTo(charge)) => Ending::ChargeAbove(charge.si()),
            Some(Until::DischargedTo(charge)) => Ending::ChargeBelow(charge.si()),
            Some(Until::Stabilised(law)) => Ending::Stabilised {
                rate_k_s: law.rate.si(),
                window_s: law.window.si(),
                run_on_s: law.run_on.si(),
            },
        }
    }
}

/// Temperatures of a component by name.
fn ids(parts: &Parts, name: &str) -> Vec<ComponentId> {
    let found = parts.components.iter().find(|(known, _)| known == name);
    found.map_or_else(Vec::new, |(_, ids)| ids.clone())
}

/// The condition at a height above its pressure altitude.
pub fn at_height(condition: &Condition, height_m: f64) -> Condition {
    let altitude_m = condition.pressure_altitude.si() + height_m;
    Condition { pressure_altitude: number(altitude_m, "m"), ..condition.clone() }
}

fn start_state(start: &Start, first: &Assembled) -> StartState {
    let air_k = first.outside.inlet_air_k;
    let ids = |name: &str| ids(&first.parts, name);
    match start {
        Start::OutsideAir => StartState::Temperatures { rest_k: air_k, parts: Vec::new() },
        Start::At(temperature) => StartState::Temperatures { rest_k: temperature.si(), parts: Vec::new() },
        Start::Soaked(soaked) => StartState::Temperatures {
            rest_k: air_k + soaked.rise.si(),
            parts: soaked.warmer.iter().map(|part| (ids(&part.component), air_k + part.rise.si())).collect(),
        },
        Start::Stated(stated) => StartState::Temperatures {
            rest_k: stated.rest.as_ref().map_or(air_k, |rest| rest.si()),
            parts: stated.parts.iter().map(|part| (ids(&part.component), part.temperature.si())).collect(),
        },
        Start::Settled => StartState::Settled,
        Start::After(mission) => StartState::After(mission.clone()),
    }
}
