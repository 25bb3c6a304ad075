//! The fluids that can be named, with the range of their laws and how far sources disagree.

use crate::{Liquid, Spread, air};

/// A fluid as it is listed.
#[derive(Clone, Debug, PartialEq)]
pub struct Listed {
    /// Name to ask for it; glycols with a strength of a half as an example.
    pub name: String,
    /// What it is.
    pub description: String,
    /// The range the sources cover, K.
    pub range_k: (f64, f64),
    /// Where the laws are evaluated, K; outside, values are held at the edge.
    pub evaluated_k: (f64, f64),
    /// How far published sources disagree; none for air, whose laws were fitted to one reference.
    pub spread: Option<Spread>,
    /// Where the laws come from.
    pub source: String,
}

impl Listed {
    /// A liquid, ready made.
    pub fn liquid(liquid: &Liquid) -> Self {
        Self {
            name: liquid.name().to_owned(),
            description: liquid.description(),
            range_k: liquid.range_k(),
            evaluated_k: liquid.evaluated_range_k(),
            spread: Some(liquid.spread().clone()),
            source: liquid.source().to_owned(),
        }
    }

    /// Dry air.
    pub fn air() -> Self {
        Self {
            name: air::NAME.to_owned(),
            description: "dry air, ideal gas".to_owned(),
            range_k: air::RANGE_K,
            evaluated_k: air::RANGE_K,
            spread: None,
            source: air::SOURCE.to_owned(),
        }
    }
}

/// Every fluid that a user can name, air last.
pub fn listed() -> Vec<Listed> {
    let liquids = Liquid::all_names().into_iter().filter_map(|name| Liquid::named(&name).ok());
    liquids.map(|liquid| Listed::liquid(&liquid)).chain([Listed::air()]).collect()
}
