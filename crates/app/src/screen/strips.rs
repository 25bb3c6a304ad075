//! Loops and ducts as display data: the flow strip and the table of its devices.

use aircraft::records::device::Device;
use aircraft::records::device::devices;
use aircraft::variant::Varied;
use model::duty::Duty;
use model::result::{CaseResult, CircuitResult, StationResult};
use schema::{InputEntry, Listing, TableEntry};

use super::duty::duty_chart;
use super::fields::field;
use super::units::celsius;
use crate::views::field::InputField;
use crate::views::figure::{Figure, Flag};
use crate::views::loops::{
    Branch, DeviceRow, DeviceTable, FlowStripData, StripDevice, StripEntry, StripKind, StripPage, WallMark,
};

pub(super) fn strips(varied: &Varied, result: &CaseResult, duties: &[Duty]) -> Vec<StripPage> {
    let entries = varied.listing();
    let project = &varied.project;
    let loops = project.loops.iter().zip(&result.loops).map(|(spec, state)| {
        let prefix = format!("loops.{}.", spec.name.as_str());
        page(StripKind::Loop, &prefix, &spec.path, state, entries, duties)
    });
    let ducts = project.ducts.iter().zip(&result.ducts).map(|(spec, state)| {
        let prefix = format!("ducts.{}.", spec.name.as_str());
        page(StripKind::Duct, &prefix, &spec.path, state, entries, duties)
    });
    loops.chain(ducts).collect()
}

fn page(
    kind: StripKind,
    prefix: &str,
    path: &[Device],
    state: &CircuitResult,
    Listing { inputs, tables }: &Listing,
    duties: &[Duty],
) -> StripPage {
    let specs = devices(path);
    let walls = |station: &StationResult| wall_marks(&specs, station);
    let mut entries = entries(&state.stations, 0, &walls);
    // the strip runs from the pump outlet back to the pump inlet
    if kind == StripKind::Loop {
        let pump = entries.iter().position(|e| matches!(e, StripEntry::Device(d) if d.kind == "pump"));
        if let Some(pump) = pump {
            entries.rotate_left(pump + 1);
        }
    }
    StripPage {
        strip: FlowStripData {
            name: state.name.clone(),
            kind,
            medium: state.fluid.clone(),
            flow: match kind {
                StripKind::Loop => format!("{:.2} L/min", 6e4 * state.volume_flow_m3_s),
                StripKind::Duct => {
                    format!("{:.3} m3/s, {:.3} kg/s", state.volume_flow_m3_s, state.mass_flow_kg_s)
                }
            },
            temperature_unit: "degC".to_owned(),
            pressure_unit: "kPa".to_owned(),
            entries,
        },
        table: DeviceTable {
            flow_unit: if kind == StripKind::Loop { "L/min" } else { "m3/s" }.to_owned(),
            temperature_unit: "degC".to_owned(),
            pressure_unit: "kPa".to_owned(),
            heat_unit: "kW".to_owned(),
            inputs: own_fields(prefix, inputs),
            rows: state
                .stations
                .iter()
                .map(|station| DeviceRow {
                    duty: duties
                        .iter()
                        .find(|duty| duty.machine == station.name)
                        .map(|d| duty_chart(kind, d)),
                    tables: tables_of(prefix, station, tables),
                    ..row(kind, prefix, station, inputs, tables)
                })
                .collect(),
        },
    }
}

/// The walls that touch a device, by name.
fn wall_marks(specs: &[&Device], station: &StationResult) -> Vec<WallMark> {
    let names: &[String] = match specs.iter().find(|d| d.name() == station.name) {
        Some(Device::ColdPlate(plate) | Device::Jacket(plate) | Device::Surface(plate)) => &plate.walls,
        _ => &[],
    };
    let walls = station.walls_k.iter().enumerate();
    let mark = |(index, wall): (usize, &f64)| WallMark {
        name: names.get(index).or(names.last()).cloned().unwrap_or_default(),
        temperature: celsius(*wall),
    };
    walls.map(mark).collect()
}

/// Inputs of the circuit that belong to none of its devices.
fn own_fields(prefix: &str, inputs: &[InputEntry]) -> Vec<InputField> {
    let is_own = |entry: &&InputEntry| {
        let own = entry.address.strip_prefix(prefix);
        own.is_some_and(|rest| !rest.starts_with("path.")) && !entry.in_curve
    };
    inputs.iter().filter(is_own).map(field).collect()
}

