//! Everything that has a name: found, renamed with what names it, copied, taken away; what stands in the way is said beforehand.

use aircraft::revise::{Revision, Thing};
use egui::text::{CCursor, CCursorRange};
use egui::{Id, Key, Label, RichText, ScrollArea, TextEdit, Ui};

use crate::command::Command;
use crate::look;
use crate::views::figure::follow_focus;

/// What the user is in the middle of.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Names {
    /// What is searched for.
    pub wanted: String,
    /// Address of the chosen thing.
    pub chosen: Option<String>,
    /// Its new name as far as it is typed.
    pub name: String,
    /// Whether the field of the new name is given the keys.
    pub wants_keys: bool,
    /// The revision of the project that the things belong to.
    pub revision: Option<u64>,
    /// Everything that has a name.
    pub things: Vec<Thing>,
}

/// Things that are listed at once.
const LISTED: usize = 200;

impl Names {
    /// The things that hold every word that is searched for.
    fn found(&self) -> Vec<Thing> {
        let wanted = self.wanted.to_lowercase();
        let words: Vec<&str> = wanted.split_whitespace().collect();
        let holds = |thing: &&Thing| {
            let text = format!("{} {} {}", thing.name, thing.sort, thing.path).to_lowercase();
            words.iter().all(|word| text.contains(word))
        };
        let mut found: Vec<Thing> = self.things.iter().filter(holds).cloned().collect();
        found.sort_by_key(|thing| !thing.name.to_lowercase().starts_with(wanted.trim()));
        found
    }

    fn choose(&mut self, thing: &Thing) {
        self.chosen = Some(thing.path.clone());
        self.name.clone_from(&thing.name);
    }

    /// A name like this one that nothing has.
    fn free(&self, name: &str) -> String {
        let is_free = |name: &String| self.things.iter().all(|thing| thing.name != *name);
        let numbered = (2..=self.things.len() + 2).map(|n| format!("{name} {n}"));
        std::iter::once(name.to_owned()).chain(numbered).find(is_free).unwrap_or_default()
    }
}

/// Draws the list, and what can be done to the chosen thing.
pub fn names_ui(
    ui: &mut Ui,
    names: &mut Names,
    refused: Option<&String>,
    height: f32,
    commands: &mut Vec<Command>,
) {
    let colors = look::palette(ui);
    let label = ui.label("Name or kind of item");
    let field = TextEdit::singleline(&mut names.wanted).id(Id::unique("names")).desired_width(f32::INFINITY);
    let response = ui.add(field).labelled_by(label.id);
    let found = names.found();
    if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
        if let Some(first) = found.first() {
            names.choose(first);
            names.wants_keys = true;
        }
    } else if ui.memory(|memory| memory.focused().is_none()) && names.chosen.is_none() {
        response.request_focus();
    }
    let count = if found.len() > LISTED {
        format!("{} items, the first {LISTED} are listed", found.len())
    } else {
        format!("{} items", found.len())
    };
    ui.label(RichText::new(count).color(colors.soft).small());
    ScrollArea::vertical()
        .id_salt("items")
        .max_height((height - 150.0).max(140.0))
        .auto_shrink([false, true])
        .show(ui, |ui| {
            for thing in found.iter().take(LISTED) {
                ui.horizontal(|ui| {
                    let is_chosen = names.chosen.as_ref() == Some(&thing.path);
                    let text = format!("{}, {}", thing.name, thing.sort);
                    if ui.selectable_label(is_chosen, text).on_hover_text(&thing.path).clicked() {
                        names.choose(thing);
                    }
                    ui.add(Label::new(RichText::new(&thing.path).color(colors.soft).small()).truncate());
                });
            }
            follow_focus(ui);
        });
    ui.separator();
    let chosen = names.things.iter().find(|thing| Some(&thing.path) == names.chosen.as_ref()).cloned();
    match chosen {
        Some(thing) => thing_ui(ui, names, &thing, commands),
        None => {
            ui.label(RichText::new("Choose an item to rename, copy or remove it.").color(colors.soft));
        }
    }
    if let Some(reason) = refused {
        ui.add(Label::new(RichText::new(format!("Not done: {reason}")).color(colors.bad)).wrap());
    }
    ui.horizontal(|ui| {
        let hint = "A lumped temperature with a heat capacity of 1 kJ/K and a link of 1 W/K to the outside air; placeholder \
        values, marked as such";
        if ui.button("Add a component").on_hover_text(hint).clicked() {
            commands.push(Command::Revise(Revision::AddComponent(names.free("component"))));
        }
        let hint = "A belt, rotor gearbox or tail drive between the gearbox and the rotor or propeller, 98 % efficient: placeholders, marked as such";
        if ui.button("Add a stage").on_hover_text(hint).clicked() {
            commands.push(Command::Revise(Revision::AddStage(names.free("stage"))));
        }
        if ui.button("Add a duct").on_hover_text("An air path with inlet and outlet; placeholder values, marked as such").clicked()
        {
            commands.push(Command::Revise(Revision::AddDuct(names.free("duct"))));
        }
    });
}

