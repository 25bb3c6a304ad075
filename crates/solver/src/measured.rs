//! What a law was measured with, and how it is carried to the fluid that flows.

use crate::fluid::Fluid;
use crate::passage::Passage;
use numerics::{Curve, CurveError, Scalar, Surface, constant};

/// Share of a fixed or measured conductance that is left to a resting fluid. Common practice, no source.
pub const STAGNANT_SHARE: f64 = 0.05;

/// Properties of the fluid of a measurement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reference {
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity_pa_s: f64,
    /// Specific heat, J/(kg K).
    pub specific_heat_j_kgk: f64,
    /// Thermal conductivity, W/(m K).
    pub conductivity_w_mk: f64,
}

impl Reference {
    /// A fluid at the temperature of the measurement, K.
    pub fn of(fluid: &Fluid, temperature_k: f64) -> Self {
        Self {
            density_kg_m3: fluid.density(temperature_k),
            viscosity_pa_s: fluid.viscosity(temperature_k),
            specific_heat_j_kgk: fluid.specific_heat(temperature_k),
            conductivity_w_mk: fluid.conductivity(temperature_k),
        }
    }

    /// Air of a density, kg/m3, and a temperature, K.
    pub fn air(density_kg_m3: f64, temperature_k: f64) -> Self {
        let pressure_pa = density_kg_m3 * media::air::GAS_CONSTANT * temperature_k;
        Self { density_kg_m3, ..Self::of(&Fluid::Air { pressure_pa }, temperature_k) }
    }

    fn prandtl(&self) -> f64 {
        self.viscosity_pa_s * self.specific_heat_j_kgk / self.conductivity_w_mk
    }
}

/// A film as it was measured, over the volume flow of its own measurement.
#[derive(Clone, Debug, PartialEq)]
pub enum MeasuredFilm {
    /// One measured value and an exponent of the flow.
    Power {
        /// Conductance at the measured flow, W/K.
        conductance_w_k: f64,
        /// Measured flow, m3/s.
        at_m3_s: f64,
        /// Exponent of the flow.
        exponent: f64,
    },
    /// W/K over m3/s.
    Curve(Curve),
}

impl MeasuredFilm {
    /// Conductance at a mass flow, kg/s, and the density, kg/m3, that makes a volume flow of it, W/K.
    #[inline]
    fn conductance<S: Scalar>(&self, mass_flow_kg_s: S, density_kg_m3: S) -> S {
        match self {
            Self::Power { conductance_w_k, at_m3_s, exponent } => {
                let flow = mass_flow_kg_s / (density_kg_m3 * *at_m3_s);
                (flow * flow + 1e-6).powf(0.5 * exponent) * *conductance_w_k
            }
            Self::Curve(curve) => curve.at(mass_flow_kg_s.abs() / density_kg_m3),
        }
    }

    /// Local exponent of the flow; of a curve between 0 and 1.
    #[inline]
    fn exponent<S: Scalar>(&self, mass_flow_kg_s: S, density_kg_m3: S) -> S {
        match self {
            Self::Power { exponent, .. } => constant(*exponent),
            Self::Curve(curve) => {
                let exponent = curve.exponent(mass_flow_kg_s.abs() / density_kg_m3);
                match exponent.value() {
                    n if n > 1.0 => constant(1.0),
                    n if n >= 0.0 => exponent,
                    _ => constant(0.0),
                }
            }
        }
    }

    fn greatest_flow_m3_s(&self) -> f64 {
        match self {
            Self::Power { at_m3_s, .. } => *at_m3_s,
            Self::Curve(curve) => curve.range().1,
        }
    }
}

/// How a measured film is carried from its measurement to the fluid that flows.
#[derive(Clone, Debug, PartialEq)]
pub enum Carried {
    /// Equal volume flow, equal conductance: the same liquid, or another one whose effect is not known.
    Volume,
    /// Air: equal mass flow, with the properties of a Colburn factor that falls with `Re^(n-1)`, n the local exponent of the law:
    /// `hA = hA_meas(V = m/rho_ref) (mu/mu_ref)^(1-n) (cp/cp_ref) (Pr/Pr_ref)^(-2/3)`.
    Mass(Reference),
    /// A liquid through known passages: at equal volume flow by the relation of the passages,
    /// `hA = hA_meas(V) (Nu k)_flown/(Nu k)_measured`.
    Passages(Box<(Passage, Reference)>),
}

/// A measured film and how it is carried.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredFilmLaw {
    /// As measured.
    pub film: MeasuredFilm,
    /// To what flows.
    pub carried: Carried,
}

