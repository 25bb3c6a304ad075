//! The window opens with results.

use app::Page;

use crate::open;

#[test]
fn a_window_has_results_soon_after_it_opens() {
    let harness = open(Page::Ledger);
    assert!(harness.state().is_settled());
    let base = &harness.state().snapshot().base().project;
    assert_eq!(harness.state().screen().strips.len(), base.loops.len() + base.ducts.len());
}
