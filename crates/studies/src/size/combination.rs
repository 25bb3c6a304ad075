//! One combination of core, pump and fan: the lightest design that holds in all cases.

use super::judge::{Binding, CaseVerdict};
use super::plan::{CoreChoice, Design};
use super::search::{Held, Search};
use crate::StudyError;

/// Cases that decide at first, of each design that is tried before the search.
pub(super) const FIRST_CASES: usize = 3;

/// The closest limit of every case, closest first.
pub(super) fn closest(search: &Search<'_>, verdicts: &[CaseVerdict]) -> Vec<Binding> {
    let mut all: Vec<Binding> =
        verdicts.iter().map(|verdict| search.judge.binding(verdict, &search.terms)).collect();
    all.sort_by_key(Binding::rank);
    all
}

/// The lightest design of one combination that holds in all cases: what is short beyond the deciding cases joins them.
pub(super) fn combination(
    search: &mut Search<'_>,
    core: usize,
    (pump, fan): (Option<usize>, Option<usize>),
    known: Option<Design>,
) -> Result<Option<Held>, StudyError> {
    loop {
        let held = if search.plan.sizing.cores.is_empty() {
            search.best(core, (pump, fan), known)?
        } else {
            let held = search.judge_design(Design { core: CoreChoice::Listed(core), pump, fan })?;
            Some(held).filter(Held::holds)
        };
        let Some(held) = held else { return Ok(None) };
        let project = search.plan.applied(search.project, &held.design);
        let verdicts = search.judge.verdicts(&project, &search.judge.all())?;
        let all = closest(search, &verdicts);
        let strangers: Vec<usize> = all
            .iter()
            .filter(|binding| binding.is_short() && !search.active.contains(&binding.number))
            .map(|binding| binding.number)
            .take(FIRST_CASES)
            .collect();
        if strangers.is_empty() {
            let binding = all.into_iter().next().unwrap_or_else(|| held.binding.clone());
            return Ok(Some(Held { binding, ..held }));
        }
        search.active.extend(strangers);
        search.active.sort_unstable();
    }
}
