//! A sized loop as text and as JSON.

use crate::json::{Origin, margin, with};
use crate::{Table, celsius, clock};
use aircraft::records::core::{Core, Transfer};
use schema::{Change, Decode as _};
use serde_json::{Map, Value, json};
use std::fmt::Write as _;
use studies::size::{Binding, CoreChoice, Range, SizeResult, Sized, Tried};

/// The lightest design, what binds it, what would save mass, and every combination that was tried.
pub fn sheet(project: &str, variant: &str, result: &SizeResult) -> String {
    let mut text = format!(
        "{project}, variant {variant}: loop {:?} sized over {} cases\n\n",
        result.circuit, result.cases
    );
    match &result.sized {
        Some(sized) => design(result, sized).into_iter().for_each(|table| text.push_str(&table.text())),
        None => short(result, &mut text),
    }
    beyond(result, &mut text);
    room(result, &mut text);
    tried(&result.tried, &mut text);
    text.push_str(
        "Mass counts the dry core with tanks, its coolant, the pumps of the loop and the fans of its duct. Margins\n\
         are the required ones of the project, in steady cases and over missions.\n",
    );
    text
}

/// The design with what is close and what would save mass, or what is short; and every combination that was tried.
pub fn tables(result: &SizeResult) -> Vec<Table> {
    let mut all = match &result.sized {
        Some(sized) => design(result, sized),
        None => vec![limits("no size holds: short with the largest core", &result.short)],
    };
    if !result.beyond.is_empty() {
        all.push(limits("short whatever the size of this loop, and left aside", &result.beyond));
    }
    if result.tried.len() > 1 {
        all.push(combinations(&result.tried));
    }
    all
}

/// Limits, closest or shortest first.
fn limits(title: &str, bindings: &[Binding]) -> Table {
    let rows = bindings.iter().map(binding_row).collect();
    Table::new(title, &["case", "limit", "margin", "required", "reserve"], &[2, 3, 4], rows)
}

fn design(result: &SizeResult, sized: &Sized) -> Vec<Table> {
    let dimension = |name: &str, value: String| vec![name.to_owned(), value];
    let mut rows = vec![dimension("core", result.present.name.as_str().to_owned())];
    rows.extend(dimensions(&sized.core).into_iter().map(|(name, value, _)| dimension(name, value)));
    rows.push(dimension("core, dry", format!("{:.2} kg", sized.core_dry_kg)));
    rows.push(dimension("core, liquid", format!("{:.2} L", 1e3 * sized.core.volume.si())));
    if let Some(tried) = result.tried.first() {
        rows.extend(tried.pump.iter().map(|pump| dimension("pump", pump.clone())));
        rows.extend(tried.fan.iter().map(|fan| dimension("fan", fan.clone())));
    }
    let change_kg = sized.mass_kg - result.present_kg;
    rows.push(dimension(
        "mass",
        format!("{:.2} kg; as it is {:.2} kg ({change_kg:+.2} kg)", sized.mass_kg, result.present_kg),
    ));
    rows.push(dimension("binding", binding_words(&sized.binding)));
    let mut all = vec![
        Table::new("lightest that holds", &["", "lightest that holds"], &[], rows),
        limits("closest limits", &sized.close),
    ];
    if !sized.relaxations.is_empty() {
        let row = |relaxation: &studies::size::Relaxation| {
            let mass = relaxation.mass_kg.map_or_else(|| "-".to_owned(), |kg| format!("{kg:.2} kg"));
            vec![relaxation.what.clone(), mass, format!("{:.3} kg", relaxation.saved_kg)]
        };
        let rows = sized.relaxations.iter().map(row).collect();
        let head = ["if this were so", "mass", "saved"];
        all.push(Table::new("what would save mass", &head, &[1, 2], rows));
    }
    all
}

