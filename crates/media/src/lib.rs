//! Coolants, oils, air and the atmosphere.
//!
//! Invariant: no GUI types, no file access, no clock, no threads, no random numbers, no printing. Same input, same
//! bits. Everything in SI; a temperature is in K and a pressure absolute.
//!
//! [`Liquid`] is a liquid prepared once ([`Liquid::named`], [`Liquid::from_table`], [`Liquid::oil`]) and then evaluated
//! without allocation, for plain `f64` and for dual numbers alike. [`air`] is dry air as an ideal gas; [`atmosphere`]
//! gives outside air by day and pressure altitude. The equations, sources, ranges and spreads are in
//! `docs/theory/media.md`.

pub mod air;
pub mod atmosphere;
mod conde;
mod dielectric;
mod error;
mod glycol;
mod law;
mod liquid;
mod listed;
mod names;
mod oil;
mod oils;
mod polynomial;
mod properties;
mod spread;
mod table;
mod vapour;
mod water;

pub use conde::{Conde, ethylene_glycol_conde};
pub use error::MediaError;
pub use glycol::{Glycol, MAX_MASS_FRACTION, Strength};
pub use liquid::{ENTHALPY_ZERO_K, Liquid};
pub use listed::{Listed, listed};
pub use oil::{
    Anchor, COLD_BRANCH_K, D341, HOT_ANCHOR_K, WARM_ANCHOR_K, cragoe_conductivity, cragoe_specific_heat,
    lubricant_density, relative_density,
};
pub use oils::{ISO_GRADES, IsoGrade, OilData};
pub use properties::{PropertyRow, STANDARD_PRESSURE_PA, liquid_row, property_table};
pub use spread::Spread;
pub use table::{LiquidRow, TableOptions};
pub use vapour::{dew_point_k, water_saturation_pressure_pa};
