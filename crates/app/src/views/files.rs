//! What the window says and asks about files.

use std::path::{Path, PathBuf};

use egui::{
    Align, Button, Id, Key, Label, Layout, RichText, ScrollArea, Sense, TextEdit, Ui, Vec2,
    epaint::StrokeKind,
    text::{CCursor, CCursorRange},
};

use session::Finding;

use crate::command::{Command, FileCommand};
use crate::files::{Demo, Leftover, Origin, Refusal, Wanted};
use crate::look;
use crate::views::figure::Sign;

/// Something to be known that stays until it is dismissed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// How grave it is: its shape and colour.
    pub sign: Sign,
    /// The sentence.
    pub text: String,
    /// Whether there are mistakes or warnings to be shown one by one.
    pub has_findings: bool,
}

/// What the strip below the header may have to say.
#[derive(Debug)]
pub struct Notices<'a> {
    /// The project on screen.
    pub origin: &'a Origin,
    /// The copies that crashes left.
    pub leftovers: &'a [Leftover],
    /// Whether another program has changed the open file, or taken it away (true).
    pub changed: Option<bool>,
    /// What else is to be known.
    pub notice: Option<&'a Notice>,
}

impl Notices<'_> {
    /// Whether there is nothing to say.
    pub fn is_empty(&self) -> bool {
        self.leftovers.is_empty() && self.changed.is_none() && self.notice.is_none()
    }
}

/// Draws a row for each thing to be known, with what can be done about it.
pub fn notices_ui(ui: &mut Ui, notices: &Notices<'_>, commands: &mut Vec<Command>) {
    // More than a few would push the page away; the others follow when these are settled.
    for leftover in notices.leftovers.iter().take(3) {
        let text = format!(
            "The program ended with unsaved edits in {}; a recovery copy was saved {}.",
            leftover.origin.name(),
            leftover.age()
        );
        let answers = [FileCommand::Recover(leftover.clone()), FileCommand::Discard(leftover.clone())];
        row_ui(ui, Sign::Warn, &text, &answers, commands);
    }
    if let Some(is_gone) = notices.changed {
        let name = notices.origin.name();
        if is_gone {
            let text = format!("{name} no longer exists; saving will write it again.");
            row_ui(ui, Sign::Warn, &text, &[FileCommand::Save, FileCommand::KeepHere], commands);
        } else {
            let text = format!("{name} was changed by another program.");
            row_ui(ui, Sign::Warn, &text, &[FileCommand::ReadAgain, FileCommand::KeepHere], commands);
        }
    }
    if let Some(notice) = notices.notice {
        let answers: &[FileCommand] = if notice.has_findings {
            &[FileCommand::ShowFindings, FileCommand::Dismiss]
        } else {
            &[FileCommand::Dismiss]
        };
        row_ui(ui, notice.sign, &notice.text, answers, commands);
    }
}

fn row_ui(ui: &mut Ui, sign: Sign, text: &str, answers: &[FileCommand], commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(Vec2::new(12.0, look::space::ROW), Sense::empty());
        sign.paint(ui.painter(), rect.center(), colors);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            for answer in answers.iter().rev() {
                command_ui(ui, Command::File(answer.clone()), commands);
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let label = Label::new(RichText::new(text).color(sign.ink(colors)));
                ui.add(label.truncate()).on_hover_text(text);
            });
        });
    });
}

/// A button of a command.
fn command_ui(ui: &mut Ui, command: Command, commands: &mut Vec<Command>) {
    if ui.button(command.label()).on_hover_text(command.tooltip()).clicked() {
        commands.push(command);
    }
}

/// Draws the menu of the project: open, save, recent files.
pub fn project_menu_ui(ui: &mut Ui, origin: &Origin, recent: &[PathBuf], commands: &mut Vec<Command>) {
    let response = ui.menu_button("Project", |ui| {
        ui.set_min_width(230.0);
        for command in [FileCommand::BeginNew, FileCommand::New, FileCommand::Open, FileCommand::OpenTyped] {
            entry_ui(ui, command, None, commands);
        }
        recent_ui(ui, recent, commands);
        ui.separator();
        let again = origin.path().is_none().then_some("The project has not been saved to a file yet");
        for command in [FileCommand::Save, FileCommand::SaveAs, FileCommand::SaveTyped] {
            entry_ui(ui, command, None, commands);
        }
        entry_ui(ui, FileCommand::ReadAgain, again, commands);
    });
    response.response.on_hover_text("Open, save, recent files");
}

