//! Levers of one cell of the margins as display data.

use aircraft::records::device::Device;
use aircraft::records::project::Project;
use aircraft::variant::Varied;
use session::MarginPlace;
use session::levers::{CellLevers, LeverAnswer};
use studies::levers::{Lever, MarginLevers, TolerancePedigree};

use super::fields::field;
use super::units::margin_factor;
use crate::views::levers::{LeverData, LeverRow};

/// How many levers are shown.
const SHOWN: usize = 18;
/// How many more are shown for what their tolerance does.
const UNCERTAIN: usize = 6;

/// The levers of the margin in a cell, or why there are none.
pub(super) fn lever_data(varied: &Varied, levers: &CellLevers) -> LeverData {
    let without =
        |note: &str| LeverData { of: levers.of.clone(), note: Some(note.to_owned()), ..LeverData::default() };
    match &levers.answer {
        LeverAnswer::Found(of) => shown(varied, &levers.of, of),
        LeverAnswer::CanBeFlown => LeverData { can_be_flown: true, ..without("The case is a mission.") },
        LeverAnswer::Without(note) => without(note),
    }
}

fn shown(varied: &Varied, place: &MarginPlace, of: &MarginLevers) -> LeverData {
    let entries = &varied.listing().inputs;
    let row = |lever: &Lever| {
        let entry = entries.get(lever.input.index)?;
        let path = &lever.input.path;
        let steps: Vec<&str> = path.split('.').collect();
        Some(LeverRow {
            owner: steps[..steps.len().saturating_sub(1)].join(", "),
            input: field(entry),
            step: lever.input.step_words().to_owned(),
            change: margin_factor(of.margin.kind) * lever.effect(),
            tolerance: lever.per_tolerance().map(|width| margin_factor(of.margin.kind) * width),
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
