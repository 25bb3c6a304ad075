//! Margins of minimum limits from a start whose temperatures are inputs.
//!
//! A margin is asked of a prediction because the prediction may be wrong. A start temperature is none: it is an input, and no design
//! mends it. So at the beginning a minimum limit is asked the margin of `policy.start`, by default none.
//!
//! Afterwards the temperatures are predicted, but one thing stays certain without a prediction: heat flows towards the colder, so
//! nothing becomes colder than the coldest of what it started with and the air it has met since. A minimum limit holds where that
//! bound keeps the margin of the start, or where the prediction keeps the one asked of predictions: what is asked of a value is the
//! lesser of the latter and `policy.start` plus its distance from the bound. Colder air on the way lowers the bound, so that what the
//! flight does to the temperature is judged as ever. A cart may cool below the air: from then on nothing is certain.

use crate::evidence::RequiredBy;
use crate::result::{CaseResult, MarginKind};
use aircraft::records::project::Project;

/// Values within this of the bound are at it, K: of equal reserves the first, at the start, is then told.
const AT_BOUND_K: f64 = 1e-6;

/// The coldest that anything can be, followed through a flight from a start that is an input.
#[derive(Clone, Copy, Debug)]
pub struct StartBound {
    start_k: f64,
    coldest_k: f64,
    is_begun: bool,
}

impl StartBound {
    /// Before the flight. `coldest_k`: the coldest of all start temperatures, inputs every one.
    pub fn new(project: &Project, coldest_k: f64) -> Self {
        Self { start_k: project.policy.start.si(), coldest_k, is_begun: false }
    }

    /// Sets what is asked of the minimum limits at the next instant of the flight, in air of this temperature.
    pub fn ask(&mut self, result: &mut CaseResult, air_k: f64, has_cart: bool) {
        self.coldest_k = if has_cart { f64::NEG_INFINITY } else { self.coldest_k.min(air_k) };
        let (is_start, start_k, coldest_k) = (!self.is_begun, self.start_k, self.coldest_k);
        self.is_begun = true;
        let minimum = result.margins.iter_mut().filter(|margin| margin.kind == MarginKind::Minimum);
        for margin in minimum.filter(|margin| margin.required_by != RequiredBy::Limit) {
            let above_k = if is_start { 0.0 } else { (margin.value - coldest_k - AT_BOUND_K).max(0.0) };
            // what is asked at the start may also be more than what predictions are asked
            let asked_k = (start_k + above_k).min(margin.required.max(start_k));
            if asked_k != margin.required {
                (margin.required, margin.required_by) = (asked_k, RequiredBy::Start);
            }
        }
    }
}