fn entry_ui(ui: &mut Ui, command: FileCommand, why_not: Option<&str>, commands: &mut Vec<Command>) {
    let command = Command::File(command);
    let keys = command.shortcut().map(|keys| ui.ctx().format_shortcut(&keys)).unwrap_or_default();
    let button = Button::new(command.label()).shortcut_text(keys).frame(false);
    let response = ui.add_enabled(why_not.is_none(), button).on_hover_text(command.tooltip());
    if response.on_disabled_hover_text(why_not.unwrap_or_default()).clicked() {
        commands.push(command);
        ui.close();
    }
}

fn recent_ui(ui: &mut Ui, recent: &[PathBuf], commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    if recent.is_empty() {
        return;
    }
    ui.separator();
    ui.label(RichText::new("Recent files").color(colors.soft).small());
    for path in recent {
        let command = Command::File(FileCommand::OpenPath(path.clone()));
        let twice = recent.iter().filter(|other| other.file_name() == path.file_name()).count() > 1;
        let folder = path.parent().and_then(Path::file_name).map(|name| name.to_string_lossy().into_owned());
        let folder = folder.filter(|_| twice).unwrap_or_default();
        let button = Button::new(command.label()).shortcut_text(folder).frame(false).truncate();
        if ui.add(button).on_hover_text(command.tooltip()).clicked() {
            commands.push(command);
            ui.close();
        }
    }
}

/// Draws the demo projects to begin with.
pub fn demos_ui(ui: &mut Ui, demos: &[Demo], commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.label("Start from a copy of one of these invented projects, and save it under your own name.");
    if demos.is_empty() {
        ui.label(RichText::new("There is none in this program.").color(colors.soft));
    }
    for demo in demos {
        ui.add_space(look::space::NEAR);
        let command = Command::File(FileCommand::Begin(demo.name.to_owned()));
        ui.horizontal(|ui| {
            let button = Button::new(command.label()).min_size(Vec2::new(150.0, 26.0));
            if ui.add(button).on_hover_text(command.tooltip()).clicked() {
                commands.push(command.clone());
            }
            ui.add(Label::new(RichText::new(demo.summary).color(colors.soft)).wrap());
        });
    }
}

/// A path that is being typed.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TypedPath {
    /// The text.
    pub text: String,
    /// Whether the field has been given the keys.
    pub has_begun: bool,
}

/// Draws the field for a path. Enter takes it.
pub fn typed_path_ui(ui: &mut Ui, wanted: Wanted, typed: &mut TypedPath, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    let id = Id::unique("typed path");
    let label = ui.label(match wanted {
        Wanted::Figure => "Path of the figure",
        Wanted::Table => "Path of the table",
        Wanted::Open | Wanted::Save => "Path of the project",
    });
    let mut output = TextEdit::singleline(&mut typed.text).id(id).desired_width(f32::INFINITY).show(ui);
    let response = output.response.response.labelled_by(label.id);
    if !typed.has_begun {
        typed.has_begun = true;
        response.request_focus();
        // The whole path is marked, so that typing replaces it.
        let all = CCursorRange::two(CCursor::new(0), CCursor::new(typed.text.chars().count()));
        output.state.cursor.set_char_range(Some(all));
        output.state.store(ui.ctx(), id);
    }
    let hint = match wanted {
        Wanted::Open => {
            "A file such as ~/aircraft/tug.ron; a relative path begins where the program was started."
        }
        Wanted::Save => {
            "Without an extension, .ron is added; you are asked before an existing file is replaced."
        }
        Wanted::Table => "A file of cells separated by tabs, semicolons or commas, in UTF-8.",
        Wanted::Figure => {
            "The extension decides what is written: .svg a drawing, .png a picture, .csv the numbers. An existing file is not \
            overwritten."
        }
    };
    ui.label(RichText::new(hint).color(colors.soft).small());
    ui.add_space(look::space::STEP);
    let command = Command::File(FileCommand::Typed(wanted, typed.text.clone()));
    let is_entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    ui.horizontal(|ui| {
        let is_typed = !typed.text.trim().is_empty();
        let button = ui.add_enabled(is_typed, Button::new(command.label())).on_hover_text(command.tooltip());
        let button = button.on_disabled_hover_text("Type a path first");
        if button.clicked() || (is_entered && is_typed) {
            commands.push(command);
        }
        cancel_ui(ui, commands);
    });
}

fn cancel_ui(ui: &mut Ui, commands: &mut Vec<Command>) {
    if ui.button("Cancel").on_hover_text("Back to the page without changes").clicked() {
        commands.push(Command::CloseOverlay);
    }
}

/// What would be lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Losses {
    /// Whether there are edits that are not saved.
    pub is_unsaved: bool,
    /// How many typed texts were refused.
    pub refused: usize,
}

impl Losses {
    /// Whether there is anything.
    pub fn any(self) -> bool {
        self.is_unsaved || self.refused > 0
    }
}

