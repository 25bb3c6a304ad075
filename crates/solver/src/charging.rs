//! Charging as the network sees it: putting the pack on a charger, what the charge sees of it, and what happens to the charge.

use crate::electric::{ActiveCharge, Electric};
use crate::network::Network;
use powertrain::charge::{ChargeEvent, ChargePoint, ChargeState, PackCondition};

impl Network {
    /// Puts the pack on a charger, or takes it off.
    pub fn set_charge(&mut self, charge: Option<ActiveCharge>) {
        if let Some(electric) = &mut self.electric {
            Electric::set_active_charge(electric, charge);
        }
    }

    /// What a charge sees of the pack at a state before it begins.
    pub fn pack_condition(&self, state: &[f64]) -> Option<PackCondition<f64>> {
        let electric = self.electric.as_ref()?;
        let (piece, stencil) = electric.charger_piece()?;
        let [_, charge, first_k, last_k] = stencil.gather::<4>(state);
        Some(piece.condition(false, charge, first_k, last_k))
    }

    /// What a charge that runs sees of the pack at a state.
    pub fn fed_pack_condition(&self, state: &[f64]) -> Option<PackCondition<f64>> {
        let (piece, stencil) = self.electric.as_ref()?.charger_piece()?;
        let [_, charge, first_k, last_k] = stencil.gather::<4>(state);
        Some(piece.condition(true, charge, first_k, last_k))
    }

    /// The current of the charge at a state, and what bounds it.
    pub fn charge_point(&self, state: &[f64]) -> Option<ChargePoint<f64>> {
        let (piece, stencil) = self.electric.as_ref()?.charger_piece()?;
        let [_, charge, first_k, last_k] = stencil.gather::<4>(state);
        Some(piece.point(charge, first_k, last_k))
    }

    /// The state of the charge after whatever happened to it, if anything did; `value` gives the unknowns.
    pub(crate) fn charge_event(&self, value: impl Fn(usize) -> f64) -> Option<ChargeState> {
        let electric = self.electric.as_ref()?;
        let (piece, stencil) = electric.charger_piece()?;
        let [_, charge, first_k, last_k] = stencil.gather_of::<4>(value);
        let active = piece.charge;
        // one that waits begins again only where it would not be stopped at once
        let condition = piece.condition(true, charge, first_k, last_k);
        let event = ChargeEvent::ALL.into_iter().find(|&event| {
            let may_happen = !(active.is_resting && event == ChargeEvent::Rearmed);
            let value = active.limiter.event_value(active.state, event, &condition);
            may_happen && value.is_some_and(|value| value >= 0.0)
        })?;
        Some(active.state.after(event))
    }
}
