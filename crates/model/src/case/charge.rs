//! A steady point whose pack is charged: solved with the current that constant current, constant voltage, window and charger allow.
//!
//! The charge is taken to run. Where it cannot, because the pack is full enough or a cell stays outside its window, the point is
//! solved without a current and says so. Where the cells leave the window while they are charged and come back as they are not, there
//! is no equilibrium: the charge stops and starts. Its hottest moment, the cells at the end of the window, is judged.

use crate::assembly::{Situation, charge_limiter, charging_rise_k};
use crate::result::{CaseResult, Margin, MarginKind, Notice, Status};
use powertrain::charge::{ChargeEvent, ChargeLimiter, ChargeState, PackCondition};
use schema::Problem;
use solver::{ActiveCharge, Failure, Network, Solution, SteadyOptions, SteadySolver};
use std::sync::Arc;

/// Width within which the cells of a charge that stops and starts are brought to the end of the window, K.
const EDGE_K: f64 = 1e-3;
/// Currents tried for that.
const MAX_CURRENTS: usize = 60;

/// A steady solve with what it was about.
pub(super) struct Solved {
    pub(super) steady: SteadySolver,
    pub(super) outcome: Result<Solution, Failure>,
    pub(super) told: Option<Told>,
}

/// What a charge does at a steady point, where it does not simply run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Told {
    /// It has ended at this state of charge.
    Done { state_of_charge: f64 },
    /// Nothing is charged: a cell stays too hot or too cold.
    Waits { state: ChargeState, cell_k: f64 },
    /// It stops and starts at an end of the window: cells between these temperatures, K.
    Hunts { state: ChargeState, stops_k: f64, starts_k: f64 },
}

/// Solves a network at a point, from an earlier state where there is one.
///
/// # Errors
/// A [`Problem`] if the data of the charge contradict each other.
pub(super) fn solved(
    situation: &Situation<'_>,
    network: Network,
    from: Option<&Solution>,
) -> Result<Solved, Problem> {
    let Some(limiter) = charge_limiter(situation)? else {
        let (steady, outcome) = solve(network, from);
        return Ok(Solved { steady, outcome, told: None });
    };
    let rise_k = charging_rise_k(situation, &limiter)?;
    let bench = Bench { network, active: ActiveCharge::running(limiter, rise_k), from };
    Ok(bench.solved(situation.point.state_of_charge.si()))
}

/// The network of a point with its charge, if there is one, taken to run.
///
/// # Errors
/// As [`solved`].
pub(super) fn begun(situation: &Situation<'_>, network: Arc<Network>) -> Result<Arc<Network>, Problem> {
    let Some(limiter) = charge_limiter(situation)? else { return Ok(network) };
    let rise_k = charging_rise_k(situation, &limiter)?;
    let mut network = Arc::unwrap_or_clone(network);
    network.set_charge(Some(ActiveCharge::running(limiter, rise_k)));
    Ok(Arc::new(network))
}

fn solve(network: Network, from: Option<&Solution>) -> (SteadySolver, Result<Solution, Failure>) {
    let mut steady = SteadySolver::new(network);
    if let Some(from) = from {
        steady.start_from(from);
    }
    let outcome = steady.solve(&SteadyOptions::default());
    (steady, outcome)
}

struct Bench<'a> {
    network: Network,
    active: ActiveCharge,
    from: Option<&'a Solution>,
}

