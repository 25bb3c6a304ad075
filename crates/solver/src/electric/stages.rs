//! What follows the gearbox: which stage takes its power from which, and what is given at its end.

use super::numbered::{ELECTRIC_UNKNOWNS, Electric};
use super::pieces::GearPiece;
use super::spec::ElectricSpec;
use crate::stencil::Stencil;

impl ElectricSpec {
    /// The stage that a stage takes its power from; none for the gearbox.
    pub(super) fn upstream(&self, stage: usize) -> Option<usize> {
        self.stages[..stage].iter().rposition(|stage| stage.branch.is_none())
    }

    /// The stage whose output is the shaft; none for the gearbox.
    pub(super) fn last_of_chain(&self) -> Option<usize> {
        self.upstream(self.stages.len())
    }

    /// Unknown of the power into a stage, counted from the first of the drive.
    pub(super) fn stage_unknown(&self, stage: usize) -> usize {
        ELECTRIC_UNKNOWNS + self.converters.len() + stage
    }

    /// Power out of a stage that is given, W; the stages behind it ask for more.
    fn given_w(&self, stage: usize) -> f64 {
        match self.stages[stage].branch {
            Some(part) => part * self.shaft_power_w,
            None if self.last_of_chain() == Some(stage) => self.shaft_power_w,
            None => 0.0,
        }
    }
}

impl Electric {
    pub(super) fn gear_piece(&self) -> GearPiece<'_> {
        let given_w = if self.spec.last_of_chain().is_none() { self.spec.shaft_power_w } else { 0.0 };
        GearPiece { gear: self.spec.gear.as_ref(), given_w }
    }

    pub(super) fn stage_piece(&self, stage: usize) -> GearPiece<'_> {
        GearPiece { gear: Some(&self.spec.stages[stage].gear), given_w: self.spec.given_w(stage) }
    }

    pub(super) fn stage_pieces(&self) -> impl Iterator<Item = (GearPiece<'_>, &Stencil)> {
        self.stages.iter().enumerate().map(|(stage, stencil)| (self.stage_piece(stage), stencil))
    }

    /// Power that the stages right behind a stage ask for, W; behind the gearbox for none.
    pub(super) fn asked_behind_w(&self, stage: Option<usize>, state: &[f64]) -> f64 {
        let behind = (0..self.stages.len()).filter(|&other| self.spec.upstream(other) == stage);
        behind.map(|other| state[self.start + self.spec.stage_unknown(other)]).sum()
    }
}
