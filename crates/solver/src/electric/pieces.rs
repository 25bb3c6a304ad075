//! Gearbox, cells, bus and state of charge as local functions.

use super::spec::{BusFeed, CellGroup, Gear, PackCells};
use crate::stencil::Piece;
use numerics::{Scalar, constant};
use powertrain::gearbox::GearPoint;

impl Gear {
    #[inline]
    pub(super) fn point<S: Scalar>(&self, input_power_w: S, oil_k: S) -> GearPoint<S> {
        let density = self.oil.density(oil_k);
        GearPoint {
            input_power_w,
            input_speed_rad_s: self.input_speed_rad_s,
            oil_density_kg_m3: density,
            oil_kinematic_viscosity_m2_s: self.oil.viscosity(oil_k) / density,
        }
    }
}

/// Gearbox or stage. Lanes: power into it, oil temperature.
pub(super) struct GearPiece<'a> {
    /// Its law; none for direct drive.
    pub(super) gear: Option<&'a Gear>,
    /// Part of the power out of it that is given, W: what the stages behind it ask for comes on top.
    pub(super) given_w: f64,
}

impl Piece<2, 3> for GearPiece<'_> {
    const GENERATES: bool = true;

    /// Outputs: balance of power (own unknown with a minus), heat, power that it asks for.
    #[inline]
    fn evaluate<S: Scalar>(&self, [input_w, oil_k]: [S; 2]) -> [S; 3] {
        let loss = match self.gear {
            Some(gear) => gear.gearbox.heat(&gear.point(input_w, oil_k)).total(),
            None => constant(0.0),
        };
        [loss + self.given_w - input_w, loss, input_w]
    }
}

/// Lanes: bus current, temperature, state of charge.
pub(super) struct GroupPiece<'a> {
    pub(super) pack: &'a PackCells,
    pub(super) group: &'a CellGroup,
}

impl Piece<3, 2> for GroupPiece<'_> {
    const GENERATES: bool = true;

    /// Outputs: heat, voltage drop.
    #[inline]
    fn evaluate<S: Scalar>(&self, [current_a, temperature_k, charge]: [S; 3]) -> [S; 2] {
        let drop = current_a * self.pack.resistance(self.group, temperature_k, charge);
        let entropic_v_k = self.pack.cell.entropic_v_k(charge) * self.group.series;
        [current_a * drop - current_a * temperature_k * entropic_v_k, drop]
    }
}

/// Lanes: bus voltage, bus current, state of charge.
pub(super) struct BusPiece<'a>(pub(super) &'a BusFeed);

impl Piece<3, 2> for BusPiece<'_> {
    /// Outputs: voltage balance without groups and conductors, power delivered.
    #[inline]
    fn evaluate<S: Scalar>(&self, [bus_v, current_a, charge]: [S; 3]) -> [S; 2] {
        let source = match self.0 {
            BusFeed::Fixed(volts) => constant(*volts),
            BusFeed::Pack(pack) => pack.open_circuit_v(charge),
        };
        [source - bus_v, bus_v * current_a]
    }
}

/// Lanes: bus current, state of charge.
pub(super) struct ChargePiece<'a> {
    pub(super) feed: &'a BusFeed,
    pub(super) is_held: bool,
}

impl Piece<2, 1> for ChargePiece<'_> {
    /// Output: rate of the state of charge, 1/s; where it is held, the distance to what it shall be.
    #[inline]
    fn evaluate<S: Scalar>(&self, [current_a, charge]: [S; 2]) -> [S; 1] {
        match self.feed.pack() {
            None => [-charge + 1.0],
            Some(pack) if self.is_held => [-charge + pack.state_of_charge],
            Some(pack) => [current_a * (-1.0 / pack.capacity_as())],
        }
    }
}
