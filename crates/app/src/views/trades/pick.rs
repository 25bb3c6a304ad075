//! A name out of many: typed, with those that hold every word listed beneath while they are wanted.

use egui::{Key, RichText, ScrollArea, TextEdit, Ui};

use crate::look;

/// Names that are listed at most.
const LISTED: usize = 30;
const HEIGHT: f32 = 150.0;

/// Draws the field; returns the name that was picked. `names` are the names, each with what stands beside it.
pub(super) fn pick_ui<'a>(
    ui: &mut Ui,
    label: &str,
    text: &mut String,
    names: &(impl Iterator<Item = (&'a str, &'a str)> + Clone),
) -> Option<&'a str> {
    let colors = look::palette(ui);
    let title = ui.label(RichText::new(label).color(colors.soft).small());
    let response = ui.add(TextEdit::singleline(text).desired_width(f32::INFINITY)).labelled_by(title.id);
    let is_known = names.clone().any(|(name, _)| name == text.trim());
    let found = || names.clone().filter(|(name, _)| holds(name, text));
    let mut picked = None;
    if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) && !is_known {
        picked = found().next().map(|(name, _)| name);
    }
    if !is_known && !text.trim().is_empty() && picked.is_none() {
        let count = found().count();
        let told = match count {
            0 => "no name contains these words".to_owned(),
            1..=LISTED => format!("{count} found; Enter takes the first"),
            _ => format!("{count} found, {LISTED} listed: add words to narrow it down"),
        };
        ui.label(RichText::new(told).color(colors.soft).small());
        ScrollArea::vertical().id_salt(label).max_height(HEIGHT).show(ui, |ui| {
            for (name, beside) in found().take(LISTED) {
                let button = egui::Button::new(name).truncate();
                if ui.add(button).on_hover_text(format!("{name}\n{beside}")).clicked() {
                    picked = Some(name);
                }
            }
        });
    }
    if let Some(name) = picked {
        name.clone_into(text);
    }
    picked
}

/// Whether a name holds every word of a text, whatever its case.
fn holds(name: &str, text: &str) -> bool {
    let name = name.to_lowercase();
    text.to_lowercase().split_whitespace().all(|word| name.contains(word))
}

#[cfg(test)]
mod tests {
    use super::holds;

    #[test]
    fn every_word_counts() {
        assert!(holds("cores.stator radiator.transfer.height", "Stator height"));
        assert!(!holds("cores.stator radiator.transfer.height", "battery height") && holds("a", ""));
    }
}
