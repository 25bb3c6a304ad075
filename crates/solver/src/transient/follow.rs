//! Following a network along a stretch: steps are tried, refused or taken, corners of flow laws crossed, thresholds met.

use super::accepted::Step;
use super::energy::Energy;
use super::options::TransientOptions;
use super::state::Transient;
use super::step::{Broken, Course, Ramp, Start};
use super::step_control::{AFTER_BROKEN, again_over_refused, next_over_last};
use super::stretch::{Ended, Stretch, Wish};
use super::switches::{Switch, Switching, apply, switches};
use super::watch::{Found, Scene, Watch, first_crossing};
use crate::blend::Changes;
use crate::failure::Failure;
use crate::ids::ElementId;
use crate::network::Network;

/// What is left of a stretch over its duration when it counts as over: rounding.
const OVER: f64 = 1e-14;
/// Shortfall of a step over what is left that still makes it the last.
const NEARLY_LAST: f64 = 1e-9;
/// Refused steps in a row after which a corner of a flow law is taken to be the reason.
const CORNER_AFTER: u32 = 6;
/// Length of a step across such a corner, s.
const CORNER_STEP_S: f64 = 0.1;
/// Time from the end of one corner within which the next is the same one again, over [`CORNER_STEP_S`].
const BACK_WITHIN: f64 = 2.0;
/// What a step at such a corner may grow by.
const CORNER_GROWTH: f64 = 2.0;
/// Length that steps at a corner may grow to where the network stays at it and no temperature moves, s.
const LONGEST_CORNER_STEP_S: f64 = 5.0;
/// What is left of a stretch, s, that is crossed like a corner once a step in it was refused. Where a ramp ends at rest, the
/// temperatures of the last trickle of air change on ever shorter times, and nothing depends on them. The error of such a
/// step on a junction that swings by 20 K in half a second is 4e-5 K.
const LAST_BIT_S: f64 = 1e-3;

