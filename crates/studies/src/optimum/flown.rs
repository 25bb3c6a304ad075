//! Missions at a point: what they cost in mass of cells, and their limits, to first order around a flown design.

use super::look::{Field, Row, scaled};
use super::space::Point;
use crate::StudyError;
use crate::missions::fly_case;
use crate::size::LimitName;
use aircraft::records::project::Project;
use model::budget::{self, Equivalent, MissionDraw};
use model::mission::{Flight, FlyOptions};
use rayon::prelude::*;

/// Missions with a limit closer than this are flown for slopes as well, K.
const NEAR_K: f64 = 3.0;
/// Slopes are taken again once a share of a range has moved by this since.
const FAR: f64 = 0.15;
/// Longest time between two samples of flights for slopes, s.
const GAP_S: f64 = 30.0;

/// What the mission says that mass is counted over.
#[derive(Clone, Debug, PartialEq)]
pub struct Worth {
    /// What the cooling takes.
    pub draw: MissionDraw,
    /// The cooling as mass.
    pub equivalent: Equivalent,
}

impl Worth {
    /// Cells for pumps, fans and drag, kg.
    pub(super) fn parasitic_kg(&self) -> f64 {
        self.equivalent.machines_kg + self.equivalent.drag_kg
    }

    /// By how much the cells that carry it make every kilogram heavier; 1 where the pack cannot carry itself over this mission.
    pub(super) fn growth(&self) -> f64 {
        let Equivalent { dry_kg, coolant_kg, .. } = self.equivalent;
        let growth = self.equivalent.total_kg() / (dry_kg + coolant_kg + self.parasitic_kg());
        if growth.is_finite() { growth } else { 1.0 }
    }
}

/// Missions around a flown design: to first order in the shares of all ranges.
#[derive(Clone, Debug)]
pub(super) struct Tangent {
    /// Shares of the ranges of the flown design.
    shares: Vec<f64>,
    /// Those where the slopes were taken.
    slopes_at: Vec<f64>,
    parasitic_kg: f64,
    parasitic_slopes: Vec<f64>,
    growth: f64,
    /// Limits of missions.
    rows: Vec<Row>,
}

impl Tangent {
    fn by(&self, shares: &[f64], slopes: &[f64]) -> f64 {
        let steps = shares.iter().zip(&self.shares).zip(slopes);
        steps.map(|((there, here), slope)| slope * (there - here)).sum()
    }

    /// Equivalent mass of a design of this mass, kg.
    pub(super) fn equivalent_kg(&self, mass_kg: f64, shares: &[f64]) -> f64 {
        let parasitic_kg = self.parasitic_kg + self.by(shares, &self.parasitic_slopes);
        self.growth * (mass_kg + parasitic_kg.max(0.0))
    }

    /// Its slopes, kg over the whole range of each variable.
    pub(super) fn equivalent_slopes(&self, mass_slopes: &[f64]) -> Vec<f64> {
        mass_slopes.iter().zip(&self.parasitic_slopes).map(|(m, p)| self.growth * (m + p)).collect()
    }

    /// Limits of missions at a design.
    pub(super) fn rows(&self, shares: &[f64]) -> Vec<Row> {
        let at = |row: &Row| Row { reserve: row.reserve + self.by(shares, &row.slopes), ..row.clone() };
        self.rows.iter().map(at).collect()
    }

    /// The flown design.
    pub(super) fn shares(&self) -> &[f64] {
        &self.shares
    }

    /// What is left of a limit at the flown design; none if it is far.
    pub(super) fn reserve(&self, case: usize, limit: &LimitName) -> Option<f64> {
        self.rows.iter().find(|row| row.is(case, limit)).map(|row| row.reserve)
    }

    /// The same with limits of missions held further away.
    pub(super) fn tightened(&self, tightened: &[(usize, LimitName, f64)]) -> Self {
        let mut held = self.clone();
        for (case, limit, by) in tightened {
            for row in held.rows.iter_mut().filter(|row| row.is(*case, limit)) {
                row.reserve -= by;
            }
        }
        held
    }

    fn is_near(&self, shares: &[f64]) -> bool {
        shares.iter().zip(&self.slopes_at).all(|(here, known)| (here - known).abs() <= FAR)
    }
}

/// One mission at a point.
#[derive(Clone, Debug)]
pub(super) struct Leg {
    pub(super) case: usize,
    /// Limits; none if the flight could not go on.
    pub(super) rows: Option<Vec<Row>>,
    pub(super) worth: Option<Worth>,
}

