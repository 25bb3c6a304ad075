//! Takes random projects through what a user does with a project, and notes how every case ends.

use model::mission::FlyOptions;
use model::result::{Notice, Status};
use schema::Severity;
use std::time::{Duration, Instant};

/// How one case of one project ended.
#[allow(dead_code, reason = "the program that shares this file tells more than the test")]
#[derive(Clone, Debug)]
pub(crate) struct Ended {
    /// Seed of the project.
    pub(crate) seed: u64,
    /// Case.
    pub(crate) case: String,
    /// Whether it is a mission.
    pub(crate) is_mission: bool,
    /// How it ended.
    pub(crate) status: Status,
    /// What the ledger leaves open over what it turns over; 0 where there is none.
    pub(crate) ledger: f64,
    /// First number that a result holds and that is not finite, by its place.
    pub(crate) not_finite: Option<String>,
    /// Time it took.
    pub(crate) took: Duration,
    /// What a case without state says.
    pub(crate) says: String,
    /// Machines that are told to work against a shut path.
    pub(crate) at_shut_paths: usize,
}

/// Checks the project of a seed, solves at most so many of its steady cases and flies at most so many of its missions, taken evenly.
///
/// # Errors
/// What `check` or the assembly says: a random project is valid, so this is a mistake of the generator or of the program.
pub(crate) fn run(seed: u64, most: usize) -> Result<Vec<Ended>, String> {
    run_text(seed, &testkit::random_project(seed), most)
}

/// The same for a text that was kept.
///
/// # Errors
/// As [`run`].
pub(crate) fn run_text(seed: u64, text: &str, most: usize) -> Result<Vec<Ended>, String> {
    let (node, problems) = project::parse(text.as_bytes());
    let node = node.filter(|_| !problems.has_errors()).ok_or_else(|| format!("seed {seed}: {problems:?}"))?;
    let project = model::design::decode(&node).map_err(|problems| {
        let errors: Vec<String> = problems
            .iter()
            .filter(|p| p.severity == Severity::Error)
            .map(|p| format!("{}: {}; {}", p.path, p.message, p.remedy))
            .collect();
        format!("seed {seed}: {}", errors.join(" | "))
    })?;
    let mut ended = Vec::new();
    for case in evenly(model::cases::steady(&project), most) {
        let started = Instant::now();
        let result = model::case::solve(&case).map_err(|p| format!("seed {seed}: {}: {p:?}", case.name()))?;
        let took = started.elapsed();
        let not_finite = result
            .margins
            .iter()
            .find(|m| result.status.can_be_judged() && !m.margin.is_finite())
            .map(|m| format!("{} {}", m.place, m.limit))
            .or_else(|| {
                let parts = result.components.iter().find(|c| !c.temperature_k().is_finite());
                parts.map(|c| c.name.clone())
            });
        ended.push(Ended {
            seed,
            case: case.name().to_string(),
            is_mission: false,
            status: result.status,
            ledger: share(result.ledger.residual_w, result.ledger.turnover_w),
            not_finite,
            took,
            says: says(&result.notices, result.status),
            at_shut_paths: result.notices.iter().filter(|n| n.kind == "shut_path").count(),
        });
    }
    for case in evenly(model::cases::missions(&project), most.div_ceil(4)) {
        let started = Instant::now();
        let flight = studies::missions::fly_case(&case, &FlyOptions::default())
            .map_err(|error| format!("seed {seed}: {}: {error}", case.name()))?;
        let margins = flight.margins(&project);
        ended.push(Ended {
            seed,
            case: case.name().to_string(),
            is_mission: true,
            status: flight.status,
            ledger: share(flight.heat.residual_j, flight.heat.turnover_j),
            not_finite: margins
                .iter()
                .find(|m| flight.status.can_be_judged() && !m.margin.margin.is_finite())
                .map(|m| format!("{} {}", m.margin.place, m.margin.limit)),
            took: started.elapsed(),
            says: says(&flight.notices, flight.status),
            at_shut_paths: 0,
        });
    }
    Ok(ended)
}

/// At most so many, evenly spread.
fn evenly<T>(all: Vec<T>, most: usize) -> impl Iterator<Item = T> {
    let each = all.len().div_ceil(most.max(1)).max(1);
    all.into_iter().step_by(each)
}

fn says(notices: &[Notice], status: Status) -> String {
    let why = notices.iter().find(|n| n.kind == status.word());
    why.map(|n| format!("{}: {}", n.place, n.message)).unwrap_or_default()
}

/// What a ledger leaves open over what it turns over. Of less than a nanowatt (or nanojoule) no share is taken: a part at rest may warm
/// its air by 1e-164 W.
fn share(residual: f64, turnover: f64) -> f64 {
    if turnover > 1e-9 { (residual / turnover).abs() } else { 0.0 }
}
