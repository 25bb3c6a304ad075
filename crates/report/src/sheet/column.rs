//! What a column holds and how it is shown.

use super::Cell;
use std::borrow::Cow;
use units::to_unit;

/// What the cells of a column are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ColumnKind {
    /// Numbers of one physical kind, in SI.
    Number(units::Kind),
    /// Numbers that are in the unit already in which they are shown.
    Plain,
    /// Whole numbers.
    Count,
    /// Numbers whose kind differs from row to row, each in SI; another column tells the unit.
    Mixed,
    /// Times, s.
    Time,
    /// Texts.
    Text,
    /// Yes or no.
    Flag,
    /// How margins or cases stand.
    Standing,
}

/// The unit in which numbers are shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unit {
    /// This one; empty for none.
    Named(Cow<'static, str>),
    /// The one that the trade uses for the kind of each cell: kW, rpm, degC, else SI.
    Trade,
    /// SI.
    Si,
}

/// How many digits are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Digits {
    /// This many decimals.
    Fixed(usize),
    /// A digit before the point, this many behind it, and a power of ten.
    Exponent(usize),
    /// Six significant digits, without trailing zeros.
    Short,
    /// Three significant digits, three decimals at most.
    Three,
    /// Four digits in the usual unit of the kind, which stands behind them.
    Usual,
    /// One decimal; none for a rotational speed.
    Trade,
    /// A time as hours, minutes and seconds.
    Clock,
    /// A time as minutes and seconds.
    Minutes,
}

/// Where the unit stands when a column is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitPlace {
    /// Behind the head.
    Head,
    /// Behind each number.
    Cell,
    /// Nowhere: head or title name it.
    Silent,
}

/// How a column takes part in what is shown. Formats that other programs read have every column apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ColumnPlace {
    /// A column of its own.
    Own,
    /// Before the next column of its own, with a text between.
    Before(&'static str),
    /// Behind the last column of its own: a text before it, and one after it.
    After(&'static str, &'static str),
    /// Not shown.
    Data,
}

/// A column of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Name in formats that other programs read; a number with a unit ends in its SI unit, as in `temperature_K`.
    pub key: String,
    /// Words at its top.
    pub head: String,
    /// What its cells are.
    pub kind: ColumnKind,
    /// Unit in which it is shown.
    pub unit: Unit,
    /// Where the unit stands.
    pub unit_place: UnitPlace,
    /// Digits that are shown.
    pub digits: Digits,
    /// Whether positive numbers have a sign.
    pub is_signed: bool,
    /// Where it is shown.
    pub place: ColumnPlace,
    /// Words for an absent cell.
    pub absent: &'static str,
    /// Words for yes and no.
    pub words: [&'static str; 2],
    /// Whether yes is a verdict: something falls short.
    pub is_verdict: bool,
    /// Whether it is set to the right.
    pub is_right: bool,
}

impl Column {
    fn new(key: impl Into<String>, kind: ColumnKind, unit: Unit, digits: Digits) -> Self {
        let key = key.into();
        Self {
            head: key.replace('_', " "),
            key,
            kind,
            unit,
            unit_place: UnitPlace::Head,
            digits,
            is_signed: false,
            place: ColumnPlace::Own,
            absent: "",
            words: ["yes", "no"],
            is_verdict: false,
            is_right: !matches!(kind, ColumnKind::Text | ColumnKind::Flag | ColumnKind::Standing),
        }
    }

    /// A column of texts; its head is its key.
    pub fn text(key: impl Into<String>) -> Self {
        Self::new(key, ColumnKind::Text, Unit::Named("".into()), Digits::Fixed(0))
    }

    /// A column of numbers of a kind, shown in a unit with decimals.
    pub fn number(
        key: impl Into<String>,
        kind: units::Kind,
        unit: impl Into<Cow<'static, str>>,
        decimals: usize,
    ) -> Self {
        Self::new(key, ColumnKind::Number(kind), Unit::Named(unit.into()), Digits::Fixed(decimals))
    }

    /// A column of numbers in the unit in which they are shown already, which stands behind its head.
    pub fn plain(
        key: impl Into<String>,
        head: impl Into<String>,
        unit: impl Into<Cow<'static, str>>,
        decimals: usize,
    ) -> Self {
        Self::new(key, ColumnKind::Plain, Unit::Named(unit.into()), Digits::Fixed(decimals)).head(head)
    }

    /// A column of counts.
    pub fn count(key: impl Into<String>) -> Self {
        Self::new(key, ColumnKind::Count, Unit::Named("".into()), Digits::Fixed(0))
    }

    /// A column of numbers that differ in kind, in the units of the trade, each with its unit.
    pub fn mixed(key: impl Into<String>) -> Self {
        Self::new(key, ColumnKind::Mixed, Unit::Trade, Digits::Trade).unit_place(UnitPlace::Cell)
    }

    /// A column of times as on a clock; its key ends in `_s`.
    pub fn time(key: impl Into<String>) -> Self {
        Self::new(key, ColumnKind::Time, Unit::Named("s".into()), Digits::Clock).unit_place(UnitPlace::Silent)
    }

