//! A project as the subject of the window: solves on the worker and turns results into display data.

mod designs;
mod explain;
mod failing;
mod flight;
mod ground;
mod levels;
mod levers;
mod machines;
mod pages;
mod source;
mod trades;

use model::design;
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use aircraft::records::device::Device;
use aircraft::records::project::Project;
use aircraft::revise::{self, Revision, Thing};
use aircraft::tables::{self, CellProblem, Table};
use aircraft::variant::{self, BASE, Varied};
use model::assembly::Situation;
use model::case_name::CaseName;
use model::cases::{self, Case};
use model::duty::{self, Duty};
use model::mission::{FlyOptions, MissionCase};
use model::result::{CaseResult, Notice, Status, reason};
use schema::{self, Node, Path, Problem, Problems, Severity, set_input_text};
use studies::StudyError;
use studies::failures::FailureOutcome;
use studies::turnaround::TurnaroundWish;

use crate::files::Finding;
use crate::subject::{Choice, Choices, Listed, Screen, Study, Subject};
use crate::views::failures::FailuresData;
use crate::views::header::HeaderData;
use crate::views::levers::LeverData;
use crate::views::margins::{MarginGrid, MarginPlace};
use crate::views::mission::BeneathCase;
use crate::views::trades::{Menu, Proposal, Question, TradesData};
use crate::views::turnaround::TurnaroundData;
use crate::views::work::Work;
use designs::Designs;
use flight::Flown;
use pages::Judged;
use source::Source;

/// A snapshot of a project: its tree, and the base design and every variant decoded from it.
#[derive(Debug, Clone)]
pub struct Aircraft {
    node: Arc<Node>,
    /// The text that the tree was read from, by which it is saved.
    source: Arc<Source>,
    designs: Arc<Designs>,
    choices: Arc<Choices>,
    solved: Arc<Mutex<Solved>>,
}

impl Aircraft {
    /// A project from its tree, and the text that it was read from if there is one.
    ///
    /// # Errors
    /// The problems of the design or of one of its variants, a line each.
    pub fn new(node: Node, text: Option<String>) -> Result<Self, String> {
        Self::decoded(node, Source::of(text)).map_err(|problems| told(&problems))
    }

    /// The base design and every variant of it.
    fn decoded(node: Node, source: Source) -> Result<Self, Problems> {
        let aircraft = Self::on_base(node, source)?;
        aircraft.designs.decode_all(&aircraft.node)?;
        Ok(aircraft)
    }

    /// The base design; the variants are decoded when they are asked for.
    fn on_base(node: Node, source: Source) -> Result<Self, Problems> {
        let designs = Designs::new(design::apply(&node, None)?);
        let choices = choices(&designs.base().project, &designs.variant_names());
        Ok(Self {
            node: Arc::new(node),
            source: Arc::new(source),
            designs: Arc::new(designs),
            choices: Arc::new(choices),
            solved: Arc::default(),
        })
    }

    /// The project with another tree. The window waits for the design that it shows; the other variants are looked at on the worker.
    fn shown_from(&self, choice: &Choice, node: Node) -> Result<Self, String> {
        let edited = Self::on_base(node, self.source.edited()).map_err(|problems| told(&problems))?;
        match edited.designs.design(&edited.node, &choice.variant) {
            Some(Err(problems)) => Err(told(problems)),
            _ => Ok(edited),
        }
    }

    /// The project with another tree, all of whose designs hold.
    fn with_tree(&self, node: Node) -> Result<Self, String> {
        Self::decoded(node, self.source.edited()).map_err(|problems| told(&problems))
    }

    /// Tree of the project as it is now.
    pub fn node(&self) -> &Node {
        &self.node
    }

    /// The design that is chosen. One that could not be decoded has been told; the base design stands in for it.
    fn varied(&self, choice: &Choice) -> &Varied {
        match self.designs.design(&self.node, &choice.variant) {
            Some(Ok(varied)) => varied,
            _ => self.designs.base(),
        }
    }
}

/// Problems as text, a line each.
fn told(problems: &Problems) -> String {
    let told = |p: &Problem| {
        if p.remedy.is_empty() { p.message.clone() } else { format!("{}; {}", p.message, p.remedy) }
    };
    problems.iter().map(told).collect::<Vec<String>>().join("\n")
}

