//! A turnaround in one condition: landing, options, the flight after.

use super::result::{NextFlight, OptionResult, PhaseTimes, TurnaroundResult, outcome};
use crate::StudyError;
use crate::missions::state_before;
use aircraft::records::ground::{Turnaround, TurnaroundOption};
use aircraft::records::mission::Mission;
use aircraft::records::powertrain::Pack;
use aircraft::records::project::Project;
use aircraft::records::surroundings::{Condition, Day};
use model::case_name::CaseName;
use model::mission;
use model::mission::{
    EndState, Flight, FlyOptions, MissionCase, Phase, StartState, TurnaroundCase, TurnaroundStart,
};
use model::outside::{Outside, Over};
use rayon::prelude::*;
use schema::kinds::Temperature;
use schema::{Input, Problem};

/// Missions that may begin at the end of one another before the landing that a turnaround follows.
const MAX_BEFORE: usize = 16;

/// One turnaround at one condition, before anything is flown.
#[derive(Clone, Debug)]
pub(crate) struct TurnaroundSetup<'a> {
    pub(crate) project: &'a Project,
    pub(crate) turnaround: &'a Turnaround,
    pub(crate) condition: Condition,
    pub(crate) pack: &'a Pack,
    pub(crate) fly: FlyOptions,
    pub(crate) without_tables: bool,
}

impl<'a> TurnaroundSetup<'a> {
    pub(super) fn jobs(&self) -> usize {
        self.turnaround.options.len() + self.wait_cells().len() + self.outsides().len()
    }

    pub(super) fn result(
        &self,
        tick: &(impl Fn() -> Result<(), StudyError> + Sync),
    ) -> Result<TurnaroundResult, StudyError> {
        let (before, landed) = self.landing()?;
        let options = self
            .turnaround
            .options
            .par_iter()
            .map(|option| {
                let result = self.option(option, before, landed.as_ref());
                tick()?;
                result
            })
            .collect::<Result<_, _>>()?;
        let left = landed.as_ref().map_or(0.5, EndState::state_of_charge);
        Ok(TurnaroundResult {
            name: self.turnaround.name.as_str().to_owned(),
            after: self.turnaround.after.clone(),
            condition: self.condition.name.as_str().to_owned(),
            outside_k: self.outside()?.air_k,
            options,
            table: self.wait_table(left, tick)?,
            departure: self.departure_limits(tick)?,
            dew_notes: self.dew_notes()?,
        })
    }

