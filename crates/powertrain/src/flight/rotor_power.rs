//! Power of a rotor from hover to forward flight.

use super::momentum::{
    GROUND_LOWEST, disc_area_m2, ground_power_factor, hover_share, induced_hover_m_s, induced_m_s,
};
use super::rotor_data::{HoverLoss, RotorData, RotorFlight};
use super::{Flag, Flags, Step};
use numerics::ramp;

/// Growth of profile power with the square of the advance ratio (Bennett; Leishman, from memory), up to
/// [`ADVANCE_RATIO_LIMIT`].
const PROFILE_GROWTH: f64 = 4.65;
const ADVANCE_RATIO_LIMIT: f64 = 0.5;
/// Thrust coefficient over solidity at which blades begin to stall (Leishman gives 0.12-0.15, from memory).
const BLADE_LOADING_LIMIT: f64 = 0.12;
/// Airspeeds over hover induced speed between which a descent begins to be credited: below the first the vortex-ring state
/// is possible (from memory).
const DESCENT_CREDIT: (f64, f64) = (1.0, 2.0);

/// Power at the rotors and its parts.
///
/// # Formula
/// ```text
/// P = (kappa T v_i g + P_0 (1 + 4.65 mu^2) + D V + W V_c + floor) (1 + tail)
/// v_i sqrt(V^2 + (V_c + v_i)^2) = T/(2 rho A)      mu = V/(Omega R)      D = 1/2 rho V^2 f
/// T^2 = (W (1 + d h))^2 + D^2                       tail = cruise + (hover - cruise) h
/// ```
/// `h` is the share of hover ([`super::hover_share`]), 1 at rest and falling as `v_h/V`; `d` down-load; `g` ground factor on
/// induced power.
///
/// **Agreement at rest.** With [`HoverLoss::FigureOfMerit`] `P_0 = T_h v_h (1/FM - kappa)`, so that `P = T_h v_h/FM` at
/// `V = 0` by construction. With [`HoverLoss::Blades`] `P_0 = sigma Cd0/8 rho A (Omega R)^3`. With [`HoverLoss::Measured`]
/// `P_0` is that of the blades and `kappa` goes from `1/FM - P_0/(T_h v_h)` at rest to its stated value as `h` falls: again
/// exact at rest, without a seam.
///
/// **Descent.** Momentum theory fails in slow steep descent: no credit below one hover induced speed, all above two, a smooth
/// step between, and no credit beyond 45 degrees. The sum is not below the least power; `floor` is what is added. Slopes jump
/// there and at `V_c = 0` for slow flight; values do not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RotorPower {
    /// Induced power (W).
    pub induced_w: f64,
    /// Profile power (W).
    pub profile_w: f64,
    /// Power against the drag of the airframe (W).
    pub parasite_w: f64,
    /// Power of the climb (W), negative in a credited descent.
    pub climb_w: f64,
    /// What the least power adds (W).
    pub floor_w: f64,
    /// Tail-rotor power (W).
    pub tail_rotor_w: f64,
    /// Thrust (N).
    pub thrust_n: f64,
    /// Induced speed in hover of the same weight (m/s).
    pub hover_induced_m_s: f64,
    /// Induced speed (m/s), away from the ground.
    pub induced_m_s: f64,
    /// Advance ratio, airspeed over tip speed.
    pub advance_ratio: f64,
    /// Induced power near the ground over that far from it.
    pub ground_factor: f64,
    /// Ideal over actual main-rotor power of a hover at this weight and density, away from the ground.
    pub figure_of_merit: f64,
    /// What the reader must know.
    pub flags: Flags,
}

impl RotorPower {
    /// Power at the main-rotor mast (W).
    pub fn main_rotor_w(&self) -> f64 {
        self.induced_w + self.profile_w + self.parasite_w + self.climb_w + self.floor_w
    }

    /// Power at the rotors (W), before gearbox and accessories.
    pub fn total_w(&self) -> f64 {
        self.main_rotor_w() + self.tail_rotor_w
    }

    /// The steps, to be printed.
    pub fn chain(&self) -> [Step; 12] {
        [
            Step::new("thrust", self.thrust_n, "N", "weight, down-load and drag"),
            Step::new("induced speed in hover", self.hover_induced_m_s, "m/s", "sqrt(T/(2 rho A))"),
            Step::new("figure of merit", self.figure_of_merit, "-", "ideal over actual hover power"),
            Step::new("induced speed", self.induced_m_s, "m/s", "momentum theory, Glauert"),
            Step::new("advance ratio", self.advance_ratio, "-", "V/(Omega R)"),
            Step::new("ground factor", self.ground_factor, "-", "Cheeseman & Bennett 1955, on induced power"),
            Step::new("induced power", self.induced_w, "W", "kappa T v_i g"),
            Step::new("profile power", self.profile_w, "W", "P_0 (1 + 4.65 mu^2)"),
            Step::new("parasite power", self.parasite_w, "W", "1/2 rho V^3 f"),
            Step::new("climb power", self.climb_w, "W", "W V_c"),
            Step::new(
                "tail-rotor power",
                self.tail_rotor_w,
                "W",
                "part of the main rotor, falling with speed",
            ),
            Step::new(
                "rotor power",
                self.total_w(),
                "W",
                "sum at the rotors, before gearbox and accessories",
            ),
        ]
    }
}

