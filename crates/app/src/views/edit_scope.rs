//! What an edit changes while a variant is shown: the base design, or the variant alone.

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::{Button, CursorIcon, Label, Rect, RichText, Role, Sense, StrokeKind, Ui, Vec2, WidgetInfo};

use super::field::InputField;
use crate::command::Command;
use crate::look;

/// What an edit changes.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct EditScope {
    /// Name of the variant on screen; nothing while it is the base design.
    pub variant: Option<String>,
    /// The inputs that the variant gives itself, each with whether it can be dropped.
    pub own: Arc<BTreeMap<String, bool>>,
    /// Whether an edit of any other input becomes a value of the variant too.
    pub is_variant_only: bool,
}

impl EditScope {
    /// What an edit of an input changes, as the end of a tooltip.
    pub fn hover_note(&self, path: &str) -> String {
        let Some(variant) = &self.variant else { return String::new() };
        if self.own.contains_key(path) {
            format!("\n{variant} has its own value here: an edit changes this variant only")
        } else if self.is_variant_only {
            format!("\nAn edit gives {variant} its own value; the base design is unchanged")
        } else {
            "\nAn edit changes the base design and every variant without its own value here".to_owned()
        }
    }
}

/// Above the page: what an edit changes, and the choice.
pub fn edit_scope_ui(ui: &mut Ui, scope: &EditScope, commands: &mut Vec<Command>) {
    let Some(variant) = &scope.variant else { return };
    let colors = look::palette(ui);
    ui.horizontal(|ui| {
        ui.label(RichText::new(format!("Variant {variant}: an edit changes")).color(colors.ink));
        for is_variant_only in [false, true] {
            let command = Command::EditVariantOnly(is_variant_only);
            let button = Button::selectable(scope.is_variant_only == is_variant_only, command.label());
            if ui.add(button).on_hover_text(command.tooltip()).clicked() {
                commands.push(command);
            }
        }
        let (rect, _) = ui.allocate_exact_size(Vec2::new(4.0, 14.0), Sense::empty());
        ui.painter().rect_filled(rect, 1.0, colors.accent);
        let text =
            "marks the variant's own value: edits stay in this variant; click the mark to return to the base design";
        ui.add(Label::new(RichText::new(text).color(colors.soft).small()).truncate()).on_hover_text(text);
    });
    ui.add_space(look::space::NEAR);
}

/// Room inside a field for its mark, in points; none while the base design is shown.
pub(super) fn mark_room(scope: &EditScope) -> i8 {
    if scope.variant.is_some() { 10 } else { 4 }
}

/// At the left edge inside a field while a variant is shown: a filled bar where the value is the variant's own, which drops it if it
/// stands alone; a hollow bar where an edit changes the base design.
pub(super) fn own_value_mark_ui(
    ui: &mut Ui,
    owner: &str,
    (input, field): (&InputField, Rect),
    scope: &EditScope,
    commands: &mut Vec<Command>,
) {
    if scope.variant.is_none() {
        return;
    }
    let colors = look::palette(ui);
    let bar = Rect::from_center_size(field.left_center() + Vec2::new(5.0, 0.0), Vec2::new(4.0, 14.0));
    let Some(can_be_dropped) = scope.own.get(&input.path) else {
        ui.painter().rect_stroke(bar, 1.0, look::hairline(colors.outline), StrokeKind::Inside);
        return;
    };
    ui.painter().rect_filled(bar, 1.0, colors.accent);
    let id = ui.scope_id().with(("own value", &input.path));
    if !can_be_dropped {
        let text = "It is part of a larger change in the variant; an edit changes this variant only";
        ui.interact(bar.expand(3.0), id, Sense::hover()).on_hover_text(text);
        return;
    }
    let response = ui.interact(bar.expand(3.0), id, Sense::click());
    let name = format!("{owner}, {}: own value of this variant", input.label);
    let command = Command::DropOwn(input.path.clone());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let hover = format!("{name}\n{}", command.tooltip());
    if response.on_hover_cursor(CursorIcon::PointingHand).on_hover_text(hover).clicked() {
        commands.push(command);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_field_tells_what_its_edit_changes() {
        let own = Arc::new(BTreeMap::from([("a.b".to_owned(), true)]));
        let mut scope = EditScope { variant: Some("direct drive".to_owned()), own, is_variant_only: false };
        assert!(scope.hover_note("a.b").contains("direct drive has its own value"));
        assert!(scope.hover_note("a.c").contains("changes the base design"));
        scope.is_variant_only = true;
        assert!(scope.hover_note("a.c").contains("gives direct drive its own value"));
        assert_eq!(EditScope::default().hover_note("a.b"), "", "there is nothing to tell in the base design");
    }
}
