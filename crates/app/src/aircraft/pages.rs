//! Results as display data: degrees Celsius, kilopascals, litres a minute, kilowatts.

use aircraft::records::device::Device;
use aircraft::records::device::devices;
use aircraft::records::powertrain::{Bus, Powertrain};
use aircraft::records::project::Project;
use aircraft::variant::Varied;
use model::case_name::CaseName;
use model::duty::Duty;
use model::result::{CaseResult, CircuitResult, Margin, MarginKind, StationResult, Status, reason};
use schema::{Evidence as Basis, InputEntry, Listing, TableEntry};

use crate::views::chart::{Chart, Mark, Series};
use crate::views::field::{Evidence, InputField};
use crate::views::figure::{Figure, Flag, Standing, signed};
use crate::views::header::WorstMargin;
use crate::views::ledger::{LedgerData, LedgerItem};
use crate::views::loops::{
    Branch, DeviceRow, DeviceTable, FlowStripData, StripDevice, StripEntry, StripKind, StripPage, WallMark,
};
use crate::views::margins::{MarginEntry, MarginGrid};
use crate::views::temperatures::{TemperatureRow, TemperatureTable};

const ZERO_CELSIUS_K: f64 = 273.15;
/// A ledger closes when this share of what is turned over is left.
const LEDGER_CLOSES_TO: f64 = 1e-6;

pub(in crate::aircraft) fn celsius(kelvin: f64) -> f64 {
    kelvin - ZERO_CELSIUS_K
}

/// Margin and required margin in display units, with the unit.
pub(super) fn displayed(margin: &Margin) -> (f64, f64, &'static str) {
    match margin.kind {
        MarginKind::Rating => (1e-3 * margin.margin, 1e-3 * margin.required, "kW"),
        MarginKind::RatedTorque => (margin.margin, margin.required, "N m"),
        MarginKind::RatedSpeed => {
            let rpm = 30.0 / std::f64::consts::PI;
            (rpm * margin.margin, rpm * margin.required, "rpm")
        }
        MarginKind::Maximum | MarginKind::Minimum | MarginKind::Boiling | MarginKind::Freezing => {
            (margin.margin, margin.required, "K")
        }
    }
}

/// A case with its margins, each with its moment if the case is a mission.
pub(super) struct Judged<'a> {
    /// Its name.
    pub(super) case: CaseName,
    /// How the solve ended.
    pub(super) status: Status,
    /// Where it ended badly.
    pub(super) place: String,
    /// Every limit.
    pub(super) margins: Vec<(&'a Margin, Option<f64>)>,
}

impl<'a> From<&'a CaseResult> for Judged<'a> {
    fn from(result: &'a CaseResult) -> Self {
        Self {
            case: result.case.clone(),
            status: result.status,
            place: reason(result.status, &result.notices).map(|n| n.place.clone()).unwrap_or_default(),
            margins: result.margins.iter().map(|margin| (margin, None)).collect(),
        }
    }
}

