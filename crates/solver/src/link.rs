//! Heat between two temperatures outside the circuits: conduction, convection in air, radiation, venting.

use correlations::{external, natural, radiation, rotating_free, rotating_gap};
use media::air;
use numerics::{Scalar, constant};

/// Standard acceleration of gravity, m/s2.
const GRAVITY_M_S2: f64 = 9.80665;
/// Temperature difference below which natural convection no longer weakens, K: keeps its slope finite.
const MIN_DIFFERENCE_K: f64 = 0.05;

/// Shape of a surface in still air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StillSurface {
    /// Vertical plate; the size is its height.
    VerticalPlate,
    /// Horizontal cylinder; the size is its diameter.
    HorizontalCylinder,
}

/// Shape of a surface in moving air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WashedSurface {
    /// Flat plate along the flow; the size is its length.
    FlatPlate,
    /// Cylinder across the flow; the size is its diameter.
    Cylinder,
}

/// How heat passes between two temperatures. Positive from the first to the second.
#[derive(Clone, Debug, PartialEq)]
pub enum LinkLaw {
    /// Conductance, W/K.
    Conductance {
        /// W/K.
        conductance_w_k: f64,
    },
    /// Conductance up to a greatest heat either way, such as a cart that cools a loop: `q = G dT/(1 + |G dT/Q|^8)^(1/8)`, which is
    /// within 0.1 % of `G dT` below two fifths of the greatest heat `Q`, and within 0.1 % of `Q` at two and a half times it.
    Limited {
        /// W/K.
        conductance_w_k: f64,
        /// Greatest heat, W, above zero.
        ceiling_w: f64,
    },
    /// Natural convection in still air between a surface (first) and the air (second).
    StillAir {
        /// Shape.
        surface: StillSurface,
        /// Height or diameter, m.
        size_m: f64,
        /// Area, m2.
        area_m2: f64,
        /// Air pressure, Pa.
        pressure_pa: f64,
    },
    /// Forced convection between a surface (first) and moving air (second).
    MovingAir {
        /// Shape.
        surface: WashedSurface,
        /// Length or diameter, m.
        size_m: f64,
        /// Area, m2.
        area_m2: f64,
        /// Speed of the air, m/s.
        speed_m_s: f64,
        /// Air pressure, Pa.
        pressure_pa: f64,
    },
    /// Radiation of a grey surface (first) to surroundings that enclose it (second).
    Radiation {
        /// Emissivity.
        emissivity: f64,
        /// Area, m2.
        area_m2: f64,
    },
    /// Across the air gap of a machine, rotor (first) to stator (second).
    RotatingGap {
        /// Rotor speed, rad/s.
        speed_rad_s: f64,
        /// Rotor radius, m.
        radius_m: f64,
        /// Gap width, m.
        gap_m: f64,
        /// Rotor length, m.
        length_m: f64,
        /// Air pressure, Pa.
        pressure_pa: f64,
    },
    /// Cylinder turning in free air (first the cylinder, second the air).
    RotatingCylinder {
        /// Speed, rad/s.
        speed_rad_s: f64,
        /// Radius, m.
        radius_m: f64,
        /// Length, m.
        length_m: f64,
        /// Air pressure, Pa.
        pressure_pa: f64,
    },
    /// Air carried away from a space (first) and replaced by air of the second temperature.
    Vent {
        /// Mass flow of the exchange, kg/s.
        mass_flow_kg_s: f64,
    },
}

/// Air at the mean of two temperatures.
struct Film<S> {
    conductivity: S,
    kinematic_viscosity: S,
    prandtl: S,
}

fn film<S: Scalar>(first_k: S, second_k: S, pressure_pa: f64) -> Film<S> {
    let mean = (first_k + second_k) * 0.5;
    let (viscosity, conductivity) = (air::viscosity(mean), air::conductivity(mean));
    Film {
        conductivity,
        kinematic_viscosity: viscosity / air::density(mean, constant(pressure_pa)),
        prandtl: viscosity * air::specific_heat(mean) / conductivity,
    }
}

impl<S: Scalar> Film<S> {
    fn rayleigh(&self, first_k: S, second_k: S, size_m: f64) -> S {
        let difference = first_k - second_k;
        let difference = (difference * difference + MIN_DIFFERENCE_K * MIN_DIFFERENCE_K).sqrt();
        let expansion = ((first_k + second_k) * 0.5).recip();
        expansion * difference * self.prandtl * (GRAVITY_M_S2 * size_m.powi(3))
            / (self.kinematic_viscosity * self.kinematic_viscosity)
    }