fn thing_ui(ui: &mut Ui, names: &mut Names, thing: &Thing, commands: &mut Vec<Command>) {
    let colors = look::palette(ui);
    ui.horizontal_wrapped(|ui| {
        let label = ui.label(format!("Name of {}", thing.path));
        let id = Id::unique("name of the item");
        let mut output = TextEdit::singleline(&mut names.name).id(id).desired_width(220.0).show(ui);
        let response = output.response.response.labelled_by(label.id);
        let wants_keys = std::mem::take(&mut names.wants_keys);
        if wants_keys {
            response.request_focus();
        }
        if wants_keys || response.gained_focus() {
            // the whole name is marked, so that typing replaces it
            let all = CCursorRange::two(CCursor::new(0), CCursor::new(names.name.chars().count()));
            output.state.cursor.set_char_range(Some(all));
            output.state.store(ui.ctx(), id);
        }
        let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        let hint = "All references follow: limits, failures, missions, variants";
        if ui.button("Apply name").on_hover_text(hint).clicked()
            || (entered && names.name.trim() != thing.name)
        {
            let (path, to) = (thing.path.clone(), names.name.clone());
            commands.push(Command::Revise(Revision::Rename { path, to }));
        }
        let hint = "Insert a copy after it, with its own names";
        if ui.button("Duplicate").on_hover_text(hint).clicked() {
            commands.push(Command::Revise(Revision::Duplicate(thing.path.clone())));
        }
        let hint = match thing.goes_with.as_slice() {
            [] => "Remove it".to_owned(),
            goes => format!("Remove it, and with it {}", goes.join(", ")),
        };
        if ui.button("Remove").on_hover_text(hint).clicked() {
            commands.push(Command::Revise(removal(thing)));
        }
    });
    let told = |ui: &mut Ui, text: String| {
        ui.add(Label::new(RichText::new(text).color(colors.soft).small()).wrap());
    };
    if !thing.goes_with.is_empty() {
        told(ui, format!("Removing it also removes: {}.", thing.goes_with.join(", ")));
    }
    match thing.named_by.as_slice() {
        [] => told(ui, "Nothing else refers to it.".to_owned()),
        all => {
            let shown: Vec<&str> = all.iter().take(12).map(String::as_str).collect();
            let more = if all.len() > 12 { format!(" and {} more", all.len() - 12) } else { String::new() };
            told(
                ui,
                format!(
                    "Referred to by {}{more}. These follow a new name; those that need it prevent its removal.",
                    shown.join(", ")
                ),
            );
        }
    }
}

/// A loop goes with its cores and the ducts that cooled nothing else.
fn removal(thing: &Thing) -> Revision {
    match thing.path.strip_prefix("loops.") {
        Some(name) if !name.contains('.') => Revision::RemoveLoop(name.to_owned()),
        _ => Revision::Remove(thing.path.clone()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn thing(name: &str, sort: &str, path: &str) -> Thing {
        let (named_by, goes_with) = (Vec::new(), Vec::new());
        Thing { path: path.into(), name: name.into(), sort: sort.into(), named_by, goes_with }
    }

    #[test]
    fn a_name_that_begins_so_comes_first_and_a_loop_goes_as_a_whole() {
        let things =
            vec![thing("long feed", "hose", "loops.a.path.long feed"), thing("feed", "loop", "loops.feed")];
        let names = Names { wanted: "feed".into(), things, ..Names::default() };
        let found = names.found();
        assert_eq!((found[0].name.as_str(), found.len()), ("feed", 2));
        assert_eq!(removal(&found[0]), Revision::RemoveLoop("feed".into()));
        assert_eq!(removal(&found[1]), Revision::Remove("loops.a.path.long feed".into()));
        assert_eq!((names.free("feed"), names.free("duct")), ("feed 2".to_owned(), "duct".to_owned()));
    }
}