/// Hover of the same weight and density, away from the ground.
struct Hover {
    induced_m_s: f64,
    profile_w: f64,
    /// Actual over ideal induced power at rest.
    induced_factor: f64,
    figure_of_merit: f64,
}

fn hover(data: &RotorData, flight: &RotorFlight) -> Hover {
    let area = disc_area_m2(data.radius_m);
    let thrust = flight.weight_n * (1.0 + data.down_load);
    let induced_m_s = induced_hover_m_s(thrust, flight.density_kg_m3, area);
    let ideal = thrust * induced_m_s;
    let blades = |solidity: f64, drag: f64| {
        solidity * drag / 8.0 * flight.density_kg_m3 * area * data.tip_speed_m_s.powi(3)
    };
    match data.hover_loss {
        HoverLoss::FigureOfMerit { figure_of_merit } => Hover {
            induced_m_s,
            profile_w: ideal * (figure_of_merit.recip() - data.induced_factor),
            induced_factor: data.induced_factor,
            figure_of_merit,
        },
        HoverLoss::Blades { solidity, drag_coefficient } => {
            let profile_w = blades(solidity, drag_coefficient);
            let figure_of_merit = ideal / (data.induced_factor * ideal + profile_w);
            Hover { induced_m_s, profile_w, induced_factor: data.induced_factor, figure_of_merit }
        }
        HoverLoss::Measured { figure_of_merit, solidity, drag_coefficient } => {
            let profile_w = blades(solidity, drag_coefficient);
            let induced_factor = figure_of_merit.recip() - profile_w / ideal;
            Hover { induced_m_s, profile_w, induced_factor, figure_of_merit }
        }
    }
}

/// Rate of climb that counts (m/s): all of a climb, of a descent what momentum theory can vouch for.
fn credited_climb_m_s(flight: &RotorFlight, hover_m_s: f64) -> f64 {
    if flight.climb_m_s >= 0.0 {
        return flight.climb_m_s;
    }
    let credit = ramp(flight.airspeed_m_s / hover_m_s, DESCENT_CREDIT.0, DESCENT_CREDIT.1);
    credit * flight.climb_m_s.max(-flight.airspeed_m_s)
}

pub(super) fn power(data: &RotorData, flight: &RotorFlight) -> RotorPower {
    let hover = hover(data, flight);
    let (rho, speed) = (flight.density_kg_m3, flight.airspeed_m_s);
    let area = disc_area_m2(data.radius_m);
    let share = hover_share(speed, hover.induced_m_s);
    let drag = 0.5 * rho * speed * speed * data.drag_area_m2;
    let thrust_n = (flight.weight_n * (1.0 + data.down_load * share)).hypot(drag);
    let climb = credited_climb_m_s(flight, hover.induced_m_s);
    let induced_m_s = induced_m_s(induced_hover_m_s(thrust_n, rho, area), speed, climb);
    let height = flight.rotor_height_m.map(|z| z / data.radius_m);
    let ground_factor = height.map_or(1.0, |height| ground_power_factor(height, speed / induced_m_s));
    let induced_factor = data.induced_factor + (hover.induced_factor - data.induced_factor) * share;
    let advance_ratio = speed / data.tip_speed_m_s;
    let mut result = RotorPower {
        induced_w: induced_factor * thrust_n * induced_m_s * ground_factor,
        profile_w: hover.profile_w * (1.0 + PROFILE_GROWTH * advance_ratio * advance_ratio),
        parasite_w: drag * speed,
        climb_w: flight.weight_n * climb,
        floor_w: 0.0,
        tail_rotor_w: 0.0,
        thrust_n,
        hover_induced_m_s: hover.induced_m_s,
        induced_m_s,
        advance_ratio,
        ground_factor,
        figure_of_merit: hover.figure_of_merit,
        flags: Flags::default(),
    };
    let tail = data.tail_rotor_cruise + (data.tail_rotor_hover - data.tail_rotor_cruise) * share;
    result.floor_w = (data.min_power_w / (1.0 + tail) - result.main_rotor_w()).max(0.0);
    result.tail_rotor_w = tail * result.main_rotor_w();
    let flags = &mut result.flags;
    flags.raise(Flag::GroundTooNear, height.is_some_and(|height| height < GROUND_LOWEST));
    flags.raise(Flag::AdvanceRatio, advance_ratio > ADVANCE_RATIO_LIMIT);
    flags.raise(Flag::BladeLoading, blade_loading(data, rho, thrust_n) > BLADE_LOADING_LIMIT);
    flags.raise(Flag::HoverFormsDisagree, hover.induced_factor < 1.0);
    // the whole descent is credited only where it comes back unchanged
    flags.raise(Flag::SlowDescent, flight.climb_m_s < 0.0 && climb > flight.climb_m_s);
    flags.raise(Flag::LeastPower, result.floor_w > 0.0);
    result
}

/// Thrust coefficient over solidity; 0 where the solidity is not stated.
fn blade_loading(data: &RotorData, density_kg_m3: f64, thrust_n: f64) -> f64 {
    match data.hover_loss {
        HoverLoss::FigureOfMerit { .. } => 0.0,
        HoverLoss::Blades { solidity, .. } | HoverLoss::Measured { solidity, .. } => {
            let disc = density_kg_m3 * disc_area_m2(data.radius_m) * data.tip_speed_m_s.powi(2);
            thrust_n / disc / solidity
        }
    }
}
