//! What the limits and the mass book say about a point, with slopes.

use super::space::{Point, Space};
use crate::StudyError;
use crate::size::LimitName;
use crate::size::judge::Judge;
use aircraft::records::project::{OutsideRange, Project};
use model::budget;
use model::case::Linearization;
use model::result::Margin;
use rayon::prelude::*;
use schema::Problem;

/// Limits with more reserve than this are not looked at, K or percent of the limit.
const WINDOW: f64 = 60.0;
/// Slopes below this over the whole range of every variable are none, K or percent of the limit.
const UNMOVED: f64 = 0.02;

/// A limit in a case.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Row {
    pub(super) case: usize,
    pub(super) limit: LimitName,
    /// What is left over the required margin: K, or percent of a limit of another kind.
    pub(super) reserve: f64,
    /// Change over the whole range of each variable.
    pub(super) slopes: Vec<f64>,
}

impl Row {
    pub(super) fn is(&self, case: usize, limit: &LimitName) -> bool {
        self.case == case && self.limit == *limit
    }

    fn is_moved(&self) -> bool {
        self.slopes.iter().any(|slope| slope.abs() > UNMOVED)
    }
}

/// Limits and mass at a point.
#[derive(Clone, Debug)]
pub(super) struct Look {
    pub(super) rows: Vec<Row>,
    /// Mass of the whole cooling, kg.
    pub(super) mass_kg: f64,
    /// Change over the whole range of each variable, kg.
    pub(super) mass_slopes: Vec<f64>,
}

/// The unit in which reserves are compared: a kelvin, or a percent of a limit of another kind.
pub(super) fn scaled(margin: &Margin, reserve: f64) -> f64 {
    margin.on_scale(reserve)
}

/// A project, what is free in it, and the cases that judge.
#[derive(Debug)]
pub(super) struct Field<'a> {
    pub(super) project: &'a Project,
    pub(super) space: &'a Space,
    pub(super) judge: &'a Judge<'a>,
    /// Cases and limits that are short and that no size moves: they are not judged.
    pub(super) aside: Vec<(usize, LimitName)>,
    /// Cases and limits that no size moves.
    pub(super) unmoved: Vec<(usize, LimitName)>,
    /// What is to be left over the required margin of temperatures that sizes move, K.
    pub(super) left_over_k: f64,
}

fn failed(judge: &Judge<'_>, case: usize) -> impl Fn(Problem) -> StudyError {
    move |problem| StudyError::Assembly { case: judge.name(case).clone(), problem: Box::new(problem) }
}

impl Field<'_> {
    pub(super) fn is_aside(&self, case: usize, margin: &Margin) -> bool {
        let limit = LimitName::of(margin);
        self.aside.iter().any(|(of, known)| *of == case && *known == limit)
    }

    /// What is left over all that is asked of a limit, in its unit.
    pub(super) fn reserve(&self, case: usize, margin: &Margin) -> f64 {
        let limit = LimitName::of(margin);
        let is_unmoved = || self.unmoved.iter().any(|(of, known)| *of == case && *known == limit);
        let is_asked = self.left_over_k != 0.0 && margin.kind.unit() == "K" && !is_unmoved();
        margin.reserve() - if is_asked { self.left_over_k } else { 0.0 }
    }

    /// Mass of the whole cooling, kg.
    pub(super) fn mass_kg(project: &Project) -> Result<f64, StudyError> {
        let book = budget::masses(project).map_err(|problem| StudyError::Project(Box::new(problem)))?;
        Ok(book.total_kg())
    }

    /// Limits of some cases and the mass at a point, with slopes; none if a case has no state there.
    pub(super) fn look(&self, point: &Point, cases: &[usize]) -> Result<Option<Look>, StudyError> {
        if self.judge.is_cancelled() {
            return Err(StudyError::Cancelled);
        }
        let project = self.space.applied(self.project, point);
        let mut moved = Vec::new();
        for (number, variable) in self.space.variables.iter().enumerate() {
            let by = variable.step(point.numbers[number]);
            let there = self.space.moved(point, number, by);
            let share = (there.numbers[number] - point.numbers[number]) / (variable.most - variable.least);
            moved.push((share, self.space.applied(self.project, &there)));
        }
        let mass_kg = Self::mass_kg(&project)?;
        let slope = |(share, there): &(f64, Project)| Ok((Self::mass_kg(there)? - mass_kg) / share);
        let mass_slopes = moved.iter().map(slope).collect::<Result<_, StudyError>>()?;
        let found: Result<Vec<_>, StudyError> =
            cases.par_iter().map(|&case| self.rows(&project, &moved, case)).collect();
        let rows: Option<Vec<Vec<Row>>> = found?.into_iter().collect();
        Ok(rows.map(|rows| Look { rows: rows.concat(), mass_kg, mass_slopes }))
    }

    fn rows(
        &self,
        project: &Project,
        moved: &[(f64, Project)],
        case: usize,
    ) -> Result<Option<Vec<Row>>, StudyError> {
        let failed = failed(self.judge, case);
        let (situation, linearization) = self.judge.steady_case(project, case);
        if let (Some(linearization), OutsideRange::Refuse) = (linearization, &project.policy.outside_range) {
            let full = linearization.solve_in_full(&situation).map_err(&failed)?;
            if !full.status.can_be_judged() {
                return Ok(None);
            }
        }
        let (result, mut here) = match linearization {
            Some(linearization) => linearization.moved(&situation),
            None => Linearization::of(&situation),
        }
        .map_err(&failed)?;
        if !result.status.can_be_judged() {
            return Ok(None);
        }
        let mut rows: Vec<Row> = Vec::new();
        for margin in &result.margins {
            let reserve = scaled(margin, self.reserve(case, margin));
            if reserve < WINDOW && !self.is_aside(case, margin) {
                rows.push(Row { case, limit: LimitName::of(margin), reserve, slopes: Vec::new() });
            }
        }
        if rows.is_empty() {
            return Ok(Some(rows));
        }
        let base = match &mut here {
            Some(here) => here.margins_near(&situation).map_err(&failed)?.unwrap_or(result.margins),
            None => result.margins,
        };
        for (share, there) in moved {
            let (situation, _) = self.judge.steady_case(there, case);
            let near = match (&mut here, linearization) {
                (Some(here), _) => here.margins_near(&situation).map_err(&failed)?,
                // a case that swings has no slopes: solved again
                (None, Some(linearization)) => {
                    Some(linearization.solve(&situation).map_err(&failed)?.margins)
                }
                (None, None) => Some(model::case::solve(&situation).map_err(&failed)?.margins),
            };
            for row in &mut rows {
                let of = |margins: &[Margin]| {
                    let own = margins.iter().find(|margin| LimitName::of(margin) == row.limit)?;
                    Some(scaled(own, own.reserve()))
                };
                let change = near.as_deref().and_then(of).zip(of(&base)).map(|(there, here)| there - here);
                row.slopes.push(change.filter(|c| c.is_finite()).map_or(0.0, |change| change / share));
            }
        }
        rows.retain(Row::is_moved);
        Ok(Some(rows))
    }
}