    fn reynolds(&self, speed_m_s: f64, size_m: f64) -> S {
        self.kinematic_viscosity.recip() * (speed_m_s.abs() * size_m)
    }

    fn taylor(&self, speed_rad_s: f64, radius_m: f64, gap_m: f64) -> S {
        rotating_gap::taylor_number(constant(speed_rad_s), radius_m, gap_m, self.kinematic_viscosity)
            / rotating_gap::geometry_factor(radius_m, gap_m)
    }

    fn turning_reynolds(&self, speed_rad_s: f64, radius_m: f64) -> S {
        let diameter = 2.0 * radius_m;
        self.kinematic_viscosity.recip() * (speed_rad_s.abs() * diameter * diameter * 0.5)
    }
}

impl LinkLaw {
    /// The law of one of several equal parallel parts: areas, conductances and flows are divided.
    #[must_use]
    pub fn shared(&self, parts: usize) -> Self {
        let share = 1.0 / parts.max(1) as f64;
        let mut part = self.clone();
        match &mut part {
            Self::Conductance { conductance_w_k } => *conductance_w_k *= share,
            Self::Limited { conductance_w_k, ceiling_w } => {
                *conductance_w_k *= share;
                *ceiling_w *= share;
            }
            Self::StillAir { area_m2, .. }
            | Self::MovingAir { area_m2, .. }
            | Self::Radiation { area_m2, .. } => {
                *area_m2 *= share;
            }
            Self::RotatingGap { length_m, .. } | Self::RotatingCylinder { length_m, .. } => {
                *length_m *= share;
            }
            Self::Vent { mass_flow_kg_s } => *mass_flow_kg_s *= share,
        }
        part
    }

    /// Heat from the first to the second temperature, W.
    pub fn heat<S: Scalar>(&self, first_k: S, second_k: S) -> S {
        match self {
            Self::Vent { mass_flow_kg_s } => {
                (air::enthalpy(first_k) - air::enthalpy(second_k)) * *mass_flow_kg_s
            }
            _ => self.conductance(first_k, second_k) * (first_k - second_k),
        }
    }

    /// Conductance at the present temperatures, W/K.
    pub fn conductance<S: Scalar>(&self, first_k: S, second_k: S) -> S {
        match self {
            Self::Conductance { conductance_w_k } => constant(*conductance_w_k),
            Self::Limited { conductance_w_k, ceiling_w } => {
                let excess = (first_k - second_k) * (conductance_w_k / ceiling_w);
                let square = excess * excess;
                let fourth = square * square;
                (fourth * fourth + 1.0).powf(-0.125) * *conductance_w_k
            }
            Self::StillAir { surface, size_m, area_m2, pressure_pa } => {
                let air = film(first_k, second_k, *pressure_pa);
                let rayleigh = air.rayleigh(first_k, second_k, *size_m);
                let nusselt = match surface {
                    StillSurface::VerticalPlate => natural::vertical_plate(rayleigh, air.prandtl),
                    StillSurface::HorizontalCylinder => natural::horizontal_cylinder(rayleigh, air.prandtl),
                };
                nusselt * air.conductivity * (area_m2 / size_m)
            }
            Self::MovingAir { surface, size_m, area_m2, speed_m_s, pressure_pa } => {
                let air = film(first_k, second_k, *pressure_pa);
                let reynolds = air.reynolds(*speed_m_s, *size_m);
                let nusselt = match surface {
                    WashedSurface::FlatPlate => external::flat_plate_mean(reynolds, air.prandtl),
                    WashedSurface::Cylinder => external::cylinder(reynolds, air.prandtl),
                };
                nusselt * air.conductivity * (area_m2 / size_m)
            }
            Self::Radiation { emissivity, area_m2 } => {
                radiation::coefficient(*emissivity, first_k, second_k) * *area_m2
            }
            Self::RotatingGap { speed_rad_s, radius_m, gap_m, length_m, pressure_pa } => {
                let air = film(first_k, second_k, *pressure_pa);
                let nusselt = rotating_gap::nusselt_on_two_delta(air.taylor(*speed_rad_s, *radius_m, *gap_m));
                let area = std::f64::consts::TAU * radius_m * length_m;
                nusselt * air.conductivity * (area / (2.0 * gap_m))
            }
            Self::RotatingCylinder { speed_rad_s, radius_m, length_m, pressure_pa } => {
                let air = film(first_k, second_k, *pressure_pa);
                let reynolds = air.turning_reynolds(*speed_rad_s, *radius_m);
                let nusselt = rotating_free::cylinder(reynolds, air.prandtl);
                nusselt * air.conductivity * (std::f64::consts::PI * length_m)
            }
            Self::Vent { mass_flow_kg_s } => air::specific_heat((first_k + second_k) * 0.5) * *mass_flow_kg_s,
        }
    }

