//! The window itself: it draws the newest results, collects what the user does, and applies it after the frame.

mod drawing;
mod figures;
mod filing;
mod tables;

use std::sync::Arc;
use std::time::{Duration, Instant};

use eframe::egui::{self, CentralPanel, Context, Margin, Panel, ThemePreference, Ui};

use crate::edit::{Edit, Went};
use aircraft::revise::Revision;
use model::case_name::CaseName;

use crate::command::{Command, DeviceCommand, Overlay, Page, ThemeChoice};
use crate::copy::{explanation, page_text};
use crate::files::Wanted;
use crate::history::History;
use crate::look;
use crate::start::Start;
use crate::subject::{Choice, Screen, Study, Subject};
use crate::views::about::{about_ui, keys_ui};
use crate::views::begin::{AnswersForm, begin_ui};
use crate::views::empty::empty_ui;
use crate::views::explanation::explanation_ui;
use crate::views::failures::failures_ui;
use crate::views::field::{Draft, Drafts};
use crate::views::figure::Standing;
use crate::views::files::{
    Notices, changed_ui, demos_ui, drop_target_ui, exists_ui, findings_ui, notices_ui, typed_path_ui,
    unsaved_ui,
};
use crate::views::find::{find_ui, places};
use crate::views::guide::guide_ui;
use crate::views::header::{HeaderState, Progress, header_ui};
use crate::views::ledger::ledger_ui;
use crate::views::levels::device_levels_ui;
use crate::views::levers::{self, levers_ui};
use crate::views::loops::{DeviceTable, Revising, duty_ui, loops_ui};
use crate::views::machines::{MachineData, machines_ui};
use crate::views::margins::{MarginFilter, MarginGrid, MarginPlace, margins_ui};
use crate::views::mission::{Compare, mission_ui, timeline_ui};
use crate::views::names::{Names, names_ui};
use crate::views::rail::rail_ui;
use crate::views::reach::reach_ui;
use crate::views::table::{TableEdit, table_ui};
use crate::views::temperatures::temperatures_ui;
use crate::views::time::{ShownTime, TimeView, clock};
use crate::views::tips::{Dismissed, tip_ui};
use crate::views::trades::{Question, Sort, TradesForm, TradesState, trades_ui};
use crate::views::turnaround::turnaround_ui;
use crate::views::work::{WorkState, work_ui};
use crate::worker::{NoThread, Worker};
use figures::Figures;
use filing::Filing;

/// What the user is in the middle of; never part of the project.
#[derive(Debug, Default)]
struct UiState {
    page: Page,
    choice: Choice,
    strip: Option<String>,
    device: Option<String>,
    failure: Option<String>,
    /// The machine in full, by name and sort.
    machine: Option<String>,
    /// The part of the mission in view.
    shown_time: ShownTime,
    overlay: Option<Overlay>,
    drafts: Drafts,
    revising: Revising,
    names: Names,
    /// The table that is edited, or was left before it was taken over.
    table: Option<TableEdit>,
    margins: MarginFilter,
    /// The cell of the margins that the keys are at.
    cell: Option<MarginPlace>,
    /// What a new aircraft is like.
    begin: AnswersForm,
    /// What is searched for.
    wanted: String,
    /// The question of the page Trades.
    trades: TradesForm,
    /// The tips that were dismissed; nothing where nobody keeps them in mind, and then none is shown.
    tips: Option<Dismissed>,
}

/// Which results of studies on screen belong to an earlier state.
#[derive(Debug, Clone, Copy, Default)]
struct Kept {
    turnaround: bool,
    failures: bool,
}

/// Results that come within this time take the place of the old ones without a word.
const NOTICED: Duration = Duration::from_millis(200);

/// Height of the timeline below every page, in points.
const TIMELINE: f32 = 50.0;

/// The window on one project.
#[derive(Debug)]
pub struct Window<S: Subject> {
    history: History<S, Edit>,
    state: UiState,
    worker: Worker<(S, Choice), Screen>,
    screen: Screen,
    /// The generation that the results on screen belong to, which may be older than the newest.
    drawn: u64,
    /// When the newest was asked for.
    asked: Instant,
    /// Results of studies kept from an earlier state while new ones are worked out.
    kept: Kept,
    /// The generation that is shown whole, how long it took, and why it failed if it did.
    shown: (u64, Duration),
    failure: Option<String>,
    filing: Filing<S>,
    figures: Figures,
    commands: Vec<Command>,
}

impl<S: Subject> Window<S> {
    /// A window that draws into the context; the first solution is asked for at once.
    ///
    /// # Errors
    /// [`NoThread`] when the system refuses the thread that solves.
    pub fn new(ctx: &Context, start: Start<S>) -> Result<Self, NoThread> {
        look::install(ctx);
        let waker = ctx.clone();
        let worker = Worker::start(
            "heatledger-solve",
            |(subject, choice): (S, Choice), cancelled, so_far| subject.screen(&choice, cancelled, so_far),
            move || waker.request_repaint(),
        )?;
        let study = study_of(start.page, &TradesForm::default());
        let choice = start.subject.choices().settle(&Choice { study, ..start.choice });
        let mut window = Self {
            history: History::new(start.subject),
            state: UiState { page: start.page, choice, ..UiState::default() },
            worker,
            screen: Screen::default(),
            drawn: 0,
            asked: Instant::now(),
            kept: Kept::default(),
            shown: (0, Duration::ZERO),
            failure: None,
            filing: Filing::start(ctx, start.files, start.origin)?,
            figures: Figures::default(),
            commands: Vec::new(),
        };
        set_theme(ctx, start.theme);
        window.solve();
        Ok(window)
    }

    /// The results on screen.
    pub fn screen(&self) -> &Screen {
        &self.screen
    }

    /// The page on screen.
    pub fn page(&self) -> Page {
        self.state.page
    }

