//! Infeasible cases: those that have no result, or stay past what is required, whatever a study may choose. They are found before the
//! study, named with what stands in the way where that is least, and set apart, so that they do not hide what the rest allows.

use crate::StudyError;
use model::case_name::CaseName;
use model::result::{Margin, MarginKind};
use std::cmp::Ordering;

/// A case that no choice of the study makes hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Infeasible {
    /// Case.
    pub case: CaseName,
    /// What stands in the way at the best of all that was tried.
    pub obstacle: Obstacle,
    /// What was tried, in words.
    pub tried: String,
}

/// What stands in the way of a case.
#[derive(Clone, Debug, PartialEq)]
pub struct Obstacle {
    /// Component, device or loop; empty where there is no state and no place was named.
    pub place: String,
    /// Name of the limit; where there is no state, the outcome.
    pub limit: String,
    /// The margin that is short; none where there is no state.
    pub margin: Option<Margin>,
    /// When it is least, s; none in a steady case.
    pub time_s: Option<f64>,
    /// Why there is no state.
    pub message: Option<String>,
}

impl Obstacle {
    /// A margin that is short.
    pub fn short(margin: Margin, time_s: Option<f64>) -> Self {
        let (place, limit) = (margin.place.clone(), margin.limit.clone());
        Self { place, limit, margin: Some(margin), time_s, message: None }
    }

    /// No state.
    pub fn without_state(place: &str, outcome: &str, message: String) -> Self {
        Self {
            place: place.to_owned(),
            limit: outcome.to_owned(),
            margin: None,
            time_s: None,
            message: Some(message),
        }
    }

    /// By how much the required margin is missed, in the unit of the limit; none where there is no state.
    pub fn short_by(&self) -> Option<f64> {
        self.margin.as_ref().map(|margin| -margin.reserve())
    }

    /// The order of margins; what has no state is worse than all that have one.
    pub(crate) fn worst_first(a: &Self, b: &Self) -> Ordering {
        match (&a.margin, &b.margin) {
            (Some(a), Some(b)) => Margin::worst_first(a, b),
            (a, b) => a.is_some().cmp(&b.is_some()),
        }
    }
}

/// Whether a limit is one of performance, not of cooling.
pub(crate) fn is_rating(kind: MarginKind) -> bool {
    match kind {
        MarginKind::Rating | MarginKind::RatedTorque | MarginKind::RatedSpeed => true,
        MarginKind::Maximum
        | MarginKind::Minimum
        | MarginKind::Boiling
        | MarginKind::Freezing
        | MarginKind::PumpInlet => false,
    }
}

/// Tries choices one after the other until nothing stands in the way; else the least that does. None where a choice was found, or nothing
/// was tried.
///
/// # Errors
/// Those of a trial.
pub(crate) fn obstacle_of<T>(
    trials: impl IntoIterator<Item = T>,
    mut obstacle: impl FnMut(T) -> Result<Option<Obstacle>, StudyError>,
) -> Result<Option<Obstacle>, StudyError> {
    let mut least: Option<Obstacle> = None;
    for trial in trials {
        let Some(found) = obstacle(trial)? else { return Ok(None) };
        if least.as_ref().is_none_or(|known| Obstacle::worst_first(known, &found) == Ordering::Less) {
            least = Some(found);
        }
    }
    Ok(least)
}