impl Bench<'_> {
    fn limiter(&self) -> &ChargeLimiter {
        &self.active.limiter
    }

    fn solved(&self, state_of_charge: f64) -> Solved {
        if self.limiter().data().stop_soc.is_some_and(|stop| state_of_charge >= stop) {
            return self.stopped(ChargeState::Done, Some(Told::Done { state_of_charge }));
        }
        let (steady, outcome) = self.with(ChargeState::Charging, f64::INFINITY, self.from);
        let condition = match &outcome {
            Ok(solution) => steady.network().fed_pack_condition(solution.state()),
            // a charge whose heat outgrows the cooling, or passes the end of the model, leaves its window before that
            Err(Failure::NoEquilibrium { .. } | Failure::OutsideModel { .. }) => {
                return self.beyond(ChargeState::TooHot, steady, outcome);
            }
            Err(_) => return Solved { steady, outcome, told: None },
        };
        let Some(condition) = condition else { return Solved { steady, outcome, told: None } };
        let happens = |event| self.happens(ChargeState::Charging, event, &condition);
        if happens(ChargeEvent::Tapered) {
            return self.stopped(ChargeState::Done, Some(Told::Done { state_of_charge }));
        }
        if happens(ChargeEvent::TooHot) {
            return self.beyond(ChargeState::TooHot, steady, outcome);
        }
        if happens(ChargeEvent::TooCold) {
            return self.beyond(ChargeState::TooCold, steady, outcome);
        }
        Solved { steady, outcome, told: None }
    }

    fn happens(&self, state: ChargeState, event: ChargeEvent, condition: &PackCondition<f64>) -> bool {
        self.limiter().event_value(state, event, condition).is_some_and(|value| value >= 0.0)
    }

    fn with(
        &self,
        state: ChargeState,
        max_current_a: f64,
        from: Option<&Solution>,
    ) -> (SteadySolver, Result<Solution, Failure>) {
        let mut network = self.network.clone();
        network.set_charge(Some(ActiveCharge { state, max_current_a, ..self.active.clone() }));
        solve(network, from)
    }

    fn stopped(&self, state: ChargeState, told: Option<Told>) -> Solved {
        let (steady, outcome) = self.with(state, f64::INFINITY, self.from);
        Solved { steady, outcome, told }
    }

    /// A charge that leaves the window: it waits, or it stops and starts.
    fn beyond(&self, state: ChargeState, steady: SteadySolver, outcome: Result<Solution, Failure>) -> Solved {
        let mut waiting = self.stopped(state, None);
        let Ok(solution) = &waiting.outcome else {
            // not even without a charge
            return Solved { steady, outcome, told: None };
        };
        let Some(condition) = waiting.steady.network().fed_pack_condition(solution.state()) else {
            return waiting;
        };
        let (starts_from_k, starts_to_k) = self.limiter().data().window.start_range_k();
        let (cell_k, stops_k, starts_k) = match state {
            ChargeState::TooCold => {
                (condition.coldest_k, self.limiter().data().window.stop_below_k(), starts_from_k)
            }
            _ => (condition.hottest_k, self.limiter().data().window.stop_above_k(), starts_to_k),
        };
        if !self.happens(state, ChargeEvent::Rearmed, &condition) {
            waiting.told = Some(Told::Waits { state, cell_k });
            return waiting;
        }
        let told = Some(Told::Hunts { state, stops_k, starts_k });
        if state == ChargeState::TooCold {
            // the charge cools its cells: they are hotter without it
            return Solved { told, ..waiting };
        }
        self.at_the_edge(stops_k, waiting.outcome.as_ref().ok()).map_or(
            Solved { steady, outcome, told },
            |(steady, solution)| Solved { steady, outcome: Ok(solution), told },
        )
    }

    /// The steady state of that current with which the hottest cell stays at the upper end of the window, never below it.
    fn at_the_edge(&self, edge_k: f64, cold: Option<&Solution>) -> Option<(SteadySolver, Solution)> {
        let data = self.limiter().data();
        let (mut low, mut high) = (0.0, data.c_rate * data.rated_capacity_ah);
        let mut best: Option<(SteadySolver, Solution)> = None;
        for _ in 0..MAX_CURRENTS {
            let middle_a = 0.5 * (low + high);
            let from = best.as_ref().map(|(_, solution)| solution).or(cold);
            let (steady, outcome) = self.with(ChargeState::Charging, middle_a, from);
            let hottest_k = |solution: &Solution| {
                steady.network().fed_pack_condition(solution.state()).map(|condition| condition.hottest_k)
            };
            let above_k = outcome.as_ref().ok().and_then(hottest_k).map(|hottest_k| hottest_k - edge_k);
            match above_k {
                Some(above_k) if above_k < 0.0 => low = middle_a,
                _ => high = middle_a,
            }
            if let (Some(above_k), Ok(solution)) = (above_k, outcome)
                && above_k >= 0.0
            {
                best = Some((steady, solution));
                if above_k < EDGE_K {
                    break;
                }
            }
        }
        best
    }
}

impl Told {
    /// Adds what is told to the result of the point, whose pack has these cells.
    pub(super) fn tell(self, cells: &str, result: &mut CaseResult) {
        let (kind, message) = match self {
            Self::Done { state_of_charge } => (
                "charge",
                format!(
                    "the charge has ended at a state of charge of {state_of_charge:.2}: no current is taken"
                ),
            ),
            Self::Waits { state, cell_k } => (
                "charge",
                format!(
                    "nothing is charged: a cell stays too {} at {:.1} degC",
                    if state == ChargeState::TooCold { "cold" } else { "hot" },
                    cell_k - 273.15
                ),
            ),
            Self::Hunts { stops_k, starts_k, .. } => (
                Status::Hunting.word(),
                format!(
                    "no equilibrium with the charge on or off: it stops at {:.1} degC and starts again at {:.1} degC; the cells at the \
                     hotter of both are judged, with the current that holds them there",
                    stops_k.max(starts_k) - 273.15,
                    stops_k.min(starts_k) - 273.15
                ),
            ),
        };
        if let Self::Hunts { stops_k, starts_k, .. } = self {
            if result.status == Status::Solved {
                result.status = Status::Hunting;
            }
            // the hottest cell reaches the end of the window, whatever the current that holds the mean ones there
            for margin in &mut result.margins {
                if margin.place == cells && margin.kind == MarginKind::Maximum {
                    margin.value = margin.value.max(stops_k.max(starts_k));
                    margin.margin = margin.limit_value - margin.value;
                }
            }
            result.margins.sort_by(Margin::worst_first);
        }
        result.notices.push(Notice { about: "", kind, place: "pack".to_owned(), message });
    }
}
