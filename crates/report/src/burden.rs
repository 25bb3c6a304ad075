//! The mass and power book as tables and as JSON.

use crate::json::{Origin, with};
use crate::{Table, clock, table::table};
use aircraft::records::project::Project;
use model::book::{Draw, Equivalent, MassBook, MassLine, MissionDraw};
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::burden::{Burden, CaseBurden, CaseDraw};

/// Joules in a watt-hour.
const WATT_HOUR_J: f64 = 3600.0;

/// Masses device by device, then what the cooling takes case by case.
pub fn sheet(project: &Project, variant: &str, burden: &Burden) -> String {
    let mut text = format!("{}, variant {variant}: mass and power book\n\n", project.name.as_str());
    masses(&burden.masses, &mut text);
    for case in &burden.cases {
        of_case(case, &mut text);
    }
    text.push_str(&worth(project));
    text
}

fn masses(book: &MassBook, text: &mut String) {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for circuit in book.circuits() {
        for line in book.lines.iter().filter(|line| line.circuit == circuit) {
            rows.push(vec![
                circuit.to_owned(),
                line.name.clone(),
                line.kind.to_owned(),
                format!("{:.2}", line.dry_kg),
                format!("{:.2}", line.coolant_kg),
                line.basis.word().to_owned(),
            ]);
        }
        rows.push(vec![
            circuit.to_owned(),
            "sum".to_owned(),
            String::new(),
            format!("{:.2}", sum(book, circuit, |line| line.dry_kg)),
            format!("{:.2}", sum(book, circuit, |line| line.coolant_kg)),
            String::new(),
        ]);
    }
    text.push_str(&table(&["loop or duct", "device", "what", "dry kg", "coolant kg", "mass"], &[3, 4], rows));
    let _infallible = writeln!(
        text,
        "Together {:.2} kg: {:.2} kg dry and {:.2} kg of coolant and oil\n",
        book.total_kg(),
        book.dry_kg(),
        book.coolant_kg()
    );
    rules(book, text);
}

fn sum(book: &MassBook, circuit: &str, of: impl Fn(&MassLine) -> f64) -> f64 {
    book.lines.iter().filter(|line| line.circuit == circuit).map(of).sum()
}

/// Rules behind assumed masses, each once with what it was used for.
fn rules(book: &MassBook, text: &mut String) {
    let mut told: Vec<&str> = Vec::new();
    for line in book.lines.iter().filter(|line| !line.basis.how().is_empty()) {
        let how = line.basis.how();
        if !told.contains(&how) {
            told.push(how);
            let _infallible = writeln!(text, "{}, {}: {how}", line.kind, line.basis.word());
        }
    }
    text.push('\n');
}

fn of_case(case: &CaseBurden, text: &mut String) {
    match &case.draw {
        CaseDraw::Steady(draw) => {
            let _infallible = writeln!(text, "Case {}, power in this state", case.case);
            text.push_str(&draws(draw, None));
        }
        CaseDraw::Flown(taken, equivalent) => {
            let _infallible =
                writeln!(text, "Case {}, over {} with its soak", case.case, clock(taken.duration_s));
            text.push_str(&draws(&taken.mean, Some(taken.duration_s)));
            text.push_str(&equivalents(equivalent).text());
        }
        CaseDraw::None => {
            let _infallible = writeln!(text, "Case {}: {}, nothing to book\n", case.case, case.status.word());
        }
    }
}

fn draws(draw: &Draw, duration_s: Option<f64>) -> String {
    let energy =
        |power_w: f64| duration_s.map_or_else(String::new, |s| format!("{:.1}", power_w * s / WATT_HOUR_J));
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut push = |circuit: &str, name: &str, what: &str, power_w: f64| {
        let (circuit, name, what) = (circuit.to_owned(), name.to_owned(), what.to_owned());
        rows.push(vec![circuit, name, what, format!("{power_w:.1}"), energy(power_w)]);
    };
    for machine in &draw.machines {
        let what = if machine.on_shaft { "from the output shaft" } else { "electrical" };
        push(&machine.circuit, &machine.name, what, machine.power_w);
    }
    if draw.converter_w > 0.0 {
        push("", "converters", "loss, share of pumps and fans", draw.converter_w);
    }
    for duct in &draw.ducts {
        push(&duct.name, "drag", &format!("{:.1} N times airspeed", duct.drag_n), duct.drag_power_w);
    }
    let head = if duration_s.is_some() { "mean W" } else { "W" };
    table(&["loop or duct", "what", "how", head, "Wh"], &[3, 4], rows)
}

