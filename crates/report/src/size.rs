//! A sized loop as text and as JSON.

use crate::infeasible;
use crate::json::{Origin, margin, with};
use crate::limit;
use crate::sheet::{Cell, Column, Row, Sheet, key_unit, texts};
use crate::{clock, counted};
use aircraft::records::core::{Core, Transfer};
use schema::{Change, Decode as _};
use serde_json::{Map, Value, json};
use std::fmt::Write as _;
use studies::size::{Binding, CoreChoice, Range, SizeResult, Sized, Tried};
use units::Kind;

/// The lightest design, what binds it, what would save mass, and every combination that was tried.
pub fn page(project: &str, variant: &str, result: &SizeResult) -> String {
    let mut text = format!(
        "{project}, variant {variant}: loop {:?} sized over {}\n\n",
        result.circuit,
        counted(result.cases, "case")
    );
    if !result.is_whole() {
        let _infallible = writeln!(text, "INCOMPLETE, it was stopped: {}\n", result.missing);
    }
    if !result.infeasible.is_empty() {
        text.push_str("SHORT whatever is chosen for this loop, and set apart:\n");
        text.push_str(&infeasible::sheet("", &result.infeasible).text());
    }
    match &result.sized {
        Some(sized) => text.push_str(&texts(&design(result, sized))),
        None => short(result, &mut text),
    }
    beyond(result, &mut text);
    room(result, &mut text);
    if result.tried.len() > 1 {
        text.push_str(&combinations(&result.tried).text());
    }
    text.push_str(
        "Mass counts the dry core with tanks, its coolant, the pumps of the loop and the fans of its duct. Margins\n\
         are the required ones of the project, in steady cases and over missions.\n",
    );
    text
}

/// The design with what is close and what would save mass, or what is short; and every combination that was tried.
pub fn sheets(result: &SizeResult) -> Vec<Sheet> {
    let mut all = match &result.sized {
        Some(sized) => design(result, sized),
        None => vec![limits("no size holds: short with the largest core", &result.short)],
    };
    if !result.infeasible.is_empty() {
        all.push(infeasible::sheet("short whatever is chosen for this loop, set apart", &result.infeasible));
    }
    if !result.beyond.is_empty() {
        all.push(limits("short whatever the size of this loop, and left aside", &result.beyond));
    }
    if result.tried.len() > 1 {
        all.push(combinations(&result.tried));
    }
    all
}

/// Limits, closest or shortest first.
fn limits(title: &str, bindings: &[Binding]) -> Sheet {
    Sheet::new(title, limit::case_columns("limit")).with_rows(bindings.iter().map(limit_row))
}

fn design(result: &SizeResult, sized: &Sized) -> Vec<Sheet> {
    let mut all = vec![lightest(result, sized), limits("closest limits", &sized.close)];
    if !sized.relaxations.is_empty() {
        let columns = [
            Column::text("what").head("if this were so"),
            Column::number("mass_kg", Kind::Mass, "kg", 2).head("mass").in_cell().or("-"),
            Column::number("saved_kg", Kind::Mass, "kg", 3).head("saved").in_cell(),
        ];
        let row = |relaxation: &studies::size::Relaxation| {
            vec![(&relaxation.what).into(), relaxation.mass_kg.into(), relaxation.saved_kg.into()]
        };
        all.push(Sheet::new("what would save mass", columns).with_rows(sized.relaxations.iter().map(row)));
    }
    all
}

