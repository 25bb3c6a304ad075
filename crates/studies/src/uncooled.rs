//! The largest cell resistance at which the pack flies uncooled: every required margin of the cells holds through every mission,
//! without cooling in flight, at an outside air and an age of the cells.
//!
//! A way of not cooling is a list of changes of the project. Two are made here from the project itself: the plate fitted but
//! without flow, and the plate removed, which leaves the pack its heat capacity and its links to the surroundings.

pub(crate) mod ways;

use crate::StudyError;
use crate::missions::fly_case;
use crate::oat_limit::air_at;
use aircraft::records::project::Project;
use aircraft::variant;
use model::budget::MassLine;
use model::case_name::CaseName;
use model::mission::{FlyOptions, MissionCase};
use model::result::MarginKind;
use model::{budget, cases, design};
use rayon::prelude::*;
use schema;
use schema::{InputEntry, Node, Path, Problem};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use ways::{bare, cells, path, refused, without_failures};

pub use ways::{Way, ways};

/// Path of the resistance that is searched: direct current, new, at its reference temperature.
pub const RESISTANCE: &str = "powertrain.bus.cell.resistance";
/// Search range over the resistance of the project.
const RANGE: (f64, f64) = (1.0 / 32.0, 16.0);
/// How closely a boundary is searched, as a share.
const CLOSE: f64 = 0.005;

/// What is searched.
#[derive(Clone, Debug, PartialEq)]
pub struct UncooledOptions {
    /// Outside-air temperatures, K.
    pub oat_k: Vec<f64>,
    /// Ages, 0 new to 1 end of life.
    pub life_used: Vec<f64>,
    /// Full names of the missions that count; all if none is named.
    pub cases: Vec<String>,
    /// How missions are flown.
    pub fly: FlyOptions,
}

impl Default for UncooledOptions {
    /// 0 to 40 degC in steps of 10 K; new and at the end of life.
    fn default() -> Self {
        let oat_k = [0.0, 10.0, 20.0, 30.0, 40.0].map(|celsius| celsius + 273.15).to_vec();
        Self {
            oat_k,
            life_used: vec![0.0, 1.0],
            cases: Vec::new(),
            fly: FlyOptions { max_gap_s: 30.0, ..FlyOptions::default() },
        }
    }
}

/// Where the boundary is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Boundary {
    /// The largest resistance that holds, ohm.
    UpTo(f64),
    /// It lies above the largest resistance tried, ohm.
    AtLeast(f64),
    /// Not even the smallest resistance tried holds, ohm.
    Below(f64),
}

/// The boundary of one way at one outside air and age.
#[derive(Clone, Debug, PartialEq)]
pub struct UncooledPoint {
    /// Name of the way.
    pub way: String,
    /// Outside air, K.
    pub oat_k: f64,
    /// Part of the life that is used.
    pub life_used: f64,
    /// Largest resistance of a cell as its sheet states it: direct current, new, at its reference temperature.
    pub boundary: Boundary,
    /// Mission that is short just above the boundary.
    pub case: Option<CaseName>,
    /// What is short there.
    pub limited_by: Option<String>,
}

/// What a way of not cooling weighs.
#[derive(Clone, Debug, PartialEq)]
pub struct WayMass {
    /// Name of the way.
    pub way: String,
    /// Mass of the cooling that is left, dry and coolant, kg.
    pub cooling_kg: f64,
    /// What is gone at once with the way: devices, their coolant, ducts.
    pub gone: Vec<MassLine>,
}

/// Boundaries and what they are compared with.
#[derive(Clone, Debug, PartialEq)]
pub struct Uncooled {
    /// Resistance of a cell that the project states, ohm.
    pub present_ohm: f64,
    /// Points: by way, then age, then outside air.
    pub points: Vec<UncooledPoint>,
    /// Masses by way, with what drops out.
    pub masses: Vec<WayMass>,
}