fn choices(project: &Project, variants: &[String]) -> Choices {
    let listed = |case: &Case<'_>| Listed { name: case.name(), is_mission: case.flown().is_some() };
    Choices {
        variants: std::iter::once(BASE.to_owned()).chain(variants.iter().cloned()).collect(),
        cases: cases::all(project).iter().map(listed).collect(),
    }
}

/// A steady point by its name; none if the name leads nowhere.
fn situation<'a>(project: &'a Project, name: &CaseName) -> Option<Situation<'a>> {
    cases::steady(project).into_iter().find(|case| case.name() == *name)
}

/// Problems as the window shows them, in the order of the text, none twice.
fn findings(mut problems: Problems, text: &str) -> Vec<Finding> {
    problems.sort_by_place();
    let mut all: Vec<Finding> = Vec::new();
    for problem in &problems {
        let place = problem.place.map(|place| (place.line, place.column));
        let line = place.and_then(|(line, _)| text.lines().nth(line.saturating_sub(1) as usize));
        let found = Finding {
            is_error: problem.severity == Severity::Error,
            place,
            path: problem.path.clone(),
            message: problem.message.clone(),
            remedy: problem.remedy.clone(),
            line: line.unwrap_or_default().trim().to_owned(),
        };
        if !all.contains(&found) {
            all.push(found);
        }
    }
    all
}

impl Subject for Aircraft {
    fn from_bytes(bytes: &[u8]) -> Result<(Self, Vec<Finding>), Vec<Finding>> {
        let plain = |message: String| {
            let is_error = true;
            vec![Finding { is_error, message, ..Finding::default() }]
        };
        let loaded = project::read(bytes).map_err(|error| plain(error.to_string()))?;
        if loaded.problems.has_errors() {
            // mistakes of meaning beside those of syntax, as far as the tree could be read
            let mut problems = loaded.problems;
            if let Some(found) = loaded.node.as_ref().and_then(|node| design::apply(node, None).err()) {
                problems.append(found);
            }
            return Err(findings(problems, &loaded.text));
        }
        let node = loaded.node.ok_or_else(|| plain("there is nothing in the file".to_owned()))?;
        let source = Source::of(String::from_utf8(bytes.to_vec()).ok());
        let aircraft = Self::decoded(node, source).map_err(|problems| findings(problems, &loaded.text))?;
        let mut warnings = model::validate::validate(&aircraft.designs.base().project);
        warnings.locate(&aircraft.node);
        Ok((aircraft, findings(warnings, &loaded.text)))
    }

    fn to_bytes(&self) -> Result<Vec<u8>, String> {
        if project::has_broken(&self.node) {
            return Err(project::ProjectError::Unreadable.to_string());
        }
        self.designs.decode_all(&self.node).map_err(|problems| told(&problems))?;
        Ok(self.source.saved(&self.node).into_bytes())
    }

    fn name(&self) -> &str {
        self.designs.base().project.name.as_str()
    }

    fn choices(&self) -> &Choices {
        &self.choices
    }

    fn edited(&self, choice: &Choice, path: &str, text: &str) -> Result<Self, String> {
        let path = Path::parse(path).map_err(|error| error.to_string())?;
        let mut node = (*self.node).clone();
        set_input_text(&mut node, variant::project_shape(), &path, text)
            .map_err(|error| error.to_string())?;
        self.shown_from(choice, node)
    }

    fn edited_in_variant(&self, choice: &Choice, path: &str, text: &str) -> Result<Self, String> {
        let path = Path::parse(path).map_err(|error| error.to_string())?;
        let node = variant::set_own(&self.node, self.varied(choice), &path, text);
        self.shown_from(choice, node.map_err(|error| error.to_string())?)
    }

    fn owns(&self, choice: &Choice, path: &str) -> bool {
        let varied = self.varied(choice);
        let found = Path::parse(path).map(|path| variant::owns(varied, &path));
        varied.name != BASE && found.unwrap_or(false)
    }

    fn without_own(&self, choice: &Choice, path: &str) -> Result<Self, String> {
        let path = Path::parse(path).map_err(|error| error.to_string())?;
        let node = variant::drop_own(&self.node, self.varied(choice), &path);
        self.shown_from(choice, node.map_err(|error| error.to_string())?)
    }

