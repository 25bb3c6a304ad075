//! Questions of the page Trades and their answers, as plain data.

use std::sync::Arc;

use session::{Menu, Proposal, Question};

use crate::views::chart::Chart;
use crate::views::sheet::SheetData;

/// A question and its answer, or as much of it as there is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TradesData {
    /// What was asked.
    pub asked: Question,
    /// What can be asked about.
    pub menu: Arc<Menu>,
    /// Whether the answer is there.
    pub is_answered: bool,
    /// Why there is none, and what to do.
    pub refused: Option<String>,
    /// Curves.
    pub chart: Option<Chart>,
    /// Sentences that belong to it.
    pub notes: Vec<String>,
    /// Tables.
    pub sheets: Vec<SheetData>,
    /// Designs that can be kept, each with its name; the only one needs none.
    pub proposals: Vec<(String, Proposal)>,
}
