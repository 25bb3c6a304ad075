//! Work that takes its time: how far it is, how to stop it, and what that leaves.

use egui::{Button, Label, ProgressBar, RichText, Ui};

use session::Work;

use crate::command::Command;
use crate::look;
use crate::views::figure::hatch;

/// What is to be said about the results of a page.
#[derive(Debug, Clone, Copy)]
pub struct WorkState<'a> {
    /// The work that is not done.
    pub work: Option<&'a Work>,
    /// Whether it goes on.
    pub is_running: bool,
    /// Whether what is on screen belongs to an earlier state of the project.
    pub is_stale: bool,
}

/// The line above a page whose results are not whole or not new; nothing where they are both.
pub fn work_ui(ui: &mut Ui, state: &WorkState<'_>, commands: &mut Vec<Command>) {
    if state.work.is_none() && !state.is_stale {
        return;
    }
    let colors = look::palette(ui);
    let drawn = look::sheet(colors).show(ui, |ui| {
        ui.horizontal(|ui| {
            if state.is_stale {
                let text = RichText::new("Out of date: from before the last change").color(colors.warn);
                ui.label(text).on_hover_text("New numbers replace them as soon as they are ready");
            }
            let Some(work) = state.work else { return };
            if state.is_running {
                ui.add(ProgressBar::new(work.share()).desired_width(140.0).desired_height(10.0));
                let now = if work.now.is_empty() { String::new() } else { format!("; now {}", work.now) };
                let stop = Command::Stop;
                if ui.button(stop.label()).on_hover_text(format!("{}  Esc", stop.tooltip())).clicked() {
                    commands.push(stop);
                }
                ui.add(Label::new(format!("{}{now}", work.count())).truncate());
            } else {
                let go_on = Command::GoOn;
                if ui.add(Button::new(go_on.label())).on_hover_text(go_on.tooltip()).clicked() {
                    commands.push(go_on);
                }
                let text = format!("Incomplete: {}; the others were stopped", work.count());
                ui.add(Label::new(RichText::new(text).color(colors.warn)).truncate());
            }
        });
    });
    if state.is_stale || !state.is_running {
        // Not by colour and words alone.
        let rect = drawn.response.rect;
        hatch(ui.painter(), rect.with_max_x(rect.left() + 8.0), colors.warn);
    }
    ui.add_space(look::space::STEP);
}
