//! The finned side of a compact core.

use crate::fluid::Fluid;
use correlations::{compact, fin};
use numerics::Scalar;

/// Which fins fill the core, with the lengths their relation needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FinForm {
    /// Rectangular offset strips (Manglik & Bergles 1995).
    OffsetStrip(compact::offset_strip::Geometry),
    /// Corrugated louvered fins between flat tubes (Chang & Wang 1997; Chang et al. 2000, 2006).
    Louver(compact::louver::Geometry),
}

/// Areas and fins of one side of a compact core.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CompactSide {
    /// Fin form and lengths.
    pub form: FinForm,
    /// Length scale of the Reynolds number: hydraulic diameter, or louver pitch, m.
    pub reynolds_length_m: f64,
    /// Least free flow area, m2.
    pub free_area_m2: f64,
    /// Heat transfer area, fins and bare surface together, m2.
    pub total_area_m2: f64,
    /// Share of the fins in the total area.
    pub fin_share: f64,
    /// Half the fin height, m: the fin is fed from both ends.
    pub fin_half_height_m: f64,
    /// Fin thickness, m.
    pub fin_thickness_m: f64,
    /// Thermal conductivity of the fins, W/(m K).
    pub fin_conductivity_w_mk: f64,
    /// Loss coefficient of entrance and exit together, on the velocity in the free area.
    pub end_losses: f64,
}

impl CompactSide {
    /// Reynolds number on [`Self::reynolds_length_m`] in the free area.
    #[inline]
    pub fn reynolds<S: Scalar>(&self, fluid: &Fluid, mass_flow_kg_s: S, temperature_k: S) -> S {
        self.reynolds_at(mass_flow_kg_s, fluid.viscosity(temperature_k))
    }

    #[inline]
    fn reynolds_at<S: Scalar>(&self, mass_flow_kg_s: S, viscosity_pa_s: S) -> S {
        mass_flow_kg_s.abs() * (self.reynolds_length_m / self.free_area_m2) / viscosity_pa_s
    }

    /// Conductance `eta h A` with the fin efficiency, W/K; `h = j G cp Pr^(-2/3)`.
    #[inline]
    pub fn film_conductance<S: Scalar>(&self, fluid: &Fluid, mass_flow_kg_s: S, temperature_k: S) -> S {
        let viscosity = fluid.viscosity(temperature_k);
        let conductivity = fluid.conductivity(temperature_k);
        let reynolds = self.reynolds_at(mass_flow_kg_s, viscosity);
        // j Re stays finite at rest where j does not
        let colburn_times_reynolds = match &self.form {
            FinForm::OffsetStrip(geometry) => {
                compact::offset_strip::colburn_j_times_reynolds(reynolds, geometry)
            }
            FinForm::Louver(geometry) => compact::louver::colburn_j_times_reynolds(reynolds, geometry),
        };
        let prandtl = viscosity * fluid.specific_heat(temperature_k) / conductivity;
        let film = colburn_times_reynolds * prandtl.cbrt() * conductivity / self.reynolds_length_m;
        let parameter = fin::parameter(film, self.fin_conductivity_w_mk, self.fin_thickness_m);
        let fin_efficiency = fin::straight_efficiency(parameter * self.fin_half_height_m);
        fin::overall_efficiency(fin_efficiency, self.fin_share) * film * self.total_area_m2
    }

    /// Static pressure loss in the direction of flow, Pa: core friction with the Fanning factor and the end losses.
    /// The acceleration by heating is left out: it is under 2 % of the loss at 30 K rise.
    #[inline]
    pub fn drop<S: Scalar>(&self, fluid: &Fluid, mass_flow_kg_s: S, temperature_k: S) -> S {
        let viscosity = fluid.viscosity(temperature_k);
        let reynolds = self.reynolds_at(mass_flow_kg_s, viscosity);
        let fanning_times_reynolds = match &self.form {
            FinForm::OffsetStrip(geometry) => {
                compact::offset_strip::fanning_f_times_reynolds(reynolds, geometry)
            }
            FinForm::Louver(geometry) => compact::louver::fanning_f_times_reynolds(reynolds, geometry),
        };
        let flux = mass_flow_kg_s / self.free_area_m2;
        let friction = fanning_times_reynolds
            * viscosity
            * (self.total_area_m2 / (self.free_area_m2 * self.reynolds_length_m));
        flux * (friction + flux.abs() * self.end_losses) / (fluid.density(temperature_k) * 2.0)
    }
}
