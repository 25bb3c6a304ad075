//! The mass and power book as tables and as JSON.

use crate::clock;
use crate::json::{Origin, with};
use crate::sheet::{Cell, Column, Sheet};
use aircraft::records::craft::Craft;
use aircraft::records::project::Project;
use model::budget::{Draw, Equivalent, MassBudget, MassLine, MissionDraw};
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::budget::{Budget, CaseBudget, CaseDraw};
use units::Kind;

/// Masses device by device, then what the cooling takes case by case.
pub fn page(project: &Project, variant: &str, budget: &Budget) -> String {
    let mut text = format!("{}, variant {variant}: mass and power book\n\n", project.name.as_str());
    text.push_str(&masses(&budget.masses).text());
    together(&budget.masses, &mut text);
    for case in &budget.cases {
        of_case(case, &mut text);
    }
    text.push_str(&worth(project));
    text
}

/// Masses device by device, with a sum for each circuit.
fn masses(book: &MassBudget) -> Sheet {
    let columns = [
        Column::text("circuit").head("loop or duct"),
        Column::text("name").head("device"),
        Column::text("kind").head("what"),
        Column::number("dry_kg", Kind::Mass, "kg", 2).head("dry"),
        Column::number("coolant_kg", Kind::Mass, "kg", 2).head("coolant"),
        Column::text("basis").head("mass"),
    ];
    let mut sheet = Sheet::new("masses", columns);
    for circuit in book.circuits() {
        for line in book.lines.iter().filter(|line| line.circuit == circuit) {
            sheet.push([
                circuit.into(),
                (&line.name).into(),
                line.kind.into(),
                line.dry_kg.into(),
                line.coolant_kg.into(),
                line.basis.word().into(),
            ]);
        }
        let dry_kg = sum(book, circuit, |line| line.dry_kg);
        let coolant_kg = sum(book, circuit, |line| line.coolant_kg);
        sheet.push([
            circuit.into(),
            "sum".into(),
            Cell::Absent,
            dry_kg.into(),
            coolant_kg.into(),
            Cell::Absent,
        ]);
    }
    sheet
}

fn together(book: &MassBudget, text: &mut String) {
    let _infallible = writeln!(
        text,
        "Together {:.2} kg: {:.2} kg dry and {:.2} kg of coolant and oil\n",
        book.total_kg(),
        book.dry_kg(),
        book.coolant_kg()
    );
    rules(book, text);
}

/// The masses, then what the cooling takes in every case that has something to book.
pub fn sheets(budget: &Budget) -> Vec<Sheet> {
    let cases = budget.cases.iter().flat_map(|case| {
        let all = match &case.draw {
            CaseDraw::Steady(draw) => vec![draws(draw, None)],
            CaseDraw::Flown(taken, equivalent) => {
                vec![draws(&taken.mean, Some(taken.duration_s)), equivalents(equivalent)]
            }
            CaseDraw::None => Vec::new(),
        };
        all.into_iter().map(move |sheet| Sheet { title: format!("{}: {}", case.case, sheet.title), ..sheet })
    });
    std::iter::once(masses(&budget.masses)).chain(cases).collect()
}

fn sum(book: &MassBudget, circuit: &str, of: impl Fn(&MassLine) -> f64) -> f64 {
    book.lines.iter().filter(|line| line.circuit == circuit).map(of).sum()
}

