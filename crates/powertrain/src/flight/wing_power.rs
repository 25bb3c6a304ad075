//! Power of an aeroplane in climb, level flight, descent and tow.

use super::propeller::Propeller;
use super::wing_data::{DragLaw, WingData, WingFlight};
use super::{Flag, Flags, Step};
use std::f64::consts::PI;

/// Power at the propeller flange and its parts.
///
/// # Formula
/// ```text
/// T V = D V + W V_c + (D_tow V + W_tow V_c)        not below 0
/// D = 1/2 rho V^2 (S C_D + extra area)    C_L = W sqrt(1 - (V_c/V)^2)/(1/2 rho V^2 S)
/// shaft power = T V / propeller efficiency        (see Propeller)
/// ```
/// The lift is that of a straight path of the given slope (textbook performance, from memory). Above the greatest lift
/// coefficient the drag is that of the greatest lift, and the result is flagged: the aeroplane does not fly there. A descent
/// steeper than the glide has no shaft power and a surplus. Values are continuous; slopes jump at both places.
///
/// Thrust line, trim, propeller wash and ground effect are left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WingPower {
    /// Power against the drag of the clean aeroplane (W), induced part and all.
    pub airframe_w: f64,
    /// The induced part of it (W); `None` where the polar does not tell.
    pub induced_w: Option<f64>,
    /// Power against the extra drag area (W).
    pub extra_drag_w: f64,
    /// Power of the climb (W), negative in descent.
    pub climb_w: f64,
    /// Power of the tow, drag and climb (W).
    pub tow_w: f64,
    /// What a descent gives beyond the drag (W): 0 or above, taken out of the sum.
    pub surplus_w: f64,
    /// Loss of the propeller (W).
    pub propeller_loss_w: f64,
    /// Thrust (N).
    pub thrust_n: f64,
    /// Useful over shaft power; 0 without thrust or at rest.
    pub propeller_efficiency: f64,
    /// Lift coefficient, at most the greatest.
    pub lift_coefficient: f64,
    /// Drag coefficient of the clean aeroplane.
    pub drag_coefficient: f64,
    /// What the reader must know.
    pub flags: Flags,
}

impl WingPower {
    /// Useful power, thrust times airspeed (W).
    pub fn useful_w(&self) -> f64 {
        self.airframe_w + self.extra_drag_w + self.climb_w + self.tow_w + self.surplus_w
    }

    /// Power at the propeller flange (W), before gearbox and accessories.
    pub fn total_w(&self) -> f64 {
        self.useful_w() + self.propeller_loss_w
    }

    /// The steps, to be printed.
    pub fn chain(&self) -> [Step; 11] {
        [
            Step::new("lift coefficient", self.lift_coefficient, "-", "W cos(slope)/(q S)"),
            Step::new("drag coefficient", self.drag_coefficient, "-", "polar of the clean aeroplane"),
            Step::new("airframe drag power", self.airframe_w, "W", "q S C_D V"),
            Step::new("extra drag power", self.extra_drag_w, "W", "q V times extra drag area"),
            Step::new("climb power", self.climb_w, "W", "W V_c"),
            Step::new("tow power", self.tow_w, "W", "D V + W V_c of the towed glider"),
            Step::new("surplus of the descent", self.surplus_w, "W", "not used by drag"),
            Step::new("thrust", self.thrust_n, "N", "useful power over airspeed"),
            Step::new("propeller efficiency", self.propeller_efficiency, "-", "useful over shaft power"),
            Step::new("propeller loss", self.propeller_loss_w, "W", "shaft power less useful power"),
            Step::new("shaft power", self.total_w(), "W", "at the propeller, before gearbox and accessories"),
        ]
    }
}

/// Lift and drag of the clean aeroplane.
struct Aerodynamics {
    lift_coefficient: f64,
    drag_coefficient: f64,
    induced_coefficient: Option<f64>,
    flags: Flags,
}

