//! Which limit a margin belongs to, over cases and designs.

use model::result::{Margin, MarginKind};

/// Which limit a margin belongs to.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct LimitName {
    /// Component, device or loop.
    pub place: String,
    /// Name of the limit.
    pub limit: String,
    /// Kind.
    pub kind: MarginKind,
}

impl LimitName {
    /// The limit of a margin.
    pub fn of(margin: &Margin) -> Self {
        Self { place: margin.place.clone(), limit: margin.limit.clone(), kind: margin.kind }
    }

    /// Whether the margin belongs to this limit.
    pub fn is_of(&self, margin: &Margin) -> bool {
        margin.place == self.place && margin.limit == self.limit && margin.kind == self.kind
    }

    /// The margin of this limit, the first if there are several.
    pub fn find<'a>(&self, margins: &'a [Margin]) -> Option<&'a Margin> {
        margins.iter().find(|margin| self.is_of(margin))
    }
}