/// Rules behind assumed masses, each once with what it was used for.
fn rules(book: &MassBudget, text: &mut String) {
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

fn of_case(case: &CaseBudget, text: &mut String) {
    match &case.draw {
        CaseDraw::Steady(draw) => {
            let _infallible = writeln!(text, "Case {}, power in this state", case.case);
            text.push_str(&draws(draw, None).text());
        }
        CaseDraw::Flown(taken, equivalent) => {
            let _infallible =
                writeln!(text, "Case {}, over {} with its soak", case.case, clock(taken.duration_s));
            text.push_str(&draws(&taken.mean, Some(taken.duration_s)).text());
            text.push_str(&equivalents(equivalent).text());
        }
        CaseDraw::None => {
            let _infallible = writeln!(text, "Case {}: {}, nothing to book\n", case.case, case.status.word());
        }
    }
}

/// What the cooling takes; over a flight its mean, and the energy.
fn draws(draw: &Draw, duration_s: Option<f64>) -> Sheet {
    let columns = [
        Column::text("circuit").head("loop or duct"),
        Column::text("name").head("what"),
        Column::text("how"),
        Column::number("drag_N", Kind::Force, "N", 1).data(),
        Column::number("power_W", Kind::Power, "W", 1).head(if duration_s.is_some() { "mean" } else { "" }),
        Column::number("energy_J", Kind::Energy, "Wh", 1).head(""),
    ];
    let mut sheet = Sheet::new("power", columns);
    let mut push = |circuit: &str, name: &str, how: &str, drag_n: Option<f64>, power_w: f64| {
        let energy_j = duration_s.map(|s| power_w * s);
        let names = [Cell::said(circuit), name.into(), how.into()];
        sheet.push(names.into_iter().chain([drag_n.into(), power_w.into(), energy_j.into()]));
    };
    for machine in &draw.machines {
        let how = if machine.on_shaft { "from the output shaft" } else { "electrical" };
        push(&machine.circuit, &machine.name, how, None, machine.power_w);
    }
    if draw.converter_w > 0.0 {
        push("", "converters", "loss, share of pumps and fans", None, draw.converter_w);
    }
    for duct in &draw.ducts {
        let how = format!("{:.1} N times airspeed", duct.drag_n);
        push(&duct.name, "drag", &how, Some(duct.drag_n), duct.drag_power_w);
    }
    sheet
}

/// The terms of the equivalent mass.
pub(crate) fn equivalents(mass: &Equivalent) -> Sheet {
    let columns = [
        Column::text("term"),
        Column::number("energy_J", Kind::Energy, "Wh", 1).head("from").in_cell().left(),
        Column::number("energy_J_kg", Kind::SpecificEnergy, "Wh/kg", 2).silent().after(""),
        Column::text("of").after(" "),
        Column::number("mass_kg", Kind::Mass, "kg", 2).head(""),
    ];
    let bus = "at the bus";
    let mut sheet = Sheet::new("equivalent mass", columns);
    let mut push = |term: &str, energy_j: Option<f64>, energy_j_kg: Option<f64>, of: &str, kg: f64| {
        sheet.push([term.into(), energy_j.into(), energy_j_kg.into(), Cell::said(of), kg.into()]);
    };
    push("dry mass", None, None, "", mass.dry_kg);
    push("coolant and oil", None, None, "", mass.coolant_kg);
    push("cells for pumps and fans", Some(mass.machines_j), None, bus, mass.machines_kg);
    push("cells against drag", Some(mass.drag_j), None, bus, mass.drag_kg);
    push(
        "cells that carry all this",
        None,
        Some(mass.carry_j_kg),
        "Wh at the bus for each kg",
        mass.carry_kg,
    );
    push("equivalent mass", None, None, "", mass.total_kg());
    sheet
}

/// Worth of mass and energy, each with whether it is a default.
fn worth(project: &Project) -> String {
    let worth = &project.worth;
    let mark = |stated: bool| if stated { "" } else { " (default)" };
    let craft = match &project.craft {
        Some(Craft::Aeroplane(_)) if worth.lift_to_drag.stated() => {
            format!("carrying: g V / (L/D x propulsive efficiency), L/D {}", worth.lift_to_drag)
        }
        Some(Craft::Rotorcraft(_)) if worth.power_exponent.stated() => {
            format!("carrying: {} x power / mass, as stated, at every moment", worth.power_exponent)
        }
        Some(Craft::Aeroplane(_)) => format!(
            "carrying: n x power / mass, n from the drag of the craft record at each moment; where that says nothing, L/D {} (default)",
            worth.lift_to_drag
        ),
        Some(Craft::Rotorcraft(_)) => {
            "carrying: n x power / mass, n 1.5 in hover, at speed from the craft record at each moment"
                .to_owned()
        }
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

/// Result of `budget`.
pub fn json(origin: &Origin<'_>, budget: &Budget) -> Value {
    let book = &budget.masses;
    let masses = json!({
        "dry_kg": book.dry_kg(),
        "coolant_kg": book.coolant_kg(),
        "lines": book.lines.iter().map(line).collect::<Value>(),
    });
    let head = with(origin.head(), "masses", masses);
    with(head, "cases", budget.cases.iter().map(case).collect())
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

fn case(case: &CaseBudget) -> Value {
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
