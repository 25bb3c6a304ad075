//! Documentation of a project file, made from the schema.

use super::example::variant_example;
use super::nearest::listed;
use super::rule::Rule;
use super::shape::{ChoiceSchema, RecordSchema, Shape, reachable};
use std::fmt::Write as _;

pub use super::example::example;

/// What a shape is called, with links to the sections of [`markdown`].
fn called(shape: Shape) -> String {
    match shape {
        Shape::Quantity(kind) => kind.name().to_owned(),
        Shape::Number => "number".to_owned(),
        Shape::Count => "whole number".to_owned(),
        Shape::Flag => "`true` or `false`".to_owned(),
        Shape::Text => "text".to_owned(),
        Shape::Name => "name".to_owned(),
        Shape::Path => "path".to_owned(),
        Shape::Any => "any value".to_owned(),
        Shape::Change => "[change](#variants)".to_owned(),
        Shape::Optional(inner) => called(inner()),
        Shape::List(inner) => format!("list of {}", called(inner())),
        Shape::Group(items) => {
            let items: Vec<String> = items.iter().map(|item| called(item())).collect();
            format!("({})", items.join(", "))
        }
        Shape::Curve(x, y) => format!("curve: {} against {}", y.name(), x.name()),
        Shape::Record(record) => format!("[{0}](#{1})", record.name, record.name.to_lowercase()),
        Shape::Choice(choice) => format!("[{0}](#{1})", choice.name, choice.name.to_lowercase()),
    }
}

/// docs/file-format.md: the notation, and the reference of everything that `root` reaches.
pub fn file_format(root: Option<Shape>) -> String {
    let notation = include_str!("file_format.md");
    match root {
        Some(root) => format!("{notation}\n## Records and choices\n{}", markdown(root)),
        None => notation.to_owned(),
    }
}

/// The reference part of docs/file-format.md: one section for each record and choice that `root` reaches.
pub fn markdown(root: Shape) -> String {
    let mut text = String::new();
    for shape in reachable(root) {
        match shape {
            Shape::Record(record) => record_section(&mut text, record),
            Shape::Choice(choice) => choice_section(&mut text, choice),
            _ => {}
        }
    }
    text
}

fn record_section(text: &mut String, record: &RecordSchema) {
    heading(text, record.name, record.doc);
    text.push_str("| Field | Value | Left out | Must be | Meaning |\n| --- | --- | --- | --- | --- |\n");
    for field in record.fields {
        let left_out = match (field.default, field.is_required()) {
            (Some(default), _) => format!("`{default}`"),
            (None, true) => "required".to_owned(),
            (None, false) => "nothing".to_owned(),
        };
        let rules = words(field.rules);
        let cells = [field.name, &called((field.shape)()), &left_out, &rules, &one_line(field.doc)];
        row(text, &cells.map(escape));
    }
}

fn choice_section(text: &mut String, choice: &ChoiceSchema) {
    heading(text, choice.name, choice.doc);
    if let Some(plain) = choice.plain {
        write_in(text, format_args!("A value without a word before it stands for `{plain}`.\n\n"));
    }
    text.push_str("| Written | Holds | Must be | Meaning |\n| --- | --- | --- | --- |\n");
    for variant in choice.variants {
        let (written, holds) = match variant.content {
            None => (variant.name.to_owned(), String::new()),
            Some(content) => (variant_example(variant.name, content()), called(content())),
        };
        let rules = words(variant.rules);
        row(text, &[format!("`{written}`"), holds, rules, one_line(variant.doc)].map(|cell| escape(&cell)));
    }
}

fn words(rules: &[Rule]) -> String {
    rules.iter().copied().map(Rule::words).collect::<Vec<_>>().join(", ")
}

fn heading(text: &mut String, name: &str, doc: &str) {
    let doc = doc.lines().map(str::trim).collect::<Vec<_>>().join("\n");
    write_in(text, format_args!("\n### {name}\n\n{}\n\n", doc.trim()));
}

fn row<S: AsRef<str>>(text: &mut String, cells: &[S]) {
    for cell in cells {
        write_in(text, format_args!("| {} ", cell.as_ref()));
    }
    text.push_str("|\n");
}

fn write_in(text: &mut String, part: std::fmt::Arguments<'_>) {
    text.write_fmt(part).expect("writing to a string cannot fail");
}

fn one_line(doc: &str) -> String {
    doc.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn escape(cell: &str) -> String {
    cell.replace('|', "\\|")
}

/// Defaults of all fields that `root` reaches which do not fit their field; empty if all is well.
/// For a test beside the declarations.
pub fn misfit_defaults(root: Shape) -> Vec<String> {
    let mut misfits = Vec::new();
    for shape in reachable(root) {
        let Shape::Record(record) = shape else { continue };
        for field in record.fields {
            let Some(node) = field.default_node() else { continue };
            if !fits(&node, (field.shape)(), field.rules) {
                misfits.push(format!(
                    "{}.{}: {}",
                    record.name,
                    field.name,
                    field.default.unwrap_or_default()
                ));
            }
        }
    }
    misfits
}

fn fits(node: &super::Node, shape: Shape, rules: &[Rule]) -> bool {
    let mut silent = super::Decoder::new();
    match shape {
        Shape::Quantity(kind) => super::input::decode_quantity(node, kind, &mut silent)
            .is_some_and(|quantity| rules.iter().all(|rule| rule.check_quantity(&quantity).is_none())),
        Shape::Optional(inner) => node.tag() == Some("None") || fits(node, inner(), rules),
        Shape::Choice(choice) => super::variant_of(node, choice, &mut silent).is_some_and(|name| {
            let variant = choice.variants.iter().find(|variant| variant.name == name);
            variant.is_some_and(|variant| {
                let keeps = |rules| variant.content.is_none_or(|content| fits(node, content(), rules));
                keeps(rules) && keeps(variant.rules)
            })
        }),
        Shape::Count | Shape::Number => matches!(&node.tree, super::Tree::Number { value, .. }
            if rules.iter().all(|rule| rule.check_number(*value).is_none())
                && (matches!(shape, Shape::Number) || (value.fract() == 0.0 && *value >= 0.0))),
        Shape::Flag => matches!(node.tree, super::Tree::Flag(_)),
        Shape::Text | Shape::Name | Shape::Path => node.as_text().is_some(),
        Shape::List(_) => matches!(node.tree, super::Tree::List(_)),
        Shape::Record(record) => {
            node.tag().is_none()
                && node.field("").is_none()
                && record.fields.iter().all(|field| !field.is_required())
        }
        Shape::Any => true,
        Shape::Group(_) | Shape::Curve(..) | Shape::Change => false,
    }
}

/// Names of the fields or variants that may stand at a shape, for completion.
pub fn completions(shape: Shape) -> Vec<&'static str> {
    match shape {
        Shape::Record(record) => record.fields.iter().map(|field| field.name).collect(),
        Shape::Choice(choice) => choice.variants.iter().map(|variant| variant.name).collect(),
        Shape::Optional(inner) => completions(inner()),
        _ => Vec::new(),
    }
}

/// The fields or variants of a shape in one line, for messages.
pub fn summary(shape: Shape) -> String {
    listed(completions(shape))
}
