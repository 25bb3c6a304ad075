//! The one place where cells become what is shown: units, digits, signs, words.

use super::column::in_unit;
use super::{Cell, Column, ColumnKind, ColumnPlace, Digits, Row, Sheet, Unit, UnitPlace};
use model::curves::Value;
use model::standing::Standing;
use units::Kind as Physical;

/// How a page writes numbers and verdicts.
#[derive(Clone, Copy, Debug)]
pub struct Style {
    /// Sign of a negative number.
    pub minus: char,
    /// A time, s, as on a clock.
    pub clock: fn(f64) -> String,
    /// Whether what rounds to nothing loses its minus.
    pub is_zero_plain: bool,
    /// Whether verdicts stand in small letters, because colour or shape tells them too.
    pub is_quiet: bool,
    /// A head from its words and its unit, which may be empty.
    pub head: fn(&str, &str) -> String,
}

impl Style {
    /// A page of plain text.
    pub const PAGE: Self = Self {
        minus: '-',
        clock: crate::clock,
        is_zero_plain: true,
        is_quiet: false,
        head: |words, unit| format!("{words} {unit}").trim_matches(' ').to_owned(),
    };
}

/// A sheet as it is shown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shown {
    /// Columns.
    pub columns: Vec<ShownColumn>,
    /// Rows of as many cells as there are columns.
    pub rows: Vec<Vec<ShownCell>>,
}

/// Top of a column as it is shown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShownColumn {
    /// Its words.
    pub head: String,
    /// Whether it is set to the right.
    pub is_right: bool,
}

/// A cell as it is shown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShownCell {
    /// Its text.
    pub text: String,
    /// Whether it says that something falls short.
    pub is_short: bool,
}

impl Sheet {
    /// Heads and cells as they are shown: columns that belong together as one, numbers in their units with their digits.
    pub fn shown(&self, style: &Style) -> Shown {
        let groups = groups(&self.columns);
        let columns = groups.iter().map(|group| {
            let column = &self.columns[group.own];
            let unit = if column.unit_place == UnitPlace::Head { column.unit_name() } else { "" };
            ShownColumn { head: (style.head)(&column.head, unit), is_right: column.is_right }
        });
        let columns = columns.collect();
        let row = |row: &Row| groups.iter().map(|group| self.joined(group, row, style)).collect();
        Shown { columns, rows: self.rows.iter().map(row).collect() }
    }

    /// The cells of a group as one.
    fn joined(&self, group: &Group, row: &Row, style: &Style) -> ShownCell {
        let mut shown = ShownCell::default();
        for number in group.from..group.to {
            let (Some(column), Some(cell)) = (self.columns.get(number), row.get(number)) else { continue };
            let text = text_of(column, cell, style);
            shown.is_short |= column.is_verdict && *cell == Cell::Flag(true);
            shown.is_short |= matches!(cell, Cell::Standing(standing) if !standing.holds());
            if text.is_empty() {
                continue;
            }
            match column.place {
                ColumnPlace::Data => {}
                ColumnPlace::Own => shown.text += &text,
                ColumnPlace::Before(between) => {
                    shown.text += &text;
                    shown.text += between;
                }
                ColumnPlace::After(open, close) => {
                    if !shown.text.is_empty() {
                        shown.text += open;
                    }
                    shown.text += &text;
                    shown.text += close;
                }
            }
        }
        if group.to - group.from > 1 {
            shown.text.truncate(shown.text.trim_end().len());
        }
        shown
    }
}

/// Columns that are shown as one.
struct Group {
    from: usize,
    own: usize,
    to: usize,
}

fn groups(columns: &[Column]) -> Vec<Group> {
    let mut all: Vec<Group> = Vec::new();
    let mut from = 0;
    for (number, column) in columns.iter().enumerate() {
        match column.place {
            ColumnPlace::Own => {
                all.push(Group { from, own: number, to: number + 1 });
                from = number + 1;
            }
            // what stands behind belongs to the last column, unless something has begun that stands before the next
            ColumnPlace::After(..) | ColumnPlace::Data if from == number => {
                if let Some(last) = all.last_mut() {
                    last.to = number + 1;
                }
                from = number + 1;
            }
            _ => {}
        }
    }
    all
}

