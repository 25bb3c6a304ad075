//! A number on the way between two others.

/// Sets a number to its place between two others.
#[inline]
pub(crate) fn mix(number: &mut f64, from: f64, to: f64, share: f64) {
    *number = from + share * (to - from);
}
