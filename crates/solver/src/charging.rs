//! A pack on a charger: the limiter sets the current, the charger also feeds what else runs on the bus.

use crate::electric::{Electric, PackCells};
use crate::network::Network;
use crate::stencil::Piece;
use numerics::Scalar;
use powertrain::charge::{ChargeEvent, ChargeLimiter, ChargePoint, ChargeState, PackCondition};

/// A charge that runs.
#[derive(Clone, Debug)]
pub struct ActiveCharge {
    /// What decides the current.
    pub limiter: ChargeLimiter,
    /// Whether it runs, waits or has ended.
    pub state: ChargeState,
}

/// Weight of the row that sets the current, A over W: far above every power on the bus, which the charger supplies.
const SET_WEIGHT: f64 = 1e9;

/// Bus current of a charge: lanes are bus current, state of charge, first and last group.
///
/// The groups follow each other along the coolant, so the first and the last are the coldest and the hottest.
pub(crate) struct ChargerPiece<'a> {
    pub(crate) pack: &'a PackCells,
    pub(crate) charge: &'a ActiveCharge,
}

impl ChargerPiece<'_> {
    pub(crate) fn condition<S: Scalar>(&self, charge: S, first_k: S, last_k: S) -> PackCondition<S> {
        let (coldest_k, hottest_k) =
            if first_k.value() <= last_k.value() { (first_k, last_k) } else { (last_k, first_k) };
        let mean_k = (first_k + last_k) * 0.5;
        PackCondition {
            coldest_k,
            hottest_k,
            soc: charge,
            open_circuit_v: self.pack.open_circuit_v(charge),
            cell_resistance_ohm: self.pack.cell.resistance_at(mean_k, charge)
                * (self.pack.series / self.pack.strings),
            lead_resistance_ohm: numerics::constant(0.0),
        }
    }

    pub(crate) fn point<S: Scalar>(&self, charge: S, first_k: S, last_k: S) -> ChargePoint<S> {
        self.charge.limiter.current(self.charge.state, &self.condition(charge, first_k, last_k))
    }
}

impl Piece<4, 1> for ChargerPiece<'_> {
    #[inline]
    fn evaluate<S: Scalar>(&self, [current_a, charge, first_k, last_k]: [S; 4]) -> [S; 1] {
        [(self.point(charge, first_k, last_k).bus_current_a() - current_a) * SET_WEIGHT]
    }
}

impl Network {
    /// Puts the pack on a charger, or takes it off.
    pub fn set_charge(&mut self, charge: Option<ActiveCharge>) {
        if let Some(electric) = &mut self.electric {
            Electric::set_active_charge(electric, charge);
        }
    }

    /// What a charge sees of the pack at a state.
    pub fn pack_condition(&self, state: &[f64]) -> Option<PackCondition<f64>> {
        let electric = self.electric.as_ref()?;
        let (piece, stencil) = electric.charger_piece()?;
        let [_, charge, first_k, last_k] = stencil.gather::<4>(state);
        Some(piece.condition(charge, first_k, last_k))
    }

    /// The state of the charge after whatever happened to it, if anything did.
    pub fn charge_event(&self, state: &[f64]) -> Option<(ChargeEvent, ChargeState)> {
        let electric = self.electric.as_ref()?;
        let (piece, _) = electric.charger_piece()?;
        let condition = self.pack_condition(state)?;
        let active = piece.charge;
        let event = ChargeEvent::ALL.into_iter().find(|&event| {
            active.limiter.event_value(active.state, event, &condition).is_some_and(|value| value >= 0.0)
        })?;
        Some((event, active.state.after(event)))
    }
}