    /// The choice on screen.
    pub fn choice(&self) -> &Choice {
        &self.state.choice
    }

    /// What is typed at an address and was not taken.
    pub fn typed(&self, path: &str) -> Option<&str> {
        self.state.drafts.get(path).map(|draft| draft.text.as_str())
    }

    /// The snapshot that is shown and edited.
    pub fn subject(&self) -> &S {
        self.history.current()
    }

    /// Whether the results on screen belong to the newest edit.
    pub fn is_settled(&self) -> bool {
        self.shown.0 == self.worker.newest()
    }

    /// Whether everything that was asked for has been worked out, and not been stopped before.
    pub fn is_complete(&self) -> bool {
        self.is_settled() && self.screen.work.is_none()
    }

    /// Whether the results on screen belong to an earlier state of the project.
    pub fn is_stale(&self) -> bool {
        let is_kept = match self.state.page {
            Page::Turnaround => self.kept.turnaround,
            Page::Failures => self.kept.failures,
            _ => false,
        };
        let is_of_before = self.screen.has_one_case && self.state.page == Page::Margins;
        self.drawn > 0 && self.drawn != self.worker.newest() || is_kept || is_of_before
    }

    /// Whether the results on screen, whole or not, belong to the newest edit.
    pub fn is_drawn_anew(&self) -> bool {
        self.drawn == self.worker.newest()
    }

    /// Stops what is being worked on.
    fn stop(&mut self) {
        if !self.is_settled() {
            self.state.choice.is_stopped = true;
            self.worker.stop();
        }
    }

    /// What was stopped is worked on from now on, with the next request.
    fn resume(&mut self) {
        self.state.choice.is_stopped = false;
    }

    fn solve(&mut self) {
        self.asked = Instant::now();
        self.worker.request((self.history.current().clone(), self.state.choice.clone()));
    }

    /// Takes over a result; one that answers an older request is dropped, its successor is on the way.
    fn collect(&mut self) {
        let Some(done) = self.worker.take() else { return };
        if done.generation != self.worker.newest() {
            return;
        }
        if done.is_whole {
            self.shown = (done.generation, done.elapsed);
        }
        match done.result {
            Ok(Screen { refused: Some(reason), .. }) => self.take_back(reason),
            Ok(screen) if screen.has_nothing_but_work() && self.drawn > 0 => {
                self.screen.work = screen.work;
                self.failure = None;
            }
            Ok(screen) => {
                self.drawn = done.generation;
                self.show(screen);
                self.failure = None;
            }
            Err(message) => self.failure = Some(message),
        }
    }

    /// Takes back the edit that led to a state that cannot stand; what was typed stays in its field, with the reason.
    fn take_back(&mut self, reason: String) {
        let Some(edit) = self.history.withdraw() else {
            self.failure = Some(reason);
            return;
        };
        self.filing.tell(Standing::Short, format!("Taken back: {edit}. {reason}"));
        if let Edit::Set { path, text, .. } = edit {
            self.state.drafts.insert(path, Draft { text, problem: Some(reason) });
        }
        self.solve();
    }

    /// Puts results on screen; a study that is still being worked on keeps its old ones.
    fn show(&mut self, screen: Screen) {
        let old = std::mem::replace(&mut self.screen, screen);
        if self.screen.has_one_case && self.screen.header.project == old.header.project {
            self.screen.header.worst = old.header.worst;
            self.screen.margins = old.margins;
            self.screen.levers = old.levers;
        }
        let is_open = self.screen.work.is_some();
        self.kept = Kept {
            turnaround: is_open && self.screen.turnaround.is_none() && old.turnaround.is_some(),
            failures: is_open && self.screen.failures.is_none() && old.failures.is_some(),
        };
        if self.kept.turnaround {
            self.screen.turnaround = old.turnaround;
        }
        if self.kept.failures {
            self.screen.failures = old.failures;
        }
    }