    /// Outside air of the tables.
    pub(crate) fn outsides(&self) -> &'a [Input<Temperature>] {
        if self.without_tables { &[] } else { &self.turnaround.outside }
    }

    /// The same with another outside air at the field. It falls with height as the standard atmosphere does.
    pub(crate) fn at_outside(&self, outside_k: f64) -> Result<Self, StudyError> {
        let mut other = self.clone();
        other.condition.day = Day::Standard;
        let rise_k = outside_k - other.outside()?.air_k;
        other.condition.day = Day::Offset(Input::from_si(rise_k, "K").map_err(|error| {
            let message = format!("an outside air of {outside_k} K: {error}");
            self.failed(Problem::error(self.path(), message, "give a temperature that occurs"))
        })?);
        Ok(other)
    }

    pub(crate) fn outside(&self) -> Result<Outside, StudyError> {
        Outside::at(&self.condition, 0.0, Over::Ground).map_err(|problem| self.failed(problem))
    }

    pub(super) fn path(&self) -> String {
        format!("turnarounds.{}", self.turnaround.name.as_str())
    }

    pub(crate) fn failed(&self, problem: Problem) -> StudyError {
        let case = CaseName {
            condition: self.condition.name.as_str().to_owned(),
            point: self.turnaround.name.as_str().to_owned(),
            failure: None,
        };
        StudyError::Assembly { case, problem: Box::new(problem) }
    }

    pub(super) fn mission(&self, name: &str) -> Option<&'a Mission> {
        self.project.missions.iter().find(|mission| mission.name.as_str() == name)
    }

    /// The mission flown next.
    pub(crate) fn next(&self) -> Option<MissionCase<'_>> {
        let name = self.turnaround.next.as_ref().unwrap_or(&self.turnaround.after);
        let mission = self.mission(name)?;
        Some(MissionCase { project: self.project, condition: &self.condition, mission, failure: None })
    }

    /// Pack temperature at the departure of the mission that lands, K, and the state at its touchdown.
    pub(super) fn landing(&self) -> Result<(Option<f64>, Option<EndState>), StudyError> {
        let Some(mission) = self.mission(&self.turnaround.after) else { return Ok((None, None)) };
        let case = MissionCase { project: self.project, condition: &self.condition, mission, failure: None };
        let mut schedule = mission::schedule(&case).map_err(|problem| self.failed(problem))?;
        if schedule.steps.len() > 1 {
            schedule.steps.retain(|step| step.segment.is_some());
        }
        let start = state_before(&case, &schedule.start, &self.fly, MAX_BEFORE)?;
        let flight = mission::fly(self.project, schedule, start.as_ref(), &self.fly);
        if !flight.status.can_be_judged() {
            let why = flight.notices.last().map_or(flight.status.word(), |notice| &notice.message);
            let message = format!("{:?} does not land: {why}", self.turnaround.after);
            return Err(self.failed(Problem::error(
                self.path(),
                message,
                "let it follow a mission that lands",
            )));
        }
        let departed = flight.component_k(&self.pack.cells).first().copied();
        Ok((departed, Some(flight.end)))
    }

    pub(super) fn option(
        &self,
        option: &TurnaroundOption,
        departed_k: Option<f64>,
        landed: Option<&EndState>,
    ) -> Result<OptionResult, StudyError> {
        let case = TurnaroundCase {
            project: self.project,
            condition: &self.condition,
            turnaround: self.turnaround,
            option,
        };
        let schedule = mission::schedule_turnaround(&case, TurnaroundStart::Landed)
            .map_err(|problem| self.failed(problem))?;
        let flight = mission::fly(self.project, schedule, landed, &self.fly);
        let outcome = outcome(&flight);
        let cells = flight.component_k(&self.pack.cells);
        let pack_at_ready_k =
            flight.end.component_k(flight.schedule.parts(), &self.pack.cells).unwrap_or(f64::NAN);
        let times = PhaseTimes::of(&flight);
        let next = if outcome.is_empty() {
            self.next_flight(&flight.end, pack_at_ready_k - departed_k.unwrap_or(f64::NAN))?
        } else {
            None
        };
        let (cart_heat_j, cart_energy_j) = self.cart_use(&flight);
        Ok(OptionResult {
            name: option.name.as_str().to_owned(),
            times,
            ready_s: outcome.is_empty().then(|| times.sum_s()),
            outcome,
            energy_j: self.charged_j(&flight),
            supply_energy_j: self.supplied_j(&flight),
            aux_energy_j: self.aux_j(&flight),
            cart_heat_j,
            cart_energy_j,
            pack_at_landing_k: cells.first().copied().unwrap_or(f64::NAN),
            pack_at_ready_k,
            state_of_charge: flight.end.state_of_charge(),
            next,
            flight,
        })
    }

    pub(super) fn next_flight(
        &self,
        from: &EndState,
        starts_hotter_k: f64,
    ) -> Result<Option<NextFlight>, StudyError> {
        let Some(case) = self.next() else { return Ok(None) };
        let mut schedule = mission::schedule_on(&case, false).map_err(|problem| self.failed(problem))?;
        schedule.start = StartState::Carried;
        let flight = mission::fly(self.project, schedule, Some(from), &self.fly);
        Ok(Some(NextFlight {
            mission: case.mission.name.as_str().to_owned(),
            starts_hotter_k,
            status: flight.status,
            worst: flight.margins(self.project).into_iter().next(),
        }))
    }

    /// Energy that charging left in the pack: open-circuit voltage times charge, over the samples of the charge.
    pub(super) fn charged_j(&self, flight: &Flight) -> f64 {
        let charge = flight.state_of_charge();
        let voltage = self.pack.cell.open_circuit.si();
        let worn = self.mission(&self.turnaround.after).and_then(|mission| mission.life_used.as_ref());
        let life = worn.unwrap_or(&self.pack.life_used).si();
        let left = 1.0 - (1.0 - self.pack.ageing.capacity.si()) * life;
        let strings = self.pack.parallel.saturating_sub(self.pack.strings_out) as f64;
        let pack_c = self.pack.cell.capacity.si() * strings * left;
        let is_charge = |k: usize| {
            let step = flight.step_of[k];
            step == flight.step_of[k - 1] && flight.schedule.steps[step].phase == Phase::Charge
        };
        (1..charge.len())
            .filter(|&k| is_charge(k))
            .map(|k| {
                let middle = 0.5 * (charge[k] + charge[k - 1]);
                (charge[k] - charge[k - 1]) * pack_c * self.pack.series as f64 * between(&voltage, middle)
            })
            .sum()
    }

    /// Energy that the charger took from its supply: by the trapezoid over the samples of the charge.
    pub(super) fn supplied_j(&self, flight: &Flight) -> f64 {
        let Some(charging) = &self.pack.charging else { return 0.0 };
        let (voltage, current) = (flight.bus_voltage_v(), flight.pack_current_a());
        let given_w = |k: usize| (-voltage[k] * current[k]).max(0.0);
        let charged_j = over_phase(flight, |phase| phase == Phase::Charge, given_w);
        charged_j / charging.charger.efficiency.si()
    }

    /// Energy of the own pumps and fans, by the trapezoid over the samples after taxiing in.
    pub(super) fn aux_j(&self, flight: &Flight) -> f64 {
        let power_w = |k: usize| {
            let case = flight.case_at(self.project, k);
            case.loops.iter().chain(&case.ducts).map(|circuit| circuit.power_w).sum()
        };
        over_phase(flight, |phase| !matches!(phase, Phase::Taxi | Phase::Segment), power_w)
    }

    /// Heat that carts removed and energy they took, J, by the trapezoid over the samples while they were connected.
    pub(super) fn cart_use(&self, flight: &Flight) -> (f64, f64) {
        let (mut heat_j, mut energy_j) = (0.0, 0.0);
        for connection in self.project.ground_connections() {
            let Some(cart) = self.project.cart_of(connection) else { continue };
            let name = connection.name.as_str();
            let mut last: Option<(usize, f64, f64)> = None;
            for (sample, &time_s) in flight.times_s.iter().enumerate() {
                let step = flight.step_of[sample];
                if flight.schedule.steps[step].carts.iter().all(|connected| connected != name) {
                    continue;
                }
                let case = flight.case_at(self.project, sample);
                let mut stations = case.loops.iter().flat_map(|circuit| &circuit.stations);
                let removed_w = stations.find(|s| s.name == name).map_or(0.0, |station| -station.heat_w);
                if let Some((_, before_s, before_w)) = last.filter(|(before, ..)| *before == step) {
                    let gap_s = time_s - before_s;
                    let taken_j = 0.5 * (removed_w + before_w) * gap_s;
                    heat_j += taken_j;
                    // a pack colder than the supply is warmed, which takes no cooling
                    energy_j += taken_j.max(0.0) / cart.performance.si();
                }
                last = Some((step, time_s, removed_w));
            }
        }
        (heat_j, energy_j)
    }

    pub(super) fn dew_notes(&self) -> Result<Vec<String>, StudyError> {
        let dew_k = self.outside()?.dew_point_k;
        let notes = self.project.ground_connections().filter_map(|connection| {
            let cart = self.project.cart_of(connection)?;
            let (name, supply) = (cart.name.as_str(), cart.supply.si() - 273.15);
            match dew_k.map(|dew_k| dew_k - 273.15) {
                None => Some(format!(
                    "{name} supplies {supply:.1} degC; the condition states no humidity: keep the supply above the dew point"
                )),
                Some(dew) if dew > supply => Some(format!(
                    "{name} supplies {supply:.1} degC, below the dew point of {dew:.1} degC: water condenses in the bay and on the cells"
                )),
                Some(_) => None,
            }
        });
        Ok(notes.collect())
    }
}

