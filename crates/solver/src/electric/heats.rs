//! What the drive hands to the equations and to the heat book.

use super::drive::{DrivePiece, drive_output};
use super::numbered::{CURRENT, Electric};
use super::pieces::{BusPiece, ChargePiece};
use crate::collector::Collector;
use crate::ids::Node;
use crate::power_path::ConverterPiece;
use crate::stencil::Piece as _;
use crate::tally::LossSlopes;

impl Electric {
    /// Hands every piece to the collector of residual or Jacobian.
    pub(crate) fn collect(&self, collector: &mut impl Collector) {
        for (drive, stencil) in self.spec.drives.iter().zip(&self.drives) {
            collector.take(stencil, &DrivePiece(drive));
        }
        collector.take(&self.gear, &self.gear_piece());
        for (piece, stencil) in self.stage_pieces() {
            collector.take(stencil, &piece);
        }
        for (piece, stencil) in self.group_pieces() {
            collector.take(stencil, &piece);
        }
        for (piece, stencil) in self.conductor_pieces() {
            collector.take(stencil, &piece);
        }
        for (converter, stencil) in self.spec.converters.iter().zip(&self.converters) {
            collector.take(stencil, &ConverterPiece(converter));
        }
        let feed = &self.spec.feed;
        collector.take(&self.bus, &BusPiece(feed));
        collector.take(&self.charge, &ChargePiece { feed, is_held: self.is_charge_held });
        collector.constant(self.start + CURRENT, self.spec.other_load_w);
        if let Some((piece, stencil)) = self.charger_piece() {
            collector.take(stencil, &piece);
        }
        if let Some((piece, stencil)) = self.charger_heat_piece() {
            collector.take(stencil, &piece);
        }
    }

    /// Visits the heat of every outlet: six for each drive, then gearbox, stages, cell groups, conductors, converters, and a charger
    /// on board.
    pub(crate) fn heats(&self, state: &[f64], mut book: impl FnMut(usize, f64)) {
        let mut outlet = 0;
        let mut next = |heat| {
            book(outlet, heat);
            outlet += 1;
        };
        for (drive, stencil) in self.spec.drives.iter().zip(&self.drives) {
            let outputs = DrivePiece(drive).evaluate(stencil.gather::<7>(state));
            for &heat in &outputs[..drive_output::DEMAND] {
                next(heat);
            }
        }
        next(self.gear_piece().evaluate(self.gear.gather::<2>(state))[1]);
        for (piece, stencil) in self.stage_pieces() {
            next(piece.evaluate(stencil.gather::<2>(state))[1]);
        }
        for (piece, stencil) in self.group_pieces() {
            next(piece.evaluate(stencil.gather::<3>(state))[0]);
        }
        for (piece, stencil) in self.conductor_pieces() {
            next(piece.evaluate(stencil.gather::<2>(state))[0]);
        }
        self.converter_readings(state).for_each(|reading| next(reading.heat_w));
        if self.spec.charger.is_some() {
            let heat = self
                .charger_heat_piece()
                .map(|(piece, stencil)| piece.evaluate(stencil.gather::<2>(state))[0]);
            next(heat.unwrap_or(0.0));
        }
    }

    /// Visits the heat of every outlet that no part takes: it goes to the surroundings at once.
    pub(crate) fn given_away(&self, state: &[f64], mut book: impl FnMut(usize, f64)) {
        let first = 6 * self.spec.drives.len() + 1;
        for (index, (piece, stencil)) in self.stage_pieces().enumerate() {
            if matches!(self.spec.stages[index].gear.oil_node, Node::Boundary(_)) {
                book(first + index, piece.evaluate(stencil.gather::<2>(state))[1]);
            }
        }
    }

    pub(crate) fn add_loss_slopes(&self, state: &[f64], slopes: &mut LossSlopes) {
        for (drive, stencil) in self.spec.drives.iter().zip(&self.drives) {
            stencil.add_slopes(&DrivePiece(drive), state, slopes);
        }
        self.gear.add_slopes(&self.gear_piece(), state, slopes);
        for (piece, stencil) in self.stage_pieces() {
            stencil.add_slopes(&piece, state, slopes);
        }
        for (piece, stencil) in self.group_pieces() {
            stencil.add_slopes(&piece, state, slopes);
        }
        for (piece, stencil) in self.conductor_pieces() {
            stencil.add_slopes(&piece, state, slopes);
        }
    }
}