/// Boundaries of ways at every outside air and age; `progress` is told how many points are done.
///
/// # Errors
/// [`StudyError::Project`] if there is no pack, no mission, or a way contradicts the project; [`StudyError::Cancelled`].
pub fn uncooled(
    node: &Node,
    project: &Project,
    ways: &[Way],
    options: &UncooledOptions,
    cancel: &AtomicBool,
    progress: impl Fn(usize) + Sync,
) -> Result<Uncooled, StudyError> {
    cells(project)?;
    let entry = schema::find_input(node, variant::project_shape(), &path(RESISTANCE))
        .ok_or_else(|| refused(RESISTANCE, "there is no cell resistance", "state it"))?;
    if cases::missions(project).is_empty() {
        return Err(refused("cases", "no mission is combined with a condition", "name one in a case group"));
    }
    crate::solving::validate_names(project, &options.cases)?;
    // failures are left out of every way, so a name with one chooses nothing
    let mut normal = cases::missions(project).into_iter().filter(|case| case.failure.is_none());
    let is_wanted = |case: MissionCase<'_>| options.cases.contains(&case.name().to_string());
    if !options.cases.is_empty() && !normal.any(is_wanted) {
        return Err(refused(
            "cases",
            "none of the named cases is a mission without failure",
            "name one that is",
        ));
    }
    let mut tasks = Vec::new();
    for way in ways {
        for &life_used in &options.life_used {
            tasks.extend(options.oat_k.iter().map(|&oat_k| (way, life_used, oat_k)));
        }
    }
    let done = AtomicUsize::new(0);
    let points = tasks
        .into_par_iter()
        .map(|(way, life_used, oat_k)| {
            let varied = changed(node, way, life_used)?;
            let search = Search { varied: &varied, entry: &entry, oat_k, options, cancel };
            let (boundary, short) = search.boundary()?;
            progress(done.fetch_add(1, Ordering::Relaxed) + 1);
            let (case, limited_by) = short.unzip();
            Ok(UncooledPoint { way: way.name.clone(), oat_k, life_used, boundary, case, limited_by })
        })
        .collect::<Result<Vec<_>, StudyError>>()?;
    let masses = ways.iter().map(|way| way_mass(node, project, way)).collect::<Result<_, _>>()?;
    Ok(Uncooled { present_ohm: entry.si, points, masses })
}

/// The mass of a way beside that of the project.
fn way_mass(node: &Node, project: &Project, way: &Way) -> Result<WayMass, StudyError> {
    let of =
        |project: &Project| budget::masses(project).map_err(|problem| StudyError::Project(Box::new(problem)));
    let varied = design::decode(&changed(node, way, 0.0)?).map_err(|problems| {
        let first = problems.iter().next().cloned();
        first.map_or_else(
            || refused("variants", "the way cannot be read", "check it"),
            |problem| StudyError::Project(Box::new(problem)),
        )
    })?;
    let (now, left) = (of(project)?, of(&varied)?);
    let is_left =
        |line: &MassLine| left.lines.iter().any(|l| l.circuit == line.circuit && l.name == line.name);
    let gone = now.lines.into_iter().filter(|line| !is_left(line)).collect();
    Ok(WayMass { way: way.name.clone(), cooling_kg: left.total_kg(), gone })
}

/// The tree with a way and an age.
fn changed(node: &Node, way: &Way, life_used: f64) -> Result<Node, StudyError> {
    let shape = variant::project_shape();
    let first = |problems: Vec<Problem>| match problems.into_iter().next() {
        Some(problem) => StudyError::Project(Box::new(problem)),
        None => refused("variants", "the changes cannot be made", "check them"),
    };
    let mut varied = schema::apply_changes(node, shape, &way.changes).map_err(first)?;
    varied = without_failures(&bare(&varied));
    let ages: Vec<Path> = schema::list_inputs(&varied, shape)
        .into_iter()
        .map(|entry| entry.path)
        .filter(|path| path.steps().last().is_some_and(|last| last == "life_used"))
        .collect();
    for age in ages {
        schema::set_input_text(&mut varied, shape, &age, &life_used.to_string())
            .map_err(|error| StudyError::Project(Box::new(error.into_problem(&age))))?;
    }
    Ok(varied)
}

