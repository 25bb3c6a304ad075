//! Whether a state means anything: every number finite, every component inside what its model covers.

use crate::failure::Unknown;
use crate::ledger::Booked;
use crate::network::Network;

impl Network {
    /// The first component at or above the end of its model.
    pub(crate) fn outside_model(&self, state: &[f64]) -> Option<usize> {
        let mut components = self.components.iter().zip(state);
        components.position(|(component, &temperature_k)| temperature_k >= component.ceiling_k)
    }

    /// Where a heat that is booked is no finite number.
    pub(crate) fn endless_booking(&self, state: &[f64]) -> Option<Unknown> {
        let mut found = None;
        self.bookings(state, |booking| {
            if found.is_none() && !booking.heat_w.is_finite() {
                found = Some(match booking.what {
                    Booked::Source(id) => Unknown::Component(self.sources[id.0].0.into),
                    Booked::Electric(_) | Booked::Given(_) => Unknown::Electric,
                    Booked::Element(id) | Booked::Wall(id) | Booked::Casing(id) => Unknown::Element(id),
                    Booked::Ram(id) | Booked::Exhaust(id) => Unknown::Flow(id),
                    Booked::Link(id) => self.name_of(self.links[id.0].2.into_iter().min().unwrap_or(0)),
                });
            }
        });
        found
    }
}
