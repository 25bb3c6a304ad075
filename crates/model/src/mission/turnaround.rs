//! Turnarounds in numbers: the steps of one option, from touchdown to ready.

use super::TurnaroundCase;
use super::make::Maker;
use super::plan::{Commanded, Phase, Planned, Swap, machines, number};
use super::schedule::{Schedule, StartState};
use crate::assembly::charge_window;
use aircraft::records::charging::Charge;
use aircraft::records::ground::{GroundCooling, Turnaround, TurnaroundOption};
use aircraft::records::mission::Until;
use aircraft::records::powertrain::Bus;
use aircraft::records::project::Project;
use aircraft::records::study::{PointHeat, PointPower, PointSetting};
use aircraft::records::surroundings::Condition;
use schema::Problem;
use schema::kinds::{Ratio, Temperature};
use std::cell::OnceCell;

/// Where a turnaround begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TurnaroundStart {
    /// At touchdown of the mission it follows.
    Landed,
    /// In whatever state the schedule before left.
    Carried,
    /// With the pack as indicated and everything else at the outside air, as the tables of the ground team have it.
    Indicated {
        /// Temperature of every cell, K.
        pack_k: f64,
        /// State of charge.
        state_of_charge: f64,
    },
}

/// Makes the networks of an option of a turnaround.
///
/// # Errors
/// As [`super::schedule()`].
pub fn schedule_turnaround(case: &TurnaroundCase<'_>, start: TurnaroundStart) -> Result<Schedule, Problem> {
    let TurnaroundCase { project, condition, turnaround, option } = *case;
    let planned = plan_turnaround(project, turnaround, option)?;
    let landed = project.missions.iter().find(|mission| mission.name.as_str() == turnaround.after);
    let state_of_charge = match start {
        TurnaroundStart::Indicated { state_of_charge, .. } => state_of_charge,
        _ => landed.map_or(0.5, |mission| mission.state_of_charge.si()),
    };
    let life_used = landed.and_then(|mission| mission.life_used.as_ref());
    let maker = Maker {
        project,
        condition,
        failure: None,
        field_m: 0.0,
        state_of_charge,
        life_used,
        first: OnceCell::new(),
    };
    let mut schedule = maker.schedule(&planned, &format!("turnarounds.{}", turnaround.name.as_str()))?;
    schedule.start = match start {
        TurnaroundStart::Landed => StartState::AfterSegments(turnaround.after.clone()),
        TurnaroundStart::Carried => StartState::Carried,
        TurnaroundStart::Indicated { pack_k, .. } => StartState::Temperatures {
            rest_k: schedule.steps[0].pieces[0].from.assembled.outside.inlet_air_k,
            parts: schedule.pack.iter().map(|pack| (pack.cells.clone(), pack_k)).collect(),
        },
    };
    Ok(schedule)
}

/// Makes the networks of standing with everything switched off, as a leg of a chain. The start is carried.
///
/// # Errors
/// As [`super::schedule()`].
pub fn schedule_stand(
    project: &Project,
    condition: &Condition,
    duration_s: f64,
) -> Result<Schedule, Problem> {
    let path = "chains";
    let stand = Planned::at_rest(project, "stand", path.to_owned(), duration_s);
    let maker = Maker {
        project,
        condition,
        failure: None,
        field_m: 0.0,
        state_of_charge: 0.5,
        life_used: None,
        first: OnceCell::new(),
    };
    maker.schedule(&[stand], path)
}

/// The steps of an option of a turnaround.
///
/// # Errors
/// A [`Problem`] if there is no pack that can be charged.
pub fn plan_turnaround(
    project: &Project,
    turnaround: &Turnaround,
    option: &TurnaroundOption,
) -> Result<Vec<Planned>, Problem> {
    let path = format!("turnarounds.{}", turnaround.name.as_str());
    let start_to_k = match project.powertrain.as_ref().map(|powertrain| &powertrain.bus) {
        Some(Bus::Pack(pack)) => match &pack.charging {
            Some(charging) => charge_window(charging)?.start_range_k().1,
            None => return Err(no_charging(&path, "the pack does not say how it is charged")),
        },
        _ => return Err(no_charging(&path, "there is no pack to charge")),
    };
    let ground = TurnaroundSetup { project, turnaround, option, path };
    let mut steps = vec![ground.taxi(), ground.standing("stand", turnaround.stand.si(), Phase::Soak)];
    if let Some(swap) = &option.swap {
        let mut step = ground.standing("swap", swap.time.si(), Phase::Swap);
        let temperature_k = swap.temperature.as_ref().map(|temperature| temperature.si());
        step.swap = Some(Swap { temperature_k, state_of_charge: swap.state_of_charge.si() });
        steps.push(step);
    } else {
        if let Some(connect_s) = ground.connect_s() {
            steps.push(ground.standing("connect", connect_s, Phase::Soak));
        }
        let cool_to_k = option.cool_to.as_ref().map_or(start_to_k, |temperature| temperature.si());
        steps.push(ground.cooling("cool", cool_to_k));
        steps.push(ground.charging());
    }
    if let Some(temperature) = &turnaround.depart_below {
        steps.push(ground.cooling("cool to depart", temperature.si()));
    }
    steps.retain(|step| step.duration_s > 0.0);
    Ok(steps)
}