    /// Applies one command. Everything that changes the project or the window goes through here.
    pub fn apply(&mut self, ctx: &Context, command: Command) {
        match command {
            Command::Show(page) => self.show_page(page),
            Command::Undo => self.step_history(History::undo),
            Command::Redo => self.step_history(History::redo),
            Command::ChooseVariant(variant) => self.choose(&Choice { variant, ..self.state.choice.clone() }),
            Command::ChooseCondition(condition) => {
                let case = CaseName { condition, ..self.state.choice.case.clone() };
                self.choose(&Choice { case, ..self.state.choice.clone() });
            }
            Command::ChooseCase(case) => self.choose(&Choice { case, ..self.state.choice.clone() }),
            Command::StepCase(step) => self.step_case(step),
            Command::JumpTo { case, time_s } => {
                let time_s = time_s.unwrap_or(self.state.choice.time_s);
                self.choose(&Choice { case, time_s, ..self.state.choice.clone() });
            }
            Command::ShowStrip(name) => self.state.strip = Some(name),
            Command::StepStrip(step) => self.step_strip(step),
            Command::FlyLevers(place) => {
                self.choose(&Choice { study: Study::FlownLevers(place), ..self.state.choice.clone() });
            }
            Command::Ask(question) => {
                self.resume();
                self.state.trades.asked = question.clone();
                self.choose(&Choice { study: Study::Trades(question), ..self.state.choice.clone() });
                if self.is_settled() && self.screen.work.is_some() {
                    // the same question again after it was stopped
                    self.solve();
                }
            }
            Command::KeepVariant(name) => self.keep_variant(&name),
            Command::SelectDevice(name) => self.mark(name),
            Command::SelectFailure(name) => self.state.failure = Some(name),
            Command::SelectMachine(key) => self.state.machine = Some(key),
            Command::SetTime(time) => self.set_time(time),
            Command::StepTime(steps) => self.step_time(steps),
            Command::StepEvent(step) => self.step_event(step),
            Command::Compare(compared) => self.choose(&Choice { compared, ..self.state.choice.clone() }),
            Command::ViewTime(part) => {
                self.state.shown_time = part.map_or(ShownTime::Whole, |(from, to)| ShownTime::Part(from, to));
            }
            Command::ViewFlight => self.state.shown_time = ShownTime::Flight,
            Command::Stop => self.stop(),
            Command::GoOn => {
                self.resume();
                self.solve();
            }
            Command::Edit { path, text } => self.edit(path, text),
            Command::Step { path, text, is_new } => self.step_input(path, text, is_new),
            Command::EditVariantOnly(is_variant_only) => {
                self.state.drafts.reach.is_variant_only = is_variant_only;
            }
            Command::DropOwn(path) => self.drop_own(path),
            Command::Revise(revision) => self.revise(&revision),
            Command::Device(command) => self.apply_to_device(ctx, command),
            Command::PasteDevice(text) => self.paste_device(&text),
            Command::Table(command) => self.apply_to_table(ctx, command),
            Command::File(command) => self.apply_file(ctx, command),
            Command::CopyTable => {
                let explained = match &self.state.overlay {
                    Some(Overlay::Explanation(key)) => self.screen.explanations.get(key).map(explanation),
                    _ => None,
                };
                let page = || page_text(&self.screen, self.state.page, self.state.strip.as_deref());
                if let Some(text) = explained.or_else(page) {
                    ctx.copy_text(text);
                }
            }
            Command::Open(overlay) => {
                self.close_overlay();
                self.state.wanted.clear();
                if let Overlay::Levels(device) = &overlay {
                    let described = Some(device.clone());
                    self.choose(&Choice { described, ..self.state.choice.clone() });
                }
                self.state.overlay = Some(overlay);
            }
            Command::DismissTip(page) => {
                self.keep_tips(|dismissed| dismissed.extend([page.label().to_owned()]));
            }
            Command::ShowTips(true) => self.keep_tips(Dismissed::clear),
            Command::ShowTips(false) => {
                let all = Page::ALL.map(|page| page.label().to_owned());
                self.keep_tips(|dismissed| dismissed.extend(all));
            }
            Command::CloseOverlay if self.state.overlay.is_none() => self.stop(),
            Command::CloseOverlay => self.close_overlay(),
            Command::Theme(choice) => set_theme(ctx, choice),
            Command::Quit => self.quit(ctx),
        }
    }

    fn keep_tips(&mut self, change: impl FnOnce(&mut Dismissed)) {
        let mut dismissed = self.state.tips.take().unwrap_or_default();
        change(&mut dismissed);
        self.filing.keep_tips(dismissed.clone());
        self.state.tips = Some(dismissed);
    }

    fn show_page(&mut self, page: Page) {
        if page != self.state.page {
            self.resume();
        }
        self.state.page = page;
        let study = study_of(page, &self.state.trades);
        if study == Study::Cases {
            // What is on screen holds without it; the next edit does not work it out again.
            self.state.choice.study = study;
        } else {
            self.choose(&Choice { study, ..self.state.choice.clone() });
        }
    }

    /// Asks for the levers of the cell that the page Margins is at.
    fn follow_cell(&mut self, ctx: &Context) {
        if self.state.page != Page::Margins {
            return;
        }
        let Some(place) = cell_of(&self.screen.margins, self.state.cell.as_ref()) else { return };
        let flown = Study::FlownLevers(place.clone());
        let study = Study::Levers(place);
        if self.state.choice.study != study && self.state.choice.study != flown {
            self.choose(&Choice { study, ..self.state.choice.clone() });
            ctx.request_repaint();
        }
    }

    fn choose(&mut self, wanted: &Choice) {
        let settled = self.history.current().choices().settle(wanted);
        if settled != self.state.choice {
            self.state.choice = settled;
            self.solve();
        }
    }

    fn step_history(&mut self, step: impl Fn(&mut History<S, Edit>) -> bool) {
        if step(&mut self.history) {
            self.resume();
            self.state.drafts.clear();
            self.state.choice = self.history.current().choices().settle(&self.state.choice);
            self.solve();
        }
    }

    fn step_case(&mut self, step: i32) {
        let choices = self.history.current().choices();
        let cases: Vec<&CaseName> = choices.cases_at(&self.state.choice.case.condition).collect();
        let shown = |case: &&&CaseName| ***case == self.state.choice.case;
        if let Some(case) = neighbour(cases.iter(), shown, step) {
            self.choose(&Choice { case: (*case).clone(), ..self.state.choice.clone() });
        }
    }

    fn step_strip(&mut self, step: i32) {
        let names: Vec<&String> = self.screen.strips.iter().map(|page| &page.strip.name).collect();
        let shown = self.state.strip.as_ref().or(names.first().copied());
        let next = neighbour(names.iter(), |name| Some(**name) == shown, step).map(|name| (*name).clone());
        self.state.strip = next.or(self.state.strip.take());
    }

    /// The time of the mission on screen.
    pub fn time_view(&self) -> TimeView {
        let mission = self.screen.mission.as_deref();
        let end_s = mission.map_or(0.0, |mission| mission.end_s);
        let whole = TimeView { end_s, part_s: None, cursor_s: 0.0 };
        let cursor_s = whole.held(self.state.choice.time_s);
        let part_s = match self.state.shown_time {
            // The moment that every page shows must not lie outside what is shown without being asked for.
            ShownTime::Flight => {
                mission.and_then(|m| m.flight_end_s()).filter(|end| cursor_s <= *end).map(|end| (0.0, end))
            }
            ShownTime::Whole => None,
            ShownTime::Part(from, to) => Some((from, to)),
        };
        TimeView { end_s, part_s: part_s.and_then(|part| whole.fitted(part)), cursor_s }
    }

