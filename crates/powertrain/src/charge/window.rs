//! Allowed charge rate by cell temperature.

use numerics::{Scalar, constant, ramp};

use crate::error::{self, InputError};

/// Freezing point of water (K): below it no cell is charged unless its maker says otherwise.
const FREEZING_K: f64 = 273.15;

/// A stage of a charge table: between two cell temperatures, this rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stage {
    /// Lower end (K).
    pub from_k: f64,
    /// Upper end (K).
    pub to_k: f64,
    /// Allowed rate, current over rated capacity (1/h), greater than 0.
    pub c_rate: f64,
}

/// Staged table of allowed charge rate by cell temperature, with what it takes to start again after a stop.
///
/// Below the first stage and above the last nothing is charged. A step between stages is a smooth ramp that lies wholly in the
/// stage of the **higher** rate, so that the table is never exceeded. The outer edges do not fade: crossing one stops the
/// charge, and it starts again inside narrower limits.
#[derive(Clone, Debug, PartialEq)]
pub struct ChargeWindow {
    stages: Vec<Stage>,
    blend_k: f64,
    start_from_k: f64,
    start_to_k: f64,
}

impl ChargeWindow {
    /// Usual width of the ramp between stages (K): of the order of a sensor's accuracy.
    pub const DEFAULT_BLEND_K: f64 = 1.0;
    /// Usual hysteresis (K): 3-5 (common practice, no source).
    pub const DEFAULT_HYSTERESIS_K: f64 = 5.0;

    /// A window of adjoining stages, coldest first. A stopped charge starts again once every cell is `hysteresis_k` inside the
    /// edges; each ramp between stages is `blend_k` wide.
    ///
    /// # Errors
    /// [`InputError::Empty`] without a stage; [`InputError::Value`] for stages that do not adjoin or rise, are narrower than the
    /// ramps in them, or have no rate, and for a hysteresis that is not positive or leaves nothing.
    pub fn new(stages: &[Stage], blend_k: f64, hysteresis_k: f64) -> Result<Self, InputError> {
        let (Some(first), Some(last)) = (stages.first(), stages.last()) else {
            return Err(InputError::Empty("charge window"));
        };
        error::positive("width of the ramps of the charge window (K)", blend_k)?;
        error::positive("hysteresis of the charge window (K)", hysteresis_k)?;
        error::positive("coldest edge of the charge window (K)", first.from_k)?;
        for stage in stages {
            error::positive("rate of a charge stage (1/h)", stage.c_rate)?;
            if !(stage.to_k - stage.from_k >= 2.0 * blend_k && stage.to_k.is_finite()) {
                let rule = "above the lower end by at least two ramps";
                return Err(InputError::Value {
                    what: "upper end of a charge stage (K)",
                    value: stage.to_k,
                    rule,
                });
            }
        }
        for pair in stages.windows(2) {
            if pair[1].from_k != pair[0].to_k {
                let (what, rule) = ("lower end of a charge stage (K)", "the upper end of the stage before");
                return Err(InputError::Value { what, value: pair[1].from_k, rule });
            }
        }
        let window =
            Self { stages: stages.to_vec(), blend_k, start_from_k: first.from_k, start_to_k: last.to_k };
        window.with_start(first.from_k + hysteresis_k, last.to_k - hysteresis_k)
    }

    /// The same window with stated limits for a start, such as 15 to 40 degC (common practice, no source), instead of the
    /// hysteresis.
    ///
    /// # Errors
    /// [`InputError::Value`] unless they rise and lie inside the window, each at least 0.1 K from its edge: without that a charge
    /// would stop and start without end.
    pub fn with_start(self, from_k: f64, to_k: f64) -> Result<Self, InputError> {
        let check = |good: bool, what, value, rule| {
            if good { Ok(()) } else { Err(InputError::Value { what, value, rule }) }
        };
        let rule = "inside the charge window by at least 0.1 K";
        check(from_k >= self.stop_below_k() + 0.1, "coldest start of a charge (K)", from_k, rule)?;
        check(to_k <= self.stop_above_k() - 0.1, "hottest start of a charge (K)", to_k, rule)?;
        check(to_k > from_k, "hottest start of a charge (K)", to_k, "above the coldest start")?;
        Ok(Self { start_from_k: from_k, start_to_k: to_k, ..self })
    }

    /// The stages.
    pub fn stages(&self) -> &[Stage] {
        &self.stages
    }

    /// Cell temperature (K) below which a charge stops.
    pub fn stop_below_k(&self) -> f64 {
        self.stages[0].from_k
    }

    /// Cell temperature (K) above which a charge stops.
    pub fn stop_above_k(&self) -> f64 {
        self.stages[self.stages.len() - 1].to_k
    }

    /// Coldest and hottest cell temperature (K) between which a charge starts, for the first time or again.
    pub fn start_range_k(&self) -> (f64, f64) {
        (self.start_from_k, self.start_to_k)
    }

    /// Whether the table allows charging below 0 degC: show a caution.
    pub fn reaches_below_freezing(&self) -> bool {
        self.stop_below_k() < FREEZING_K
    }

    /// Least rate of any stage (1/h).
    pub fn min_c_rate(&self) -> f64 {
        self.stages.iter().map(|stage| stage.c_rate).fold(f64::INFINITY, f64::min)
    }

    /// Allowed rate (1/h) at one cell temperature, no stage above `max_c_rate`. Outside the window that of the stage at the
    /// edge: whether anything is charged there is the business of the state.
    #[inline]
    pub fn c_rate<S: Scalar>(&self, cell_k: S, max_c_rate: f64) -> S {
        let mut rate = constant(self.stages[0].c_rate.min(max_c_rate));
        for pair in self.stages.windows(2) {
            let step = pair[1].c_rate.min(max_c_rate) - pair[0].c_rate.min(max_c_rate);
            let edge = pair[0].to_k;
            let (from, to) =
                if step > 0.0 { (edge, edge + self.blend_k) } else { (edge - self.blend_k, edge) };
            rate += ramp(cell_k, from, to) * step;
        }
        rate
    }
}
