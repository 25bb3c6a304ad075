//! The heat balance of a state as display data.

use model::result::CaseResult;

use crate::views::ledger::{LedgerData, LedgerItem};

/// A ledger closes when this share of what is turned over is left.
const LEDGER_CLOSES_TO: f64 = 1e-6;

pub(super) fn ledger(result: &CaseResult) -> LedgerData {
    let side = |is_rejection: bool| {
        let mut items: Vec<LedgerItem> = result
            .lines
            .iter()
            .filter(|line| line.is_rejection == is_rejection && line.heat_w.abs() > 1e-3)
            .map(|line| LedgerItem { name: line.what.clone(), how: String::new(), value: 1e-3 * line.heat_w })
            .collect();
        items.sort_by(|a, b| b.value.abs().total_cmp(&a.value.abs()));
        items
    };
    LedgerData {
        unit: "kW".to_owned(),
        decimals: 3,
        generated: side(false),
        rejected: side(true),
        stored: Vec::new(),
        residual: 1e-3 * result.ledger.residual_w,
        allowed_residual: 1e-3 * LEDGER_CLOSES_TO * result.ledger.turnover_w.abs(),
        book: None,
    }
}
