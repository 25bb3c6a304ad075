//! Gear losses from geometry: mesh sliding, oil churning, rolling bearings.

use super::point::{GearHeat, GearPoint, POWER_ROUNDING_W};
use crate::error;
use crate::error::InputError;
use crate::smooth::{ROUNDING, magnitude, power};
use numerics::{Scalar, blend, constant, ramp};

const GRAVITY_M_S2: f64 = 9.80665;
/// Below this speed (rad/s) a wheel does not churn.
const MIN_SPEED_RAD_S: f64 = 1e-6;

/// Meshes, wheels in oil and bearings of a gearbox.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GearGeometry {
    /// Gear meshes.
    pub meshes: Vec<Mesh>,
    /// Wheels that dip into the oil.
    pub wheels: Vec<ChurningWheel>,
    /// Rolling bearings.
    pub bearings: Vec<Bearing>,
}

/// A spur or helical mesh. Loss: `P mu H_v`, see [`mesh_loss_factor`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mesh {
    /// Part of the input power that passes this mesh (0-1).
    pub power_share: f64,
    /// Teeth of the pinion.
    pub pinion_teeth: u32,
    /// Teeth of the wheel over teeth of the pinion, 1 or more.
    pub tooth_ratio: f64,
    /// Helix angle at the base circle (rad).
    pub base_helix_rad: f64,
    /// Tip contact ratio of the pinion.
    pub tip_contact_ratio_1: f64,
    /// Tip contact ratio of the wheel.
    pub tip_contact_ratio_2: f64,
    /// Mean coefficient of friction in the mesh; 0.03 to 0.07 (common practice, no source).
    pub friction: f64,
}

/// A wheel that dips into oil, see [`churning_power_w`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChurningWheel {
    /// Speed over input speed.
    pub speed_ratio: f64,
    /// Pitch radius (m).
    pub pitch_radius_m: f64,
    /// Face width (m).
    pub face_width_m: f64,
    /// Module (m).
    pub module_m: f64,
    /// Depth of immersion at rest (m).
    pub immersion_depth_m: f64,
    /// Oil volume of the sump (m3).
    pub oil_volume_m3: f64,
    /// Wetted area of the dipping part (m2), see [`immersed_area_m2`].
    pub immersed_area_m2: f64,
}

/// A rolling bearing, see [`bearing_drag_nm`]. The load is a constant part plus a part with the input power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bearing {
    /// Speed over input speed.
    pub speed_ratio: f64,
    /// Mean diameter (m).
    pub mean_diameter_m: f64,
    /// Lubrication factor `f0`: about 1 to 2 for a deep-groove ball bearing with oil mist or oil bath (from memory).
    pub lubrication_factor: f64,
    /// Load factor `f1`: about 0.0003 to 0.001 (from memory).
    pub load_factor: f64,
    /// Load at no power (N).
    pub idle_load_n: f64,
    /// Load per input torque (N per N m).
    pub load_per_torque_per_m: f64,
}

/// Mesh loss factor `H_v`.
///
/// # Formula
/// ```text
/// H_v = pi (u + 1) / (z1 u cos(beta_b)) (1 - eps_a + eps_1^2 + eps_2^2)     eps_a = eps_1 + eps_2
/// ```
/// `z1` pinion teeth, `u` tooth ratio, `beta_b` helix angle at the base circle.
///
/// # Range
/// Total tip contact ratio between 1 and 2, load shared equally.
///
/// # Source
/// Ohlendorf 1958; Niemann & Winter; ISO/TR 14179-2. Checked by `tests/data/gear_loss.csv`.
pub fn mesh_loss_factor(mesh: &Mesh) -> f64 {
    let (e1, e2) = (mesh.tip_contact_ratio_1, mesh.tip_contact_ratio_2);
    let u = mesh.tooth_ratio;
    std::f64::consts::PI * (u + 1.0) / (f64::from(mesh.pinion_teeth) * u * mesh.base_helix_rad.cos())
        * (1.0 - e1 - e2 + e1 * e1 + e2 * e2)
}

