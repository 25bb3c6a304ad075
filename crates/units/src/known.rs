//! Units that were read before: a project says the same few dozen units thousands of times.

use std::collections::HashMap;
use std::sync::{PoisonError, RwLock};

use crate::kind::Kind;
use crate::quantity::Unit;

/// More different texts than any project has units; what comes after is read anew each time.
const MOST: usize = 512;

/// Units by kind and text. Only what was understood is kept, so that an error is always worked out in full.
static KNOWN: RwLock<Vec<HashMap<Box<str>, Unit>>> = RwLock::new(Vec::new());

/// A unit of the kind from an earlier reading.
pub(crate) fn find(text: &str, kind: Kind) -> Option<Unit> {
    // A map is whole between its calls, also after a panic elsewhere.
    let known = KNOWN.read().unwrap_or_else(PoisonError::into_inner);
    known.get(kind as usize)?.get(text).copied()
}

/// Keeps a unit in mind.
pub(crate) fn keep(text: &str, kind: Kind, unit: Unit) {
    let mut known = KNOWN.write().unwrap_or_else(PoisonError::into_inner);
    if known.is_empty() {
        known.resize_with(Kind::ALL.len(), HashMap::new);
    }
    let of_kind = &mut known[kind as usize];
    if of_kind.len() < MOST {
        of_kind.insert(text.into(), unit);
    }
}
