//! What goes round the network and takes in every piece of it.

use crate::stencil::{Piece, Stencil};

/// Receives every piece of a network in turn.
pub(crate) trait Collector {
    /// A piece with the places of its lanes and outputs.
    fn take<const L: usize, const O: usize, P: Piece<L, O>>(&mut self, stencil: &Stencil, piece: &P);
    /// `coefficient * unknown` in a row.
    fn linear(&mut self, row: usize, unknown: usize, coefficient: f64);
    /// A number in a row.
    fn constant(&mut self, row: usize, value: f64);
}
