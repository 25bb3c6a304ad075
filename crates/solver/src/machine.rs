//! Pumps and fans: pressure rise and power over flow, speed and what they hold.

use crate::displacement::Displacement;
use crate::fluid::Fluid;
use numerics::{Curve, Scalar, constant};

/// A pump or fan: a falling curve of pressure rise at one speed, carried to others by similarity.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    law: RiseLaw,
    power: MachinePower,
}

/// What a machine does to the pressure.
#[derive(Clone, Debug, PartialEq)]
enum RiseLaw {
    /// A falling curve, carried to other speeds and densities by similarity.
    Curve(RiseCurve),
    /// A fixed volume each turn, with slip and a relief valve.
    Displacement(Displacement),
}

/// A falling curve of pressure rise over flow.
#[derive(Clone, Debug, PartialEq)]
struct RiseCurve {
    curve: Curve,
    reference_density_kg_m3: f64,
    end_quadratic: f64,
    /// Largest hydraulic power along the curve, W.
    greatest_hydraulic_w: f64,
}

/// The fluid that a machine holds.
#[derive(Clone, Copy, Debug)]
pub struct Held<S> {
    /// Density, kg/m3.
    pub density_kg_m3: S,
    /// Dynamic viscosity, Pa s; only a displacement pump looks at it.
    pub viscosity_pa_s: S,
}

/// Share of its largest power that a machine given by an efficiency takes at least, at the same speed and density: one that works
/// against a shut path churns its fluid, where an efficiency alone would let it take nothing. Assumed; makers' curves of centrifugal
/// machines begin at 0.3 to 0.6 of it (common practice, no source).
pub const MIN_POWER_SHARE: f64 = 0.3;
/// Half width of the rounded corner between the two, as a share of the least power.
const POWER_CORNER: f64 = 0.1;
/// Points at which the largest power along a curve is looked for: within 1e-4 of it.
const POWER_POINTS: u32 = 256;

/// How the electrical power of a pump or fan is known.
#[derive(Clone, Debug, PartialEq)]
pub enum MachinePower {
    /// Hydraulic over electrical power; the power is never below [`MIN_POWER_SHARE`] of the largest along the curve.
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
        let law = RiseLaw::Curve(RiseCurve::new(curve, reference_density_kg_m3)?);
        Ok(Self { law, power })
    }

    /// The same with a stated loss while it stands, Pa over the square of the flow, at the density of the curve.
    #[must_use]
    pub fn with_stopped_loss(mut self, pa_s2_m6: f64) -> Self {
        if let RiseLaw::Curve(curve) = &mut self.law {
            curve.end_quadratic = pa_s2_m6;
        }
        self
    }

    /// A displacement pump; its shaft takes `rise x displaced flow / efficiency`.
    pub fn displacing(displacement: Displacement, efficiency: f64) -> Self {
        Self { law: RiseLaw::Displacement(displacement), power: MachinePower::Efficiency(efficiency) }
    }

    /// What the machine needs to know of its fluid at a temperature, K.
    #[inline]
    pub fn held<S: Scalar>(&self, fluid: &Fluid, temperature_k: S) -> Held<S> {
        let viscosity_pa_s = match &self.law {
            RiseLaw::Curve(_) => constant(0.0),
            RiseLaw::Displacement(_) => fluid.viscosity(temperature_k),
        };
        Held { density_kg_m3: fluid.density(temperature_k), viscosity_pa_s }
    }

    /// Largest flow at full speed, m3/s: the end of the curve, or what is displaced.
    pub fn greatest_flow_m3_s(&self) -> f64 {
        match &self.law {
            RiseLaw::Curve(curve) => curve.curve.range().1,
            RiseLaw::Displacement(displacement) => displacement.displaced_m3_s,
        }
    }

    /// Pressure rise at rest and full speed with the fluid of its data, Pa.
    pub fn greatest_rise_pa(&self) -> f64 {
        match &self.law {
            RiseLaw::Curve(curve) => curve.curve.end_values().0,
            RiseLaw::Displacement(displacement) => displacement.greatest_rise_pa(),
        }
    }

    /// Whether the flow lies on the measured curve at this speed ratio; a displacement pump has no curve to leave.
    pub fn covers(&self, flow_m3_s: f64, speed: f64) -> bool {
        match &self.law {
            RiseLaw::Curve(curve) => speed > 0.0 && curve.curve.contains(flow_m3_s / speed),
            RiseLaw::Displacement(_) => true,
        }
    }

    /// Pressure rise, Pa, at a volume flow, with the fluid held, at a speed over that of the data.
    #[inline]
    pub fn rise<S: Scalar>(&self, flow_m3_s: S, held: &Held<S>, speed: S) -> S {
        match &self.law {
            RiseLaw::Curve(curve) => curve.rise(flow_m3_s, held.density_kg_m3, speed),
            RiseLaw::Displacement(displacement) => displacement.rise(flow_m3_s, held.viscosity_pa_s, speed),
        }
    }

    /// Electrical power, W: never negative, even where the flow drives the machine. By an efficiency it is at least
    /// `0.3 P_max n^3 rho/rho_ref` along a curve, with the corner rounded upwards; a displacement pump works on all it displaces.
    #[inline]
    pub fn power<S: Scalar>(&self, flow_m3_s: S, held: &Held<S>, speed: S) -> S {
        if speed.value() <= 0.0 {
            return constant(0.0);
        }
        match (&self.power, &self.law) {
            (MachinePower::Efficiency(efficiency), RiseLaw::Curve(curve)) => {
                curve.power(flow_m3_s, held.density_kg_m3, speed, *efficiency)
            }
            (MachinePower::Efficiency(efficiency), RiseLaw::Displacement(displacement)) => {
                let power = displacement.work_w(flow_m3_s, held.viscosity_pa_s, speed) / *efficiency;
                if power.value() > 0.0 { power } else { constant(0.0) }
            }
            (MachinePower::Curve(power), RiseLaw::Curve(curve)) => {
                speed * speed * speed * power.at(flow_m3_s / speed) * held.density_kg_m3
                    / curve.reference_density_kg_m3
            }
            (MachinePower::Curve(power), RiseLaw::Displacement(_)) => speed * power.at(flow_m3_s / speed),
            (MachinePower::Fixed(power_w), _) => speed * speed * speed * *power_w,
        }
    }
}

