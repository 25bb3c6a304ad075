//! How far the gas cushions of a case go: a moment of a steady case, all moments of a flight.

use crate::result::{CircuitResult, CushionFault, CushionResult};

/// A cushion at a moment.
#[derive(Clone, Debug, PartialEq)]
pub struct TimedCushion {
    /// Cushion.
    pub cushion: CushionResult,
    /// When, s; none in a steady case.
    pub time_s: Option<f64>,
}

/// The ends that the cushion of a loop reaches in a case.
#[derive(Clone, Debug, PartialEq)]
pub struct CushionRange {
    /// Loop.
    pub circuit: String,
    /// Where the liquid leaves the least room to the gas.
    pub least_gas: TimedCushion,
    /// Where it leaves the most.
    pub most_gas: TimedCushion,
    /// Where the gas presses hardest against the cap.
    pub most_pressed: TimedCushion,
}

impl CushionRange {
    /// What is wrong somewhere in the range, and when.
    pub fn faults(&self) -> Vec<(CushionFault, &TimedCushion)> {
        let mut found: Vec<(CushionFault, &TimedCushion)> = Vec::new();
        for at in [&self.least_gas, &self.most_pressed, &self.most_gas] {
            for fault in at.cushion.faults() {
                if found.iter().all(|(known, _)| *known != fault) {
                    found.push((fault, at));
                }
            }
        }
        found
    }

    fn of(circuit: &str, at: TimedCushion) -> Self {
        Self { circuit: circuit.to_owned(), least_gas: at.clone(), most_gas: at.clone(), most_pressed: at }
    }

    fn widen(&mut self, cushion: &CushionResult, time_s: Option<f64>) {
        let at = || TimedCushion { cushion: cushion.clone(), time_s };
        if cushion.gas_m3 < self.least_gas.cushion.gas_m3 {
            self.least_gas = at();
        }
        if cushion.gas_m3 > self.most_gas.cushion.gas_m3 {
            self.most_gas = at();
        }
        if cushion.over_cap_pa() > self.most_pressed.cushion.over_cap_pa() {
            self.most_pressed = at();
        }
    }

    /// Takes a state of the loops into the ranges of all.
    pub fn take(ranges: &mut Vec<Self>, loops: &[CircuitResult], time_s: Option<f64>) {
        for state in loops {
            let Some(cushion) = &state.cushion else { continue };
            if let Some(range) = ranges.iter_mut().find(|range| range.circuit == state.name) {
                range.widen(cushion, time_s);
            } else {
                let at = TimedCushion { cushion: cushion.clone(), time_s };
                ranges.push(Self::of(&state.name, at));
            }
        }
    }
}
