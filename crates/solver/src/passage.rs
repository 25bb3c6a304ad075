//! Channels in parallel: one description for their pressure loss and for their heat transfer.

use crate::fluid::Fluid;
use correlations::{friction, internal};
use numerics::{Scalar, constant};

/// Where a wall stands between regimes, and how far published laws disagree there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TubeState {
    /// Reynolds number on the hydraulic diameter.
    pub reynolds: f64,
    /// Prandtl number of the bulk.
    pub prandtl: f64,
    /// Nusselt number of the Heat Atlas over the one that is used.
    pub heat_atlas_ratio: f64,
    /// `(Pr_bulk/Pr_wall)^0.11`: below 1 where a liquid is cooled. 1 for air, which it is not made for.
    pub wall_factor: f64,
    /// Friction of turbulent over that of laminar flow at this Reynolds number: what a transition can do to the pressure loss.
    pub friction_ratio: f64,
}

impl TubeState {
    /// Whether the flow is between laminar and turbulent.
    pub fn is_in_transition(&self) -> bool {
        let ends = internal::TRANSITION_REYNOLDS;
        self.reynolds > ends.low && self.reynolds < ends.high
    }

    /// Film at the worst and the best end of what is published, over the one that is used.
    pub fn published_ends(&self) -> (f64, f64) {
        (self.heat_atlas_ratio.min(1.0) * self.wall_factor.min(1.0), self.heat_atlas_ratio.max(1.0))
    }
}

/// One or more equal channels side by side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// Length along the flow, m.
    pub length_m: f64,
    /// Hydraulic diameter `4 A / P` of one channel, m.
    pub hydraulic_diameter_m: f64,
    /// Flow area of all channels together, m2.
    pub flow_area_m2: f64,
    /// Heated area of all channels together, m2.
    pub wetted_area_m2: f64,
    /// Wall roughness, m.
    pub roughness_m: f64,
    /// Laminar `f Re` in Darcy form: 64 for a round tube, 96 between plates.
    pub laminar_friction: f64,
    /// Nusselt number of developed laminar flow.
    pub laminar_nusselt: f64,
    /// Sum of minor loss coefficients on the mean velocity.
    pub loss_coefficient: f64,
}

impl Passage {
    /// Reynolds number on the hydraulic diameter, for flow in either direction.
    #[inline]
    pub fn reynolds<S: Scalar>(&self, fluid: &Fluid, mass_flow_kg_s: S, temperature_k: S) -> S {
        self.reynolds_at(mass_flow_kg_s, fluid.viscosity(temperature_k))
    }

    /// The same at a known viscosity, Pa s, which is the dearest of the properties.
    #[inline]
    fn reynolds_at<S: Scalar>(&self, mass_flow_kg_s: S, viscosity_pa_s: S) -> S {
        mass_flow_kg_s.abs() * self.hydraulic_diameter_m / (viscosity_pa_s * self.flow_area_m2)
    }

    /// Static pressure loss in the direction of flow, Pa: Darcy-Weisbach with friction of all regimes.
    #[inline]
    pub fn drop<S: Scalar>(&self, fluid: &Fluid, mass_flow_kg_s: S, temperature_k: S) -> S {
        let density = fluid.density(temperature_k);
        let velocity = mass_flow_kg_s / (density * self.flow_area_m2);
        let viscosity = fluid.viscosity(temperature_k);
        let reynolds = self.reynolds_at(mass_flow_kg_s, viscosity);
        let friction_times_reynolds = friction::darcy_times_reynolds(
            reynolds,
            self.roughness_m / self.hydraulic_diameter_m,
            self.laminar_friction,
        );
        let viscous = friction_times_reynolds
            * viscosity
            * velocity
            * (self.length_m / (2.0 * self.hydraulic_diameter_m * self.hydraulic_diameter_m));
        viscous + density * velocity * velocity.abs() * (0.5 * self.loss_coefficient)
    }