    fn set_time(&mut self, time_s: f64) {
        let time_s = self.time_view().held(time_s);
        self.choose(&Choice { time_s, ..self.state.choice.clone() });
    }

    fn step_time(&mut self, steps: i32) {
        let view = self.time_view();
        let (from, to) = view.range();
        self.set_time(view.cursor_s + f64::from(steps) * 0.02 * (to - from));
    }

    fn step_event(&mut self, step: i32) {
        let from = self.time_view().cursor_s;
        let found = self.screen.mission.as_ref().and_then(|mission| mission.event_beside(from, step));
        if let Some(time) = found.map(|event| event.time_s) {
            self.set_time(time);
        }
    }

    /// The snapshot with an input set, and what that is called. A value that the variant on screen has of its own is changed there;
    /// any other in the base design, or in the variant only where that was asked for.
    fn set(&self, path: &str, text: &str) -> Result<S, String> {
        let (subject, choice) = (self.history.current(), &self.state.choice);
        if self.is_own_edit(path) {
            subject.edited_in_variant(choice, path, text)
        } else {
            subject.edited(choice, path, text)
        }
    }

    /// Whether an edit of an input changes the variant on screen only.
    fn is_own_edit(&self, path: &str) -> bool {
        let reach = &self.state.drafts.reach;
        let is_variant = self.is_of_variant();
        is_variant && (reach.is_variant_only || self.history.current().owns(&self.state.choice, path))
    }

    /// Whether a variant is shown, and not the base design.
    fn is_of_variant(&self) -> bool {
        let base = self.history.current().choices().variants.first();
        base.is_some_and(|base| *base != self.state.choice.variant)
    }

    /// An input set: while a variant is shown it says where it went.
    fn setting(&self, path: &str, text: &str) -> Edit {
        let went = match (self.is_of_variant(), self.is_own_edit(path)) {
            (false, _) => Went::Here,
            (true, true) => Went::IntoVariant(self.state.choice.variant.clone()),
            (true, false) => Went::IntoBase,
        };
        Edit::Set { path: path.to_owned(), text: text.to_owned(), went }
    }

    /// Takes the value of the base design in the place of the variant's own.
    fn drop_own(&mut self, path: String) {
        match self.history.current().without_own(&self.state.choice, &path) {
            Ok(subject) => {
                self.resume();
                self.state.drafts.remove(&path);
                let variant = self.state.choice.variant.clone();
                self.history.push(subject, Edit::DropOwn { path, variant });
                self.solve();
            }
            Err(reason) => {
                let text = self.state.drafts.get(&path).map_or_else(String::new, |draft| draft.text.clone());
                self.state.drafts.insert(path, Draft { text, problem: Some(reason) });
            }
        }
    }

    /// A step of a gesture; the field shows its text until the gesture ends.
    fn step_input(&mut self, path: String, text: String, is_new: bool) {
        self.resume();
        match self.set(&path, &text) {
            Ok(subject) => {
                if is_new {
                    self.history.end_gesture();
                }
                let edit = self.setting(&path, &text);
                self.history.push_gesture(subject, edit, format!("step {path}"));
                self.solve();
            }
            Err(reason) => {
                self.state.drafts.insert(path, Draft { text, problem: Some(reason) });
            }
        }
    }

    fn edit(&mut self, path: String, text: String) {
        self.resume();
        let edit = self.setting(&path, &text);
        if self.history.to_undo() == Some(&edit) {
            // the end of a gesture whose last step it was
            self.state.drafts.remove(&path);
            self.history.end_gesture();
            return;
        }
        match self.set(&path, &text) {
            Ok(subject) => {
                self.state.drafts.remove(&path);
                self.history.push(subject, edit);
                self.solve();
            }
            Err(reason) => {
                self.state.drafts.insert(path, Draft { text, problem: Some(reason) });
            }
        }
    }

    fn mark(&mut self, name: String) {
        if self.state.device.as_ref() != Some(&name) {
            self.state.revising = Revising::default();
        }
        self.state.device = Some(name);
    }

    /// The devices of the loop or duct on screen.
    fn devices(&self) -> Option<&DeviceTable> {
        let shown = self.state.strip.as_deref();
        let strips = &self.screen.strips;
        let page = strips.iter().find(|page| Some(page.strip.name.as_str()) == shown).or(strips.first())?;
        Some(&page.table)
    }

    /// Does something to the marked device; without one, the first is marked.
    fn apply_to_device(&mut self, ctx: &Context, command: DeviceCommand) {
        if self.state.page != Page::Loops {
            return;
        }
        let Some(table) = self.devices() else { return };
        let rows: Vec<(String, String)> =
            table.rows.iter().map(|r| (r.name.clone(), r.path.clone())).collect();
        let Some(first) = rows.first() else { return };
        let Some((name, path)) = rows.iter().find(|(name, _)| Some(name) == self.state.device.as_ref())
        else {
            self.mark(first.0.clone());
            return;
        };
        let step = match command {
            DeviceCommand::Next => 1,
            DeviceCommand::Previous => -1,
            DeviceCommand::Copy => {
                match self.history.current().device_text(path) {
                    Ok(text) => ctx.copy_text(text),
                    Err(reason) => self.state.revising.refused = Some(reason),
                }
                return;
            }
            DeviceCommand::Paste => {
                ctx.send_viewport_cmd(egui::ViewportCommand::RequestPaste);
                return;
            }
            DeviceCommand::Levels => {
                let overlay = Overlay::Levels(name.clone());
                self.commands.push(Command::Open(overlay));
                return;
            }
            DeviceCommand::Rename => {
                self.state.revising = Revising { name: Some(name.clone()), refused: None };
                return;
            }
            _ => 0,
        };
        match command.revision(path) {
            Some(revision) => self.revise(&revision),
            None => {
                if let Some((next, _)) = neighbour(rows.iter(), |(known, _)| known == name, step) {
                    self.mark(next.clone());
                }
            }
        }
    }

