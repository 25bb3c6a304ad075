//! How well a wetted surface passes heat to the flow, and how two flows exchange it.

use crate::compact::CompactSide;
use crate::fluid::Fluid;
use crate::measured::{MeasuredFilmLaw, MeasuredMap};
use crate::passage::Passage;
use numerics::{Scalar, constant};

/// Conductance between a wall and the flow along it, W/K, as a function of that flow.
#[derive(Clone, Debug, PartialEq)]
pub enum FilmLaw {
    /// Known and constant.
    Fixed {
        /// W/K.
        conductance_w_k: f64,
    },
    /// Measured over the flow.
    Measured(MeasuredFilmLaw),
    /// Channels with a handbook relation.
    Passage(Passage),
    /// The finned side of a compact core.
    Compact(CompactSide),
    /// A film in series with a wall or a fouling layer.
    Layered {
        /// The film itself.
        film: Box<Self>,
        /// Resistance in series, K/W.
        resistance_k_w: f64,
    },
    /// A film of which only a share is left: part of the face is blocked.
    Scaled {
        /// Multiplies the conductance.
        factor: f64,
        /// The whole film.
        film: Box<Self>,
    },
}

/// Share of a fixed or measured conductance that is left to a resting fluid. Common practice, no source.
pub const STAGNANT_SHARE: f64 = 0.05;

impl FilmLaw {
    /// Conductance, W/K.
    #[inline]
    pub fn conductance<S: Scalar>(&self, fluid: &Fluid, mass_flow_kg_s: S, temperature_k: S) -> S {
        match self {
            Self::Fixed { conductance_w_k } => constant(*conductance_w_k),
            Self::Measured(law) => law.conductance(fluid, mass_flow_kg_s, temperature_k),
            Self::Passage(passage) => passage.film_conductance(fluid, mass_flow_kg_s, temperature_k),
            Self::Compact(side) => side.film_conductance(fluid, mass_flow_kg_s, temperature_k),
            Self::Layered { film, resistance_k_w } => {
                let film = film.conductance(fluid, mass_flow_kg_s, temperature_k);
                film / (film * *resistance_k_w + 1.0)
            }
            Self::Scaled { factor, film } => film.conductance(fluid, mass_flow_kg_s, temperature_k) * *factor,
        }
    }

    /// Conductance that is left when the fluid rests, W/K.
    pub fn at_rest(&self, fluid: &Fluid, temperature_k: f64) -> f64 {
        match self {
            Self::Fixed { conductance_w_k } => STAGNANT_SHARE * conductance_w_k,
            Self::Measured(law) => law.at_rest(fluid, temperature_k),
            Self::Passage(passage) => passage.film_conductance(fluid, 0.0, temperature_k),
            Self::Compact(side) => side.film_conductance(fluid, 0.0, temperature_k),
            Self::Layered { film, resistance_k_w } => {
                let film = film.at_rest(fluid, temperature_k);
                film / (1.0 + film * resistance_k_w)
            }
            Self::Scaled { factor, film } => factor * film.at_rest(fluid, temperature_k),
        }
    }

    /// Whether a measured law is used inside its measurements at this flow.
    pub fn covers(&self, fluid: &Fluid, mass_flow_kg_s: f64, temperature_k: f64) -> bool {
        match self {
            Self::Measured(law) => law.covers(fluid, mass_flow_kg_s, temperature_k),
            Self::Layered { film, .. } | Self::Scaled { film, .. } => {
                film.covers(fluid, mass_flow_kg_s, temperature_k)
            }
            Self::Fixed { .. } | Self::Passage(_) | Self::Compact(_) => true,
        }
    }

    /// Film over the measured one at equal volume flow, where the measurement of another liquid or temperature is re-rated.
    pub fn rerating(&self, fluid: &Fluid, mass_flow_kg_s: f64, temperature_k: f64) -> Option<f64> {
        match self {
            Self::Measured(law) => law.rerating(fluid, mass_flow_kg_s, temperature_k),
            Self::Layered { film, .. } | Self::Scaled { film, .. } => {
                film.rerating(fluid, mass_flow_kg_s, temperature_k)
            }
            Self::Fixed { .. } | Self::Passage(_) | Self::Compact(_) => None,
        }
    }
}