/// What the design is, a line for each part; numbers stand apart from the words for them.
fn lightest(result: &SizeResult, sized: &Sized) -> Sheet {
    let columns = [
        Column::text("part").head(""),
        Column::text("value").head("lightest that holds"),
        Column::time("time_s").after(" at "),
        Column::mixed("value_si").head("value").si(6).data(),
    ];
    let mut sheet = Sheet::new("lightest that holds", columns);
    let mut push = |part: &str, words: Cell, time_s: Cell, value: Cell| {
        sheet.push([part.into(), words, time_s, value]);
    };
    push("core", chosen(result, sized).into(), Cell::Absent, Cell::Absent);
    for dimension in dimensions(&sized.core) {
        let value = Cell::Own(dimension.kind, dimension.si);
        let words = format!("{}{}", dimension.text, before(result, &dimension));
        push(dimension.name, words.into(), Cell::Absent, value);
    }
    let mass = |kg: f64| Cell::Own(Kind::Mass, kg);
    let dry = format!("{:.2} kg", sized.core_dry_kg);
    push("core, dry", dry.into(), Cell::Absent, mass(sized.core_dry_kg));
    let liquid_m3 = sized.core.volume.si();
    let liquid = format!("{:.2} L", 1e3 * liquid_m3);
    push("core, liquid", liquid.into(), Cell::Absent, Cell::Own(Kind::Volume, liquid_m3));
    if let Some(tried) = result.tried.first() {
        tried.pump.iter().for_each(|pump| push("pump", pump.into(), Cell::Absent, Cell::Absent));
        tried.fan.iter().for_each(|fan| push("fan", fan.into(), Cell::Absent, Cell::Absent));
    }
    let change_kg = sized.mass_kg - result.present_kg;
    let masses =
        format!("{:.2} kg; as it is {:.2} kg ({change_kg:+.2} kg)", sized.mass_kg, result.present_kg);
    push("mass", masses.into(), Cell::Absent, mass(sized.mass_kg));
    let [words, time] = binding_cells(&sized.binding);
    push("binding", words, time, Cell::Absent);
    sheet
}

/// The core that was chosen: of a list the one picked from it, in the place of the present one; else the present one with what differs.
fn chosen(result: &SizeResult, sized: &Sized) -> String {
    let present = result.present.name.as_str();
    match (sized.design.core, result.tried.first()) {
        (CoreChoice::Listed(_), Some(tried)) if tried.core != present => {
            format!("{} (from the list, in the place of {present})", tried.core)
        }
        (CoreChoice::Listed(_), Some(tried)) => format!("{} (from the list)", tried.core),
        _ => format!("{present}, sized anew"),
    }
}

/// A dimension of the core as it is, for those that differ.
fn before(result: &SizeResult, dimension: &Dimension) -> String {
    let present = dimensions(&result.present).into_iter().find(|known| known.name == dimension.name);
    present
        .filter(|present| (present.si - dimension.si).abs() > 1e-9 * dimension.si.abs())
        .map_or_else(String::new, |present| format!(" (as it is {})", present.text))
}

/// A dimension of a core.
pub(crate) struct Dimension {
    /// Its name.
    pub(crate) name: &'static str,
    /// With its unit, as it is written.
    pub(crate) text: String,
    /// Kind.
    pub(crate) kind: Kind,
    /// In SI.
    pub(crate) si: f64,
}

/// Dimensions of a core.
pub(crate) fn dimensions(core: &Core) -> Vec<Dimension> {
    let length = |name, text: String, si| Dimension { name, text, kind: Kind::Length, si };
    match &core.transfer {
        Transfer::Louvered(fins) => vec![
            length("width", fins.width.to_string(), fins.width.si()),
            length("height", fins.height.to_string(), fins.height.si()),
            length("depth", fins.depth.to_string(), fins.depth.si()),
            length("fin pitch", fins.fin_pitch.to_string(), fins.fin_pitch.si()),
        ],
        Transfer::OffsetStrip(fins) => vec![
            length("width", fins.width.to_string(), fins.width.si()),
            length("height", fins.height.to_string(), fins.height.si()),
            length("depth", fins.depth.to_string(), fins.depth.si()),
            length("fin spacing", fins.fin_spacing.to_string(), fins.fin_spacing.si()),
        ],
        Transfer::Fixed(conductance) => {
            let (si, text) = (conductance.si(), format!("{:.1} W/K", conductance.si()));
            vec![Dimension { name: "conductance", text, kind: Kind::ThermalConductance, si }]
        }
        Transfer::Map(_) | Transfer::Sides(_) => Vec::new(),
    }
}

/// Place, limit and case of what binds, in a sentence.
pub(crate) fn binding_words(binding: &Binding) -> String {
    let [words, time] = binding_cells(binding);
    let words = match words {
        Cell::Text(words) => words,
        _ => String::new(),
    };
    match time {
        Cell::Time(time_s) => format!("{words} at {}", clock(time_s)),
        _ => words,
    }
}

