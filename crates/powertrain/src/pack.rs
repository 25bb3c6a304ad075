//! Packs: cells in series and parallel, interconnects, and the current a power draws.

mod hot_cell;

pub use hot_cell::{HotCell, HotCellAllowance};

use numerics::{Scalar, constant};
use thiserror::Error;

use crate::cell::Cell;
use crate::conductor::Resistor;
use crate::error::{self, InputError};

/// Why a pack cannot deliver a power.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum PackPower {
    /// The power is above what the pack can give at any current.
    #[error("the power of {demand_w:.0} W is impossible: the pack gives at most {greatest_w:.0} W")]
    Impossible {
        /// Power asked for (W).
        demand_w: f64,
        /// Greatest power, `U0^2/(4 R)` (W).
        greatest_w: f64,
    },
    /// Every string is out of service.
    #[error("no string of the pack is in service")]
    NoString,
}

/// Current (A) that a source of open-circuit voltage `U0` and resistance `R` delivers at a power; negative power charges.
///
/// # Formula
/// The smaller root of `P = I (U0 - I R)`, written so that it stays exact as `R` goes to 0:
/// ```text
/// I = 2 P / (U0 + sqrt(U0^2 - 4 R P))    [ = (U0 - sqrt(U0^2 - 4 R P)) / (2 R) ]
/// ```
/// The slope with power grows without bound as the greatest power is approached.
///
/// # Errors
/// [`PackPower::Impossible`] if `P > U0^2/(4 R)`, or if anything is NaN.
#[inline]
pub fn current_from_power<S: Scalar>(
    power_w: S,
    open_circuit_v: S,
    resistance_ohm: S,
) -> Result<S, PackPower> {
    let room = open_circuit_v * open_circuit_v - resistance_ohm * power_w * 4.0;
    if !(room.value() >= 0.0 && open_circuit_v.value() > 0.0) {
        return Err(PackPower::Impossible {
            demand_w: power_w.value(),
            greatest_w: greatest_power_w(open_circuit_v.value(), resistance_ohm.value()),
        });
    }
    // at the greatest power itself the slope is infinite: value only
    let root = if room.value() == 0.0 { constant(0.0) } else { room.sqrt() };
    Ok(power_w * 2.0 / (open_circuit_v + root))
}

/// Greatest power of a source (W), `U0^2/(4 R)`: infinite without resistance.
#[inline]
pub fn greatest_power_w<S: Scalar>(open_circuit_v: S, resistance_ohm: S) -> S {
    open_circuit_v * open_circuit_v / (resistance_ohm * 4.0)
}

/// Open-circuit voltage and resistance of a part of a pack, or of all of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VoltageSource<S> {
    /// Open-circuit voltage (V).
    pub open_circuit_v: S,
    /// Resistance (ohm).
    pub resistance_ohm: S,
}

impl<S: Scalar> VoltageSource<S> {
    /// Nothing in series.
    pub fn zero() -> Self {
        Self { open_circuit_v: constant(0.0), resistance_ohm: constant(0.0) }
    }

    /// One after the other: voltages and resistances add up.
    #[must_use]
    pub fn in_series(self, other: Self) -> Self {
        Self {
            open_circuit_v: self.open_circuit_v + other.open_circuit_v,
            resistance_ohm: self.resistance_ohm + other.resistance_ohm,
        }
    }

    /// Side by side: `U = (U1/R1 + U2/R2) R`, `1/R = 1/R1 + 1/R2`. Strings of unequal temperature or charge share the
    /// current unequally: [`VoltageSource::current_at`] the common voltage gives each one's part. Both need a resistance above 0.
    #[must_use]
    pub fn in_parallel(self, other: Self) -> Self {
        let sum = self.resistance_ohm + other.resistance_ohm;
        Self {
            open_circuit_v: (self.open_circuit_v * other.resistance_ohm
                + other.open_circuit_v * self.resistance_ohm)
                / sum,
            resistance_ohm: self.resistance_ohm * other.resistance_ohm / sum,
        }
    }

    /// Current (A) at a power, see [`current_from_power`].
    ///
    /// # Errors
    /// [`PackPower::Impossible`] above the greatest power.
    #[inline]
    pub fn current_from_power(&self, power_w: S) -> Result<S, PackPower> {
        current_from_power(power_w, self.open_circuit_v, self.resistance_ohm)
    }

    /// Terminal voltage (V) at a current.
    #[inline]
    pub fn terminal_v(&self, current_a: S) -> S {
        self.open_circuit_v - current_a * self.resistance_ohm
    }

