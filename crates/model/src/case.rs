//! Solves one case and names its results.

use crate::assembly::{
    Assembled, CircuitPart, DevicePart, Outside, Parts, Situation, Step, assemble, assemble_like,
};
use crate::case_name::CaseName;
use crate::margin;
use crate::pressure::{self, Pressures};
use crate::rating;
use crate::result::{
    CaseResult, CircuitResult, ComponentResult, ConverterResult, ElectricResult, ExchangerResult, LedgerLine,
    LinkPart, LinkResult, Margin, MotorResult, Notice, StationResult, Status,
};
use crate::validity;
use aircraft::records::component::Component;
use aircraft::records::device::Loop;
use aircraft::records::powertrain::Bus;
use aircraft::records::project::OutsideRange;
use aircraft::records::surroundings::OUTSIDE_AIR;
use schema::Problem;
use solver::{
    Booked, CircuitId, ElementReading, Failure, Fluid, Ledger, LinkLaw, LinkReading, Network, Place, Reading,
    Solution, Statistics,
};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

mod charge;
mod near;
mod notices;
mod rerated;
mod transition;
mod unrest;

pub use near::Ground;
pub(crate) use notices::standing_notices;
pub use transition::{COLD_WALL, COLD_WALL_KIND, DECIDES_BELOW_K, TRANSITION};

/// Solves a case from a cold start.
///
/// # Errors
/// A [`Problem`] if the case cannot be assembled; a case without a steady state is a result, not an error.
pub fn solve(situation: &Situation<'_>) -> Result<CaseResult, Problem> {
    let assembled = assemble(*situation)?;
    solve_assembled(situation, assembled)
}

/// The network of the first of many cases of one design: putting together the others beside it is faster, and gives the same.
#[derive(Debug, Default)]
pub struct Beside(OnceLock<Arc<Network>>);

impl Beside {
    /// Solves a case of the design as [`solve`] does.
    ///
    /// # Errors
    /// As [`solve`].
    pub fn solve(&self, situation: &Situation<'_>) -> Result<CaseResult, Problem> {
        let assembled = assemble_like(*situation, self.0.get().map(|network| &**network))?;
        self.0.get_or_init(|| Arc::clone(&assembled.network));
        solve_assembled(situation, assembled)
    }
}

/// Solves an assembled case.
///
/// # Errors
/// A [`Problem`] if the data of a charge contradict each other.
pub fn solve_assembled(situation: &Situation<'_>, assembled: Assembled) -> Result<CaseResult, Problem> {
    let Assembled { network, parts, outside } = assembled;
    let solved = charge::solved(situation, Arc::unwrap_or_clone(network), None)?;
    let naming = Naming::new(situation, &parts);
    Ok(match &solved.outcome {
        Ok(solution) => full(solution, &solved, naming, outside).0,
        Err(failure) => naming.failed(failure),
    })
}

/// Everything about a steady state, and whether the network keeps it. One that it does not keep is followed over time.
fn full(
    solution: &Solution,
    solved: &charge::Solved,
    naming: Naming<'_>,
    outside: Outside,
) -> (CaseResult, bool) {
    let network = solved.steady.network();
    let project = naming.situation.project;
    let named = Named { naming, reading: solution.read(network), outside, rises_k: &[] };
    let mut result = named.result(solution.ledger, solution.statistics);
    let switches = network.hunting_switches(solution.state());
    let is_kept = solution.growth_1_s().is_none() && switches.is_empty();
    if !is_kept {
        result = unrest::followed(result, &named, network, solution, &switches);
    }
    if let Some(told) = solved.told {
        let cells = match project.powertrain.as_ref().map(|powertrain| &powertrain.bus) {
            Some(Bus::Pack(pack)) => pack.cells.as_str(),
            _ => "",
        };
        told.tell(cells, &mut result);
    }
    let result = finite(result);
    let is_kept = is_kept && solved.told.is_none() && result.status != Status::NotConverged;
    (result, is_kept)
}

