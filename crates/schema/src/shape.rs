//! Descriptions of the record types, for documentation, editors and the table of inputs.

use units::Kind;

use super::rule::Rule;
use super::tree::{Node, Tree};

/// Gives the shape of a type; a function, because records may hold themselves.
pub type ShapeOf = fn() -> Shape;

/// What a value looks like in a project file.
#[derive(Debug, Clone, Copy)]
pub enum Shape {
    /// A quantity with its unit, and possibly tolerance, source and evidence.
    Quantity(Kind),
    /// A bare number without dimension.
    Number,
    /// A whole number, zero or more.
    Count,
    /// `true` or `false`.
    Flag,
    /// Free text.
    Text,
    /// The name of the thing itself.
    Name,
    /// The address of an input.
    Path,
    /// Any value.
    Any,
    /// A change of a variant.
    Change,
    /// May be left out, or be `None`.
    Optional(ShapeOf),
    /// A list.
    List(ShapeOf),
    /// A fixed number of values in round brackets.
    Group(&'static [ShapeOf]),
    /// A list of pairs whose first values rise.
    Curve(Kind, Kind),
    /// Named fields.
    Record(&'static RecordSchema),
    /// One of several.
    Choice(&'static ChoiceSchema),
}

/// A record type.
#[derive(Debug)]
pub struct RecordSchema {
    /// Type name; may stand before the bracket.
    pub name: &'static str,
    /// What it is.
    pub doc: &'static str,
    /// Fields in order.
    pub fields: &'static [FieldSchema],
}

/// A field of a record.
#[derive(Debug)]
pub struct FieldSchema {
    /// Name.
    pub name: &'static str,
    /// What it is.
    pub doc: &'static str,
    /// What its value looks like.
    pub shape: ShapeOf,
    /// The value it has when left out, as it would be written.
    pub default: Option<&'static str>,
    /// What the value must keep to.
    pub rules: &'static [Rule],
}

impl FieldSchema {
    /// True if the field must be written.
    pub fn is_required(&self) -> bool {
        self.default.is_none()
            && match (self.shape)() {
                Shape::Optional(_) => false,
                Shape::List(_) => self.rules.contains(&Rule::NotEmpty),
                _ => true,
            }
    }

    /// The node that the default text stands for.
    pub fn default_node(&self) -> Option<Node> {
        self.default.map(plain_node)
    }
}

/// A choice type.
#[derive(Debug)]
pub struct ChoiceSchema {
    /// Type name.
    pub name: &'static str,
    /// What it is.
    pub doc: &'static str,
    /// The variant that a value without a tag stands for.
    pub plain: Option<&'static str>,
    /// The variants.
    pub variants: &'static [VariantSchema],
}

/// One variant of a choice.
#[derive(Debug)]
pub struct VariantSchema {
    /// Name, as written.
    pub name: &'static str,
    /// What it is.
    pub doc: &'static str,
    /// What it holds.
    pub content: Option<ShapeOf>,
    /// What its content must keep to, beside the rules of the field it stands in.
    pub rules: &'static [Rule],
}

/// The node of a default: a quoted text, number, flag, word, `[]` or `()`, as they stand in a declaration.
pub(crate) fn plain_node(text: &str) -> Node {
    match text.trim() {
        "true" => Node::flag(true),
        "false" => Node::flag(false),
        "[]" | "[ ]" => Node::list(Vec::new()),
        "()" | "( )" => Node::record("", Vec::new()),
        text => match (text.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')), text.parse::<f64>()) {
            (Some(inner), _) => Node::text(inner),
            (None, Ok(value)) => Tree::Number { text: text.to_owned(), value }.into(),
            (None, Err(_)) => Node::word(text),
        },
    }
}

/// All record and choice types that a root record reaches, each once, in the order of first mention.
pub fn reachable(root: Shape) -> Vec<Shape> {
    let mut found = Vec::new();
    let mut names = Vec::new();
    collect(root, &mut found, &mut names);
    found
}

fn collect(shape: Shape, found: &mut Vec<Shape>, names: &mut Vec<&'static str>) {
    match shape {
        Shape::Optional(inner) | Shape::List(inner) => collect(inner(), found, names),
        Shape::Group(items) => items.iter().for_each(|item| collect(item(), found, names)),
        Shape::Record(record) if !names.contains(&record.name) => {
            names.push(record.name);
            found.push(shape);
            record.fields.iter().for_each(|field| collect((field.shape)(), found, names));
        }
        Shape::Choice(choice) if !names.contains(&choice.name) => {
            names.push(choice.name);
            found.push(shape);
            choice.variants.iter().filter_map(|variant| variant.content).for_each(|content| {
                collect(content(), found, names);
            });
        }
        _ => {}
    }
}