    fn revised(&self, revision: &Revision) -> Result<Self, String> {
        let node = revise::revise(&self.node, revision).map_err(|refusal| refusal.to_string())?;
        self.with_tree(node)
    }

    fn with_variant(&self, proposal: &Proposal, name: &str) -> Result<Self, String> {
        let Proposal { from, note, changes } = proposal;
        let node = design::with_variant(&self.node, from, name, note, changes)
            .map_err(|refusal| refusal.to_string())?;
        self.with_tree(node)
    }

    fn things(&self) -> Vec<Thing> {
        revise::things(&self.node)
    }

    fn device_text(&self, path: &str) -> Result<String, String> {
        let path = Path::parse(path).map_err(|error| error.to_string())?;
        let node = schema::path::get(&self.node, &path).map_err(|error| error.to_string())?;
        if matches!(node.tag(), Some("Core" | "Exchanger")) {
            let name = node.own_name().unwrap_or_default();
            return Err(format!(
                "{name} is described once and stands in two circuits; add a core and set its numbers, or copy its entry under Names"
            ));
        }
        Ok(project::write(node))
    }

    fn device_from(&self, text: &str) -> Result<Node, String> {
        let (node, problems) = project::parse(text.as_bytes());
        let told = |problem: &Problem| format!("the clipboard holds no device: {}", problem.message);
        let remedy = "copy a device first (Ctrl+C while it is marked)";
        if let Some(problem) = problems.iter().find(|problem| problem.severity == Severity::Error) {
            return Err(format!("{}; {remedy}", told(problem)));
        }
        let node = node.ok_or_else(|| format!("the clipboard is empty; {remedy}"))?;
        let decoded = schema::decode::<Device>(&node);
        match decoded.problems.iter().find(|problem| problem.severity == Severity::Error) {
            Some(problem) => Err(format!("{}; {remedy}", told(problem))),
            None if decoded.value.is_none() => Err(format!("the clipboard holds no device; {remedy}")),
            None => Ok(node),
        }
    }

    fn table(&self, path: &str) -> Option<Table> {
        tables::read(&self.node, path)
    }

    fn put_table(&self, table: &Table) -> Result<Revision, Vec<CellProblem>> {
        design::put_table(&self.node, table)
    }

    fn screen(&self, choice: &Choice, cancelled: &AtomicBool, so_far: &(dyn Fn(Screen) + Sync)) -> Screen {
        let varied = self.varied(choice);
        self.hand_out_case(varied, choice, so_far);
        let Some(steady) = self.steady(varied, cancelled) else {
            let work = Work {
                what: "cases".to_owned(),
                of: cases::steady(&varied.project).len(),
                ..Work::default()
            };
            return Screen { work: Some(work), ..Screen::default() };
        };
        // Steady numbers and the mission on screen do not wait for the other missions.
        self.shown_flight(varied, choice);
        let missions = cases::missions(&varied.project);
        let mut flown = self.known_flights(varied, &missions);
        let drawn = drawn(varied, choice, &steady, &flown);
        if let Err(problems) = self.decode_others(&drawn, so_far) {
            return Screen { refused: Some(told(&problems)), ..Screen::default() };
        }
        let mut screen = self.with_compared(drawn, choice, so_far);
        for case in &missions {
            let name = case.name();
            if flown.iter().any(|(known, _)| *known == name) {
                continue;
            }
            screen.work = Some(Work {
                done: flown.len(),
                of: missions.len(),
                what: "missions".to_owned(),
                now: name.to_string(),
            });
            if choice.is_stopped || cancelled.load(Ordering::Relaxed) {
                return screen;
            }
            so_far(screen.clone());
            flown.push(self.flight(varied, case));
            let judged = judged(&steady, &flown);
            (screen.header.worst, screen.margins) = (pages::worst(&judged), pages::margins(&judged));
        }
        // Told in the order of the project, whichever was flown first.
        let flown = self.known_flights(varied, &missions);
        let judged = judged(&steady, &flown);
        (screen.header.worst, screen.margins) = (pages::worst(&judged), pages::margins(&judged));
        screen.work = None;
        self.with_study(screen, varied, choice, cancelled, so_far)
    }
}