/// A result with a number that is not finite is none: it keeps its name and says where.
fn finite(result: CaseResult) -> CaseResult {
    let Some((place, what)) = validity::not_finite(&result) else { return result };
    let status = Status::NotConverged;
    let notice = Notice { about: "", kind: status.word(), place, message: not_finite(what) };
    CaseResult { notices: vec![notice], ..CaseResult::empty(result.case, status) }
}

/// What is said of a number that is not finite.
fn not_finite(what: &str) -> String {
    format!(
        "no result: the {what} here is not a finite number; look for an input here that is zero or far too small or large"
    )
}

/// An instant of a run over time.
#[derive(Clone, Copy)]
pub(crate) struct AtInstant<'a> {
    pub(crate) situation: &'a Situation<'a>,
    pub(crate) parts: &'a Parts,
    pub(crate) outside: Outside,
    pub(crate) reading: Reading<'a>,
    /// Rise of the hot spot of each component, K; empty if it follows the heat at once.
    pub(crate) rises_k: &'a [f64],
}

impl<'a> AtInstant<'a> {
    fn named(self) -> Named<'a> {
        let Self { situation, parts, outside, reading, rises_k } = self;
        Named { naming: Naming::new(situation, parts), reading, outside, rises_k }
    }

    /// Everything, with the names of the aircraft.
    pub(crate) fn result(self) -> CaseResult {
        let named = self.named();
        named.result(named.reading.ledger(), Statistics::default())
    }

    /// What the limits are held against, with the same margins: components, loops and drive. The rest is left empty, and so are the
    /// heats of components.
    pub(crate) fn judged(self) -> CaseResult {
        self.named().judged()
    }

    /// What is to be told about films at this instant if these margins are least here.
    pub(crate) fn film_notices(self, margins: &[Margin]) -> Vec<Notice> {
        self.named().film_notices(margins)
    }

    /// Rise of the hot spot of each component if the heat lasted, K.
    pub(crate) fn lasting_rises_k(self) -> Vec<f64> {
        let named = self.named();
        let heats_w = named.component_heats();
        let components = self.situation.project.components.iter();
        components.zip(heats_w).map(|(component, heat_w)| hot_spot_rise_k(component, heat_w)).collect()
    }
}

/// Rise of the hot spot of a component in which a heat is generated for long, K.
fn hot_spot_rise_k(component: &Component, heat_w: f64) -> f64 {
    component.hot_spot.as_ref().map_or(0.0, |spot| spot.per_heat.si() * heat_w)
}

/// The result of a run over time that ended without a state.
pub(crate) fn failed(situation: &Situation<'_>, parts: &Parts, failure: &Failure) -> CaseResult {
    Naming::new(situation, parts).failed(failure)
}

struct Naming<'a> {
    situation: &'a Situation<'a>,
    parts: &'a Parts,
    /// Names of the devices by element.
    devices: Vec<&'a str>,
}

impl<'a> Naming<'a> {
    fn new(situation: &'a Situation<'a>, parts: &'a Parts) -> Self {
        let mut devices = Vec::new();
        for device in parts.loops.iter().chain(&parts.ducts).flat_map(CircuitPart::devices) {
            let index = device.element.index();
            if devices.len() <= index {
                devices.resize(index + 1, "a device");
            }
            devices[index] = device.name.as_str();
        }
        Self { situation, parts, devices }
    }

    fn case(&self) -> CaseName {
        self.situation.name()
    }

    fn circuits(&self) -> impl Iterator<Item = &CircuitPart> {
        self.parts.loops.iter().chain(&self.parts.ducts)
    }

    fn place(&self, place: Place) -> String {
        match place {
            Place::Component(id) => self
                .parts
                .components
                .iter()
                .find(|(_, ids)| ids.contains(&id))
                .map_or_else(|| "a component".to_owned(), |(name, _)| name.clone()),
            Place::Element(id) => self.devices.get(id.index()).copied().unwrap_or("a device").to_owned(),
            Place::Junction(id) | Place::Flow(id) => self.circuit(id),
            Place::Electric => "electric drive".to_owned(),
        }
    }

    fn circuit(&self, id: CircuitId) -> String {
        self.circuits().find(|c| c.id == id).map_or_else(|| "a circuit".to_owned(), |c| c.name.clone())
    }

