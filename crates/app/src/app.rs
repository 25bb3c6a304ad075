//! The window itself: it draws the newest results, collects what the user does, and applies it after the frame.

mod drawing;
mod figures;
mod filing;
mod tables;

use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

use eframe::egui::{self, CentralPanel, Context, Margin, Panel, ThemePreference, Ui};

use aircraft::revise::Revision;
use model::case_name::CaseName;
use session::snapshot::device_from;
use session::{Choice, Edit, Extent, MarginPlace, NoThread, Question, Session, Snapshot, Study};

use crate::command::{Command, DeviceCommand, Overlay, Page, ThemeChoice};
use crate::copy::{explanation, page_text};
use crate::files::Wanted;
use crate::look;
use crate::screen::{Screen, Screens};
use crate::start::Start;
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
use crate::views::margins::{MarginFilter, MarginGrid, margins_ui};
use crate::views::mission::{Compare, mission_ui, timeline_ui};
use crate::views::names::{Names, names_ui};
use crate::views::rail::rail_ui;
use crate::views::reach::reach_ui;
use crate::views::table::{TableEdit, table_ui};
use crate::views::temperatures::temperatures_ui;
use crate::views::time::{ShownTime, TimeView, clock};
use crate::views::tips::{Dismissed, tip_ui};
use crate::views::trades::{Sort, TradesForm, TradesState, trades_ui};
use crate::views::turnaround::turnaround_ui;
use crate::views::work::{WorkState, work_ui};
use figures::Figures;
use filing::Filing;

/// What the user is in the middle of; never part of the project.
#[derive(Debug, Default)]
struct UiState {
    page: Page,
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
pub struct Window {
    session: Session<Screen>,
    state: UiState,
    screen: Screen,
    /// Results of studies kept from an earlier state while new ones are worked out.
    kept: Kept,
    /// Why the newest results could not be worked out.
    failure: Option<String>,
    filing: Filing,
    figures: Figures,
    commands: Vec<Command>,
}

impl Window {
    /// A window that draws into the context; the first solution is asked for at once.
    ///
    /// # Errors
    /// [`NoThread`] when the system refuses the thread that solves.
    pub fn new(ctx: &Context, start: Start) -> Result<Self, NoThread> {
        look::install(ctx);
        let (waker, screens) = (ctx.clone(), Screens::default());
        let job = move |(snapshot, choice): (Snapshot, Choice),
                        cancelled: &AtomicBool,
                        so_far: &(dyn Fn(Screen) + Sync)| {
            screens.screen(&snapshot, &choice, cancelled, so_far)
        };
        let study = study_of(start.page, &TradesForm::default());
        let choice = Choice { study, ..start.choice };
        let window = Self {
            session: Session::start(start.snapshot, &choice, job, move || waker.request_repaint())?,
            state: UiState { page: start.page, ..UiState::default() },
            screen: Screen::default(),
            kept: Kept::default(),
            failure: None,
            filing: Filing::start(ctx, start.files, start.origin)?,
            figures: Figures::default(),
            commands: Vec::new(),
        };
        set_theme(ctx, start.theme);
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
        self.session.choice()
    }

    /// What is typed at an address and was not taken.
    pub fn typed(&self, path: &str) -> Option<&str> {
        self.state.drafts.get(path).map(|draft| draft.text.as_str())
    }

    /// The snapshot that is shown and edited.
    pub fn snapshot(&self) -> &Snapshot {
        self.session.snapshot()
    }

    /// Whether the results on screen belong to the newest edit.
    pub fn is_settled(&self) -> bool {
        self.session.is_settled()
    }

    /// Whether everything that was asked for has been worked out, and not been stopped before.
    pub fn is_complete(&self) -> bool {
        self.is_settled() && self.screen.extent.work().is_none()
    }

    /// Whether the results on screen belong to an earlier state of the project.
    pub fn is_stale(&self) -> bool {
        let is_kept = match self.state.page {
            Page::Turnaround => self.kept.turnaround,
            Page::Failures => self.kept.failures,
            _ => false,
        };
        let has_one_case = matches!(self.screen.extent, Extent::FirstCase(_));
        let is_of_before = has_one_case && self.state.page == Page::Margins;
        self.session.has_drawn() && !self.session.is_drawn_anew() || is_kept || is_of_before
    }

    /// Whether the results on screen, whole or not, belong to the newest edit.
    pub fn is_drawn_anew(&self) -> bool {
        self.session.is_drawn_anew()
    }

    /// Takes over a result.
    fn collect(&mut self) {
        let Some(result) = self.session.collect() else { return };
        match result {
            Ok(Screen { extent: Extent::Refused(reason), .. }) => self.take_back(reason),
            Ok(Screen { extent: extent @ Extent::Nothing(_), .. }) if self.session.has_drawn() => {
                // what is on screen stays, with what is missing
                self.screen.extent = extent;
                self.failure = None;
            }
            Ok(screen) => {
                self.session.mark_drawn();
                self.show(screen);
                self.failure = None;
            }
            Err(message) => self.failure = Some(message),
        }
    }

