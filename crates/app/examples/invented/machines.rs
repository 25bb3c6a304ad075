//! Machines of the invented project.

use app::views::chart::{Chart, Mark, Series};
use app::views::levels::{LawData, LevelRow};
use app::views::machines::MachineData;
use report::sheet::{Cell, Column, Digits, Sheet};
use units::Kind;

fn machine(name: &str, sort: &str, is_pack: bool, (x_unit, unit): (&str, &str)) -> MachineData {
    let points = (0..=20).map(|k| f64::from(k) * 0.1).map(|x| [100.0 * x, 40.0 + 400.0 * x * x]).collect();
    let chart = Chart {
        title: format!("Loss of {name}"),
        x_unit: x_unit.to_owned(),
        unit: unit.to_owned(),
        decimals: 0,
        series: vec![Series { name: "all of it".to_owned(), points }],
        marks: vec![Mark { name: "this case".to_owned(), at: [100.0, 440.0] }],
        ..Chart::default()
    };
    MachineData {
        name: name.to_owned(),
        sort: sort.to_owned(),
        is_pack,
        values: values().into(),
        charts: vec![(chart, "Held: winding 90.0 degC.".to_owned())],
        law: Some(LawData {
            what: "losses".to_owned(),
            path: format!("invented.{name}.losses"),
            levels: vec![
                LevelRow {
                    name: "Fixed".to_owned(),
                    result: "440.0 W".to_owned(),
                    is_used: true,
                    doc: "A loss in watts.".to_owned(),
                    ..LevelRow::default()
                },
                LevelRow {
                    name: "Table".to_owned(),
                    result: "too little is known".to_owned(),
                    doc: "Measured over speed and torque.".to_owned(),
                    ..LevelRow::default()
                },
            ],
        }),
        ..MachineData::default()
    }
}

/// Two motors and a pack.
pub(super) fn machines() -> Vec<MachineData> {
    vec![
        machine("Motor 1", "motor", false, ("torque, N m", "loss, W")),
        machine("Motor 2", "motor", false, ("torque, N m", "loss, W")),
        machine("Pack", "pack", true, ("current, A", "loss, W")),
    ]
}

/// Numbers of the case.
fn values() -> Sheet {
    let columns = [
        Column::text("number"),
        Column::mixed("value").head("in the case").digits(Digits::Usual),
        Column::text("unit").data(),
    ];
    let rows = [("loss", Kind::Power, 440.0, "W"), ("efficiency", Kind::Ratio, 0.96, "")];
    Sheet::new("numbers of the case", columns).with_rows(
        rows.map(|(name, kind, si, unit)| vec![name.into(), Cell::Own(kind, si), Cell::said(unit)]),
    )
}
