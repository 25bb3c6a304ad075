//! How well a wetted surface passes heat to the flow, and how two flows exchange it.

use crate::compact::CompactSide;
use crate::fluid::Fluid;
use crate::measured::{MeasuredFilmLaw, MeasuredMap, STAGNANT_SHARE};
use crate::passage::{Passage, TubeState};
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
    /// The same at a place between what is published: 1 is the worst end, -1 the best, 0 the relation itself.
    Published {
        /// The place.
        place: f64,
        /// Channels.
        passage: Passage,
    },
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

impl FilmLaw {
    /// Conductance to a wall of a known temperature, W/K.
    #[inline]
    pub fn conductance_at_wall<S: Scalar>(
        &self,
        fluid: &Fluid,
        mass_flow_kg_s: S,
        (temperature_k, wall_k): (S, S),
    ) -> S {
        match self {
            Self::Published { place, passage } => {
                passage.published_conductance(fluid, mass_flow_kg_s, (temperature_k, wall_k), *place)
            }
            Self::Layered { film, resistance_k_w } => {
                let film = film.conductance_at_wall(fluid, mass_flow_kg_s, (temperature_k, wall_k));
                film / (film * *resistance_k_w + 1.0)
            }
            Self::Scaled { factor, film } => {
                film.conductance_at_wall(fluid, mass_flow_kg_s, (temperature_k, wall_k)) * *factor
            }
            _ => self.conductance(fluid, mass_flow_kg_s, temperature_k),
        }
    }

    /// Channels with a handbook relation, if it has such.
    pub fn passage(&self) -> Option<&Passage> {
        match self {
            Self::Passage(passage) | Self::Published { passage, .. } => Some(passage),
            Self::Layered { film, .. } | Self::Scaled { film, .. } => film.passage(),
            Self::Fixed { .. } | Self::Measured(_) | Self::Compact(_) => None,
        }
    }

    /// Whether it is moved away from the relation towards other published laws, so that the temperature of the wall counts.
    fn is_moved(&self) -> bool {
        match self {
            Self::Published { .. } => true,
            Self::Layered { film, .. } | Self::Scaled { film, .. } => film.is_moved(),
            _ => false,
        }
    }

    /// Regime and published spread of a film with a handbook relation.
    pub fn tube_state(
        &self,
        fluid: &Fluid,
        mass_flow_kg_s: f64,
        temperature_k: f64,
        wall_k: f64,
    ) -> Option<TubeState> {
        Some(self.passage()?.state(fluid, mass_flow_kg_s, temperature_k, wall_k))
    }

    /// Conductance, W/K, to a wall as warm as the fluid.
    #[inline]
    pub fn conductance<S: Scalar>(&self, fluid: &Fluid, mass_flow_kg_s: S, temperature_k: S) -> S {
        match self {
            Self::Fixed { conductance_w_k } => constant(*conductance_w_k),
            Self::Measured(law) => law.conductance(fluid, mass_flow_kg_s, temperature_k),
            Self::Passage(passage) => passage.film_conductance(fluid, mass_flow_kg_s, temperature_k),
            Self::Published { place, passage } => {
                passage.published_conductance(fluid, mass_flow_kg_s, (temperature_k, temperature_k), *place)
            }
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
            Self::Passage(passage) | Self::Published { passage, .. } => {
                passage.film_conductance(fluid, 0.0, temperature_k)
            }
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
            Self::Fixed { .. } | Self::Passage(_) | Self::Published { .. } | Self::Compact(_) => true,
        }
    }

    /// Film over the measured one at equal volume flow, where the measurement of another liquid or temperature is re-rated.
    pub fn rerating(&self, fluid: &Fluid, mass_flow_kg_s: f64, temperature_k: f64) -> Option<f64> {
        match self {
            Self::Measured(law) => law.rerating(fluid, mass_flow_kg_s, temperature_k),
            Self::Layered { film, .. } | Self::Scaled { film, .. } => {
                film.rerating(fluid, mass_flow_kg_s, temperature_k)
            }
            Self::Fixed { .. } | Self::Passage(_) | Self::Published { .. } | Self::Compact(_) => None,
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
                if !film_1.is_moved() && !film_2.is_moved() {
                    return (g1.recip() + g2.recip() + *wall_k_w).recip();
                }
                let [wall_1, wall_2] = walls_k(first, second, [g1, g2], *wall_k_w);
                let moved = |film: &FilmLaw, side: &Side<'_, S>, wall_k| {
                    film.conductance_at_wall(side.fluid, side.mass_flow_kg_s, (side.temperature_k, wall_k))
                };
                let (g1, g2) = (moved(film_1, first, wall_1), moved(film_2, second, wall_2));
                (g1.recip() + g2.recip() + *wall_k_w).recip()
            }
            Self::Scaled { factor, law } => law.conductance(first, second) * *factor,
        }
    }

    /// Regime and published spread of the tubes of the first and the second side, where they have a handbook relation.
    pub fn tube_states(&self, first: &Side<'_, f64>, second: &Side<'_, f64>) -> [Option<TubeState>; 2] {
        match self {
            Self::Sides { first: film_1, second: film_2, wall_k_w } => {
                let of = |film: &FilmLaw, side: &Side<'_, f64>| {
                    film.conductance(side.fluid, side.mass_flow_kg_s, side.temperature_k)
                };
                let films = [of(film_1, first), of(film_2, second)];
                let [wall_1, wall_2] = walls_k(first, second, films, *wall_k_w);
                let state = |film: &FilmLaw, side: &Side<'_, f64>, wall_k| {
                    film.tube_state(side.fluid, side.mass_flow_kg_s, side.temperature_k, wall_k)
                };
                [state(film_1, first, wall_1), state(film_2, second, wall_2)]
            }
            Self::Scaled { law, .. } => law.tube_states(first, second),
            Self::Fixed { .. } | Self::Map(_) => [None; 2],
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

/// Temperatures of the two faces of the wall between mean flows, K: the films and the wall share the difference by their resistances.
fn walls_k<S: Scalar>(first: &Side<'_, S>, second: &Side<'_, S>, [g1, g2]: [S; 2], wall_k_w: f64) -> [S; 2] {
    let conductance = (g1.recip() + g2.recip() + wall_k_w).recip();
    let heat = conductance * (first.temperature_k - second.temperature_k);
    [first.temperature_k - heat / g1, second.temperature_k + heat / g2]
}