    /// Pressure loss over the mean velocity, Pa/(m/s), of a fluid of known density, kg/m3, and viscosity, Pa s: above zero at rest too.
    #[inline]
    pub(crate) fn drag<S: Scalar>(&self, mass_flow_kg_s: S, density_kg_m3: S, viscosity_pa_s: S) -> S {
        let friction_times_reynolds = friction::darcy_times_reynolds(
            self.reynolds_at(mass_flow_kg_s, viscosity_pa_s),
            self.roughness_m / self.hydraulic_diameter_m,
            self.laminar_friction,
        );
        let viscous = friction_times_reynolds
            * viscosity_pa_s
            * (self.length_m / (2.0 * self.hydraulic_diameter_m * self.hydraulic_diameter_m));
        let speed = mass_flow_kg_s.abs() / (density_kg_m3 * self.flow_area_m2);
        viscous + density_kg_m3 * speed * (0.5 * self.loss_coefficient)
    }

    /// Film conductance `h A`, W/K.
    #[inline]
    pub fn film_conductance<S: Scalar>(&self, fluid: &Fluid, mass_flow_kg_s: S, temperature_k: S) -> S {
        self.film_conductance_of(
            mass_flow_kg_s,
            fluid.viscosity(temperature_k),
            fluid.specific_heat(temperature_k),
            fluid.conductivity(temperature_k),
        )
    }

    /// The same of a fluid of known viscosity, Pa s, specific heat, J/(kg K), and conductivity, W/(m K).
    #[inline]
    pub(crate) fn film_conductance_of<S: Scalar>(
        &self,
        mass_flow_kg_s: S,
        viscosity: S,
        specific_heat: S,
        conductivity: S,
    ) -> S {
        let nusselt = internal::nusselt_developing_laminar_turbulent(
            self.reynolds_at(mass_flow_kg_s, viscosity),
            viscosity * specific_heat / conductivity,
            self.length_m / self.hydraulic_diameter_m,
            self.roughness_m / self.hydraulic_diameter_m,
            self.laminar_nusselt,
        );
        nusselt * conductivity * (self.wetted_area_m2 / self.hydraulic_diameter_m)
    }

    /// The film of [`Passage::film_conductance`] at a place between published laws, W/K: 0 is the law itself, 1 the worst end, -1 the best
    /// ([`internal::published_factor`]). The temperature of the wall counts where it makes the film worse.
    pub fn published_conductance<S: Scalar>(
        &self,
        fluid: &Fluid,
        mass_flow_kg_s: S,
        (temperature_k, wall_k): (S, S),
        place: f64,
    ) -> S {
        let ratio = internal::heat_atlas_ratio(
            self.reynolds(fluid, mass_flow_kg_s, temperature_k),
            fluid.prandtl(temperature_k),
            self.length_m / self.hydraulic_diameter_m,
            self.roughness_m / self.hydraulic_diameter_m,
            self.laminar_nusselt,
        );
        let factor = internal::published_factor(place, ratio, wall_factor(fluid, temperature_k, wall_k));
        self.film_conductance(fluid, mass_flow_kg_s, temperature_k) * factor
    }

    /// Regime and published spread at a state.
    pub fn state(&self, fluid: &Fluid, mass_flow_kg_s: f64, temperature_k: f64, wall_k: f64) -> TubeState {
        let reynolds = self.reynolds(fluid, mass_flow_kg_s, temperature_k);
        let prandtl = fluid.prandtl(temperature_k);
        let rough = self.roughness_m / self.hydraulic_diameter_m;
        TubeState {
            reynolds,
            prandtl,
            heat_atlas_ratio: internal::heat_atlas_ratio(
                reynolds,
                prandtl,
                self.length_m / self.hydraulic_diameter_m,
                rough,
                self.laminar_nusselt,
            ),
            wall_factor: wall_factor(fluid, temperature_k, wall_k),
            friction_ratio: friction::darcy_colebrook(reynolds.max(1.0), rough) * reynolds.max(1.0)
                / self.laminar_friction,
        }
    }
}

/// `(Pr_bulk/Pr_wall)^0.11` of a liquid; 1 for air.
fn wall_factor<S: Scalar>(fluid: &Fluid, temperature_k: S, wall_k: S) -> S {
    match fluid {
        Fluid::Liquid(_) => {
            internal::wall_prandtl_factor(fluid.prandtl(temperature_k), fluid.prandtl(wall_k))
        }
        Fluid::Air { .. } => constant(1.0),
    }
}
