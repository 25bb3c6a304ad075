//! Search by name: devices, inputs, components, limits and cases, and where each is shown.

use egui::{Id, Key, RichText, ScrollArea, TextEdit, Ui};

use crate::command::Command;
use crate::look;
use crate::views::figure::follow_focus;

/// The matches that are listed at most; more words leave fewer.
const LISTED: usize = 40;

/// Something that can be searched for.
#[derive(Debug, Clone, PartialEq)]
pub struct Hit {
    /// Its name.
    pub name: String,
    /// What it is and where.
    pub what: String,
    /// What shows it.
    pub commands: Vec<Command>,
}

/// The places that hold every word: the one of that very name in front, then those that begin with it.
pub fn matches<'a>(places: &'a [Hit], wanted: &str) -> Vec<&'a Hit> {
    let wanted = wanted.to_lowercase();
    let words: Vec<&str> = wanted.split_whitespace().collect();
    let holds = |place: &&Hit| {
        let text = format!("{} {}", place.name, place.what).to_lowercase();
        words.iter().all(|word| text.contains(word))
    };
    let mut found: Vec<&Hit> = places.iter().filter(holds).collect();
    let phrase = wanted.trim();
    found.sort_by_key(|place| {
        let name = place.name.to_lowercase();
        let first = words.first().copied().unwrap_or_default();
        (name != phrase, !name.starts_with(phrase), !name.starts_with(first))
    });
    found
}

/// Draws the search: Enter goes to the first match, Tab to the others.
pub fn find_ui(ui: &mut Ui, places: &[Hit], wanted: &mut String, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    let label = ui.label("Name of a device, input, component or case");
    let edit = TextEdit::singleline(wanted).id(Id::unique("wanted")).desired_width(f32::INFINITY);
    let response = ui.add(edit).labelled_by(label.id);
    let found = matches(places, wanted);
    let mut chosen = None;
    if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
        chosen = found.first().copied();
    } else if ui.memory(|memory| memory.focused().is_none()) {
        response.request_focus();
    }
    let count = match found.len() {
        0 => "no name contains these words".to_owned(),
        n if n > LISTED => format!("{n} matches, the first {LISTED} are listed"),
        n => format!("{n} matches"),
    };
    ui.label(RichText::new(count).color(colors.soft).small());
    ScrollArea::vertical().max_height(360.0).auto_shrink([false, false]).show(ui, |ui| {
        for place in found.iter().take(LISTED) {
            ui.horizontal(|ui| {
                if ui.button(&place.name).clicked() {
                    chosen = Some(*place);
                }
                ui.label(RichText::new(&place.what).color(colors.soft).small());
            });
        }
        follow_focus(ui);
    });
    if let Some(place) = chosen {
        commands.extend(place.commands.iter().cloned());
        commands.push(Command::CloseOverlay);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_must_be_there_and_beginnings_come_first() {
        let place =
            |name: &str, what: &str| Hit { name: name.into(), what: what.into(), commands: Vec::new() };
        let all = [
            place("stator feed", "hose in stator"),
            place("feed", "hose in oil"),
            place("cells", "component"),
        ];
        let names =
            |wanted: &str| matches(&all, wanted).iter().map(|p| p.name.clone()).collect::<Vec<String>>();
        assert_eq!(names("feed"), ["feed", "stator feed"]);
        assert_eq!(names("HOSE stator"), ["stator feed"]);
        assert_eq!(names("stator f"), ["stator feed"]);
        assert!(names("pump").is_empty());
        assert_eq!(names("").len(), 3);
    }
}