/// Steady cases and missions with their margins.
fn judged<'a>(steady: &'a Steady, flown: &'a [Named]) -> Vec<Judged<'a>> {
    let flights =
        flown.iter().filter_map(|(name, flown)| Some(judged_flight(name, flown.as_ref().ok()?.as_ref())));
    steady.results.iter().map(Judged::from).chain(flights).collect()
}

/// The pages from what has been solved.
fn drawn(varied: &Varied, choice: &Choice, steady: &Steady, flown: &[Named]) -> Screen {
    let project = &varied.project;
    let judged = judged(steady, flown);
    let mut screen = Screen {
        header: HeaderData {
            project: project.name.as_str().to_owned(),
            worst: pages::worst(&judged),
            outcome: None,
            notices: Vec::new(),
        },
        margins: pages::margins(&judged),
        own: Arc::new(variant::own_inputs(varied)),
        ..Screen::default()
    };
    let shown = flown.iter().find(|(known, _)| *known == choice.case);
    match shown {
        Some((_, Ok(flown))) => {
            show_flight(&mut screen, varied, choice, flown);
            let described = choice.described.as_deref();
            screen.levels = described.map(|device| Arc::new(levels::without_steady_case(device)));
        }
        Some((_, Err(message))) => screen.header.outcome = Some(message.clone()),
        None => match steady.results.iter().find(|result| result.case == choice.case) {
            Some(result) => {
                // The case was solved, so that it can be put together; without its curves the page is still right.
                let situation = situation(project, &choice.case);
                let duties =
                    situation.and_then(|situation| duty::duties(situation, result).ok()).unwrap_or_default();
                show_state(&mut screen, varied, result, &duties);
                let described = choice.described.as_deref();
                screen.levels =
                    described.map(|device| Arc::new(levels::device_levels(situation, result, device)));
            }
            None => screen.header.outcome = steady.refused.get(&choice.case).cloned(),
        },
    }
    screen
}

/// One state on every page that shows a state.
fn show_state(screen: &mut Screen, varied: &Varied, result: &CaseResult, duties: &[Duty]) {
    if result.status != Status::Solved {
        screen.header.outcome =
            reason(result.status, &result.notices).map(|n| format!("{}: {}", n.place, n.message));
    }
    screen.header.notices = notice_lines(&result.notices);
    screen.strips = pages::strips(varied, result, duties);
    match machines::machines(varied, result) {
        Ok(found) => screen.machines = found,
        Err(message) => screen.header.outcome = Some(message),
    }
    screen.temperatures = pages::temperatures(&varied.project, result);
    screen.ledger = pages::ledger(result);
    screen.explanations = explain::explanations(&varied.project, result);
}

/// What is to be known about a case, a line each.
fn notice_lines(notices: &[Notice]) -> Vec<String> {
    notices.iter().map(|notice| format!("{}: {}", notice.place, notice.message)).collect()
}

/// A mission, and its state at the time cursor on the other pages.
fn show_flight(screen: &mut Screen, varied: &Varied, choice: &Choice, flown: &Flown) {
    if let Some(state) = flown.state_at(&varied.project, choice.time_s) {
        show_state(screen, varied, &state, &[]);
    }
    let flight = &flown.flight;
    // Of the whole flight, not of its moment at the cursor.
    screen.header.notices = notice_lines(&flown.told);
    screen.mission = Some(Arc::clone(&flown.page));
    if flight.status != Status::Solved {
        screen.header.outcome =
            reason(flight.status, &flight.notices).map(|n| format!("{}: {}", n.place, n.message));
    }
    screen.ledger = flight::ledger_at(screen.ledger.clone(), flown);
}

fn judged_flight<'a>(name: &CaseName, flown: &'a Flown) -> Judged<'a> {
    Judged {
        case: name.clone(),
        status: flown.flight.status,
        place: reason(flown.flight.status, &flown.flight.notices)
            .map(|n| n.place.clone())
            .unwrap_or_default(),
        margins: flown.margins.iter().map(|timed| (&timed.margin, Some(timed.time_s))).collect(),
    }
}

/// The steady cases of a variant.
#[derive(Debug, Default)]
struct Steady {
    results: Vec<CaseResult>,
    /// Why a case could not be put together, by its name.
    refused: BTreeMap<CaseName, String>,
}

/// A mission by its name, or why it could not be put together.
type Named = (CaseName, Result<Arc<Flown>, String>);

