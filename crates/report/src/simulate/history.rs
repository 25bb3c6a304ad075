//! A mission over time as a table: a row for each sample, a column for each number, headed by its path in the JSON of `simulate`.

use super::{Story, over_time};
use crate::history::{Column, HistoryError, HistoryTable};
use serde_json::Value;

/// Units as the keys of the JSON end in them, the longer ones first where one ends another.
const UNITS: [&str; 12] = ["m3_s", "kg_s", "W_K", "rad_s", "Nm", "Pa", "K", "W", "V", "A", "N", "s"];

/// Table of a mission. Loop, duct, device and component come before the quantity, as in `loops/stator/stator pump/temperature_out_K`;
/// the segments of a component along the flow are numbered from 1. Texts, such as the name of a rating, are left out.
///
/// # Errors
/// [`HistoryError`] if two parts have the same name.
pub fn table(story: &Story) -> Result<HistoryTable, HistoryError> {
    let mut columns = vec![Column::new("time", "s", story.times_s.clone())];
    if !story.state_of_charge.is_empty() {
        columns.push(Column::new("state_of_charge", "", story.state_of_charge.clone()));
    }
    for (key, value) in over_time(story) {
        flatten(&key, &value, &mut columns);
    }
    HistoryTable::new(columns)
}

/// Name of the file of a case: letters and digits stay, the parts of its name are joined by underscores.
pub fn file_name(case: &str, ending: &str) -> String {
    let plain = |c: char| match c {
        '/' => '_',
        c if c.is_alphanumeric() || c == '.' => c,
        _ => '-',
    };
    format!("{}.{ending}", case.chars().map(plain).collect::<String>())
}

/// Adds a column for every array of numbers over the samples. A list of parts is told by their names, other lists by number from 1.
fn flatten(path: &str, value: &Value, columns: &mut Vec<Column>) {
    match value {
        Value::Object(fields) => {
            for (key, value) in fields {
                // the stations of a loop are its devices: their list needs no name of its own
                let below = if key == "stations" { path.to_owned() } else { format!("{path}/{key}") };
                flatten(&below, value, columns);
            }
        }
        Value::Array(items) if items.iter().any(|item| item.is_object() || item.is_array()) => {
            for (number, item) in items.iter().enumerate() {
                let name = item.get("name").and_then(Value::as_str);
                let name = name.map_or_else(|| (number + 1).to_string(), str::to_owned);
                flatten(&format!("{path}/{name}"), item, columns);
            }
        }
        Value::Array(items) if items.iter().any(Value::is_number) => {
            let (name, unit) = unit_of(path);
            let numbers = items.iter().map(|item| item.as_f64().unwrap_or(f64::NAN)).collect();
            columns.push(Column::new(name, unit, numbers));
        }
        _ => {}
    }
}

/// Name and unit of a head. A number of a list stands after the unit of its key, and is put before it.
fn unit_of(path: &str) -> (String, &'static str) {
    let (head, number) = match path.rsplit_once('/') {
        Some((head, last)) if last.parse::<usize>().is_ok() => (head, Some(last)),
        _ => (path, None),
    };
    let found = UNITS.iter().find_map(|unit| {
        let name = head.strip_suffix(unit)?.strip_suffix('_')?;
        Some((name.to_owned(), *unit))
    });
    let (name, unit) = found.unwrap_or_else(|| (head.to_owned(), ""));
    (number.map_or_else(|| name.clone(), |number| format!("{name}/{number}")), unit)
}

#[cfg(test)]
mod tests {
    use super::{file_name, unit_of};

    #[test]
    fn a_unit_is_taken_from_the_end_of_a_key() {
        for (path, name, unit) in [
            ("components/left rotor/temperature_K", "components/left rotor/temperature", "K"),
            ("loops/stator/mass_flow_kg_s", "loops/stator/mass_flow", "kg_s"),
            ("exchangers/core/conductance_W_K", "exchangers/core/conductance", "W_K"),
            ("components/cells/segments_K/2", "components/cells/segments/2", "K"),
            ("exchangers/core/effectiveness", "exchangers/core/effectiveness", ""),
        ] {
            assert_eq!(unit_of(path), (name.to_owned(), unit));
        }
    }

    #[test]
    fn a_case_becomes_a_plain_file_name() {
        assert_eq!(file_name("hot day/tow flight/fan stops", "csv"), "hot-day_tow-flight_fan-stops.csv");
    }
}
