//! What the user is in the middle of.

use session::{MarginPlace, Study};

use crate::command::{Overlay, Page};
use crate::views::begin::AnswersForm;
use crate::views::field::Drafts;
use crate::views::loops::Revising;
use crate::views::margins::{MarginFilter, MarginGrid};
use crate::views::names::Names;
use crate::views::table::TableEdit;
use crate::views::time::ShownTime;
use crate::views::tips::Dismissed;
use crate::views::trades::TradesForm;

/// What the user is in the middle of; never part of the project.
#[derive(Debug, Default)]
pub(super) struct UiState {
    pub(super) page: Page,
    pub(super) strip: Option<String>,
    pub(super) device: Option<String>,
    pub(super) failure: Option<String>,
    /// The machine in full, by name and sort.
    pub(super) machine: Option<String>,
    /// The part of the mission in view.
    pub(super) shown_time: ShownTime,
    pub(super) overlay: Option<Overlay>,
    pub(super) drafts: Drafts,
    pub(super) revising: Revising,
    pub(super) names: Names,
    /// The table that is edited, or was left before it was taken over.
    pub(super) table: Option<TableEdit>,
    pub(super) margins: MarginFilter,
    /// The cell of the margins that the keys are at.
    pub(super) cell: Option<MarginPlace>,
    /// What a new aircraft is like.
    pub(super) begin: AnswersForm,
    /// What is searched for.
    pub(super) wanted: String,
    /// The question of the page Trades.
    pub(super) trades: TradesForm,
    /// The tips that were dismissed; nothing where nobody keeps them in mind, and then none is shown.
    pub(super) tips: Option<Dismissed>,
}

/// Which results of studies on screen belong to an earlier state.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Kept {
    pub(super) turnaround: bool,
    pub(super) failures: bool,
}

/// The cell that the keys are at; the worst one before they were anywhere.
pub(super) fn cell_of(grid: &MarginGrid, cell: Option<&MarginPlace>) -> Option<MarginPlace> {
    grid.find(cell).and_then(|at| grid.place(at))
}

/// What a page needs besides the cases.
pub(super) fn study_of(page: Page, trades: &TradesForm) -> Study {
    match page {
        Page::Trades => Study::Trades(trades.asked.clone()),
        Page::Turnaround => Study::Turnaround,
        Page::Failures => Study::Failures,
        _ => Study::Cases,
    }
}

/// The item some steps away from the one that is shown, around the ends.
pub(super) fn neighbour<T>(
    items: impl ExactSizeIterator<Item = T>,
    is_shown: impl Fn(&T) -> bool,
    step: i32,
) -> Option<T> {
    let mut all: Vec<T> = items.collect();
    let at = all.iter().position(is_shown)?;
    let next = (i64::try_from(at).ok()? + i64::from(step)).rem_euclid(i64::try_from(all.len()).ok()?);
    Some(all.swap_remove(usize::try_from(next).ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stepping_goes_around_the_ends() {
        let items = ["a", "b", "c"];
        let step = |from: &str, by| neighbour(items.iter(), |item| **item == from, by).copied();
        assert_eq!((step("a", 1), step("c", 1), step("a", -1)), (Some("b"), Some("a"), Some("c")));
        assert_eq!(step("x", 1), None);
        assert_eq!(neighbour([0_i32; 0].iter(), |_| true, 1), None);
    }
}