impl Field<'_> {
    /// Shares of all ranges.
    pub(super) fn shares(&self, point: &Point) -> Vec<f64> {
        self.space.variables.iter().zip(&point.numbers).map(|(v, value)| v.share(*value)).collect()
    }

    /// Flies missions at a point; the one that mass is counted over is booked.
    pub(super) fn fly(
        &self,
        project: &Project,
        missions: &[usize],
        counted: Option<usize>,
        options: &FlyOptions,
    ) -> Result<Vec<Leg>, StudyError> {
        missions.par_iter().map(|&case| self.leg(project, case, counted == Some(case), options)).collect()
    }

    fn leg(
        &self,
        project: &Project,
        case: usize,
        is_counted: bool,
        options: &FlyOptions,
    ) -> Result<Leg, StudyError> {
        if self.judge.is_cancelled() {
            return Err(StudyError::Cancelled);
        }
        let flight = fly_case(&self.judge.mission_case(project, case), options)?;
        if !flight.status.can_be_judged() {
            return Ok(Leg { case, rows: None, worth: None });
        }
        let mut rows = Vec::new();
        for timed in flight.margins(project) {
            let margin = &timed.margin;
            if !self.is_aside(case, margin) {
                let reserve = scaled(margin, self.reserve(case, margin));
                rows.push(Row { case, limit: LimitName::of(margin), reserve, slopes: Vec::new() });
            }
        }
        let worth = if is_counted { Some(self.worth(project, case, &flight)?) } else { None };
        Ok(Leg { case, rows: Some(rows), worth })
    }

    fn worth(&self, project: &Project, case: usize, flight: &Flight) -> Result<Worth, StudyError> {
        let name = || self.judge.name(case).clone();
        let failed = |problem| StudyError::Assembly { case: name(), problem: Box::new(problem) };
        let draw = budget::mission_draw(project, flight).map_err(failed)?;
        let masses = budget::masses(project).map_err(|problem| StudyError::Project(Box::new(problem)))?;
        Ok(Worth { equivalent: budget::equivalent(project, &masses, &draw), draw })
    }

    /// Missions around a point; none if one of them cannot be flown there. Slopes are those of `like` if they were taken near by.
    pub(super) fn tangent(
        &self,
        point: &Point,
        counted: Option<usize>,
        like: Option<&Tangent>,
    ) -> Result<Option<Tangent>, StudyError> {
        let options = FlyOptions { max_gap_s: GAP_S, ..*self.judge.fly_options() };
        let project = self.space.applied(self.project, point);
        let base = self.fly(&project, &self.judge.flown(), counted, &options)?;
        let shares = self.shares(point);
        let mut rows = Vec::new();
        for leg in &base {
            let Some(own) = &leg.rows else { return Ok(None) };
            rows.extend(own.iter().filter(|row| row.reserve < NEAR_K).cloned());
        }
        let worth = base.iter().find_map(|leg| leg.worth.as_ref());
        let mut tangent = Tangent {
            slopes_at: shares.clone(),
            shares,
            parasitic_kg: worth.map_or(0.0, Worth::parasitic_kg),
            parasitic_slopes: Vec::new(),
            growth: worth.map_or(1.0, Worth::growth),
            rows,
        };
        match like.filter(|like| like.is_near(&tangent.shares) && tangent.takes_slopes_of(like)) {
            Some(like) => tangent.take_slopes(like),
            None => self.add_slopes(point, counted, &options, &mut tangent)?,
        }
        Ok(Some(tangent))
    }

    /// Flies with every variable moved.
    fn add_slopes(
        &self,
        point: &Point,
        counted: Option<usize>,
        options: &FlyOptions,
        tangent: &mut Tangent,
    ) -> Result<(), StudyError> {
        let mut missions: Vec<usize> =
            counted.into_iter().chain(tangent.rows.iter().map(|r| r.case)).collect();
        missions.sort_unstable();
        missions.dedup();
        let mut jobs = Vec::new();
        for (number, variable) in self.space.variables.iter().enumerate() {
            let by = variable.wide_step(point.numbers[number]);
            let project = self.space.applied(self.project, &self.space.moved(point, number, by));
            let share = by / (variable.most - variable.least);
            jobs.extend(missions.iter().map(|&case| (number, case, share, project.clone())));
        }
        let flown: Result<Vec<Leg>, StudyError> = jobs
            .par_iter()
            .map(|(_, case, _, project)| self.leg(project, *case, counted == Some(*case), options))
            .collect();
        let count = self.space.variables.len();
        tangent.parasitic_slopes = vec![0.0; count];
        for row in &mut tangent.rows {
            row.slopes = vec![0.0; count];
        }
        for (leg, (number, _, share, _)) in flown?.iter().zip(&jobs) {
            if let Some(there) = &leg.worth {
                tangent.parasitic_slopes[*number] = (there.parasitic_kg() - tangent.parasitic_kg) / share;
            }
            for own in leg.rows.iter().flatten() {
                for row in tangent.rows.iter_mut().filter(|row| row.is(leg.case, &own.limit)) {
                    row.slopes[*number] = (own.reserve - row.reserve) / share;
                }
            }
        }
        Ok(())
    }
}

impl Tangent {
    /// Whether every limit has slopes there.
    fn takes_slopes_of(&self, like: &Self) -> bool {
        self.rows.iter().all(|row| like.rows.iter().any(|known| known.is(row.case, &row.limit)))
    }

    fn take_slopes(&mut self, like: &Self) {
        self.slopes_at.clone_from(&like.slopes_at);
        self.parasitic_slopes.clone_from(&like.parasitic_slopes);
        for row in &mut self.rows {
            let known = like.rows.iter().find(|known| known.is(row.case, &row.limit));
            row.slopes = known.map_or_else(Vec::new, |known| known.slopes.clone());
        }
    }
}
