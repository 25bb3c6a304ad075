//! What a mission asks of the aircraft over time, in numbers, before any network is made.

use super::SOAK;
use crate::estimate::{Estimate, PowerEstimate};
use crate::outside::{Outside, Over};
use aircraft::records::charging::Charge;
use aircraft::records::device::{Device, devices};
use aircraft::records::mission::{Airspeed, Mission, Segment, ShaftPower, ShaftSpeed, SoakAfter, Until};
use aircraft::records::project::Project;
use aircraft::records::study::{Point, PointHeat, PointPower, PointSetting, Recirculation};
use aircraft::records::surroundings::Condition;
use aircraft::stages::segments_of;
use schema::kinds::Power;
use schema::{Input, InputKind, Problem};

/// What is asked of the aircraft at one instant.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Commanded {
    /// Power at the output shaft, W.
    pub shaft_power_w: f64,
    /// Speed of the output shaft, rad/s.
    pub shaft_speed_rad_s: f64,
    /// True airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Height above the pressure altitude of the condition, m.
    pub height_m: f64,
}

impl Commanded {
    /// The command at a share of the way to another one.
    #[must_use]
    pub fn towards(&self, other: &Self, share: f64) -> Self {
        let mix = |from: f64, to: f64| from + share * (to - from);
        Self {
            shaft_power_w: mix(self.shaft_power_w, other.shaft_power_w),
            shaft_speed_rad_s: mix(self.shaft_speed_rad_s, other.shaft_speed_rad_s),
            airspeed_m_s: mix(self.airspeed_m_s, other.airspeed_m_s),
            height_m: mix(self.height_m, other.height_m),
        }
    }
}

/// What a step counts as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// A segment of a mission.
    Segment,
    /// From touchdown to the stand.
    Taxi,
    /// Standing with everything switched off.
    Soak,
    /// Cooling on the ground.
    Cool,
    /// Charging.
    Charge,
    /// The pack is replaced.
    Swap,
}

/// The pack that is put in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swap {
    /// Temperature of its cells, K; none for that of the outside air.
    pub temperature_k: Option<f64>,
    /// Its state of charge.
    pub state_of_charge: f64,
}

/// A segment, or the soak after shutdown, in numbers. Between its ends every command changes evenly.
#[derive(Clone, Debug)]
pub struct Planned {
    /// Name of the segment, or [`SOAK`].
    pub label: String,
    /// Number of the segment; none for the soak.
    pub segment: Option<usize>,
    /// What it counts as.
    pub phase: Phase,
    /// Path of the segment in the project.
    pub path: String,
    /// Duration; with an `until`, the longest, s.
    pub duration_s: f64,
    /// What ends it earlier.
    pub until: Option<Until>,
    /// Commands at the beginning.
    pub from: Commanded,
    /// Commands at the end.
    pub to: Commanded,
    /// Converters and their loads are switched off.
    pub converters_off: bool,
    /// Other loads on the bus, if not those of the powertrain.
    pub other_load: Option<Input<Power>>,
    /// Heats that differ.
    pub heats: Vec<PointHeat>,
    /// Pumps and fans that differ.
    pub settings: Vec<PointSetting>,
    /// Ducts that draw in more or less of their exhaust.
    pub recirculations: Vec<Recirculation>,
    /// The pack is charged.
    pub charge: Option<Charge>,
    /// Ground connections whose cart is connected.
    pub carts: Vec<String>,
    /// The pack is replaced at the end.
    pub swap: Option<Swap>,
    /// Law that gives the power at the shaft all along, if it is estimated.
    pub estimate: Option<Estimate>,
    /// Rating that is used.
    pub rating: Option<String>,
    /// On the ground.
    pub ground: bool,
}

/// A step shorter than this takes no time, s: rounding leaves such ends of climbs, and no piece of a network is cut so short.
const SHORTEST_STEP_S: f64 = 1e-3;

impl Planned {
    /// Rate of climb, m/s; 0 for a step that takes no time.
    pub(super) fn climb_m_s(&self) -> f64 {
        if self.takes_time() { (self.to.height_m - self.from.height_m) / self.duration_s } else { 0.0 }
    }

    /// Whether the step takes any time.
    pub(super) fn takes_time(&self) -> bool {
        self.duration_s > SHORTEST_STEP_S
    }

    /// The command at a time since the beginning of the step.
    ///
    /// # Errors
    /// A [`Problem`] if the power is estimated and the flight cannot be, or the atmosphere ends below.
    pub fn at(&self, condition: &Condition, time_s: f64) -> Result<Commanded, Problem> {
        let mut command = self.from.towards(&self.to, (time_s / self.duration_s).clamp(0.0, 1.0));
        if let Some(estimate) = &self.estimate {
            command.shaft_power_w = estimated(estimate, condition, &command, &self.path)?.shaft_power_w;
        }
        Ok(command)
    }

