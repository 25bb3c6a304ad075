//! From the curves of the model to the pages Machines and Pack.

use aircraft::variant::Varied;
use model::curves::{self, Figure, MachineCurves, MachineKind};
use model::levels::Law;
use model::result::CaseResult;
use schema::{InputEntry, Listing, TableEntry};

use super::fields::field;
use crate::views::chart::{Chart, Mark, Series};
use crate::views::field::InputField;
use crate::views::machines::MachineData;

/// Every machine of the drive and of the pack in a state; none where there is no drive or no state.
///
/// # Errors
/// What stands in the way of a curve, in one sentence.
pub(super) fn machines(varied: &Varied, result: &CaseResult) -> Result<Vec<MachineData>, String> {
    let found = curves::machines(&varied.project, result)
        .map_err(|problem| format!("no curves of machines: {}; {}", problem.message, problem.remedy))?;
    let Listing { inputs, tables } = varied.listing();
    Ok(found
        .iter()
        .map(|machine| MachineData {
            tables: own_tables(machine, &found, tables),
            ..data(machine, &found, (inputs, tables))
        })
        .collect())
}

fn data(
    machine: &MachineCurves,
    all: &[MachineCurves],
    entries: (&[InputEntry], &[TableEntry]),
) -> MachineData {
    MachineData {
        name: machine.name.clone(),
        sort: machine.sort.word().to_owned(),
        is_pack: matches!(machine.sort, MachineKind::Pack | MachineKind::Conductor),
        note: machine.note.clone(),
        values: report::curves::values(machine).into(),
        charts: machine.figures.iter().map(|figure| (chart(figure), held(figure))).collect(),
        law: Law::of_machine(machine).as_ref().map(super::levels::law),
        tables: Vec::new(),
        fields: fields(machine, all, entries),
    }
}

/// Measured tables of a machine that belong to no other machine of the same record.
fn own_tables(
    machine: &MachineCurves,
    all: &[MachineCurves],
    tables: &[TableEntry],
) -> Vec<(String, String)> {
    let inside = |path: &str, owner: &str| {
        !owner.is_empty()
            && path.strip_prefix(owner).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    let reach = |path: &str, machine: &MachineCurves| {
        let owners = [machine.path.as_str(), machine.law.as_str()].into_iter();
        owners.filter(|owner| inside(path, owner)).map(str::len).max().unwrap_or(0)
    };
    let found = aircraft::tables::tables_under(tables, &[&machine.path, &machine.law]);
    let is_own = |path: &str| {
        let own = reach(path, machine);
        own > 0 && all.iter().all(|other| other == machine || reach(path, other) <= own)
    };
    found.into_iter().filter(|(_, path)| is_own(path)).collect()
}

/// Inputs of the record of a machine that belong to no other machine of the same record; points of curves are left to the file.
fn fields(
    machine: &MachineCurves,
    all: &[MachineCurves],
    (inputs, tables): (&[InputEntry], &[TableEntry]),
) -> Vec<InputField> {
    let inside = |path: &str, owner: &str| {
        !owner.is_empty()
            && path.strip_prefix(owner).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    let own = |path: &str| inside(path, &machine.path) || inside(path, &machine.law);
    // the inverter of a motor stands in the record of the motor: the nearest owner has it
    let nearer = |path: &str| {
        let reach = |machine: &MachineCurves| {
            [machine.path.as_str(), machine.law.as_str()]
                .into_iter()
                .filter(|owner| inside(path, owner))
                .map(str::len)
                .max()
                .unwrap_or(0)
        };
        all.iter().any(|other| other != machine && reach(other) > reach(machine))
    };
    let own = inputs.iter().filter(|entry| {
        let path = &entry.address;
        !entry.in_curve && own(path) && !nearer(path) && !aircraft::tables::is_cell(tables, path)
    });
    let mut fields: Vec<InputField> = own.map(field).collect();
    tell_apart(&mut fields);
    fields
}

/// Puts what an input belongs to before its name where another input beside it has the same name.
fn tell_apart(fields: &mut [InputField]) {
    let labels: Vec<String> = fields.iter().map(|field| field.label.clone()).collect();
    for field in fields {
        if labels.iter().filter(|label| **label == field.label).count() > 1 {
            let owner = field.path.rsplit('.').nth(1).unwrap_or_default();
            field.label = format!("{} {}", owner.replace('_', " "), field.label);
        }
    }
}

fn chart(figure: &Figure) -> Chart {
    let (usual_x, usual_y) = (figure.x.usual(), figure.y.usual());
    let points = |points: &[(f64, f64)]| {
        points.iter().map(|(x, y)| [usual_x(*x), usual_y(*y)]).collect::<Vec<[f64; 2]>>()
    };
    let named =
        |name: &str, unit: &str| if unit.is_empty() { name.to_owned() } else { format!("{name}, {unit}") };
    let mark = |name: &str, (x, y): (f64, f64)| Mark { name: name.to_owned(), at: [usual_x(x), usual_y(y)] };
    let series: Vec<Series> = figure
        .lines
        .iter()
        .map(|line| Series { name: line.name.clone(), points: points(&line.points) })
        .collect();
    let largest = series.iter().flat_map(|s| &s.points).map(|p| p[1].abs()).filter(|v| v.is_finite());
    let largest = largest.fold(0.0, f64::max);
    let measured = figure.measured.iter().map(|at| mark("", *at));
    Chart {
        title: figure.title.to_owned(),
        x_unit: named(figure.x.name, figure.x.unit()),
        unit: named(figure.y.name, figure.y.unit()),
        decimals: (3.0 - largest.max(1e-3).log10().floor()).clamp(0.0, 4.0) as usize,
        series,
        marks: figure.at.map(|at| mark("this case", at)).into_iter().chain(measured).collect(),
        ..Chart::default()
    }
}

/// What is held along a figure, and where its law was measured.
fn held(figure: &Figure) -> String {
    let values: Vec<String> =
        figure.held.iter().map(|value| format!("{} {}", value.name, value.text())).collect();
    let values = (!values.is_empty()).then(|| format!("At {}.", values.join(", ")));
    let measured = figure.span.map(|(from, to)| {
        let usual = figure.x.usual();
        let told = |si| (usual(si) * 1e4).round() / 1e4;
        let (from, to) = (told(from), told(to));
        let unit = figure.x.unit();
        let gap = if unit.is_empty() { "" } else { " " };
        format!("Measured from {from} to {to}{gap}{unit}; the end values are held outside.")
    });
    values.into_iter().chain(measured).collect::<Vec<String>>().join(" ")
}
