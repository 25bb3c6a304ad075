//! The order in which a choice is worked out: the case on screen, all steady cases, the mission on screen, the variants that are not shown,
//! the mission beneath, the other missions, the study. What comes quickly is handed out before the rest is worked on.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use aircraft::records::project::Project;
use aircraft::variant::Varied;
use model::assembly::Situation;
use model::case_name::CaseName;
use model::cases;
use model::mission::{FlyOptions, MissionCase};
use schema::Problems;

use crate::choice::{Choice, Study};
use crate::found::{Beneath, Extent, Flown, Found, Named, Steady, Work};
use crate::snapshot::{Snapshot, problem_lines};

/// What a piece of work is told: whether it is still wanted, and where it hands out what it has so far.
#[derive(Clone, Copy)]
pub struct Asker<'a> {
    /// Set once what was asked for is not wanted any more.
    pub cancelled: &'a AtomicBool,
    /// Takes what is known so far, while the work goes on. Called from several threads.
    pub so_far: &'a (dyn Fn(Found) + Sync),
}

impl std::fmt::Debug for Asker<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Asker").field("cancelled", self.cancelled).finish_non_exhaustive()
    }
}

impl Asker<'_> {
    pub(crate) fn is_cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }

    pub(crate) fn hand_out(&self, found: &Found) {
        (self.so_far)(found.clone());
    }
}

/// A steady point by its name; none if the name leads nowhere.
pub fn situation<'a>(project: &'a Project, name: &CaseName) -> Option<Situation<'a>> {
    cases::steady(project).into_iter().find(|case| case.name() == *name)
}

impl Snapshot {
    /// What is known of a choice when everything it asks for has been worked out; once the flag is set, what there is by then. What is
    /// not whole tells in [`Found::extent`] what is missing, when it is returned as well as when it is handed out.
    pub fn solve(&self, choice: &Choice, asker: Asker<'_>) -> Found {
        let varied = self.varied(choice);
        self.hand_out_case(varied, choice, asker);
        let Some(steady) = self.steady(varied, asker.cancelled) else {
            let of = cases::steady(&varied.project).len();
            return Found { extent: Extent::Nothing(Work::counted(0, of, "cases")), ..Found::default() };
        };
        // Steady numbers and the mission on screen do not wait for the other missions.
        self.shown_flight(varied, choice);
        let missions = cases::missions(&varied.project);
        let flown = self.known_flights(varied, &missions);
        let mut found = Found { extent: Extent::Uncounted, steady, flown, ..Found::default() };
        if let Err(problems) = self.decode_others(&found, asker) {
            return Found { extent: Extent::Refused(problem_lines(&problems)), ..Found::default() };
        }
        self.lay_beneath(&mut found, choice, asker);
        for case in &missions {
            let name = case.name();
            if found.mission(&name).is_some() {
                continue;
            }
            let (done, of) = (found.flown.len(), missions.len());
            let work = Work { now: name.to_string(), ..Work::counted(done, of, "missions") };
            found.extent = Extent::Partial(work);
            if choice.is_stopped || asker.is_cancelled() {
                return found;
            }
            asker.hand_out(&found);
            found.flown.push(self.flight(varied, case));
        }
        // Told in the order of the project, whichever was flown first.
        found.flown = self.known_flights(varied, &missions);
        found.extent = Extent::Whole;
        self.with_study(found, varied, choice, asker)
    }

    /// The study that the choice asks for; the quick part of it is handed out first.
    fn with_study(&self, found: Found, varied: &Varied, choice: &Choice, asker: Asker<'_>) -> Found {
        match &choice.study {
            Study::Cases => found,
            Study::Turnaround => self.with_turnaround(found, varied, choice, asker),
            Study::Failures => self.with_failures(found, varied, choice, asker),
            Study::Levers(place) => self.with_levers(found, varied, (place, false), asker),
            Study::FlownLevers(place) => self.with_levers(found, varied, (place, true), asker),
            Study::Trades(question) => self.with_trades(found, varied, choice, question, asker),
        }
    }