/// Time integral of a power over the steps of some phases, J.
fn over_phase(flight: &Flight, counts: impl Fn(Phase) -> bool, power_w: impl Fn(usize) -> f64) -> f64 {
    let mut energy_j = 0.0;
    let mut before: Option<(usize, f64, f64)> = None;
    for (sample, &time_s) in flight.times_s.iter().enumerate() {
        let step = flight.step_of[sample];
        if !counts(flight.schedule.steps[step].phase) {
            continue;
        }
        let now_w = power_w(sample);
        if let Some((_, before_s, before_w)) = before.filter(|(of, ..)| *of == step) {
            energy_j += 0.5 * (now_w + before_w) * (time_s - before_s);
        }
        before = Some((step, time_s, now_w));
    }
    energy_j
}

/// Value of a rising table at a place, held at its ends.
pub(super) fn between(table: &[(f64, f64)], at: f64) -> f64 {
    let above = table.partition_point(|(x, _)| *x <= at);
    match (above.checked_sub(1).map(|k| table[k]), table.get(above)) {
        (Some((x0, y0)), Some((x1, y1))) => y0 + (y1 - y0) * (at - x0) / (x1 - x0),
        (Some((_, y)), None) => y,
        (None, first) => first.map_or(f64::NAN, |(_, y)| *y),
    }
}
