//! What is looked at, and what comes of it.

use model::mission::{EventKind, Flight, FlyOptions, Phase, StepEnd, TimedMargin};
use model::result::Status;
use model::standing::Standing;

/// What is looked at.
#[derive(Clone, Debug, Default)]
pub struct TurnaroundWish {
    /// Accuracy and samples.
    pub fly: FlyOptions,
    /// Only this condition; without it, those of each turnaround.
    pub condition: Option<String>,
    /// Outside air at the field instead of that of the condition, K.
    pub outside_k: Option<f64>,
    /// Leaves the tables for the ground team out, which take most of the time.
    pub without_tables: bool,
}

/// How long each phase takes, s.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PhaseTimes {
    /// From touchdown to the stand.
    pub taxi_s: f64,
    /// Standing with everything switched off, connecting included.
    pub soak_s: f64,
    /// Cooling, before the charge and before departure.
    pub cool_s: f64,
    /// Charging, pauses for temperature included.
    pub charge_s: f64,
    /// Replacing the pack.
    pub swap_s: f64,
}

impl PhaseTimes {
    /// All phases together, s.
    pub fn sum_s(&self) -> f64 {
        self.taxi_s + self.soak_s + self.cool_s + self.charge_s + self.swap_s
    }

    pub(super) fn of(flight: &Flight) -> Self {
        let mut times = Self::default();
        for flown in &flight.steps {
            let lasted_s = flown.end_s - flown.start_s;
            match flight.schedule.steps[flown.step].phase {
                Phase::Taxi => times.taxi_s += lasted_s,
                Phase::Segment | Phase::Soak => times.soak_s += lasted_s,
                Phase::Cool => times.cool_s += lasted_s,
                Phase::Charge => times.charge_s += lasted_s,
                Phase::Swap => times.swap_s += lasted_s,
            }
        }
        times
    }
}

/// The flight after a turnaround.
#[derive(Clone, Debug)]
pub struct NextFlight {
    /// Mission.
    pub mission: String,
    /// Pack at departure less pack at the departure of the mission that landed, K: positive means that it starts hotter.
    pub starts_hotter_k: f64,
    /// How it ended.
    pub status: Status,
    /// Its limit with the least reserve; none without limits.
    pub worst: Option<TimedMargin>,
}

impl NextFlight {
    /// How it stands.
    pub fn standing(&self) -> Standing {
        Standing::of_case(self.status, self.worst.as_ref().map(|worst| &worst.margin))
    }

    /// Whether it lands with every required margin kept.
    pub fn holds(&self) -> bool {
        self.standing().holds()
    }
}

/// One way from landing to ready at one condition.
#[derive(Clone, Debug)]
pub struct OptionResult {
    /// Option.
    pub name: String,
    /// Time of each phase.
    pub times: PhaseTimes,
    /// Time from touchdown until ready, s; none if it does not get ready.
    pub ready_s: Option<f64>,
    /// Why it does not get ready; empty if it does.
    pub outcome: String,
    /// Energy put into the pack by charging, J: charge times open-circuit voltage, without the losses of charger and cells.
    pub energy_j: f64,
    /// Energy that the charger took from its supply for the pack, J: terminal voltage times current over its efficiency.
    pub supply_energy_j: f64,
    /// Electrical energy of the own pumps and fans after taxiing in, J.
    pub aux_energy_j: f64,
    /// Heat that carts removed, J; negative where their supply warmed the pack.
    pub cart_heat_j: f64,
    /// Electrical energy that carts took, J: heat over their performance.
    pub cart_energy_j: f64,
    /// Hottest group of cells at touchdown, K.
    pub pack_at_landing_k: f64,
    /// Hottest group of cells at the end, K.
    pub pack_at_ready_k: f64,
    /// State of charge at the end.
    pub state_of_charge: f64,
    /// The flight after it; none if it does not get ready.
    pub next: Option<NextFlight>,
    /// The turnaround over time.
    pub flight: Flight,
}

/// A turnaround at one condition.
#[derive(Clone, Debug)]
pub struct TurnaroundResult {
    /// Turnaround.
    pub name: String,
    /// Mission that has landed.
    pub after: String,
    /// Condition.
    pub condition: String,
    /// Outside air at the field, K.
    pub outside_k: f64,
    /// Options, in the order of the project.
    pub options: Vec<OptionResult>,
    /// Wait and allowed rate of charge by option, outside air and indicated pack temperature.
    pub table: Vec<WaitCell>,
    /// Highest pack temperature at departure by outside air.
    pub departure: Vec<DepartureLimit>,
    /// What to know about water that condenses.
    pub dew_notes: Vec<String>,
}

/// What the ground team does with a pack of an indicated temperature. The whole pack is taken to be at that temperature, everything
/// else at the outside air.
#[derive(Clone, Debug, PartialEq)]
pub struct WaitCell {
    /// Option.
    pub option: String,
    /// Outside air, K.
    pub outside_k: f64,
    /// Indicated pack temperature, K.
    pub pack_k: f64,
    /// Wait, connecting and cooling, until the charge may begin, s; none if it may not within the longest time.
    pub wait_s: Option<f64>,
    /// Rate of charge when it begins, by the window at the hottest cell, the voltage and the charger, 1/s; 0 if it may not.
    pub rate_per_s: f64,
    /// The same as current into the pack, A.
    pub current_a: f64,
    /// Why the charge may not begin; empty if it may.
    pub outcome: String,
}

/// Highest pack temperature at which a departure still lands with every required margin.
#[derive(Clone, Debug, PartialEq)]
pub struct DepartureLimit {
    /// Outside air, K.
    pub outside_k: f64,
    /// Mission flown.
    pub mission: String,
    /// Highest pack temperature, K; none if even a pack colder than the outside air lands short.
    pub pack_k: Option<f64>,
    /// Limit that is short just above; empty if none is, up to the highest limit of the cells.
    pub limited_by: String,
}

/// Why a turnaround does not get ready; empty if it does.
pub(super) fn outcome(flight: &Flight) -> String {
    if !flight.status.can_be_judged() {
        let why = flight.notices.last().map_or(flight.status.word(), |notice| notice.message.as_str());
        return why.to_owned();
    }
    match flight.steps.iter().find(|step| step.ended == StepEnd::NotReached) {
        Some(step) => {
            let waits = flight.events.iter().rev().find(|event| event.kind == EventKind::ChargeWaits);
            let label = &flight.schedule.steps[step.step].label;
            let hours = (step.end_s - step.start_s) / 3600.0;
            let why = waits.map_or_else(String::new, |event| format!(" ({})", event.what));
            format!("{label} is not done after {hours:.1} h{why}")
        }
        None => String::new(),
    }
}
