//! Levers of one cell of the margins as display data: of a steady case at once, of a mission when asked for.

use super::pages;
use crate::views::levers::{LeverData, LeverRow};
use crate::views::margins::MarginPlace;
use aircraft::records::device::Device;
use aircraft::records::project::Project;
use aircraft::variant::Varied;
use model::mission::{FlyOptions, MissionCase};
use model::result::{CaseResult, Margin, MarginKind};
use std::sync::atomic::AtomicBool;
use studies::StudyError;
use studies::levers::{
    Lever, LeverOptions, LimitName, MarginLevers, TolerancePedigree, levers, mission_levers,
};

/// How many levers are shown.
const SHOWN: usize = 18;
/// How many more are shown for what their tolerance does.
const UNCERTAIN: usize = 6;

/// The levers of the margin in a cell; those of a mission only where it shall be flown for them.
///
/// # Errors
/// [`StudyError`]; an error of the study is shown, a cancelled one is not.
pub(super) fn lever_data(
    varied: &Varied,
    results: &[CaseResult],
    place: &MarginPlace,
    fly: bool,
    cancelled: &AtomicBool,
) -> Result<LeverData, StudyError> {
    let without =
        |note: &str| LeverData { of: place.clone(), note: Some(note.to_owned()), ..LeverData::default() };
    let Some(result) = results.iter().find(|result| result.case == place.case) else {
        let missions = model::cases::missions(&varied.project);
        return match missions.iter().find(|case| case.name() == place.case) {
            Some(case) if fly => flown(varied, place, case, cancelled),
            Some(_) => Ok(LeverData { can_be_flown: true, ..without("The case is a mission.") }),
            None => Ok(without("There is no such case any more.")),
        };
    };
    let is_it = |margin: &&Margin| is_at(margin, place);
    let Some(margin) = result.margins.iter().find(is_it) else {
        return Ok(without("The case has no such margin, so nothing moves it."));
    };
    let options =
        LeverOptions { cases: vec![place.case.to_string()], most: 1, limit: Some(LimitName::of(margin)) };
    let found = levers(&varied.node, &varied.project, &options, cancelled, |_, _| ())?;
    Ok(found.first().map_or_else(|| without("Nothing moves this margin."), |of| shown(varied, place, of)))
}

/// The levers of a margin of a mission, by flying it again for every input.
fn flown(
    varied: &Varied,
    place: &MarginPlace,
    case: &MissionCase<'_>,
    cancelled: &AtomicBool,
) -> Result<LeverData, StudyError> {
    let fly = FlyOptions::default();
    let flight = studies::missions::fly_case(case, &fly)?;
    let without =
        |note: &str| LeverData { of: place.clone(), note: Some(note.to_owned()), ..LeverData::default() };
    let margins: Vec<Margin> =
        flight.margins(&varied.project).into_iter().map(|timed| timed.margin).collect();
    let is_it = |margin: &&Margin| is_at(margin, place);
    let Some(margin) = margins.iter().find(is_it) else {
        return Ok(without("The flight has no such margin, so nothing moves it."));
    };
    let options =
        LeverOptions { cases: vec![place.case.to_string()], most: 1, limit: Some(LimitName::of(margin)) };
    let found = mission_levers(&varied.node, &varied.project, &options, &fly, cancelled, |_, _| ())?;
    Ok(found.first().map_or_else(|| without("Nothing moves this margin."), |of| shown(varied, place, of)))
}

fn is_at(margin: &Margin, place: &MarginPlace) -> bool {
    margin.place == place.where_ && margin.limit == place.limit && pages::displayed(margin).2 == place.unit
}

fn shown(varied: &Varied, place: &MarginPlace, of: &MarginLevers) -> LeverData {
    let entries = &varied.listing().inputs;
    let row = |lever: &Lever| {
        let entry = entries.get(lever.input.index)?;
        let path = &lever.input.path;
        let steps: Vec<&str> = path.split('.').collect();
        Some(LeverRow {
            owner: steps[..steps.len().saturating_sub(1)].join(", "),
            input: pages::field(entry),
            step: lever.input.step_words().to_owned(),
            change: factor(of.margin.kind) * lever.effect(),
            tolerance: lever.per_tolerance().map(|width| factor(of.margin.kind) * width),
            is_published: lever.input.tolerance_from == Some(TolerancePedigree::Published),
            has_corner: !lever.checked,
            device: device(&varied.project, &steps),
        })
    };
    LeverData {
        of: place.clone(),
        rows: of.listed(SHOWN, UNCERTAIN, 5e-4).into_iter().filter_map(row).collect(),
        count: of.levers.len(),
        note: of.without.clone(),
        can_be_flown: false,
    }
}

/// From SI to the unit on screen.
fn factor(kind: MarginKind) -> f64 {
    match kind {
        MarginKind::Rating => 1e-3,
        MarginKind::RatedSpeed => 30.0 / std::f64::consts::PI,
        _ => 1.0,
    }
}

/// Loop or duct and device that the steps of a path lead through; a core stands in its loop.
fn device(project: &Project, steps: &[&str]) -> Option<(String, String)> {
    let loops = project.loops.iter().map(|l| (l.name.as_str(), &l.path));
    let ducts = project.ducts.iter().map(|d| (d.name.as_str(), &d.path));
    let named = |wanted: &str, path: &[Device]| names(path).into_iter().any(|name| name == wanted);
    match steps {
        ["cores" | "exchangers", name, ..] => {
            let strip = loops.clone().find(|(_, path)| named(name, path))?;
            Some((strip.0.to_owned(), (*name).to_owned()))
        }
        ["loops" | "ducts", strip, "path", rest @ ..] => {
            let (_, path) = loops.chain(ducts).find(|(name, _)| name == strip)?;
            let device = rest.iter().rfind(|step| named(step, path))?;
            Some(((*strip).to_owned(), (*device).to_owned()))
        }
        _ => None,
    }
}

/// Names of all devices, those of branches included.
fn names(path: &[Device]) -> Vec<&str> {
    let mut all = Vec::new();
    for device in path {
        if let Device::Parallel(parallel) = device {
            all.extend(parallel.branches.iter().flat_map(|branch| names(&branch.path)));
        } else {
            all.push(device.name());
        }
    }
    all
}
