//! Units that were read before: a project says the same few dozen units thousands of times.

use crate::kind::Kind;
use crate::unit::{Refusal, Unit};
use std::collections::HashMap;
use std::sync::{PoisonError, RwLock};

/// More different texts than any project has units; what comes after is read anew each time.
const MOST: usize = 512;

/// Units by kind and text. Only what was understood is kept, so that an error is always worked out in full.
static KNOWN: RwLock<Vec<HashMap<Box<str>, Unit>>> = RwLock::new(Vec::new());

/// A unit of the kind; without words, because suggestions are tried with it.
pub(crate) fn read(text: &str, kind: Kind) -> Result<Unit, Refusal> {
    if text.is_empty() {
        return if kind == Kind::Ratio { Ok(Unit::BARE) } else { Err(Refusal::Missing) };
    }
    if let Some(unit) = find(text, kind) {
        return Ok(unit);
    }
    let understood = Unit::understand(text, kind)?;
    keep(text, kind, understood);
    Ok(understood)
}

/// Whether a text is a unit of the kind.
pub(crate) fn belongs(text: &str, kind: Kind) -> bool {
    read(text, kind).is_ok()
}

/// A unit of the kind from an earlier reading.
fn find(text: &str, kind: Kind) -> Option<Unit> {
    // A map is whole between its calls, also after a panic elsewhere.
    let known = KNOWN.read().unwrap_or_else(PoisonError::into_inner);
    known.get(kind as usize)?.get(text).copied()
}

/// Keeps a unit in mind.
fn keep(text: &str, kind: Kind, unit: Unit) {
    let mut known = KNOWN.write().unwrap_or_else(PoisonError::into_inner);
    if known.is_empty() {
        known.resize_with(Kind::ALL.len(), HashMap::new);
    }
    let of_kind = &mut known[kind as usize];
    if of_kind.len() < MOST {
        of_kind.insert(text.into(), unit);
    }
}
