//! How a whole aircraft is sized.

use model::mission::FlyOptions;

/// How a whole aircraft is sized.
#[derive(Clone, Debug, PartialEq)]
pub struct OptimumOptions {
    /// Only these cases, by full name; all if empty.
    pub cases: Vec<String>,
    /// Full names of cases that do not count.
    pub without: Vec<String>,
    /// Mission that mass is counted over, by full name; none: of those without failure the one over which the present design has the
    /// greatest equivalent mass.
    pub mission: Option<String>,
    /// Starts beside the present design.
    pub starts: usize,
    /// Whether the neighbours of the lightest design are searched too.
    pub neighbours: bool,
    /// What is to be left over the required margin of every temperature that sizes move, K.
    pub left_over_k: f64,
    /// How missions are flown.
    pub fly: FlyOptions,
}

impl Default for OptimumOptions {
    fn default() -> Self {
        Self {
            cases: Vec::new(),
            without: Vec::new(),
            mission: None,
            starts: 7,
            neighbours: true,
            left_over_k: 0.0,
            fly: FlyOptions::default(),
        }
    }
}

/// How far a search is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// What is done: `cases` (those that no choice makes hold are found), `starts`, `rounds` or `neighbours`.
    pub stage: &'static str,
    /// Done of it.
    pub done: usize,
    /// How much there is; of rounds, the most.
    pub of: usize,
}
