//! How far published sources disagree.

/// Largest relative difference between sources, per property, as a fraction (0.1 is +-10 %).
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// Of the density.
    pub density: f64,
    /// Of the specific heat.
    pub specific_heat: f64,
    /// Of the viscosity.
    pub viscosity: f64,
    /// Of the conductivity.
    pub conductivity: f64,
    /// What was compared with what.
    pub words: String,
}