/// What has been solved of one snapshot, by variant: a choice of another case or moment asks for nothing new.
#[derive(Debug, Default)]
struct Solved {
    steady: BTreeMap<String, Arc<Steady>>,
    /// Turnarounds by variant and condition; nothing where the project has none.
    turnarounds: BTreeMap<(String, String), Option<Arc<TurnaroundData>>>,
    /// Failures by variant and case; nothing where the project has none.
    failures: BTreeMap<(String, CaseName), Option<Arc<FailuresData>>>,
    /// What can be asked about a variant, and answers to questions about it.
    menus: BTreeMap<String, Arc<Menu>>,
    trades: BTreeMap<(String, String, Question), Arc<TradesData>>,
    /// Levers by variant and cell.
    levers: BTreeMap<(String, MarginPlace), Arc<LeverData>>,
    /// The ways of a turnaround without their tables, and failures one by one, of studies that are not whole.
    ways: BTreeMap<(String, String), Arc<TurnaroundData>>,
    outcomes: BTreeMap<(String, CaseName), Vec<FailureOutcome>>,
    /// Flights before all of a variant are there, by variant and name.
    single: BTreeMap<(String, CaseName), Named>,
}

impl Aircraft {
    fn solved(&self) -> MutexGuard<'_, Solved> {
        self.solved.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The steady case on screen before all others, so that an edit shows at once where it was made.
    fn hand_out_case(&self, varied: &Varied, choice: &Choice, so_far: &(dyn Fn(Screen) + Sync)) {
        if self.solved().steady.contains_key(&varied.name) {
            return;
        }
        let solved = situation(&varied.project, &choice.case).map(|case| model::case::solve(&case));
        if let Some(Ok(result)) = solved {
            let steady = Steady { results: vec![result], ..Steady::default() };
            let of = cases::steady(&varied.project).len();
            let mut screen = drawn(varied, choice, &steady, &[]);
            screen.work = Some(Work { done: 1, of, what: "cases".to_owned(), now: String::new() });
            // Over all cases nothing is known yet.
            (screen.header.worst, screen.margins) = (None, MarginGrid::default());
            screen.has_one_case = true;
            so_far(screen);
        }
    }

    /// Decodes the variants that are not on screen, while what is known is shown.
    ///
    /// # Errors
    /// The problems of one that makes no sense: this state cannot stand.
    fn decode_others(&self, shown: &Screen, so_far: &(dyn Fn(Screen) + Sync)) -> Result<(), Problems> {
        if !self.designs.are_decoded() {
            let of = self.designs.variant_names().len();
            let work = Work { of, what: "variants".to_owned(), ..Work::default() };
            so_far(Screen { work: Some(work), ..shown.clone() });
        }
        self.designs.decode_all(&self.node)
    }