impl MeasuredFilmLaw {
    /// Conductance, W/K.
    #[inline]
    pub fn conductance<S: Scalar>(&self, fluid: &Fluid, mass_flow_kg_s: S, temperature_k: S) -> S {
        match &self.carried {
            Carried::Volume => self.film.conductance(mass_flow_kg_s, fluid.density(temperature_k)),
            Carried::Mass(air) => {
                let density = constant(air.density_kg_m3);
                let exponent = self.film.exponent(mass_flow_kg_s, density);
                self.film.conductance(mass_flow_kg_s, density)
                    * air_factor(air, fluid, temperature_k, exponent)
            }
            Carried::Passages(known) => {
                let (passage, measured) = &**known;
                self.film.conductance(mass_flow_kg_s, fluid.density(temperature_k))
                    * film_ratio(passage, measured, fluid, mass_flow_kg_s, temperature_k)
            }
        }
    }

    /// Conductance that is left when the fluid rests, W/K: a share of the one at the measured flow, of the fluid that flows. Denser
    /// air than that of the measurement is not counted on.
    pub fn at_rest(&self, fluid: &Fluid, temperature_k: f64) -> f64 {
        let measured = match &self.film {
            MeasuredFilm::Power { conductance_w_k, .. } => *conductance_w_k,
            MeasuredFilm::Curve(curve) => curve.end_values().1,
        };
        let factor = match &self.carried {
            Carried::Volume => 1.0,
            Carried::Mass(air) => {
                let mass_flow_kg_s = self.film.greatest_flow_m3_s() * air.density_kg_m3;
                let exponent = self.film.exponent(mass_flow_kg_s, air.density_kg_m3);
                (fluid.density(temperature_k) / air.density_kg_m3).min(1.0).powf(exponent)
            }
            Carried::Passages(known) => film_ratio(&known.0, &known.1, fluid, 0.0, temperature_k),
        };
        STAGNANT_SHARE * factor * measured
    }

    /// Whether the law is used inside its measurements at this flow.
    pub fn covers(&self, fluid: &Fluid, mass_flow_kg_s: f64, temperature_k: f64) -> bool {
        let MeasuredFilm::Curve(curve) = &self.film else { return true };
        let density_kg_m3 = match &self.carried {
            Carried::Mass(air) => air.density_kg_m3,
            Carried::Volume | Carried::Passages(_) => fluid.density(temperature_k),
        };
        curve.contains(mass_flow_kg_s.abs() / density_kg_m3)
    }

    /// Conductance over the measured one at equal volume flow, where another liquid or temperature is accounted for.
    pub fn rerating(&self, fluid: &Fluid, mass_flow_kg_s: f64, temperature_k: f64) -> Option<f64> {
        match &self.carried {
            Carried::Volume | Carried::Mass(_) => None,
            Carried::Passages(known) => {
                Some(film_ratio(&known.0, &known.1, fluid, mass_flow_kg_s, temperature_k))
            }
        }
    }
}

/// `(mu/mu_ref)^(1-n) (cp/cp_ref) (Pr/Pr_ref)^(-2/3)`.
#[inline]
fn air_factor<S: Scalar>(air: &Reference, fluid: &Fluid, temperature_k: S, exponent: S) -> S {
    let viscosity = fluid.viscosity(temperature_k);
    let specific_heat = fluid.specific_heat(temperature_k);
    let prandtl = viscosity * specific_heat / fluid.conductivity(temperature_k);
    let thicker = (viscosity / air.viscosity_pa_s).ln() * (-exponent + 1.0);
    thicker.exp() * (specific_heat / air.specific_heat_j_kgk) * (prandtl / air.prandtl()).powf(-2.0 / 3.0)
}

/// Film of passages with the fluid that flows over the one of the measurement, at equal volume flow.
#[inline]
fn film_ratio<S: Scalar>(
    passage: &Passage,
    measured: &Reference,
    fluid: &Fluid,
    mass_flow_kg_s: S,
    temperature_k: S,
) -> S {
    let same_volume = mass_flow_kg_s * measured.density_kg_m3 / fluid.density(temperature_k);
    passage.film_conductance(fluid, mass_flow_kg_s, temperature_k)
        / passage.film_conductance_of(
            same_volume,
            constant(measured.viscosity_pa_s),
            constant(measured.specific_heat_j_kgk),
            constant(measured.conductivity_w_mk),
        )
}

