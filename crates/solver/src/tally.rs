//! Heats of the whole network, and how they change with the unknowns.

/// Heats of the whole network at one instant, W.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Tally {
    /// Generated in components and fluids.
    pub(crate) generated_w: f64,
    /// Passed to the surroundings, less the heat of air that is brought to rest.
    pub(crate) rejected_w: f64,
}

/// How the heats of the whole network change with each unknown.
#[derive(Clone, Debug, Default)]
pub(crate) struct TallySlopes {
    pub(crate) generated: Vec<f64>,
    pub(crate) rejected: Vec<f64>,
}

impl TallySlopes {
    pub(crate) fn new(unknowns: usize) -> Self {
        Self { generated: vec![0.0; unknowns], rejected: vec![0.0; unknowns] }
    }
}

/// Derivatives of the heat sources with the temperatures, W/K, by row and column; a pair may occur more than once.
#[derive(Debug)]
pub(crate) struct LossSlopes {
    pub(crate) temperatures: usize,
    pub(crate) entries: Vec<(usize, usize, f64)>,
}
