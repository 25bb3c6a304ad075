//! The pack: open-circuit voltage, resistance, charge window.

use super::conductors;
use super::figure::{Axis, Figure, Line, MachineCurves, MachineKind, different, line, value};
use crate::assembly::{aged_cell, charge_window};
use crate::result::{ElectricReading, GroupReading};
use aircraft::records::powertrain::{Bus, Pack, Powertrain};
use powertrain::cell::Cell;
use schema::{Input, Problem};
use units::Kind;

const CHARGE: Axis = Axis { name: "state of charge", kind: Kind::Ratio };
const TEMPERATURE: Axis = Axis { name: "cell temperature", kind: Kind::Temperature };
const RESISTANCE: Axis = Axis { name: "cell resistance", kind: Kind::Resistance };
/// Cell temperatures that curves reach at least, K: -20 to 60 degC.
const CELLS_K: (f64, f64) = (253.15, 333.15);
/// Cell temperatures of the additional curves over charge, K.
const OTHERS_K: [(f64, &str); 3] = [(273.15, "at 0 degC"), (298.15, "at 25 degC"), (318.15, "at 45 degC")];
const PATH: &str = "powertrain.bus";

/// The pack and the conductors behind it; nothing for a supply.
pub(super) fn machines(
    powertrain: &Powertrain,
    reading: &ElectricReading,
    life_used: Option<f64>,
    case: &str,
) -> Result<Vec<MachineCurves>, Problem> {
    let Bus::Pack(pack) = &powertrain.bus else { return Ok(Vec::new()) };
    let life_used = life_used.unwrap_or(pack.life_used.si());
    let aged = |life_used: f64| aged_cell(pack, life_used, PATH);
    let mut machine = MachineCurves {
        name: pack.cells.clone(),
        sort: MachineKind::Pack,
        path: PATH.to_owned(),
        law: String::new(),
        values: Vec::new(),
        figures: Vec::new(),
        levels: Vec::new(),
        note: String::new(),
    };
    // the group that heats most stands for the pack
    if let Some(group) = reading.groups.iter().max_by(|a, b| a.heat_w.total_cmp(&b.heat_w)) {
        let bench = Bench {
            pack,
            group,
            reading,
            now: aged(life_used)?,
            life_used,
            ages: vec![("new", aged(0.0)?), ("end of life", aged(1.0)?)],
        };
        machine.values = bench.values();
        machine.figures = vec![bench.open_circuit(), bench.over_temperature(), bench.over_charge()];
        machine.figures.extend(bench.charge_window()?);
        if reading.groups.len() > 1 {
            machine.note = format!(
                "{} groups of cells along the coolant; the working point is that of the group that heats most.",
                reading.groups.len()
            );
        }
    }
    let mut all = vec![machine];
    for (index, spec) in pack.conductors.iter().enumerate() {
        let path = format!("{PATH}.conductors.{}", spec.name.as_str());
        let law = format!("{path}.resistance");
        let state = reading.conductors.get(index + 1);
        let name = spec.name.as_str();
        all.push(conductors::conductor(
            name,
            MachineKind::Conductor,
            (path, law),
            &spec.resistance,
            state,
            case,
        )?);
    }
    Ok(all)
}

struct Bench<'a> {
    pack: &'a Pack,
    group: &'a GroupReading,
    reading: &'a ElectricReading,
    now: Cell,
    life_used: f64,
    ages: Vec<(&'static str, Cell)>,
}