    /// What is marked or shown goes by its new name; what is new is shown.
    fn follow_revision(&mut self, revision: &Revision) {
        match revision {
            Revision::Rename { path, to } => {
                let (to, old) = (to.trim().to_owned(), path.rsplit('.').next().unwrap_or_default());
                for shown in [&mut self.state.strip, &mut self.state.device] {
                    if shown.as_deref() == Some(old) {
                        *shown = Some(to.clone());
                    }
                }
                if self.state.names.chosen.as_ref() == Some(path) {
                    let owner = path.strip_suffix(old).unwrap_or_default();
                    self.state.names.chosen = Some(format!("{owner}{to}"));
                }
            }
            Revision::AddLoop { name, .. } | Revision::AddDuct(name) => self.state.strip = Some(name.clone()),
            _ => {}
        }
    }

    /// Puts the device of the clipboard behind the marked one.
    fn paste_device(&mut self, text: &str) {
        let table = self.devices();
        let marked =
            table.and_then(|table| table.rows.iter().find(|r| Some(&r.name) == self.state.device.as_ref()));
        let Some(after) = marked.map(|row| row.path.clone()) else {
            let reason = "mark the device behind which it goes first".to_owned();
            self.state.revising.refused = Some(reason);
            return;
        };
        match self.history.current().device_from(text) {
            Ok(device) => self.revise(&Revision::Insert { after, device }),
            Err(reason) => self.state.revising.refused = Some(reason),
        }
    }

    /// The clipboard belongs to the marked device on the page Loops while no text is typed and nothing is over the page.
    fn read_clipboard(&mut self, ctx: &Context) {
        let is_here = self.state.page == Page::Loops && self.state.overlay.is_none();
        if !is_here || ctx.text_edit_focused() {
            return;
        }
        let found = ctx.input_mut(|input| {
            let is_ours = |event: &egui::Event| matches!(event, egui::Event::Copy | egui::Event::Paste(_));
            let at = input.events.iter().position(is_ours)?;
            Some(input.events.remove(at))
        });
        match found {
            Some(egui::Event::Copy) if self.state.device.is_some() => {
                self.commands.push(Command::Device(DeviceCommand::Copy));
            }
            Some(egui::Event::Paste(text)) => self.commands.push(Command::PasteDevice(text)),
            _ => {}
        }
    }

    fn revise(&mut self, revision: &Revision) {
        if let Some(reason) = self.is_hidden(revision) {
            self.state.revising.refused = Some(reason);
            return;
        }
        let went = if self.is_of_variant() { Went::IntoBase } else { Went::Here };
        match self.history.current().revised(revision) {
            Ok(subject) => {
                self.resume();
                self.state.drafts.clear();
                self.state.revising = Revising::default();
                self.follow_revision(revision);
                self.history.push(subject, Edit::Revise { revision: Box::new(revision.clone()), went });
                self.state.choice = self.history.current().choices().settle(&self.state.choice);
                self.solve();
            }
            Err(reason) => self.state.revising.refused = Some(reason),
        }
    }

    /// Why a change of the base design would not be seen in the variant on screen: the variant gives the thing itself.
    pub(super) fn is_hidden(&self, revision: &Revision) -> Option<String> {
        let subject = self.history.current();
        let choice = &self.state.choice;
        let own = revision.paths().into_iter().find(|path| subject.owns(choice, path));
        own.filter(|_| self.is_of_variant()).map(|path| {
            format!(
                "{path} is the own one of the variant {}, and this would change the base design; show the base design to change \
                 it there, or change the variant in the file",
                choice.variant
            )
        })
    }

    /// Adds the design on the page Trades as a variant, and shows it.
    fn keep_variant(&mut self, name: &str) {
        let picked = self.state.trades.picked;
        let found = self.screen.trades.as_ref().and_then(|trades| trades.proposals.get(picked).cloned());
        let Some((_, proposal)) = found else { return };
        match self.history.current().with_variant(&proposal, name) {
            Ok(subject) => {
                self.resume();
                self.state.trades.name.clear();
                self.state.trades.name_refused = None;
                self.history.push(subject, Edit::KeepVariant(name.to_owned()));
                // beside the others, which is what is asked next
                self.state.trades.asked = Question::Variants;
                self.state.trades.sort = Sort::Variants;
                let study = Study::Trades(Question::Variants);
                let wanted = Choice { variant: name.to_owned(), study, ..self.state.choice.clone() };
                self.state.choice = self.history.current().choices().settle(&wanted);
                self.solve();
            }
            Err(reason) => self.state.trades.name_refused = Some(reason),
        }
    }

    /// Shortcuts, from the one list of commands. While a text is being typed, undo belongs to the text.
    fn read_keys(&mut self, ctx: &Context) {
        let is_typing = ctx.text_edit_focused();
        let mut commands: Vec<Command> =
            Command::plain().into_iter().filter(|command| command.shortcut().is_some()).collect();
        // Ctrl+Shift+Z must be looked for before Ctrl+Z, which it contains.
        commands.sort_by_key(|command| !command.shortcut().is_some_and(|keys| keys.modifiers.shift));
        for command in commands {
            let is_of_text = matches!(
                command,
                Command::Undo
                    | Command::Redo
                    | Command::CloseOverlay
                    | Command::StepTime(_)
                    | Command::StepEvent(_)
                    | Command::ViewTime(_)
                    | Command::Device(_)
            );
            // Escape in a field drops its text: it is taken from the field only while something can be closed.
            let stops = self.screen.work.is_some() && !self.is_settled() && !egui::Popup::is_any_open(ctx);
            let closes_nothing = command == Command::CloseOverlay && self.state.overlay.is_none() && !stops;
            if (is_typing && is_of_text) || closes_nothing {
                continue;
            }
            if let Some(keys) = command.shortcut()
                && ctx.input_mut(|input| input.consume_shortcut(&keys))
            {
                self.commands.push(command);
            }
        }
    }

