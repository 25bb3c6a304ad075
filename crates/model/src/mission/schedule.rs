//! From a planned mission to networks: each step is cut into pieces, and each end of a piece is assembled.

use super::MissionCase;
use super::plan::{Commanded, Planned, number, plan};
use crate::aircraft::mission::{Start, Until};
use crate::aircraft::powertrain::Bus;
use crate::aircraft::project::Project;
use crate::aircraft::study::{Failure, Point};
use crate::aircraft::surroundings::Condition;
use crate::assembly::{Assembled, Outside, Parts, Situation, assemble};
use crate::schema::{Name, Problem, Severity};
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
    /// Steps in order.
    pub steps: Vec<ScheduleStep>,
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
    /// The end of the mission of this name at the same condition.
    After(String),
}

/// A segment, or the soak after shutdown.
#[derive(Clone, Debug)]
pub struct ScheduleStep {
    /// Name of the segment, or [`super::SOAK`].
    pub label: String,
    /// Number of the segment in the mission; none for the soak.
    pub segment: Option<usize>,
    /// What ends it; the pieces give the longest time it takes.
    pub ending: Ending,
    /// Pieces in order, at least one.
    pub pieces: Vec<Piece>,
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
    let MissionCase { project, condition, mission, failure } = *case;
    let (planned, problems) = plan(project, condition, mission);
    if let Some(problem) = problems.into_iter().find(|problem| problem.severity == Severity::Error) {
        return Err(problem);
    }
    let maker = Maker { project, condition, failure, state_of_charge: mission.state_of_charge.si() };
    let steps: Vec<ScheduleStep> = planned.iter().map(|step| maker.step(step)).collect::<Result<_, _>>()?;
    let Some(first) = steps.first().and_then(|step| step.pieces.first()) else {
        return Err(Problem::error(
            format!("missions.{}.segments", mission.name.as_str()),
            "the mission has no segment",
            "add at least one Segment(..)",
        ));
    };
    let start = start_state(&mission.start, &first.from.assembled);
    Ok(Schedule { start, state_of_charge: mission.state_of_charge.si(), steps })
}

struct Maker<'a> {
    project: &'a Project,
    condition: &'a Condition,
    failure: Option<&'a Failure>,
    state_of_charge: f64,
}

impl Maker<'_> {
    fn step(&self, planned: &Planned<'_>) -> Result<ScheduleStep, Problem> {
        let pieces = self.pieces(planned)?;
        let ending = self.ending(planned.until, &pieces[0].from.assembled.parts);
        Ok(ScheduleStep {
            label: planned.label.clone(),
            segment: planned.segment,
            ending,
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

    fn ending(&self, until: Option<&Until>, parts: &Parts) -> Ending {
        let ids = |name: &str| {
            parts
                .components
                .iter()
                .find(|(known, _)| known == name)
                .map_or_else(Vec::new, |(_, ids)| ids.clone())
        };
        let cells = || match self.project.powertrain.as_ref().map(|powertrain| &powertrain.bus) {
            Some(Bus::Pack(pack)) => ids(&pack.cells),
            _ => Vec::new(),
        };
        match until {
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

/// The condition at a height above its pressure altitude.
pub fn at_height(condition: &Condition, height_m: f64) -> Condition {
    let altitude_m = condition.pressure_altitude.si() + height_m;
    Condition { pressure_altitude: number(altitude_m, "m"), ..condition.clone() }
}

fn start_state(start: &Start, first: &Assembled) -> StartState {
    let air_k = first.outside.inlet_air_k;
    let ids = |name: &str| {
        let found = first.parts.components.iter().find(|(known, _)| known == name);
        found.map_or_else(Vec::new, |(_, ids)| ids.clone())
    };
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