/// A conductance measured over the volume flow of a liquid (first side) and an air (second side).
///
/// The air follows its mass flow, `V_air = m/rho_ref`; the map carries no term for its temperature. Where the passages of the liquid are
/// known, their film is taken out as it was measured and put in as it flows, at equal volume flow:
/// `1/UA = 1/UA_meas - 1/hA_meas,passages + 1/hA_flown,passages`.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredMap {
    conductance: Surface,
    air_density_kg_m3: f64,
    passages: Option<MapPassages>,
}

/// The passages of a map whose liquid is re-rated.
#[derive(Clone, Debug, PartialEq)]
struct MapPassages {
    passage: Passage,
    measured: Reference,
    /// Share of the passages in the whole measured resistance: between points it stays between its neighbours, so that what is left
    /// of the resistance is above zero everywhere.
    share: Surface,
}

/// Passages, the liquid that was measured in them, and a factor on their relation.
type Measured<'a> = (&'a Passage, &'a Reference, f64);

/// Why a map cannot be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MapError {
    /// The points are no map.
    #[error(transparent)]
    Points(#[from] CurveError),
    /// The film of the passages alone is smaller than the measured whole.
    #[error(
        "{conductance_w_k:.1} W/K were measured for the whole core at {:.2} L/min, but its passages alone pass {film_w_k:.1} W/K",
        6e4 * flow_m3_s
    )]
    Passages {
        /// Position of the value in the table, from 0.
        index: usize,
        /// Liquid flow, m3/s.
        flow_m3_s: f64,
        /// Measured conductance, W/K.
        conductance_w_k: f64,
        /// Film of the passages, W/K.
        film_w_k: f64,
    },
}

impl MeasuredMap {
    /// A map of `values[row * air.len() + column]`, W/K, over liquid flows and air flows, m3/s; `fouling_k_w` comes on top of what was
    /// measured.
    ///
    /// # Errors
    /// [`MapError`] for points that are no map, and for passages whose film is not above the measured conductance.
    pub fn new(
        (liquid_m3_s, air_m3_s, values_w_k): (&[f64], &[f64], &[f64]),
        air_density_kg_m3: f64,
        fouling_k_w: f64,
        passages: Option<Measured<'_>>,
    ) -> Result<Self, MapError> {
        let fouled: Vec<f64> = values_w_k.iter().map(|g| g / (1.0 + g * fouling_k_w)).collect();
        let conductance = Surface::new(liquid_m3_s, air_m3_s, &fouled)?;
        let mut known = None;
        if let Some((passage, measured, factor)) = passages {
            let mut shares = Vec::with_capacity(fouled.len());
            for (index, (&clean, &fouled)) in values_w_k.iter().zip(&fouled).enumerate() {
                let flow_m3_s = liquid_m3_s[index / air_m3_s.len()];
                let film_w_k = factor
                    * passage.film_conductance_of(
                        flow_m3_s * measured.density_kg_m3,
                        measured.viscosity_pa_s,
                        measured.specific_heat_j_kgk,
                        measured.conductivity_w_mk,
                    );
                if !(clean < film_w_k) {
                    return Err(MapError::Passages { index, flow_m3_s, conductance_w_k: clean, film_w_k });
                }
                shares.push(fouled / film_w_k);
            }
            let share = Surface::new(liquid_m3_s, air_m3_s, &shares)?;
            known = Some(MapPassages { passage: *passage, measured: *measured, share });
        }
        Ok(Self { conductance, air_density_kg_m3, passages: known })
    }

    /// UA, W/K, at the mass flows of liquid and air, kg/s, and the temperature of the liquid, K.
    #[inline]
    pub(crate) fn conductance<S: Scalar>(
        &self,
        liquid: &Fluid,
        liquid_kg_s: S,
        liquid_k: S,
        air_kg_s: S,
    ) -> S {
        let liquid_m3_s = liquid_kg_s.abs() / liquid.density(liquid_k);
        let air_m3_s = air_kg_s.abs() / self.air_density_kg_m3;
        let measured = self.conductance.at(liquid_m3_s, air_m3_s);
        match &self.passages {
            None => measured,
            Some(known) => {
                let ratio = film_ratio(&known.passage, &known.measured, liquid, liquid_kg_s, liquid_k);
                let share = known.share.at(liquid_m3_s, air_m3_s);
                measured / (share * (ratio.recip() - 1.0) + 1.0)
            }
        }
    }

    /// Whether the map is used inside its measurements.
    pub(crate) fn covers(&self, liquid: &Fluid, liquid_kg_s: f64, liquid_k: f64, air_kg_s: f64) -> bool {
        let liquid_m3_s = liquid_kg_s.abs() / liquid.density(liquid_k);
        self.conductance.contains(liquid_m3_s, air_kg_s.abs() / self.air_density_kg_m3)
    }

