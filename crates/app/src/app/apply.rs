//! One place for every command: what changes the project or the window goes through here.

use egui::{Context, ThemePreference};
use model::case_name::CaseName;
use session::{Choice, Question, Session, Study};

use super::Window;
use super::state::{cell_of, study_of};
use crate::command::{Command, Overlay, Page, ThemeChoice};
use crate::copy::{explanation, page_text};
use crate::views::time::ShownTime;
use crate::views::tips::Dismissed;

impl Window {
    /// Applies one command. Everything that changes the project or the window goes through here.
    pub fn apply(&mut self, ctx: &Context, command: Command) {
        match command {
            Command::Show(page) => self.show_page(page),
            Command::Undo => self.step_history(Session::undo),
            Command::Redo => self.step_history(Session::redo),
            Command::ChooseVariant(variant) => {
                self.session.choose(&Choice { variant, ..self.session.choice().clone() });
            }
            Command::ChooseCondition(condition) => {
                let case = CaseName { condition, ..self.session.choice().case.clone() };
                self.session.choose(&Choice { case, ..self.session.choice().clone() });
            }
            Command::ChooseCase(case) => {
                self.session.choose(&Choice { case, ..self.session.choice().clone() });
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
            Command::Ask(question) => self.ask(question),
            Command::KeepVariant(name) => self.keep_variant(&name),
            Command::SelectDevice(name) => self.mark(name),
            Command::SelectFailure(name) => self.state.failure = Some(name),
            Command::SelectMachine(key) => self.state.machine = Some(key),
            Command::SetTime(time) => self.set_time(time),
            Command::StepTime(steps) => self.step_time(steps),
            Command::StepEvent(step) => self.step_event(step),
            Command::Compare(compared) => {
                self.session.choose(&Choice { compared, ..self.session.choice().clone() });
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
                self.state.drafts.scope.is_variant_only = is_variant_only;
            }
            Command::DropOwn(path) => self.drop_own(path),
            Command::Revise(revision) => self.revise(&revision),
            Command::Device(command) => self.apply_to_device(ctx, command),
            Command::PasteDevice(text) => self.paste_device(&text),
            Command::Table(command) => self.apply_to_table(ctx, command),
            Command::File(command) => self.apply_file(ctx, command),
            Command::CopyTable => self.copy_table(ctx),
            Command::Open(overlay) => self.open_overlay(overlay),
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

    fn ask(&mut self, question: Question) {
        self.session.resume();
        self.state.trades.asked = question.clone();
        self.session.choose(&Choice { study: Study::Trades(question), ..self.session.choice().clone() });
        if self.is_settled() && self.screen.extent.work().is_some() {
            // the same question again after it was stopped
            self.session.ask();
        }
    }

    fn copy_table(&self, ctx: &Context) {
        let explained = match &self.state.overlay {
            Some(Overlay::Explanation(key)) => self.screen.explanations.get(key).map(explanation),
            _ => None,
        };
        let page = || page_text(&self.screen, self.state.page, self.state.strip.as_deref());
        if let Some(text) = explained.or_else(page) {
            ctx.copy_text(text);
        }
    }

    fn open_overlay(&mut self, overlay: Overlay) {
        self.close_overlay();
        self.state.wanted.clear();
        if let Overlay::Levels(device) = &overlay {
            let described = Some(device.clone());
            self.session.choose(&Choice { described, ..self.session.choice().clone() });
        }
        self.state.overlay = Some(overlay);
    }

    pub(super) fn keep_tips(&mut self, change: impl FnOnce(&mut Dismissed)) {
        let mut dismissed = self.state.tips.take().unwrap_or_default();
        change(&mut dismissed);
        self.filing.keep_tips(dismissed.clone());
        self.state.tips = Some(dismissed);
    }

    pub(super) fn show_page(&mut self, page: Page) {
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
    pub(super) fn follow_cell(&mut self, ctx: &Context) {
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
}

pub(super) fn set_theme(ctx: &Context, choice: ThemeChoice) {
    ctx.set_theme(match choice {
        ThemeChoice::System => ThemePreference::System,
        ThemeChoice::Light => ThemePreference::Light,
        ThemeChoice::Dark => ThemePreference::Dark,
    });
}