    /// The component in which a heat is generated.
    fn warmed(&self, what: Booked) -> Option<&'a str> {
        match what {
            Booked::Source(id) => {
                self.parts.sources.iter().find(|source| source.id == id).map(|source| source.into.as_str())
            }
            Booked::Electric(outlet) => {
                let into = self.parts.electric_outlets.get(outlet).map(|outlet| outlet.into.as_str());
                into.filter(|into| !into.is_empty())
            }
            _ => None,
        }
    }

    /// The result of a case without a state: its status and one notice that says why and what to try.
    fn failed(&self, failure: &Failure) -> CaseResult {
        let (status, place, message) = match failure {
            Failure::NoEquilibrium { loop_gain, hottest, temperature_k } => {
                let why = if *loop_gain > 1.0 {
                    "losses grow faster with temperature than the cooling"
                } else {
                    "the heat path is too weak to balance the heat at any sensible temperature"
                };
                (
                    Status::NoEquilibrium,
                    self.place(*hottest),
                    format!(
                        "{why}: loop gain {loop_gain:.3}, the search passed {:.0} degC; improve the cooling of this part or \
                         lower its loss, or judge it over time instead of in a steady state",
                        temperature_k - 273.15
                    ),
                )
            }
            Failure::NotConverged { steps, worst } => (
                Status::NotConverged,
                self.place(worst.place),
                format!(
                    "no steady state found in {steps} steps: {:.3e} W left at {:.1} degC; look for a part without a heat \
                     path or a flow without a drop",
                    worst.residual_w,
                    worst.temperature_k - 273.15
                ),
            ),
            Failure::LeftBounds { place, temperature_k: _, time_s } => (
                Status::OutOfRange,
                self.place(*place),
                format!(
                    "outside the model from {time_s:.0} s: losses outgrow the cooling, and beyond this nothing can be \
                     predicted; shorten the load or improve the cooling of this part"
                ),
            ),
            Failure::OutsideModel { place, ceiling_k, time_s } => {
                let from = time_s.map_or_else(String::new, |time_s| format!(" from {time_s:.0} s"));
                (
                    Status::OutOfRange,
                    self.place(*place),
                    format!(
                        "outside the model{from}: it says nothing about this part at {:.0} degC and above; improve its \
                         cooling, lower its heat or its temperature at the start, or shorten the load",
                        ceiling_k - 273.15
                    ),
                )
            }
            Failure::NotFinite { place } => {
                (Status::NotConverged, self.place(*place), not_finite("heat, temperature or flow"))
            }
            Failure::StepsTooShort { time_s, steps, worst } => (
                Status::NotConverged,
                self.place(*worst),
                format!(
                    "stuck at {time_s:.1} s after {steps} steps; look for a part here that switches back and forth or a \
                     flow without a drop"
                ),
            ),
            Failure::OtherLayout => (
                Status::NotConverged,
                "mission".to_owned(),
                "the parts of the aircraft change from one segment to the next; this is a mistake of the program".to_owned(),
            ),
            Failure::InsufficientPumpHead { circuit, flow_kg_s, least_kg_s, rise_pa, drop_pa } => (
                Status::InsufficientPumpHead,
                self.circuit(*circuit),
                format!(
                    "the pump moves {flow_kg_s:.4} kg/s of at least {least_kg_s:.4} kg/s: it gives {:.1} kPa where the loop \
                     takes {:.1} kPa; warm the fluid, widen the passages or choose a stronger pump",
                    1e-3 * rise_pa,
                    1e-3 * drop_pa
                ),
            ),
            Failure::InsufficientPackPower { demand_w, greatest_w } => (
                Status::InsufficientPackPower,
                "pack".to_owned(),
                format!(
                    "{:.1} kW asked, {:.1} kW is the most the pack gives (U0^2/4R); lower the power, add strings or choose \
                     cells of less resistance",
                    1e-3 * demand_w,
                    1e-3 * greatest_w
                ),
            ),
            Failure::Undetermined { place } => (
                Status::NotConverged,
                self.place(*place),
                "nothing determines the temperature here; give this part a heat path".to_owned(),
            ),
        };
        let notices = vec![Notice { about: "", kind: status.word(), place, message }];
        CaseResult { notices, ..CaseResult::empty(self.case(), status) }
    }
}

