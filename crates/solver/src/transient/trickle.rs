//! Errors of fluid that has no capacity and hardly moves.
//!
//! The temperature of a junction or of air in a duct follows at once from what flows in. Where that is a trickle (a flap that
//! stands shut, a fan held at its shut-off pressure), a flow of either sign may turn it over by a hundred kelvins within a
//! microsecond, and nothing depends on it: a trickle of 0.1 g/s of air carries 0.1 W for each kelvin. The error of such a place counts
//! by what its flow carries; from [`FULL_W_K`] on it counts in full.

use crate::fluid::Fluid;
use crate::network::Network;

/// Capacity rate from which the temperature of a place without capacity is held to the accuracy of the run, W/K.
const FULL_W_K: f64 = 0.1;
/// Temperature at which the specific heat is taken: a weight needs no more, K.
const USUAL_K: f64 = 320.0;

/// Streams that end in places without capacity.
#[derive(Clone, Debug, Default)]
pub(super) struct Trickles {
    /// Unknown of the place, unknown of the flow, specific heat, J/(kg K).
    streams: Vec<(usize, usize, f64)>,
    rates: Vec<f64>,
    is_place: Vec<bool>,
}

impl Trickles {
    /// Looks up the places of a network.
    pub(super) fn adopt(&mut self, network: &Network) {
        let n = network.temperatures;
        self.is_place.clear();
        self.is_place.resize(n, true);
        self.is_place[..network.components.len()].fill(false);
        for &(unknown, circuit, _) in &network.cell_volumes {
            self.is_place[unknown] = matches!(network.circuits[circuit].fluid, Fluid::Air { .. });
        }
        self.rates.resize(n, 0.0);
        self.streams.clear();
        for stream in &network.streams {
            let heat = network.circuits[stream.circuit].fluid.specific_heat(USUAL_K);
            let [from, to, flow] = stream.stencil.ends();
            for place in [from, to] {
                if place < n && self.is_place[place] {
                    self.streams.push((place, flow, heat));
                }
            }
        }
    }

    /// Largest error of a temperature, K, with that of resting places by what they carry.
    pub(super) fn worst_without(&mut self, errors: &[f64], start: &[f64], end: &[f64]) -> f64 {
        for (rate, is_place) in self.rates.iter_mut().zip(&self.is_place) {
            *rate = if *is_place { 0.0 } else { FULL_W_K };
        }
        for &(place, flow, heat) in &self.streams {
            let rate = start[flow].abs().max(end[flow].abs()) * heat;
            self.rates[place] = self.rates[place].max(rate);
        }
        let counted = errors.iter().zip(&self.rates).map(|(e, rate)| e.abs() * (rate / FULL_W_K).min(1.0));
        counted.fold(0.0, f64::max)
    }
}
