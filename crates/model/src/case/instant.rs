//! An instant of a run over time.

use super::named::{Named, hot_spot_rise_k};
use super::naming::Naming;
use crate::assembly::{Outside, Parts, Situation};
use crate::height::{self, HeightPower};
use crate::result::{CaseResult, Margin, Notice};
use solver::{Failure, Reading, Statistics};

/// An instant of a run over time.
#[derive(Clone, Copy)]
pub(crate) struct AtInstant<'a> {
    pub(crate) situation: &'a Situation<'a>,
    pub(crate) parts: &'a Parts,
    pub(crate) outside: Outside,
    pub(crate) reading: Reading<'a>,
    /// Rise of the hot spot of each component, K; empty if it follows the heat at once.
    pub(crate) rises_k: &'a [f64],
}

impl<'a> AtInstant<'a> {
    fn named(self) -> Named<'a> {
        let Self { situation, parts, outside, reading, rises_k } = self;
        Named { naming: Naming::new(situation, parts), reading, outside, rises_k }
    }

    /// Everything, with the names of the aircraft.
    pub(crate) fn result(self) -> CaseResult {
        let named = self.named();
        named.result(named.reading.ledger(), Statistics::default())
    }

    /// What the limits are held against, with the same margins: components, loops and drive. The rest is left empty, and so are the
    /// heats of components.
    pub(crate) fn judged(self) -> CaseResult {
        self.named().judged()
    }

    /// What is to be told about films at this instant if these margins are least here.
    pub(crate) fn film_notices(self, margins: &[Margin]) -> Vec<Notice> {
        self.named().film_notices(margins)
    }

    /// Power of level flight and the power that is there, where something takes power.
    pub(crate) fn height(self) -> Option<HeightPower> {
        let electric = self.named().electric()?;
        height::look(self.situation, &electric, &self.outside)
    }

    /// Rise of the hot spot of each component if the heat lasted, K.
    pub(crate) fn lasting_rises_k(self) -> Vec<f64> {
        let named = self.named();
        let heats_w = named.component_heats();
        let components = self.situation.project.components.iter();
        components.zip(heats_w).map(|(component, heat_w)| hot_spot_rise_k(component, heat_w)).collect()
    }
}

/// The result of a run over time that ended without a state.
pub(crate) fn failed(situation: &Situation<'_>, parts: &Parts, failure: &Failure) -> CaseResult {
    Naming::new(situation, parts).failed(failure)
}
