//! Mistakes in missions that show when they are put into numbers: times, heights, and ends that can never come.

use super::Tried;
use crate::mission::{Commanded, Planned, at_height, plan, plan_after};
use crate::outside::{Outside, Over};
use aircraft::check::LONGEST_FLIGHT_S;
use aircraft::records::mission::{Mission, Segment, Until};
use aircraft::records::powertrain::Bus;
use aircraft::records::surroundings::Condition;
use schema::{Problem, Severity};
use std::collections::BTreeMap;

/// Height that segments after a failure are tried from, m: a descent to the ground then has a duration.
const TRIED_FROM_M: f64 = 300.0;

impl<'a> Tried<'a> {
    pub(super) fn missions(&mut self) {
        let project = self.check.project;
        for mission in &project.missions {
            let path = format!("missions.{}", mission.name.as_str());
            self.flown_after(&mission.after_failure, &format!("{path}.after_failure"));
            for (index, condition) in self.conditions_of(mission).into_iter().enumerate() {
                self.flown_at(mission, condition, &path, index == 0);
            }
        }
        for failure in &project.failures {
            self.flown_after(&failure.after, &format!("failures.{}.after", failure.name.as_str()));
        }
    }

    /// Segments that are flown after a failure.
    pub(super) fn flown_after(&mut self, segments: &'a [Segment], path: &str) {
        if segments.is_empty() {
            return;
        }
        let Some(condition) = self.check.project.conditions.first() else { return };
        let at = Commanded { height_m: TRIED_FROM_M, ..Commanded::default() };
        let (planned, problems) = plan_after(self.check.project, condition, segments, path, at);
        for problem in problems {
            self.check.once(problem);
        }
        if planned.is_empty()
            && !self.check.problems.iter().any(|problem| problem.severity == Severity::Error)
        {
            self.check.error(
                path,
                "nothing is flown after the failure: no segment takes any time",
                "give a segment a duration, or leave the list out",
            );
        }
        for step in &planned {
            self.on_ground_only(step);
        }
    }

