//! A mission over time as a table: a row for each sample, a column for each number, headed by its path in the JSON of `simulate`.

use super::Story;
use crate::history::{HistoryColumn, HistoryError, HistoryTable};
use model::result::{
    CaseResult, CircuitResult, ConverterResult, ExchangerResult, MotorResult, StageResult, StationResult,
};

/// A number of a part at a sample: none where it does not apply.
type Read<'a, T> = (&'a str, &'a str, fn(&T) -> Option<f64>);

/// Table of a mission. Loop, duct, device and component come before the quantity, as in `loops/stator/stator pump/temperature_out_K`;
/// the segments of a component along the flow are numbered from 1. Texts, such as the name of a rating, are left out, and so is a number
/// that no sample has.
///
/// # Errors
/// [`HistoryError`] if two parts have the same name.
pub fn table(story: &Story) -> Result<HistoryTable, HistoryError> {
    let mut columns = vec![HistoryColumn::new("time", "s", story.times_s.clone())];
    if !story.state_of_charge.is_empty() {
        columns.push(HistoryColumn::new("state_of_charge", "", story.state_of_charge.clone()));
    }
    let mut over = Over { samples: &story.samples, columns };
    over.components();
    over.circuits("ducts", |sample| &sample.ducts, &DUCT, &AIR);
    over.electric();
    over.exchangers();
    over.circuits("loops", |sample| &sample.loops, &LOOP, &COOLANT);
    HistoryTable::new(over.columns)
}

