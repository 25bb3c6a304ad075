//! The same case again with other numbers: to first order near a solved one, or solved from it.

use super::charge;
use super::named::Named;
use super::naming::Naming;
use super::solve::{finite, full};
use crate::assembly::{Assembled, Situation, assemble, assemble_like};
use crate::result::{CaseResult, Margin, Status};
use schema::Problem;
use solver::{Nearby, Network, Reading, Solution};
use std::sync::Arc;

/// A solved case, from which cases of the same structure with other numbers are found fast. What depends on a history of solves is
/// not kept: the same question has the same answer in any order.
#[derive(Clone, Debug)]
pub struct Linearization {
    network: Arc<Network>,
    solution: Solution,
    nearby: Nearby,
}

impl Linearization {
    /// Solves a case with full result; there is no linearization without a state that the network keeps.
    ///
    /// # Errors
    /// A [`Problem`] if the case cannot be assembled.
    pub fn of(situation: &Situation<'_>) -> Result<(CaseResult, Option<Self>), Problem> {
        let Assembled { network, parts, outside } = assemble(*situation)?;
        let solved = charge::solved(situation, Network::clone(&network), None)?;
        let naming = Naming::new(situation, &parts);
        let solution = match &solved.outcome {
            Ok(solution) => solution,
            Err(failure) => return Ok((naming.failed(failure), None)),
        };
        let (result, is_kept) = full(solution, &solved, naming, outside);
        Ok((result, if is_kept { Self::near(&solved, solution) } else { None }))
    }

    /// The linearization of a solved case, with the charge that was running.
    fn near(solved: &charge::Solved, solution: &Solution) -> Option<Self> {
        let network = Arc::new(solved.steady.network().clone());
        let nearby = Nearby::new(&network, solution)?;
        Some(Self { network, solution: solution.clone(), nearby })
    }

    /// The case with other numbers, solved from the state of this one, as a linearization of its own: components, loops, drive and margins only,
    /// unless the case does not keep its state, and then there is no linearization.
    ///
    /// # Errors
    /// A [`Problem`] if the case cannot be assembled with these numbers.
    pub fn moved(&self, situation: &Situation<'_>) -> Result<(CaseResult, Option<Self>), Problem> {
        let Assembled { network, parts, outside } = assemble_like(*situation, Some(&self.network))?;
        let solved = charge::solved(situation, Arc::unwrap_or_clone(network), Some(&self.solution))?;
        let naming = Naming::new(situation, &parts);
        let solution = match &solved.outcome {
            Ok(solution) => solution,
            Err(failure) => return Ok((naming.failed(failure), None)),
        };
        if !is_kept(&solved, solution) {
            return Ok((full(solution, &solved, naming, outside).0, None));
        }
        let reading = solution.read(solved.steady.network());
        let judged = finite(Named { naming, reading, outside, rises_k: &[] }.judged());
        if judged.status == Status::NotConverged {
            return Ok((judged, None));
        }
        Ok((judged, Self::near(&solved, solution)))
    }

    /// Margins of the case with slightly other numbers, to first order in their change. None where the change is one of structure.
    ///
    /// # Errors
    /// A [`Problem`] if the case cannot be assembled with these numbers.
    pub fn margins_near(&mut self, situation: &Situation<'_>) -> Result<Option<Vec<Margin>>, Problem> {
        let Assembled { network, parts, outside } = assemble_like(*situation, Some(&self.network))?;
        let network = charge::begun(situation, network)?;
        let Some(state) = self.nearby.state_of(&network) else { return Ok(None) };
        let reading = Reading::of(&network, state);
        let named = Named { naming: Naming::new(situation, &parts), reading, outside, rises_k: &[] };
        Ok(Some(named.judged().margins))
    }

    /// The case solved with other numbers, from the state of this one; components, loops, drive and margins only, unless the case
    /// does not keep its state.
    ///
    /// # Errors
    /// A [`Problem`] if the case cannot be assembled with these numbers.
    pub fn solve(&self, situation: &Situation<'_>) -> Result<CaseResult, Problem> {
        self.solved(situation, Extent::Judged)
    }

    /// The case solved with other numbers, from the state of this one, with everything that a cold solve tells.
    ///
    /// # Errors
    /// A [`Problem`] if the case cannot be assembled with these numbers.
    pub fn solve_in_full(&self, situation: &Situation<'_>) -> Result<CaseResult, Problem> {
        self.solved(situation, Extent::Full)
    }

    fn solved(&self, situation: &Situation<'_>, extent: Extent) -> Result<CaseResult, Problem> {
        let Assembled { network, parts, outside } = assemble_like(*situation, Some(&self.network))?;
        let solved = charge::solved(situation, Arc::unwrap_or_clone(network), Some(&self.solution))?;
        let naming = Naming::new(situation, &parts);
        let solution = match &solved.outcome {
            Ok(solution) => solution,
            Err(failure) => return Ok(naming.failed(failure)),
        };
        if extent == Extent::Judged && is_kept(&solved, solution) {
            let reading = solution.read(solved.steady.network());
            return Ok(finite(Named { naming, reading, outside, rises_k: &[] }.judged()));
        }
        Ok(full(solution, &solved, naming, outside).0)
    }
}

/// Whether the network stays at a state, and its charge, if there is one, simply runs.
fn is_kept(solved: &charge::Solved, solution: &Solution) -> bool {
    let switches = solved.steady.network().hunting_switches(solution.state());
    solution.growth_1_s().is_none() && switches.is_empty() && solved.told.is_none()
}

/// How much of a case is worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Extent {
    /// What the limits are held against.
    Judged,
    /// Everything.
    Full,
}
