//! The lightest design near a start: sequential quadratic programming with whole numbers of tubes rounded in every step.
//!
//! Every step solves a quadratic problem ([`super::quadratic`]) made of the exact slopes of mass and margins and of a curvature that is
//! learnt from the steps before (BFGS with Powell's damping), within a trust region. Steps of whole numbers are rounded and the rest is
//! solved again beside them. A step is taken if the merit, equivalent mass and the price of what is short, falls as foreseen.

use super::flown::Tangent;
use super::look::{Field, Look, Row};
use super::quadratic::{Quadratic, Step};
use super::space::Point;
use crate::StudyError;
use nalgebra::{DMatrix, DVector};

/// Most steps.
const MAX_STEPS: u32 = 40;
/// Reserve that is aimed at, so that what the last step leaves is none short, K.
const AIM_K: f64 = 0.003;
/// The same for missions, whose margins carry the error of the flight, K.
const AIM_FLOWN_K: f64 = 0.02;
/// First trust region as a share of every range, and the smallest.
const TRUST: (f64, f64) = (0.25, 5e-4);
/// First trust region once whole numbers stay.
const POLISH: f64 = 0.05;
/// First price of what is short, kg/K, and the highest.
const PRICE: (f64, f64) = (2.0, 1e4);
/// What a price grows by where a limit would rather stay short than pay it.
const PRICE_GROWTH: f64 = 5.0;
/// Share of the price from which a limit counts as one that would.
const PRICE_REACHED: f64 = 0.6;
/// Share of the price from which nothing is told of what a limit costs, and the least cost that is told, kg.
const TOLD: (f64, f64) = (1e-5, 0.9);
/// Fall over the fall that was foreseen, from which a step is taken: any real fall.
const TAKEN: f64 = 0.05;
/// The same from which the quadratic model is good enough for longer steps.
const TRUSTED: f64 = 0.7;
/// Share of the trust region from which a step was held back by it.
const HELD_BACK: f64 = 0.9;
/// What the trust region grows by, and over the first one at most.
const GROWTH: f64 = 2.0;
/// What it shrinks to, over a step that was not taken.
const SHRINK: f64 = 0.3;
/// What it shrinks by where whole numbers round a step away.
const ROUNDED_AWAY: f64 = 0.25;
/// Curvature at the start over the greatest slope: the first step is that of a mass that halves its slope over the whole range.
const FIRST_CURVATURE: f64 = 0.5;
/// Least slope that scales it, kg over a whole range.
const MIN_SLOPE_KG: f64 = 1e-3;
/// Width of a range without room, as a share.
const NO_ROOM: f64 = 1e-9;
/// Bending below which a step teaches nothing, kg.
const NO_BENDING_KG: f64 = 1e-14;
/// Greatest curvature over the greatest slope: beyond it is rounding.
const MAX_CURVATURE: f64 = 1e6;
/// Least share of the bending that a step must show (Powell 1978).
const POWELL: f64 = 0.2;
/// Fall of the merit below which a search ends, kg.
const SETTLED_KG: f64 = 1e-5;

/// A design with what is known there.
#[derive(Clone, Debug)]
pub(super) struct Place {
    pub(super) point: Point,
    pub(super) shares: Vec<f64>,
    /// Equivalent mass to first order in what missions take, kg.
    pub(super) kg: f64,
    slopes: DVector<f64>,
    /// Limits of steady cases, then of missions.
    pub(super) rows: Vec<Row>,
    /// Of each limit, what one kelvin (or percent) costs, kg; empty before a step was looked for.
    prices: Vec<f64>,
    /// Price of what is short when the prices were found: a limit at this price would rather stay short, and its own is not known.
    penalty: f64,
    /// Rows of missions begin here.
    flown_from: usize,
}

impl Place {
    /// What one kelvin (or percent) of a limit costs, kg; none where it does not bind, or where nothing is known.
    pub(super) fn price(&self, row: usize) -> Option<f64> {
        self.prices.get(row).copied().filter(|price| *price > TOLD.0 && *price < TOLD.1 * self.penalty)
    }

    fn aim_k(&self, row: usize) -> f64 {
        if row < self.flown_from { AIM_K } else { AIM_FLOWN_K }
    }

    /// Sum of what is short of the aim.
    pub(super) fn short_k(&self) -> f64 {
        let short = |(n, row): (usize, &Row)| (self.aim_k(n) - row.reserve).max(0.0);
        self.rows.iter().enumerate().map(short).sum()
    }