/// Dimensionless drag torque `C_m` of a dipping wheel.
///
/// # Formula
/// ```text
/// Re = omega R_p b / nu      Fr = omega^2 R_p / g      g' = omega^2 (R_p b m)^(1/3)
/// g' < 750:   1.366 Re^-0.21 (0.239 for Re > 4000)   (h/D_p)^0.45 (V0/D_p^3)^0.1   Fr^-0.6  (b/R_p)^0.21
/// g' > 1250:  20.797 Re^-0.21 (3.644 for Re > 4000)  (h/D_p)^0.1  (V0/D_p^3)^-0.35 Fr^-0.88 (b/R_p)^0.85
/// ```
/// Blended smoothly between the two branches in `g'` (750-1250 m/s2) and in `Re` (3600-4400): the published form is linear
/// between the branches and switches at 4000, where the two values differ by 0.1 %.
///
/// # Source
/// Changenet & Velex 2007, J. Mech. Des. 129, 128 (coefficients from memory; the constants meet at Re 4000).
/// Checked by `tests/data/gear_loss.csv`.
#[inline]
pub fn drag_coefficient<S: Scalar>(
    wheel: &ChurningWheel,
    speed_rad_s: f64,
    kinematic_viscosity_m2_s: S,
) -> S {
    let (r, b) = (wheel.pitch_radius_m, wheel.face_width_m);
    let diameter = 2.0 * r;
    let reynolds = kinematic_viscosity_m2_s.recip() * (speed_rad_s * r * b);
    let froude = speed_rad_s * speed_rad_s * r / GRAVITY_M_S2;
    let depth = wheel.immersion_depth_m / diameter;
    let volume = wheel.oil_volume_m3 / diameter.powi(3);
    let width = b / r;
    let low = depth.powf(0.45) * volume.powf(0.1) * froude.powf(-0.6) * width.powf(0.21);
    let high = depth.powf(0.1) * volume.powf(-0.35) * froude.powf(-0.88) * width.powf(0.85);
    let acceleration = speed_rad_s * speed_rad_s * (r * b * wheel.module_m).cbrt();
    let to_high = ramp(acceleration, 750.0, 1250.0);
    let viscous = power(reynolds, -0.21);
    let turbulent = ramp(reynolds, 3600.0, 4400.0);
    let at_low = blend(viscous * 1.366, constant(0.239), turbulent) * low;
    let at_high = blend(viscous * 20.797, constant(3.644), turbulent) * high;
    at_low + (at_high - at_low) * to_high
}

/// Churning loss of a dipping wheel (W): `0.5 rho omega^3 S_m R_p^3 C_m` with [`drag_coefficient`]. Goes to 0 at rest as
/// `omega^1.59`.
#[inline]
pub fn churning_power_w<S: Scalar>(
    wheel: &ChurningWheel,
    speed_rad_s: f64,
    density_kg_m3: S,
    kinematic_viscosity_m2_s: S,
) -> S {
    let speed = speed_rad_s.abs();
    if speed < MIN_SPEED_RAD_S || wheel.immersion_depth_m == 0.0 {
        return constant(0.0);
    }
    let scale = 0.5 * speed.powi(3) * wheel.immersed_area_m2 * wheel.pitch_radius_m.powi(3);
    drag_coefficient(wheel, speed, kinematic_viscosity_m2_s) * density_kg_m3 * scale
}

/// Wetted area of a wheel that dips to a depth (m2): both faces, rim and tooth flanks.
///
/// # Formula
/// ```text
/// cos(theta) = 1 - h/R_p
/// S_m = R_p^2 (2 theta - sin(2 theta)) + 2 R_p b theta + 2 z theta H b / (pi cos(alpha) cos(beta))
/// ```
/// `z` teeth, `H` tooth height, `alpha` pressure angle, `beta` helix angle. The first two terms are exact for a smooth disc.
///
/// # Source
/// Changenet & Velex 2007 (flank term from memory).
pub fn immersed_area_m2(
    pitch_radius_m: f64,
    face_width_m: f64,
    depth_m: f64,
    teeth: u32,
    tooth_height_m: f64,
    pressure_angle_rad: f64,
    helix_rad: f64,
) -> f64 {
    let theta = (1.0 - depth_m / pitch_radius_m).clamp(-1.0, 1.0).acos();
    let faces = pitch_radius_m * pitch_radius_m * (2.0 * theta - (2.0 * theta).sin());
    let rim = 2.0 * pitch_radius_m * face_width_m * theta;
    let flanks = 2.0 * f64::from(teeth) * theta * tooth_height_m * face_width_m
        / (std::f64::consts::PI * pressure_angle_rad.cos() * helix_rad.cos());
    faces + rim + flanks
}

