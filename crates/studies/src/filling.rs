//! Whether the gas cushions of the loops hold from the coldest to the hottest case of a project.

use crate::missions::Flown;
use model::case_name::CaseName;
use model::cushion_range::{CushionRange, TimedCushion};
use model::result::{CaseResult, CushionFault};

/// A cushion in a case.
#[derive(Clone, Debug, PartialEq)]
pub struct InCase {
    /// Case.
    pub case: CaseName,
    /// Cushion and moment.
    pub at: TimedCushion,
}

/// The filling of a loop over all cases.
#[derive(Clone, Debug, PartialEq)]
pub struct Filling {
    /// Loop.
    pub circuit: String,
    /// Reservoir.
    pub reservoir: String,
    /// The case in which the liquid leaves the least room to the gas.
    pub least_gas: InCase,
    /// The case in which it leaves the most.
    pub most_gas: InCase,
    /// The case in which the gas presses hardest against the cap.
    pub most_pressed: InCase,
    /// What is wrong, each with the case in which it is worst; empty if the cushion holds.
    pub faults: Vec<(CushionFault, InCase)>,
}

/// The filling of every loop with a reservoir, in the order of the project: over all steady cases with a state, and over what was flown of
/// the missions.
pub fn filling(results: &[CaseResult], flown: &[Flown]) -> Vec<Filling> {
    let mut all: Vec<Filling> = Vec::new();
    for result in results {
        let mut ranges = Vec::new();
        CushionRange::take(&mut ranges, &result.loops, None);
        for range in &ranges {
            take(&mut all, &result.case, range);
        }
    }
    for flight in flown {
        for range in &flight.cushions {
            take(&mut all, &flight.case, range);
        }
    }
    all
}

fn take(all: &mut Vec<Filling>, case: &CaseName, range: &CushionRange) {
    let here = |at: &TimedCushion| InCase { case: case.clone(), at: at.clone() };
    let number = all.iter().position(|filling| filling.circuit == range.circuit).unwrap_or(all.len());
    if number == all.len() {
        all.push(Filling {
            circuit: range.circuit.clone(),
            reservoir: range.least_gas.cushion.reservoir.clone(),
            least_gas: here(&range.least_gas),
            most_gas: here(&range.most_gas),
            most_pressed: here(&range.most_pressed),
            faults: Vec::new(),
        });
    }
    let known = &mut all[number];
    if range.least_gas.cushion.gas_m3 < known.least_gas.at.cushion.gas_m3 {
        known.least_gas = here(&range.least_gas);
    }
    if range.most_gas.cushion.gas_m3 > known.most_gas.at.cushion.gas_m3 {
        known.most_gas = here(&range.most_gas);
    }
    if range.most_pressed.cushion.over_cap_pa() > known.most_pressed.at.cushion.over_cap_pa() {
        known.most_pressed = here(&range.most_pressed);
    }
    for (fault, at) in range.faults() {
        match known.faults.iter_mut().find(|(kind, _)| *kind == fault) {
            None => known.faults.push((fault, here(at))),
            Some((_, worst)) if at.cushion.size_of(fault) > worst.at.cushion.size_of(fault) => {
                *worst = here(at);
            }
            Some(_) => {}
        }
    }
}

#[cfg(test)]
mod tests;