    /// Current (A) at a terminal voltage, negative when the voltage charges. Needs a resistance above 0.
    #[inline]
    pub fn current_at(&self, terminal_v: S) -> S {
        (self.open_circuit_v - terminal_v) / self.resistance_ohm
    }
}

/// How the cells are joined: `series` groups of `cells_in_parallel` cells make a string, `strings` strings stand side by side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Layout {
    /// Groups in series in one string.
    pub series: u32,
    /// Cells side by side in one group.
    pub cells_in_parallel: u32,
    /// Strings with their own contactors.
    pub strings: u32,
}

impl Layout {
    /// Number of cells.
    pub fn cells(&self) -> u32 {
        self.series * self.cells_in_parallel * self.strings
    }
}

/// What joins the cells to the bus.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interconnects {
    /// Busbars and links of one string.
    pub string_busbars: Resistor,
    /// Contactor and fuse of one string.
    pub string_contactor: Resistor,
    /// Main contactors, fuse and other parts that carry the whole current.
    pub main_contactor: Resistor,
    /// Main cable, go and return.
    pub cable: Resistor,
}

impl Interconnects {
    /// No resistance.
    pub const NONE: Self = Self {
        string_busbars: Resistor::NONE,
        string_contactor: Resistor::NONE,
        main_contactor: Resistor::NONE,
        cable: Resistor::NONE,
    };
}

/// Heat of the interconnects (W).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InterconnectHeat<S> {
    /// Busbars and links of all strings in service (W).
    pub busbar_w: S,
    /// Contactors and fuses, of the strings and of the whole (W).
    pub contactor_w: S,
    /// Main cable (W).
    pub cable_w: S,
}

/// Temperatures of the interconnects (K).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InterconnectTemperatures<S> {
    /// Busbars.
    pub busbar_k: S,
    /// Contactors.
    pub contactor_k: S,
    /// Cable.
    pub cable_k: S,
}

/// Series groups of every string that share one temperature and state of charge, such as the cells over one segment of
/// a cold plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Group<S> {
    /// Number of series groups.
    pub series: u32,
    /// Temperature (K).
    pub temperature_k: S,
    /// State of charge (0-1).
    pub soc: S,
}

/// A pack of equal cells.
#[derive(Clone, Debug, PartialEq)]
pub struct Pack {
    cell: Cell,
    layout: Layout,
    interconnects: Interconnects,
}

impl Pack {
    /// A pack.
    ///
    /// # Errors
    /// [`InputError::Value`] for a count of 0 or an interconnect that is not physical.
    pub fn new(cell: Cell, layout: Layout, interconnects: Interconnects) -> Result<Self, InputError> {
        error::positive("cells in series", f64::from(layout.series))?;
        error::positive("cells in parallel", f64::from(layout.cells_in_parallel))?;
        error::positive("strings", f64::from(layout.strings))?;
        interconnects.string_busbars.check()?;
        interconnects.string_contactor.check()?;
        interconnects.main_contactor.check()?;
        interconnects.cable.check()?;
        Ok(Self { cell, layout, interconnects })
    }

    /// The cell.
    pub fn cell(&self) -> &Cell {
        &self.cell
    }

    /// How the cells are joined.
    pub fn layout(&self) -> Layout {
        self.layout
    }

    /// What joins the cells to the bus.
    pub fn interconnects(&self) -> &Interconnects {
        &self.interconnects
    }

    /// Strings in service when some are out.
    ///
    /// # Errors
    /// [`PackPower::NoString`] if none is left.
    pub fn strings_in_service(&self, strings_out: u32) -> Result<u32, PackPower> {
        match self.layout.strings.checked_sub(strings_out) {
            None | Some(0) => Err(PackPower::NoString),
            Some(left) => Ok(left),
        }
    }

    /// Cells that share the pack current when some strings are out.
    ///
    /// # Errors
    /// [`PackPower::NoString`] if none is left.
    pub fn cells_sharing(&self, strings_out: u32) -> Result<u32, PackPower> {
        Ok(self.strings_in_service(strings_out)? * self.layout.cells_in_parallel)
    }

    /// Resistance of a number of series groups over that of one cell: multiplies the cell's resistance.
    ///
    /// # Errors
    /// [`PackPower::NoString`] if no string is left.
    pub fn resistance_multiplier(&self, series: u32, strings_out: u32) -> Result<f64, PackPower> {
        Ok(f64::from(series) / f64::from(self.cells_sharing(strings_out)?))
    }

