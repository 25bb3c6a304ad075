//! Heat transfer inside tubes and ducts: `Nu = h D/k` with the (hydraulic) diameter `D`.
//!
//! Properties at the mean bulk temperature unless said otherwise. Cold walls thicken oil and glycol: multiply by
//! [`wall_viscosity_factor`] where the viscosity at the wall is known.
//!
//! Two published sets for tubes above 2300 are not to be mixed: Gnielinski 2013 is the law of every wall, the Heat Atlas the spread beside it.

mod all_regimes;
mod graetz;
mod laminar;
mod published;
mod turbulent;

pub use all_regimes::{
    LAMINAR_END_BLEND, TRANSITION_REYNOLDS, TURBULENT_START_BLEND, nusselt_developing_laminar_turbulent,
    nusselt_transition_linear,
};
pub use graetz::graetz_mean_series;
pub use laminar::{
    ENTRY_ONSET, HAUSEN_GRAETZ, LAMINAR_REYNOLDS, NUSSELT_CONSTANT_FLUX, NUSSELT_CONSTANT_TEMPERATURE,
    SIEDER_TATE_PRANDTL, VDI_NUSSELT_CONSTANT_TEMPERATURE, graetz_number, laminar_baehr_stephan,
    laminar_developing, laminar_hausen, laminar_sieder_tate, laminar_vdi,
};
pub use published::{
    HEAT_ATLAS_BLEND, HEAT_ATLAS_TRANSITION, heat_atlas, heat_atlas_ratio, heat_atlas_transition_linear,
    published_factor,
};
pub use turbulent::{
    DITTUS_BOELTER_PRANDTL, DITTUS_BOELTER_REYNOLDS, GNIELINSKI_2013_REYNOLDS, GNIELINSKI_PRANDTL,
    GNIELINSKI_REYNOLDS, VDI_TURBULENT_PRANDTL, VDI_TURBULENT_REYNOLDS, darcy_konakov_rough,
    dittus_boelter_cooling, dittus_boelter_heating, gnielinski, turbulent_gnielinski_2013, turbulent_vdi,
    wall_prandtl_factor, wall_viscosity_factor,
};
