//! Channels in parallel: one description for their pressure loss and for their heat transfer.

use crate::fluid::Fluid;
use correlations::{friction, internal};
use numerics::Scalar;

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
}
