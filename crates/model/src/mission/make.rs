//! Cuts steps into pieces and assembles the ends of each piece.

use super::MissionCase;
use super::plan::{Commanded, Planned, at_height, estimated, number};
use super::schedule::{Ending, Instant, PackPart, Piece, Schedule, ScheduleStep, StartState};
use crate::assembly::{Parts, Situation, assemble_like, charge_limiter, charging_rise_k};
use crate::estimate::PowerEstimate;
use crate::outside::{Outside, Over, RAMP_HEIGHT_M};
use aircraft::records::failure::{Failed, Failure, Leak};
use aircraft::records::mission::Until;
use aircraft::records::powertrain::{Bus, Pack};
use aircraft::records::project::Project;
use aircraft::records::study::{Point, PointPower};
use aircraft::records::surroundings::Condition;
use powertrain::pack::HotCell;
use schema::kinds::Ratio;
use schema::{Input, Name, Problem};
use solver::{ComponentId, Network};
use std::cell::OnceCell;
use std::sync::Arc;

/// Climbs are cut about this often, m: air pressure and the temperature of the day follow well.
const PIECE_HEIGHT_M: f64 = 300.0;
/// Changes of airspeed are cut this often, m/s: ram pressure grows with the square of the airspeed.
const PIECE_AIRSPEED_M_S: f64 = 5.0;
/// Parts that a leak is cut into, at least and at most.
const LEAK_PARTS: (f64, f64) = (10.0, 40.0);
/// A slow leak is cut this often, s: the time to a limit comes out short by about half of this.
const LEAK_PART_S: f64 = 30.0;

/// What is the same all over a schedule.
pub(super) struct Maker<'a> {
    pub(super) project: &'a Project,
    pub(super) condition: &'a Condition,
    pub(super) failure: Option<&'a Failure>,
    /// Height of the field above the pressure altitude of the condition, m: where the mission begins.
    pub(super) field_m: f64,
    pub(super) state_of_charge: f64,
    pub(super) life_used: Option<&'a Input<Ratio>>,
    /// First network that was made; those that follow take its analysis over.
    pub(super) first: OnceCell<Arc<Network>>,
}

impl<'a> Maker<'a> {
    pub(super) fn of(case: &MissionCase<'a>) -> Self {
        let MissionCase { project, condition, mission, failure } = *case;
        let (state_of_charge, life_used) = (mission.state_of_charge.si(), mission.life_used.as_ref());
        Self {
            project,
            condition,
            failure,
            field_m: mission.height.si(),
            state_of_charge,
            life_used,
            first: OnceCell::new(),
        }
    }

    /// A schedule whose start is carried.
    pub(super) fn schedule(&self, planned: &[Planned], path: &str) -> Result<Schedule, Problem> {
        let mut steps = Vec::new();
        let mut since_s = 0.0;
        for step in planned {
            steps.push(self.step(step, since_s)?);
            since_s += step.duration_s;
        }
        let Some(first) = steps.first() else {
            return Err(Problem::error(path, "nothing happens: there is no step", "add at least one"));
        };
        let pack = self.pack(&first.pieces[0].from);
        Ok(Schedule { start: StartState::Carried, state_of_charge: self.state_of_charge, pack, steps })
    }

