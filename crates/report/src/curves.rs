//! Curves of machines and of the pack as a table, as JSON and as comma-separated values.

use crate::json::{Origin, with};
use crate::sheet::{Cell, Column, Digits, Row, Sheet, SheetError, csv as written};
use model::curves::{Axis, Figure, Level, Line, MachineCurves, Value as Number};
use serde_json::{Map, Value, json};
use std::fmt::Write as _;
use units::Kind;

/// Machines of one case.
#[derive(Clone, Copy, Debug)]
pub struct CaseCurves<'a> {
    /// Case.
    pub case: &'a str,
    /// Its machines.
    pub machines: &'a [MachineCurves],
}

/// Numbers and levels of every machine; the curves themselves are too long for a sheet.
pub fn page(curves: &CaseCurves<'_>) -> String {
    let mut text = format!("{}\n\n", curves.case);
    if curves.machines.is_empty() {
        text.push_str("No machine: the project has no powertrain, or the case has no state.\n\n");
    }
    for machine in curves.machines {
        let _infallible = writeln!(text, "{}, {}", machine.name, machine.sort.word());
        if !machine.note.is_empty() {
            let _infallible = writeln!(text, "{}", machine.note);
        }
        text.extend(of_machine(machine).map(|sheet| sheet.text()));
    }
    text
}

/// Numbers of the case.
pub fn values(machine: &MachineCurves) -> Sheet {
    let columns = [
        Column::text("number"),
        Column::mixed("value").head("in the case").digits(Digits::Usual),
        Column::text("unit").data(),
    ];
    let row = |number: &Number| {
        vec![number.name.into(), Cell::Own(number.kind, number.si), Cell::said(number.kind.si_unit())]
    };
    let title = format!("{}: numbers of the case", machine.name);
    Sheet::new(title, columns).with_rows(machine.values.iter().map(row))
}

/// Levels of the law.
fn levels(machine: &MachineCurves) -> Sheet {
    let columns = [
        Column::text("level"),
        Column::number("loss_W", Kind::Power, "W", 1).head("loss at the case").in_cell(),
        Column::text("why").after(""),
        Column::flag("used", ["used", ""]),
        Column::text("doc").head("what it is"),
    ];
    let row = |level: &Level| {
        let why = match (level.value, &level.law) {
            (Some(_), _) => Cell::Absent,
            (None, Some(_)) => "cannot be told".into(),
            (None, None) => "too little is known".into(),
        };
        vec![level.name.into(), level.value.into(), why, level.is_used.into(), level.doc.into()]
    };
    let title = format!("{}: levels", machine.name);
    Sheet::new(title, columns).with_rows(machine.levels.iter().map(row))
}

/// Numbers and levels of a machine, where it has any.
fn of_machine(machine: &MachineCurves) -> impl Iterator<Item = Sheet> {
    [values(machine), levels(machine)].into_iter().filter(|sheet| !sheet.rows.is_empty())
}

/// Numbers and levels of every machine.
pub fn sheets(curves: &CaseCurves<'_>) -> Vec<Sheet> {
    curves.machines.iter().flat_map(of_machine).collect()
}

/// Curves of all cases as JSON.
pub fn json(origin: &Origin<'_>, cases: &[CaseCurves<'_>]) -> Value {
    let case = |curves: &CaseCurves<'_>| {
        let machines: Value = curves.machines.iter().map(machine).collect();
        json!({ "case": curves.case, "machines": machines })
    };
    with(origin.head(), "results", cases.iter().map(case).collect())
}

fn machine(machine: &MachineCurves) -> Value {
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
fn key(name: &str, kind: Kind) -> String {
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

/// Every point of every curve of a case, a row each; numbers in the SI unit that stands beside them.
pub fn points_sheet(curves: &CaseCurves<'_>) -> Sheet {
    let columns = [
        Column::text("machine"),
        Column::text("sort"),
        Column::text("figure"),
        Column::text("curve"),
        Column::text("x_name"),
        Column::text("x_unit"),
        Column::mixed("x"),
        Column::text("y_name"),
        Column::text("y_unit"),
        Column::mixed("y"),
    ];
    let mut sheet = Sheet::new("curves", columns);
    for machine in curves.machines {
        for figure in &machine.figures {
            let measured = Line { name: "measured".to_owned(), points: figure.measured.clone() };
            let at = Line { name: "this case".to_owned(), points: figure.at.into_iter().collect() };
            for line in figure.lines.iter().chain([&measured, &at]) {
                for point in &line.points {
                    sheet.push(point_row(machine, figure, line, *point));
                }
            }
        }
    }
    sheet
}

fn point_row(machine: &MachineCurves, figure: &Figure, line: &Line, (x, y): (f64, f64)) -> Row {
    vec![
        (&machine.name).into(),
        machine.sort.word().into(),
        figure.title.into(),
        (&line.name).into(),
        figure.x.name.into(),
        Cell::said(figure.x.kind.si_unit()),
        Cell::Own(figure.x.kind, x),
        figure.y.name.into(),
        Cell::said(figure.y.kind.si_unit()),
        Cell::Own(figure.y.kind, y),
    ]
}

/// The points as comma-separated values (RFC 4180), with the digits that read back to the same bits.
///
/// # Errors
/// [`SheetError::Write`], which only a lack of memory can cause.
pub fn csv(curves: &CaseCurves<'_>) -> Result<Vec<u8>, SheetError> {
    written::csv(&points_sheet(curves))
}