    fn header_ui(&mut self, ui: &mut Ui) {
        let progress = match (self.is_settled(), &self.screen.work) {
            (true, None) => Progress::Current(self.shown.1),
            (true, Some(_)) => Progress::Incomplete,
            (false, _) => Progress::Solving,
        };
        let state = HeaderState {
            choices: self.history.current().choices(),
            choice: &self.state.choice,
            undo: self.history.to_undo().map(ToString::to_string),
            redo: self.history.to_redo().map(ToString::to_string),
            is_unsaved: self.history.is_unsaved(),
            origin: &self.filing.origin,
            recent: &self.filing.recent,
            progress,
        };
        header_ui(ui, &self.screen.header, &state, &mut self.commands);
        let colors = look::palette(ui);
        for problem in [self.screen.header.outcome.as_ref(), self.failure.as_ref()].into_iter().flatten() {
            ui.label(egui::RichText::new(problem).color(colors.bad));
        }
    }

    /// What is to be said above a page about how whole and how new its results are.
    fn state_ui(&mut self, ui: &mut Ui) {
        if self.state.page == Page::Trades {
            // told beside the answer, so that the question stays where it is
            return;
        }
        let long = [Page::Margins, Page::Mission, Page::Turnaround, Page::Failures];
        let is_settled = self.is_settled();
        let since = self.asked.elapsed();
        if !is_settled && since < NOTICED {
            ui.ctx().request_repaint_after(NOTICED.saturating_sub(since));
        }
        let is_stale = self.is_stale() && (is_settled || since >= NOTICED);
        let work = self.screen.work.as_ref().filter(|_| long.contains(&self.state.page));
        let state = WorkState { work, is_running: !is_settled, is_stale };
        work_ui(ui, &state, &mut self.commands);
        if is_stale {
            ui.multiply_opacity(0.6);
        }
    }

    fn page_ui(&mut self, ui: &mut Ui) {
        let (view, is_complete) = (self.time_view(), self.is_complete());
        let (is_settled, is_stale) = (self.is_settled(), self.is_stale());
        let choices = self.history.current().choices();
        let missions: Vec<CaseName> =
            choices.missions_at(&self.state.choice.case.condition).cloned().collect();
        let shown = match &self.screen.mission {
            Some(_) => format!("{}, at {}", self.state.choice.case, clock(view.cursor_s)),
            None => self.state.choice.case.to_string(),
        };
        let (screen, state, commands) = (&self.screen, &mut self.state, &mut self.commands);
        let colors = look::palette(ui);
        match state.page {
            page if is_empty(screen, page, is_complete) => {
                look::sheet(colors).show(ui, |ui| {
                    empty_ui(ui, page, is_complete, &[], commands);
                    ui.allocate_space(ui.available_size());
                });
            }
            Page::Loops => {
                let mut components: Vec<&str> =
                    screen.temperatures.rows.iter().map(|row| row.component.as_str()).collect();
                components.dedup();
                loops_ui(
                    ui,
                    &screen.strips,
                    state.strip.as_deref(),
                    state.device.as_deref(),
                    (&mut state.drafts, &mut state.revising),
                    &components,
                    commands,
                );
            }
            Page::Temperatures => {
                look::sheet(colors).show(ui, |ui| {
                    temperatures_ui(ui, &screen.temperatures, &shown, commands);
                });
            }
            Page::Margins => {
                // The grid first and its levers below it, also for the keys.
                let mut grid = ui.available_rect_before_wrap();
                grid.max.y -= levers::HEIGHT + look::space::STEP;
                let mut upper = ui.new_child(egui::UiBuilder::new().max_rect(grid));
                look::sheet(colors).show(&mut upper, |ui| {
                    let case = &state.choice.case;
                    margins_ui(ui, &screen.margins, case, (&mut state.margins, &mut state.cell), commands);
                    ui.allocate_space(ui.available_size());
                });
                let place = cell_of(&screen.margins, state.cell.as_ref());
                let sheet = look::sheet(colors);
                Panel::bottom("levers").frame(sheet).exact_size(levers::HEIGHT).resizable(false).show(
                    ui,
                    |ui| {
                        let levers = screen.levers.as_deref();
                        let is_flying = matches!(state.choice.study, Study::FlownLevers(_)) && !is_settled;
                        levers_ui(ui, levers, (place.as_ref(), is_flying), &mut state.drafts, commands);
                    },
                );
            }
            Page::Mission => {
                let cases: Vec<CaseName> = choices.missions().cloned().collect();
                let compare = Compare { choice: &state.choice, variants: &choices.variants, cases: &cases };
                let mission = screen.mission.as_deref();
                mission_ui(ui, mission, &missions, &compare, &view, &mut state.drafts, commands);
            }
            Page::Turnaround => {
                if let Some(data) = screen.turnaround.as_deref() {
                    turnaround_ui(ui, data, commands);
                }
            }
            Page::Failures => {
                if let Some(data) = screen.failures.as_deref() {
                    failures_ui(ui, data, state.failure.as_deref(), commands);
                }
            }
            Page::Machines | Page::Pack => {
                let is_pack = state.page == Page::Pack;
                let machines: Vec<&MachineData> =
                    screen.machines.iter().filter(|machine| machine.is_pack == is_pack).collect();
                let shown = state.machine.as_deref();
                let edits = (&mut state.drafts, state.revising.refused.as_ref());
                machines_ui(ui, state.page.label(), &machines, shown, edits, commands);
            }
            Page::Trades => {
                let data = screen.trades.as_deref();
                let work = WorkState { work: screen.work.as_ref(), is_running: !is_settled, is_stale };
                let shown = TradesState { data, variant: &state.choice.variant, work };
                trades_ui(ui, shown, &mut state.trades, commands);
            }
            Page::Ledger => {
                look::sheet(colors).show(ui, |ui| {
                    ledger_ui(ui, &screen.ledger, &shown);
                });
            }
        }
    }

