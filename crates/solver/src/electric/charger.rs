//! A pack on a charger: the limiter sets the current, the charger also feeds what else runs on the bus.

use super::spec::{ChargerOnBoard, PackCells};
use crate::stencil::Piece;
use numerics::{Scalar, constant};
use powertrain::charge::{ChargeLimiter, ChargePoint, ChargeState, PackCondition};

/// A charge that runs.
#[derive(Clone, Debug)]
pub struct ActiveCharge {
    /// What decides the current.
    pub limiter: ChargeLimiter,
    /// Hottest cell of a group above the mean one while it is fed, K: the hot end of the window is held against it.
    pub hottest_above_k: f64,
    /// Whether it runs, waits or has ended.
    pub state: ChargeState,
    /// Whether it has been stopped a moment ago and may not begin again yet.
    pub is_resting: bool,
    /// Greatest current into the pack, A, whatever else allows; infinite for none. A steady state that a step of the window does not
    /// have is found with it.
    pub max_current_a: f64,
}

impl ActiveCharge {
    /// A charge that runs; the hottest cell lies `hottest_above_k` above the mean one.
    pub fn running(limiter: ChargeLimiter, hottest_above_k: f64) -> Self {
        let state = ChargeState::Charging;
        Self { limiter, hottest_above_k, state, is_resting: false, max_current_a: f64::INFINITY }
    }
}

/// Weight of the row that sets the current, A over W: far above every power on the bus, which the charger supplies. What that power
/// adds to the current, power over weight, is set by the settling of the bus as well, or cells without heat capacity would not settle.
pub(super) const SET_WEIGHT: f64 = 1e12;

/// Bus current of a charge: lanes are bus current, state of charge, first and last group.
///
/// The groups follow each other along the coolant, so the first and the last are the coldest and the hottest.
pub(crate) struct ChargerPiece<'a> {
    pub(crate) pack: &'a PackCells,
    pub(crate) charge: &'a ActiveCharge,
}

impl ChargerPiece<'_> {
    /// Cells that have not been fed yet have no hottest one.
    pub(crate) fn condition<S: Scalar>(
        &self,
        is_fed: bool,
        charge: S,
        first_k: S,
        last_k: S,
    ) -> PackCondition<S> {
        let (coldest_k, hottest_k) =
            if first_k.value() <= last_k.value() { (first_k, last_k) } else { (last_k, first_k) };
        let mean_k = (first_k + last_k) * 0.5;
        PackCondition {
            coldest_k,
            hottest_k: hottest_k + if is_fed { self.charge.hottest_above_k } else { 0.0 },
            soc: charge,
            open_circuit_v: self.pack.open_circuit_v(charge),
            cell_resistance_ohm: self.pack.cell.resistance_at(mean_k, charge)
                * (self.pack.series / self.pack.strings),
            lead_resistance_ohm: constant(0.0),
        }
    }

    pub(crate) fn point<S: Scalar>(&self, charge: S, first_k: S, last_k: S) -> ChargePoint<S> {
        let point =
            self.charge.limiter.current(self.charge.state, &self.condition(true, charge, first_k, last_k));
        if point.current_a.value() > self.charge.max_current_a {
            return ChargePoint { current_a: constant(self.charge.max_current_a), ..point };
        }
        point
    }
}

impl Piece<4, 1> for ChargerPiece<'_> {
    #[inline]
    fn evaluate<S: Scalar>(&self, [current_a, charge, first_k, last_k]: [S; 4]) -> [S; 1] {
        [(self.point(charge, first_k, last_k).bus_current_a() - current_a) * SET_WEIGHT]
    }
}

/// Heat of a charger on board: lanes are bus voltage and bus current.
///
/// It is that of the power into the pack and of the steady other load; pumps and fans beside them are left out, a few percent.
pub(crate) struct ChargerHeatPiece {
    pub(crate) charger: ChargerOnBoard,
    pub(crate) other_load_w: f64,
}

impl Piece<2, 1> for ChargerHeatPiece {
    const GENERATES: bool = true;

    #[inline]
    fn evaluate<S: Scalar>(&self, [bus_v, current_a]: [S; 2]) -> [S; 1] {
        let given_w = bus_v * -current_a + self.other_load_w;
        [given_w * (1.0 / self.charger.efficiency - 1.0)]
    }
}
