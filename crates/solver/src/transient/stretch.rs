//! Stretches of time, and how they end.

use crate::blend::Changes;
use crate::network::Network;
use powertrain::charge::ChargeState;
use std::sync::Arc;

/// A stretch of time over which the network is constant, or changes linearly into another of the same parts.
#[derive(Clone, Debug)]
pub struct Stretch {
    /// Duration, s.
    pub duration_s: f64,
    /// Network at the start.
    pub from: Arc<Network>,
    /// Network at the end, if it changes.
    pub to: Option<Arc<Network>>,
}

impl Stretch {
    /// The network at a share (0 to 1) of the duration.
    pub fn at(&self, share: f64) -> Network {
        let mut network = Network::clone(&self.from);
        if let Some(to) = &self.to {
            let mut state = vec![0.0; network.unknowns + network.boundaries.len()];
            network.blend(&Changes::between(&self.from, to), &self.from, to, share, &mut state);
        }
        network
    }

    /// The stretch up to a time since its start, s.
    #[must_use]
    pub fn until(&self, since_s: f64) -> Self {
        if since_s >= self.duration_s {
            return self.clone();
        }
        let to = self.to.as_ref().map(|_| Arc::new(self.at(since_s / self.duration_s)));
        Self { duration_s: since_s, from: Arc::clone(&self.from), to }
    }

    /// What is left of the stretch after a time since its start, s.
    #[must_use]
    pub fn rest(&self, since_s: f64) -> Self {
        let from = match &self.to {
            Some(_) if since_s > 0.0 => Arc::new(self.at(since_s / self.duration_s)),
            _ => Arc::clone(&self.from),
        };
        Self { duration_s: self.duration_s - since_s, from, to: self.to.clone() }
    }
}

/// How a stretch ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// Its duration was over.
    Duration,
    /// The watch of this number crossed its threshold.
    Watch(usize),
    /// The charge went over into this state.
    Charge(ChargeState),
    /// The observer asked for it.
    Observer,
}

/// What an observer wants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// Go on.
    GoOn,
    /// End the stretch here.
    End,
}
