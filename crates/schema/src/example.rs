//! How values may be written: examples for messages and documentation.

use super::shape::{ChoiceSchema, FieldSchema, RecordSchema, Shape, ShapeOf};
use units::{Kind, System, preferred_unit};

/// How a value of that shape may be written, for messages and documentation.
pub fn example(shape: Shape) -> String {
    match shape {
        Shape::Quantity(Kind::Ratio) | Shape::Number => "0.5".to_owned(),
        Shape::Quantity(kind) => format!("\"12 {}\"", preferred_unit(kind, System::Si)),
        Shape::Count => "4".to_owned(),
        Shape::Flag => "true".to_owned(),
        Shape::Text | Shape::Any => "\"text\"".to_owned(),
        Shape::Name => "\"stator\"".to_owned(),
        Shape::Path => "\"loops.stator.path.long hose.length\"".to_owned(),
        Shape::Change => "Set(\"path\", value)".to_owned(),
        Shape::Optional(inner) => example(inner()),
        Shape::List(inner) => format!("[{}]", example(inner())),
        Shape::Group(items) => group_example(items),
        Shape::Curve(x, y) => format!(
            "[({a}, {b}), ({c}, {b}), ..]",
            a = example(Shape::Quantity(x)),
            b = example(Shape::Quantity(y)),
            c = example(Shape::Quantity(x)).replace("12", "24").replace("0.5", "1.0")
        ),
        Shape::Record(record) => record_example(record),
        Shape::Choice(choice) => choice_example(choice),
    }
}

fn group_example(items: &[ShapeOf]) -> String {
    let items: Vec<String> = items.iter().map(|item| example(item())).collect();
    format!("({})", items.join(", "))
}

/// `Name(first required field: .., ..)`.
pub(crate) fn record_example(record: &RecordSchema) -> String {
    format!("{}({})", record.name, first_fields(record))
}

fn first_fields(record: &RecordSchema) -> String {
    let required: Vec<&FieldSchema> = record.fields.iter().filter(|field| field.is_required()).collect();
    let mut text =
        required.iter().take(2).map(|field| format!("{}: ..", field.name)).collect::<Vec<_>>().join(", ");
    if record.fields.len() > required.len().min(2) {
        text.push_str(if text.is_empty() { ".." } else { ", .." });
    }
    text
}

fn choice_example(choice: &ChoiceSchema) -> String {
    match choice.variants.first() {
        Some(variant) => variant
            .content
            .map_or_else(|| variant.name.to_owned(), |content| variant_example(variant.name, content())),
        None => String::new(),
    }
}

/// `Tag(content)`.
pub(crate) fn variant_example(tag: &str, content: Shape) -> String {
    match content {
        Shape::Record(record) => format!("{tag}({})", first_fields(record)),
        Shape::Choice(choice) => {
            format!("{tag}({}(..))", choice.variants.first().map_or("", |variant| variant.name))
        }
        other => format!("{tag}({})", example(other)),
    }
}
