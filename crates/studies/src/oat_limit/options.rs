//! What is searched for the outside-air limit.

use model::mission::FlyOptions;

/// Metres in a foot.
const FOOT_M: f64 = 0.3048;

/// Which cases a curve is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CaseSet {
    /// Those without a failure.
    Normal,
    /// Those with a failure.
    Failed,
}

impl CaseSet {
    /// Word used in files and tables.
    pub fn word(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Failed => "failed",
        }
    }
}

/// What is searched.
#[derive(Clone, Debug, PartialEq)]
pub struct OatOptions {
    /// Lowest temperature looked at, K.
    pub from_k: f64,
    /// Highest temperature looked at, K.
    pub to_k: f64,
    /// Step of the coarse scan of steady cases, K; missions, which cost more, are scanned at twice this.
    pub step_k: f64,
    /// Pressure altitudes of the curve, rising, m; each interval is also tried half-way.
    pub altitudes_m: Vec<f64>,
    /// Sets of cases, a curve of cooling and one of rating for each.
    pub sets: Vec<CaseSet>,
    /// Full names of the cases that count; all if none is named.
    pub cases: Vec<String>,
    /// Full names of cases that do not.
    pub without: Vec<String>,
    /// How missions are flown.
    pub fly: FlyOptions,
}

impl Default for OatOptions {
    /// From -20 to 60 degC; sea level to 10,000 ft in steps of 2,000 ft; every case.
    fn default() -> Self {
        Self {
            from_k: 253.15,
            to_k: 333.15,
            step_k: 10.0,
            altitudes_m: (0..=5).map(|step| 2000.0 * FOOT_M * f64::from(step)).collect(),
            sets: vec![CaseSet::Normal, CaseSet::Failed],
            cases: Vec::new(),
            without: Vec::new(),
            fly: FlyOptions { max_gap_s: 30.0, ..FlyOptions::default() },
        }
    }
}

impl OatOptions {
    /// Every altitude that is searched: those of the curve, and half-way between them; true marks those of the curve.
    pub fn searched_m(&self) -> Vec<(f64, bool)> {
        let mut all: Vec<(f64, bool)> = Vec::new();
        for &altitude_m in &self.altitudes_m {
            if let Some(&(before_m, _)) = all.last() {
                all.push((f64::midpoint(before_m, altitude_m), false));
            }
            all.push((altitude_m, true));
        }
        all
    }
}
