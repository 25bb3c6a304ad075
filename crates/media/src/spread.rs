//! How far published sources disagree.

/// Largest relative difference between sources, per property, as a fraction (0.1 is +-10 %); of the freezing point in K.
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
    /// Of the freezing or pour point, K: other sources may freeze so much warmer. Nothing where it is not known.
    pub freezing_k: Option<f64>,
    /// What was compared with what.
    pub words: String,
}
