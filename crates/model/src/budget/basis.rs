//! Where a mass is from.

/// What a mass rests on.
#[derive(Clone, Debug, PartialEq)]
pub enum Basis {
    /// Stated in the project.
    Stated,
    /// Worked out from dimensions; how.
    Dimensions(&'static str),
    /// Estimated by a rule of thumb, which is this text.
    Assumed(&'static str),
}

impl Basis {
    /// One word: `stated`, `dimensions` or `assumed`.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Stated => "stated",
            Self::Dimensions(_) => "dimensions",
            Self::Assumed(_) => "assumed",
        }
    }

    /// How it was worked out; empty for a stated mass.
    pub fn how(&self) -> &'static str {
        match self {
            Self::Stated => "",
            Self::Dimensions(how) | Self::Assumed(how) => how,
        }
    }
}