/// Conductance UA between the two flows of an exchanger.
#[derive(Clone, Debug, PartialEq)]
#[expect(
    clippy::large_enum_variant,
    reason = "one for each exchanger, and the large variant is the usual one"
)]
pub enum TransferLaw {
    /// Known and constant, W/K.
    Fixed {
        /// W/K.
        conductance_w_k: f64,
    },
    /// Measured over the flows of a liquid (first side) and an air (second side).
    Map(Box<MeasuredMap>),
    /// Two films and the wall between them.
    Sides {
        /// Film of the first side.
        first: FilmLaw,
        /// Film of the second side.
        second: FilmLaw,
        /// Wall and fouling between them, K/W.
        wall_k_w: f64,
    },
    /// A law of which a share is left: blockage, or the worst end of a published scatter.
    Scaled {
        /// Multiplies the conductance.
        factor: f64,
        /// The whole law.
        law: Box<Self>,
    },
}

/// State of one side of an exchanger.
#[derive(Clone, Copy, Debug)]
pub struct Side<'a, S> {
    /// Medium.
    pub fluid: &'a Fluid,
    /// Mass flow, kg/s, of either sign.
    pub mass_flow_kg_s: S,
    /// Temperature at which properties are taken, K.
    pub temperature_k: S,
}

impl TransferLaw {
    /// UA, W/K.
    #[inline]
    pub fn conductance<S: Scalar>(&self, first: &Side<'_, S>, second: &Side<'_, S>) -> S {
        match self {
            Self::Fixed { conductance_w_k } => constant(*conductance_w_k),
            Self::Map(map) => {
                map.conductance(first.fluid, first.mass_flow_kg_s, first.temperature_k, second.mass_flow_kg_s)
            }
            Self::Sides { first: film_1, second: film_2, wall_k_w } => {
                let g1 = film_1.conductance(first.fluid, first.mass_flow_kg_s, first.temperature_k);
                let g2 = film_2.conductance(second.fluid, second.mass_flow_kg_s, second.temperature_k);
                (g1.recip() + g2.recip() + *wall_k_w).recip()
            }
            Self::Scaled { factor, law } => law.conductance(first, second) * *factor,
        }
    }

    /// Whether a measured map is used inside its measurements.
    pub fn covers(&self, first: &Side<'_, f64>, second: &Side<'_, f64>) -> bool {
        match self {
            Self::Map(map) => {
                map.covers(first.fluid, first.mass_flow_kg_s, first.temperature_k, second.mass_flow_kg_s)
            }
            Self::Sides { first: film_1, second: film_2, .. } => {
                film_1.covers(first.fluid, first.mass_flow_kg_s, first.temperature_k)
                    && film_2.covers(second.fluid, second.mass_flow_kg_s, second.temperature_k)
            }
            Self::Scaled { law, .. } => law.covers(first, second),
            Self::Fixed { .. } => true,
        }
    }

    /// UA over the measured one at equal volume flow of the liquid, where a map of another liquid or temperature is re-rated.
    pub fn rerating(&self, first: &Side<'_, f64>, second: &Side<'_, f64>) -> Option<f64> {
        match self {
            Self::Map(map) => {
                map.rerating(first.fluid, first.mass_flow_kg_s, first.temperature_k, second.mass_flow_kg_s)
            }
            Self::Scaled { law, .. } => law.rerating(first, second),
            Self::Sides { first: film, .. } => {
                let (flow, temperature_k) = (first.mass_flow_kg_s, first.temperature_k);
                let ratio = film.rerating(first.fluid, flow, temperature_k)?;
                let film_w_k = film.conductance(first.fluid, flow, temperature_k);
                let share = self.conductance(first, second) / film_w_k;
                Some(1.0 + share * (ratio - 1.0))
            }
            Self::Fixed { .. } => None,
        }
    }
}