    /// The steady case on screen before all others, so that an edit shows at once where it was made.
    fn hand_out_case(&self, varied: &Varied, choice: &Choice, asker: Asker<'_>) {
        if self.solved().steady.contains_key(&varied.name) {
            return;
        }
        let solved = situation(&varied.project, &choice.case).map(|case| model::case::solve(&case));
        if let Some(Ok(result)) = solved {
            let of = cases::steady(&varied.project).len();
            let steady = Arc::new(Steady { results: vec![result], ..Steady::default() });
            let extent = Extent::FirstCase(Work::counted(1, of, "cases"));
            asker.hand_out(&Found { extent, steady, ..Found::default() });
        }
    }

    /// Decodes the variants that are not on screen, while what is known is shown.
    ///
    /// # Errors
    /// The problems of one that makes no sense: this state cannot stand.
    fn decode_others(&self, shown: &Found, asker: Asker<'_>) -> Result<(), Problems> {
        if !self.designs.are_decoded() {
            let work = Work::counted(0, self.designs.variant_names().len(), "variants");
            asker.hand_out(&Found { extent: Extent::Partial(work), ..shown.clone() });
        }
        self.designs.decode_all(self.node())
    }

    /// The steady cases of a variant; nothing once they are not wanted any more.
    pub(crate) fn steady(&self, varied: &Varied, cancelled: &AtomicBool) -> Option<Arc<Steady>> {
        if let Some(known) = self.solved().steady.get(&varied.name) {
            return Some(Arc::clone(known));
        }
        let points = cases::steady(&varied.project);
        let solved = studies::solve_each(&points, cancelled, |_| ()).ok()?;
        let mut steady = Steady::default();
        for (point, result) in points.iter().zip(solved) {
            match result {
                Ok(result) => steady.results.push(result),
                Err(error) => {
                    steady.refused.insert(point.name(), error.to_string());
                }
            }
        }
        let steady = Arc::new(steady);
        self.solved().steady.insert(varied.name.clone(), Arc::clone(&steady));
        Some(steady)
    }

    /// One mission of a variant.
    fn flight(&self, varied: &Varied, case: &MissionCase<'_>) -> Named {
        let key = (varied.name.clone(), case.name());
        if let Some(known) = self.solved().flights.get(&key) {
            return known.clone();
        }
        let flown = studies::missions::fly_case(case, &FlyOptions::default());
        let flown = flown.map(|flight| Arc::new(Flown::new(case, flight)));
        let named = (key.1.clone(), flown.map_err(|error| error.to_string()));
        self.solved().flights.insert(key, named.clone());
        named
    }

    /// Flies the mission that is compared with the one on screen, if there is one.
    fn lay_beneath(&self, found: &mut Found, choice: &Choice, asker: Asker<'_>) {
        let (Some(compared), Some(Ok(_))) = (&choice.compared, found.mission(&choice.case)) else { return };
        let Some(Ok(varied)) = self.designs.design(self.node(), &compared.variant) else { return };
        let all = cases::missions(&varied.project);
        let Some(case) = all.iter().find(|case| case.name() == compared.case) else { return };
        let is_known = self.solved().flights.contains_key(&(varied.name.clone(), compared.case.clone()));
        if !is_known {
            asker.hand_out(found);
        }
        found.beneath =
            Some(Beneath { variant: compared.variant.clone(), mission: self.flight(varied, case) });
    }

    /// Flies the mission that is chosen, if one is.
    fn shown_flight(&self, varied: &Varied, choice: &Choice) {
        let case = cases::missions(&varied.project).into_iter().find(|case| case.name() == choice.case);
        if let Some(case) = case {
            // Its refusal is told where it is shown.
            drop(self.flight(varied, &case));
        }
    }

    /// The missions of a variant that have been flown, in their order.
    fn known_flights(&self, varied: &Varied, missions: &[MissionCase<'_>]) -> Vec<Named> {
        let solved = self.solved();
        let known = |case: &MissionCase<'_>| solved.flights.get(&(varied.name.clone(), case.name())).cloned();
        missions.iter().filter_map(known).collect()
    }
}