    /// Equivalent mass with what is short at a price, kg.
    pub(super) fn merit_kg(&self, price: f64) -> f64 {
        self.kg + price * self.short_k()
    }

    /// Whether steady limits hold, and those of missions to first order.
    pub(super) fn holds(&self) -> bool {
        self.rows.iter().all(|row| row.reserve >= 0.0)
    }

    /// Slope of the Lagrangian with the multipliers of another place's rows.
    fn lagrangian(&self, rows: &[Row], prices: &[f64]) -> DVector<f64> {
        let mut slope = self.slopes.clone();
        for (row, price) in rows.iter().zip(prices).filter(|(_, price)| **price > 1e-9) {
            if let Some(own) = self.rows.iter().find(|own| own.is(row.case, &row.limit)) {
                slope -= DVector::from_column_slice(&own.slopes) * *price;
            }
        }
        slope
    }
}

/// What becomes of whole numbers in a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum WholeNumbers {
    /// Moved and rounded.
    Rounded,
    /// Left alone.
    Kept,
}

/// A search from one start.
#[derive(Clone, Copy, Debug)]
pub(super) struct Descent<'a> {
    pub(super) field: &'a Field<'a>,
    pub(super) tangent: &'a Tangent,
    /// Steady cases that are looked at.
    pub(super) cases: &'a [usize],
    /// How far from the flown design, as a share of every range.
    pub(super) reach: f64,
}

impl Descent<'_> {
    /// A design with what is known there; none if a case has no state.
    pub(super) fn place(&self, point: Point) -> Result<Option<Place>, StudyError> {
        let Some(look) = self.field.look(&point, self.cases)? else { return Ok(None) };
        let Look { mut rows, mass_kg, mass_slopes } = look;
        let shares = self.field.shares(&point);
        let flown_from = rows.len();
        rows.extend(self.tangent.rows(&shares));
        Ok(Some(Place {
            kg: self.tangent.equivalent_kg(mass_kg, &shares),
            slopes: DVector::from_vec(self.tangent.equivalent_slopes(&mass_slopes)),
            point,
            shares,
            rows,
            prices: Vec::new(),
            penalty: PRICE.0,
            flown_from,
        }))
    }

    /// The lightest design that is found from a start; none if the start has no state.
    pub(super) fn from(&self, start: Point, first_trust: f64) -> Result<Option<Place>, StudyError> {
        let Some(here) = self.place(start)? else { return Ok(None) };
        let here = self.down(here, first_trust.min(TRUST.0), WholeNumbers::Rounded)?;
        // steps that whole numbers have spoilt have shortened the others too
        self.down(here, POLISH, WholeNumbers::Kept).map(Some)
    }

    fn down(&self, mut here: Place, first_trust: f64, whole: WholeNumbers) -> Result<Place, StudyError> {
        let count = here.shares.len();
        let scale = here.slopes.amax().max(MIN_SLOPE_KG);
        let mut curvature = DMatrix::from_diagonal_element(count, count, FIRST_CURVATURE * scale);
        let (mut trust, mut price) = (first_trust, PRICE.0);
        for _ in 0..MAX_STEPS {
            let Some(step) = self.step(&here, &curvature, trust, price, whole) else { break };
            here.prices.clone_from(&step.prices);
            here.penalty = price;
            let dearest = step.prices.iter().copied().fold(0.0, f64::max);
            if dearest > PRICE_REACHED * price && price < PRICE.1 {
                // a price that is reached would rather stay short
                price *= PRICE_GROWTH;
                continue;
            }
            let next = self.stepped(&here, &step.step);
            let foreseen = here.merit_kg(price) - foreseen_kg(&here, &curvature, &step.step, price);
            if foreseen < SETTLED_KG || trust < TRUST.1 {
                break;
            }
            if next == here.point {
                trust *= ROUNDED_AWAY;
                continue;
            }
            let largest = step.step.amax();
            let there = self.place(next)?;
            let fall = there.as_ref().map_or(f64::NEG_INFINITY, |t| here.merit_kg(price) - t.merit_kg(price));
            match there {
                Some(mut there) if fall > TAKEN * foreseen => {
                    learn(&mut curvature, &here, &there, scale);
                    if fall > TRUSTED * foreseen && largest > HELD_BACK * trust {
                        trust = (GROWTH * trust).min(GROWTH * TRUST.0);
                    }
                    there.prices = matched(&here, &there);
                    there.penalty = price;
                    here = there;
                }
                _ => trust = SHRINK * largest.min(trust),
            }
        }
        Ok(here)
    }

    /// The step of the quadratic problem, whole numbers rounded.
    fn step(
        &self,
        here: &Place,
        curvature: &DMatrix<f64>,
        trust: f64,
        price: f64,
        whole: WholeNumbers,
    ) -> Option<Step> {
        let variables = &self.field.space.variables;
        let count = variables.len();
        let reserves: Vec<f64> =
            here.rows.iter().enumerate().map(|(n, row)| row.reserve - here.aim_k(n)).collect();
        let slopes = DMatrix::from_fn(here.rows.len(), count, |row, column| here.rows[row].slopes[column]);
        let bounds = here.shares.iter().zip(self.tangent.shares()).map(|(share, flown)| {
            let (least, most) = ((flown - self.reach).max(0.0), (flown + self.reach).min(1.0));
            // what whole numbers have carried beyond may stay where it is
            ((-trust).max((least - share).min(0.0)), trust.min((most - share).max(0.0)))
        });
        let (lower, upper): (Vec<f64>, Vec<f64>) = bounds.unzip();
        let problem = Quadratic {
            slope: &here.slopes,
            curvature,
            reserves: &reserves,
            slopes: &slopes,
            lower: &lower,
            upper: &upper,
            price,
        };
        // a step that has no room is given: the solver needs an inside
        let mut given: Vec<Option<f64>> =
            (0..count).map(|n| (upper[n] - lower[n] < NO_ROOM).then_some(0.0)).collect();
        let whole_numbers: Vec<usize> = (0..count).filter(|&n| variables[n].is_whole()).collect();
        if whole == WholeNumbers::Kept || whole_numbers.is_empty() {
            for n in whole_numbers {
                given[n] = Some(0.0);
            }
            return problem.solve(&given);
        }
        let found = problem.solve(&given)?;
        for n in whole_numbers {
            let value = variables[n].at(here.shares[n] + found.step[n]);
            given[n] = Some(variables[n].share(value) - here.shares[n]);
        }
        problem.solve(&given)
    }

    fn stepped(&self, here: &Place, step: &DVector<f64>) -> Point {
        let variables = self.field.space.variables.iter().enumerate();
        let numbers = variables.map(|(n, variable)| variable.at(here.shares[n] + step[n])).collect();
        Point { numbers, picks: here.point.picks.clone() }
    }
}