    /// UA over the measured one at equal volume flow of the liquid, where another liquid or temperature is accounted for.
    pub(crate) fn rerating(
        &self,
        liquid: &Fluid,
        liquid_kg_s: f64,
        liquid_k: f64,
        air_kg_s: f64,
    ) -> Option<f64> {
        self.passages.as_ref()?;
        let liquid_m3_s = liquid_kg_s.abs() / liquid.density(liquid_k);
        let measured = self.conductance.at(liquid_m3_s, air_kg_s.abs() / self.air_density_kg_m3);
        Some(self.conductance(liquid, liquid_kg_s, liquid_k, air_kg_s) / measured)
    }
}

/// A pressure loss that was measured in known passages and is carried to another liquid by their friction at equal volume flow:
/// `dp = dp_meas(V) dp_flown,passages(V)/dp_measured,passages(V)`.
///
/// Held as the velocity `dp_meas/(drag of the passages)` over the flow, drag being the loss over the velocity: times the drag of the
/// liquid that flows it is the loss, rises with the flow whatever the regimes of the two liquids, and is defined at rest.
#[derive(Clone, Debug, PartialEq)]
pub struct ReratedLoss {
    passage: Passage,
    measured: Reference,
    velocity: Curve,
}

/// Least exponent of the flow with which the velocity of a [`ReratedLoss`] rises from point to point: points that contradict their
/// passages are raised to it, towards more loss.
const MIN_RISE: f64 = 0.25;

impl ReratedLoss {
    /// A loss from points of volume flow, m3/s, and loss, Pa, with rising flow; a point at zero flow says nothing. One point calibrates
    /// the passages, whose friction then also gives how the loss rises with the flow.
    ///
    /// # Errors
    /// [`CurveError`] if no point has a flow, or one is not finite.
    pub fn new(passage: Passage, measured: Reference, points: &[(f64, f64)]) -> Result<Self, CurveError> {
        let mut velocity: Vec<(f64, f64)> = Vec::new();
        for &(flow_m3_s, loss_pa) in points.iter().filter(|(flow, _)| *flow > 0.0) {
            let drag = passage.drag(
                flow_m3_s * measured.density_kg_m3,
                measured.density_kg_m3,
                measured.viscosity_pa_s,
            );
            let min_m_s = velocity.last().map_or(f64::MIN_POSITIVE, |(before_m3_s, before_m_s)| {
                before_m_s * (flow_m3_s / before_m3_s).max(1.0).powf(MIN_RISE)
            });
            velocity.push((flow_m3_s, (loss_pa / drag).max(min_m_s)));
        }
        if let [(flow_m3_s, velocity_m_s)] = velocity[..] {
            velocity.push((2.0 * flow_m3_s, 2.0 * velocity_m_s));
        }
        Ok(Self { passage, measured, velocity: Curve::new(&velocity)? })
    }

    /// Pressure loss in the direction of flow, Pa.
    #[inline]
    pub(crate) fn pressure_loss<S: Scalar>(&self, fluid: &Fluid, mass_flow_kg_s: S, temperature_k: S) -> S {
        let density = fluid.density(temperature_k);
        let drag = self.passage.drag(mass_flow_kg_s, density, fluid.viscosity(temperature_k));
        let flow = mass_flow_kg_s / density;
        let sign = if flow.value() < 0.0 { -1.0 } else { 1.0 };
        self.velocity_at(flow * sign) * drag * sign
    }

    #[inline]
    fn velocity_at<S: Scalar>(&self, flow_m3_s: S) -> S {
        let ((first, last), (at_first, at_last)) = (self.velocity.range(), self.velocity.end_values());
        match flow_m3_s.value() {
            flow if flow > last => flow_m3_s * (at_last / last),
            flow if flow < first => flow_m3_s * (at_first / first),
            _ => self.velocity.at(flow_m3_s),
        }
    }

    /// Loss over the one with the liquid of the measurement at equal volume flow.
    pub fn rerating(&self, fluid: &Fluid, mass_flow_kg_s: f64, temperature_k: f64) -> f64 {
        let density = fluid.density(temperature_k);
        let measured: f64 = self.passage.drag(
            mass_flow_kg_s * self.measured.density_kg_m3 / density,
            self.measured.density_kg_m3,
            self.measured.viscosity_pa_s,
        );
        self.passage.drag(mass_flow_kg_s, density, fluid.viscosity(temperature_k)) / measured
    }
}
