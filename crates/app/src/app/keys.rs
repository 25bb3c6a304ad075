//! Keys and the clipboard, and what has the keys.

use egui::{self, Context};

use super::Window;
use crate::command::{Command, DeviceCommand, Page};
use crate::look;

impl Window {
    /// Shortcuts, from the one list of commands. While a text is being typed, undo belongs to the text.
    pub(super) fn read_keys(&mut self, ctx: &Context) {
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

    /// The clipboard belongs to the marked device on the page Loops while no text is typed and nothing is over the page.
    pub(super) fn read_clipboard(&mut self, ctx: &Context) {
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
}

/// Frames what has the keys, the same for everything that can have them.
pub(super) fn focus_ring_ui(ctx: &Context) {
    let Some(response) = ctx.memory(|memory| memory.focused()).and_then(|id| ctx.read_response(id)) else {
        return;
    };
    let colors = look::of_theme(ctx.theme());
    let place = response.interact_rect.expand(1.5);
    let painter = ctx.layer_painter(response.layer_id).with_clip_rect(place.expand(1.5));
    let stroke = egui::Stroke::new(1.5, colors.accent);
    painter.rect_stroke(place, egui::CornerRadius::same(3), stroke, egui::StrokeKind::Middle);
}