/// Share of the power of a machine that its casing must carry before the machine is named as one at a shut path.
const SHUT_PATH_SHARE: f64 = 0.2;
/// Heat through a casing that is not worth a word, W.
const SHUT_PATH_W: f64 = 1.0;

struct Named<'a> {
    naming: Naming<'a>,
    reading: Reading<'a>,
    outside: Outside,
    /// Rise of the hot spot of each component, K; empty if it follows the heat at once.
    rises_k: &'a [f64],
}

impl Named<'_> {
    /// What the limits are held against.
    fn judged(&self) -> CaseResult {
        let Naming { situation, parts, .. } = &self.naming;
        let project = situation.project;
        let looks_at_hot_spots = project.components.iter().flat_map(|c| &c.limits).any(|l| l.on_hot_spot);
        let heats_w = if looks_at_hot_spots && self.rises_k.is_empty() {
            self.component_heats()
        } else {
            vec![0.0; project.components.len()]
        };
        let loops = project.loops.iter().zip(&parts.loops);
        let mut result = CaseResult {
            components: self.components(&heats_w),
            loops: loops
                .map(|(spec, part)| self.circuit(part, &self.loop_pressures(spec, part, &mut Vec::new())))
                .collect(),
            electric: self.electric(),
            ..CaseResult::empty(self.naming.case(), Status::Solved)
        };
        result.margins = margin::margins(situation, &result, &self.outside, &parts.loops);
        result
    }

    fn result(&self, ledger: Ledger, statistics: Statistics) -> CaseResult {
        let project = self.naming.situation.project;
        let lines = self.lines();
        let mut notices = Vec::new();
        let components = self.components(&self.component_heats());
        let mut loops = Vec::new();
        for (spec, part) in project.loops.iter().zip(&self.naming.parts.loops) {
            loops.push(self.circuit(part, &self.loop_pressures(spec, part, &mut notices)));
        }
        let ducts: Vec<CircuitResult> = self
            .naming
            .parts
            .ducts
            .iter()
            .map(|part| {
                let pressures = pressure::along(part, &self.reading, None, self.outside.pressure_pa);
                let mut duct = self.circuit(part, &pressures);
                duct.inlet_k = self.reading.inlet_air_k(part.id);
                // the air is brought to rest in the aircraft: its momentum is lost
                duct.drag_n = duct.mass_flow_kg_s.max(0.0) * self.outside.airspeed_m_s;
                duct
            })
            .collect();
        self.range_notices(&mut notices);
        rerated::notices(project, self.naming.parts, &self.reading, &mut notices);
        self.drive_notices(&mut notices);
        self.rating_notices(&mut notices);
        self.shut_path_notices(&mut notices);
        self.outage_notices(&mut notices);
        notices.extend(standing_notices(self.naming.situation));
        let electric = self.electric();
        if let Some(electric) = electric.as_ref().filter(|e| e.lost_power_w > 1.0) {
            notices.push(Notice {
                about: "",
                kind: "derate",
                place: "electric drive".to_owned(),
                message: format!("derating and the greatest powers of the motors take {:.1} kW of the shaft power that is asked", 1e-3 * electric.lost_power_w),
            });
        }
        let refuse = project.policy.outside_range == OutsideRange::Refuse;
        let outside_range = notices.iter().any(|n| n.kind == "out_of_range");
        let mut result = CaseResult {
            case: self.naming.case(),
            status: if refuse && outside_range { Status::OutOfRange } else { Status::Solved },
            components,
            loops,
            ducts,
            exchangers: self.exchangers(),
            links: self.links(),
            electric,
            margins: Vec::new(),
            ledger,
            lines,
            notices,
            statistics,
        };
        result.margins =
            margin::margins(self.naming.situation, &result, &self.outside, &self.naming.parts.loops);
        result.notices.extend(self.film_notices(&result.margins));
        result
    }

    fn lines(&self) -> Vec<LedgerLine> {
        let mut lines: Vec<LedgerLine> = Vec::new();
        for booking in self.reading.bookings() {
            let what = self.booked(booking.what);
            let into = self.naming.warmed(booking.what);
            let is_rejection = booking.what.is_rejection();
            // parts of one thing make one line
            let is_same = |line: &LedgerLine| {
                line.what == what && line.into.as_deref() == into && line.is_rejection == is_rejection
            };
            match lines.iter_mut().find(|line| is_same(line)) {
                Some(line) => line.heat_w += booking.heat_w,
                None => lines.push(LedgerLine {
                    what,
                    into: into.map(str::to_owned),
                    heat_w: booking.heat_w,
                    is_rejection,
                }),
            }
        }
        lines
    }

    /// Name of a booking.
    fn booked(&self, what: Booked) -> String {
        let parts = self.naming.parts;
        match what {
            Booked::Source(id) => {
                let source = parts.sources.iter().find(|source| source.id == id);
                source.map(|source| source.name.clone()).unwrap_or_default()
            }
            Booked::Electric(outlet) => parts.electric_outlets[outlet].name.clone(),
            Booked::Element(id) => self.naming.place(Place::Element(id)),
            Booked::Ram(id) => format!("ram air of {}", self.naming.circuit(id)),
            Booked::Link(id) => named(&parts.links, id),
            Booked::Wall(id) => format!("{} to {OUTSIDE_AIR}", self.naming.place(Place::Element(id))),
            Booked::Casing(id) => format!("casing of {}", self.naming.place(Place::Element(id))),
            Booked::Exhaust(id) => format!("exhaust of {}", self.naming.circuit(id)),
        }
    }

    fn components(&self, heats_w: &[f64]) -> Vec<ComponentResult> {
        let project = self.naming.situation.project;
        project
            .components
            .iter()
            .zip(&self.naming.parts.components)
            .zip(heats_w)
            .enumerate()
            .map(|(index, ((spec, (name, ids)), &heat_w))| {
                let segments_k: Vec<f64> = ids.iter().map(|&id| self.reading.component_k(id)).collect();
                let hottest = segments_k.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                let rise = self.rises_k.get(index).copied();
                let rise = rise.unwrap_or_else(|| hot_spot_rise_k(spec, heat_w));
                ComponentResult { name: name.clone(), segments_k, hot_spot_k: hottest + rise, heat_w }
            })
            .collect()
    }

    /// Heat generated in each component, W.
    fn component_heats(&self) -> Vec<f64> {
        let components = &self.naming.situation.project.components;
        let mut heats_w = vec![0.0; components.len()];
        for booking in self.reading.bookings() {
            let Some(into) = self.naming.warmed(booking.what) else { continue };
            if let Some(index) = components.iter().position(|component| component.name.as_str() == into) {
                heats_w[index] += booking.heat_w;
            }
        }
        heats_w
    }

    fn loop_pressures(&self, spec: &Loop, part: &CircuitPart, notices: &mut Vec<Notice>) -> Pressures {
        let Some(reservoir) = pressure::reservoir(&spec.path) else {
            return pressure::along(part, &self.reading, None, self.outside.pressure_pa);
        };
        let cushion = pressure::cushion(part, reservoir, &self.reading, &self.outside);
        if cushion.gas_volume_m3 <= 0.0 {
            notices.push(Notice {
                about: "",
                kind: "no_air_space",
                place: reservoir.name.as_str().to_owned(),
                message: format!(
                    "the liquid grows by {:.2} L, the gas cushion has only {:.2} L; fill less or choose a larger reservoir",
                    1e3 * cushion.expansion_m3,
                    1e3 * reservoir.volume.si() * (1.0 - reservoir.fill.si())
                ),
            });
        }
        pressure::along(part, &self.reading, Some(reservoir.name.as_str()), cushion.pressure_pa)
    }

    fn circuit(&self, part: &CircuitPart, pressures: &Pressures) -> CircuitResult {
        let mut stations = Vec::new();
        self.stations(&part.course, &[], pressures, &mut stations);
        let mass_flow_kg_s = self.reading.circuit_flow_kg_s(part.id);
        let rise_pa = machine_rise(&stations);
        CircuitResult {
            name: part.name.clone(),
            fluid: match &part.fluid {
                Fluid::Liquid(liquid) => liquid.description(),
                Fluid::Air { .. } => "air".to_owned(),
            },
            volume_flow_m3_s: stations
                .iter()
                .find(|s| s.branch.is_empty())
                .or(stations.first())
                .map_or(0.0, |s| s.volume_flow_m3_s),
            mass_flow_kg_s,
            rise_pa,
            power_w: machines(&stations).fold(0.0, |sum, s| sum + s.power_w),
            drag_n: 0.0,
            inlet_k: None,
            stations,
        }
    }

    fn stations(
        &self,
        course: &[Step],
        branch: &[(String, String)],
        pressures: &Pressures,
        stations: &mut Vec<StationResult>,
    ) {
        for step in course {
            match step {
                Step::Device(device) => stations.push(self.station(device, branch, pressures)),
                Step::Parallel(group, branches) => {
                    for (name, inner) in branches {
                        let mut deeper = branch.to_vec();
                        deeper.push((group.clone(), name.clone()));
                        self.stations(inner, &deeper, pressures, stations);
                    }
                }
            }
        }
    }

    fn station(
        &self,
        device: &DevicePart,
        branch: &[(String, String)],
        pressures: &Pressures,
    ) -> StationResult {
        let ElementReading {
            mass_flow_kg_s, density_kg_m3, inlet_k, outlet_k, heat_w, power_w, setting, ..
        } = self.reading.element(device.element);
        let cells = self.reading.cells_k(device.element).count();
        let walls: Vec<_> = (0..cells).filter_map(|cell| self.reading.wall(device.element, cell)).collect();
        let (pressure_in_pa, pressure_out_pa) =
            pressures.get(&device.name).copied().unwrap_or((f64::NAN, f64::NAN));
        StationResult {
            name: device.name.clone(),
            kind: device.kind,
            branch: branch.to_vec(),
            mass_flow_kg_s,
            volume_flow_m3_s: mass_flow_kg_s / density_kg_m3,
            temperature_in_k: inlet_k,
            temperature_out_k: outlet_k,
            pressure_in_pa,
            pressure_out_pa,
            heat_w,
            power_w,
            setting,
            conductance_w_k: walls.iter().map(|w| w.conductance_w_k).sum(),
            walls_k: walls.iter().map(|w| w.wall_k).collect(),
        }
    }

    fn exchangers(&self) -> Vec<ExchangerResult> {
        self.naming
            .parts
            .exchangers
            .iter()
            .map(|(name, id)| {
                let read = self.reading.exchanger(*id);
                ExchangerResult {
                    name: name.clone(),
                    heat_w: read.heat_w,
                    conductance_w_k: read.conductance_w_k,
                    transfer_units: read.transfer_units,
                    capacity_ratio: read.capacity_ratio,
                    effectiveness: read.effectiveness,
                }
            })
            .collect()
    }

    fn electric(&self) -> Option<ElectricResult> {
        let read = self.reading.electric()?;
        let powertrain = self.naming.situation.project.powertrain.as_ref()?;
        let used = rating::of_case(self.naming.situation);
        let motors = self
            .naming
            .parts
            .motors
            .iter()
            .zip(&read.drives)
            .zip(&powertrain.motors)
            .map(|((name, drive), motor)| {
                let rating = motor.rating(used);
                MotorResult {
                    name: name.clone(),
                    shaft_power_w: drive.shaft_power_w,
                    torque_nm: drive.torque_nm,
                    speed_rad_s: drive.speed_rad_s,
                    rating: rating.map(|rating| rating.name.as_str().to_owned()),
                    time_allowed_s: rating.and_then(|rating| rating.duration.as_ref()).map(|d| d.si()),
                    phase_current_a: drive.phase_current_a,
                    demand_w: drive.demand_w,
                }
            })
            .collect();
        let converters = powertrain
            .converters
            .iter()
            .zip(&read.converters)
            .map(|(converter, state)| ConverterResult {
                name: converter.name.as_str().to_owned(),
                output_w: state.output_w,
                input_w: state.input_w,
                heat_w: state.heat_w,
            })
            .collect();
        Some(ElectricResult {
            bus_voltage_v: read.bus_voltage_v,
            bus_current_a: read.bus_current_a,
            gear_input_w: read.gear_input_w,
            lost_power_w: read.lost_power_w,
            motors,
            converters,
            reading: read,
        })
    }

    /// A time limit that the case uses although a steady state lasts.
    fn rating_notices(&self, notices: &mut Vec<Notice>) {
        let situation = self.naming.situation;
        let used = rating::of_case(situation);
        for motor in situation.project.powertrain.iter().flat_map(|p| &p.motors) {
            let Some(rating) = motor.rating(used) else { continue };
            let Some(duration) = &rating.duration else { continue };
            let uses = match rating.uses {
                Some(1) => ", once in a flight".to_owned(),
                Some(uses) => format!(", {uses} times in a flight"),
                None => String::new(),
            };
            let inspection =
                if rating.inspection { ", with an inspection before the next flight" } else { "" };
            notices.push(Notice {
                about: "",
                kind: "timed_rating",
                place: motor.name.as_str().to_owned(),
                message: format!(
                    "the rating {:?} is allowed for {}{uses}{inspection}; the steady state shows where lasting use would end",
                    rating.name.as_str(),
                    duration.text()
                ),
            });
        }
    }

    /// Pumps and fans that run against a shut path: their heat leaves through the casing, at a temperature that they may not bear.
    fn shut_path_notices(&self, notices: &mut Vec<Notice>) {
        for device in self.naming.circuits().flat_map(CircuitPart::devices) {
            let Some(casing_w) = self.reading.casing_heat_w(device.element) else { continue };
            let ElementReading { power_w, outlet_k, mass_flow_kg_s, .. } =
                self.reading.element(device.element);
            if casing_w < SHUT_PATH_SHARE * power_w || casing_w < SHUT_PATH_W {
                continue;
            }
            notices.push(Notice {
                about: "",
                kind: "shut_path",
                place: device.name.clone(),
                message: format!(
                    "works against a shut path: {mass_flow_kg_s:.4} kg/s pass, {casing_w:.0} W leave through its casing, and what it \
                     holds reaches {:.0} degC; stop it, or open its path",
                    outlet_k - 273.15
                ),
            });
        }
    }

    /// Measured losses of the drive used outside their measurements.
    fn drive_notices(&self, notices: &mut Vec<Notice>) {
        let Some(read) = self.reading.electric() else { return };
        let mut flag = |place: &str, what: &str| {
            notices.push(Notice {
                about: "",
                kind: "out_of_range",
                place: place.to_owned(),
                message: format!("{what}; the loss at the edge is used"),
            });
        };
        for (name, drive) in self.naming.parts.motors.iter().zip(&read.drives) {
            if !drive.motor_covered {
                flag(
                    name,
                    &format!(
                        "{:.1} N m at {:.0} rpm and {:.1} V lie outside the measured motor map",
                        drive.torque_nm,
                        drive.speed_rad_s * 30.0 / std::f64::consts::PI,
                        read.bus_voltage_v
                    ),
                );
            }
            if !drive.inverter_covered {
                flag(
                    name,
                    &format!(
                        "{:.1} A rms at {:.1} V lie outside the measured inverter map",
                        drive.phase_current_a, read.bus_voltage_v
                    ),
                );
            }
        }
        let converters = self.naming.situation.project.powertrain.iter().flat_map(|p| &p.converters);
        for (converter, state) in converters.zip(&read.converters) {
            if !state.covered {
                flag(
                    converter.name.as_str(),
                    &format!("{:.0} W of output lie outside the measured table of loss", state.output_w),
                );
            }
        }
    }

    /// Heat paths in the order of the project.
    fn links(&self) -> Vec<LinkResult> {
        let parts = self.naming.parts;
        let paths = self.naming.situation.project.links.iter().zip(&parts.paths);
        paths
            .map(|(spec, numbers)| {
                let mut link = LinkResult {
                    name: spec.called(),
                    pressure_pa: self.outside.pressure_pa,
                    speed: 0.0,
                    parts: Vec::with_capacity(numbers.len()),
                };
                for id in numbers {
                    let LinkReading { law, first_k, second_k, heat_w, conductance_w_k, .. } =
                        self.reading.link(*id);
                    link.speed = match law {
                        LinkLaw::MovingAir { speed_m_s, .. } => *speed_m_s,
                        LinkLaw::RotatingGap { speed_rad_s, .. }
                        | LinkLaw::RotatingCylinder { speed_rad_s, .. } => *speed_rad_s,
                        _ => 0.0,
                    };
                    link.parts.push(LinkPart { first_k, second_k, heat_w, conductance_w_k });
                }
                link
            })
            .collect()
    }

    /// Property laws and measured laws used outside what they were made for.
    fn range_notices(&self, notices: &mut Vec<Notice>) {
        for part in self.naming.circuits() {
            let mut outside: Option<(f64, &str)> = None;
            for device in part.devices() {
                for cell in self.reading.cells_k(device.element) {
                    if !part.fluid.in_range(cell) {
                        outside = Some((cell, &device.name));
                    }
                }
                let cells = self.reading.cells_k(device.element).count();
                for reading in (0..cells).filter_map(|cell| self.reading.wall(device.element, cell)) {
                    if !reading.covered {
                        notices.push(Notice {
                            about: "",
                            kind: "out_of_range",
                            place: device.name.clone(),
                            message: "the flow lies outside the measured table of conductance; the value at the edge is used"
                                .to_owned(),
                        });
                        break;
                    }
                }
            }
            if let Some((temperature_k, device)) = outside {
                notices.push(Notice {
                    about: "",
                    kind: "out_of_range",
                    place: part.name.clone(),
                    message: format!(
                        "the fluid reaches {:.1} degC at {device}, outside its property law; values at the edge are used",
                        temperature_k - 273.15
                    ),
                });
            }
        }
        let mut outside: Vec<&str> = Vec::new();
        for (name, id) in &self.naming.parts.links {
            if !self.reading.link(*id).covered && !outside.contains(&name.as_str()) {
                outside.push(name);
                notices.push(Notice {
                    about: "",
                    kind: "out_of_range",
                    place: name.clone(),
                    message:
                        "the relation of this heat path is used outside its range and carried on as it stands"
                            .to_owned(),
                });
            }
        }
        self.cell_notices(notices);
        for (name, id) in &self.naming.parts.exchangers {
            if !self.reading.exchanger(*id).covered {
                notices.push(Notice {
                    about: "",
                    kind: "out_of_range",
                    place: name.clone(),
                    message: "the flows lie outside the measured map; the value at the edge is used"
                        .to_owned(),
                });
            }
        }
    }

    /// Cells outside the data they were made from.
    fn cell_notices(&self, notices: &mut Vec<Notice>) {
        let Some(read) = self.reading.electric() else { return };
        if let Some(group) = read.groups.iter().find(|group| !group.covered) {
            notices.push(Notice {
                about: "",
                kind: "out_of_range",
                place: "pack".to_owned(),
                message: format!(
                    "cells at {:.1} degC and a state of charge of {:.2} lie outside the data of the cell; values at the edge are used",
                    group.temperature_k - 273.15,
                    group.state_of_charge
                ),
            });
        }
    }
}

fn machines(stations: &[StationResult]) -> impl Iterator<Item = &StationResult> {
    stations.iter().filter(|s| s.kind == "pump" || s.kind == "fan")
}

/// Pressure rise of the pumps or fans along the trunk, Pa. Of machines in a parallel group the branch with the greatest rise
/// counts: redundant pumps share one rise.
fn machine_rise(stations: &[StationResult]) -> f64 {
    let mut trunk = 0.0;
    let mut branches: BTreeMap<&str, BTreeMap<&str, f64>> = BTreeMap::new();
    for station in machines(stations) {
        let rise = station.pressure_out_pa - station.pressure_in_pa;
        match station.branch.first() {
            None => trunk += rise,
            Some((group, branch)) => *branches.entry(group).or_default().entry(branch).or_default() += rise,
        }
    }
    branches
        .values()
        .fold(trunk, |sum, group| sum + group.values().copied().fold(f64::NEG_INFINITY, f64::max))
}

fn named<I: PartialEq + Copy>(names: &[(String, I)], id: I) -> String {
    names.iter().find(|(_, known)| *known == id).map_or_else(String::new, |(name, _)| name.clone())
}