    /// What is left of the step after a time.
    ///
    /// # Errors
    /// As [`Planned::at`].
    pub fn rest(&self, condition: &Condition, time_s: f64) -> Result<Self, Problem> {
        let time_s = time_s.clamp(0.0, self.duration_s);
        Ok(Self { from: self.at(condition, time_s)?, duration_s: self.duration_s - time_s, ..self.clone() })
    }
}

/// The steps of a mission at a condition, and everything that is wrong with them. A step that cannot be planned is left out.
pub fn plan(project: &Project, condition: &Condition, mission: &Mission) -> (Vec<Planned>, Vec<Problem>) {
    let start = Commanded { height_m: mission.height.si(), ..Commanded::default() };
    let path = format!("missions.{}", mission.name.as_str());
    let mut planner = Planner { project, condition, now: start, is_lenient: false, problems: Vec::new() };
    let list = if mission.test.is_some() { "test" } else { "segments" };
    let mut steps = planner.segments(&segments_of(mission), &format!("{path}.{list}"));
    if mission.segments.is_empty() && mission.test.is_none() {
        planner.error(
            format!("{path}.segments"),
            "the mission has no segment: nothing happens before its soak",
            "add at least one Segment(..)",
        );
    }
    if !mission.segments.is_empty() && mission.test.is_some() {
        planner.error(
            format!("{path}.test"),
            "the mission has segments and a stage of a cooling test at once",
            "keep `segments` or `test`",
        );
    }
    if let SoakAfter::For(duration) = &mission.soak {
        steps.push(planner.soak(duration.si(), &path));
    }
    (steps, planner.problems)
}

/// Segments flown after a failure that strikes at these commands, and everything that is wrong with them. Segments that take no
/// time from there are left out.
pub fn plan_after(
    project: &Project,
    condition: &Condition,
    segments: &[Segment],
    path: &str,
    at: Commanded,
) -> (Vec<Planned>, Vec<Problem>) {
    let mut planner = Planner { project, condition, now: at, is_lenient: true, problems: Vec::new() };
    let mut steps = planner.segments(segments, path);
    steps.retain(Planned::takes_time);
    (steps, planner.problems)
}

/// Walks along the segments with the commands at the end of the one before.
struct Planner<'a> {
    project: &'a Project,
    condition: &'a Condition,
    now: Commanded,
    /// A climb of no height takes no time, instead of being a mistake.
    is_lenient: bool,
    problems: Vec<Problem>,
}