    /// Conditions that a mission is flown at; the first of all if there is none.
    fn conditions_of(&self, mission: &Mission) -> Vec<&'a Condition> {
        let project = self.check.project;
        let flown = |condition: &Condition| {
            project.cases.iter().any(|group| {
                group.missions.iter().any(|name| name == mission.name.as_str())
                    && group.conditions.iter().any(|name| name == condition.name.as_str())
            })
        };
        let used: Vec<_> = project.conditions.iter().filter(|condition| flown(condition)).collect();
        if used.is_empty() { project.conditions.first().into_iter().collect() } else { used }
    }

    /// What shows when the mission is put into numbers at a condition.
    fn flown_at(&mut self, mission: &'a Mission, condition: &Condition, path: &str, is_first: bool) {
        let (planned, problems) = plan(self.check.project, condition, mission);
        for problem in problems {
            self.check.once(problem);
        }
        let lasts_s: f64 = planned.iter().map(|step| step.duration_s).sum();
        if !(lasts_s <= LONGEST_FLIGHT_S) {
            self.check.once(Problem::error(
                path,
                format!("the mission lasts {:.1} days with its soak", lasts_s / 86_400.0),
                "keep to 31 days: shorten its segments, or repeat a shorter mission in `chains`",
            ));
        }
        for step in planned.iter().filter(|step| is_first && step.segment.is_some()) {
            self.on_ground_only(step);
        }
        for step in &planned {
            for end in [&step.from, &step.to] {
                let here = at_height(condition, end.height_m);
                match Outside::at(&here, end.airspeed_m_s, Over::Ground) {
                    Ok(outside) => self.end_can_come(step, &outside),
                    Err(problem) => {
                        self.check.once(Problem { path: format!("{}.height", step.path), ..problem });
                    }
                }
            }
        }
        self.rating_times(&planned, path);
    }

    /// A cart and a charger are on the ground only.
    pub(super) fn on_ground_only(&mut self, step: &Planned) {
        self.check.connected(&step.carts, &step.path);
        let is_powered = step.from.shaft_power_w.max(step.to.shaft_power_w) > 0.0;
        if let Some(charge) = &step.charge {
            self.charged(charge, is_powered, &step.path);
        }
        for (field, is_used) in [("charge", step.charge.is_some()), ("carts", !step.carts.is_empty())] {
            if is_used && !step.ground {
                self.check.once(Problem::error(
                    format!("{}.{field}", step.path),
                    "this needs the ground, and the segment is not on it",
                    "say ground: true, or move it to a segment on the ground",
                ));
            }
        }
    }

    /// Whether what a segment waits for can happen.
    fn end_can_come(&mut self, step: &Planned, outside: &Outside) {
        let path = format!("{}.until", step.path);
        let has_pack = matches!(
            self.check.project.powertrain.as_ref().map(|powertrain| &powertrain.bus),
            Some(Bus::Pack(_))
        );
        let draws = step.from.shaft_power_w > 0.0
            || step
                .other_load
                .as_ref()
                .or(self.check.project.powertrain.as_ref().map(|p| &p.other_load))
                .is_some_and(|l| l.si() > 0.0);
        let problem = match &step.until {
            Some(
                Until::PackCooledTo(_)
                | Until::PackWarmedTo(_)
                | Until::ChargedTo(_)
                | Until::DischargedTo(_),
            ) if !has_pack => {
                Some(("there is no pack to wait for".to_owned(), "add a pack, or wait for a component"))
            }
            Some(Until::ChargedTo(wanted)) => match &step.charge {
                None => Some((
                    "nothing charges the pack in this segment: the state of charge cannot rise".to_owned(),
                    "add charge: Charge(..) to the segment, or end it by time",
                )),
                Some(charge) if charge.to.si() < wanted.si() => Some((
                    format!(
                        "the charge ends at {:?}, before {:?} is reached",
                        charge.to.text(),
                        wanted.text()
                    ),
                    "wait for no more than the charge gives, or leave out `until`",
                )),
                Some(_) => None,
            },
            Some(Until::DischargedTo(_)) if !draws => Some((
                "nothing draws on the pack in this segment: the state of charge cannot fall".to_owned(),
                "give the segment a power, or end it by time",
            )),
            Some(Until::PackCooledTo(temperature)) => {
                colder_than_air(temperature.si(), temperature.text(), outside)
            }
            Some(Until::CooledTo(part)) => {
                colder_than_air(part.temperature.si(), part.temperature.text(), outside)
            }
            _ => None,
        };
        if let Some((message, remedy)) = problem {
            self.check.once(Problem::error(path, message, remedy));
        }
    }

    /// Time at a rating, over segments that follow each other, against the time allowed.
    fn rating_times(&mut self, planned: &[Planned], path: &str) {
        let project = self.check.project;
        let mut allowed: BTreeMap<&str, f64> = BTreeMap::new();
        for rating in project.powertrain.iter().flat_map(|p| &p.motors).flat_map(|m| &m.ratings) {
            if let Some(duration) = &rating.duration {
                let least = allowed.entry(rating.name.as_str()).or_insert(f64::INFINITY);
                *least = least.min(duration.si());
            }
        }
        self.rating_uses(planned, path);
        let mut run: Option<(&str, f64)> = None;
        for step in planned {
            run = match (step.rating.as_deref(), run) {
                (Some(rating), Some((before, time))) if rating == before => {
                    Some((rating, time + step.duration_s))
                }
                (Some(rating), _) => Some((rating, step.duration_s)),
                (None, _) => None,
            };
            let Some((rating, time)) = run else { continue };
            let Some(&limit) = allowed.get(rating) else { continue };
            if time > limit {
                self.check.once(Problem::warning(
                    format!("{path}.segments.{}.rating", step.label),
                    format!("{rating:?} is used for {time:.0} s; {limit:.0} s are allowed"),
                    "shorten the segment, lower the power, or name the rating that allows it",
                ));
                run = None;
            }
        }
    }

    /// How often each rating is used, against how often it may be.
    fn rating_uses(&mut self, planned: &[Planned], path: &str) {
        let mut uses: BTreeMap<&str, usize> = BTreeMap::new();
        let mut before = None;
        for step in planned {
            let rating = step.rating.as_deref();
            if let Some(rating) = rating.filter(|_| rating != before) {
                *uses.entry(rating).or_default() += 1;
            }
            before = rating;
        }
        let project = self.check.project;
        for rating in project.powertrain.iter().flat_map(|p| &p.motors).flat_map(|m| &m.ratings) {
            let name = rating.name.as_str();
            if let (Some(most), Some(&times)) = (rating.uses, uses.get(name))
                && times > most
            {
                self.check.once(Problem::warning(
                    format!("{path}.segments"),
                    format!("{name:?} is used {times} times; it may be used {most} times in a flight"),
                    "fly less of the mission on this rating",
                ));
            }
        }
    }
}

fn colder_than_air(temperature_k: f64, text: &str, outside: &Outside) -> Option<(String, &'static str)> {
    (temperature_k <= outside.air_k).then(|| {
        (
            format!(
                "{text:?} lies below the outside air of {:.1} degC: nothing cools that far",
                outside.air_k - 273.15
            ),
            "wait for a temperature above the outside air",
        )
    })
}
