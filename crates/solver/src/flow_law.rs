//! What an element does to the pressure of the flow through it.

use crate::compact::CompactSide;
use crate::fluid::Fluid;
use crate::machine::{Machine, near_rest};
use crate::measured::ReratedLoss;
use crate::passage::Passage;
use crate::relief::Relief;
use numerics::{Curve, Scalar, constant};

/// Pressure loss of an element as a function of mass flow and temperature.
///
/// Sign: positive is a loss for flow from inlet to outlet. Every law rises strictly with the flow, which is
/// what makes a circuit solvable by bracketing; zero and reversed flow are defined.
#[derive(Clone, Debug, PartialEq)]
pub enum FlowLaw {
    /// Channels with wall friction and minor losses.
    Passage(Passage),
    /// `K rho v^2 / 2` on one area.
    Loss {
        /// Loss coefficient.
        coefficient: f64,
        /// Area that the velocity is taken on, m2.
        area_m2: f64,
    },
    /// One measured point and an exponent, carried to other fluids and temperatures by the similarity
    /// `drop ~ V^n rho^(n-1) mu^(2-n)` that a friction factor `Re^(n-2)` implies.
    Measured {
        /// Pressure loss at the measured flow, Pa.
        drop_pa: f64,
        /// Measured flow, m3/s.
        at_m3_s: f64,
        /// Exponent of the flow: 1 laminar, 1.75 smooth turbulent, 2 fully rough.
        exponent: f64,
        /// Density during the measurement, kg/m3.
        density_kg_m3: f64,
        /// Viscosity during the measurement, Pa s.
        viscosity_pa_s: f64,
    },
    /// A measured curve of loss over volume flow from zero up; scaled with density.
    Curve {
        /// Pa over m3/s, rising.
        curve: Curve,
        /// Density during the measurement, kg/m3.
        density_kg_m3: f64,
    },
    /// Measured in known passages with another liquid, or at another temperature.
    Rerated(Box<ReratedLoss>),
    /// The finned side of a compact core.
    Compact(CompactSide),
    /// Opens in one direction only.
    CheckValve {
        /// Pressure difference that lifts the valve, Pa.
        opening_pa: f64,
        /// Loss coefficient when open.
        coefficient: f64,
        /// Area of the loss coefficient, m2.
        area_m2: f64,
    },
    /// A relief or bypass valve: shut up to its cracking pressure, then open in proportion to what is above it.
    Relief(Relief),
    /// A valve whose opening (0 to 1) is set by a signal.
    Valve {
        /// Loss coefficient fully open.
        coefficient: f64,
        /// Area of the loss coefficient, m2.
        area_m2: f64,
        /// Opening that remains when shut.
        leak: f64,
    },
    /// A pump or a fan; its speed is set by a signal.
    Machine(Machine),
    /// A fixed pressure rise, such as ram pressure at an inlet.
    Rise {
        /// Pa.
        rise_pa: f64,
    },
    /// Several laws in a row at the same flow.
    Series(Vec<Self>),
    /// A law made worse by a factor: fouling or a blocked face.
    Scaled {
        /// Multiplies the loss.
        factor: f64,
        /// The clean law.
        law: Box<Self>,
    },
}

/// Reverse conductance of a shut check valve is the inverse of this, Pa/(kg/s): a tenth of a gram a second at 1 bar.
const SHUT_PA_S_KG: f64 = 1e9;
/// Velocity below which pure minor losses turn linear, m/s, so that a resting element keeps a finite slope.
const LINEAR_BELOW_M_S: f64 = 1e-3;

