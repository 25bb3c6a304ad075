//! Levers of one cell of the margins: of a steady case at once, of a mission when asked for.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use aircraft::variant::Varied;
use model::mission::{FlyOptions, MissionCase};
use model::result::{CaseResult, Margin};
use studies::StudyError;
use studies::levers::{LeverOptions, LimitName, MarginLevers, levers, mission_levers};

use crate::choice::MarginPlace;
use crate::found::{Extent, Found, Studied};
use crate::snapshot::Snapshot;
use crate::solve::Asker;

/// What moves the margin of a cell, or why that is not told.
#[derive(Debug, Clone, PartialEq)]
pub struct CellLevers {
    /// The cell.
    pub of: MarginPlace,
    /// Its levers.
    pub answer: LeverAnswer,
}

/// Levers of a cell.
#[derive(Debug, Clone, PartialEq)]
pub enum LeverAnswer {
    /// They were found.
    Found(Box<MarginLevers>),
    /// The case is a mission, which is flown for its levers only when that is asked for.
    CanBeFlown,
    /// There are none, for this reason.
    Without(&'static str),
}

impl Snapshot {
    /// The levers of a cell; those of a mission only where it shall be flown for them.
    pub(crate) fn with_levers(
        &self,
        mut found: Found,
        varied: &Varied,
        (place, fly): (&MarginPlace, bool),
        asker: Asker<'_>,
    ) -> Found {
        let key = (varied.name.clone(), place.clone());
        let known = self.solved().levers.get(&key).cloned();
        let is_enough = |known: &Arc<CellLevers>| !(fly && known.answer == LeverAnswer::CanBeFlown);
        if let Some(known) = known.filter(is_enough) {
            found.studied = Studied::Levers(known);
            return found;
        }
        asker.hand_out(&Found { extent: Extent::Uncounted, ..found.clone() });
        match of_cell(varied, &found.steady.results, place, fly, asker.cancelled) {
            Ok(answer) => {
                let levers = Arc::new(CellLevers { of: place.clone(), answer });
                self.solved().levers.insert(key, Arc::clone(&levers));
                found.studied = Studied::Levers(levers);
            }
            Err(StudyError::Cancelled) => {}
            Err(error) => found.problem = Some(format!("levers: {error}")),
        }
        found
    }
}

fn of_cell(
    varied: &Varied,
    results: &[CaseResult],
    place: &MarginPlace,
    fly: bool,
    cancelled: &AtomicBool,
) -> Result<LeverAnswer, StudyError> {
    let Some(result) = results.iter().find(|result| result.case == place.case) else {
        let missions = model::cases::missions(&varied.project);
        return match missions.iter().find(|case| case.name() == place.case) {
            Some(case) if fly => flown(varied, place, case, cancelled),
            Some(_) => Ok(LeverAnswer::CanBeFlown),
            None => Ok(LeverAnswer::Without("There is no such case any more.")),
        };
    };
    let Some(margin) = result.margins.iter().find(|margin| place.is_of(margin)) else {
        return Ok(LeverAnswer::Without("The case has no such margin, so nothing moves it."));
    };
    let found = levers(&varied.node, &varied.project, &options(place, margin), cancelled, |_, _| ())?;
    Ok(answer(found))
}

/// The levers of a margin of a mission, by flying it again for every input.
fn flown(
    varied: &Varied,
    place: &MarginPlace,
    case: &MissionCase<'_>,
    cancelled: &AtomicBool,
) -> Result<LeverAnswer, StudyError> {
    let fly = FlyOptions::default();
    let flight = studies::missions::fly_case(case, &fly)?;
    let margins: Vec<Margin> =
        flight.margins(&varied.project).into_iter().map(|timed| timed.margin).collect();
    let Some(margin) = margins.iter().find(|margin| place.is_of(margin)) else {
        return Ok(LeverAnswer::Without("The flight has no such margin, so nothing moves it."));
    };
    let options = options(place, margin);
    let found = mission_levers(&varied.node, &varied.project, &options, &fly, cancelled, |_, _| ())?;
    Ok(answer(found))
}

fn options(place: &MarginPlace, margin: &Margin) -> LeverOptions {
    LeverOptions { cases: vec![place.case.to_string()], most: 1, limit: Some(LimitName::of(margin)) }
}

fn answer(found: Vec<MarginLevers>) -> LeverAnswer {
    let first = found.into_iter().next();
    first.map_or(LeverAnswer::Without("Nothing moves this margin."), |of| LeverAnswer::Found(Box::new(of)))
}
