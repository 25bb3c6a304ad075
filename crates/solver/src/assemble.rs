//! Residual and Jacobian of the whole network.
//!
//! Rows of temperatures hold the net heat into a component or cell, W. Rows of flows hold the net driving pressure of
//! a run, Pa, or the balance of a split. In every row the own unknown enters with a minus.

use crate::circuit::Ends;
use crate::network::{Network, SPLIT_WEIGHT};
use crate::pieces::{ElementPiece, ExchangerPiece, LinkPiece, StreamPiece, WallPiece};
use crate::sparse::SparseLu;
use crate::stencil::{Piece, Stencil};
use numerics::Scalar;

/// Receives every piece of a network in turn.
trait Collector {
    fn take<const L: usize, const O: usize>(&mut self, stencil: &Stencil, piece: &impl Piece<L, O>);
    fn linear(&mut self, row: usize, unknown: usize, coefficient: f64);
    fn constant(&mut self, row: usize, value: f64);
}

struct Residual<'a> {
    state: &'a [f64],
    residual: &'a mut [f64],
}

impl Collector for Residual<'_> {
    #[inline]
    fn take<const L: usize, const O: usize>(&mut self, stencil: &Stencil, piece: &impl Piece<L, O>) {
        stencil.add_residual(piece, self.state, self.residual);
    }
    fn linear(&mut self, row: usize, unknown: usize, coefficient: f64) {
        self.residual[row] += coefficient * self.state[unknown];
    }
    fn constant(&mut self, row: usize, value: f64) {
        self.residual[row] += value;
    }
}

struct Jacobian<'a> {
    state: &'a [f64],
    residual: &'a mut [f64],
    lu: &'a mut SparseLu,
}

impl Collector for Jacobian<'_> {
    #[inline]
    fn take<const L: usize, const O: usize>(&mut self, stencil: &Stencil, piece: &impl Piece<L, O>) {
        stencil.add_jacobian(piece, self.state, self.residual, self.lu);
    }
    fn linear(&mut self, row: usize, unknown: usize, coefficient: f64) {
        self.residual[row] += coefficient * self.state[unknown];
        let slot = self.lu.slot(row, unknown);
        self.lu.add(slot, coefficient);
    }
    fn constant(&mut self, row: usize, value: f64) {
        self.residual[row] += value;
    }
}

/// Heat of a source whose loss grows with temperature.
pub(crate) struct SourcePiece<'a>(pub(crate) &'a crate::network::Source);

impl Piece<1, 1> for SourcePiece<'_> {
    #[inline]
    fn evaluate<S: Scalar>(&self, [temperature_k]: [S; 1]) -> [S; 1] {
        [((temperature_k - self.0.reference_k) * self.0.slope_1_k + 1.0) * self.0.heat_w]
    }
}

impl Network {
    /// Net heat, net pressure and power balance at a state (unknowns followed by boundaries).
    pub(crate) fn residual(&self, state: &[f64], residual: &mut [f64]) {
        residual.fill(0.0);
        self.collect(state, &mut Residual { state, residual });
    }

    /// Residual and Jacobian; the Jacobian is left in the factors' entries, not yet factored.
    pub(crate) fn jacobian(&self, state: &[f64], residual: &mut [f64], lu: &mut SparseLu) {
        residual.fill(0.0);
        lu.clear();
        self.collect(state, &mut Jacobian { state, residual, lu });
    }

    fn collect(&self, state: &[f64], collector: &mut impl Collector) {
        for (law, stencil, _) in &self.links {
            collector.take(stencil, &LinkPiece(law));
        }
        for (source, stencil) in &self.sources {
            collector.take(stencil, &SourcePiece(source));
        }
        self.collect_streams(collector);
        for (element, placed) in self.elements.iter().zip(&self.placed) {
            let course = &self.courses[placed.circuit];
            let fluid = &self.circuits[placed.circuit].fluid;
            let backward = usize::from(state[course.runs[placed.run].flow] < 0.0);
            let piece = ElementPiece { fluid, law: &element.law, signal: &element.signal };
            collector.take(&placed.stencils[backward], &piece);
            for (cell, &row) in element.cells.iter().zip(&placed.cells) {
                if cell.heat_w != 0.0 {
                    collector.constant(row, cell.heat_w);
                }
            }
        }
        for place in &self.walls {
            let backward = usize::from(state[place.flow] < 0.0);
            let fluid = &self.circuits[self.placed[place.element].circuit].fluid;
            if let Some(wall) = &self.elements[place.element].cells[place.cell].wall {
                let piece = WallPiece { fluid, wall, resting_w_k: place.resting_w_k };
                collector.take(&place.stencils[backward], &piece);
            }
        }
        for (exchanger, place) in &self.exchangers {
            let case =
                usize::from(state[place.flows[0]] < 0.0) + 2 * usize::from(state[place.flows[1]] < 0.0);
            let piece = ExchangerPiece {
                first: &self.circuits[place.circuits[0]].fluid,
                second: &self.circuits[place.circuits[1]].fluid,
                law: &exchanger.law,
                arrangement: exchanger.arrangement,
                resting_w_k: exchanger.resting_w_k,
            };
            collector.take(&place.stencils[case], &piece);
        }
        for (row, parent, branches) in self.courses.iter().flat_map(|c| &c.splits) {
            collector.linear(*row, *parent, SPLIT_WEIGHT);
            for &branch in branches {
                collector.linear(*row, branch, -SPLIT_WEIGHT);
            }
        }
        if let Some(electric) = &self.electric {
            crate::electric::collect(electric, &mut Adapter(collector));
        }
    }

    fn collect_streams(&self, collector: &mut impl Collector) {
        for stream in &self.streams {
            let fluid = &self.circuits[stream.circuit].fluid;
            collector.take(&stream.stencil, &StreamPiece { fluid, share: 1.0, added_j_kg: 0.0 });
        }
        for (circuit, course) in self.circuits.iter().zip(&self.courses) {
            let (Some(inlet), Ends::Open { recirculation, ram_heat_j_kg, .. }) =
                (&course.inlet, circuit.ends)
            else {
                continue;
            };
            let fluid = &circuit.fluid;
            let fresh = 1.0 - recirculation;
            let piece = StreamPiece { fluid, share: fresh, added_j_kg: ram_heat_j_kg };
            collector.take(&inlet.from_outside, &piece);
            collector
                .take(&inlet.from_exhaust, &StreamPiece { fluid, share: recirculation, added_j_kg: 0.0 });
            collector.take(&inlet.to_outside, &StreamPiece { fluid, share: fresh, added_j_kg: 0.0 });
        }
    }
}

/// Lets the electric equations hand in their pieces without knowing the collector.
pub(crate) struct Adapter<'a, C>(&'a mut C);

/// What the electric equations may hand in.
pub(crate) trait Takes {
    fn take<const L: usize, const O: usize>(&mut self, stencil: &Stencil, piece: &impl Piece<L, O>);
    fn constant(&mut self, row: usize, value: f64);
}

impl<C: Collector> Takes for Adapter<'_, C> {
    fn take<const L: usize, const O: usize>(&mut self, stencil: &Stencil, piece: &impl Piece<L, O>) {
        self.0.take(stencil, piece);
    }
    fn constant(&mut self, row: usize, value: f64) {
        self.0.constant(row, value);
    }
}
