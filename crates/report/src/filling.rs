//! The filling of the loops: whether the gas cushions hold from the coldest to the hottest case.

use crate::sheet::{Cell, Column, Row, Sheet};
use serde_json::{Value, json};
use studies::{Filling, InCase};
use units::Kind;

/// A row for each loop with a reservoir.
pub(crate) fn sheet(all: &[Filling]) -> Option<Sheet> {
    let litres = |key: &str, head: &str| Column::number(key, Kind::Volume, "L", 2).head(head);
    let gauge = |key: &str, head: &str| Column::number(key, Kind::GaugePressure, "kPag", 0).head(head);
    let columns = [
        Column::text("loop"),
        litres("most_gas_m3", "gas, coldest"),
        litres("least_gas_m3", "hottest"),
        litres("gas_at_fill_m3", "at fill"),
        gauge("gauge_Pag", "pressed to"),
        gauge("cap_Pag", "cap opens"),
        Column::text("verdict"),
    ];
    let row = |filling: &Filling| -> Row {
        let pressed = &filling.most_pressed.at.cushion;
        vec![
            (&filling.circuit).into(),
            filling.most_gas.at.cushion.gas_m3.into(),
            filling.least_gas.at.cushion.gas_m3.into(),
            filling.least_gas.at.cushion.gas_at_fill_m3.into(),
            pressed.gauge_pa.into(),
            if pressed.is_vented { Cell::Absent } else { pressed.cap_gauge_pa.into() },
            verdict(filling).into(),
        ]
    };
    (!all.is_empty()).then(|| Sheet::new("filling", columns).with_rows(all.iter().map(row)))
}

/// The filling as text; empty without reservoirs.
pub(crate) fn page(all: &[Filling]) -> String {
    let Some(sheet) = sheet(all) else { return String::new() };
    format!("Filling: the gas cushions from the coldest to the hottest case\n{}", sheet.text())
}

/// What becomes of the cushion, in words.
fn verdict(filling: &Filling) -> String {
    let faults: Vec<String> = filling
        .faults
        .iter()
        .map(|(fault, at)| format!("{} in {}{}", fault.word().replace('_', " "), at.case, moment(at)))
        .collect();
    match (faults.is_empty(), filling.most_pressed.at.cushion.is_vented) {
        (false, _) => faults.join("; "),
        (true, true) => "holds, vented".to_owned(),
        (true, false) => "holds".to_owned(),
    }
}

fn moment(at: &InCase) -> String {
    at.at.time_s.map_or_else(String::new, |time_s| format!(" at {time_s:.0} s"))
}

fn in_case(at: &InCase) -> Value {
    let cushion = &at.at.cushion;
    json!({
        "case": at.case.to_string(),
        "time_s": at.at.time_s,
        "gas_m3": cushion.gas_m3,
        "gauge_Pa": cushion.gauge_pa,
        "cap_open": cushion.cap_open,
        "empty": cushion.empty,
    })
}

/// The filling of a loop.
pub(crate) fn json(filling: &Filling) -> Value {
    let pressed = &filling.most_pressed.at.cushion;
    json!({
        "loop": filling.circuit,
        "reservoir": filling.reservoir,
        "gas_at_fill_m3": pressed.gas_at_fill_m3,
        "cap_Pa": if pressed.is_vented { Value::Null } else { json!(pressed.cap_gauge_pa) },
        "holds": filling.faults.is_empty(),
        "most_gas": in_case(&filling.most_gas),
        "least_gas": in_case(&filling.least_gas),
        "most_pressed": in_case(&filling.most_pressed),
        "faults": filling.faults.iter().map(|(fault, at)| json!({
            "kind": fault.word(),
            "case": at.case.to_string(),
            "time_s": at.at.time_s,
        })).collect::<Value>(),
    })
}