/// Place, limit and case of what binds, and when.
pub(crate) fn binding_cells(binding: &Binding) -> [Cell; 2] {
    let case = binding.case.to_string();
    match (&binding.margin, &binding.message) {
        (Some(margin), _) => {
            let words = format!("{}, {} in {case}", margin.place, margin.limit);
            [words.into(), Cell::time(binding.time_s)]
        }
        (None, Some(message)) => [format!("{case}: {message}").into(), Cell::Absent],
        (None, None) => [format!("{case}: nothing is limited").into(), Cell::Absent],
    }
}

/// Where a limit stands, or why there is no state.
pub(crate) fn limit_row(binding: &Binding) -> Row {
    let margin = binding.margin.as_ref();
    let is_temperature =
        |margin: &&model::result::Margin| limit::value_kind(margin.kind) == Kind::Temperature;
    let message = binding.message.as_deref().filter(|_| margin.is_none());
    vec![
        binding.case.to_string().into(),
        margin.map(|margin| &margin.place).into(),
        margin.map(|margin| &margin.limit).into(),
        margin.filter(is_temperature).map(|margin| margin.value).into(),
        message.map_or(Cell::Absent, Cell::said),
    ]
    .into_iter()
    .chain([binding.rank().standing().into()])
    .chain(limit::reserve_cells(margin).into_iter().skip(1))
    .chain([margin.map(limit::unit).into()])
    .collect()
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
            format!("{name} {:.1} mm", 1e3 * range.max_m)
        } else {
            format!("{name} {:.1} to {:.1} mm", 1e3 * range.min_m, 1e3 * range.max_m)
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

fn combinations(tried: &[Tried]) -> Sheet {
    let columns = [
        Column::text("core"),
        Column::text("pump"),
        Column::text("fan"),
        Column::short(["SHORT", ""]),
        Column::number("mass_kg", Kind::Mass, "kg", 2).head("mass").in_cell(),
        Column::mixed("reserve").head("left").si(2),
        limit::unit_column(),
        Column::text("binding").head("binding or short"),
        Column::time("time_s").after(" at "),
    ];
    let row = |one: &Tried| {
        let margin = one.binding.margin.as_ref();
        let kind = margin.map_or(Kind::Ratio, |margin| limit::distance_kind(margin.kind));
        let left = Some(one.binding.reserve).filter(|left| left.is_finite());
        let [words, time] = binding_cells(&one.binding);
        vec![
            (&one.core).into(),
            one.pump.as_ref().into(),
            one.fan.as_ref().into(),
            one.mass_kg.is_none().into(),
            one.mass_kg.into(),
            left.map(|left| Cell::Own(kind, left)).into(),
            margin.map(limit::unit).into(),
            words,
            time,
        ]
    };
    Sheet::new("combinations", columns).with_rows(tried.iter().map(row))
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
    head = with(head, "infeasible", infeasible::list(&result.infeasible));
    head = with(head, "is_whole", json!(result.is_whole()));
    head = with(head, "missing", json!(Some(&result.missing).filter(|missing| !missing.is_empty())));
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
    fields.insert("was".to_owned(), {
        let mut present = Map::new();
        insert_dimensions(&mut present, &result.present);
        Value::Object(present)
    });
    if let (CoreChoice::Listed(_), Some(tried)) = (sized.design.core, result.tried.first()) {
        fields.insert("chosen".to_owned(), json!(tried.core));
    }
    insert_dimensions(&mut fields, &sized.core);
    fields.insert("dry_mass_kg".to_owned(), json!(sized.core_dry_kg));
    fields.insert("liquid_m3".to_owned(), json!(sized.core.volume.si()));
    if let Some(tried) = result.tried.first() {
        fields.insert("pump".to_owned(), json!(tried.pump));
        fields.insert("fan".to_owned(), json!(tried.fan));
    }
    Value::Object(fields)
}

/// The dimensions of a core under their keys.
pub(crate) fn insert_dimensions(fields: &mut Map<String, Value>, core: &Core) {
    for Dimension { name, kind, si, .. } in dimensions(core) {
        let unit = key_unit(kind.si_unit());
        fields.insert(format!("{}_{unit}", name.replace(' ', "_")), json!(si));
    }
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