impl RiseCurve {
    fn new(curve: Curve, reference_density_kg_m3: f64) -> Result<Self, RisingCurve> {
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
        Ok(Self { curve, reference_density_kg_m3, end_quadratic, greatest_hydraulic_w })
    }

    /// Similarity: rise ~ rho n^2, flow ~ n. Beyond the last point the rise falls with the square of the flow, so that a stopped machine is
    /// left with a square-law resistance; back-flow adds to the rise.
    #[inline]
    fn rise<S: Scalar>(&self, flow_m3_s: S, density_kg_m3: S, speed: S) -> S {
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

    #[inline]
    fn power<S: Scalar>(&self, flow_m3_s: S, density_kg_m3: S, speed: S, efficiency: f64) -> S {
        let hydraulic = flow_m3_s * self.rise(flow_m3_s, density_kg_m3, speed) / efficiency;
        let churning_w = MIN_POWER_SHARE * self.greatest_hydraulic_w / efficiency;
        let least = speed * speed * speed * density_kg_m3 * (churning_w / self.reference_density_kg_m3);
        rounded_max(hydraulic, least)
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

/// Size of a flow that keeps a slope at rest: `sqrt(x^2 + (1e-4 last)^2)`.
#[inline]
pub(crate) fn near_rest<S: Scalar>(flow: S, last: f64) -> S {
    let least = LINEAR_SHARE * last;
    (flow * flow + least * least).sqrt()
}

/// Share of the largest flow of a measured curve below which its loss turns linear.
const LINEAR_SHARE: f64 = 1e-4;

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

    fn held(density_kg_m3: f64) -> Held<f64> {
        Held { density_kg_m3, viscosity_pa_s: 1e-3 }
    }

    #[test]
    fn a_machine_at_a_shut_path_takes_three_tenths_of_its_largest_power() {
        let pump = pump();
        let near = |computed: f64, expected: f64| {
            assert!((computed - expected).abs() < 2e-4 * expected, "{computed}, expected {expected}");
        };
        // 0.3 x 62.5 W; at half the speed an eighth; with a fluid of 1100 kg/m3 a tenth more; windmilling the same
        near(pump.power(0.0, &held(1000.0), 1.0), 18.75);
        near(pump.power(0.0, &held(1000.0), 0.5), 18.75 / 8.0);
        near(pump.power(0.0, &held(1100.0), 1.0), 20.625);
        near(pump.power(2e-3, &held(1000.0), 1.0), 18.75);
        assert_eq!(pump.power(0.0, &held(1000.0), 0.0), 0.0);
        // at its working point nothing is added: 0.6 L/s x 40 kPa / 0.4 = 60 W
        near(pump.power(0.6e-3, &held(1000.0), 1.0), 60.0);
    }

    #[test]
    fn the_corner_is_rounded_upwards_with_a_continuous_slope() {
        let pump = pump();
        let dual = Held { density_kg_m3: Dual64::from_re(1000.0), viscosity_pa_s: Dual64::from_re(1e-3) };
        let mut slope_before: Option<f64> = None;
        for k in 1..400 {
            let flow = 2.5e-6 * f64::from(k);
            let power = pump.power(Dual64::from_re(flow).derivative(), &dual, Dual64::from_re(1.0));
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
