//! What is said of a case without a state.

use super::naming::Naming;
use crate::result::{CaseResult, Notice, Status};
use solver::Failure;

/// What is said of a number that is not finite.
pub(super) fn not_finite(what: &str) -> String {
    format!(
        "no result: the {what} here is not a finite number; look for an input here that is zero or far too small or large"
    )
}

impl Naming<'_> {
    /// The result of a case without a state: its status and one notice that says why and what to try.
    pub(super) fn failed(&self, failure: &Failure) -> CaseResult {
        let (status, place, message) = match failure {
            Failure::NoEquilibrium { loop_gain, hottest, temperature_k } => {
                let why = if *loop_gain > 1.0 {
                    "losses grow faster with temperature than the cooling"
                } else {
                    "the heat path is too weak to balance the heat at any sensible temperature"
                };
                (
                    Status::NoEquilibrium,
                    self.place(*hottest),
                    format!(
                        "{why}: loop gain {loop_gain:.3}, the search passed {:.0} degC; improve the cooling of this part or \
                         lower its loss, or judge it over time instead of in a steady state",
                        temperature_k - 273.15
                    ),
                )
            }
            Failure::NotConverged { steps, worst } => (
                Status::NotConverged,
                self.place(worst.place),
                format!(
                    "no steady state found in {steps} steps: {:.3e} W left at {:.1} degC; look for a part without a heat \
                     path or a flow without a drop",
                    worst.residual_w,
                    worst.temperature_k - 273.15
                ),
            ),
            Failure::LeftBounds { place, temperature_k: _, time_s } => (
                Status::OutOfRange,
                self.place(*place),
                format!(
                    "outside the model from {time_s:.0} s: losses outgrow the cooling, and beyond this nothing can be \
                     predicted; shorten the load or improve the cooling of this part"
                ),
            ),
            Failure::OutsideModel { place, ceiling_k, time_s } => {
                let from = time_s.map_or_else(String::new, |time_s| format!(" from {time_s:.0} s"));
                (
                    Status::OutOfRange,
                    self.place(*place),
                    format!(
                        "outside the model{from}: it says nothing about this part at {:.0} degC and above; improve its \
                         cooling, lower its heat or its temperature at the start, or shorten the load",
                        ceiling_k - 273.15
                    ),
                )
            }
            Failure::NotFinite { place } => {
                (Status::NotConverged, self.place(*place), not_finite("heat, temperature or flow"))
            }
            Failure::StepsTooShort { time_s, steps, worst } => (
                Status::NotConverged,
                self.place(*worst),
                format!(
                    "stuck at {time_s:.1} s after {steps} steps; look for a part here that switches back and forth or a \
                     flow without a drop"
                ),
            ),
            Failure::OtherLayout => (
                Status::NotConverged,
                "mission".to_owned(),
                "the parts of the aircraft change from one segment to the next; this is an error in the program".to_owned(),
            ),
            Failure::InsufficientPumpHead { circuit, flow_kg_s, min_kg_s, rise_pa, drop_pa } => (
                Status::InsufficientPumpHead,
                self.circuit(*circuit),
                format!(
                    "the pump moves {flow_kg_s:.4} kg/s of at least {min_kg_s:.4} kg/s: it gives {:.1} kPa where the loop \
                     takes {:.1} kPa; warm the fluid, widen the passages or choose a stronger pump",
                    1e-3 * rise_pa,
                    1e-3 * drop_pa
                ),
            ),
            Failure::InsufficientPackPower { demand_w, greatest_w } => (
                Status::InsufficientPackPower,
                "pack".to_owned(),
                format!(
                    "{:.1} kW demanded, {:.1} kW is the most the pack gives (U0^2/4R); lower the power, add strings or choose \
                     cells of less resistance",
                    1e-3 * demand_w,
                    1e-3 * greatest_w
                ),
            ),
            Failure::Undetermined { place } => (
                Status::NotConverged,
                self.place(*place),
                "nothing determines the temperature here; give this part a heat path".to_owned(),
            ),
        };
        let notices = vec![Notice { about: "", kind: status.word(), place, message }];
        CaseResult { notices, ..CaseResult::empty(self.case(), status) }
    }
}
