//! What looser limits and more room would save.

use super::combination::combination;
use super::judge::{CaseVerdict, Terms};
use super::plan::{CoreChoice, Design, Plan, Range};
use super::search::{Held, Search, SearchScope};
use crate::StudyError;
use crate::limit_name::LimitName;

/// Limits whose relaxation is looked at.
const MAX_RELAXED: usize = 3;
/// Distance from the end of its range, m, at which a dimension counts as held by it: ten grains of a length.
const AT_END_M: f64 = 1e-4;
/// By how much a limit is made looser, K.
const LOOSER_K: f64 = 1.0;
/// By how much room is made wider, as a share.
const WIDER: f64 = 0.1;

/// What the closest limits, each looser by one kelvin, and more room would save.
pub(super) fn relaxations(
    search: &Search<'_>,
    held: &Held,
    verdicts: &[CaseVerdict],
) -> Result<Vec<Relaxation>, StudyError> {
    if matches!(held.design.core, CoreChoice::Listed(_)) {
        return lighter_of_the_list(search, held);
    }
    let mut limits: Vec<(LimitName, f64)> = Vec::new();
    for verdict in verdicts {
        for (margin, _) in verdict.margins.iter().filter(|(margin, _)| margin.kind.unit() == "K") {
            let limit = LimitName::of(margin);
            let is_aside = search.terms.aside.contains(&(verdict.case, limit.clone()));
            match limits.iter_mut().find(|(known, _)| *known == limit) {
                _ if is_aside => {}
                Some((_, reserve)) => *reserve = reserve.min(margin.reserve()),
                None => limits.push((limit, margin.reserve())),
            }
        }
    }
    limits.sort_by(|a, b| a.1.total_cmp(&b.1));
    let mut found = Vec::new();
    for (limit, _) in limits.into_iter().filter(|(_, reserve)| *reserve < LOOSER_K).take(MAX_RELAXED) {
        let what = format!("{}, {}: {LOOSER_K} K looser", limit.place, limit.limit);
        let terms = Terms { relaxed: Some((limit, LOOSER_K)), ..search.terms.clone() };
        found.push(relaxed(search, search.plan, terms, held, what)?);
    }
    found.extend(roomier(search, held)?);
    Ok(found)
}

/// The design searched again from the one that was found.
fn relaxed(
    search: &Search<'_>,
    plan: &Plan,
    terms: Terms,
    held: &Held,
    what: String,
) -> Result<Relaxation, StudyError> {
    let mut again = Search { plan, terms, active: search.active.clone(), ..*search };
    let fin = match held.design.core {
        CoreChoice::Fins { fin, .. } => fin,
        CoreChoice::Conductance(_) | CoreChoice::Listed(_) => 0,
    };
    let machines = (held.design.pump, held.design.fan);
    let mass_kg = combination(&mut again, fin, machines, Some(held.design))?.map(|held| held.mass_kg);
    // what held before holds still, so a search that ends a little above has saved nothing
    let mass_kg = mass_kg.map(|mass_kg| mass_kg.min(held.mass_kg));
    let saved_kg = mass_kg.map_or(0.0, |mass_kg| held.mass_kg - mass_kg);
    Ok(Relaxation { what, mass_kg, saved_kg })
}

/// More room in each dimension that is at its end.
fn roomier(search: &Search<'_>, held: &Held) -> Result<Vec<Relaxation>, StudyError> {
    let (Some(room), CoreChoice::Fins { layers, height_m, depth_m, .. }, SearchScope::Free) =
        (&search.plan.room, held.design.core, search.reach)
    else {
        return Ok(Vec::new());
    };
    let mut found = Vec::new();
    let at_end = |value_m: f64, range: Range| !range.is_one_value() && value_m > range.max_m - AT_END_M;
    let is_wide = layers == search.plan.layers().1 && !room.width.is_one_value();
    for (name, is_at_end) in [
        ("width", is_wide),
        ("height", at_end(height_m, room.height)),
        ("depth", at_end(depth_m, room.depth)),
    ] {
        if !is_at_end {
            continue;
        }
        let mut plan = search.plan.clone();
        if let Some(room) = &mut plan.room {
            let range = match name {
                "width" => &mut room.width,
                "height" => &mut room.height,
                _ => &mut room.depth,
            };
            range.max_m *= 1.0 + WIDER;
        }
        let what = format!("{name}: {:.0} % more room", 100.0 * WIDER);
        found.push(relaxed(search, &plan, search.terms.clone(), held, what)?);
    }
    Ok(found)
}