fn aerodynamics(data: &WingData, lift_n: f64, dynamic_pa: f64) -> Aerodynamics {
    let mut flags = Flags::default();
    // at rest the quotient is infinite, and held like every stall
    let wanted = lift_n / (dynamic_pa * data.area_m2);
    let lift = wanted.min(data.lift_coefficient_max);
    flags.raise(Flag::Stall, wanted > data.lift_coefficient_max);
    let (drag, induced) = match &data.drag {
        DragLaw::Parabolic { zero_lift_drag, oswald, span_m } => {
            let aspect = span_m * span_m / data.area_m2;
            let induced = lift * lift / (PI * oswald * aspect);
            (zero_lift_drag + induced, Some(induced))
        }
        DragLaw::LiftToDrag(curve) => {
            flags.raise(Flag::PolarHeld, !curve.contains(lift));
            (lift / curve.at(lift), None)
        }
    };
    Aerodynamics { lift_coefficient: lift, drag_coefficient: drag, induced_coefficient: induced, flags }
}

/// Lift (N) on a straight path.
fn lift_n(flight: &WingFlight) -> f64 {
    let sine = if flight.airspeed_m_s > 0.0 { flight.climb_m_s / flight.airspeed_m_s } else { 0.0 };
    flight.weight_n * (1.0 - sine * sine).max(0.0).sqrt()
}

pub(super) fn power(data: &WingData, flight: &WingFlight, propeller: &Propeller) -> WingPower {
    let (rho, speed) = (flight.density_kg_m3, flight.airspeed_m_s);
    let dynamic = 0.5 * rho * speed * speed;
    let air = aerodynamics(data, lift_n(flight), dynamic);
    let per_coefficient = dynamic * data.area_m2 * speed;
    let tow = flight.tow.map_or(0.0, |tow| tow.drag_n * speed + tow.weight_n * flight.climb_m_s);
    let mut result = WingPower {
        airframe_w: per_coefficient * air.drag_coefficient,
        induced_w: air.induced_coefficient.map(|induced| per_coefficient * induced),
        extra_drag_w: dynamic * flight.extra_drag_area_m2 * speed,
        climb_w: flight.weight_n * flight.climb_m_s,
        tow_w: tow,
        surplus_w: 0.0,
        propeller_loss_w: 0.0,
        thrust_n: 0.0,
        propeller_efficiency: 0.0,
        lift_coefficient: air.lift_coefficient,
        drag_coefficient: air.drag_coefficient,
        flags: air.flags,
    };
    let useful = result.useful_w();
    result.flags.raise(Flag::Glide, useful < 0.0);
    if useful <= 0.0 {
        result.surplus_w = -useful;
        return result;
    }
    result.thrust_n = useful / speed;
    let shaft = propeller.shaft_power_w(result.thrust_n, speed, rho);
    result.propeller_loss_w = shaft - useful;
    result.propeller_efficiency = useful / shaft;
    result
}

const MAX_STEPS: u32 = 60;

pub(super) fn glide_sink_m_s(data: &WingData, level: &WingFlight) -> f64 {
    let speed = level.airspeed_m_s;
    if speed == 0.0 {
        return 0.0;
    }
    let dynamic = 0.5 * level.density_kg_m3 * speed * speed;
    let towed = level.tow.map_or((0.0, 0.0), |tow| (tow.weight_n, tow.drag_n));
    let weight = level.weight_n + towed.0;
    let mut sink = 0.0;
    for _ in 0..MAX_STEPS {
        let lift = lift_n(&WingFlight { climb_m_s: -sink, ..*level });
        let air = aerodynamics(data, lift, dynamic);
        let drag = dynamic * (data.area_m2 * air.drag_coefficient + level.extra_drag_area_m2) + towed.1;
        let next = speed * (drag / weight).min(1.0);
        let change = next - sink;
        sink = next;
        if change.abs() <= 1e-13 * speed {
            break;
        }
    }
    sink
}
