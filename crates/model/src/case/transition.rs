//! Walls and hoses whose flow stands between laminar and turbulent, and liquids cooled by a wall: where the scatter is large, it is told.
//!
//! This is the one place that decides what is told; steady cases and flights, tables, files and the window only show it.

use super::named::Named;
use crate::assembly::CircuitPart;
use crate::result::{Margin, MarginKind, Notice};
use aircraft::records::device::{Device, devices};
use solver::{ExchangerId, TubeState};
use std::collections::HashMap;

/// A margin with less reserve than this is decided by the films on its way, K.
pub const DECIDES_BELOW_K: f64 = 15.0;
/// Factor of a cold wall below which it is told.
pub const COLD_WALL: f64 = 0.95;
/// Kind of the notice of a flow between laminar and turbulent.
pub const TRANSITION: &str = "transition";
/// Kind of the notice of a wall colder than its liquid.
pub const COLD_WALL_KIND: &str = "cold_wall";
/// Share of the heat leaving a component that must take a way for the way to count.
const COUNTING_SHARE: f64 = 0.1;

/// Channels that heat passes, or a hose, with what depends on them.
struct Tube<'a> {
    device: &'a str,
    circuit: &'a str,
    /// Components at its walls; a core or a hose stands for everything in its circuit.
    walls: Option<Vec<&'a str>>,
    /// Cell by cell.
    states: Vec<TubeState>,
    is_hose: bool,
}

impl Named<'_> {
    /// What is to be told about films and hoses in a case with these margins.
    pub(super) fn film_notices(&self, margins: &[Margin]) -> Vec<Notice> {
        let walls = self.walls();
        let tubes = self.tubes(&walls);
        let mut notices: Vec<Notice> = tubes.iter().filter_map(cold_wall).collect();
        let unsure: Vec<&Tube<'_>> =
            tubes.iter().filter(|tube| tube.states.iter().any(TubeState::is_in_transition)).collect();
        let deciding: Vec<&Margin> = margins.iter().filter(|margin| can_decide(margin)).collect();
        if unsure.is_empty() || deciding.is_empty() {
            return notices;
        }
        let ways = self.ways(&walls);
        notices.extend(unsure.into_iter().filter_map(|tube| {
            let fed = self.fed_by(tube, &walls, &ways);
            let feeds = |margin: &&&Margin| fed.contains(&margin.place.as_str());
            let least = deciding.iter().filter(feeds).min_by(|a, b| Margin::worst_first(a, b))?;
            Some(in_transition(tube, least))
        }));
        notices
    }

    /// Everything with a relation of tubes, in the order of the project.
    fn tubes<'s>(&'s self, walls: &Walls<'s>) -> Vec<Tube<'s>> {
        let mut tubes = Vec::new();
        for part in self.naming.circuits() {
            for device in part.devices() {
                let cells = self.reading.cells_k(device.element).count();
                let states: Vec<TubeState> =
                    (0..cells).filter_map(|cell| self.reading.wall_tube(device.element, cell)).collect();
                let tube = |walls, states, is_hose| Tube {
                    device: &device.name,
                    circuit: &part.name,
                    walls,
                    states,
                    is_hose,
                };
                if !states.is_empty() {
                    tubes.push(tube(Some(washed_by(walls, &device.name).to_vec()), states, false));
                } else if device.kind == "hose" {
                    tubes.extend(self.reading.channels(device.element).map(|s| tube(None, vec![s], true)));
                } else if let Some(state) = self.core_tube(part, &device.name) {
                    tubes.push(tube(None, vec![state], false));
                }
            }
        }
        tubes
    }

    /// Tubes of a core or exchanger on the side of a circuit.
    fn core_tube(&self, part: &CircuitPart, device: &str) -> Option<TubeState> {
        let (_, id): &(String, ExchangerId) =
            self.naming.parts.exchangers.iter().find(|(name, _)| name == device)?;
        let [first, second] = self.reading.exchanger_tubes(*id);
        let is_duct = self.naming.parts.ducts.iter().any(|duct| duct.id == part.id);
        if is_duct { second } else { first }
    }

    /// Components at the walls of every device that has some.
    fn walls(&self) -> Walls<'_> {
        let project = self.naming.situation.project;
        let paths = project.loops.iter().map(|l| &l.path).chain(project.ducts.iter().map(|d| &d.path));
        let washing = paths.flat_map(|path| devices(path)).filter_map(|device| match device {
            Device::ColdPlate(plate) | Device::Jacket(plate) | Device::Surface(plate) => {
                Some((plate.name.as_str(), plate.walls.iter().map(String::as_str).collect()))
            }
            _ => None,
        });
        washing.collect()
    }

    /// The ways that heat takes into each component, and what leaves each.
    fn ways(&self, walls: &Walls<'_>) -> Ways<'_> {
        let project = self.naming.situation.project;
        let mut ways = Ways::default();
        for (link, ids) in project.links.iter().zip(&self.naming.parts.paths) {
            let heat_w: f64 = ids.iter().map(|&id| self.reading.link(id).heat_w).sum();
            let (from, to) = if heat_w >= 0.0 { (&link.from, &link.to) } else { (&link.to, &link.from) };
            ways.into.entry(to.as_str()).or_default().push((from.as_str(), heat_w.abs()));
            *ways.leaving_w.entry(from.as_str()).or_default() += heat_w.abs();
        }
        for device in self.naming.circuits().flat_map(CircuitPart::devices) {
            let heat_w = self.reading.element(device.element).heat_w.max(0.0);
            for wall in washed_by(walls, &device.name) {
                if let Some(component) = project.components.iter().find(|c| c.name.as_str() == *wall) {
                    *ways.leaving_w.entry(component.name.as_str()).or_default() += heat_w;
                }
            }
        }
        ways
    }

    /// Places of the limits that a tube feeds: its components and those whose heat comes that way, and its circuit.
    fn fed_by<'s>(&'s self, tube: &Tube<'s>, walls: &Walls<'s>, ways: &Ways<'s>) -> Vec<&'s str> {
        let mut fed: Vec<&str> = match &tube.walls {
            Some(walls) => walls.clone(),
            None => self.in_circuit(tube.circuit, walls),
        };
        let mut next = 0;
        while let Some(&here) = fed.get(next) {
            next += 1;
            for &(from, heat_w) in ways.into.get(here).into_iter().flatten() {
                let leaving_w = ways.leaving_w.get(from).copied().unwrap_or(0.0);
                if !fed.contains(&from) && heat_w > COUNTING_SHARE * leaving_w {
                    fed.push(from);
                }
            }
        }
        fed.push(tube.circuit);
        fed
    }

    /// Components and devices of a circuit.
    fn in_circuit<'s>(&'s self, circuit: &str, walls: &Walls<'s>) -> Vec<&'s str> {
        let Some(part) = self.naming.circuits().find(|part| part.name == circuit) else { return Vec::new() };
        let mut found = Vec::new();
        for device in part.devices() {
            found.push(device.name.as_str());
            found.extend(washed_by(walls, &device.name));
        }
        found
    }
}