    /// Current of one cell (A) at a pack current.
    ///
    /// # Errors
    /// [`PackPower::NoString`] if no string is left.
    pub fn cell_current_a<S: Scalar>(&self, pack_current_a: S, strings_out: u32) -> Result<S, PackPower> {
        Ok(pack_current_a / f64::from(self.cells_sharing(strings_out)?))
    }

    /// Open-circuit voltage and resistance at the bus, from groups with temperatures of their own. All strings in service
    /// are alike, so that the groups are the same in each.
    ///
    /// # Errors
    /// [`PackPower::NoString`] if no string is left.
    #[inline]
    pub fn source<S: Scalar>(
        &self,
        groups: impl IntoIterator<Item = Group<S>>,
        interconnects: &InterconnectTemperatures<S>,
        strings_out: u32,
    ) -> Result<VoltageSource<S>, PackPower> {
        let mut total = VoltageSource::zero();
        for group in groups {
            let multiplier = self.resistance_multiplier(group.series, strings_out)?;
            total = total.in_series(VoltageSource {
                open_circuit_v: self.cell.open_circuit_v(group.soc) * f64::from(group.series),
                resistance_ohm: self.cell.resistance_at(group.temperature_k, group.soc) * multiplier,
            });
        }
        total.resistance_ohm += self.interconnect_resistance_ohm(interconnects, strings_out)?;
        Ok(total)
    }

    /// Resistance of the interconnects as the whole pack current meets it (ohm).
    ///
    /// # Errors
    /// [`PackPower::NoString`] if no string is left.
    #[inline]
    pub fn interconnect_resistance_ohm<S: Scalar>(
        &self,
        temperatures: &InterconnectTemperatures<S>,
        strings_out: u32,
    ) -> Result<S, PackPower> {
        let strings = f64::from(self.strings_in_service(strings_out)?);
        let parts = &self.interconnects;
        let string = parts.string_busbars.at(temperatures.busbar_k)
            + parts.string_contactor.at(temperatures.contactor_k);
        Ok(string / strings
            + parts.main_contactor.at(temperatures.contactor_k)
            + parts.cable.at(temperatures.cable_k))
    }

    /// Heat of the cells of a group in all strings in service (W) at a pack current.
    ///
    /// # Errors
    /// [`PackPower::NoString`] if no string is left.
    #[inline]
    pub fn group_heat_w<S: Scalar>(
        &self,
        group: &Group<S>,
        pack_current_a: S,
        strings_out: u32,
    ) -> Result<S, PackPower> {
        let sharing = f64::from(self.cells_sharing(strings_out)?);
        let one = self.cell.heat(pack_current_a / sharing, group.temperature_k, group.soc);
        Ok(one * (sharing * f64::from(group.series)))
    }

    /// Heat of the interconnects (W) at a pack current.
    ///
    /// # Errors
    /// [`PackPower::NoString`] if no string is left.
    #[inline]
    pub fn interconnect_heat_w<S: Scalar>(
        &self,
        pack_current_a: S,
        temperatures: &InterconnectTemperatures<S>,
        strings_out: u32,
    ) -> Result<InterconnectHeat<S>, PackPower> {
        let strings = f64::from(self.strings_in_service(strings_out)?);
        let parts = &self.interconnects;
        let each = pack_current_a / strings;
        Ok(InterconnectHeat {
            busbar_w: parts.string_busbars.heat_w(each, temperatures.busbar_k) * strings,
            contactor_w: parts.string_contactor.heat_w(each, temperatures.contactor_k) * strings
                + parts.main_contactor.heat_w(pack_current_a, temperatures.contactor_k),
            cable_w: parts.cable.heat_w(pack_current_a, temperatures.cable_k),
        })
    }

    /// Rate of change of SOC (1/s) at a pack current, negative on discharge.
    ///
    /// # Errors
    /// [`PackPower::NoString`] if no string is left.
    pub fn soc_rate_per_s<S: Scalar>(&self, pack_current_a: S, strings_out: u32) -> Result<S, PackPower> {
        Ok(self.cell.soc_rate_per_s(self.cell_current_a(pack_current_a, strings_out)?))
    }

    /// Mass of the cells (kg).
    pub fn cell_mass_kg(&self) -> f64 {
        f64::from(self.layout.cells()) * self.cell.data().mass_kg
    }
}

#[cfg(test)]
mod tests;
