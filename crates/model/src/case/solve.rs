//! Solving a case at its steady point.

use super::failed::not_finite;
use super::named::Named;
use super::naming::Naming;
use super::{charge, limit_cycle};
use crate::assembly::{Assembled, Outside, Situation, assemble, assemble_like};
use crate::result::{CaseResult, Notice, Status};
use crate::validity;
use aircraft::records::powertrain::Bus;
use schema::Problem;
use solver::{Network, Solution};
use std::sync::{Arc, OnceLock};

/// Solves a case from a cold start.
///
/// # Errors
/// A [`Problem`] if the case cannot be assembled; a case without a steady state is a result, not an error.
pub fn solve(situation: &Situation<'_>) -> Result<CaseResult, Problem> {
    let assembled = assemble(*situation)?;
    solve_assembled(situation, assembled)
}

/// The network of the first of many cases of one design: putting together the others beside it is faster, and gives the same.
#[derive(Debug, Default)]
pub struct Beside(OnceLock<Arc<Network>>);

impl Beside {
    /// Solves a case of the design as [`solve`] does.
    ///
    /// # Errors
    /// As [`solve`].
    pub fn solve(&self, situation: &Situation<'_>) -> Result<CaseResult, Problem> {
        let assembled = assemble_like(*situation, self.0.get().map(|network| &**network))?;
        self.0.get_or_init(|| Arc::clone(&assembled.network));
        solve_assembled(situation, assembled)
    }
}

/// Solves an assembled case.
///
/// # Errors
/// A [`Problem`] if the data of a charge contradict each other.
pub fn solve_assembled(situation: &Situation<'_>, assembled: Assembled) -> Result<CaseResult, Problem> {
    let Assembled { network, parts, outside } = assembled;
    let solved = charge::solved(situation, Arc::unwrap_or_clone(network), None)?;
    let naming = Naming::new(situation, &parts);
    Ok(match &solved.outcome {
        Ok(solution) => full(solution, &solved, naming, outside).0,
        Err(failure) => naming.failed(failure),
    })
}

/// Everything about a steady state, and whether the network keeps it. One that it does not keep is followed over time.
pub(super) fn full(
    solution: &Solution,
    solved: &charge::Solved,
    naming: Naming<'_>,
    outside: Outside,
) -> (CaseResult, bool) {
    let network = solved.steady.network();
    let project = naming.situation.project;
    let named = Named { naming, reading: solution.read(network), outside, rises_k: &[] };
    let mut result = named.result(solution.ledger, solution.statistics);
    let switches = network.hunting_switches(solution.state());
    let is_kept = solution.growth_1_s().is_none() && switches.is_empty();
    if !is_kept {
        result = limit_cycle::followed(result, &named, network, solution, &switches);
    }
    if let Some(told) = solved.told {
        let cells = match project.powertrain.as_ref().map(|powertrain| &powertrain.bus) {
            Some(Bus::Pack(pack)) => pack.cells.as_str(),
            _ => "",
        };
        told.tell(cells, &mut result);
    }
    let result = finite(result);
    let is_kept = is_kept && solved.told.is_none() && result.status != Status::NotConverged;
    (result, is_kept)
}

/// A result with a number that is not finite is none: it keeps its name and says where.
pub(super) fn finite(result: CaseResult) -> CaseResult {
    let Some((place, what)) = validity::not_finite(&result) else { return result };
    let status = Status::NotConverged;
    let notice = Notice { about: "", kind: status.word(), place, message: not_finite(what) };
    CaseResult { notices: vec![notice], ..CaseResult::empty(result.case, status) }
}
