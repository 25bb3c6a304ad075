//! Powers of the base units.

/// Powers of kilogram, metre, second, kelvin, ampere and radian. The radian counts as a base unit here, so that a
/// rotational speed is not taken for a frequency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Dimension([i8; 6]);

impl Dimension {
    pub(crate) const NONE: Self = Self([0; 6]);

    pub(crate) const fn new(powers: [i8; 6]) -> Self {
        Self(powers)
    }

    /// Product with another dimension raised to a power; `None` when a power leaves the range of `i8`.
    pub(crate) fn times(self, other: Self, power: i8) -> Option<Self> {
        let mut result = self.0;
        for (sum, add) in result.iter_mut().zip(other.0) {
            *sum = sum.checked_add(add.checked_mul(power)?)?;
        }
        Some(Self(result))
    }
}
