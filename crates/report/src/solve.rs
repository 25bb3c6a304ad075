//! The sheet of one solved case: components, circuits by station, heat ledger, notices.

use crate::sheet::{Cell, Column, Digits, Sheet, Unit};
use crate::{celsius, margins};
use model::result::{
    CaseResult, CircuitResult, ComponentResult, ConverterResult, ElectricResult, ExchangerResult,
    MotorResult, StageResult, StationResult as Station, Status,
};
use units::Kind;

/// Everything about one case.
pub fn page(result: &CaseResult) -> String {
    let mut text = format!("Case {}: {}\n", result.case, result.status.word());
    text.push_str(&margins::verdict(&result.standing()));
    for notice in &result.notices {
        text.push_str(&crate::notice::notice_text(notice));
    }
    if result.components.is_empty() && result.status != Status::Solved {
        return text;
    }
    text.push('\n');
    text.push_str(&components(result).text());
    text.extend(limits(result).map(|sheet| sheet.text()));
    for circuit in &result.loops {
        text.push_str(&loop_page(circuit));
    }
    for circuit in &result.ducts {
        text.push_str(&duct_page(circuit));
    }
    text.extend(exchangers(result).map(|sheet| sheet.text()));
    text.push_str(&electric(result));
    text.push_str(&ledger(result));
    text
}

fn components(result: &CaseResult) -> Sheet {
    let kelvin = |key: &str, head: &str| Column::number(key, Kind::Temperature, "degC", 1).head(head);
    let columns = [
        Column::text("component"),
        kelvin("temperature_K", "hottest"),
        kelvin("coldest_K", "coldest"),
        kelvin("hot_spot_K", "hot spot"),
        Column::number("heat_W", Kind::Power, "kW", 3).head("own heat"),
    ];
    let row = |c: &ComponentResult| {
        let temperatures = [c.temperature_k(), c.coldest_k(), c.hot_spot_k].map(Cell::Number);
        let name = std::iter::once(Cell::from(&c.name));
        name.chain(temperatures).chain([c.heat_w.into()]).collect()
    };
    Sheet::new("components", columns).with_rows(result.components.iter().map(row))
}

/// Every limit, worst first.
fn limits(result: &CaseResult) -> Option<Sheet> {
    let rows = result.margins.iter().map(margins::margin_cells);
    let sheet = Sheet::new("limits", margins::margin_columns()).with_rows(rows);
    (!result.margins.is_empty()).then_some(sheet)
}

fn loop_page(circuit: &CircuitResult) -> String {
    let head = format!(
        "Loop {}: {}; {:.2} L/min, pump rise {:.1} kPa, pump power {:.0} W\n",
        circuit.name,
        circuit.fluid,
        6e4 * circuit.volume_flow_m3_s,
        1e-3 * circuit.rise_pa,
        circuit.power_w
    );
    head + &stations(circuit, "L/min", 1).text()
}

fn duct_page(circuit: &CircuitResult) -> String {
    let head = format!(
        "Duct {}: air; {:.3} kg/s, {:.3} m3/s, fan power {:.0} W, momentum drag {:.1} N, inlet air {:.1} degC\n",
        circuit.name,
        circuit.mass_flow_kg_s,
        circuit.volume_flow_m3_s,
        circuit.power_w,
        circuit.drag_n,
        circuit.inlet_k.map_or(f64::NAN, celsius)
    );
    head + &stations(circuit, "m3/s", 3).text()
}

