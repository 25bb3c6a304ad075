//! The turnaround of a choice: its ways first, then the tables for the ground team, which take most of the time.

use std::sync::Arc;

use aircraft::variant::Varied;
use studies::StudyError;
use studies::turnaround::{TurnaroundResult, TurnaroundWish, turnarounds};

use crate::choice::Choice;
use crate::found::{Extent, Found, Studied, Work};
use crate::snapshot::Snapshot;
use crate::solve::Asker;

/// A turnaround at one condition.
#[derive(Debug, Clone)]
pub struct Turned {
    /// The study.
    pub result: TurnaroundResult,
    /// Whether the tables are there too.
    pub has_tables: bool,
}

fn studied(known: Option<&Arc<Turned>>) -> Studied {
    known.map_or(Studied::Nothing, |known| Studied::Turnaround(Arc::clone(known)))
}

impl Snapshot {
    pub(crate) fn with_turnaround(
        &self,
        mut found: Found,
        varied: &Varied,
        choice: &Choice,
        asker: Asker<'_>,
    ) -> Found {
        let key = (varied.name.clone(), choice.case.condition.clone());
        let known = self.solved().turnarounds.get(&key).cloned();
        if let Some(known) = known {
            found.studied = studied(known.as_ref());
            return found;
        }
        let mut turned = self.solved().ways.get(&key).cloned();
        found.studied = studied(turned.as_ref());
        for without_tables in [true, false] {
            if without_tables && turned.is_some() {
                continue;
            }
            let what = if without_tables { "flights of every way" } else { "flights of the tables" };
            let work = |done, of| Extent::Partial(Work::counted(done, of, what));
            found.extent = work(0, 1);
            if choice.is_stopped || asker.is_cancelled() {
                return found;
            }
            asker.hand_out(&found);
            let shown = &found;
            let tell = |done, of| asker.hand_out(&Found { extent: work(done, of), ..shown.clone() });
            let condition = Some(choice.case.condition.clone());
            let wish = TurnaroundWish { condition, without_tables, ..TurnaroundWish::default() };
            match turnarounds(&varied.project, &wish, asker.cancelled, tell) {
                Ok(results) => {
                    let first = results.into_iter().next();
                    turned = first.map(|result| Arc::new(Turned { result, has_tables: !without_tables }));
                    found.studied = studied(turned.as_ref());
                }
                Err(StudyError::Cancelled) => return found,
                Err(error) => {
                    found.problem = Some(format!("turnaround: {error}"));
                    found.extent = Extent::Whole;
                    return found;
                }
            }
            let Some(ways) = &turned else { break };
            self.solved().ways.insert(key.clone(), Arc::clone(ways));
        }
        found.extent = Extent::Whole;
        self.solved().turnarounds.insert(key, turned);
        found
    }
}