pub(crate) fn equivalents(mass: &Equivalent) -> Table {
    let row = |what: &str, why: String, kg: f64| vec![what.to_owned(), why, format!("{kg:.2}")];
    let rows = vec![
        row("dry mass", String::new(), mass.dry_kg),
        row("coolant and oil", String::new(), mass.coolant_kg),
        row(
            "cells for pumps and fans",
            format!("{:.1} Wh at the bus", mass.machines_j / WATT_HOUR_J),
            mass.machines_kg,
        ),
        row("cells against drag", format!("{:.1} Wh at the bus", mass.drag_j / WATT_HOUR_J), mass.drag_kg),
        row(
            "cells that carry all this",
            format!("{:.2} Wh at the bus for each kg", mass.carry_j_kg / WATT_HOUR_J),
            mass.carry_kg,
        ),
        row("equivalent mass", String::new(), mass.total_kg()),
    ];
    Table::new("equivalent mass", &["term", "from", "kg"], &[2], rows)
}

/// Worth of mass and energy, each with whether it is a default.
fn worth(project: &Project) -> String {
    let worth = &project.worth;
    let mark = |stated: bool| if stated { "" } else { " (default)" };
    let craft = match &project.craft {
        Some(aircraft::records::craft::Craft::Aeroplane(_)) => format!(
            "carrying: g V / (L/D x propulsive efficiency), L/D {}{}",
            worth.lift_to_drag,
            mark(worth.lift_to_drag.stated())
        ),
        Some(aircraft::records::craft::Craft::Rotorcraft(_)) => format!(
            "carrying: {}{} x power / mass, the law of the hover taken of the power at every moment",
            worth.power_exponent,
            mark(worth.power_exponent.stated())
        ),
        None => "carrying: nothing, the project names no craft".to_owned(),
    };
    format!(
        "Worth: pack {}{}, drive efficiency {}{}, propulsive efficiency {}{};\n{craft}.\n\
         Defaults and assumed masses are common practice without source: state your own under `worth` and `mass`.\n",
        worth.specific_energy,
        mark(worth.specific_energy.stated()),
        worth.drive_efficiency,
        mark(worth.drive_efficiency.stated()),
        worth.propulsive_efficiency,
        mark(worth.propulsive_efficiency.stated()),
    )
}

/// Result of `burden`.
pub fn json(origin: &Origin<'_>, burden: &Burden) -> Value {
    let book = &burden.masses;
    let masses = json!({
        "dry_kg": book.dry_kg(),
        "coolant_kg": book.coolant_kg(),
        "lines": book.lines.iter().map(line).collect::<Value>(),
    });
    let head = with(origin.head(), "masses", masses);
    with(head, "cases", burden.cases.iter().map(case).collect())
}

fn line(line: &MassLine) -> Value {
    json!({
        "circuit": line.circuit,
        "name": line.name,
        "kind": line.kind,
        "dry_kg": line.dry_kg,
        "coolant_kg": line.coolant_kg,
        "basis": line.basis.word(),
        "how": line.basis.how(),
    })
}

fn case(case: &CaseBurden) -> Value {
    let head = json!({ "case": case.case.to_string(), "status": case.status.word() });
    match &case.draw {
        CaseDraw::None => head,
        CaseDraw::Steady(draw) => with(head, "power", powers(draw)),
        CaseDraw::Flown(MissionDraw { duration_s, mean }, mass) => {
            let head = with(head, "duration_s", json!(duration_s));
            let head = with(head, "mean_power", powers(mean));
            with(head, "equivalent", equivalent(mass))
        }
    }
}

pub(crate) fn powers(draw: &Draw) -> Value {
    let machines = draw.machines.iter().map(|machine| {
        json!({
            "name": machine.name,
            "circuit": machine.circuit,
            "power_W": machine.power_w,
            "on_shaft": machine.on_shaft,
        })
    });
    let ducts = draw
        .ducts
        .iter()
        .map(|duct| json!({ "name": duct.name, "drag_N": duct.drag_n, "drag_power_W": duct.drag_power_w }));
    json!({
        "machines": machines.collect::<Value>(),
        "converters_W": draw.converter_w,
        "ducts": ducts.collect::<Value>(),
        "carry_W_kg": draw.carry_w_kg,
    })
}

pub(crate) fn equivalent(mass: &Equivalent) -> Value {
    json!({
        "dry_kg": mass.dry_kg,
        "coolant_kg": mass.coolant_kg,
        "machines_J": mass.machines_j,
        "drag_J": mass.drag_j,
        "carry_J_kg": mass.carry_j_kg,
        "machines_kg": mass.machines_kg,
        "drag_kg": mass.drag_kg,
        "carry_kg": mass.carry_kg,
        "total_kg": mass.total_kg(),
    })
}