/// Devices in flow order, those of branches set in.
fn stations(circuit: &CircuitResult, flow_unit: &'static str, decimals: usize) -> Sheet {
    let columns = [
        Column::text("set_in").before(""),
        Column::text("station"),
        Column::text("branch").enclosed(" [", "]"),
        Column::text("kind"),
        Column::number("volume_flow_m3_s", Kind::VolumeFlow, flow_unit, decimals).head("flow"),
        Column::number("temperature_in_K", Kind::Temperature, "degC", 1).head("in"),
        Column::number("temperature_out_K", Kind::Temperature, "degC", 1).head("out"),
        Column::number("pressure_out_Pa", Kind::AbsolutePressure, "kPa", decimals).head("p out"),
        Column::number("friction_Pa", Kind::PressureDifference, "kPa", decimals).head("friction"),
        Column::number("climb_Pa", Kind::PressureDifference, "kPa", decimals).head("climb"),
        Column::number("heat_W", Kind::Power, "kW", 3).head("heat in").signed(),
    ];
    let row = |s: &Station| {
        vec![
            Cell::said("  ".repeat(s.branch.len())),
            (&s.name).into(),
            s.branch.last().map(|(_, branch)| branch).into(),
            s.kind.into(),
            s.volume_flow_m3_s.into(),
            s.temperature_in_k.into(),
            s.temperature_out_k.into(),
            s.pressure_out_pa.into(),
            s.friction_pa.into(),
            s.climb_pa.into(),
            s.heat_w.into(),
        ]
    };
    Sheet::new(circuit.name.as_str(), columns).with_rows(circuit.stations.iter().map(row))
}

fn exchangers(result: &CaseResult) -> Option<Sheet> {
    let columns = [
        Column::text("exchanger"),
        Column::number("heat_W", Kind::Power, "kW", 3).head("heat"),
        Column::number("conductance_W_K", Kind::ThermalConductance, "W/K", 1).head("UA"),
        Column::number("transfer_units", Kind::Ratio, "", 3).head("NTU"),
        Column::number("capacity_ratio", Kind::Ratio, "", 3).head("Cr"),
        Column::number("effectiveness", Kind::Ratio, "", 3),
    ];
    let row = |e: &ExchangerResult| {
        let numbers = [e.heat_w, e.conductance_w_k, e.transfer_units, e.capacity_ratio, e.effectiveness];
        std::iter::once(Cell::from(&e.name)).chain(numbers.map(Cell::Number)).collect()
    };
    let sheet = Sheet::new("exchangers", columns).with_rows(result.exchangers.iter().map(row));
    (!result.exchangers.is_empty()).then_some(sheet)
}

fn motors(electric: &ElectricResult) -> Sheet {
    let columns = [
        Column::text("motor"),
        Column::number("shaft_power_W", Kind::Power, "kW", 1).head("shaft"),
        Column::number("torque_Nm", Kind::Torque, "N m", 1).head("torque"),
        Column::number("phase_current_A", Kind::Current, "A rms", 1).head("phase"),
        Column::number("demand_W", Kind::Power, "kW", 1).head("from bus"),
        Column::text("rating"),
        Column { unit: Unit::Named("s".into()), ..Column::time("time_allowed_s") }
            .digits(Digits::Fixed(0))
            .in_cell()
            .after(", "),
    ];
    let row = |m: &MotorResult| {
        let time_allowed = Cell::time(m.time_allowed_s.filter(|_| m.rating.is_some()));
        let numbers = [m.shaft_power_w, m.torque_nm, m.phase_current_a, m.demand_w].map(Cell::Number);
        let name = std::iter::once(Cell::from(&m.name));
        name.chain(numbers).chain([m.rating.as_ref().into(), time_allowed]).collect()
    };
    Sheet::new("motors", columns).with_rows(electric.motors.iter().map(row))
}

/// Stages between the gearbox and the rotor or propeller.
fn stages(electric: &ElectricResult) -> Option<Sheet> {
    let power = |key: &str, head: &str| Column::number(key, Kind::Power, "kW", 2).head(head);
    let speed = |key: &str, head: &str| Column::number(key, Kind::RotationalSpeed, "rpm", 0).head(head);
    let columns = [
        Column::text("stage"),
        Column::number("share", Kind::Ratio, "", 3),
        power("input_W", "in"),
        power("output_W", "out"),
        power("heat_W", "heat"),
        speed("input_speed_rad_s", "speed in"),
        speed("output_speed_rad_s", "speed out"),
    ];
    let row = |s: &StageResult| {
        let numbers = [s.share, s.input_w, s.output_w, s.heat_w, s.input_speed_rad_s, s.output_speed_rad_s];
        std::iter::once(Cell::from(&s.name)).chain(numbers.map(Cell::Number)).collect()
    };
    let sheet = Sheet::new("stages", columns).with_rows(electric.stages.iter().map(row));
    (!electric.stages.is_empty()).then_some(sheet)
}