/// Dimensions of a core with name, text and SI value.
pub(crate) fn dimensions(core: &Core) -> Vec<(&'static str, String, f64)> {
    let mut all = Vec::new();
    match &core.transfer {
        Transfer::Louvered(fins) => {
            all.push(("width", fins.width.to_string(), fins.width.si()));
            all.push(("height", fins.height.to_string(), fins.height.si()));
            all.push(("depth", fins.depth.to_string(), fins.depth.si()));
            all.push(("fin pitch", fins.fin_pitch.to_string(), fins.fin_pitch.si()));
        }
        Transfer::OffsetStrip(fins) => {
            all.push(("width", fins.width.to_string(), fins.width.si()));
            all.push(("height", fins.height.to_string(), fins.height.si()));
            all.push(("depth", fins.depth.to_string(), fins.depth.si()));
            all.push(("fin spacing", fins.fin_spacing.to_string(), fins.fin_spacing.si()));
        }
        Transfer::Fixed(conductance) => {
            all.push(("conductance", format!("{:.1} W/K", conductance.si()), conductance.si()));
        }
        Transfer::Map(_) | Transfer::Sides(_) => {}
    }
    all
}

pub(crate) fn binding_words(binding: &Binding) -> String {
    let case = binding.case.to_string();
    match (&binding.margin, &binding.message) {
        (Some(margin), _) => {
            let when = binding.time_s.map_or_else(String::new, |s| format!(" at {}", clock(s)));
            format!("{}, {} in {case}{when}", margin.place, margin.limit)
        }
        (None, Some(message)) => format!("{case}: {message}"),
        (None, None) => format!("{case}: nothing is limited"),
    }
}

pub(crate) fn binding_row(binding: &Binding) -> Vec<String> {
    let case = binding.case.to_string();
    match &binding.margin {
        Some(margin) => {
            let (unit, flag) = (margin.kind.unit(), if margin.is_short() { "SHORT " } else { "" });
            vec![
                case,
                format!("{}, {}{}", margin.place, margin.limit, value_words(margin)),
                format!("{:.2} {unit}", margin.margin),
                format!("{:.2} {unit}", margin.required),
                format!("{flag}{:.2} {unit}", margin.reserve()),
            ]
        }
        None => vec![
            case,
            binding.message.clone().unwrap_or_default(),
            String::new(),
            String::new(),
            "SHORT".to_owned(),
        ],
    }
}

fn value_words(margin: &model::result::Margin) -> String {
    if margin.kind.unit() == "K" { format!(": {:.1} degC", celsius(margin.value)) } else { String::new() }
}

fn short(result: &SizeResult, text: &mut String) {
    text.push_str("SHORT: no size holds. With the largest core these are short:\n");
    text.push_str(&limits("", &result.short[..result.short.len().min(10)]).text());
}

fn beyond(result: &SizeResult, text: &mut String) {
    if result.beyond.is_empty() {
        return;
    }
    text.push_str("SHORT whatever the size of this loop, and left aside in sizing it:\n");
    text.push_str(&limits("", &result.beyond).text());
}

fn room(result: &SizeResult, text: &mut String) {
    let Some(room) = &result.room else { return };
    let words = |name: &str, range: Range| {
        if range.is_one_value() {
            format!("{name} {:.1} mm", 1e3 * range.most_m)
        } else {
            format!("{name} {:.1} to {:.1} mm", 1e3 * range.least_m, 1e3 * range.most_m)
        }
    };
    let _infallible = writeln!(
        text,
        "Room: {}, {}, {}",
        words("width", room.width),
        words("height", room.height),
        words("depth", room.depth)
    );
    if !room.assumed.is_empty() {
        text.push_str(
            "This room is assumed around the present core: state the room on board under `sizings`.\n",
        );
    }
    text.push('\n');
}

fn tried(tried: &[Tried], text: &mut String) {
    if tried.len() > 1 {
        text.push_str(&combinations(tried).text());
    }
}