    /// The steady cases of a variant; nothing once they are not wanted any more.
    fn steady(&self, varied: &Varied, cancelled: &AtomicBool) -> Option<Arc<Steady>> {
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

    /// The screen with the study that its page asks for; the quick part of it is handed out first.
    fn with_study(
        &self,
        screen: Screen,
        varied: &Varied,
        choice: &Choice,
        cancelled: &AtomicBool,
        so_far: &(dyn Fn(Screen) + Sync),
    ) -> Screen {
        match &choice.study {
            Study::Cases => screen,
            Study::Turnaround => self.with_turnaround(screen, varied, choice, cancelled, so_far),
            Study::Failures => self.with_failures(screen, varied, choice, cancelled, so_far),
            Study::Levers(place) => self.with_levers(screen, varied, (place, false), cancelled, so_far),
            Study::FlownLevers(place) => self.with_levers(screen, varied, (place, true), cancelled, so_far),
            Study::Trades(question) => self.with_trades(screen, varied, choice, question, cancelled, so_far),
        }
    }

    fn with_levers(
        &self,
        mut screen: Screen,
        varied: &Varied,
        (place, fly): (&MarginPlace, bool),
        cancelled: &AtomicBool,
        so_far: &dyn Fn(Screen),
    ) -> Screen {
        let key = (varied.name.clone(), place.clone());
        let known = self.solved().levers.get(&key).cloned();
        if known.as_ref().is_some_and(|known| !(fly && known.can_be_flown)) {
            screen.levers = known;
            return screen;
        }
        so_far(screen.clone());
        let Some(steady) = self.steady(varied, cancelled) else { return screen };
        match levers::lever_data(varied, &steady.results, place, fly, cancelled) {
            Ok(found) => {
                let found = Arc::new(found);
                self.solved().levers.insert(key, Arc::clone(&found));
                screen.levers = Some(found);
            }
            Err(StudyError::Cancelled) => {}
            Err(error) => screen.header.outcome = Some(format!("levers: {error}")),
        }
        screen
    }

    fn with_trades(
        &self,
        mut screen: Screen,
        varied: &Varied,
        choice: &Choice,
        question: &Question,
        cancelled: &AtomicBool,
        so_far: &(dyn Fn(Screen) + Sync),
    ) -> Screen {
        let key = (varied.name.clone(), choice.case.condition.clone(), question.clone());
        let known = self.solved().trades.get(&key).cloned();
        if known.is_some() {
            screen.trades = known;
            return screen;
        }
        let menu = self.menu(varied, cancelled);
        let asked = TradesData { asked: question.clone(), menu, ..TradesData::default() };
        screen.trades = Some(Arc::new(asked.clone()));
        let work = |done, of| Work { done, of, what: "steps".to_owned(), now: String::new() };
        screen.work = Some(work(0, 1));
        if choice.is_stopped || cancelled.load(Ordering::Relaxed) {
            return screen;
        }
        so_far(screen.clone());
        let shown = &screen;
        let tell = |done, of| {
            if !cancelled.load(Ordering::Relaxed) {
                so_far(Screen { work: Some(work(done, of)), ..shown.clone() });
            }
        };
        let all = self.designs.all();
        let subject = (&*self.node, varied, all.as_slice());
        let found = match trades::answer(subject, question, &choice.case.condition, cancelled, &tell) {
            Ok(found) => TradesData { menu: asked.menu, ..found },
            Err(trades::NoAnswer::Because(reason)) => {
                TradesData { is_answered: true, refused: Some(reason), ..asked }
            }
            Err(trades::NoAnswer::Cancelled) => return screen,
        };
        let found = Arc::new(found);
        self.solved().trades.insert(key, Arc::clone(&found));
        Screen { trades: Some(found), work: None, ..screen }
    }

    fn menu(&self, varied: &Varied, cancelled: &AtomicBool) -> Arc<Menu> {
        if let Some(known) = self.solved().menus.get(&varied.name) {
            return Arc::clone(known);
        }
        let menu = Arc::new(trades::menu(varied, cancelled));
        if !cancelled.load(Ordering::Relaxed) {
            self.solved().menus.insert(varied.name.clone(), Arc::clone(&menu));
        }
        menu
    }

    fn with_failures(
        &self,
        mut screen: Screen,
        varied: &Varied,
        choice: &Choice,
        cancelled: &AtomicBool,
        so_far: &(dyn Fn(Screen) + Sync),
    ) -> Screen {
        let key = (varied.name.clone(), choice.case.clone());
        let known = self.solved().failures.get(&key).cloned();
        if let Some(known) = known {
            screen.failures = known;
            return screen;
        }
        let known = self.solved().outcomes.get(&key).cloned().unwrap_or_default();
        let stop = || choice.is_stopped || cancelled.load(Ordering::Relaxed);
        let mut last = screen.clone();
        let partly = |data: FailuresData, work: Work, outcomes: &[FailureOutcome]| {
            // Without any, those of an earlier state may stay on screen.
            let failures = (!outcomes.is_empty()).then(|| Arc::new(data));
            last = Screen { failures, work: Some(work), ..screen.clone() };
            self.solved().outcomes.insert(key.clone(), outcomes.to_vec());
            if !stop() {
                so_far(last.clone());
            }
            !stop()
        };
        match failing::failures_data(&varied.project, choice, known, cancelled, partly) {
            Ok(found) => {
                screen.failures = found.map(Arc::new);
                self.solved().failures.insert(key, screen.failures.clone());
            }
            Err(StudyError::Cancelled) => return last,
            Err(error) => screen.header.outcome = Some(format!("failures: {error}")),
        }
        screen
    }

    fn with_turnaround(
        &self,
        mut screen: Screen,
        varied: &Varied,
        choice: &Choice,
        cancelled: &AtomicBool,
        so_far: &(dyn Fn(Screen) + Sync),
    ) -> Screen {
        let key = (varied.name.clone(), choice.case.condition.clone());
        let known = self.solved().turnarounds.get(&key).cloned();
        if let Some(known) = known {
            screen.turnaround = known;
            return screen;
        }
        screen.turnaround = self.solved().ways.get(&key).cloned();
        let mut is_told = true;
        for without_tables in [true, false] {
            if without_tables && screen.turnaround.is_some() {
                continue;
            }
            let what = if without_tables { "flights of every way" } else { "flights of the tables" };
            let work = |done, of| Work { done, of, what: what.to_owned(), now: String::new() };
            screen.work = Some(work(0, 1));
            if choice.is_stopped || cancelled.load(Ordering::Relaxed) {
                return screen;
            }
            so_far(screen.clone());
            let shown = &screen;
            let tell = |done, of| so_far(Screen { work: Some(work(done, of)), ..shown.clone() });
            let condition = Some(choice.case.condition.clone());
            let wish = TurnaroundWish { condition, without_tables, ..TurnaroundWish::default() };
            let found = studies::turnaround::turnarounds(&varied.project, &wish, cancelled, tell);
            match found {
                Ok(results) => {
                    let first = results.first();
                    screen.turnaround =
                        first.map(|r| Arc::new(ground::turnaround_data(&varied.project, r, !without_tables)));
                }
                Err(StudyError::Cancelled) => return screen,
                Err(error) => {
                    screen.header.outcome = Some(format!("turnaround: {error}"));
                    is_told = false;
                    break;
                }
            }
            let Some(ways) = &screen.turnaround else { break };
            self.solved().ways.insert(key.clone(), Arc::clone(ways));
        }
        screen.work = None;
        if is_told {
            self.solved().turnarounds.insert(key, screen.turnaround.clone());
        }
        screen
    }

    /// One mission of a variant.
    fn flight(&self, varied: &Varied, case: &MissionCase<'_>) -> Named {
        let key = (varied.name.clone(), case.name());
        if let Some(known) = self.solved().single.get(&key) {
            return known.clone();
        }
        let flown = studies::missions::fly_case(case, &FlyOptions::default());
        let flown = flown.map(|flight| Arc::new(Flown::new(case, flight, &varied.listing().inputs)));
        let named = (key.1.clone(), flown.map_err(|error| error.to_string()));
        self.solved().single.insert(key, named.clone());
        named
    }

    /// The screen with the curves of the compared mission beneath those of the shown one.
    fn with_compared(&self, mut screen: Screen, choice: &Choice, so_far: &(dyn Fn(Screen) + Sync)) -> Screen {
        let (Some(compared), Some(shown)) = (&choice.compared, screen.mission.clone()) else { return screen };
        let Some(Ok(varied)) = self.designs.design(&self.node, &compared.variant) else { return screen };
        let all = cases::missions(&varied.project);
        let Some(case) = all.iter().find(|case| case.name() == compared.case) else {
            return screen;
        };
        let is_known = self.solved().single.contains_key(&(varied.name.clone(), compared.case.clone()));
        if !is_known {
            so_far(screen.clone());
        }
        let name = format!("{}, {}", compared.variant, compared.case);
        let mut mission = (*shown).clone();
        match self.flight(varied, case).1 {
            Ok(other) => mission.lay_beneath(&other.page, &name),
            Err(problem) => {
                mission.beneath =
                    Some(BeneathCase { name, problem: Some(problem), ..BeneathCase::default() });
            }
        }
        screen.mission = Some(Arc::new(mission));
        screen
    }

    /// Flies the mission that is chosen, if one is.
    fn shown_flight(&self, varied: &Varied, choice: &Choice) {
        let case = cases::missions(&varied.project).into_iter().find(|case| case.name() == choice.case);
        if let Some(case) = case {
            // Its refusal is told where it is drawn.
            drop(self.flight(varied, &case));
        }
    }

    /// The missions of a variant that have been flown, in their order.
    fn known_flights(&self, varied: &Varied, missions: &[MissionCase<'_>]) -> Vec<Named> {
        let solved = self.solved();
        let known = |case: &MissionCase<'_>| solved.single.get(&(varied.name.clone(), case.name())).cloned();
        missions.iter().filter_map(known).collect()
    }
}
