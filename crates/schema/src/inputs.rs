//! The table of addressable inputs: every number of a project, by path.

use std::borrow::Cow;

use units::{Kind, Quantity};

use super::decode::{Decode as _, Decoder};
use super::input::{Evidence, decode_quantity, encode_quantity, value_node};
use super::path::{self, Path, PathError};
use super::rule::Rule;
use super::shape::{FieldSchema, RecordSchema, Shape};
use super::trail::Trail;
use super::tree::{Key, Node, Place, Tree};

/// One number of a project that can be read and set.
#[derive(Debug, Clone, PartialEq)]
pub struct InputEntry {
    /// Where it is.
    pub path: Path,
    /// The same as text, for those who look through many.
    pub address: String,
    /// Its physical kind; counts and bare numbers are ratios.
    pub kind: Kind,
    /// As typed; for defaults as declared.
    pub text: String,
    /// In the SI unit of the kind.
    pub si: f64,
    /// What it is.
    pub doc: &'static str,
    /// False for a default that the file does not state.
    pub stated: bool,
    /// As typed.
    pub tolerance: Option<String>,
    /// Half-width of the tolerance band in SI.
    pub tolerance_si: Option<f64>,
    /// What the number rests on.
    pub evidence: Evidence,
    /// Where the number comes from, if that is stated.
    pub source: Option<String>,
    /// True if only whole numbers make sense.
    pub whole: bool,
    /// True if it is a value in a measured curve.
    pub in_curve: bool,
}

/// What can be addressed in a tree.
#[derive(Debug, Clone, Default)]
pub struct Listing {
    /// As [`list_inputs`].
    pub inputs: Vec<InputEntry>,
    /// As [`list_tables`].
    pub tables: Vec<TableEntry>,
}

/// Lists the numbers and the measured tables in a tree of the given shape in one walk.
pub fn list(root: &Node, shape: Shape) -> Listing {
    let mut walk = Walk::new();
    walk.node(root, shape, "");
    Listing { inputs: walk.entries, tables: walk.tables }
}

/// Lists every number in a tree of the given shape, in the order of the schema. Values that do not
/// decode are left out.
pub fn list_inputs(root: &Node, shape: Shape) -> Vec<InputEntry> {
    let mut walk = Walk::new();
    walk.node(root, shape, "");
    walk.entries
}

/// A text that names something else, declared by `where refers("component")`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reference {
    /// Path of the text.
    pub path: Path,
    /// What sort of thing is named.
    pub sort: &'static str,
    /// The name.
    pub name: String,
    /// Where the text stands.
    pub place: Place,
}

/// Lists every stated text that names something else, in the order of the schema.
pub fn list_references(root: &Node, shape: Shape) -> Vec<Reference> {
    let mut walk = Walk::new();
    walk.node(root, shape, "");
    walk.references
}

