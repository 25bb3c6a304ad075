//! The glycols.

/// The two glycols.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Glycol {
    /// Ethylene glycol (1,2-ethanediol).
    Ethylene,
    /// Propylene glycol (1,2-propanediol).
    Propylene,
}

impl Glycol {
    /// The name a user types, without the strength.
    pub fn name(self) -> &'static str {
        match self {
            Self::Ethylene => "ethylene-glycol",
            Self::Propylene => "propylene-glycol",
        }
    }

    pub(super) fn plain_name(self) -> &'static str {
        match self {
            Self::Ethylene => "ethylene glycol",
            Self::Propylene => "propylene glycol",
        }
    }

    /// Density of the neat glycol at 20 degC, kg/m3 (handbook values, from memory).
    pub(crate) fn neat_density(self) -> f64 {
        match self {
            Self::Ethylene => 1113.2,
            Self::Propylene => 1036.1,
        }
    }

    pub(super) fn molar_mass(self) -> f64 {
        match self {
            Self::Ethylene => 62.068,
            Self::Propylene => 76.095,
        }
    }
}
