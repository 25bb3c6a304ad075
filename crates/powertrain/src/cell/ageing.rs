//! Ageing: more resistance, less capacity.

use super::{Cell, CellData};
use crate::error::{self, InputError};

/// What age does to a cell, against the new one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ageing {
    /// Resistance over that of the new cell, 1 or greater.
    pub resistance_factor: f64,
    /// Capacity over that of the new cell, up to 1.
    pub capacity_factor: f64,
}

impl Ageing {
    /// A new cell.
    pub const NEW: Self = Self { resistance_factor: 1.0, capacity_factor: 1.0 };
    /// End of life by the usual convention, 80 % capacity, with 1.5 times the resistance: the band is 1.3 to 2.0 (common
    /// practice, no source). Replace it by cycle data of the cell; size cooling at the end of life.
    pub const END_OF_LIFE: Self = Self { resistance_factor: 1.5, capacity_factor: 0.8 };

    /// Age between new (0) and this one (1), linear in the life used: an assumption, since resistance often grows faster
    /// towards the end.
    ///
    /// # Errors
    /// [`InputError::Value`] for a part of life outside 0-1.
    pub fn part(&self, life_used: f64) -> Result<Self, InputError> {
        error::fraction("part of the cell's life used", life_used)?;
        Ok(Self {
            resistance_factor: 1.0 + (self.resistance_factor - 1.0) * life_used,
            capacity_factor: 1.0 + (self.capacity_factor - 1.0) * life_used,
        })
    }
}

impl Cell {
    /// This cell, aged: resistance and capacity multiplied. The state of charge of an aged cell counts from empty to what it
    /// still holds; rates in C keep meaning the rated capacity, so they must be taken from the new cell.
    ///
    /// # Errors
    /// [`InputError::Value`] for a resistance factor below 1 or a capacity factor outside 0-1.
    pub fn aged(&self, ageing: Ageing) -> Result<Self, InputError> {
        let Ageing { resistance_factor, capacity_factor } = ageing;
        if !(resistance_factor >= 1.0 && resistance_factor.is_finite()) {
            let (what, rule) = ("resistance of the aged cell over the new one", "1 or greater");
            return Err(InputError::Value { what, value: resistance_factor, rule });
        }
        error::efficiency("capacity of the aged cell over the new one", capacity_factor)?;
        let old = &self.data;
        let resistance = old.resistance.aged(old.resistance.age_factor() * resistance_factor)?;
        Self::new(CellData { capacity_ah: old.capacity_ah * capacity_factor, resistance, ..old.clone() })
    }
}
