//! The marked device of a loop or duct, and what is done to it.

use aircraft::revise::Revision;
use egui::{Context, ViewportCommand};
use session::snapshot::device_from;

use super::Window;
use super::state::neighbour;
use crate::command::{Command, DeviceCommand, Overlay, Page};
use crate::views::loops::{DeviceTable, Revising};

impl Window {
    pub(super) fn mark(&mut self, name: String) {
        if self.state.device.as_ref() != Some(&name) {
            self.state.revising = Revising::default();
        }
        self.state.device = Some(name);
    }

    /// The devices of the loop or duct on screen.
    pub(super) fn devices(&self) -> Option<&DeviceTable> {
        let shown = self.state.strip.as_deref();
        let strips = &self.screen.strips;
        let page = strips.iter().find(|page| Some(page.strip.name.as_str()) == shown).or(strips.first())?;
        Some(&page.table)
    }

    /// Does something to the marked device; without one, the first is marked.
    pub(super) fn apply_to_device(&mut self, ctx: &Context, command: DeviceCommand) {
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
                ctx.send_viewport_cmd(ViewportCommand::RequestPaste);
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

    /// Puts the device of the clipboard behind the marked one.
    pub(super) fn paste_device(&mut self, text: &str) {
        let table = self.devices();
        let marked =
            table.and_then(|table| table.rows.iter().find(|r| Some(&r.name) == self.state.device.as_ref()));
        let Some(after) = marked.map(|row| row.path.clone()) else {
            let reason = "select the device it is to follow first".to_owned();
            self.state.revising.refused = Some(reason);
            return;
        };
        match device_from(text) {
            Ok(device) => self.revise(&Revision::Insert { after, device }),
            Err(reason) => self.state.revising.refused = Some(reason),
        }
    }
}