/// Components at the walls of each device.
type Walls<'a> = HashMap<&'a str, Vec<&'a str>>;

fn washed_by<'w, 'a>(walls: &'w Walls<'a>, device: &str) -> &'w [&'a str] {
    walls.get(device).map_or(&[], Vec::as_slice)
}

/// Heat on its way between components.
#[derive(Default)]
struct Ways<'a> {
    /// For each component, where its heat comes from along links, W.
    into: HashMap<&'a str, Vec<(&'a str, f64)>>,
    /// Heat that leaves each component along links and into flows, W.
    leaving_w: HashMap<&'a str, f64>,
}

/// Whether a margin is one of temperatures that a film moves, with little reserve.
fn can_decide(margin: &Margin) -> bool {
    let is_moved = matches!(margin.kind, MarginKind::Maximum | MarginKind::Minimum | MarginKind::Boiling);
    is_moved && margin.reserve() < DECIDES_BELOW_K
}

/// A share in per cent with its sign.
fn percent(factor: f64) -> String {
    format!("{:+.0} %", 100.0 * (factor - 1.0))
}

/// Least and greatest of the cells.
fn span(states: &[TubeState], of: impl Fn(&TubeState) -> f64) -> (f64, f64) {
    states.iter().map(of).fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)))
}

fn in_transition(tube: &Tube<'_>, least: &Margin) -> Notice {
    let (low, high) = span(&tube.states, |state| state.reynolds);
    let reynolds = if high - low < 0.5 { format!("{low:.0}") } else { format!("{low:.0} to {high:.0}") };
    let scatter = if tube.is_hose {
        let (_, ratio) = span(&tube.states, |state| state.friction_ratio);
        format!("its friction lies between that of laminar flow and {ratio:.2} times as much, turbulent")
    } else {
        let (worst, _) = span(&tube.states, |state| state.published_ends().0);
        let (_, best) = span(&tube.states, |state| state.published_ends().1);
        format!(
            "published laws put its film {} to {} about the one used (Gnielinski 2013), and tests scatter by 30 % or more",
            percent(worst),
            percent(best)
        )
    };
    Notice {
        about: "",
        kind: TRANSITION,
        place: tube.device.to_owned(),
        message: format!(
            "Re {reynolds} is between laminar and turbulent flow, and the reserve of {:.1} K at {}, {}, depends on it: {scatter}; change \
             the flow or the channels, or measure it",
            least.reserve(),
            least.place,
            least.limit
        ),
    }
}

/// A liquid that its wall cools: the film is worse than the relation says.
fn cold_wall(tube: &Tube<'_>) -> Option<Notice> {
    let flowing = tube.states.iter().filter(|state| state.reynolds > 1.0);
    let coldest = flowing.min_by(|a, b| a.wall_factor.total_cmp(&b.wall_factor))?;
    if tube.is_hose || !(coldest.wall_factor < COLD_WALL) {
        return None;
    }
    Some(Notice {
        about: "",
        kind: COLD_WALL_KIND,
        place: tube.device.to_owned(),
        message: format!(
            "its wall is colder than the liquid: (Pr/Pr_wall)^0.11 is {:.2}, which the film used does not contain; the worst end of what is \
             published is {} of it",
            coldest.wall_factor,
            percent(coldest.published_ends().0)
        ),
    })
}