/// Of a list, what is lighter than the design that holds, and by how much which limits would have to be looser for it; what asks for least
/// first. Combinations without a state are left out.
fn lighter_of_the_list(search: &Search<'_>, held: &Held) -> Result<Vec<Relaxation>, StudyError> {
    let mut found: Vec<(f64, Relaxation)> = Vec::new();
    for design in listed(search.plan) {
        let mass_kg = search.plan.mass_kg(search.project, &design)?;
        if mass_kg >= held.mass_kg {
            continue;
        }
        let project = search.plan.applied(search.project, &design);
        let verdicts = search.judge.verdicts(&project, &search.judge.all())?;
        let Some(short) = short_limits(search, &verdicts) else { continue };
        let most = short.iter().map(|(_, by)| *by).fold(0.0, f64::max);
        let words = short.iter().map(|(limit, by)| {
            format!("{}, {}: {by:.1} {} looser", limit.place, limit.limit, limit.kind.unit())
        });
        let what = format!("{}; for {}", words.collect::<Vec<_>>().join("; "), named(search.plan, &design));
        let saved_kg = held.mass_kg - mass_kg;
        found.push((most, Relaxation { what, mass_kg: Some(mass_kg), saved_kg }));
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    Ok(found.into_iter().map(|(_, relaxation)| relaxation).take(MAX_RELAXED).collect())
}

/// Every combination of a list.
fn listed(plan: &Plan) -> Vec<Design> {
    let mut all = Vec::new();
    for core in (0..plan.sizing.cores.len()).map(CoreChoice::Listed) {
        for pump in plan.pumps() {
            all.extend(plan.fans().into_iter().map(|fan| Design { core, pump, fan }));
        }
    }
    all
}

fn named(plan: &Plan, design: &Design) -> String {
    let sizing = &plan.sizing;
    let core = match design.core {
        CoreChoice::Listed(number) => Some(sizing.cores[number].name.as_str()),
        CoreChoice::Fins { .. } | CoreChoice::Conductance(_) => None,
    };
    let pump = design.pump.map(|number| sizing.pumps[number].name.as_str());
    let fan = design.fan.map(|number| sizing.fans[number].name.as_str());
    core.into_iter().chain(pump).chain(fan).collect::<Vec<_>>().join(", ")
}

/// Limits that are short in any case, each by how much at most; none if a case has no state, or a margin no number.
fn short_limits(search: &Search<'_>, verdicts: &[CaseVerdict]) -> Option<Vec<(LimitName, f64)>> {
    let mut short: Vec<(LimitName, f64)> = Vec::new();
    for verdict in verdicts {
        if !verdict.status.can_be_judged() {
            return None;
        }
        for (margin, _) in verdict.margins.iter().filter(|(margin, _)| margin.is_short()) {
            let limit = LimitName::of(margin);
            if search.terms.aside.contains(&(verdict.case, limit.clone())) {
                continue;
            }
            let by = Some(-margin.reserve()).filter(|by| by.is_finite())?;
            match short.iter_mut().find(|(known, _)| *known == limit) {
                Some((_, most)) => *most = most.max(by),
                None => short.push((limit, by)),
            }
        }
    }
    Some(short)
}

/// What one looser limit, or more room, would save.
#[derive(Clone, Debug, PartialEq)]
pub struct Relaxation {
    /// In words.
    pub what: String,
    /// Mass with it, kg; none if the search found nothing.
    pub mass_kg: Option<f64>,
    /// Mass saved, kg.
    pub saved_kg: f64,
}
