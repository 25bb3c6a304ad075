//! From the name a user types to a liquid.

use crate::error::nearest;
use crate::glycol::{Glycol, Strength};
use crate::liquid::Liquid;
use crate::oils::ISO_GRADES;
use crate::{MediaError, dielectric, water};
use crate::{glycol, oils};

const ISO_PREFIX: &str = "iso-vg-";

type Make = fn() -> Result<Liquid, MediaError>;

/// Liquids without a strength or a grade.
const PLAIN: [(&str, Make); 6] = [
    ("water", water::water),
    ("turbine-oil", oils::turbine_oil),
    ("atf", oils::atf),
    ("gear-oil-75w90", oils::gear_oil_75w90),
    ("silicone", dielectric::silicone),
    ("aliphatic", dielectric::aliphatic),
];

const GLYCOLS: [Glycol; 2] = [Glycol::Ethylene, Glycol::Propylene];

pub(crate) fn liquid(name: &str) -> Result<Liquid, MediaError> {
    let wanted = name.trim().to_lowercase();
    let (base, strength) = match wanted.split_once(':') {
        Some((base, strength)) => (base.trim_end(), Some(strength.trim())),
        None => (wanted.as_str(), None),
    };
    if let Some(glycol) = GLYCOLS.into_iter().find(|glycol| glycol.name() == base) {
        let Some(text) = strength else {
            return Err(MediaError::FractionMissing { name: base.to_owned() });
        };
        return glycol::liquid(glycol, Strength::parse(glycol, text)?);
    }
    if base == crate::air::NAME {
        return Err(MediaError::AirIsNotALiquid);
    }
    let plain = PLAIN.iter().find(|entry| entry.0 == base);
    let grade = base.strip_prefix(ISO_PREFIX);
    if plain.is_none() && grade.is_none() {
        return Err(unknown(name));
    }
    if let Some(fraction) = strength {
        return Err(MediaError::FractionNotWanted { name: base.to_owned(), fraction: fraction.to_owned() });
    }
    match (plain, grade) {
        (Some((_, make)), _) => make(),
        (None, Some(grade)) => oils::iso_vg(grade),
        (None, None) => Err(unknown(name)),
    }
}

/// The error for a name that is neither a liquid nor air.
pub(crate) fn unknown(name: &str) -> MediaError {
    let base = name.split(':').next().unwrap_or(name).trim().to_lowercase();
    let mut known: Vec<String> = PLAIN.iter().map(|entry| entry.0.to_owned()).collect();
    known.extend(GLYCOLS.iter().map(|glycol| glycol.name().to_owned()));
    known.extend(ISO_GRADES.iter().map(|grade| format!("{ISO_PREFIX}{}", grade.grade)));
    known.push(crate::air::NAME.to_owned());
    MediaError::UnknownLiquid {
        name: name.to_owned(),
        suggestion: nearest(&base, known.iter().map(String::as_str)),
    }
}

pub(crate) fn all() -> Vec<String> {
    let mut names = vec!["water".to_owned()];
    names.extend(GLYCOLS.iter().map(|glycol| format!("{}:0.5", glycol.name())));
    names.extend(PLAIN.iter().skip(1).map(|entry| entry.0.to_owned()));
    names.extend(ISO_GRADES.iter().map(|grade| format!("{ISO_PREFIX}{}", grade.grade)));
    names
}

impl Liquid {
    /// The liquid of this name: one of [`Liquid::all_names`], glycols with their strength (`:0.5` by mass, `:0.5vol`
    /// by volume).
    ///
    /// # Errors
    /// [`MediaError`] for an unknown name (with the nearest known one) or a strength that is missing, not wanted, not
    /// a number or outside the law.
    pub fn named(name: &str) -> Result<Self, MediaError> {
        liquid(name)
    }

    /// All names that [`Liquid::named`] takes, as they are listed for a user.
    pub fn all_names() -> Vec<String> {
        all()
    }
}
