//! Curves over a continuous axis: one look, one way of reading them, wherever a page shows curves.
//!
//! Beside the curves stands a list of them with their values where the pointer is, else at the time cursor: it is legend
//! and read-out in one. Curves differ by their line as well as by their colour.

mod curves;
mod data;
mod export;
mod labels;
mod paint;
mod read_out;

pub use data::{Beneath, Chart, ChartStyle, Limit, Mark, SUM, Series};
pub(crate) use export::{WantedFigure, csv, is_due, save_figure_ui, suggested_name, svg, take_wanted, want};
pub use paint::{Frame, Outcome, chart_ui, time_chart_ui};
pub use read_out::line_sample;
