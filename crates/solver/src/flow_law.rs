//! What an element does to the pressure of the flow through it.

use crate::compact::CompactSide;
use crate::fluid::Fluid;
use crate::measured::ReratedLoss;
use crate::passage::Passage;
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
            Self::Valve { coefficient, area_m2, leak } => {
                let opening = (signal * signal + leak * leak).sqrt();
                minor_loss(fluid, mass_flow_kg_s, temperature_k, *area_m2) * *coefficient
                    / (opening * opening)
            }
            Self::Machine(machine) => {
                let density = fluid.density(temperature_k);
                -machine.rise(mass_flow_kg_s / density, density, signal)
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

/// The larger of two powers, the second above zero: rounded within a tenth of the second, and never below either.
#[inline]
fn rounded_max<S: Scalar>(power: S, least: S) -> S {
    let width = least * POWER_CORNER;
    let above = power - least;
    if above.value() >= width.value() {
        power
    } else if above.value() <= -width.value() {
        least
    } else {
        least + (above + width) * (above + width) / (width * 4.0)
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

/// Size of a flow that keeps a slope at rest: `sqrt(x^2 + (1e-4 last)^2)`.
#[inline]
fn near_rest<S: Scalar>(flow: S, last: f64) -> S {
    let least = LINEAR_SHARE * last;
    (flow * flow + least * least).sqrt()
}

/// Share of the largest flow of a measured curve below which its loss turns linear.
const LINEAR_SHARE: f64 = 1e-4;

/// A pump or fan: a falling curve of pressure rise at one speed, carried to others by similarity.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    curve: Curve,
    reference_density_kg_m3: f64,
    power: MachinePower,
    end_quadratic: f64,
    /// Largest hydraulic power along the curve, W.
    greatest_hydraulic_w: f64,
}

/// Share of its largest power that a machine given by an efficiency takes at least, at the same speed and density: one that works
/// against a shut path churns its fluid, where an efficiency alone would let it take nothing. Assumed; makers' curves of centrifugal
/// machines begin at 0.3 to 0.6 of it (common practice, no source).
pub const LEAST_POWER_SHARE: f64 = 0.3;
/// Half width of the rounded corner between the two, as a share of the least power.
const POWER_CORNER: f64 = 0.1;
/// Points at which the largest power along a curve is looked for: within 1e-4 of it.
const POWER_POINTS: u32 = 256;

/// How the electrical power of a pump or fan is known.
#[derive(Clone, Debug, PartialEq)]
pub enum MachinePower {
    /// Hydraulic over electrical power; the power is never below [`LEAST_POWER_SHARE`] of the largest along the curve.
    Efficiency(f64),
    /// Electrical power over volume flow at the speed of the curve, W over m3/s.
    Curve(Curve),
    /// Electrical power at the speed of the curve, W.
    Fixed(f64),
}

/// The curve of a pump or fan does not fall with flow, so its flow would not be determined.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the curve rises somewhere: pressure rise must fall with flow")]
pub struct RisingCurve;

impl Machine {
    /// A machine from its curve of pressure rise (Pa over m3/s) measured at a density.
    ///
    /// # Errors
    /// [`RisingCurve`] unless every point lies below the one before it.
    pub fn new(curve: Curve, reference_density_kg_m3: f64, power: MachinePower) -> Result<Self, RisingCurve> {
        if !curve.is_falling() {
            return Err(RisingCurve);
        }
        let (first, last) = curve.range();
        let (at_first, at_last) = curve.end_values();
        let greatest_hydraulic_w = (0..=POWER_POINTS)
            .map(|k| first + (last - first) * f64::from(k) / f64::from(POWER_POINTS))
            .map(|flow_m3_s| flow_m3_s * curve.at(flow_m3_s))
            .fold(0.0, f64::max);
        let from_slope = -curve.end_slopes().1 / (2.0 * last);
        let end_quadratic = from_slope.max(1e-3 * (at_first - at_last) / (last * last));
        Ok(Self { curve, reference_density_kg_m3, power, end_quadratic, greatest_hydraulic_w })
    }

    /// Largest flow of the curve, m3/s.
    pub fn greatest_flow_m3_s(&self) -> f64 {
        self.curve.range().1
    }

    /// Pressure rise at rest and full speed, Pa.
    pub fn greatest_rise_pa(&self) -> f64 {
        self.curve.end_values().0
    }

    /// Whether the flow lies on the measured curve at this speed ratio.
    pub fn covers(&self, flow_m3_s: f64, speed: f64) -> bool {
        speed > 0.0 && self.curve.contains(flow_m3_s / speed)
    }

    /// Pressure rise, Pa. Similarity: rise ~ rho n^2, flow ~ n. Beyond the last point the rise falls with the square
    /// of the flow, so that a stopped machine is left with a square-law resistance; back-flow adds to the rise.
    #[inline]
    pub fn rise<S: Scalar>(&self, flow_m3_s: S, density_kg_m3: S, speed: S) -> S {
        let (first, last) = self.curve.range();
        let (at_first, at_last) = self.curve.end_values();
        let s = speed.value();
        let flow = flow_m3_s.value();
        let rise = if s > 0.0 && flow >= s * first && flow <= s * last {
            speed * speed * self.curve.at(flow_m3_s / speed)
        } else if flow > 0.0 && flow > s * last {
            speed * speed * (at_last + self.end_quadratic * last * last)
                - flow_m3_s * near_rest(flow_m3_s, last) * self.end_quadratic
        } else {
            let back = flow_m3_s - speed * first;
            speed * speed * at_first
                + speed * back * self.curve.end_slopes().0
                + back * near_rest(back, last) * -self.end_quadratic
        };
        rise * density_kg_m3 / self.reference_density_kg_m3
    }

    /// Electrical power, W: never negative, even where the flow drives the machine. By an efficiency it is at least
    /// `0.3 P_max n^3 rho/rho_ref`, with the corner rounded upwards.
    #[inline]
    pub fn power<S: Scalar>(&self, flow_m3_s: S, density_kg_m3: S, speed: S) -> S {
        if speed.value() <= 0.0 {
            return constant(0.0);
        }
        match &self.power {
            MachinePower::Efficiency(efficiency) => {
                let hydraulic = flow_m3_s * self.rise(flow_m3_s, density_kg_m3, speed) / *efficiency;
                let churning_w = LEAST_POWER_SHARE * self.greatest_hydraulic_w / efficiency;
                let least =
                    speed * speed * speed * density_kg_m3 * (churning_w / self.reference_density_kg_m3);
                rounded_max(hydraulic, least)
            }
            MachinePower::Curve(curve) => {
                speed * speed * speed * curve.at(flow_m3_s / speed) * density_kg_m3
                    / self.reference_density_kg_m3
            }
            MachinePower::Fixed(power_w) => speed * speed * speed * *power_w,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use num_dual::Dual64;

    /// 100 kPa falling evenly to nothing at 1 L/s: V dp = V (100 kPa - 100 kPa/(L/s) V) is greatest at 0.5 L/s, 0.5e-3 x 50e3 = 25 W;
    /// at an efficiency of 0.4 that is 62.5 W.
    fn pump() -> Machine {
        let curve = Curve::new(&[(0.0, 100e3), (1e-3, 0.0)]).expect("two points");
        Machine::new(curve, 1000.0, MachinePower::Efficiency(0.4)).expect("it falls")
    }

    #[test]
    fn a_machine_at_a_shut_path_takes_three_tenths_of_its_largest_power() {
        let pump = pump();
        let near = |computed: f64, expected: f64| {
            assert!((computed - expected).abs() < 2e-4 * expected, "{computed}, expected {expected}");
        };
        // 0.3 x 62.5 W; at half the speed an eighth; with a fluid of 1100 kg/m3 a tenth more; windmilling the same
        near(pump.power(0.0, 1000.0, 1.0), 18.75);
        near(pump.power(0.0, 1000.0, 0.5), 18.75 / 8.0);
        near(pump.power(0.0, 1100.0, 1.0), 20.625);
        near(pump.power(2e-3, 1000.0, 1.0), 18.75);
        assert_eq!(pump.power(0.0, 1000.0, 0.0), 0.0);
        // at its working point nothing is added: 0.6 L/s x 40 kPa / 0.4 = 60 W
        near(pump.power(0.6e-3, 1000.0, 1.0), 60.0);
    }

    #[test]
    fn the_corner_is_rounded_upwards_with_a_continuous_slope() {
        let pump = pump();
        let mut slope_before: Option<f64> = None;
        for k in 1..400 {
            let flow = 2.5e-6 * f64::from(k);
            let power =
                pump.power(Dual64::from_re(flow).derivative(), Dual64::from_re(1000.0), Dual64::from_re(1.0));
            let by_efficiency = flow * 100e3 * (1.0 - flow / 1e-3) / 0.4;
            assert!(
                power.re >= by_efficiency.max(18.75) - 1e-9 && power.re <= by_efficiency.max(18.75) + 0.48,
                "{flow}"
            );
            // the slope goes from 0 to at most 250 kW/(m3/s) over 15 uL/s: less than a sixth of it from step to step
            if let Some(before) = slope_before {
                assert!((power.eps - before).abs() < 0.25 * 250e3, "{flow}: {before} {}", power.eps);
            }
            slope_before = Some(power.eps);
        }
    }
}
