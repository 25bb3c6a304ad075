//! The state that something left: what the next one may begin with.

use crate::assembly::Parts;

/// The state that something left: what the next one may begin with.
#[derive(Clone, Debug, PartialEq)]
pub struct EndState {
    pub(super) unknowns: Vec<f64>,
    pub(super) positions: Vec<bool>,
    pub(super) charge: Option<usize>,
    /// Rise of the hot spot of each component, K; empty if it is not known.
    pub(super) rises_k: Vec<f64>,
}

impl EndState {
    /// State of charge, 0 to 1; 1 without a pack.
    pub fn state_of_charge(&self) -> f64 {
        self.charge.map_or(1.0, |unknown| self.unknowns[unknown])
    }

    /// Hottest segment of a component, K.
    pub fn component_k(&self, parts: &Parts, name: &str) -> Option<f64> {
        let ids = ids(parts, name)?;
        Some(ids.iter().map(|&id| self.unknowns[id]).fold(f64::NEG_INFINITY, f64::max))
    }

    /// Coldest segment of a component, K.
    pub fn coldest_k(&self, parts: &Parts, name: &str) -> Option<f64> {
        let ids = ids(parts, name)?;
        Some(ids.iter().map(|&id| self.unknowns[id]).fold(f64::INFINITY, f64::min))
    }

    /// The same with every segment of a component at a temperature, K.
    #[must_use]
    pub fn with_component_k(mut self, parts: &Parts, name: &str, temperature_k: f64) -> Self {
        for id in ids(parts, name).unwrap_or_default() {
            self.unknowns[id] = temperature_k;
        }
        self
    }

    /// The same at another state of charge.
    #[must_use]
    pub fn with_state_of_charge(mut self, charge: f64) -> Self {
        if let Some(unknown) = self.charge {
            self.unknowns[unknown] = charge;
        }
        self
    }
}

pub(super) fn ids(parts: &Parts, name: &str) -> Option<Vec<usize>> {
    let (_, ids) = parts.components.iter().find(|(known, _)| known == name)?;
    Some(ids.iter().map(|id| id.index()).collect())
}