impl Bench<'_> {
    fn values(&self) -> Vec<super::Value> {
        let (group, reading) = (self.group, self.reading);
        let cells_w: f64 = reading.groups.iter().map(|group| group.heat_w).sum();
        let charge = group.state_of_charge;
        let cell_a = group.current_a / group.strings;
        let ohm = self.now.resistance(group.temperature_k, charge);
        let capacity_as = 3600.0 * self.now.data().capacity_ah;
        vec![
            value("heat of the cells", Kind::Power, cells_w),
            value("state of charge", Kind::Ratio, charge),
            value("life used", Kind::Ratio, self.life_used),
            value("pack current", Kind::Current, group.current_a),
            value("cell current", Kind::Current, cell_a),
            value("rate", Kind::ChargeRate, cell_a / capacity_as),
            value("bus voltage", Kind::Voltage, reading.bus_voltage_v),
            value("open-circuit voltage", Kind::Voltage, reading.open_circuit_v),
            value("sag", Kind::Voltage, reading.open_circuit_v - reading.bus_voltage_v),
            value("hottest group", Kind::Temperature, group.temperature_k),
            value("cell resistance", Kind::Resistance, ohm),
            value("cell capacity", Kind::Charge, capacity_as),
        ]
    }

    fn held(&self, others: &[super::Value]) -> Vec<super::Value> {
        others.iter().copied().chain([value("life used", Kind::Ratio, self.life_used)]).collect()
    }

    fn charge(&self) -> super::Value {
        value("state of charge", Kind::Ratio, self.group.state_of_charge)
    }

    fn open_circuit(&self) -> Figure {
        let (at, kelvin) = (self.group.state_of_charge, self.group.temperature_k);
        let amperes = self.group.current_a / self.group.strings;
        let open = line("open circuit", (0.0, 1.0), at, |charge| self.now.open_circuit_v(charge));
        let loaded = line("at the current of the case", (0.0, 1.0), at, |charge| {
            self.now.terminal_v(amperes, kelvin, charge)
        });
        let points = self.pack.cell.open_circuit.si();
        Figure {
            title: "Cell voltage over state of charge",
            x: CHARGE,
            y: Axis { name: "cell voltage", kind: Kind::Voltage },
            held: self.held(&[
                value("cell temperature", Kind::Temperature, kelvin),
                value("cell current", Kind::Current, amperes),
            ]),
            lines: vec![open, loaded],
            span: points.first().map(|first| first.0).zip(points.last().map(|last| last.0)),
            measured: points,
            at: Some((at, self.now.open_circuit_v(at))),
        }
    }

    fn aged(&self, first: &Line, law: impl Fn(&Cell) -> Line) -> Vec<Line> {
        let lines = self.ages.iter().map(|(name, cell)| Line { name: (*name).to_owned(), ..law(cell) });
        different(first, lines.collect())
    }

    fn over_temperature(&self) -> Figure {
        let (at, charge) = (self.group.temperature_k, self.group.state_of_charge);
        let range = (CELLS_K.0.min(at), CELLS_K.1.max(at));
        let curve = |cell: &Cell| line("as in the case", range, at, |kelvin| cell.resistance(kelvin, charge));
        let first = curve(&self.now);
        let others = self.aged(&first, curve);
        let table = self.pack.cell.resistance_table.as_ref();
        let points: Vec<f64> = table.map_or_else(Vec::new, |t| t.temperature.iter().map(Input::si).collect());
        Figure {
            title: "Cell resistance over temperature",
            x: TEMPERATURE,
            y: RESISTANCE,
            held: self.held(&[self.charge()]),
            lines: std::iter::once(first).chain(others).collect(),
            span: points.first().copied().zip(points.last().copied()),
            measured: points.iter().map(|&kelvin| (kelvin, self.now.resistance(kelvin, charge))).collect(),
            at: Some((at, self.now.resistance(at, charge))),
        }
    }

    fn over_charge(&self) -> Figure {
        let (kelvin, at) = (self.group.temperature_k, self.group.state_of_charge);
        let at_k = |cell: &Cell, kelvin: f64, name: &str| {
            line(name, (0.0, 1.0), at, |charge| cell.resistance(kelvin, charge))
        };
        let first = at_k(&self.now, kelvin, "as in the case");
        let ages = self.aged(&first, |cell| at_k(cell, kelvin, ""));
        let others = OTHERS_K.map(|(kelvin, name)| at_k(&self.now, kelvin, name));
        let others = different(&first, others.into());
        // points of the law that was measured, at the temperature of the case
        let points: Vec<f64> = match (&self.pack.cell.resistance_table, &self.pack.cell.charge_factor) {
            (Some(table), _) => table.state_of_charge.iter().map(Input::si).collect(),
            (None, Some(curve)) => curve.si().iter().map(|point| point.0).collect(),
            (None, None) => Vec::new(),
        };
        Figure {
            title: "Cell resistance over state of charge",
            x: CHARGE,
            y: RESISTANCE,
            held: self.held(&[value("cell temperature", Kind::Temperature, kelvin)]),
            lines: std::iter::once(first).chain(ages).chain(others).collect(),
            span: points.first().copied().zip(points.last().copied()),
            measured: points.iter().map(|&charge| (charge, self.now.resistance(kelvin, charge))).collect(),
            at: Some((at, self.now.resistance(kelvin, at))),
        }
    }

    /// Allowed rate by cell temperature, as steps; outside the window nothing is charged.
    fn charge_window(&self) -> Result<Option<Figure>, Problem> {
        let Some(charging) = &self.pack.charging else { return Ok(None) };
        let window = charge_window(charging)?;
        // rates are per second in SI
        let rate = |per_hour: f64| per_hour / 3600.0;
        let (first, last) = (window.stop_below_k(), window.stop_above_k());
        let (low, high) = (CELLS_K.0.min(first - 5.0), CELLS_K.1.max(last + 5.0));
        let mut points = vec![(low, 0.0), (first, 0.0)];
        for stage in window.stages() {
            points.extend([(stage.from_k, rate(stage.c_rate)), (stage.to_k, rate(stage.c_rate))]);
        }
        points.extend([(last, 0.0), (high, 0.0)]);
        let allowed = |kelvin: f64| {
            let stage = window.stages().iter().find(|stage| (stage.from_k..stage.to_k).contains(&kelvin));
            rate(stage.map_or(0.0, |stage| stage.c_rate))
        };
        let at = self.group.temperature_k;
        let (from, to) = window.start_range_k();
        Ok(Some(Figure {
            title: "Charge window",
            x: TEMPERATURE,
            y: Axis { name: "allowed rate", kind: Kind::ChargeRate },
            held: vec![
                value("a charge starts from", Kind::Temperature, from),
                value("a charge starts to", Kind::Temperature, to),
            ],
            lines: vec![Line { name: "allowed rate".to_owned(), points }],
            measured: charging.window.si(),
            span: Some((first, last)),
            at: Some((at, allowed(at))),
        }))
    }
}
