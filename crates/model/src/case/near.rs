//! The same case again with other numbers: to first order near a solved one, or solved from it.

use super::{Named, Naming, finite, unrest};
use crate::assembly::{Assembled, Situation, assemble, assemble_like};
use crate::result::{CaseResult, Margin, Status};
use crate::schema::Problem;
use solver::{Nearby, Network, Reading, Solution, SteadyOptions, SteadySolver};
use std::sync::Arc;

/// A solved case, from which cases of the same structure with other numbers are found fast. What depends on a history of solves is
/// not kept: the same question has the same answer in any order.
#[derive(Clone, Debug)]
pub struct Ground {
    network: Arc<Network>,
    solution: Solution,
    nearby: Nearby,
}

impl Ground {
    /// Solves a case with full result; there is no ground without a state that the network keeps.
    ///
    /// # Errors
    /// A [`Problem`] if the case cannot be assembled.
    pub fn of(situation: &Situation<'_>) -> Result<(CaseResult, Option<Self>), Problem> {
        let Assembled { network, parts, outside } = assemble(*situation)?;
        let mut steady = SteadySolver::new(Arc::unwrap_or_clone(Arc::clone(&network)));
        let naming = Naming::new(situation, &parts);
        let solution = match steady.solve(&SteadyOptions::default()) {
            Ok(solution) => solution,
            Err(failure) => return Ok((naming.failed(&failure), None)),
        };
        let reading = solution.read(steady.network());
        let named = Named { naming, reading, outside, rises_k: &[] };
        let result = named.result(solution.ledger, solution.statistics);
        let switches = steady.network().hunting_switches(solution.state());
        if solution.growth_1_s().is_some() || !switches.is_empty() {
            return Ok((
                finite(unrest::followed(result, &named, steady.network(), &solution, &switches)),
                None,
            ));
        }
        let result = finite(result);
        if result.status == Status::NotConverged {
            return Ok((result, None));
        }
        let ground = Nearby::new(&network, &solution).map(|nearby| Self { network, solution, nearby });
        Ok((result, ground))
    }

    /// The case with other numbers, solved from the state of this one, as a ground of its own: components, loops, drive and margins only,
    /// unless the case does not keep its state, and then there is no ground.
    ///
    /// # Errors
    /// A [`Problem`] if the case cannot be assembled with these numbers.
    pub fn moved(&self, situation: &Situation<'_>) -> Result<(CaseResult, Option<Self>), Problem> {
        let Assembled { network, parts, outside } = assemble_like(*situation, Some(&self.network))?;
        let mut steady = SteadySolver::new(Arc::unwrap_or_clone(Arc::clone(&network)));
        steady.start_from(&self.solution);
        let naming = Naming::new(situation, &parts);
        let solution = match steady.solve(&SteadyOptions::default()) {
            Ok(solution) => solution,
            Err(failure) => return Ok((naming.failed(&failure), None)),
        };
        let reading = solution.read(steady.network());
        let named = Named { naming, reading, outside, rises_k: &[] };
        let switches = steady.network().hunting_switches(solution.state());
        if solution.growth_1_s().is_some() || !switches.is_empty() {
            let result = named.result(solution.ledger, solution.statistics);
            return Ok((
                finite(unrest::followed(result, &named, steady.network(), &solution, &switches)),
                None,
            ));
        }
        let judged = finite(named.judged());
        if judged.status == Status::NotConverged {
            return Ok((judged, None));
        }
        let ground = Nearby::new(&network, &solution).map(|nearby| Self { network, solution, nearby });
        Ok((judged, ground))
    }

    /// Margins of the case with slightly other numbers, to first order in their change. None where the change is one of structure.
    ///
    /// # Errors
    /// A [`Problem`] if the case cannot be assembled with these numbers.
    pub fn margins_near(&mut self, situation: &Situation<'_>) -> Result<Option<Vec<Margin>>, Problem> {
        let Assembled { network, parts, outside } = assemble_like(*situation, Some(&self.network))?;
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
        let mut steady = SteadySolver::new(Arc::unwrap_or_clone(network));
        steady.start_from(&self.solution);
        let naming = Naming::new(situation, &parts);
        let solution = match steady.solve(&SteadyOptions::default()) {
            Ok(solution) => solution,
            Err(failure) => return Ok(naming.failed(&failure)),
        };
        let reading = solution.read(steady.network());
        let named = Named { naming, reading, outside, rises_k: &[] };
        let switches = steady.network().hunting_switches(solution.state());
        let is_kept = solution.growth_1_s().is_none() && switches.is_empty();
        if is_kept && extent == Extent::Judged {
            return Ok(finite(named.judged()));
        }
        let result = named.result(solution.ledger, solution.statistics);
        if is_kept {
            return Ok(finite(result));
        }
        Ok(finite(unrest::followed(result, &named, steady.network(), &solution, &switches)))
    }
}

/// How much of a case is worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Extent {
    /// What the limits are held against.
    Judged,
    /// Everything.
    Full,
}