    /// Takes back the edit that led to a state that cannot stand; what was typed stays in its field, with the reason.
    fn take_back(&mut self, reason: String) {
        let Some(edit) = self.session.withdraw() else {
            self.failure = Some(reason);
            return;
        };
        self.filing.tell(Standing::Short, format!("Taken back: {edit}. {reason}"));
        if let Edit::Set { path, text, .. } = edit {
            self.state.drafts.insert(path, Draft { text, problem: Some(reason) });
        }
    }

    /// Puts results on screen; a study that is still being worked on keeps its old ones.
    fn show(&mut self, screen: Screen) {
        let old = std::mem::replace(&mut self.screen, screen);
        let has_one_case = matches!(self.screen.extent, Extent::FirstCase(_));
        if has_one_case && self.screen.header.project == old.header.project {
            self.screen.header.worst = old.header.worst;
            self.screen.margins = old.margins;
            self.screen.levers = old.levers;
        }
        let is_open = self.screen.extent.work().is_some();
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
            Command::Undo => self.step_history(Session::undo),
            Command::Redo => self.step_history(Session::redo),
            Command::ChooseVariant(variant) => {
                self.session.choose(&Choice { variant, ..self.session.choice().clone() })
            }
            Command::ChooseCondition(condition) => {
                let case = CaseName { condition, ..self.session.choice().case.clone() };
                self.session.choose(&Choice { case, ..self.session.choice().clone() });
            }
            Command::ChooseCase(case) => {
                self.session.choose(&Choice { case, ..self.session.choice().clone() })
            }
            Command::StepCase(step) => self.step_case(step),
            Command::JumpTo { case, time_s } => {
                let time_s = time_s.unwrap_or(self.session.choice().time_s);
                self.session.choose(&Choice { case, time_s, ..self.session.choice().clone() });
            }
            Command::ShowStrip(name) => self.state.strip = Some(name),
            Command::StepStrip(step) => self.step_strip(step),
            Command::FlyLevers(place) => {
                self.session
                    .choose(&Choice { study: Study::FlownLevers(place), ..self.session.choice().clone() });
            }
            Command::Ask(question) => {
                self.session.resume();
                self.state.trades.asked = question.clone();
                self.session
                    .choose(&Choice { study: Study::Trades(question), ..self.session.choice().clone() });
                if self.is_settled() && self.screen.extent.work().is_some() {
                    // the same question again after it was stopped
                    self.session.ask();
                }
            }
            Command::KeepVariant(name) => self.keep_variant(&name),
            Command::SelectDevice(name) => self.mark(name),
            Command::SelectFailure(name) => self.state.failure = Some(name),
            Command::SelectMachine(key) => self.state.machine = Some(key),
            Command::SetTime(time) => self.set_time(time),
            Command::StepTime(steps) => self.step_time(steps),
            Command::StepEvent(step) => self.step_event(step),
            Command::Compare(compared) => {
                self.session.choose(&Choice { compared, ..self.session.choice().clone() })
            }
            Command::ViewTime(part) => {
                self.state.shown_time = part.map_or(ShownTime::Whole, |(from, to)| ShownTime::Part(from, to));
            }
            Command::ViewFlight => self.state.shown_time = ShownTime::Flight,
            Command::Stop => self.session.stop(),
            Command::GoOn => {
                self.session.resume();
                self.session.ask();
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
                    self.session.choose(&Choice { described, ..self.session.choice().clone() });
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
            Command::CloseOverlay if self.state.overlay.is_none() => self.session.stop(),
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
            self.session.resume();
        }
        self.state.page = page;
        let study = study_of(page, &self.state.trades);
        if study == Study::Cases {
            // What is on screen holds without it; the next edit does not work it out again.
            self.session.drop_study();
        } else {
            self.session.choose(&Choice { study, ..self.session.choice().clone() });
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
        if self.session.choice().study != study && self.session.choice().study != flown {
            self.session.choose(&Choice { study, ..self.session.choice().clone() });
            ctx.request_repaint();
        }
    }

    fn step_history(&mut self, step: impl Fn(&mut Session<Screen>) -> bool) {
        if step(&mut self.session) {
            self.state.drafts.clear();
        }
    }

    fn step_case(&mut self, step: i32) {
        let choices = self.session.snapshot().choices();
        let cases: Vec<&CaseName> = choices.cases_at(&self.session.choice().case.condition).collect();
        let shown = |case: &&&CaseName| ***case == self.session.choice().case;
        if let Some(case) = neighbour(cases.iter(), shown, step) {
            self.session.choose(&Choice { case: (*case).clone(), ..self.session.choice().clone() });
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
        let cursor_s = whole.held(self.session.choice().time_s);
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
        self.session.choose(&Choice { time_s, ..self.session.choice().clone() });
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

    fn edit(&mut self, path: String, text: String) {
        let is_variant_only = self.state.drafts.reach.is_variant_only;
        match self.session.edit(&path, &text, is_variant_only) {
            Ok(()) => {
                self.state.drafts.remove(&path);
            }
            Err(reason) => {
                self.state.drafts.insert(path, Draft { text, problem: Some(reason) });
            }
        }
    }

    /// A step of a gesture; the field shows its text until the gesture ends.
    fn step_input(&mut self, path: String, text: String, is_new: bool) {
        let is_variant_only = self.state.drafts.reach.is_variant_only;
        if let Err(reason) = self.session.step(&path, &text, is_variant_only, is_new) {
            self.state.drafts.insert(path, Draft { text, problem: Some(reason) });
        }
    }

    /// Takes the value of the base design in the place of the variant's own.
    fn drop_own(&mut self, path: String) {
        match self.session.drop_own(&path) {
            Ok(()) => {
                self.state.drafts.remove(&path);
            }
            Err(reason) => {
                let text = self.state.drafts.get(&path).map_or_else(String::new, |draft| draft.text.clone());
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
                match self.session.snapshot().device_text(path) {
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
        match device_from(text) {
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
        match self.session.revise(revision) {
            Ok(()) => {
                self.state.drafts.clear();
                self.state.revising = Revising::default();
                self.follow_revision(revision);
            }
            Err(reason) => self.state.revising.refused = Some(reason),
        }
    }

    /// Adds the design on the page Trades as a variant, and shows it beside the others.
    fn keep_variant(&mut self, name: &str) {
        let picked = self.state.trades.picked;
        let found = self.screen.trades.as_ref().and_then(|trades| trades.proposals.get(picked).cloned());
        let Some((_, proposal)) = found else { return };
        match self.session.keep_variant(&proposal, name) {
            Ok(()) => {
                self.state.trades.name.clear();
                self.state.trades.name_refused = None;
                self.state.trades.asked = Question::Variants;
                self.state.trades.sort = Sort::Variants;
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
            let stops =
                self.screen.extent.work().is_some() && !self.is_settled() && !egui::Popup::is_any_open(ctx);
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
        let progress = match (self.is_settled(), self.screen.extent.work()) {
            (true, None) => Progress::Current(self.session.took()),
            (true, Some(_)) => Progress::Incomplete,
            (false, _) => Progress::Solving,
        };
        let state = HeaderState {
            choices: self.session.snapshot().choices(),
            choice: self.session.choice(),
            undo: self.session.history().to_undo().map(ToString::to_string),
            redo: self.session.history().to_redo().map(ToString::to_string),
            is_unsaved: self.session.history().is_unsaved(),
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
        let since = self.session.waited();
        if !is_settled && since < NOTICED {
            ui.ctx().request_repaint_after(NOTICED.saturating_sub(since));
        }
        let is_stale = self.is_stale() && (is_settled || since >= NOTICED);
        let work = self.screen.extent.work().filter(|_| long.contains(&self.state.page));
        let state = WorkState { work, is_running: !is_settled, is_stale };
        work_ui(ui, &state, &mut self.commands);
        if is_stale {
            ui.multiply_opacity(0.6);
        }
    }

    fn page_ui(&mut self, ui: &mut Ui) {
        let (view, is_complete) = (self.time_view(), self.is_complete());
        let (is_settled, is_stale) = (self.is_settled(), self.is_stale());
        let (choices, choice) = (self.session.snapshot().choices(), self.session.choice());
        let missions: Vec<CaseName> =
            choices.missions_at(&self.session.choice().case.condition).cloned().collect();
        let shown = match &self.screen.mission {
            Some(_) => format!("{}, at {}", self.session.choice().case, clock(view.cursor_s)),
            None => self.session.choice().case.to_string(),
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
                    let case = &choice.case;
                    margins_ui(ui, &screen.margins, case, (&mut state.margins, &mut state.cell), commands);
                    ui.allocate_space(ui.available_size());
                });
                let place = cell_of(&screen.margins, state.cell.as_ref());
                let sheet = look::sheet(colors);
                Panel::bottom("levers").frame(sheet).exact_size(levers::HEIGHT).resizable(false).show(
                    ui,
                    |ui| {
                        let levers = screen.levers.as_deref();
                        let is_flying = matches!(choice.study, Study::FlownLevers(_)) && !is_settled;
                        levers_ui(ui, levers, (place.as_ref(), is_flying), &mut state.drafts, commands);
                    },
                );
            }
            Page::Mission => {
                let cases: Vec<CaseName> = choices.missions().cloned().collect();
                let compare = Compare { choice, variants: &choices.variants, cases: &cases };
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
                let work = WorkState { work: screen.extent.work(), is_running: !is_settled, is_stale };
                let shown = TradesState { data, variant: &choice.variant, work };
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
                        let revision = Some(self.session.history().revision());
                        if names.revision != revision {
                            names.revision = revision;
                            names.things = self.session.snapshot().things();
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

impl eframe::App for Window {
    fn logic(&mut self, ctx: &Context, _frame: &mut eframe::Frame) {
        self.collect();
        self.read_keys(ctx);
        self.read_clipboard(ctx);
        self.collect_files(ctx);
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        let variant = self.session.is_of_variant().then(|| self.session.choice().variant.clone());
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