fn combinations(tried: &[Tried]) -> Table {
    let row = |one: &Tried| {
        vec![
            one.core.clone(),
            one.pump.clone().unwrap_or_default(),
            one.fan.clone().unwrap_or_default(),
            one.mass_kg.map_or_else(|| "SHORT".to_owned(), |kg| format!("{kg:.2} kg")),
            left(&one.binding),
            binding_words(&one.binding),
        ]
    };
    let head = ["core", "pump", "fan", "mass", "left", "binding or short"];
    Table::new("combinations", &head, &[3, 4], tried.iter().map(row).collect())
}

/// What is left over the required margin.
fn left(binding: &Binding) -> String {
    let unit = binding.margin.as_ref().map_or("", |margin| margin.kind.unit());
    if binding.reserve.is_finite() { format!("{:.2} {unit}", binding.reserve) } else { String::new() }
}

/// Result of `size`.
pub fn json(origin: &Origin<'_>, result: &SizeResult) -> Value {
    let mut head = with(origin.head(), "loop", json!(result.circuit));
    let sized = result.sized.as_ref();
    head = with(head, "core", sized.map_or(Value::Null, |sized| core(result, sized)));
    head = with(head, "mass_kg", json!(sized.map(|sized| sized.mass_kg)));
    head = with(head, "present_mass_kg", json!(result.present_kg));
    head = with(head, "binding", sized.map_or(Value::Null, |sized| binding(&sized.binding)));
    let list = |all: &[Binding]| all.iter().map(binding).collect::<Value>();
    head = with(head, "closest", list(sized.map_or(&[], |sized| &sized.close)));
    head = with(head, "beyond", list(&result.beyond));
    head = with(head, "short", list(&result.short));
    let relaxations = sized.map_or(&[][..], |sized| &sized.relaxations);
    let relaxations = relaxations.iter().map(|relaxation| {
        json!({ "what": relaxation.what, "mass_kg": relaxation.mass_kg, "saved_kg": relaxation.saved_kg })
    });
    head = with(head, "relaxations", relaxations.collect());
    head = with(head, "tried", result.tried.iter().map(one_tried).collect());
    let changes = sized.map_or(&[][..], |sized| &sized.changes);
    with(head, "changes", changes.iter().map(|change| json!(change.path().to_string())).collect())
}

fn core(result: &SizeResult, sized: &Sized) -> Value {
    let mut fields = Map::new();
    fields.insert("name".to_owned(), json!(result.present.name.as_str()));
    if let (CoreChoice::Listed(_), Some(tried)) = (sized.design.core, result.tried.first()) {
        fields.insert("chosen".to_owned(), json!(tried.core));
    }
    for (name, _, si) in dimensions(&sized.core) {
        let unit = if name == "conductance" { "W_K" } else { "m" };
        fields.insert(format!("{}_{unit}", name.replace(' ', "_")), json!(si));
    }
    fields.insert("dry_mass_kg".to_owned(), json!(sized.core_dry_kg));
    fields.insert("liquid_m3".to_owned(), json!(sized.core.volume.si()));
    if let Some(tried) = result.tried.first() {
        fields.insert("pump".to_owned(), json!(tried.pump));
        fields.insert("fan".to_owned(), json!(tried.fan));
    }
    Value::Object(fields)
}

pub(crate) fn binding(binding: &Binding) -> Value {
    let words = binding.margin.as_ref().map(|margin| format!("{}, {}", margin.place, margin.limit));
    json!({
        "case": binding.case.to_string(),
        "limit": words,
        "margin": binding.margin.as_ref().map(|m| m.margin),
        "details": binding.margin.as_ref().map(|m| margin(m, binding.time_s)),
        "message": binding.message,
    })
}

fn one_tried(tried: &Tried) -> Value {
    json!({
        "core": tried.core,
        "pump": tried.pump,
        "fan": tried.fan,
        "mass_kg": tried.mass_kg,
        "binding": binding(&tried.binding),
    })
}

/// The changes as they stand in a variant of a project file.
pub fn change_nodes(changes: &[Change]) -> Vec<schema::Node> {
    changes.iter().map(Change::encode).collect()
}