/// Drag torque of a rolling bearing (N m): a viscous part and a load part.
///
/// # Formula
/// ```text
/// M0 = 1e-7 f0 (nu n)^(2/3) d_m^3 (nu n >= 2000), 160e-7 f0 d_m^3 below     M1 = f1 F d_m
/// ```
/// `M0` in N mm with `nu` in mm2/s, `n` in 1/min, `d_m` in mm. The two lines differ by 0.8 % at 2000 and are blended
/// between 1600 and 2400.
///
/// # Source
/// Palmgren 1959; Harris, Rolling Bearing Analysis (from memory).
#[inline]
pub fn bearing_drag_nm<S: Scalar>(
    bearing: &Bearing,
    speed_rad_s: f64,
    load_n: S,
    kinematic_viscosity_m2_s: S,
) -> S {
    let turns_per_minute = speed_rad_s.abs() * 60.0 / std::f64::consts::TAU;
    let group = kinematic_viscosity_m2_s * (1e6 * turns_per_minute);
    let viscous = blend(constant(160.0), power(group, 2.0 / 3.0), ramp(group, 1600.0, 2400.0));
    let diameter_mm = 1e3 * bearing.mean_diameter_m;
    let oil_nm = viscous * (1e-3 * 1e-7 * bearing.lubrication_factor * diameter_mm.powi(3));
    oil_nm + load_n * (bearing.load_factor * bearing.mean_diameter_m)
}

impl Mesh {
    fn check(&self) -> Result<(), InputError> {
        error::fraction("part of the power through a mesh", self.power_share)?;
        error::positive("teeth of the pinion", f64::from(self.pinion_teeth))?;
        error::positive("tooth ratio", self.tooth_ratio)?;
        error::not_negative("coefficient of friction in a mesh", self.friction)?;
        let total = self.tip_contact_ratio_1 + self.tip_contact_ratio_2;
        let helix = self.base_helix_rad.abs();
        if !(1.0..=2.0).contains(&total) {
            let what = "tip contact ratio of a mesh";
            return Err(InputError::Value { what, value: total, rule: "between 1 and 2 in all" });
        }
        if !(helix < 1.0) {
            let what = "helix angle at the base circle (rad)";
            return Err(InputError::Value { what, value: self.base_helix_rad, rule: "between -1 and 1" });
        }
        Ok(())
    }
}

impl GearGeometry {
    pub(super) fn check(&self) -> Result<(), InputError> {
        if self.meshes.is_empty() && self.wheels.is_empty() && self.bearings.is_empty() {
            return Err(InputError::Empty("meshes, wheels or bearings of a gearbox"));
        }
        self.meshes.iter().try_for_each(Mesh::check)?;
        for wheel in &self.wheels {
            error::positive("speed of a wheel over input speed", wheel.speed_ratio)?;
            error::positive("pitch radius (m)", wheel.pitch_radius_m)?;
            error::positive("face width (m)", wheel.face_width_m)?;
            error::positive("module (m)", wheel.module_m)?;
            error::not_negative("immersion depth (m)", wheel.immersion_depth_m)?;
            error::positive("oil volume (m3)", wheel.oil_volume_m3)?;
            error::not_negative("immersed area (m2)", wheel.immersed_area_m2)?;
        }
        for bearing in &self.bearings {
            error::positive("speed of a bearing over input speed", bearing.speed_ratio)?;
            error::positive("mean diameter of a bearing (m)", bearing.mean_diameter_m)?;
            error::not_negative("lubrication factor of a bearing", bearing.lubrication_factor)?;
            error::not_negative("load factor of a bearing", bearing.load_factor)?;
            error::not_negative("idle load of a bearing (N)", bearing.idle_load_n)?;
            error::not_negative("bearing load per input torque (1/m)", bearing.load_per_torque_per_m)?;
        }
        Ok(())
    }

    #[inline]
    pub(super) fn add_heat<S: Scalar>(&self, point: &GearPoint<S>, heat: &mut GearHeat<S>) {
        let speed = point.input_speed_rad_s.abs();
        let power_w = magnitude(point.input_power_w, POWER_ROUNDING_W);
        let viscosity = point.oil_kinematic_viscosity_m2_s;
        let factor: f64 =
            self.meshes.iter().map(|mesh| mesh.power_share * mesh.friction * mesh_loss_factor(mesh)).sum();
        heat.mesh_w = power_w * factor;
        for wheel in &self.wheels {
            heat.churning_w +=
                churning_power_w(wheel, speed * wheel.speed_ratio, point.oil_density_kg_m3, viscosity);
        }
        let torque_nm = super::point::torque_nm(power_w, speed);
        for bearing in &self.bearings {
            let own_speed = speed * bearing.speed_ratio;
            let load_n = torque_nm * bearing.load_per_torque_per_m + bearing.idle_load_n;
            let drag_nm = bearing_drag_nm(bearing, own_speed, load_n, viscosity);
            heat.bearing_w += drag_nm * magnitude(own_speed, ROUNDING);
        }
    }
}