/// Stations as strip entries; those of deeper branches are gathered into parallel groups.
fn entries(
    stations: &[StationResult],
    depth: usize,
    walls: &impl Fn(&StationResult) -> Vec<WallMark>,
) -> Vec<StripEntry> {
    let mut all = Vec::new();
    let mut index = 0;
    while index < stations.len() {
        let Some((group, _)) = stations[index].branch.get(depth) else {
            all.push(StripEntry::Device(device(&stations[index], walls)));
            index += 1;
            continue;
        };
        let same = |s: &&StationResult| s.branch.get(depth).is_some_and(|(name, _)| name == group);
        let end = index + stations[index..].iter().take_while(same).count();
        all.push(StripEntry::Parallel(branches(&stations[index..end], depth, walls)));
        index = end;
    }
    all
}

fn branches(
    stations: &[StationResult],
    depth: usize,
    walls: &impl Fn(&StationResult) -> Vec<WallMark>,
) -> Vec<Branch> {
    let name_of = |s: &StationResult| s.branch[depth].1.clone();
    let chunks: Vec<&[StationResult]> = stations.chunk_by(|a, b| name_of(a) == name_of(b)).collect();
    let total: f64 = chunks.iter().map(|chunk| chunk[0].mass_flow_kg_s).sum();
    chunks
        .into_iter()
        .map(|chunk| Branch {
            name: name_of(&chunk[0]),
            share: if total.abs() > 1e-9 { chunk[0].mass_flow_kg_s / total } else { 0.0 },
            entries: entries(chunk, depth + 1, walls),
        })
        .collect()
}

fn device(station: &StationResult, walls: &impl Fn(&StationResult) -> Vec<WallMark>) -> StripDevice {
    StripDevice {
        name: station.name.clone(),
        kind: station.kind.to_owned(),
        temperature_in: celsius(station.temperature_in_k),
        temperature_out: celsius(station.temperature_out_k),
        pressure_in: 1e-3 * station.pressure_in_pa,
        pressure_out: 1e-3 * station.pressure_out_pa,
        heat_kw: 1e-3 * station.heat_w,
        walls: walls(station),
        flag: Flag::Plain,
    }
}

/// Measured tables of a device; those of a core stand where it is described.
fn tables_of(prefix: &str, station: &StationResult, tables: &[TableEntry]) -> Vec<(String, String)> {
    let name = &station.name;
    let inside = format!(".{name}.");
    let in_path = |path: &str| path.starts_with(prefix) && path.contains(&inside);
    let mut owners: Vec<String> =
        tables.iter().map(|entry| entry.address.clone()).filter(|path| in_path(path)).collect();
    if matches!(station.kind, "core" | "exchanger") {
        owners.extend([format!("cores.{name}"), format!("exchangers.{name}")]);
    }
    let owners: Vec<&str> = owners.iter().map(String::as_str).collect();
    aircraft::tables::tables_under(tables, &owners)
}

fn row(
    kind: StripKind,
    prefix: &str,
    station: &StationResult,
    inputs: &[InputEntry],
    tables: &[TableEntry],
) -> DeviceRow {
    let flow = match kind {
        StripKind::Loop => Figure::new(6e4 * station.volume_flow_m3_s, 2),
        StripKind::Duct => Figure::new(station.volume_flow_m3_s, 3),
    };
    let decimals = if kind == StripKind::Loop { 1 } else { 3 };
    let key = format!("{prefix}{}", station.name);
    let inside = format!(".{}.", station.name);
    // a core is described in `cores`, whatever circuit it stands in
    let places = [format!("cores.{}.", station.name), format!("exchangers.{}.", station.name)];
    let inputs = inputs
        .iter()
        .filter(|entry| !entry.in_curve)
        .filter(|entry| {
            let path = &entry.address;
            let in_path = path.starts_with(prefix) && path.contains(&inside);
            let described =
                matches!(station.kind, "core" | "exchanger") && places.iter().any(|p| path.starts_with(p));
            (in_path || described) && !aircraft::tables::is_cell(tables, path)
        })
        .map(field)
        .collect();
    DeviceRow {
        name: station.name.clone(),
        path: format!("{prefix}path.{}", station.name),
        kind: station.kind.to_owned(),
        branch: station.branch.last().map(|(_, branch)| branch.clone()),
        flow,
        inlet: Figure::new(celsius(station.temperature_in_k), 1),
        outlet: Figure::new(celsius(station.temperature_out_k), 1),
        pressure: Figure::new(1e-3 * station.pressure_out_pa, decimals),
        drop: Figure::new(1e-3 * (station.pressure_in_pa - station.pressure_out_pa), decimals),
        heat: Figure::new(1e-3 * station.heat_w, 3).explained(key),
        inputs,
        tables: Vec::new(),
        duty: None,
    }
}