/// Draws the question before edits are lost.
pub fn unsaved_ui(ui: &mut Ui, origin: &Origin, losses: Losses, commands: &mut Vec<Command>) {
    if losses.refused > 0 {
        let text = "field(s) were not accepted and are not part of the project; they are marked in red.";
        ui.label(format!("{} {text}", losses.refused));
    }
    if !losses.is_unsaved {
        answers_ui(ui, [FileCommand::DropEdits], commands);
        return;
    }
    ui.label(format!("Unsaved edits: {}.", origin.name()));
    ui.label("Save them first?");
    answers_ui(ui, [FileCommand::SaveFirst, FileCommand::DropEdits], commands);
}

/// Draws the question before another file is replaced.
pub fn exists_ui(ui: &mut Ui, path: &Path, commands: &mut Vec<Command>) {
    ui.label(format!("{} is already there.", path.display()));
    ui.label("Its content would be lost.");
    answers_ui(ui, [FileCommand::Replace(path.to_owned()), FileCommand::SaveAs], commands);
}

/// Draws the question before the changes of another program are overwritten.
pub fn changed_ui(ui: &mut Ui, path: &Path, commands: &mut Vec<Command>) {
    ui.label(format!("{} was changed by another program since it was read.", path.display()));
    ui.label("Nothing was written. Saving over it would lose those changes.");
    answers_ui(
        ui,
        [FileCommand::Replace(path.to_owned()), FileCommand::SaveAs, FileCommand::ReadAgain],
        commands,
    );
}

fn answers_ui<const N: usize>(ui: &mut Ui, answers: [FileCommand; N], commands: &mut Vec<Command>) {
    ui.add_space(look::space::STEP);
    ui.horizontal(|ui| {
        for answer in answers {
            command_ui(ui, Command::File(answer), commands);
        }
        cancel_ui(ui, commands);
    });
}

/// Draws what is wrong with a file, in the order of its text.
pub fn findings_ui(ui: &mut Ui, refusal: &Refusal, height: f32) {
    let colors = look::palette(ui);
    if !refusal.why.is_empty() {
        ui.label(&refusal.why);
    }
    if !refusal.findings.is_empty() {
        let errors = refusal.findings.iter().filter(|finding| finding.is_error).count();
        let text = format!("{errors} error(s), {} warning(s)", refusal.findings.len() - errors);
        ui.label(RichText::new(text).color(colors.soft));
        ui.add_space(look::space::NEAR);
        ScrollArea::vertical().max_height(height).auto_shrink([false, true]).show(ui, |ui| {
            for finding in &refusal.findings {
                finding_ui(ui, finding);
            }
        });
    }
    ui.add_space(look::space::STEP);
    ui.label(RichText::new("The project on screen is unchanged.").color(colors.soft).small());
    if ui.button("Copy as text").on_hover_text("Copy all of it to the clipboard").clicked() {
        ui.ctx().copy_text(refusal.text());
    }
}

fn finding_ui(ui: &mut Ui, finding: &Finding) {
    let colors = look::palette(ui);
    let sign = if finding.is_error { Sign::Bad } else { Sign::Warn };
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(Vec2::new(14.0, look::space::ROW - 4.0), Sense::empty());
        sign.paint(ui.painter(), rect.center(), colors);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            let place = [finding.place_text(), finding.path.clone()];
            let place: Vec<String> = place.into_iter().filter(|part| !part.is_empty()).collect();
            let head = format!("{}: {}", finding.word(), place.join(" · "));
            ui.add(Label::new(RichText::new(head).color(sign.ink(colors))).wrap());
            ui.add(Label::new(&finding.message).wrap());
            if !finding.remedy.is_empty() {
                ui.add(Label::new(format!("Remedy: {}", finding.remedy)).wrap());
            }
            if !finding.line.is_empty() {
                let line: String = finding.line.chars().take(110).filter(char::is_ascii).collect();
                ui.label(RichText::new(line).monospace().color(colors.soft));
            }
            ui.add_space(look::space::STEP);
        });
    });
}

/// Draws a frame over the page while a file is held over the window.
pub fn drop_target_ui(ui: &Ui) {
    let is_held = ui.input(|input| !input.raw.hovered_files.is_empty());
    if !is_held {
        return;
    }
    let colors = look::palette(ui);
    let painter =
        ui.ctx().layer_painter(egui::LayerId::new(egui::Order::Foreground, Id::unique("drop target")));
    let rect = ui.ctx().content_rect().shrink(6.0);
    painter.rect_filled(rect, 4.0, colors.sheet.gamma_multiply(0.85));
    painter.rect_stroke(rect, 4.0, egui::Stroke::new(2.0, colors.accent), StrokeKind::Inside);
    let font = egui::FontId::proportional(look::size::LARGE);
    painter.text(rect.center(), egui::Align2::CENTER_CENTER, "Drop to open the project", font, colors.ink);
}