/// One cell in the units and digits of its column.
pub(crate) fn text_of(column: &Column, cell: &Cell, style: &Style) -> String {
    match (cell, column.kind) {
        (Cell::Absent, _) => column.absent.to_owned(),
        (Cell::Text(text), _) => text.clone(),
        (Cell::Flag(flag), _) => {
            let words = column.words[usize::from(!flag)];
            if style.is_quiet { words.to_lowercase() } else { words.to_owned() }
        }
        (Cell::Standing(standing), _) => mark(*standing, style),
        (Cell::Time(time_s), _) => time_text(column, *time_s, style),
        (Cell::Own(kind, si), _) => own_text(column, *kind, *si, style),
        (Cell::Number(si), ColumnKind::Number(kind)) if column.digits == Digits::Usual => {
            usual(kind, *si, style)
        }
        (Cell::Number(_), _) => {
            let value = column.number_of(cell).unwrap_or(f64::NAN);
            with_unit(column, number_text(column, value, column.digits, style), column.unit_name())
        }
    }
}

/// The mark of a standing: nothing where all is well.
fn mark(standing: Standing, style: &Style) -> String {
    match standing {
        Standing::Holds => String::new(),
        standing if style.is_quiet => standing.words().to_owned(),
        Standing::PastLimit => "PAST LIMIT".to_owned(),
        standing => standing.words().to_uppercase(),
    }
}

fn time_text(column: &Column, time_s: f64, style: &Style) -> String {
    match column.digits {
        Digits::Clock => (style.clock)(time_s),
        Digits::Minutes => minutes(time_s),
        digits => {
            let unit = column.unit_name();
            let value = in_unit(time_s, Physical::Time, unit);
            with_unit(column, number_text(column, value, digits, style), unit)
        }
    }
}

/// A time as minutes and seconds.
pub(crate) fn minutes(time_s: f64) -> String {
    let seconds = time_s.max(0.0).round();
    format!("{:.0}:{:02.0}", (seconds / 60.0).floor(), seconds % 60.0)
}

fn own_text(column: &Column, kind: Physical, si: f64, style: &Style) -> String {
    if column.digits == Digits::Usual {
        return usual(kind, si, style);
    }
    let unit = match &column.unit {
        Unit::Named(name) => name,
        Unit::Trade => trade_unit(kind),
        Unit::Si => kind.si_unit(),
    };
    let digits = match (column.digits, kind) {
        (Digits::Trade, Physical::RotationalSpeed) => Digits::Fixed(0),
        (Digits::Trade, _) => Digits::Fixed(1),
        (digits, _) => digits,
    };
    let value = in_unit(si, kind, unit);
    with_unit(column, number_text(column, value, digits, style), unit)
}

/// The unit of the trade for a kind.
fn trade_unit(kind: Physical) -> &'static str {
    match kind {
        Physical::Power => "kW",
        Physical::RotationalSpeed => "rpm",
        Physical::PressureDifference => "kPa",
        Physical::Temperature => "degC",
        other => other.si_unit(),
    }
}

fn usual(kind: Physical, si: f64, style: &Style) -> String {
    signed(&Value { name: "", kind, si }.text(), style)
}

fn with_unit(column: &Column, text: String, unit: &str) -> String {
    if column.unit_place == UnitPlace::Cell && !unit.is_empty() { format!("{text} {unit}") } else { text }
}

fn number_text(column: &Column, value: f64, digits: Digits, style: &Style) -> String {
    let text = match digits {
        Digits::Exponent(decimals) => format!("{value:.decimals$e}"),
        Digits::Short => short(value),
        _ => {
            let decimals = match digits {
                Digits::Fixed(decimals) => decimals,
                Digits::Three => three(value),
                _ => 1,
            };
            if column.is_signed { format!("{value:+.decimals$}") } else { format!("{value:.decimals$}") }
        }
    };
    signed(&text, style)
}

/// Decimals that leave three digits.
fn three(value: f64) -> usize {
    match value.abs() {
        size if size >= 99.95 => 0,
        size if size >= 9.995 => 1,
        _ => 3,
    }
}

/// Six significant digits, and no more decimals than six; without trailing zeros. No digit before the point is rounded away.
fn short(value: f64) -> String {
    let before = value.abs().max(1.0).log10().floor() as usize + 1;
    let text = format!("{value:.*}", 6_usize.saturating_sub(before));
    if !text.contains('.') {
        return text;
    }
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A number with the signs of a style.
fn signed(text: &str, style: &Style) -> String {
    let is_nothing = |digits: &str| !digits.contains(|c: char| c.is_ascii_digit() && c != '0');
    match (text.strip_prefix('-'), text.strip_prefix('+')) {
        (Some(rest), _) if style.is_zero_plain && is_nothing(rest) && rest.starts_with('0') => {
            rest.to_owned()
        }
        (Some(rest), _) => format!("{}{rest}", style.minus),
        (None, Some(rest)) if style.is_zero_plain && is_nothing(rest) => rest.to_owned(),
        (None, _) => text.to_owned(),
    }
}

#[cfg(test)]
mod tests;
