//! Residual and Jacobian of the whole network.
//!
//! Rows of temperatures hold the net heat into a component or cell, W. Rows of flows hold the net driving pressure of
//! a run, Pa, or the balance of a split. In every row the own unknown enters with a minus.

use crate::circuit::Ends;
use crate::collector::Collector;
use crate::network::{CasingPlace, Network, SPLIT_WEIGHT};
use crate::pieces::{
    CasingPiece, ElementPiece, ExchangerPiece, LinkPiece, SourcePiece, StreamPiece, WallPiece,
};
use crate::sparse::SparseLu;
use crate::stencil::{Piece, Stencil};
use crate::tally::{Tally, TallySlopes};

struct Residual<'a> {
    state: &'a [f64],
    residual: &'a mut [f64],
}

impl Collector for Residual<'_> {
    #[inline]
    fn take<const L: usize, const O: usize, P: Piece<L, O>>(&mut self, stencil: &Stencil, piece: &P) {
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
    fn take<const L: usize, const O: usize, P: Piece<L, O>>(&mut self, stencil: &Stencil, piece: &P) {
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

struct BookedResidual<'a> {
    state: &'a [f64],
    residual: &'a mut [f64],
    temperatures: usize,
    tally: Tally,
}

impl Collector for BookedResidual<'_> {
    #[inline]
    fn take<const L: usize, const O: usize, P: Piece<L, O>>(&mut self, stencil: &Stencil, piece: &P) {
        let outputs = stencil.add_residual(piece, self.state, self.residual);
        stencil.book::<L, O, P>(&outputs, self.temperatures, &mut self.tally);
    }
    fn linear(&mut self, row: usize, unknown: usize, coefficient: f64) {
        self.residual[row] += coefficient * self.state[unknown];
    }
    fn constant(&mut self, row: usize, value: f64) {
        self.residual[row] += value;
        if row < self.temperatures {
            self.tally.generated_w += value;
        }
    }
}

struct BookedJacobian<'a> {
    state: &'a [f64],
    residual: &'a mut [f64],
    lu: &'a mut SparseLu,
    temperatures: usize,
    tally: Tally,
    slopes: &'a mut TallySlopes,
}

impl Collector for BookedJacobian<'_> {
    #[inline]
    fn take<const L: usize, const O: usize, P: Piece<L, O>>(&mut self, stencil: &Stencil, piece: &P) {
        let outputs = stencil.add_jacobian(piece, self.state, self.residual, self.lu);
        stencil.book::<L, O, P>(&outputs.each_ref().map(|o| o.re), self.temperatures, &mut self.tally);
        stencil.book_slopes::<L, O, P>(&outputs, self.temperatures, self.slopes);
    }
    fn linear(&mut self, row: usize, unknown: usize, coefficient: f64) {
        self.residual[row] += coefficient * self.state[unknown];
        let slot = self.lu.slot(row, unknown);
        self.lu.add(slot, coefficient);
    }
    fn constant(&mut self, row: usize, value: f64) {
        self.residual[row] += value;
        if row < self.temperatures {
            self.tally.generated_w += value;
        }
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

    /// As [`Self::residual`], with the heats of the whole network.
    pub(crate) fn booked_residual(&self, state: &[f64], residual: &mut [f64]) -> Tally {
        residual.fill(0.0);
        let mut collector =
            BookedResidual { state, residual, temperatures: self.temperatures, tally: Tally::default() };
        self.collect(state, &mut collector);
        collector.tally
    }

    /// As [`Self::jacobian`], with the heats of the whole network and their slopes.
    pub(crate) fn booked_jacobian(
        &self,
        state: &[f64],
        residual: &mut [f64],
        lu: &mut SparseLu,
        slopes: &mut TallySlopes,
    ) -> Tally {
        residual.fill(0.0);
        lu.clear();
        slopes.generated.fill(0.0);
        slopes.rejected.fill(0.0);
        let temperatures = self.temperatures;
        let mut collector =
            BookedJacobian { state, residual, lu, temperatures, tally: Tally::default(), slopes };
        self.collect(state, &mut collector);
        collector.tally
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
        for place in &self.casings {
            collector.take(&place.stencil, &self.casing_piece(place));
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
            electric.collect(collector);
        }
    }

    /// Heat path through the casing of a machine.
    pub(crate) fn casing_piece(&self, place: &CasingPlace) -> CasingPiece<'_> {
        let fluid = &self.circuits[self.placed[place.element].circuit].fluid;
        CasingPiece { fluid, conductance_w_k: place.conductance_w_k }
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
