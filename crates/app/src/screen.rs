//! What the pages show of what is known: results turned into plain data in display units, beside the window.

mod draw;
mod duty;
mod explain;
mod failing;
mod fields;
mod flight;
mod ground;
mod judged;
mod ledger;
mod levels;
mod levers;
mod machines;
mod strips;
mod temperatures;
mod trades;
mod units;

use std::collections::BTreeMap;
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, Weak};

use session::{Asker, Choice, Extent, Flown, Snapshot};

use crate::views::explanation::Explanation;
use crate::views::failures::FailuresData;
use crate::views::header::HeaderData;
use crate::views::ledger::LedgerData;
use crate::views::levels::DeviceLevels;
use crate::views::levers::LeverData;
use crate::views::loops::StripPage;
use crate::views::machines::MachineData;
use crate::views::margins::MarginGrid;
use crate::views::mission::MissionData;
use crate::views::temperatures::TemperatureTable;
use crate::views::trades::TradesData;
use crate::views::turnaround::TurnaroundData;
use draw::Drawing;

/// Everything the pages show, as plain data.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Screen {
    /// How much of what was asked for this is.
    pub extent: Extent,
    /// The line at the top.
    pub header: HeaderData,
    /// Loops and ducts in the order of the project.
    pub strips: Vec<StripPage>,
    /// Components against their limits.
    pub temperatures: TemperatureTable,
    /// Limits by cases.
    pub margins: MarginGrid,
    /// What moves the margin of the chosen cell.
    pub levers: Option<Arc<LeverData>>,
    /// The heat balance.
    pub ledger: LedgerData,
    /// The mission, if the case is one.
    pub mission: Option<Arc<MissionData>>,
    /// From landing to ready, if the project describes a charge.
    pub turnaround: Option<Arc<TurnaroundData>>,
    /// The machines of the drive and the pack, with their curves at the case.
    pub machines: Vec<MachineData>,
    /// The levels of the device that is asked for.
    pub levels: Option<Arc<DeviceLevels>>,
    /// What single failures leave.
    pub failures: Option<Arc<FailuresData>>,
    /// A question of the page Trades with its answer.
    pub trades: Option<Arc<TradesData>>,
    /// The inputs that the variant on screen gives itself, each with whether it can be dropped.
    pub own: Arc<BTreeMap<String, bool>>,
    /// What a number's key leads to.
    pub explanations: BTreeMap<String, Explanation>,
}

/// Makes screens of what sessions know. The page of a mission is made once, and kept as long as its flight is.
#[derive(Debug, Default)]
pub struct Screens {
    missions: Mutex<Vec<(Weak<Flown>, Arc<MissionData>)>>,
}

impl Screens {
    /// What the pages show for a choice; what comes quickly is handed out before the rest is worked on.
    pub fn screen(
        &self,
        snapshot: &Snapshot,
        choice: &Choice,
        cancelled: &AtomicBool,
        so_far: &(dyn Fn(Screen) + Sync),
    ) -> Screen {
        let drawing = Drawing::new(self, snapshot, choice);
        let hand_out = |found| so_far(drawing.screen(found));
        drawing.screen(snapshot.solve(choice, Asker { cancelled, so_far: &hand_out }))
    }

    fn missions(&self) -> MutexGuard<'_, Vec<(Weak<Flown>, Arc<MissionData>)>> {
        self.missions.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The page of a flight.
    fn mission(&self, flown: &Arc<Flown>, make: impl FnOnce() -> MissionData) -> Arc<MissionData> {
        let is_it = |known: &Weak<Flown>| std::ptr::eq(known.as_ptr(), Arc::as_ptr(flown));
        if let Some((_, page)) = self.missions().iter().find(|(known, _)| is_it(known)) {
            return Arc::clone(page);
        }
        let page = Arc::new(make());
        let mut missions = self.missions();
        missions.retain(|(known, _)| known.strong_count() > 0);
        missions.push((Arc::downgrade(flown), Arc::clone(&page)));
        page
    }
}