/// The worst of all margins; a case without a state comes before every number.
pub(super) fn worst(cases: &[Judged<'_>]) -> Option<WorstMargin> {
    if let Some(failed) = cases.iter().find(|case| !case.status.can_be_judged()) {
        return Some(WorstMargin {
            margin: failed.status.word().replace('_', " "),
            required: String::new(),
            where_: failed.place.clone(),
            case: failed.case.clone(),
            time_s: None,
            standing: Standing::Passed,
        });
    }
    let all =
        cases.iter().flat_map(|case| case.margins.iter().map(move |(margin, time)| (case, margin, time)));
    let (case, margin, time_s) = all.min_by(|a, b| Margin::worst_first(a.1, b.1))?;
    let (value, required, unit) = displayed(margin);
    Some(WorstMargin {
        margin: format!("{} {unit}", signed(value, 1)),
        required: format!("{required:.0} {unit}"),
        where_: format!("{}, {}", margin.place, margin.limit),
        case: case.case.clone(),
        time_s: *time_s,
        standing: Standing::of(Some(value), required),
    })
}

pub(super) fn margins(cases: &[Judged<'_>]) -> MarginGrid {
    let mut entries: Vec<(f64, MarginEntry)> = Vec::new();
    for case in cases {
        if !case.status.can_be_judged() {
            entries.push((
                f64::NEG_INFINITY,
                MarginEntry {
                    where_: case.place.clone(),
                    limit: case.status.word().replace('_', " "),
                    case: case.case.clone(),
                    unit: "K".to_owned(),
                    ..MarginEntry::default()
                },
            ));
        }
        for (margin, time_s) in &case.margins {
            let (value, required, unit) = displayed(margin);
            entries.push((
                margin.rank(),
                MarginEntry {
                    where_: margin.place.clone(),
                    limit: margin.limit.clone(),
                    case: case.case.clone(),
                    unit: unit.to_owned(),
                    margin: value.is_finite().then_some(value),
                    required,
                    time_s: *time_s,
                },
            ));
        }
    }
    entries.sort_by(|a, b| a.0.total_cmp(&b.0));
    MarginGrid::new(entries.into_iter().map(|(_, entry)| entry).collect())
}

pub(super) fn temperatures(project: &Project, result: &CaseResult) -> TemperatureTable {
    let mut rows = Vec::new();
    for (spec, state) in project.components.iter().zip(&result.components) {
        let name = state.name.as_str();
        let limits: Vec<&Margin> =
            result.margins.iter().filter(|m| m.place == name && m.kind.unit() == "K").collect();
        let heat = Figure::new(1e-3 * state.heat_w, 3);
        if limits.is_empty() || spec.limits.is_empty() {
            rows.push(TemperatureRow {
                component: name.to_owned(),
                limit_name: "no limit given".to_owned(),
                temperature: Figure::new(celsius(state.temperature_k()), 1),
                limit: Figure::none(),
                margin: Figure::none(),
                required: Figure::none(),
                heat,
                standing: Standing::Unknown,
                value: celsius(state.temperature_k()),
                limit_value: None,
                is_minimum: false,
            });
            continue;
        }
        for margin in limits {
            rows.push(TemperatureRow {
                component: name.to_owned(),
                limit_name: margin.limit.clone(),
                temperature: Figure::new(celsius(margin.value), 1),
                limit: Figure::new(celsius(margin.limit_value), 1),
                margin: Figure::new(margin.margin, 1),
                required: Figure::new(margin.required, 1),
                heat: heat.clone(),
                standing: Standing::of(Some(margin.margin), margin.required),
                value: celsius(margin.value),
                limit_value: Some(celsius(margin.limit_value)),
                is_minimum: margin.kind == MarginKind::Minimum,
            });
        }
    }
    TemperatureTable {
        temperature_unit: "degC".to_owned(),
        difference_unit: "K".to_owned(),
        heat_unit: "kW".to_owned(),
        rows,
    }
}

pub(super) fn ledger(result: &CaseResult) -> LedgerData {
    let side = |is_rejection: bool| {
        let mut items: Vec<LedgerItem> = result
            .lines
            .iter()
            .filter(|line| line.is_rejection == is_rejection && line.heat_w.abs() > 1e-3)
            .map(|line| LedgerItem { name: line.what.clone(), how: String::new(), value: 1e-3 * line.heat_w })
            .collect();
        items.sort_by(|a, b| b.value.abs().total_cmp(&a.value.abs()));
        items
    };
    LedgerData {
        unit: "kW".to_owned(),
        decimals: 3,
        generated: side(false),
        rejected: side(true),
        stored: Vec::new(),
        residual: 1e-3 * result.ledger.residual_w,
        allowed_residual: 1e-3 * LEDGER_CLOSES_TO * result.ledger.turnover_w.abs(),
        book: None,
    }
}

/// The component of the cells, if the bus is a pack.
pub(super) fn cells(powertrain: &Powertrain) -> Option<&str> {
    match &powertrain.bus {
        Bus::Pack(pack) => Some(pack.cells.as_str()),
        Bus::Supply(_) => None,
    }
}

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
    let walls = |station: &StationResult| -> Vec<WallMark> {
        let spec = specs.iter().find(|d| d.name() == station.name);
        let names = match spec {
            Some(Device::ColdPlate(plate) | Device::Jacket(plate) | Device::Surface(plate)) => {
                plate.walls.clone()
            }
            _ => Vec::new(),
        };
        station
            .walls_k
            .iter()
            .enumerate()
            .map(|(index, wall)| WallMark {
                name: names.get(index).or(names.last()).cloned().unwrap_or_default(),
                temperature: celsius(*wall),
            })
            .collect()
    };
    let mut entries = entries(&state.stations, 0, &walls);
    // the strip runs from the pump outlet back to the pump inlet
    if kind == StripKind::Loop {
        let pump = entries.iter().position(|e| matches!(e, StripEntry::Device(d) if d.kind == "pump"));
        if let Some(pump) = pump {
            entries.rotate_left(pump + 1);
        }
    }
    let own = || -> Vec<InputField> {
        inputs
            .iter()
            .filter(|entry| {
                let own = entry.address.strip_prefix(prefix);
                own.is_some_and(|rest| !rest.starts_with("path.")) && !entry.in_curve
            })
            .map(field)
            .collect()
    };
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
            inputs: own(),
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

/// Pressure over flow: litres a minute in loops, cubic metres a second in ducts; kilopascals in both.
fn duty_chart(kind: StripKind, duty: &Duty) -> Chart {
    let (factor, unit, decimals) = match kind {
        StripKind::Loop => (6e4, "L/min", 1),
        StripKind::Duct => (1.0, "m3/s", 3),
    };
    let point = |(flow, pressure): &(f64, f64)| [factor * flow, 1e-3 * pressure];
    let series = |name: &str, curve: &[(f64, f64)]| Series {
        name: name.to_owned(),
        points: curve.iter().map(point).collect(),
    };
    let demand = match kind {
        StripKind::Loop => "demand of its loop",
        StripKind::Duct => "demand of its duct",
    };
    Chart {
        title: "Pressure rise over flow".to_owned(),
        x_unit: unit.to_owned(),
        unit: "kPa".to_owned(),
        decimals,
        series: vec![series("what it can deliver", &duty.capability), series(demand, &duty.demand)],
        marks: vec![Mark { name: "this case".to_owned(), at: point(&duty.at) }],
        ..Chart::default()
    }
}

pub(super) fn field(entry: &InputEntry) -> InputField {
    let path = entry.path.to_string();
    let label = match (field_label(&path), entry.kind) {
        // the power of a pump or fan may be told as its efficiency, its speed as a share of that of its curve
        (label, units::Kind::Ratio) if label == "power" => "efficiency".to_owned(),
        (label, units::Kind::Ratio) if label == "speed" => "speed ratio".to_owned(),
        (label, _) => label,
    };
    let mut note = entry.doc.trim().to_owned();
    if !entry.stated {
        note.push_str(" Default, not stated in the file.");
    }
    if let Some(source) = &entry.source {
        note.push_str(" Source: ");
        note.push_str(source);
        note.push('.');
    }
    if let Some(tolerance) = &entry.tolerance {
        note.push_str(" Tolerance ");
        note.push_str(tolerance);
        note.push('.');
    }
    InputField {
        label,
        path,
        text: entry.text.clone(),
        evidence: match entry.evidence {
            Basis::Vendor => Evidence::Vendor,
            Basis::Measured => Evidence::Measured,
            Basis::Fitted => Evidence::Fitted,
            _ => Evidence::Assumed,
        },
        note,
        is_whole: entry.whole,
    }
}

/// The short name of an input: the last step of its path. "value" alone says nothing, so the limit or law that it belongs
/// to stands in its place; one without a name has its number.
fn field_label(path: &str) -> String {
    let mut steps = path.rsplit('.');
    let last = steps.next().unwrap_or_default();
    let owner = steps.next().filter(|_| last == "value");
    match (owner, steps.next()) {
        (Some(number), Some(list)) if number.bytes().all(|b| b.is_ascii_digit()) => {
            format!("{} {number}", list.trim_end_matches('s').replace('_', " "))
        }
        (Some(owner), _) => owner.replace('_', " "),
        (None, _) => last.replace('_', " "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inputs_are_called_by_what_they_are() {
        assert_eq!(field_label("loops.stator.boiling_margin"), "boiling margin");
        assert_eq!(field_label("loops.stator.limits.1.value"), "limit 1");
        assert_eq!(field_label("loops.stator.limits.core inlet.value"), "core inlet");
    }
}