impl Planner<'_> {
    fn segments(&mut self, segments: &[Segment], path: &str) -> Vec<Planned> {
        let mut steps = Vec::new();
        for (index, segment) in segments.iter().enumerate() {
            let path = format!("{path}.{}", segment.name.as_str());
            steps.extend(self.segment(index, segment, path));
        }
        steps
    }

    fn error(&mut self, path: String, message: impl Into<String>, remedy: impl Into<String>) {
        self.problems.push(Problem::error(path, message, remedy));
    }

    fn segment(&mut self, index: usize, segment: &Segment, path: String) -> Option<Planned> {
        let point = match &segment.point {
            Some(name) => self.project.points.iter().find(|point| point.name.as_str() == name),
            None => None,
        };
        let before = self.now;
        let (mut from, mut to) = self.commands(segment, point);
        let duration_s = self.duration(segment, before.height_m, &path);
        let climb_m_s = duration_s
            .filter(|&time_s| time_s > 0.0)
            .map_or(0.0, |time_s| (to.height_m - from.height_m) / time_s);
        let estimate = self.estimate(segment, point, climb_m_s, &path);
        if let Some(estimate) = &estimate {
            for end in [&mut from, &mut to] {
                end.shaft_power_w = self.estimated(estimate, end, &path);
            }
        }
        self.now = to;
        self.check(segment, &from, &to, &path);
        Some(Planned {
            label: segment.name.as_str().to_owned(),
            segment: Some(index),
            phase: Phase::Segment,
            path,
            duration_s: duration_s?,
            until: segment.until.clone(),
            from,
            to,
            converters_off: segment.converters_off || point.is_some_and(|point| point.converters_off),
            other_load: segment.other_load.clone().or_else(|| point?.other_load.clone()),
            heats: overlaid(&segment.heats, point.map(|p| &*p.heats), |heat| heat.name.as_str()),
            settings: overlaid(&segment.settings, point.map(|p| &*p.settings), |setting| {
                setting.name.as_str()
            }),
            recirculations: overlaid(
                &segment.recirculations,
                point.map(|p| &*p.recirculations),
                |recirculation| recirculation.name.as_str(),
            ),
            charge: segment.charge.clone().or_else(|| point?.charge.clone()),
            carts: match (segment.carts.is_empty(), point) {
                (true, Some(point)) => point.carts.clone(),
                _ => segment.carts.clone(),
            },
            swap: None,
            estimate,
            rating: segment.rating.clone().or_else(|| point?.rating.clone()),
            ground: segment.ground,
        })
    }

    /// Commands at both ends of a segment.
    fn commands(&self, segment: &Segment, point: Option<&Point>) -> (Commanded, Commanded) {
        let now = &self.now;
        let power = match &segment.shaft_power {
            None => even(match point.map(|p| &p.shaft_power) {
                Some(PointPower::Fixed(power)) => power.si(),
                // filled in once the rate of climb is known
                Some(PointPower::Estimated(_)) | None => 0.0,
            }),
            Some(ShaftPower::Estimated(_)) => even(0.0),
            Some(ShaftPower::Fixed(power)) => even(power.si()),
            Some(ShaftPower::To(power)) => (now.shaft_power_w, power.si()),
            Some(ShaftPower::Ramp(ramp)) => (ramp.from.si(), ramp.to.si()),
        };
        let speed = match &segment.shaft_speed {
            None => even(point.map_or(0.0, |p| p.shaft_speed.si())),
            Some(ShaftSpeed::Fixed(speed)) => even(speed.si()),
            Some(ShaftSpeed::To(speed)) => (now.shaft_speed_rad_s, speed.si()),
            Some(ShaftSpeed::Ramp(ramp)) => (ramp.from.si(), ramp.to.si()),
        };
        let airspeed = match &segment.airspeed {
            None => even(match point.and_then(|p| p.airspeed.as_ref()) {
                Some(airspeed) => airspeed.si(),
                None if segment.ground => 0.0,
                None => self.condition.airspeed.si(),
            }),
            Some(Airspeed::Fixed(airspeed)) => even(airspeed.si()),
            Some(Airspeed::To(airspeed)) => (now.airspeed_m_s, airspeed.si()),
            Some(Airspeed::Ramp(ramp)) => (ramp.from.si(), ramp.to.si()),
        };
        let height = (now.height_m, segment.height.as_ref().map_or(now.height_m, |height| height.si()));
        let at = |end: fn((f64, f64)) -> f64| Commanded {
            shaft_power_w: end(power),
            shaft_speed_rad_s: end(speed),
            airspeed_m_s: end(airspeed),
            height_m: end(height),
        };
        (at(|(from, _)| from), at(|(_, to)| to))
    }

    fn estimate(
        &mut self,
        segment: &Segment,
        point: Option<&Point>,
        climb_m_s: f64,
        path: &str,
    ) -> Option<Estimate> {
        let ((Some(ShaftPower::Estimated(power)), _) | (None, Some(PointPower::Estimated(power)))) =
            (&segment.shaft_power, point.map(|point| &point.shaft_power))
        else {
            return None;
        };
        let path = format!("{path}.shaft_power");
        let Some(craft) = &self.project.craft else {
            self.error(
                path,
                "no craft record tells how much power flight takes",
                "add `craft` to the project, or give the power",
            );
            return None;
        };
        match Estimate::new(craft, power, climb_m_s, &path) {
            Ok(estimate) => Some(estimate),
            Err(problem) => {
                self.problems.push(problem);
                None
            }
        }
    }

    /// Estimated power at an end of a segment, W; what its reader must know becomes a warning.
    fn estimated(&mut self, estimate: &Estimate, end: &Commanded, path: &str) -> f64 {
        match estimated(estimate, self.condition, end, path) {
            Ok(power) => {
                for flag in power.flags.iter() {
                    let (path, remedy) = (
                        format!("{path}.shaft_power"),
                        "check airspeed, rate of climb, mass and the craft record",
                    );
                    if !self
                        .problems
                        .iter()
                        .any(|known| known.path == path && known.message == flag.meaning())
                    {
                        self.problems.push(Problem::warning(path, flag.meaning(), remedy));
                    }
                }
                power.shaft_power_w
            }
            Err(problem) => {
                self.problems.push(problem);
                0.0
            }
        }
    }

    /// Duration of a segment, s: stated, or from the rate of climb.
    fn duration(&mut self, segment: &Segment, height_m: f64, path: &str) -> Option<f64> {
        match (&segment.duration, &segment.climb_rate, &segment.height) {
            (Some(duration), None, _) => return Some(duration.si()),
            (None, Some(rate), Some(height)) => {
                let climb_m = (height.si() - height_m).abs();
                if climb_m > 0.0 || self.is_lenient {
                    return Some(climb_m / rate.si());
                }
                self.error(
                    format!("{path}.height"),
                    format!(
                        "the segment is at {:?} already: a rate of climb gives it no duration",
                        height.text()
                    ),
                    "give another height, or a `duration` instead of the rate",
                );
            }
            (Some(_), Some(_), _) => self.error(
                format!("{path}.climb_rate"),
                "the duration and the rate of climb are both given: one follows from the other",
                "leave out `duration` or `climb_rate`",
            ),
            (None, Some(_), None) => self.error(
                format!("{path}.climb_rate"),
                "there is a rate of climb, but no height to climb to",
                "give the `height` at the end of the segment",
            ),
            (None, None, _) => self.error(
                path.to_owned(),
                if segment.until.is_some() {
                    "the segment may never end: it has no duration"
                } else {
                    "the segment has no duration"
                },
                if segment.until.is_some() {
                    "give the longest time it may take as `duration`"
                } else {
                    "give a `duration`, or a `height` with a `climb_rate`"
                },
            ),
        }
        None
    }

    /// What contradicts itself in the commands of a segment.
    fn check(&mut self, segment: &Segment, from: &Commanded, to: &Commanded, path: &str) {
        if segment.until.is_some() && from != to {
            self.error(
                format!("{path}.until"),
                "the end of the segment is not known beforehand, so nothing can change evenly up to it",
                "keep power, speed, airspeed and height the same, or cut the segment in two",
            );
        }
        let powered = from.shaft_power_w.max(to.shaft_power_w) > 0.0;
        if powered && self.project.powertrain.is_none() {
            self.error(
                format!("{path}.shaft_power"),
                "there is shaft power but no powertrain",
                "add a powertrain, or give heats instead",
            );
        }
        if [from, to].iter().any(|end| end.shaft_power_w > 0.0 && end.shaft_speed_rad_s <= 0.0) {
            self.error(
                format!("{path}.shaft_speed"),
                "there is shaft power at zero speed",
                "give the speed of the output shaft",
            );
        }
    }

    /// No power, no flow, no air: everything stands and is switched off.
    fn soak(&mut self, duration_s: f64, path: &str) -> Planned {
        let rest = Commanded { height_m: self.now.height_m, ..Commanded::default() };
        self.now = rest;
        Planned {
            from: rest,
            to: rest,
            ..Planned::at_rest(self.project, SOAK, format!("{path}.soak"), duration_s)
        }
    }
}

