//! The two tables the ground team works from.

use super::result::{DepartureLimit, WaitCell, outcome};
use super::setup::TurnaroundSetup;
use crate::StudyError;
use aircraft::records::component::Bound;
use aircraft::records::ground::TurnaroundOption;
use model::assembly::charge_window;
use model::mission;
use model::mission::{Phase, StartState, TurnaroundCase, TurnaroundStart};
use rayon::prelude::*;

/// Accuracy of the highest pack temperature at departure, K.
const DEPARTURE_ACCURACY_K: f64 = 0.25;
/// Coldest pack that is tried for a departure, below the outside air, K.
const COLDER_K: f64 = 5.0;

impl TurnaroundSetup<'_> {
    /// Options that charge, with every outside air and pack temperature.
    pub(super) fn wait_cells(&self) -> Vec<(&TurnaroundOption, f64, f64)> {
        let mut all = Vec::new();
        for option in self.turnaround.options.iter().filter(|option| option.swap.is_none()) {
            for outside in self.outsides() {
                all.extend(self.turnaround.pack.iter().map(|pack| (option, outside.si(), pack.si())));
            }
        }
        all
    }

    pub(super) fn wait_table(
        &self,
        state_of_charge: f64,
        tick: &(impl Fn() -> Result<(), StudyError> + Sync),
    ) -> Result<Vec<WaitCell>, StudyError> {
        self.wait_cells()
            .into_par_iter()
            .map(|(option, outside_k, pack_k)| {
                let cell = self.at_outside(outside_k)?.wait(option, outside_k, pack_k, state_of_charge);
                tick()?;
                cell
            })
            .collect()
    }

    fn wait(
        &self,
        option: &TurnaroundOption,
        outside_k: f64,
        pack_k: f64,
        state_of_charge: f64,
    ) -> Result<WaitCell, StudyError> {
        let case = TurnaroundCase {
            project: self.project,
            condition: &self.condition,
            turnaround: self.turnaround,
            option,
        };
        let start = TurnaroundStart::Indicated { pack_k, state_of_charge };
        let mut schedule =
            mission::schedule_turnaround(&case, start).map_err(|problem| self.failed(problem))?;
        // the pack is read on the stand: what comes before is over, and the table ends where the charge begins
        let charge = schedule.steps.iter().position(|step| step.phase == Phase::Charge);
        let charging = charge.map(|step| schedule.steps[step].clone());
        schedule.steps.truncate(charge.unwrap_or(schedule.steps.len()));
        let before = |label: &str| label == "taxi in" || label == "stand";
        schedule.steps.retain(|step| !before(&step.label));
        let flight = mission::fly(self.project, schedule, None, &self.fly);
        let (parts, cells) = (flight.schedule.parts(), &self.pack.cells);
        let coldest_k = flight.end.coldest_k(parts, cells).unwrap_or(pack_k);
        let hottest_k = flight.end.component_k(parts, cells).unwrap_or(pack_k);
        let mut why = outcome(&flight);
        if why.is_empty() {
            why = self.refused(coldest_k, hottest_k)?;
        }
        let bound = charging.and_then(|step| step.first_charge_current(&flight.end));
        let current_a = if why.is_empty() { bound.map_or(0.0, |point| point.current_a) } else { 0.0 };
        let strings = self.pack.parallel.saturating_sub(self.pack.strings_out) as f64;
        Ok(WaitCell {
            option: option.name.as_str().to_owned(),
            outside_k,
            pack_k,
            wait_s: why.is_empty().then(|| flight.duration_s()),
            rate_per_s: current_a / (self.pack.cell.capacity.si() * strings),
            current_a,
            outcome: why,
        })
    }

    /// Why a charge may not begin with the coldest and the hottest cells at these temperatures; empty if it may.
    fn refused(&self, coldest_k: f64, hottest_k: f64) -> Result<String, StudyError> {
        let Some(charging) = &self.pack.charging else {
            return Ok("the pack does not say how it is charged".to_owned());
        };
        let window = charge_window(charging).map_err(|problem| self.failed(problem))?;
        let (from_k, to_k) = window.start_range_k();
        // cooling ends within the accuracy of the stepper of its aim
        let near_k = self.fly.accuracy_k;
        Ok(if coldest_k < from_k - near_k {
            format!("too cold: warm the pack to {:.0} degC", from_k - 273.15)
        } else if hottest_k > to_k + near_k {
            "too hot".to_owned()
        } else {
            String::new()
        })
    }

    pub(super) fn departure_limits(
        &self,
        tick: &(impl Fn() -> Result<(), StudyError> + Sync),
    ) -> Result<Vec<DepartureLimit>, StudyError> {
        self.outsides()
            .par_iter()
            .map(|outside| {
                let limit = self.at_outside(outside.si())?.departure_limit(outside.si());
                tick()?;
                limit
            })
            .collect()
    }

    /// Bisection over flights: what lands with a pack of one temperature lands with a colder one, as far as hot limits are meant.
    fn departure_limit(&self, outside_k: f64) -> Result<DepartureLimit, StudyError> {
        let mission = self.next().map_or_else(String::new, |case| case.mission.name.as_str().to_owned());
        let found = |pack_k: Option<f64>, limited_by: String| DepartureLimit {
            outside_k,
            mission: mission.clone(),
            pack_k,
            limited_by,
        };
        let (mut cold_k, mut hot_k) = (outside_k - COLDER_K, self.hottest_limit_k());
        let Some(mut limited_by) = self.short(hot_k)? else { return Ok(found(Some(hot_k), String::new())) };
        if let Some(short) = self.short(cold_k)? {
            return Ok(found(None, short));
        }
        while hot_k - cold_k > DEPARTURE_ACCURACY_K {
            let middle_k = 0.5 * (hot_k + cold_k);
            match self.short(middle_k)? {
                Some(short) => (hot_k, limited_by) = (middle_k, short),
                None => cold_k = middle_k,
            }
        }
        Ok(found(Some(cold_k), limited_by))
    }

    /// Highest limit of the cells; without one, that of common practice for discharge (60 degC, common practice, no source).
    fn hottest_limit_k(&self) -> f64 {
        let cells = self.project.components.iter().find(|c| c.name.as_str() == self.pack.cells);
        let maxima = cells.into_iter().flat_map(|cells| &cells.limits).filter(|l| l.bound == Bound::Maximum);
        let highest_k = maxima.map(|limit| limit.value.si()).fold(f64::NEG_INFINITY, f64::max);
        if highest_k.is_finite() { highest_k } else { 333.15 }
    }

    /// What falls short in the next mission with the pack at a temperature at departure.
    fn short(&self, pack_k: f64) -> Result<Option<String>, StudyError> {
        let Some(case) = self.next() else { return Ok(None) };
        let mut schedule = mission::schedule(&case).map_err(|problem| self.failed(problem))?;
        if schedule.steps.len() > 1 {
            schedule.steps.retain(|step| step.segment.is_some());
        }
        let rest_k = schedule.steps[0].pieces[0].from.assembled.outside.inlet_air_k;
        let cells = schedule.pack.as_ref().map(|pack| pack.cells.clone()).unwrap_or_default();
        let (rest_k, mut parts) = match schedule.start {
            StartState::Temperatures { rest_k, parts } => (rest_k, parts),
            _ => (rest_k, Vec::new()),
        };
        parts.push((cells, pack_k));
        schedule.start = StartState::Temperatures { rest_k, parts };
        schedule.state_of_charge = self.turnaround.charge_to.si();
        let flight = mission::fly(self.project, schedule, None, &self.fly);
        if !flight.status.can_be_judged() {
            return Ok(Some(flight.status.word().to_owned()));
        }
        let worst = flight.margins(self.project).into_iter().next();
        let short = worst.filter(|worst| worst.margin.is_short());
        Ok(short.map(|short| format!("{}, {}", short.margin.place, short.margin.limit)))
    }
}
