//! The inlet of a pump: what pressure it has above boiling, and what the pump needs there.

use aircraft::records::device::{InletNeed, Machine};
use media::Liquid;
use numerics::Curve;
use schema::Problem;
use solver::Fluid;
use std::f64::consts::FRAC_PI_4;

/// Standard acceleration of gravity, m/s2.
pub(crate) const GRAVITY_M_S2: f64 = 9.80665;
/// Temperature at which a pump curve was measured with the liquid of its loop where no density is stated, K.
const REFERENCE_K: f64 = 333.15;

/// Pressure held back at the inlet of a pump for the air dissolved in a liquid whose vapour pressure is not known, Pa. Common practice,
/// no source.
pub const DISSOLVED_AIR_PA: f64 = 5e3;

/// Share of the need that must be left over.
pub const REQUIRED_SHARE: f64 = 0.2;

/// The inlet of a pump, ready to be evaluated.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpInlet {
    area_m2: Option<f64>,
    need: Option<Need>,
}

/// What a pump needs over its flow, at the speed of its curve.
#[derive(Clone, Debug, PartialEq)]
struct Need {
    curve: Curve,
    /// Density that a pressure was measured at, kg/m3; none for a head.
    density_kg_m3: Option<f64>,
    /// Flow that a displacement pump displaces at the speed of its curve, m3/s.
    displaced_m3_s: f64,
}

/// The flow through a pump at one state.
#[derive(Clone, Copy, Debug)]
pub struct AtInlet {
    /// Absolute total pressure, Pa.
    pub pressure_pa: f64,
    /// Temperature, K.
    pub temperature_k: f64,
    /// Mass flow, kg/s.
    pub mass_flow_kg_s: f64,
    /// Speed over that of the curve.
    pub speed: f64,
}

/// What an inlet has and needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InletState {
    /// Velocity head in the total pressure, Pa; none without a bore.
    pub velocity_head_pa: Option<f64>,
    /// Pressure at which bubbles form, Pa absolute: the vapour pressure, or what is held back for dissolved air.
    pub bubbles_pa: f64,
    /// Whether that is the allowance for dissolved air, because no vapour pressure is known.
    pub for_dissolved_air: bool,
    /// Total pressure above that, Pa.
    pub available_pa: f64,
    /// What the pump needs of it, Pa; none where it is not stated, and while the pump stands.
    pub need_pa: Option<f64>,
    /// Flow over that of the last point of the need at this speed, where it lies beyond.
    pub beyond: Option<f64>,
}

impl PumpInlet {
    /// The inlet of a pump in a loop of this fluid.
    ///
    /// # Errors
    /// A [`Problem`] at `path` if the need is no curve.
    pub fn of(pump: &Machine, fluid: &Fluid, path: &str) -> Result<Self, Problem> {
        let stated = pump.curve_density.as_ref().map(|density| density.si());
        let (points, density_kg_m3) = match &pump.need {
            Some(InletNeed::Pressure(curve)) => {
                (Some(curve.si()), Some(stated.unwrap_or_else(|| fluid.density(REFERENCE_K))))
            }
            Some(InletNeed::Head(curve)) => (Some(curve.si()), None),
            None => (None, None),
        };
        let curve = points.map(|points| Curve::new(&points)).transpose().map_err(|error| {
            Problem::error(format!("{path}.need"), error.to_string(), "give points with rising flow")
        })?;
        let displaced_m3_s = pump.displacement.as_ref().map_or(0.0, |pump| pump.displaced_m3_s());
        Ok(Self {
            area_m2: pump.inlet_bore.as_ref().map(|bore| FRAC_PI_4 * bore.si() * bore.si()),
            need: curve.map(|curve| Need { curve, density_kg_m3, displaced_m3_s }),
        })
    }

    /// Whether a need is stated.
    pub fn has_need(&self) -> bool {
        self.need.is_some()
    }

    /// What the inlet has and needs.
    ///
    /// # Formula
    /// ```text
    /// available = p_total - p_v(T)          p_total = p_static + rho v^2/2
    /// need      = n^2 need_curve(Q/n) rho/rho_ref     or     rho g n^2 head_curve(Q/n)
    /// ```
    /// The pressures of a loop start from the gas above liquid at rest and lose what friction takes: they are total pressures.
    pub fn at(&self, liquid: &Liquid, at: &AtInlet) -> InletState {
        let density = liquid.density(at.temperature_k);
        let flow_m3_s = (at.mass_flow_kg_s / density).max(0.0);
        let vapour_pa = liquid.vapour_pressure_continued_pa(at.temperature_k);
        let bubbles_pa = vapour_pa.unwrap_or(DISSOLVED_AIR_PA);
        let head = |area_m2: f64| 0.5 * density * (flow_m3_s / area_m2).powi(2);
        let needed = self.need.as_ref().filter(|_| at.speed > 0.0).map(|need| {
            let (share, beyond) = need.at(flow_m3_s / at.speed);
            (at.speed * at.speed * share * need.weight(density), beyond)
        });
        InletState {
            velocity_head_pa: self.area_m2.map(head),
            bubbles_pa,
            for_dissolved_air: vapour_pa.is_none(),
            available_pa: at.pressure_pa - bubbles_pa,
            need_pa: needed.map(|(need_pa, _)| need_pa),
            beyond: needed.and_then(|(_, beyond)| beyond),
        }
    }
}

impl Need {
    /// The curve at a flow, and how far that lies beyond its last point. The chambers of a displacement pump fill with all that they
    /// displace, whatever slips or is relieved back to the inlet: so far as the curve goes, that flow counts.
    fn at(&self, flow_m3_s: f64) -> (f64, Option<f64>) {
        let (_, last) = self.curve.range();
        let counted = flow_m3_s.max(self.displaced_m3_s.min(last));
        if counted <= last || last <= 0.0 {
            return (self.curve.at(counted), None);
        }
        let share = counted / last;
        // the square of the flow, and never less than the last point
        (self.curve.at(last) * share * share, Some(share))
    }

    /// From the unit of the curve to Pa.
    fn weight(&self, density_kg_m3: f64) -> f64 {
        match self.density_kg_m3 {
            Some(reference) => density_kg_m3 / reference,
            None => density_kg_m3 * GRAVITY_M_S2,
        }
    }
}
