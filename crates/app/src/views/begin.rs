//! The questions that a new aircraft begins with, on one page.

use aircraft::starter::{Answers, Cooling, CraftKind, MAX_MOTORS, PackSize, Part, begin, parse_power};
use egui::{Align, Button, Grid, Id, Label, Layout, Response, RichText, TextEdit, Ui, Vec2};

use crate::command::{Command, FileCommand};
use crate::look;

/// Width of the questions, in points.
const QUESTION: f32 = 150.0;

/// The answers as far as they are given.
#[derive(Debug, Clone, PartialEq)]
pub struct AnswersForm {
    answers: Answers,
    /// Power of one motor, as typed.
    power: String,
    /// Pack, as typed.
    pack: String,
    /// Why no project was made of them.
    pub refused: Option<String>,
    has_begun: bool,
}

impl Default for AnswersForm {
    fn default() -> Self {
        Self {
            answers: Answers::default(),
            power: "80 kW".to_owned(),
            pack: "40 kWh".to_owned(),
            refused: None,
            has_begun: false,
        }
    }
}

impl AnswersForm {
    /// The name of the project that answers to these, and what its file holds.
    ///
    /// # Errors
    /// The answer that cannot be, and what could.
    pub fn project(&self) -> Result<(String, Vec<u8>), String> {
        let answers = self.answers().map_err(|error| error.to_string())?;
        let node = begin(&answers).map_err(|error| error.to_string())?;
        Ok((answers.name.trim().to_owned(), project::write(&node).into_bytes()))
    }

    /// Puts the keys on the first answer when the questions are shown next.
    pub fn ask_again(&mut self) {
        self.has_begun = false;
    }

    fn answers(&self) -> Result<Answers, aircraft::starter::AnswersError> {
        let motor_power_w = parse_power(&self.power)?;
        Ok(Answers { motor_power_w, pack: PackSize::parse(&self.pack)?, ..self.answers.clone() })
    }
}

/// What a way of cooling is called in the head of its column.
fn head(cooling: Cooling) -> &'static str {
    match cooling {
        Cooling::OwnLoop => "own loop",
        Cooling::SharedLoop => "shared loop",
        Cooling::Oil => "oil",
        Cooling::Air => "air",
        Cooling::NotCooled => "not cooled",
    }
}

/// Draws the questions; the answers become a project when the button is pressed.
pub fn begin_ui(ui: &mut Ui, form: &mut AnswersForm, commands: &mut Vec<Command>) {
    let before = form.clone();
    ui.label("A few answers give a complete project that can be solved straight away. All other numbers are placeholders, \
    marked as assumed.");
    ui.add_space(look::space::STEP);
    let name = text_ui(ui, "Name", "name of the project", &mut form.answers.name);
    if !form.has_begun {
        form.has_begun = true;
        name.request_focus();
    }
    row_ui(ui, "Kind", |ui| {
        for kind in CraftKind::ALL {
            choice_ui(ui, kind.word(), &mut form.answers.kind, kind);
        }
    });
    row_ui(ui, "Motors", |ui| {
        for count in 1..=MAX_MOTORS {
            choice_ui(ui, &count.to_string(), &mut form.answers.motors, count);
        }
    });
    row_ui(ui, "Drive", |ui| {
        choice_ui(ui, "through a gearbox", &mut form.answers.is_geared, true);
        choice_ui(ui, "direct", &mut form.answers.is_geared, false);
    });
    text_ui(ui, "Power of one motor", "at its shaft, such as 80 kW", &mut form.power);
    text_ui(ui, "Pack", "energy such as 40 kWh, or series x parallel such as 108x42", &mut form.pack);
    ui.add_space(look::space::STEP);
    cooling_ui(ui, &mut form.answers);
    ui.add_space(look::space::STEP);
    if form.answers != before.answers || form.power != before.power || form.pack != before.pack {
        form.refused = None;
    }
    let colors = look::palette(ui);
    if let Some(reason) = &form.refused {
        ui.add(Label::new(RichText::new(format!("Not done: {reason}")).color(colors.bad)).wrap());
    }
    ui.horizontal(|ui| {
        for file in [FileCommand::Make, FileCommand::New] {
            let command = Command::File(file);
            if ui.add(Button::new(command.label())).on_hover_text(command.tooltip()).clicked() {
                commands.push(command);
            }
        }
        if ui.button("Cancel").on_hover_text("Back to the page without changes").clicked() {
            commands.push(Command::CloseOverlay);
        }
    });
}

fn row_ui(ui: &mut Ui, question: &str, answer: impl FnOnce(&mut Ui)) {
    let colors = look::palette(ui);
    ui.horizontal(|ui| {
        ui.allocate_ui_with_layout(
            Vec2::new(QUESTION, look::space::ROW),
            Layout::left_to_right(Align::Center),
            |ui| {
                ui.set_min_width(QUESTION);
                ui.label(RichText::new(question).color(colors.soft));
            },
        );
        answer(ui);
    });
}

fn text_ui(ui: &mut Ui, question: &str, hint: &str, text: &mut String) -> Response {
    let colors = look::palette(ui);
    let row = ui.horizontal(|ui| {
        let label = ui.allocate_ui_with_layout(
            Vec2::new(QUESTION, look::space::ROW),
            Layout::left_to_right(Align::Center),
            |ui| {
                ui.set_min_width(QUESTION);
                ui.label(RichText::new(question).color(colors.soft))
            },
        );
        let edit = TextEdit::singleline(text).id(Id::unique(("answer", question))).desired_width(150.0);
        let response = ui.add(edit).labelled_by(label.inner.id);
        ui.label(RichText::new(hint).color(colors.soft).small());
        response
    });
    row.inner
}

fn choice_ui<T: PartialEq>(ui: &mut Ui, word: &str, chosen: &mut T, value: T) {
    if ui.add(Button::selectable(*chosen == value, word)).clicked() {
        *chosen = value;
    }
}

/// One row for each part, one column for each way.
fn cooling_ui(ui: &mut Ui, answers: &mut Answers) {
    let colors = look::palette(ui);
    ui.label(RichText::new("How is each part cooled?").color(colors.soft));
    Grid::new("ways of cooling").num_columns(6).min_col_width(84.0).show(ui, |ui| {
        ui.label("");
        for cooling in Cooling::ALL {
            ui.label(RichText::new(head(cooling)).color(colors.soft).small())
                .on_hover_text(cooling.summary());
        }
        ui.end_row();
        for part in Part::ALL {
            ui.label(part.word());
            let chosen = answers.cooling(part);
            for cooling in Cooling::ALL {
                let radio = ui.add_enabled_ui(chosen.is_some(), |ui| ui.radio(chosen == Some(cooling), ""));
                let response = radio.inner;
                response.widget_info(|| {
                    let name = format!("{}: {}", part.word(), head(cooling));
                    egui::WidgetInfo::selected(
                        egui::Role::RadioButton,
                        chosen.is_some(),
                        chosen == Some(cooling),
                        name,
                    )
                });
                let response = response.on_hover_text(format!("{}: {}", part.word(), cooling.summary()));
                if response.on_disabled_hover_text("A direct drive has no gearbox").clicked() {
                    answers.set_cooling(part, cooling);
                }
            }
            ui.end_row();
        }
    });
}