/// Numbers of a loop: those that stand before its devices, and those behind them.
const LOOP: [&[Read<'static, CircuitResult>]; 2] = [
    &[
        ("cushion/gas", "m3", |circuit| Some(circuit.cushion.as_ref()?.gas_m3)),
        ("cushion/gauge", "Pa", |circuit| Some(circuit.cushion.as_ref()?.gauge_pa)),
        ("mass_flow", "kg_s", |circuit| Some(circuit.mass_flow_kg_s)),
        ("pump_power", "W", |circuit| Some(circuit.power_w)),
        ("pump_rise", "Pa", |circuit| Some(circuit.rise_pa)),
    ],
    &[("volume_flow", "m3_s", |circuit| Some(circuit.volume_flow_m3_s))],
];

/// Numbers of a duct.
const DUCT: [&[Read<'static, CircuitResult>]; 2] = [
    &[
        ("drag", "N", |circuit| Some(circuit.drag_n)),
        ("fan_power", "W", |circuit| Some(circuit.power_w)),
        ("inlet", "K", |circuit| circuit.inlet_k),
        ("mass_flow", "kg_s", |circuit| Some(circuit.mass_flow_kg_s)),
    ],
    &[],
];

/// Numbers of a device in a loop.
const COOLANT: [Read<'static, StationResult>; 12] = stations("heat_to_coolant");
/// Numbers of a device in a duct.
const AIR: [Read<'static, StationResult>; 12] = stations("heat_to_air");

const fn stations(heat: &'static str) -> [Read<'static, StationResult>; 12] {
    [
        ("climb", "Pa", |station| Some(station.climb_pa)),
        ("friction", "Pa", |station| Some(station.friction_pa)),
        (heat, "W", |station| Some(station.heat_w)),
        ("inlet/available", "Pa", |station| Some(station.inlet?.available_pa)),
        ("inlet/bubbles", "Pa", |station| Some(station.inlet?.bubbles_pa)),
        ("inlet/need", "Pa", |station| station.inlet?.need_pa),
        ("inlet/velocity_head", "Pa", |station| station.inlet?.velocity_head_pa),
        ("mass_flow", "kg_s", |station| Some(station.mass_flow_kg_s)),
        ("pressure_in", "Pa", |station| Some(station.pressure_in_pa)),
        ("pressure_out", "Pa", |station| Some(station.pressure_out_pa)),
        ("temperature_in", "K", |station| Some(station.temperature_in_k)),
        ("temperature_out", "K", |station| Some(station.temperature_out_k)),
    ]
}

/// Columns that are gathered over the samples.
struct Over<'a> {
    samples: &'a [CaseResult],
    columns: Vec<HistoryColumn>,
}

impl<'a> Over<'a> {
    /// Adds a column for a number, unless no sample has it.
    fn push(&mut self, name: String, unit: &str, read: impl Fn(&'a CaseResult) -> Option<f64>) {
        let finite = |value: f64| if value.is_finite() { value } else { f64::NAN };
        let values: Vec<f64> =
            self.samples.iter().map(|sample| read(sample).map_or(f64::NAN, finite)).collect();
        if values.iter().any(|value| value.is_finite()) {
            self.columns.push(HistoryColumn::new(name, unit, values));
        }
    }

    /// The numbers of a part: the same one at every sample, which has the same parts as the first.
    fn part<T: 'a>(
        &mut self,
        path: &str,
        of: impl Fn(&'a CaseResult) -> Option<&'a T>,
        reads: &[Read<'_, T>],
    ) {
        for (name, unit, read) in reads {
            self.push(format!("{path}/{name}"), unit, |sample| read(of(sample)?));
        }
    }

    fn components(&mut self) {
        let Some(first) = self.samples.first() else { return };
        for (number, component) in first.components.iter().enumerate() {
            let path = format!("components/{}", component.name);
            let of = |sample: &'a CaseResult| sample.components.get(number);
            self.part(
                &path,
                of,
                &[("heat", "W", |part| Some(part.heat_w)), ("hot_spot", "K", |part| Some(part.hot_spot_k))],
            );
            for segment in 0..component.segments_k.len() {
                let read = |sample: &'a CaseResult| of(sample)?.segments_k.get(segment).copied();
                self.push(format!("{path}/segments/{}", segment + 1), "K", read);
            }
            self.part(&path, of, &[("temperature", "K", |part| Some(part.temperature_k()))]);
        }
    }

    /// Loops or ducts: their devices stand between their numbers, in the order of the alphabet.
    fn circuits(
        &mut self,
        list: &str,
        all: impl Fn(&'a CaseResult) -> &'a [CircuitResult],
        [before, behind]: &[&[Read<'_, CircuitResult>]; 2],
        stations: &[Read<'_, StationResult>],
    ) {
        let Some(first) = self.samples.first() else { return };
        for (number, circuit) in all(first).iter().enumerate() {
            let path = format!("{list}/{}", circuit.name);
            self.part(&path, |sample| all(sample).get(number), before);
            for (place, station) in circuit.stations.iter().enumerate() {
                let of = |sample: &'a CaseResult| all(sample).get(number)?.stations.get(place);
                self.part(&format!("{path}/{}", station.name), of, stations);
            }
            self.part(&path, |sample| all(sample).get(number), behind);
        }
    }

    fn electric(&mut self) {
        let Some(first) = self.samples.first().and_then(|sample| sample.electric.as_ref()) else { return };
        let whole = |sample: &'a CaseResult| sample.electric.as_ref();
        self.part("electric", whole, &[("bus_voltage", "V", |whole| Some(whole.bus_voltage_v))]);
        for (number, converter) in first.converters.iter().enumerate() {
            let path = format!("electric/converters/{}", converter.name);
            self.part(&path, |sample| whole(sample)?.converters.get(number), &CONVERTER);
        }
        self.part(
            "electric",
            whole,
            &[
                ("gearbox_input", "W", |whole| Some(whole.gear_input_w)),
                ("lost_power", "W", |whole| Some(whole.lost_power_w)),
            ],
        );
        for (number, motor) in first.motors.iter().enumerate() {
            let path = format!("electric/motors/{}", motor.name);
            self.part(&path, |sample| whole(sample)?.motors.get(number), &MOTOR);
        }
        self.part(
            "electric",
            whole,
            &[
                ("pack_current", "A", |whole| Some(whole.bus_current_a)),
                ("shaft_power", "W", |whole| Some(whole.shaft_power_w)),
            ],
        );
        for (number, stage) in first.stages.iter().enumerate() {
            let path = format!("electric/stages/{}", stage.name);
            self.part(&path, |sample| whole(sample)?.stages.get(number), &STAGE);
        }
    }

    fn exchangers(&mut self) {
        let Some(first) = self.samples.first() else { return };
        for (number, exchanger) in first.exchangers.iter().enumerate() {
            let path = format!("exchangers/{}", exchanger.name);
            self.part(&path, |sample| sample.exchangers.get(number), &EXCHANGER);
        }
    }
}

/// Numbers of a converter.
const CONVERTER: [Read<'static, ConverterResult>; 3] = [
    ("heat", "W", |converter| Some(converter.heat_w)),
    ("input", "W", |converter| Some(converter.input_w)),
    ("output", "W", |converter| Some(converter.output_w)),
];

/// Numbers of a stage behind the gearbox.
const STAGE: [Read<'static, StageResult>; 6] = [
    ("heat", "W", |stage| Some(stage.heat_w)),
    ("input", "W", |stage| Some(stage.input_w)),
    ("input_speed", "rad_s", |stage| Some(stage.input_speed_rad_s)),
    ("output", "W", |stage| Some(stage.output_w)),
    ("output_speed", "rad_s", |stage| Some(stage.output_speed_rad_s)),
    ("share", "", |stage| Some(stage.share)),
];

/// Numbers of a motor.
const MOTOR: [Read<'static, MotorResult>; 6] = [
    ("demand", "W", |motor| Some(motor.demand_w)),
    ("phase_current", "A", |motor| Some(motor.phase_current_a)),
    ("shaft_power", "W", |motor| Some(motor.shaft_power_w)),
    ("speed", "rad_s", |motor| Some(motor.speed_rad_s)),
    ("time_allowed", "s", |motor| motor.time_allowed_s),
    ("torque", "Nm", |motor| Some(motor.torque_nm)),
];

/// Numbers of a core or exchanger.
const EXCHANGER: [Read<'static, ExchangerResult>; 5] = [
    ("capacity_ratio", "", |exchanger| Some(exchanger.capacity_ratio)),
    ("conductance", "W_K", |exchanger| Some(exchanger.conductance_w_k)),
    ("effectiveness", "", |exchanger| Some(exchanger.effectiveness)),
    ("heat", "W", |exchanger| Some(exchanger.heat_w)),
    ("transfer_units", "", |exchanger| Some(exchanger.transfer_units)),
];

/// Name of the file of a case: letters and digits stay, the parts of its name are joined by underscores.
pub fn file_name(case: &str, ending: &str) -> String {
    let plain = |c: char| match c {
        '/' => '_',
        c if c.is_alphanumeric() || c == '.' => c,
        _ => '-',
    };
    format!("{}.{ending}", case.chars().map(plain).collect::<String>())
}

#[cfg(test)]
mod tests {
    use super::file_name;

    #[test]
    fn a_case_becomes_a_plain_file_name() {
        assert_eq!(file_name("hot day/tow flight/fan stops", "csv"), "hot-day_tow-flight_fan-stops.csv");
    }
}