/// Multipliers of the rows of one place for those of another.
fn matched(from: &Place, to: &Place) -> Vec<f64> {
    let of = |row: &Row| from.rows.iter().position(|known| known.is(row.case, &row.limit));
    to.rows.iter().map(|row| of(row).map_or(0.0, |place| from.prices[place])).collect()
}

/// Merit that the quadratic problem foresees, kg.
fn foreseen_kg(here: &Place, curvature: &DMatrix<f64>, step: &DVector<f64>, price: f64) -> f64 {
    let short = |(n, row): (usize, &Row)| {
        let slopes = DVector::from_column_slice(&row.slopes);
        (here.aim_k(n) - row.reserve - slopes.dot(step)).max(0.0)
    };
    let short_k: f64 = here.rows.iter().enumerate().map(short).sum();
    here.kg + here.slopes.dot(step) + 0.5 * step.dot(&(curvature * step)) + price * short_k
}

/// BFGS with Powell's damping (1978): the curvature stays positive.
fn learn(curvature: &mut DMatrix<f64>, here: &Place, there: &Place, scale: f64) {
    let step = DVector::from_column_slice(&there.shares) - DVector::from_column_slice(&here.shares);
    let change = there.lagrangian(&here.rows, &here.prices) - here.lagrangian(&here.rows, &here.prices);
    let bent = &*curvature * &step;
    let (along, bending) = (step.dot(&change), step.dot(&bent));
    if !(bending > NO_BENDING_KG) {
        return;
    }
    let share = if along >= POWELL * bending { 1.0 } else { (1.0 - POWELL) * bending / (bending - along) };
    let damped = change * share + &bent * (1.0 - share);
    let updated =
        &*curvature - &bent * bent.transpose() / bending + &damped * damped.transpose() / step.dot(&damped);
    let is_sound = updated.iter().all(|value| value.is_finite()) && updated.amax() < MAX_CURVATURE * scale;
    if is_sound {
        *curvature = updated;
    }
}