fn no_charging(path: &str, message: &str) -> Problem {
    Problem::error(path, message, "add charging: Charging(..) to the pack")
}

struct TurnaroundSetup<'a> {
    project: &'a Project,
    turnaround: &'a Turnaround,
    option: &'a TurnaroundOption,
    path: String,
}

impl TurnaroundSetup<'_> {
    /// Everything switched off but the other loads of the turnaround.
    fn standing(&self, label: &str, duration_s: f64, phase: Phase) -> Planned {
        let mut step = Planned::at_rest(self.project, label, self.path.clone(), duration_s);
        step.phase = phase;
        step.other_load = Some(self.turnaround.other_load.clone());
        step
    }

    fn taxi(&self) -> Planned {
        let mut step = self.standing("taxi in", self.turnaround.taxi_in.si(), Phase::Taxi);
        let named = |name: &String| self.project.points.iter().find(|point| point.name.as_str() == name);
        if let Some(point) = self.turnaround.taxi.as_ref().and_then(named) {
            step.from = Commanded {
                // one that is estimated was refused by the checks: taxi is no flight
                shaft_power_w: match &point.shaft_power {
                    PointPower::Fixed(power) => power.si(),
                    PointPower::Estimated(_) => 0.0,
                },
                shaft_speed_rad_s: point.shaft_speed.si(),
                airspeed_m_s: point.airspeed.as_ref().map_or(0.0, |airspeed| airspeed.si()),
                height_m: 0.0,
            };
            step.to = step.from;
            step.converters_off = point.converters_off;
            step.other_load.clone_from(&point.other_load);
            step.heats.clone_from(&point.heats);
            step.settings.clone_from(&point.settings);
        }
        step
    }

    fn cooling(&self, label: &str, cell_k: f64) -> Planned {
        let mut step = self.standing(label, self.turnaround.longest.si(), Phase::Cool);
        step.until = Some(Until::PackCooledTo(number::<Temperature>(cell_k, "K")));
        self.cool(&mut step);
        step
    }

    fn charging(&self) -> Planned {
        let mut step = self.standing("charge", self.turnaround.longest.si(), Phase::Charge);
        step.charge = Some(Charge { to: self.turnaround.charge_to.clone(), rate: None, power: None });
        if self.option.cool_while_charging {
            self.cool(&mut step);
        }
        step
    }

    /// Lets what the option cools with run.
    fn cool(&self, step: &mut Planned) {
        let turnaround = self.turnaround;
        let (with_cart, running): (bool, Vec<&PointSetting>) = match self.option.cooling {
            GroundCooling::Passive => (false, Vec::new()),
            GroundCooling::Own => (false, turnaround.own.iter().collect()),
            GroundCooling::Cart => (true, turnaround.beside_cart.iter().collect()),
            GroundCooling::CartAndOwn => {
                (true, turnaround.beside_cart.iter().chain(&turnaround.own).collect())
            }
        };
        for setting in running {
            if let Some(standing) = step.settings.iter_mut().find(|s| s.name == setting.name) {
                standing.speed = setting.speed.clone();
            }
        }
        // pumps and fans need what feeds them
        step.converters_off = step.settings.iter().all(|setting| setting.speed.si() <= 0.0);
        if with_cart {
            step.carts = self.project.ground_connections().map(|c| c.name.as_str().to_owned()).collect();
        }
    }

    /// Time until the slowest cart is connected, s; none without a cart.
    fn connect_s(&self) -> Option<f64> {
        let with_cart = matches!(self.option.cooling, GroundCooling::Cart | GroundCooling::CartAndOwn);
        let carts =
            self.project.ground_connections().filter_map(|connection| self.project.cart_of(connection));
        with_cart.then(|| carts.map(|cart| cart.connect.si()).fold(0.0, f64::max))
    }
}

impl Planned {
    /// Everything stands and is switched off: no power, no flow, no air.
    pub(super) fn at_rest(project: &Project, label: &str, path: String, duration_s: f64) -> Self {
        let heats = project.heats.iter();
        Self {
            label: label.to_owned(),
            segment: None,
            phase: Phase::Soak,
            path,
            duration_s,
            until: None,
            from: Commanded::default(),
            to: Commanded::default(),
            converters_off: true,
            other_load: Some(number(0.0, "W")),
            heats: heats.map(|heat| PointHeat { name: heat.name.clone(), heat: number(0.0, "W") }).collect(),
            settings: machines(project)
                .map(|machine| PointSetting { name: machine.clone(), speed: number::<Ratio>(0.0, "") })
                .collect(),
            recirculations: Vec::new(),
            charge: None,
            carts: Vec::new(),
            swap: None,
            estimate: None,
            rating: None,
            ground: true,
        }
    }
}
