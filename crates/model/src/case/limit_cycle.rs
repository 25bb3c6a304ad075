//! Results of a case that does not keep its steady state: it is followed over time, and its margins are those of the worst
//! moments.

use super::named::Named;
use super::naming::Naming;
use crate::result::{CaseResult, Margin, Notice, Status};
use solver::{ComponentId, ElementId, Failure, LimitCycle, Network, Reading, Solution, Swing, Unknown};

/// The result of a case from the steady state that it leaves.
pub(super) fn followed(
    result: CaseResult,
    named: &Named<'_>,
    network: &Network,
    solution: &Solution,
    switches: &[ElementId],
) -> CaseResult {
    let naming = &named.naming;
    match network.follow_limit_cycle(solution) {
        Ok(LimitCycle::Settles { solution, positions }) => {
            let mut network = network.clone();
            network.fix_switches(&positions);
            let reading = solution.read(&network);
            let settled = Named {
                naming: Naming::new(naming.situation, naming.parts),
                reading,
                outside: named.outside,
                rises_k: &[],
            };
            settled.result(solution.ledger, solution.statistics)
        }
        Ok(LimitCycle::Swings(swing)) => swinging(result, named, network, &swing, switches),
        Err(failure) => left(naming, &failure),
    }
}

/// The mean is shown, the worst moments are judged.
fn swinging(
    mut result: CaseResult,
    named: &Named<'_>,
    network: &Network,
    swing: &Swing,
    switches: &[ElementId],
) -> CaseResult {
    result.status = Status::Hunting;
    let mut at: Option<(&[bool], Network)> = None;
    for instant in &swing.instants {
        if at.as_ref().is_none_or(|(positions, _)| *positions != instant.positions) {
            let mut network = network.clone();
            network.fix_switches(&instant.positions);
            at = Some((&instant.positions, network));
        }
        let Some((_, network)) = &at else { continue };
        let naming = Naming::new(named.naming.situation, named.naming.parts);
        let reading = Reading::of(network, &instant.state);
        // the notices are those of the mean: of thousands of moments, only what the limits say is worth its time
        let moment = Named { naming, reading, outside: named.outside, rises_k: &[] }.judged();
        lower(&mut result.margins, moment.margins);
    }
    let times = match swing.period_s {
        Some(period_s) => format!("every {period_s:.0} s"),
        None => "without repeating itself".to_owned(),
    };
    let (component, min_k, greatest_k) = widest(&named.naming, swing).unwrap_or(("all", f64::NAN, f64::NAN));
    let span = format!(
        "goes between {:.1} and {:.1} degC {times}; margins count the worst moments, the other numbers are those it oscillates about",
        min_k - 273.15,
        greatest_k - 273.15
    );
    let kind = Status::Hunting.word();
    for &element in switches {
        let message = format!(
            "keeps switching on and off: {component} {span}; change its two temperatures to stop that"
        );
        result.notices.push(Notice {
            about: "",
            kind,
            place: named.naming.place(Unknown::Element(element)),
            message,
        });
    }
    if switches.is_empty() {
        let message = format!(
            "does not settle: {span}; a relation here changes steeply with temperature, as a film does between laminar and \
             turbulent flow"
        );
        result.notices.push(Notice { about: "", kind, place: component.to_owned(), message });
    }
    result
}

/// Component that moves most, with its least and greatest temperature, K; none without components.
fn widest<'a>(naming: &Naming<'a>, swing: &Swing) -> Option<(&'a str, f64, f64)> {
    let span = |component: &ComponentId| {
        let values = swing.instants.iter().map(|instant| instant.state[component.index()]);
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |span, value| (span.0.min(value), span.1.max(value)))
    };
    let parts = naming.parts.components.iter();
    let spans = parts.flat_map(|(name, ids)| ids.iter().map(move |id| (name.as_str(), id)));
    spans.map(|(name, id)| (name, span(id).0, span(id).1)).max_by(|a, b| (a.2 - a.1).total_cmp(&(b.2 - b.1)))
}

/// Every margin becomes the lesser of itself and that of a moment.
fn lower(margins: &mut [Margin], moment: Vec<Margin>) {
    for seen in moment {
        let same = |known: &&mut Margin| {
            known.place == seen.place && known.limit == seen.limit && known.kind == seen.kind
        };
        if let Some(known) = margins.iter_mut().find(same)
            && !(seen.reserve() >= known.reserve())
        {
            *known = seen;
        }
    }
}

/// A disturbed network that finds nowhere to stay.
fn left(naming: &Naming<'_>, failure: &Failure) -> CaseResult {
    let mut result = naming.failed(failure);
    for notice in &mut result.notices {
        notice.message =
            format!("the steady state is not kept after a disturbance of half a kelvin: {}", notice.message);
    }
    result
}
