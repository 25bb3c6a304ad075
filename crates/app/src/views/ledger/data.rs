//! The heat balance as plain data in display units.

/// One source, sink or store.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LedgerItem {
    /// Name of the component, device or duct.
    pub name: String,
    /// By which way: `copper loss`, `to cooling air`.
    pub how: String,
    /// The heat in the unit of the ledger; positive on its side of the account.
    pub value: f64,
}

/// The account: generated = stored + rejected + residual.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LedgerData {
    /// Unit of all entries: `kW` for a steady case, `kJ` or `MJ` for a mission.
    pub unit: String,
    /// Decimals of all entries.
    pub decimals: usize,
    /// Heat that arises or is brought in.
    pub generated: Vec<LedgerItem>,
    /// Heat that leaves.
    pub rejected: Vec<LedgerItem>,
    /// Heat that stays in components and coolant; empty for a steady case.
    pub stored: Vec<LedgerItem>,
    /// What is left over by the solver's own account.
    pub residual: f64,
    /// The residual that is accepted.
    pub allowed_residual: f64,
    /// The book that residual is taken from when the entries are those of a moment of a mission.
    pub book: Option<HeatBook>,
}

/// The heat book of a whole mission.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct HeatBook {
    /// Heat turned over.
    pub turnover: f64,
    /// Unit of the residual and of what was turned over.
    pub unit: String,
}

impl LedgerData {
    /// Sum of one side.
    pub fn total(items: &[LedgerItem]) -> f64 {
        items.iter().map(|item| item.value).sum()
    }

    /// Whether the balance closes.
    pub fn closes(&self) -> bool {
        self.residual.abs() <= self.allowed_residual
    }

    /// The residual relative to the heat turned over.
    pub fn relative_residual(&self) -> f64 {
        let at_once = || self.generated.iter().map(|item| item.value.abs()).sum();
        let turned_over: f64 = self.book.as_ref().map_or_else(at_once, |book| book.turnover.abs());
        self.residual.abs() / turned_over
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_residual_that_is_too_large_or_no_number_does_not_close() {
        let ledger = |residual| LedgerData { residual, allowed_residual: 1e-5, ..LedgerData::default() };
        assert!(ledger(-1e-6).closes());
        assert!(!ledger(2e-5).closes());
        assert!(!ledger(f64::NAN).closes());
    }

    #[test]
    fn a_moment_is_judged_by_the_book_of_its_mission() {
        let book = Some(HeatBook { turnover: 2e4, unit: "kJ".into() });
        let ledger = LedgerData { residual: 1e-3, allowed_residual: 2e-2, book, ..LedgerData::default() };
        assert!(ledger.closes());
        assert_eq!(ledger.relative_residual(), 5e-8);
    }

    #[test]
    fn sides_add_up() {
        let item = |value| LedgerItem { value, ..LedgerItem::default() };
        assert_eq!(LedgerData::total(&[item(1.5), item(2.0), item(-0.5)]), 3.0);
    }
}