impl Transient {
    /// Follows the network over a stretch. The observer sees every accepted step and may end the stretch; watches end it
    /// where they cross.
    ///
    /// # Errors
    /// [`Failure`] names why there is no state to go on with, with the time.
    pub fn run(
        &mut self,
        stretch: &Stretch,
        watches: &[Watch],
        options: &TransientOptions,
        observer: impl FnMut(&Step<'_>) -> Wish,
    ) -> Result<Ended, Failure> {
        let ends_fit = stretch.to.as_ref().is_none_or(|to| stretch.from.has_layout_of(to));
        if !ends_fit
            || self.content.len() != stretch.from.unknowns
            || self.is_on.len() != stretch.from.elements.len()
        {
            return Err(Failure::OtherLayout);
        }
        let mut network = Network::clone(&stretch.from);
        self.enter(&mut network, options.holds_charge);
        let energy = Energy::of(&network, options.min_capacity_j_k);
        self.book_lost_mass(&network, &energy);
        let ramp = stretch.to.as_ref().and_then(|to| {
            let changes = Changes::between(&stretch.from, to);
            let ramp = Ramp { changes, from: &stretch.from, to, duration_s: stretch.duration_s };
            (!ramp.changes.is_empty()).then_some(ramp)
        });
        let mut course = Course { network: &mut network, energy: &energy, ramp };
        let switches = switches(course.network, &self.is_on);
        apply(course.network, &switches);
        let mut follow = Follow {
            began_s: self.time_s,
            run: self,
            course: &mut course,
            duration_s: stretch.duration_s,
            watches,
            options,
            observer,
            switches,
            since_s: 0.0,
            step_s: 0.0,
            steps: 0,
            refused_in_a_row: 0,
            corner: None,
        };
        follow.begin()?;
        follow.go_on()
    }
}

/// A run along one stretch.
struct Follow<'r, 'c, O> {
    run: &'r mut Transient,
    course: &'r mut Course<'c>,
    duration_s: f64,
    watches: &'r [Watch],
    options: &'r TransientOptions,
    observer: O,
    switches: Vec<Switch>,
    /// Time of the run at which the stretch began, s.
    began_s: f64,
    /// Time since then, s.
    since_s: f64,
    /// Length wanted of the next step, s.
    step_s: f64,
    /// Steps tried.
    steps: u32,
    refused_in_a_row: u32,
    /// The corner that was crossed last.
    corner: Option<Corner>,
}

/// A corner of a flow law that was crossed.
#[derive(Clone, Copy)]
struct Corner {
    /// Where the step across it ended, s since the start of the stretch.
    end_s: f64,
    /// Length of the next step if it comes back at once, s.
    next_s: f64,
}

/// A step that is to be tried.
#[derive(Clone, Copy)]
struct Attempt {
    length_s: f64,
    /// What is left of the stretch, s.
    left_s: f64,
    /// Whether it ends the stretch.
    is_last: bool,
    /// Whether it is a last bit in which a step was refused.
    is_last_bit: bool,
}

/// Where a step stands in time, s.
#[derive(Clone, Copy)]
struct Span {
    start: f64,
    end: f64,
    /// Start since the begin of the stretch.
    since: f64,
    /// Length of the whole step, of which a part may have been taken.
    full: f64,
}

impl<O: FnMut(&Step<'_>) -> Wish> Follow<'_, '_, O> {
    /// Brings everything into balance and chooses the first step.
    fn begin(&mut self) -> Result<(), Failure> {
        self.run.restart(self.course, self.since_s)?;
        self.stay_in_bounds()?;
        self.linearise();
        self.step_s = self.run.first_step(self.course, self.options);
        Ok(())
    }

    fn go_on(&mut self) -> Result<Ended, Failure> {
        while self.since_s < self.duration_s * (1.0 - OVER) {
            let attempt = self.next_attempt()?;
            if self.refused_in_a_row >= CORNER_AFTER || attempt.is_last_bit {
                self.cross_corner(attempt.left_s)?;
                continue;
            }
            let Some(next_over_last) = self.attempt(attempt.length_s) else { continue };
            let found = self.take(attempt)?;
            let wish = self.show(self.span_taken(attempt, found));
            self.stay_in_bounds()?;
            if let Some(ended) = self.meet(found, attempt, next_over_last)? {
                return Ok(ended);
            }
            if wish == Wish::End {
                return Ok(Ended::Observer);
            }
        }
        Ok(Ended::Duration)
    }

    /// The step to be tried: the last two of a stretch share what is left.
    fn next_attempt(&mut self) -> Result<Attempt, Failure> {
        let left_s = self.duration_s - self.since_s;
        self.step_s = self.step_s.min(self.options.longest_step_s);
        let is_last = self.step_s >= left_s * (1.0 - NEARLY_LAST);
        let length_s = if is_last {
            left_s
        } else if 2.0 * self.step_s > left_s {
            0.5 * left_s
        } else {
            self.step_s
        };
        self.steps += 1;
        let is_last_bit = self.refused_in_a_row > 0 && left_s <= LAST_BIT_S;
        let is_too_short = length_s < self.options.shortest_step_s.min(0.5 * left_s) && !is_last_bit;
        if is_too_short || self.steps > self.options.max_steps {
            return Err(self.run.stuck(self.course, self.steps));
        }
        Ok(Attempt { length_s, left_s, is_last, is_last_bit })
    }

    /// Tries a step; how long the next should be over this one if it is good, none if it is refused.
    fn attempt(&mut self, length_s: f64) -> Option<f64> {
        let run = &mut *self.run;
        let start = Start { since_s: self.since_s, content: &run.content, state: &run.state };
        let error = match run.work.attempt(self.course, start, length_s) {
            Ok(()) => run.error(self.course.network.temperatures, self.options),
            Err(Broken::Pivot(unknown) | Broken::Value(unknown)) => {
                run.statistics.last_broken = Some(unknown);
                self.refuse(AFTER_BROKEN * length_s);
                return None;
            }
        };
        let next_over_last = next_over_last(error);
        if !(error <= 1.0) {
            self.refuse(length_s * again_over_refused(next_over_last));
            return None;
        }
        Some(next_over_last)
    }

    fn refuse(&mut self, again_s: f64) {
        self.refused_in_a_row += 1;
        self.run.statistics.rejected += 1;
        self.step_s = again_s;
    }

    /// Takes a good step up to the first threshold in it, which is returned with the share of the step that it lies at.
    fn take(&mut self, attempt: Attempt) -> Result<Option<(f64, Found)>, Failure> {
        self.refused_in_a_row = 0;
        self.run.statistics.accepted += 1;
        self.run.take_over();
        let run = &mut *self.run;
        let scene =
            Scene { course: self.course, before: &run.before, after: &run.content, dense: &run.dense };
        let found = first_crossing(&scene, &self.switches, self.watches);
        let share = found.map_or(1.0, |(share, _)| share);
        run.accept(self.course, self.since_s, attempt.length_s, share);
        // the method leaves a flow its tolerance; at rest even that would carry heat
        run.settle_flows(self.course);
        if run.has_uneasy_trickle {
            // a resting place may be wrong by any amount: it is brought back into balance before anything flows from there
            run.restart(self.course, self.since_s + share * attempt.length_s)?;
        }
        self.since_s = if found.is_none() && attempt.is_last {
            self.duration_s
        } else {
            self.since_s + share * attempt.length_s
        };
        run.time_s = self.began_s + self.since_s;
        Ok(found)
    }

    /// Where the step that was taken last stands in time.
    fn span_taken(&self, attempt: Attempt, found: Option<(f64, Found)>) -> Span {
        let taken_s = found.map_or(1.0, |(share, _)| share) * attempt.length_s;
        let end_s = self.run.time_s;
        Span { start: end_s - taken_s, end: end_s, since: self.since_s - taken_s, full: attempt.length_s }
    }

    /// Shows the step that was taken last to the observer.
    fn show(&mut self, span: Span) -> Wish {
        let (run, course) = (&*self.run, &*self.course);
        (self.observer)(&Step {
            start_s: span.start,
            end_s: span.end,
            network: course.network,
            energy: course.energy,
            ramp: course.ramp.as_ref().map(|ramp| (ramp.from, ramp.to, span.since, ramp.duration_s)),
            full_s: span.full,
            before: &run.before,
            after: &run.work.content,
            dense: &run.dense,
            state: &run.state,
            is_on: &run.is_on,
        })
    }

    /// Does what the end of a step asks for: ends the stretch, turns a switch, or goes on.
    fn meet(
        &mut self,
        found: Option<(f64, Found)>,
        attempt: Attempt,
        next_over_last: f64,
    ) -> Result<Option<Ended>, Failure> {
        match found.map(|(_, found)| found) {
            Some(Found::Ceiling(unknown)) => Err(self.run.outside_model(self.course.network, unknown)),
            Some(Found::Watch(number)) => Ok(Some(Ended::Watch(number))),
            Some(Found::Charge(state)) => Ok(Some(Ended::Charge(state))),
            Some(Found::Switch(number)) => self.turn(number).map(|()| None),
            None => {
                self.linearise();
                self.run.statistics.jacobians += 1;
                let next_s = attempt.length_s * next_over_last;
                self.step_s = if attempt.is_last { self.step_s.max(next_s) } else { next_s };
                Ok(None)
            }
        }
    }

    /// Turns a switch, and begins anew behind it.
    fn turn(&mut self, number: usize) -> Result<(), Failure> {
        let switch = &mut self.switches[number];
        switch.is_on = !switch.is_on;
        let (element, is_on, time_s) = (switch.element, switch.is_on, self.run.time_s);
        self.run.is_on[element] = is_on;
        self.run.switchings.push(Switching { element: ElementId(element), time_s, is_on });
        apply(self.course.network, &self.switches);
        self.run.restart(self.course, self.since_s)?;
        self.linearise();
        self.step_s = self.run.first_step(self.course, self.options);
        Ok(())
    }

    /// Crosses a corner of a flow law by a short step with the flows solved afresh at its end. Thresholds are not looked for
    /// inside it: whatever crossed one is seen at the next step.
    fn cross_corner(&mut self, left_s: f64) -> Result<(), Failure> {
        self.refused_in_a_row = 0;
        // a corner that comes back as soon as it is crossed is one that the network stays at
        let back = self.corner.filter(|corner| self.since_s - corner.end_s < BACK_WITHIN * CORNER_STEP_S);
        let length_s = back.map_or(CORNER_STEP_S, |corner| corner.next_s).min(left_s);
        let end_s = if length_s >= left_s { self.duration_s } else { self.since_s + length_s };
        self.cross(length_s, self.began_s + end_s)?;
        self.since_s = end_s;
        let is_calm = self.run.moved_k(self.course.network.temperatures) <= self.options.tolerance_k();
        let next_s =
            if is_calm { (CORNER_GROWTH * length_s).min(LONGEST_CORNER_STEP_S) } else { CORNER_STEP_S };
        self.corner = Some(Corner { end_s, next_s });
        self.linearise();
        self.step_s = length_s;
        self.stay_in_bounds()
    }

    /// The step itself; `end_s` is the time of the run at its end.
    fn cross(&mut self, length_s: f64, end_s: f64) -> Result<(), Failure> {
        let (run, since_s) = (&mut *self.run, self.since_s);
        let start = Start { since_s, content: &run.content, state: &run.state };
        if run.work.cross(self.course, start, length_s).is_err() {
            return Err(run.stuck(self.course, CORNER_AFTER));
        }
        run.statistics.corners += 1;
        run.take_over();
        run.accept(self.course, since_s, length_s, 1.0);
        run.time_s = end_s;
        run.restart(self.course, since_s + length_s)?;
        let _wish = self.show(Span { start: end_s - length_s, end: end_s, since: since_s, full: length_s });
        Ok(())
    }

    fn linearise(&mut self) {
        let run = &mut *self.run;
        let start = Start { since_s: self.since_s, content: &run.content, state: &run.state };
        run.work.linearise(self.course, start);
    }

    fn stay_in_bounds(&self) -> Result<(), Failure> {
        self.run.out_of_bounds(self.course.network, self.options).map_or(Ok(()), Err)
    }
}