    /// Whether air properties and handbook relation cover the state; true for a law without a range.
    pub fn covers(&self, first_k: f64, second_k: f64) -> bool {
        let mean_k = 0.5 * (first_k + second_k);
        let of_air = |pressure_pa: &f64| film(first_k, second_k, *pressure_pa);
        match self {
            Self::Conductance { .. } | Self::Limited { .. } | Self::Radiation { .. } => true,
            Self::StillAir { surface, size_m, pressure_pa, .. } => {
                let range = match surface {
                    StillSurface::VerticalPlate => natural::VERTICAL_PLATE_RAYLEIGH,
                    StillSurface::HorizontalCylinder => natural::CYLINDER_RAYLEIGH,
                };
                air::in_range(mean_k)
                    && range.contains(of_air(pressure_pa).rayleigh(first_k, second_k, *size_m))
            }
            Self::MovingAir { surface, size_m, speed_m_s, pressure_pa, .. } => {
                let reynolds = of_air(pressure_pa).reynolds(*speed_m_s, *size_m);
                let covered = match surface {
                    WashedSurface::FlatPlate => reynolds <= external::MIXED_PLATE_REYNOLDS.high,
                    WashedSurface::Cylinder => external::CYLINDER_REYNOLDS.contains(reynolds),
                };
                air::in_range(mean_k) && covered
            }
            Self::RotatingGap { speed_rad_s, radius_m, gap_m, pressure_pa, .. } => {
                let taylor = of_air(pressure_pa).taylor(*speed_rad_s, *radius_m, *gap_m);
                air::in_range(mean_k) && rotating_gap::TAYLOR.contains(taylor)
            }
            Self::RotatingCylinder { speed_rad_s, radius_m, pressure_pa, .. } => {
                let reynolds = of_air(pressure_pa).turning_reynolds(*speed_rad_s, *radius_m);
                air::in_range(mean_k) && rotating_free::CYLINDER_REYNOLDS.contains(reynolds)
            }
            Self::Vent { .. } => air::in_range(first_k) && air::in_range(second_k),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::LinkLaw;
    use num_dual::Dual64;

    #[test]
    fn a_limited_link_follows_its_conductance_and_ends_at_its_ceiling() {
        let law = LinkLaw::Limited { conductance_w_k: 100.0, ceiling_w: 5000.0 };
        // 2 kW of 5 kW: (1 + 0.4^8)^(-1/8) = 0.99992; 12.5 kW asked: 5 kW/(1 + 0.4^8)^(1/8)
        assert!((law.heat(320.0_f64, 300.0) / 2000.0 - 0.999_918).abs() < 1e-6);
        assert!((law.heat(425.0_f64, 300.0) / 5000.0 - 0.999_918).abs() < 1e-6);
        assert!((law.heat(300.0_f64, 425.0) + law.heat(425.0, 300.0)).abs() < 1e-9);
        // at the corner 5 kW 2^(-1/8)
        assert!((law.heat(350.0_f64, 300.0) / 5000.0 - 0.917_004).abs() < 1e-6);
        let half = law.shared(2);
        assert!((half.heat(425.0_f64, 300.0) * 2.0 - law.heat(425.0, 300.0)).abs() < 1e-9);
        // slope against a central difference
        let slope = law.heat(Dual64::from_re(345.0).derivative(), Dual64::from_re(300.0)).eps;
        let difference = (law.heat(345.001_f64, 300.0) - law.heat(344.999, 300.0)) / 0.002;
        assert!((slope - difference).abs() < 1e-4, "{slope} {difference}");
        let apart = LinkLaw::Limited { conductance_w_k: 0.0, ceiling_w: 5000.0 };
        assert_eq!(apart.heat(400.0_f64, 300.0), 0.0);
    }
}