    /// A column of yes and no with the words for both.
    pub fn flag(key: impl Into<String>, words: [&'static str; 2]) -> Self {
        Self { words, ..Self::new(key, ColumnKind::Flag, Unit::Named("".into()), Digits::Fixed(0)) }
    }

    /// A flag that stands before the next column where something falls short.
    pub fn short(words: [&'static str; 2]) -> Self {
        Self::flag("short", words).verdict().before("")
    }

    /// How the number in the next column stands, as a mark before it; no mark where it holds.
    pub fn standing() -> Self {
        Self::new("standing", ColumnKind::Standing, Unit::Named("".into()), Digits::Fixed(0)).before(" ")
    }

    /// With other words at its top.
    #[must_use]
    pub fn head(self, head: impl Into<String>) -> Self {
        Self { head: head.into(), ..self }
    }

    /// With its unit elsewhere.
    #[must_use]
    pub fn unit_place(self, unit_place: UnitPlace) -> Self {
        Self { unit_place, ..self }
    }

    /// With its unit behind each number.
    #[must_use]
    pub fn in_cell(self) -> Self {
        self.unit_place(UnitPlace::Cell)
    }

    /// With its unit nowhere.
    #[must_use]
    pub fn silent(self) -> Self {
        self.unit_place(UnitPlace::Silent)
    }

    /// In SI.
    #[must_use]
    pub fn si(self, decimals: usize) -> Self {
        Self { unit: Unit::Si, digits: Digits::Fixed(decimals), ..self }
    }

    /// With other digits.
    #[must_use]
    pub fn digits(self, digits: Digits) -> Self {
        Self { digits, ..self }
    }

    /// With a sign before positive numbers too.
    #[must_use]
    pub fn signed(self) -> Self {
        Self { is_signed: true, ..self }
    }

    /// Shown before the next column of its own, with a text between.
    #[must_use]
    pub fn before(self, between: &'static str) -> Self {
        Self { place: ColumnPlace::Before(between), ..self }
    }

    /// Shown behind the last column of its own, with a text between.
    #[must_use]
    pub fn after(self, between: &'static str) -> Self {
        Self { place: ColumnPlace::After(between, ""), ..self }
    }

    /// Shown behind the last column of its own, between two texts.
    #[must_use]
    pub fn enclosed(self, open: &'static str, close: &'static str) -> Self {
        Self { place: ColumnPlace::After(open, close), ..self }
    }

    /// Not shown.
    #[must_use]
    pub fn data(self) -> Self {
        Self { place: ColumnPlace::Data, ..self }
    }

    /// With words for an absent cell.
    #[must_use]
    pub fn or(self, absent: &'static str) -> Self {
        Self { absent, ..self }
    }

    /// Whose yes is a verdict.
    #[must_use]
    pub fn verdict(self) -> Self {
        Self { is_verdict: true, ..self }
    }

    /// Set to the right.
    #[must_use]
    pub fn right(self) -> Self {
        Self { is_right: true, ..self }
    }

    /// Set to the left.
    #[must_use]
    pub fn left(self) -> Self {
        Self { is_right: false, ..self }
    }

    /// Whether a cell is of the kind of the column.
    pub fn takes(&self, cell: &Cell) -> bool {
        match cell {
            Cell::Absent => true,
            Cell::Number(_) => {
                matches!(self.kind, ColumnKind::Number(_) | ColumnKind::Plain | ColumnKind::Count)
            }
            Cell::Own(..) => self.kind == ColumnKind::Mixed,
            Cell::Time(_) => self.kind == ColumnKind::Time,
            Cell::Text(_) => self.kind == ColumnKind::Text,
            Cell::Flag(_) => self.kind == ColumnKind::Flag,
            Cell::Standing(_) => self.kind == ColumnKind::Standing,
        }
    }

    /// The unit of its numbers when they are shown; empty where they have none, or each its own.
    pub fn unit_name(&self) -> &str {
        match (&self.unit, self.kind) {
            (Unit::Named(name), _) => name,
            (_, ColumnKind::Number(kind)) => kind.si_unit(),
            _ => "",
        }
    }

    /// The number of a cell in the unit in which the column is shown; in SI where each cell has a kind of its own. None where there is
    /// no number.
    pub fn number_of(&self, cell: &Cell) -> Option<f64> {
        match (cell, self.kind) {
            (Cell::Number(si), ColumnKind::Number(kind)) => Some(in_unit(*si, kind, self.unit_name())),
            (Cell::Number(value) | Cell::Time(value) | Cell::Own(_, value), _) => Some(*value),
            _ => None,
        }
    }
}

/// A number in SI in a unit; the same bits where the unit is that of SI, and where it does not belong to the kind. Degrees Celsius and
/// revolutions a minute are worked out as in the sentences beside the sheets, so that a number on the edge of rounding is one and the same.
pub(super) fn in_unit(si: f64, kind: units::Kind, unit: &str) -> f64 {
    match (kind, unit) {
        (units::Kind::Temperature, "degC") => crate::celsius(si),
        (units::Kind::RotationalSpeed, "rpm") => 30.0 / std::f64::consts::PI * si,
        (kind, unit) if unit == kind.si_unit() => si,
        (kind, unit) => to_unit(si, kind, unit).unwrap_or(si),
    }
}

/// A unit as keys write it: `W/(m K)` as `W_m_K`, `Ohm` as `ohm`.
pub fn key_unit(unit: &str) -> String {
    let words = unit.replace("Ohm", "ohm").replace("Pag", "Pa");
    let parts: Vec<&str> =
        words.split(|c: char| !c.is_alphanumeric()).filter(|part| !part.is_empty()).collect();
    parts.join("_")
}
