//! A unit by its text: its size, and whether it may stand for a kind.

use crate::atoms::Role;
use crate::dimension::Dimension;
use crate::double_double::DoubleDouble;
use crate::expression::{Expression, NotUnderstood};
use crate::kind::Kind;
use crate::{atoms, expression};

/// A unit that was found to belong to a kind.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Unit {
    pub(crate) size: DoubleDouble,
    /// Zero of a temperature scale, in its own degrees.
    pub(crate) zero: DoubleDouble,
}

/// Why a text is not a unit of the kind.
pub(crate) enum Refusal {
    Missing,
    Unknown,
    Unmarked,
    Other(Option<Kind>),
}

impl Unit {
    /// What a number without a unit counts in.
    pub(crate) const BARE: Self = Self { size: DoubleDouble::ONE, zero: DoubleDouble::ZERO };

    /// Reads a unit that has not been met before.
    pub(crate) fn understand(unit: &str, kind: Kind) -> Result<Self, Refusal> {
        let read = expression::read(unit).map_err(|NotUnderstood| Refusal::Unknown)?;
        let read = as_force(unit, &read, kind).unwrap_or(read);
        match suits(&read, kind) {
            Suit::Yes => Ok(Self { size: read.size, zero: zero(&read, kind) }),
            Suit::Ambiguous => Err(Refusal::Unmarked),
            // nautical mile or nanometre, not newton metre
            Suit::No if kind == Kind::Length && unit.eq_ignore_ascii_case("nm") => Err(Refusal::Unknown),
            Suit::No => Err(Refusal::Other(kind_of(&read))),
        }
    }

    pub(crate) fn to_si(self, number: DoubleDouble) -> f64 {
        ((number + self.zero) * self.size).value()
    }

    pub(crate) fn typed(self, si: f64) -> DoubleDouble {
        DoubleDouble::from_f64(si) / self.size - self.zero
    }
}

fn zero(unit: &Expression, kind: Kind) -> DoubleDouble {
    match (kind, unit.single().map(|named| named.atom.role)) {
        (Kind::Temperature, Some(Role::Scale(hundredths))) => {
            DoubleDouble::from_integer(u128::from(hundredths)) / DoubleDouble::from_integer(100)
        }
        _ => DoubleDouble::ZERO,
    }
}

/// "ft-lb" is a torque by custom: pound and ounce are read as forces where a torque is expected, unless the text says
/// "lbm".
fn as_force(text: &str, unit: &Expression, kind: Kind) -> Option<Expression> {
    let torque = matches!(kind, Kind::Torque | Kind::TorqueConstant);
    if !torque || unit.has(Role::Force) || text.contains("lbm") {
        return None;
    }
    let mut terms = unit.terms.clone();
    for term in &mut terms {
        match term.named.atom.spellings[0] {
            "lb" => term.named = atoms::find("lbf")?,
            "oz" => term.named = atoms::find("ozf")?,
            _ => {}
        }
    }
    expression::combine(terms).ok()
}

enum Suit {
    Yes,
    No,
    Ambiguous,
}

/// Whether a unit may stand for a kind: the dimension, and the words that keep kinds of one dimension apart.
fn suits(unit: &Expression, kind: Kind) -> Suit {
    if unit.dimension != kind.dimension() {
        return Suit::No;
    }
    let fits = |yes: bool| if yes { Suit::Yes } else { Suit::No };
    let marked = unit.has(Role::Gauge) || unit.has(Role::Absolute) || unit.has(Role::Differential);
    match kind {
        Kind::Temperature => {
            fits(unit.single().is_some_and(|named| matches!(named.atom.role, Role::Scale(_))))
        }
        Kind::AbsolutePressure if unit.has(Role::LoosePressure) => Suit::Ambiguous,
        Kind::AbsolutePressure => fits(!unit.has(Role::Gauge) && !unit.has(Role::Differential)),
        Kind::GaugePressure => fits(unit.has(Role::Gauge)),
        Kind::PressureDifference => fits(!unit.has(Role::Gauge) && !unit.has(Role::Absolute)),
        Kind::Torque => fits(unit.has(Role::Force)),
        Kind::Energy => fits(!unit.has(Role::Force)),
        Kind::ChargeRate => fits(unit.has(Role::ChargeRate)),
        Kind::Frequency => fits(!unit.has(Role::ChargeRate)),
        Kind::MagneticFlux => fits(unit.has(Role::Flux) || unit.single().is_none()),
        Kind::Length => Suit::Yes,
        _ => fits(!marked || unit.dimension != Kind::PressureDifference.dimension()),
    }
}

/// A kind that a unit belongs to, for messages.
pub(crate) fn kind_of(unit: &Expression) -> Option<Kind> {
    if unit.dimension == Dimension::NONE {
        return Some(Kind::Ratio);
    }
    // a bare kelvin is more often a difference than a temperature
    let order = [Kind::TemperatureDifference, Kind::PressureDifference];
    let scale = unit.single().is_some_and(|n| matches!(n.atom.role, Role::Scale(zero) if zero > 0));
    if scale {
        return Some(Kind::Temperature);
    }
    order.iter().chain(Kind::ALL).copied().find(|&kind| matches!(suits(unit, kind), Suit::Yes))
}
