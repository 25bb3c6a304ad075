//! What has been solved of one snapshot, so that a choice of another case or moment asks for nothing new.

use std::collections::BTreeMap;
use std::sync::Arc;

use model::case_name::CaseName;
use studies::failures::FailureOutcome;

use crate::choice::MarginPlace;
use crate::failures::Failing;
use crate::found::{Extent, Named, Steady};
use crate::levers::CellLevers;
use crate::trades::{Asked, Menu, Question};
use crate::turnaround::Turned;

/// Results by variant, and by what else they depend on.
#[derive(Debug, Default)]
pub(crate) struct Solved {
    pub(crate) steady: BTreeMap<String, Arc<Steady>>,
    /// Flights by variant and name.
    pub(crate) flights: BTreeMap<(String, CaseName), Named>,
    /// Turnarounds by variant and condition; nothing where the project has none.
    pub(crate) turnarounds: BTreeMap<(String, String), Option<Arc<Turned>>>,
    /// Those without their tables, of studies that are not whole.
    pub(crate) ways: BTreeMap<(String, String), Arc<Turned>>,
    /// Failures by variant and case; nothing where the project has none.
    pub(crate) failures: BTreeMap<(String, CaseName), Option<Arc<Failing>>>,
    /// Failures one by one, of studies that are not whole.
    pub(crate) outcomes: BTreeMap<(String, CaseName), Vec<FailureOutcome>>,
    /// What can be asked about a variant, and answers to questions about it at a condition.
    pub(crate) menus: BTreeMap<String, Arc<Menu>>,
    pub(crate) trades: BTreeMap<(String, String, Question), Arc<Asked>>,
    /// What was found of those that were stopped, and how much that is.
    pub(crate) stopped_trades: BTreeMap<(String, String, Question), (Arc<Asked>, Extent)>,
    /// Levers by variant and cell.
    pub(crate) levers: BTreeMap<(String, MarginPlace), Arc<CellLevers>>,
}
