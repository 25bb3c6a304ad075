//! Curves of machines and of the pack as a table, as JSON and as comma-separated values.

use crate::cell::text_cell;
use crate::json::{Origin, with};
use crate::table::table;
use model::curves::{Axis, Figure, Level, Line, Machine, Value as Number};
use serde_json::{Map, Value, json};
use std::fmt::Write as _;

/// Machines of one case.
#[derive(Clone, Copy, Debug)]
pub struct CaseCurves<'a> {
    /// Case.
    pub case: &'a str,
    /// Its machines.
    pub machines: &'a [Machine],
}

/// Numbers and levels of every machine; the curves themselves are too long for a sheet.
pub fn sheet(curves: &CaseCurves<'_>) -> String {
    let mut text = format!("{}\n\n", curves.case);
    if curves.machines.is_empty() {
        text.push_str("No machine: the project has no powertrain, or the case has no state.\n\n");
    }
    for machine in curves.machines {
        let _infallible = writeln!(text, "{}, {}", machine.name, machine.sort.word());
        if !machine.note.is_empty() {
            let _infallible = writeln!(text, "{}", machine.note);
        }
        let values: Vec<Vec<String>> =
            machine.values.iter().map(|number| vec![number.name.to_owned(), number.text()]).collect();
        if !values.is_empty() {
            text.push_str(&table(&["number", "in the case"], &[1], values));
        }
        if !machine.levels.is_empty() {
            let rows = machine.levels.iter().map(level_row).collect();
            text.push_str(&table(&["level", "loss at the case", "used", "what it is"], &[1], rows));
        }
    }
    text
}

fn level_row(level: &Level) -> Vec<String> {
    let loss = match (level.value, &level.law) {
        (Some(loss), _) => format!("{loss:.1} W"),
        (None, Some(_)) => "cannot be told".to_owned(),
        (None, None) => "too little is known".to_owned(),
    };
    let used = if level.is_used { "used" } else { "" };
    vec![level.name.to_owned(), loss, used.to_owned(), level.doc.to_owned()]
}

/// Curves of all cases as JSON.
pub fn json(origin: &Origin<'_>, cases: &[CaseCurves<'_>]) -> Value {
    let case = |curves: &CaseCurves<'_>| {
        let machines: Value = curves.machines.iter().map(machine).collect();
        json!({ "case": curves.case, "machines": machines })
    };
    with(origin.head(), "results", cases.iter().map(case).collect())
}

fn machine(machine: &Machine) -> Value {
    let level = |level: &Level| {
        json!({
            "name": level.name,
            "used": level.is_used,
            "can_be_filled": level.law.is_some(),
            "loss_W": level.value,
        })
    };
    json!({
        "name": machine.name,
        "sort": machine.sort.word(),
        "path": machine.path,
        "note": machine.note,
        "values": numbers(&machine.values),
        "levels": machine.levels.iter().map(level).collect::<Value>(),
        "figures": machine.figures.iter().map(figure).collect::<Value>(),
    })
}

/// `bus voltage` in V as `bus_voltage_V`.
fn key(name: &str, kind: units::Kind) -> String {
    let unit: String =
        kind.si_unit().chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '_' }).collect();
    let name = name.replace(' ', "_");
    if unit.is_empty() { name } else { format!("{name}_{unit}") }
}

fn numbers(numbers: &[Number]) -> Value {
    let fields: Map<String, Value> =
        numbers.iter().map(|number| (key(number.name, number.kind), json!(number.si))).collect();
    Value::Object(fields)
}

fn points(points: &[(f64, f64)]) -> Value {
    points.iter().map(|(x, y)| json!([x, y])).collect()
}

fn figure(figure: &Figure) -> Value {
    let axis = |axis: &Axis| json!({ "name": axis.name, "unit": axis.kind.si_unit() });
    let line = |line: &Line| json!({ "name": line.name, "points": points(&line.points) });
    json!({
        "title": figure.title,
        "x": axis(&figure.x),
        "y": axis(&figure.y),
        "held": numbers(&figure.held),
        "at": figure.at.map(|(x, y)| json!([x, y])),
        "measured_from_to": figure.span.map(|(from, to)| json!([from, to])),
        "measured": points(&figure.measured),
        "curves": figure.lines.iter().map(line).collect::<Value>(),
    })
}

/// Every point of every curve of a case, a row each, as comma-separated values (RFC 4180); numbers in the SI unit that stands
/// beside them, with the digits that read back to the same bits.
///
/// # Errors
/// What the writer says, which only a lack of memory can cause.
pub fn csv(curves: &CaseCurves<'_>) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record([
        "machine", "sort", "figure", "curve", "x_name", "x_unit", "x", "y_name", "y_unit", "y",
    ])?;
    for machine in curves.machines {
        for figure in &machine.figures {
            let measured = Line { name: "measured".to_owned(), points: figure.measured.clone() };
            let at = Line { name: "this case".to_owned(), points: figure.at.into_iter().collect() };
            for line in figure.lines.iter().chain([&measured, &at]) {
                for (x, y) in &line.points {
                    writer.write_record([
                        &text_cell(&machine.name),
                        machine.sort.word(),
                        figure.title,
                        &text_cell(&line.name),
                        figure.x.name,
                        figure.x.kind.si_unit(),
                        &format!("{x:?}"),
                        figure.y.name,
                        figure.y.kind.si_unit(),
                        &format!("{y:?}"),
                    ])?;
                }
            }
        }
    }
    writer.into_inner().map_err(|error| error.into_error().into())
}