fn converters(electric: &ElectricResult) -> Option<Sheet> {
    let power = |key: &str, head: &str| Column::number(key, Kind::Power, "kW", 3).head(head);
    let columns = [
        Column::text("converter"),
        power("output_W", "output"),
        power("input_W", "from bus"),
        power("heat_W", "heat"),
    ];
    let row = |c: &ConverterResult| {
        let powers = [c.output_w, c.input_w, c.heat_w].map(Cell::Number);
        std::iter::once(Cell::from(&c.name)).chain(powers).collect()
    };
    let sheet = Sheet::new("converters", columns).with_rows(electric.converters.iter().map(row));
    (!electric.converters.is_empty()).then_some(sheet)
}

fn electric(result: &CaseResult) -> String {
    let Some(electric) = &result.electric else { return String::new() };
    let at_rotor = if electric.stages.is_empty() {
        String::new()
    } else {
        format!(", {:.2} kW at the rotor", 1e-3 * electric.shaft_power_w)
    };
    format!(
        "Electric drive: bus {:.1} V, {:.1} A; {:.2} kW into the gearbox{at_rotor}; derating takes {:.2} kW\n{}{}{}",
        electric.bus_voltage_v,
        electric.bus_current_a,
        1e-3 * electric.gear_input_w,
        1e-3 * electric.lost_power_w,
        stages(electric).map_or_else(String::new, |sheet| sheet.text()),
        motors(electric).text(),
        converters(electric).map_or_else(String::new, |sheet| sheet.text()),
    )
}

fn booked(result: &CaseResult) -> Sheet {
    let columns = [
        Column::text("booked"),
        Column::number("generated_W", Kind::Power, "kW", 3).head("generated"),
        Column::number("rejected_W", Kind::Power, "kW", 3).head("rejected"),
    ];
    let mut sheet = Sheet::new("ledger", columns);
    for is_rejection in [false, true] {
        for line in result.lines.iter().filter(|l| l.is_rejection == is_rejection && l.heat_w.abs() > 5e-4) {
            let (generated, rejected) = if is_rejection {
                (Cell::Absent, line.heat_w.into())
            } else {
                (line.heat_w.into(), Cell::Absent)
            };
            sheet.push([line.what.clone().into(), generated, rejected]);
        }
    }
    let sums = [result.ledger.generated_w, result.ledger.rejected_w].map(Cell::Number);
    sheet.push(std::iter::once("total".into()).chain(sums));
    sheet
}

/// Components, devices of loops and ducts, exchangers, stages, motors, converters, ledger of a solved case.
pub fn sheets(result: &CaseResult) -> Vec<Sheet> {
    let mut all = vec![components(result)];
    all.extend(limits(result));
    all.extend(result.loops.iter().map(|circuit| stations(circuit, "L/min", 1)));
    all.extend(result.ducts.iter().map(|circuit| stations(circuit, "m3/s", 3)));
    all.extend(exchangers(result));
    if let Some(electric) = &result.electric {
        all.extend(stages(electric));
        all.push(motors(electric));
        all.extend(converters(electric));
    }
    all.push(booked(result));
    all
}

fn ledger(result: &CaseResult) -> String {
    format!(
        "Ledger: heat balance; residual {:.1e} W, {:.1e} of the heat generated\n{}",
        result.ledger.residual_w,
        result.ledger.residual_w.abs() / result.ledger.generated_w.abs().max(f64::MIN_POSITIVE),
        booked(result).text()
    )
}
