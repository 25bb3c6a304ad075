//! Results as typed sheets, pages of text and JSON.
//!
//! # Invariant
//! Solves nothing: it renders what it is given, with every flag.

pub mod budget;
pub mod curves;
mod evaluated;
pub mod explain;
pub mod failures;
mod filling;
pub mod history;
mod infeasible;
pub mod json;
pub mod levels;
pub mod levers;
mod limit;
pub mod margins;
mod notice;
pub mod oat_limit;
pub mod optimum;
pub mod power;
pub mod properties;
pub mod relations;
pub mod sheet;
pub mod simulate;
pub mod size;
pub mod solve;
pub mod spread;
pub mod svg;
pub mod sweep;
pub mod turnaround;
pub mod uncooled;
pub mod variants;

/// Cautions that go with every result.
pub const CAUTIONS: &str = "\
Estimates for engineering judgement, not airworthiness approval: verify by test, work to the
certification basis and with a licensed or delegated engineer. Limits come from component makers;
defaults are placeholders. High voltage, pressurised hot coolant, rotating parts and lithium cells
can injure: follow local codes.";

/// Kelvin as degrees Celsius.
pub(crate) fn celsius(kelvin: f64) -> f64 {
    kelvin - 273.15
}

/// Seconds as hours, minutes and whole seconds.
pub(crate) fn clock(time_s: f64) -> String {
    // rounded first, so that 59.96 s becomes a minute
    let whole = time_s.round();
    let hours = (whole / 3600.0).floor();
    let minutes = (whole / 60.0).floor() - 60.0 * hours;
    let seconds = whole - 3600.0 * hours - 60.0 * minutes;
    format!("{hours:.0}:{minutes:02.0}:{seconds:02.0}")
}

/// So many of a thing: `1 case`, `2 cases`.
pub fn counted(count: usize, thing: &str) -> String {
    format!("{count} {thing}{}", if count == 1 { "" } else { "s" })
}