/// What a measured table consists of.
#[derive(Debug, Clone, Copy)]
pub enum TableShape {
    /// Pairs whose first values rise.
    Curve(Kind, Kind),
    /// Values over two axes: a record that holds both axes and the values row after row.
    Grid(&'static RecordSchema),
    /// A list of records that hold nothing but quantities.
    Rows(&'static RecordSchema),
}

/// A measured table of a project.
#[derive(Debug, Clone)]
pub struct TableEntry {
    /// Where it is: the list of a curve or of rows, the record of a grid.
    pub path: Path,
    /// The same as text, for those who look through many.
    pub address: String,
    /// What it is.
    pub doc: &'static str,
    /// What it consists of.
    pub shape: TableShape,
}

/// Records whose first field is the axis of the rows, the second that of the columns, and the third the values row after row.
const GRIDS: [&str; 4] = ["MotorMap", "MotorTable", "InverterMap", "TransferMap"];

/// Lists every measured table in a tree of the given shape, in the order of the schema.
pub fn list_tables(root: &Node, shape: Shape) -> Vec<TableEntry> {
    let mut walk = Walk::new();
    walk.node(root, shape, "");
    walk.tables
}

/// Whether a record holds nothing but quantities, so that a list of it is a table.
fn is_row(record: &RecordSchema) -> bool {
    record.fields.iter().all(|field| matches!((field.shape)(), Shape::Quantity(_)) && field.is_required())
}

/// The input at a path, if there is one. The short form of a path is accepted.
pub fn find_input(root: &Node, shape: Shape, path: &Path) -> Option<InputEntry> {
    list_inputs(root, shape).into_iter().find(|entry| entry.path == *path)
}

/// Replaces the value of an input by text and keeps its tolerance, source and evidence. A default
/// that the file does not state is stated, together with the records it sits in.
///
/// # Errors
/// [`PathError`] names the step that was not found.
pub fn set_input_text(root: &mut Node, shape: Shape, path: &Path, text: &str) -> Result<(), PathError> {
    replace(root, shape, path, Node::text(text))
}

/// Replaces the value of an input by one in SI, shown in the unit it has now.
///
/// # Errors
/// [`PathError`] names the step that was not found.
pub fn set_input_si(root: &mut Node, shape: Shape, entry: &InputEntry, si: f64) -> Result<(), PathError> {
    let node = match Quantity::parse(&entry.text, entry.kind) {
        _ if entry.whole => Node::count(si.round().max(0.0) as usize),
        // a value the kind cannot have stands as it is, for decoding to refuse
        Ok(now) => Quantity::try_from_si_like(si, &now)
            .map_or_else(|_refused| Node::number(si), |quantity| encode_quantity(&quantity)),
        Err(_) => Node::number(si),
    };
    replace(root, shape, &entry.path, node)
}

fn replace(root: &mut Node, shape: Shape, path: &Path, value: Node) -> Result<(), PathError> {
    if path::get(root, path).is_err() {
        // Worked on a copy, so that a path that leads nowhere leaves the tree as it was.
        let mut copy = root.clone();
        if state_defaults(&mut copy, shape, &path::expand(root, path)) {
            *root = copy;
        }
    }
    let node = path::get_mut(root, path)?.unwrapped_mut();
    let place = node.place;
    let target = match node.field("value") {
        Some(_) if matches!(node.tag(), None | Some("Input")) => node.field_mut("value"),
        _ => None,
    };
    match target {
        Some(inside) => *inside = value.at(inside.place),
        None => *node = value.at(place),
    }
    Ok(())
}

/// Follows explicit steps with the schema at hand and writes out the defaults on the way. False
/// if the steps lead nowhere.
fn state_defaults(node: &mut Node, shape: Shape, steps: &[String]) -> bool {
    let Some((step, rest)) = steps.split_first() else { return true };
    match shape {
        Shape::Optional(inner) => state_defaults(node.unwrapped_mut(), inner(), steps),
        Shape::Record(record) => {
            let Some(field) = record.fields.iter().find(|field| field.name == step) else { return false };
            if node.field(step).is_none() {
                state_default(node, field);
            }
            node.field_mut(step).is_some_and(|inside| state_defaults(inside, (field.shape)(), rest))
        }
        Shape::Choice(choice) => {
            let name = node.tag().filter(|tag| *tag != "Input").or(choice.plain);
            let variant = choice.variants.iter().find(|variant| Some(variant.name) == name);
            variant
                .and_then(|variant| variant.content)
                .is_some_and(|content| state_defaults(node.unwrapped_mut(), content(), steps))
        }
        Shape::List(inner) => {
            let Tree::List(items) = &mut node.tree else { return false };
            let named = items.iter().position(|item| item.own_name() == Some(step));
            let number = || step.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
            let found = named.or_else(number).and_then(|n| items.get_mut(n));
            found.is_some_and(|item| state_defaults(item, inner(), rest))
        }
        _ => false,
    }
}

fn state_default(node: &mut Node, field: &FieldSchema) {
    if let (Some(default), Tree::Record { fields, .. }) = (field.default_node(), &mut node.tree) {
        fields.push((Key::new(field.name), default));
    }
}

struct Walk {
    trail: Trail,
    entries: Vec<InputEntry>,
    references: Vec<Reference>,
    tables: Vec<TableEntry>,
    stated: bool,
    in_curve: bool,
    /// What the texts of the field at hand name.
    sort: Option<&'static str>,
}

impl Walk {
    fn new() -> Self {
        Self {
            trail: Trail::default(),
            entries: Vec::new(),
            references: Vec::new(),
            tables: Vec::new(),
            stated: true,
            in_curve: false,
            sort: None,
        }
    }

    fn node(&mut self, node: &Node, shape: Shape, doc: &'static str) {
        match shape {
            Shape::Quantity(kind) => self.quantity(node, kind, doc),
            Shape::Number | Shape::Count => self.number(node, matches!(shape, Shape::Count), doc),
            Shape::Optional(inner) => match node.tag() {
                Some("None") => {}
                Some("Some") => self.node(node.unwrapped(), inner(), doc),
                _ => self.node(node, inner(), doc),
            },
            Shape::List(inner) => {
                if let (Shape::Record(record), true) = (inner(), self.stated)
                    && is_row(record)
                {
                    self.table(doc, TableShape::Rows(record));
                }
                self.items(node, |_| inner(), doc);
            }
            Shape::Group(shapes) => {
                self.items(node, |n| shapes.get(n).map_or(Shape::Any, |shape| shape()), doc);
            }
            Shape::Curve(x, y) => self.curve(node, x, y, doc),
            Shape::Record(record) => {
                if GRIDS.contains(&record.name) && self.stated {
                    self.table(doc, TableShape::Grid(record));
                }
                for field in record.fields {
                    self.field(node, field);
                }
            }
            Shape::Choice(choice) => {
                let tag = node.tag().filter(|tag| choice.plain.is_none() || *tag != "Input");
                let name = tag.or(choice.plain);
                let variant = choice.variants.iter().find(|variant| Some(variant.name) == name);
                if let Some(content) = variant.and_then(|variant| variant.content) {
                    self.node(if tag.is_some() { node.unwrapped() } else { node }, content(), doc);
                }
            }
            Shape::Text => self.text(node),
            Shape::Flag | Shape::Name | Shape::Path | Shape::Any | Shape::Change => {}
        }
    }

    fn field(&mut self, owner: &Node, field: &'static FieldSchema) {
        let default = field.default_node();
        let (node, stated) = match (owner.field(field.name), &default) {
            (Some(node), _) => (node, self.stated),
            (None, Some(default)) => (default, false),
            (None, None) => return,
        };
        let before = (self.stated, self.sort);
        self.stated = stated;
        self.sort = field.rules.iter().find_map(|rule| match rule {
            Rule::Refers(sort) => Some(*sort),
            _ => None,
        });
        let mark = self.trail.enter_field(Cow::Borrowed(field.name));
        self.node(node, (field.shape)(), field.doc);
        self.trail.leave(mark);
        (self.stated, self.sort) = before;
    }

    fn items(&mut self, node: &Node, shape: impl Fn(usize) -> Shape, doc: &'static str) {
        if let Tree::List(items) | Tree::Tuple { items, .. } = &node.tree {
            for (n, item) in items.iter().enumerate() {
                let mark = self.trail.enter_item(item.own_name(), n);
                self.node(item, shape(n), doc);
                self.trail.leave(mark);
            }
        }
    }

    fn curve(&mut self, node: &Node, x: Kind, y: Kind, doc: &'static str) {
        let Tree::List(points) = &node.tree else { return };
        if self.stated {
            self.table(doc, TableShape::Curve(x, y));
        }
        self.in_curve = true;
        for (n, point) in points.iter().enumerate() {
            let mark = self.trail.enter_item(None, n);
            self.items(point, |n| Shape::Quantity(if n == 0 { x } else { y }), doc);
            self.trail.leave(mark);
        }
        self.in_curve = false;
    }

    fn quantity(&mut self, node: &Node, kind: Kind, doc: &'static str) {
        let mut silent = Decoder::new();
        let Some(quantity) = decode_quantity(value_node(node), kind, &mut silent) else { return };
        let field =
            |name: &str| if matches!(node.tag(), None | Some("Input")) { node.field(name) } else { None };
        let tolerance =
            field("tolerance").and_then(|node| super::input::decode_tolerance(node, kind, &mut silent));
        let evidence = field("evidence").and_then(|node| Evidence::decode(node, &mut silent));
        let (path, address) = self.place();
        self.entries.push(InputEntry {
            path,
            address,
            kind,
            si: quantity.si(),
            text: quantity.text().to_owned(),
            doc,
            stated: self.stated,
            tolerance_si: tolerance.as_ref().map(|tolerance| tolerance.half_width_si(quantity.si())),
            tolerance: tolerance.map(|tolerance| tolerance.text().to_owned()),
            evidence: evidence.unwrap_or_default(),
            source: field("source").and_then(Node::as_text).map(str::to_owned),
            whole: false,
            in_curve: self.in_curve,
        });
    }

    fn table(&mut self, doc: &'static str, shape: TableShape) {
        let (path, address) = self.place();
        self.tables.push(TableEntry { path, address, doc, shape });
    }

    fn text(&mut self, node: &Node) {
        if let (Some(sort), Some(name)) = (self.sort.filter(|_| self.stated), node.as_text()) {
            let (path, name, place) = (self.place().0, name.to_owned(), node.place);
            self.references.push(Reference { path, sort, name, place });
        }
    }

    fn number(&mut self, node: &Node, whole: bool, doc: &'static str) {
        let Tree::Number { text, value } = &node.tree else { return };
        let (path, address) = self.place();
        self.entries.push(InputEntry {
            path,
            address,
            kind: Kind::Ratio,
            text: text.clone(),
            si: *value,
            doc,
            stated: self.stated,
            tolerance: None,
            tolerance_si: None,
            evidence: Evidence::Assumed,
            source: None,
            whole,
            in_curve: self.in_curve,
        });
    }

    /// Where the walk stands, as steps and as text.
    fn place(&self) -> (Path, String) {
        let path = Path::parse(&self.trail.path()).unwrap_or_else(|_| Path::from_steps([self.trail.path()]));
        let address = path.to_string();
        (path, address)
    }
}