impl FlowLaw {
    /// Pressure loss, Pa, at a mass flow, the mean temperature in the element and the value of its signal
    /// (speed ratio of a machine, opening of a valve; ignored by other laws).
    #[inline]
    pub fn drop<S: Scalar>(&self, fluid: &Fluid, mass_flow_kg_s: S, temperature_k: S, signal: S) -> S {
        match self {
            Self::Passage(passage) => passage.drop(fluid, mass_flow_kg_s, temperature_k),
            Self::Loss { coefficient, area_m2 } => {
                minor_loss(fluid, mass_flow_kg_s, temperature_k, *area_m2) * *coefficient
            }
            Self::Measured { drop_pa, at_m3_s, exponent, density_kg_m3, viscosity_pa_s } => {
                let density = fluid.density(temperature_k);
                let flow = mass_flow_kg_s / (density * *at_m3_s);
                let shape = flow * (flow * flow + 1e-6).powf(0.5 * (exponent - 1.0));
                let density_ratio = density / *density_kg_m3;
                let viscosity_ratio = fluid.viscosity(temperature_k) / *viscosity_pa_s;
                shape * density_ratio.powf(exponent - 1.0) * viscosity_ratio.powf(2.0 - exponent) * *drop_pa
            }
            Self::Curve { curve, density_kg_m3 } => {
                measured_curve(curve, *density_kg_m3, fluid.density(temperature_k), mass_flow_kg_s)
            }
            Self::Rerated(loss) => loss.pressure_loss(fluid, mass_flow_kg_s, temperature_k),
            Self::Compact(side) => side.drop(fluid, mass_flow_kg_s, temperature_k),
            Self::CheckValve { opening_pa, coefficient, area_m2 } => {
                let loss = minor_loss(fluid, mass_flow_kg_s, temperature_k, *area_m2) * *coefficient;
                if mass_flow_kg_s.value() <= 0.0 {
                    mass_flow_kg_s * SHUT_PA_S_KG
                } else {
                    // the slope at rest equals that of the shut valve; far up the hyperbolic functions would overflow
                    let lift_pa = opening_pa.max(1.0);
                    let stroke = mass_flow_kg_s * (SHUT_PA_S_KG / lift_pa);
                    let lift = if stroke.value() > 20.0 { constant(1.0) } else { stroke.tanh() };
                    lift * lift_pa + loss
                }
            }
            Self::Relief(relief) => relief.drop(mass_flow_kg_s, fluid.density(temperature_k), SHUT_PA_S_KG),
            Self::Valve { coefficient, area_m2, leak } => {
                let opening = (signal * signal + leak * leak).sqrt();
                minor_loss(fluid, mass_flow_kg_s, temperature_k, *area_m2) * *coefficient
                    / (opening * opening)
            }
            Self::Machine(machine) => {
                let held = machine.held(fluid, temperature_k);
                -machine.rise(mass_flow_kg_s / held.density_kg_m3, &held, signal)
            }
            Self::Rise { rise_pa } => constant(-*rise_pa),
            Self::Series(laws) => laws.iter().fold(constant(0.0), |sum: S, law| {
                sum + law.drop(fluid, mass_flow_kg_s, temperature_k, signal)
            }),
            Self::Scaled { factor, law } => {
                Self::drop(law, fluid, mass_flow_kg_s, temperature_k, signal) * *factor
            }
        }
    }

    /// Channels with wall friction, if it is such a law.
    pub fn passage(&self) -> Option<&Passage> {
        match self {
            Self::Passage(passage) => Some(passage),
            Self::Scaled { law, .. } => law.passage(),
            Self::Series(laws) => laws.iter().find_map(Self::passage),
            _ => None,
        }
    }

    /// Loss over the measured one at equal volume flow, where the measurement of another liquid or temperature is re-rated by the
    /// friction of passages.
    pub fn rerating(&self, fluid: &Fluid, mass_flow_kg_s: f64, temperature_k: f64) -> Option<f64> {
        match self {
            Self::Rerated(loss) => Some(loss.rerating(fluid, mass_flow_kg_s, temperature_k)),
            Self::Series(laws) => {
                laws.iter().find_map(|law| law.rerating(fluid, mass_flow_kg_s, temperature_k))
            }
            Self::Scaled { law, .. } => law.rerating(fluid, mass_flow_kg_s, temperature_k),
            _ => None,
        }
    }

    /// The pump or fan in this law, if it is one.
    pub fn machine(&self) -> Option<&Machine> {
        match self {
            Self::Machine(machine) => Some(machine),
            Self::Series(laws) => laws.iter().find_map(Self::machine),
            Self::Scaled { law, .. } => law.machine(),
            _ => None,
        }
    }
}

#[inline]
fn minor_loss<S: Scalar>(fluid: &Fluid, mass_flow_kg_s: S, temperature_k: S, area_m2: f64) -> S {
    let density = fluid.density(temperature_k);
    let velocity = mass_flow_kg_s / (density * area_m2);
    let speed = (velocity * velocity + LINEAR_BELOW_M_S * LINEAR_BELOW_M_S).sqrt();
    density * velocity * speed * 0.5
}

/// A measured curve mirrored for reversed flow and continued as a square law beyond its last point.
///
/// Near rest the flow `x` counts as `x h(s)` with `h(s) = loss(s) / s` and `s = sqrt(x^2 + x0^2)`: a table that begins flat at zero
/// flow, as every square law does, keeps a slope there. Its own slope is `h (1 - x^2/s^2) + loss' x^2/s^2`, never below zero. At a
/// hundredth of the last flow it differs by 5e-5.
#[inline]
fn measured_curve<S: Scalar>(curve: &Curve, reference_density: f64, density: S, mass_flow_kg_s: S) -> S {
    let flow = mass_flow_kg_s / density;
    let (first, last) = curve.range();
    let (at_first, at_last) = curve.end_values();
    let size = near_rest(flow, last);
    let loss = if size.value() > last {
        size * size * (at_last / (last * last))
    } else if size.value() < first {
        size * (at_first / first.max(f64::MIN_POSITIVE))
    } else {
        curve.at(size)
    };
    loss / size * flow * density / reference_density
}