    fn overlay_ui(&mut self, ctx: &Context) {
        let Some(overlay) = self.state.overlay.clone() else { return };
        let losses = self.losses();
        let named = match &overlay {
            Overlay::Levels(name) => format!("Levels of {name}"),
            Overlay::Table => self
                .state
                .table
                .as_ref()
                .map_or_else(String::new, |edit| format!("Table {}", edit.table.path)),
            _ => String::new(),
        };
        let (title, width) = match &overlay {
            Overlay::Duty(name) => (name.as_str(), 760.0),
            Overlay::Levels(_) => (named.as_str(), 860.0),
            Overlay::Begin => ("Begin a new aircraft", 640.0),
            Overlay::Demos => ("New from a demo", 560.0),
            Overlay::Table => (named.as_str(), 760.0),
            Overlay::Names => ("Names", 720.0),
            Overlay::TypedPath(Wanted::Table) => ("Load a table", 560.0),
            Overlay::TypedPath(Wanted::Open) => ("Open a project", 560.0),
            Overlay::TypedPath(Wanted::Save) => ("Save the project", 560.0),
            Overlay::TypedPath(Wanted::Figure) => ("Save the figure", 560.0),
            Overlay::Unsaved => ("Edits are not saved", 420.0),
            Overlay::Exists(_) => ("Replace a file?", 480.0),
            Overlay::ChangedByOthers(_) => ("The file has changed", 480.0),
            Overlay::Findings => (self.filing.findings.what.as_str(), 640.0),
            Overlay::About => ("About", 640.0),
            Overlay::Keys => ("Commands and keys", 640.0),
            Overlay::Guide => ("Guide", 640.0),
            Overlay::Find => ("Find", 560.0),
            Overlay::Explanation(key) => {
                let found = self.screen.explanations.get(key);
                (found.map_or("No explanation in this case", |e| e.title.as_str()), 520.0)
            }
        };
        let mut is_open = true;
        egui::Window::new(title)
            // one that is wide leaves no narrow one behind it wide
            .id(egui::Id::unique(("overlay", width as i32)))
            .open(&mut is_open)
            .collapsible(false)
            .resizable(false)
            .default_width(width)
            .max_height(ctx.content_rect().height() - 120.0)
            .anchor(egui::Align2::CENTER_CENTER, [0.0, 0.0])
            .show(ctx, |ui| {
                ui.set_width(width);
                if overlay.is_question() {
                    // Tab stays among the answers
                    ctx.memory_mut(|memory| memory.set_modal_layer(ui.layer_id()));
                }
                let height = ctx.content_rect().height() - 300.0;
                match &overlay {
                    Overlay::Duty(name) => duty_ui(ui, &self.screen.strips, name),
                    Overlay::Levels(name) => {
                        let levels = self.screen.levels.as_deref().filter(|levels| levels.device == *name);
                        let refused = self.state.revising.refused.as_ref();
                        device_levels_ui(ui, levels, refused, height, &mut self.commands);
                    }
                    Overlay::Names => {
                        let names = &mut self.state.names;
                        let revision = Some(self.history.revision());
                        if names.revision != revision {
                            names.revision = revision;
                            names.things = self.history.current().things();
                        }
                        let refused = self.state.revising.refused.as_ref();
                        names_ui(ui, names, refused, height, &mut self.commands);
                    }
                    Overlay::Table => match &mut self.state.table {
                        Some(edit) => table_ui(ui, edit, height + 180.0, &mut self.commands),
                        None => self.commands.push(Command::CloseOverlay),
                    },
                    Overlay::Begin => begin_ui(ui, &mut self.state.begin, &mut self.commands),
                    Overlay::Demos => demos_ui(ui, &self.filing.settings.demos, &mut self.commands),
                    Overlay::TypedPath(wanted) => {
                        typed_path_ui(ui, *wanted, &mut self.filing.typed, &mut self.commands);
                    }
                    Overlay::Unsaved => unsaved_ui(ui, &self.filing.origin, losses, &mut self.commands),
                    Overlay::Exists(path) => exists_ui(ui, path, &mut self.commands),
                    Overlay::ChangedByOthers(path) => changed_ui(ui, path, &mut self.commands),
                    Overlay::Findings => findings_ui(ui, &self.filing.findings, height),
                    Overlay::About => about_ui(ui),
                    Overlay::Keys => keys_ui(ui),
                    Overlay::Guide => guide_ui(ui, &mut self.commands),
                    Overlay::Find => {
                        find_ui(ui, &places(&self.screen), &mut self.state.wanted, &mut self.commands);
                    }
                    Overlay::Explanation(key) => match self.screen.explanations.get(key) {
                        Some(found) => explanation_ui(ui, found, &mut self.commands),
                        None => {
                            ui.label("This number is not part of the case on screen.");
                        }
                    },
                }
            });
        if !is_open {
            self.commands.push(Command::CloseOverlay);
        }
    }
}