/// Estimated power at a command.
pub(super) fn estimated(
    estimate: &Estimate,
    condition: &Condition,
    command: &Commanded,
    path: &str,
) -> Result<PowerEstimate, Problem> {
    // the density of the free air counts, whatever rises from the ramp
    let outside = Outside::at(&at_height(condition, command.height_m), command.airspeed_m_s, Over::Ground)
        .map_err(|problem| Problem { path: format!("{path}.height"), ..problem })?;
    estimate.power(&outside, command.airspeed_m_s)
}

/// The condition at a height above its pressure altitude.
pub fn at_height(condition: &Condition, height_m: f64) -> Condition {
    let altitude_m = condition.pressure_altitude.si() + height_m;
    Condition { pressure_altitude: number(altitude_m, "m"), ..condition.clone() }
}

fn even(value: f64) -> (f64, f64) {
    (value, value)
}

/// A number that a step is given, as an input.
pub(super) fn number<K: InputKind>(si: f64, unit: &str) -> Input<K> {
    Input::from_si(si, unit).expect("commands are finite and these units are those of the kind")
}

/// Items of a segment, and those of its point that the segment does not replace.
fn overlaid<T: Clone>(own: &[T], point: Option<&[T]>, name: impl Fn(&T) -> &str) -> Vec<T> {
    let mut all = own.to_vec();
    for item in point.into_iter().flatten() {
        if own.iter().all(|replaced| name(replaced) != name(item)) {
            all.push(item.clone());
        }
    }
    all
}

/// Pumps and fans of a project.
pub(super) fn machines(project: &Project) -> impl Iterator<Item = &schema::Name> {
    let paths = project.loops.iter().map(|l| &l.path).chain(project.ducts.iter().map(|d| &d.path));
    paths.flat_map(|path| devices(path)).filter_map(|device| match device {
        Device::Pump(machine) | Device::Fan(machine) => Some(&machine.name),
        _ => None,
    })
}