/// Doubles the resistance from the small end of the range around the present one until something is short, then halves the ratio.
pub(crate) fn boundary<T>(
    present_ohm: f64,
    short: impl Fn(f64) -> Result<Option<T>, StudyError>,
) -> Result<(Boundary, Option<T>), StudyError> {
    let (min_ohm, max_ohm) = (present_ohm * RANGE.0, present_ohm * RANGE.1);
    if let Some(found) = short(min_ohm)? {
        return Ok((Boundary::Below(min_ohm), Some(found)));
    }
    let mut good_ohm = min_ohm;
    let (mut bad_ohm, mut found) = loop {
        if good_ohm >= max_ohm {
            return Ok((Boundary::AtLeast(good_ohm), None));
        }
        match short(2.0 * good_ohm)? {
            None => good_ohm *= 2.0,
            Some(found) => break (2.0 * good_ohm, found),
        }
    };
    while bad_ohm > good_ohm * (1.0 + CLOSE) {
        let middle_ohm = (good_ohm * bad_ohm).sqrt();
        match short(middle_ohm)? {
            None => good_ohm = middle_ohm,
            Some(closer) => (bad_ohm, found) = (middle_ohm, closer),
        }
    }
    Ok((Boundary::UpTo(good_ohm), Some(found)))
}

type Short = (CaseName, String);

struct Search<'a> {
    varied: &'a Node,
    entry: &'a InputEntry,
    oat_k: f64,
    options: &'a UncooledOptions,
    cancel: &'a AtomicBool,
}

impl Search<'_> {
    fn boundary(&self) -> Result<(Boundary, Option<Short>), StudyError> {
        boundary(self.entry.si, |resistance_ohm| self.short(resistance_ohm))
    }

    /// What is short of the cells at a resistance, in the first mission in which something is.
    fn short(&self, resistance_ohm: f64) -> Result<Option<Short>, StudyError> {
        let mut tree = self.varied.clone();
        schema::set_input_si(&mut tree, variant::project_shape(), self.entry, resistance_ohm)
            .map_err(|error| StudyError::Project(Box::new(error.into_problem(&self.entry.path))))?;
        let project = design::decode(&tree).map_err(|problems| {
            let first = problems.iter().find(|p| p.severity == schema::Severity::Error).cloned();
            first.map_or_else(
                || refused(RESISTANCE, "the project cannot be read", "check the way"),
                |problem| StudyError::Project(Box::new(problem)),
            )
        })?;
        let cells = cells(&project)?;
        for case in cases::missions(&project) {
            if self.cancel.load(Ordering::Relaxed) {
                return Err(StudyError::Cancelled);
            }
            let is_wanted = |name: &String| *name == case.name().to_string();
            if !self.options.cases.is_empty() && !self.options.cases.iter().any(is_wanted) {
                continue;
            }
            let condition = air_at(case.condition, case.condition.pressure_altitude.si(), self.oat_k);
            let flown = MissionCase { condition: &condition, ..case };
            if let Some(what) = self.flown_short(&flown, cells)? {
                return Ok(Some((case.name(), what)));
            }
        }
        Ok(None)
    }

    fn flown_short(&self, case: &MissionCase<'_>, cells: &str) -> Result<Option<String>, StudyError> {
        let flight = fly_case(case, &self.options.fly)?;
        if !flight.status.can_be_judged() {
            let place = flight.notices.first().map_or("", |notice| notice.place.as_str());
            return Ok(Some(format!("{}: {place}", flight.status.word())));
        }
        let short =
            flight.margins(case.project).into_iter().map(|timed| timed.margin).find(|margin| {
                margin.place == cells && margin.kind == MarginKind::Maximum && margin.is_short()
            });
        Ok(short.map(|margin| format!("{}, {}", margin.place, margin.limit)))
    }
}

#[cfg(test)]
mod tests;