    fn pack_record(&self) -> Option<&'a Pack> {
        match self.project.powertrain.as_ref().map(|powertrain| &powertrain.bus) {
            Some(Bus::Pack(pack)) => Some(pack),
            _ => None,
        }
    }

    fn pack(&self, first: &Instant) -> Option<PackPart> {
        let pack = self.pack_record()?;
        let hot_cell = pack.hot_cell.as_ref();
        Some(PackPart {
            cells: ids(&first.assembled.parts, &pack.cells),
            // validation refuses what the law would
            hot_cell: hot_cell.and_then(|hot| HotCell::new(hot.excess.si(), hot.to_coolant.si()).ok()),
            series: pack.series,
            strings: pack.parallel.saturating_sub(first.situation(self.project).strings_out(pack)),
        })
    }

    /// A step that begins at a time since the beginning of the schedule.
    fn step(&self, planned: &Planned, since_s: f64) -> Result<ScheduleStep, Problem> {
        let pieces = self.pieces(planned, since_s)?;
        let first = &pieces[0].from;
        let charge = charge_limiter(&first.situation(self.project))
            .map_err(|problem| Problem { path: format!("{}.charge", planned.path), ..problem })?;
        let hottest_above_k = match &charge {
            Some(limiter) => charging_rise_k(&first.situation(self.project), limiter)?,
            None => 0.0,
        };
        let ending = self.ending(planned, &first.assembled.parts);
        Ok(ScheduleStep {
            label: planned.label.clone(),
            segment: planned.segment,
            phase: planned.phase,
            ending,
            charge,
            hottest_above_k,
            carts: planned.carts.clone(),
            swap: planned.swap,
            pieces,
            estimates: self.estimates(planned)?,
            rating: planned.rating.clone(),
            ground: planned.ground,
        })
    }

    /// Estimates of the power at both ends of a step; none where it is given.
    fn estimates(&self, planned: &Planned) -> Result<Option<[PowerEstimate; 2]>, Problem> {
        let Some(estimate) = &planned.estimate else { return Ok(None) };
        let end = |command| estimated(estimate, self.condition, command, &planned.path);
        Ok(Some([end(&planned.from)?, end(&planned.to)?]))
    }

    /// Pieces of a step: climbs and changes of airspeed are cut into equal parts, a leak where its next part is lost.
    fn pieces(&self, planned: &Planned, since_s: f64) -> Result<Vec<Piece>, Problem> {
        let is_steady = planned.from == planned.to;
        let mut pieces: Vec<Piece> = Vec::new();
        for pair in self.cuts(planned, since_s).windows(2) {
            let (begin_s, end_s) = (pair[0], pair[1]);
            let lost = self.lost(since_s + 0.5 * (begin_s + end_s));
            // the end of the piece before is the beginning of this one, unless liquid is lost meanwhile
            let from = match pieces.last().and_then(|piece| piece.to.clone()) {
                Some(instant) if lost.is_none() => instant,
                _ => self.instant(planned, planned.at(self.condition, begin_s)?, lost)?,
            };
            let to = if is_steady {
                None
            } else {
                Some(self.instant(planned, planned.at(self.condition, end_s)?, lost)?)
            };
            pieces.push(Piece { duration_s: end_s - begin_s, from, to });
        }
        Ok(pieces)
    }

    /// Times since the beginning of a step at which its pieces meet, s.
    fn cuts(&self, planned: &Planned, since_s: f64) -> Vec<f64> {
        let (from, to) = (&planned.from, &planned.to);
        let climbs = ((to.height_m - from.height_m).abs() / PIECE_HEIGHT_M).ceil();
        let speed_changes = ((to.airspeed_m_s - from.airspeed_m_s).abs() / PIECE_AIRSPEED_M_S).ceil();
        let count = climbs.max(speed_changes).max(1.0);
        let mut cuts: Vec<f64> =
            (0..=count as usize).map(|number| planned.duration_s * number as f64 / count).collect();
        if self.condition.ramp_rise.si() > 0.0 && !planned.ground {
            // what is left of the rise over the ramp ends in a corner
            let share = (self.field_m + RAMP_HEIGHT_M - from.height_m) / (to.height_m - from.height_m);
            if share > 0.0 && share < 1.0 {
                cuts.push(planned.duration_s * share);
                cuts.sort_by(f64::total_cmp);
            }
        }
        if let Some(leak) = self.leak() {
            let parts = leak_parts(leak);
            let part_s = leak.empties_in.si() / parts;
            let leaks = (1..=parts as usize).map(|part| part as f64 * part_s - since_s);
            cuts.extend(leaks.filter(|&cut| cut > 0.0 && cut < planned.duration_s));
            cuts.sort_by(f64::total_cmp);
            cuts.dedup_by(|next, cut| *next - *cut < 1e-6);
        }
        cuts
    }

    fn leak(&self) -> Option<&'a Leak> {
        match self.failure.map(|failure| &failure.what) {
            Some(Failed::Leak(leak)) => Some(leak),
            _ => None,
        }
    }

    /// Share of the liquid that is lost at a time since the leak began, if there is one. What is lost in a part counts from its
    /// beginning: the flow falls a little early.
    fn lost(&self, time_s: f64) -> Option<f64> {
        let leak = self.leak()?;
        let parts = leak_parts(leak);
        Some(((time_s / leak.empties_in.si() * parts).floor() + 1.0).min(parts) / parts)
    }

    fn failure(&self, lost: Option<f64>) -> Option<Failure> {
        let mut failure = self.failure?.clone();
        if let (Failed::Leak(leak), Some(lost)) = (&mut failure.what, lost) {
            leak.lost = number(lost, "");
        }
        Some(failure)
    }

    fn instant(
        &self,
        planned: &Planned,
        commanded: Commanded,
        lost: Option<f64>,
    ) -> Result<Instant, Problem> {
        let condition = at_height(self.condition, commanded.height_m);
        let point = self.point(planned, &commanded);
        // an altitude that the atmosphere does not cover is a mistake of the segment, not of the condition
        Outside::at(&condition, commanded.airspeed_m_s, Over::Ground)
            .map_err(|problem| Problem { path: format!("{}.height", planned.path), ..problem })?;
        let failure = self.failure(lost);
        let situation = Situation {
            project: self.project,
            condition: &condition,
            point: &point,
            failure: failure.as_ref(),
        };
        let assembled = assemble_like(situation, self.first.get().map(Arc::as_ref))?;
        let _first = self.first.get_or_init(|| Arc::clone(&assembled.network));
        Ok(Instant { commanded, condition, point, failure, assembled })
    }

    fn point(&self, planned: &Planned, commanded: &Commanded) -> Point {
        Point {
            name: Name::new(planned.label.clone()).expect("the name of a segment, or one of ours"),
            shaft_power: PointPower::Fixed(number(commanded.shaft_power_w, "W")),
            climb_rate: number(planned.climb_m_s(), "m/s"),
            shaft_speed: number(commanded.shaft_speed_rad_s, "rad/s"),
            rating: planned.rating.clone(),
            state_of_charge: number(self.state_of_charge, ""),
            airspeed: Some(number(commanded.airspeed_m_s, "m/s")),
            life_used: self.life_used.cloned(),
            charge: planned.charge.clone(),
            carts: planned.carts.clone(),
            converters_off: planned.converters_off,
            other_load: planned.other_load.clone(),
            heats: planned.heats.clone(),
            settings: planned.settings.clone(),
            above_ground: number((commanded.height_m - self.field_m).max(0.0), "m"),
            ground: planned.ground,
            recirculations: planned.recirculations.clone(),
            note: None,
        }
    }

    fn ending(&self, planned: &Planned, parts: &Parts) -> Ending {
        let cells = || self.pack_record().map_or_else(Vec::new, |pack| ids(parts, &pack.cells));
        let ids = |name: &str| ids(parts, name);
        match &planned.until {
            None if planned.charge.is_some() => Ending::Charged,
            None => Ending::Time,
            Some(Until::PackCooledTo(temperature)) => Ending::AllBelow(cells(), temperature.si()),
            Some(Until::PackWarmedTo(temperature)) => Ending::AnyAbove(cells(), temperature.si()),
            Some(Until::CooledTo(part)) => Ending::AllBelow(ids(&part.component), part.temperature.si()),
            Some(Until::WarmedTo(part)) => Ending::AnyAbove(ids(&part.component), part.temperature.si()),
            Some(Until::ChargedTo(charge)) => Ending::ChargeAbove(charge.si()),
            Some(Until::DischargedTo(charge)) => Ending::ChargeBelow(charge.si()),
            Some(Until::Stabilised(law)) => Ending::Stabilised {
                min_charge: law.charge_left.si(),
                rate_k_s: law.rate.si(),
                window_s: law.window.si(),
                run_on_s: law.run_on.si(),
            },
        }
    }
}

fn leak_parts(leak: &Leak) -> f64 {
    (leak.empties_in.si() / LEAK_PART_S).ceil().clamp(LEAK_PARTS.0, LEAK_PARTS.1)
}

/// Temperatures of a component by name.
pub(super) fn ids(parts: &Parts, name: &str) -> Vec<ComponentId> {
    let found = parts.components.iter().find(|(known, _)| known == name);
    found.map_or_else(Vec::new, |(_, ids)| ids.clone())
}