impl<S: Subject> eframe::App for Window<S> {
    fn logic(&mut self, ctx: &Context, _frame: &mut eframe::Frame) {
        self.collect();
        self.read_keys(ctx);
        self.read_clipboard(ctx);
        self.collect_files(ctx);
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        let variant = self.is_of_variant().then(|| self.state.choice.variant.clone());
        self.state.drafts.reach.variant = variant;
        self.state.drafts.reach.own = Arc::clone(&self.screen.own);
        let colors = look::palette(ui);
        let bar = egui::Frame::new().fill(colors.page).inner_margin(Margin::symmetric(12, 8));
        Panel::top("header").frame(bar).show(ui, |ui| self.header_ui(ui));
        let notices = Notices {
            origin: &self.filing.origin,
            leftovers: &self.filing.leftovers,
            changed: self.filing.changed,
            notice: self.filing.notice.as_ref(),
        };
        if !notices.is_empty() {
            let strip = egui::Frame::new().fill(colors.sheet).inner_margin(Margin::symmetric(12, 4));
            Panel::top("notices").frame(strip).show(ui, |ui| notices_ui(ui, &notices, &mut self.commands));
        }
        let rail = egui::Frame::new().fill(colors.page).inner_margin(Margin::symmetric(8, 10));
        Panel::left("rail").frame(rail).exact_size(look::space::RAIL).resizable(false).show(ui, |ui| {
            rail_ui(ui, self.state.page, &mut self.commands);
        });
        // The page is drawn before the timeline below it, so that the keys come to both in the order of reading.
        let mut area = ui.available_rect_before_wrap();
        let mission = self.screen.mission.clone();
        if mission.is_some() {
            area.max.y -= TIMELINE;
        }
        let page = egui::Frame::new().fill(colors.page).inner_margin(Margin::same(10));
        let mut upper = ui.new_child(egui::UiBuilder::new().max_rect(area));
        CentralPanel::default().frame(page).show(&mut upper, |ui| {
            self.state_ui(ui);
            reach_ui(ui, &self.state.drafts.reach, &mut self.commands);
            if let Some(dismissed) = &self.state.tips {
                tip_ui(ui, self.state.page, dismissed, &mut self.commands);
            }
            self.page_ui(ui);
        });
        if let Some(mission) = mission {
            let view = self.time_view();
            let strip = egui::Frame::new().fill(colors.page).inner_margin(Margin::symmetric(12, 6));
            let panel = Panel::bottom("timeline").frame(strip).exact_size(TIMELINE).resizable(false);
            panel.show_separator_line(false).show(ui, |ui| {
                timeline_ui(ui, &mission, &view, &mut self.commands);
            });
        }
        self.overlay_ui(&ctx);
        focus_ring_ui(&ctx);
        drop_target_ui(ui);
        self.follow_cell(&ctx);
        self.collect_figures(&ctx);
        for command in std::mem::take(&mut self.commands) {
            self.apply(&ctx, command);
            // What it changed is shown at once, not at the next movement of the mouse.
            ctx.request_repaint();
        }
    }
}

/// The cell that the keys are at; the worst one before they were anywhere.
fn cell_of(grid: &MarginGrid, cell: Option<&MarginPlace>) -> Option<MarginPlace> {
    grid.find(cell).and_then(|at| grid.place(at))
}

/// Frames what has the keys, the same for everything that can have them.
fn focus_ring_ui(ctx: &Context) {
    let Some(response) = ctx.memory(|memory| memory.focused()).and_then(|id| ctx.read_response(id)) else {
        return;
    };
    let colors = look::of_theme(ctx.theme());
    let place = response.interact_rect.expand(1.5);
    let painter = ctx.layer_painter(response.layer_id).with_clip_rect(place.expand(1.5));
    let stroke = egui::Stroke::new(1.5, colors.accent);
    painter.rect_stroke(place, egui::CornerRadius::same(3), stroke, egui::StrokeKind::Middle);
}

/// Whether a page has nothing to show; the pages Loops and Mission say more about what is next.
fn is_empty(screen: &Screen, page: Page, is_complete: bool) -> bool {
    match page {
        Page::Loops => screen.strips.is_empty() && !is_complete,
        Page::Mission | Page::Trades => false,
        Page::Temperatures => screen.temperatures.rows.is_empty(),
        Page::Margins => screen.margins.rows.is_empty(),
        Page::Ledger => screen.ledger.generated.is_empty() && screen.ledger.rejected.is_empty(),
        Page::Turnaround => screen.turnaround.as_ref().is_none_or(|data| data.options.is_empty()),
        Page::Failures => screen.failures.as_ref().is_none_or(|data| data.rows.is_empty()),
        Page::Machines => screen.machines.iter().all(|machine| machine.is_pack),
        Page::Pack => screen.machines.iter().all(|machine| !machine.is_pack),
    }
}

/// What a page needs besides the cases.
fn study_of(page: Page, trades: &TradesForm) -> Study {
    match page {
        Page::Trades => Study::Trades(trades.asked.clone()),
        Page::Turnaround => Study::Turnaround,
        Page::Failures => Study::Failures,
        _ => Study::Cases,
    }
}

fn set_theme(ctx: &Context, choice: ThemeChoice) {
    ctx.set_theme(match choice {
        ThemeChoice::System => ThemePreference::System,
        ThemeChoice::Light => ThemePreference::Light,
        ThemeChoice::Dark => ThemePreference::Dark,
    });
}

/// The item some steps away from the one that is shown, around the ends.
fn neighbour<T>(
    items: impl ExactSizeIterator<Item = T>,
    is_shown: impl Fn(&T) -> bool,
    step: i32,
) -> Option<T> {
    let mut all: Vec<T> = items.collect();
    let at = all.iter().position(is_shown)?;
    let next = (i64::try_from(at).ok()? + i64::from(step)).rem_euclid(i64::try_from(all.len()).ok()?);
    Some(all.swap_remove(usize::try_from(next).ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stepping_goes_around_the_ends() {
        let items = ["a", "b", "c"];
        let step = |from: &str, by| neighbour(items.iter(), |item| **item == from, by).copied();
        assert_eq!((step("a", 1), step("c", 1), step("a", -1)), (Some("b"), Some("a"), Some("c")));
        assert_eq!(step("x", 1), None);
        assert_eq!(neighbour([0_i32; 0].iter(), |_| true, 1), None);
    }
}
