//! The sheet of one solved case: components, circuits by station, heat ledger, notices.

use crate::{celsius, table::table};
use model::result::{CaseResult, CircuitResult, Status};

/// Everything about one case.
pub fn sheet(result: &CaseResult) -> String {
    let mut text = format!("Case {}: {}\n", result.case, result.status.word());
    for notice in &result.notices {
        text.push_str(&crate::notice::told(notice));
    }
    if result.components.is_empty() && result.status != Status::Solved {
        return text;
    }
    text.push('\n');
    text.push_str(&components(result));
    for circuit in &result.loops {
        text.push_str(&loop_sheet(circuit));
    }
    for circuit in &result.ducts {
        text.push_str(&duct_sheet(circuit));
    }
    text.push_str(&exchangers(result));
    text.push_str(&electric(result));
    text.push_str(&ledger(result));
    text
}

fn components(result: &CaseResult) -> String {
    let rows = result
        .components
        .iter()
        .map(|c| {
            vec![
                c.name.clone(),
                format!("{:.1}", celsius(c.temperature_k())),
                format!("{:.1}", celsius(c.coldest_k())),
                format!("{:.1}", celsius(c.hot_spot_k)),
                format!("{:.3}", 1e-3 * c.heat_w),
            ]
        })
        .collect();
    table(&["component", "hottest degC", "coldest degC", "hot spot degC", "own heat kW"], &[1, 2, 3, 4], rows)
}

fn loop_sheet(circuit: &CircuitResult) -> String {
    let head = format!(
        "Loop {}: {}; {:.2} L/min, pump rise {:.1} kPa, pump power {:.0} W\n",
        circuit.name,
        circuit.fluid,
        6e4 * circuit.volume_flow_m3_s,
        1e-3 * circuit.rise_pa,
        circuit.power_w
    );
    head + &stations(circuit, "flow L/min", 6e4, 1)
}

fn duct_sheet(circuit: &CircuitResult) -> String {
    let head = format!(
        "Duct {}: air; {:.3} kg/s, {:.3} m3/s, fan power {:.0} W, momentum drag {:.1} N, inlet air {:.1} degC\n",
        circuit.name,
        circuit.mass_flow_kg_s,
        circuit.volume_flow_m3_s,
        circuit.power_w,
        circuit.drag_n,
        circuit.inlet_k.map_or(f64::NAN, celsius)
    );
    head + &stations(circuit, "flow m3/s", 1.0, 3)
}

fn stations(circuit: &CircuitResult, flow_head: &str, flow_factor: f64, decimals: usize) -> String {
    let rows = circuit
        .stations
        .iter()
        .map(|s| {
            let indent = "  ".repeat(s.branch.len());
            let branch = s.branch.last().map_or_else(String::new, |(_, branch)| format!(" [{branch}]"));
            vec![
                format!("{indent}{}{branch}", s.name),
                s.kind.to_owned(),
                format!("{:.decimals$}", flow_factor * s.volume_flow_m3_s),
                format!("{:.1}", celsius(s.temperature_in_k)),
                format!("{:.1}", celsius(s.temperature_out_k)),
                format!("{:.decimals$}", 1e-3 * s.pressure_out_pa),
                format!("{:+.3}", 1e-3 * s.heat_w),
            ]
        })
        .collect();
    table(
        &["station", "kind", flow_head, "in degC", "out degC", "p out kPa", "heat in kW"],
        &[2, 3, 4, 5, 6],
        rows,
    )
}

fn exchangers(result: &CaseResult) -> String {
    if result.exchangers.is_empty() {
        return String::new();
    }
    let rows = result
        .exchangers
        .iter()
        .map(|e| {
            vec![
                e.name.clone(),
                format!("{:.3}", 1e-3 * e.heat_w),
                format!("{:.1}", e.conductance_w_k),
                format!("{:.3}", e.transfer_units),
                format!("{:.3}", e.capacity_ratio),
                format!("{:.3}", e.effectiveness),
            ]
        })
        .collect();
    table(&["exchanger", "heat kW", "UA W/K", "NTU", "Cr", "effectiveness"], &[1, 2, 3, 4, 5], rows)
}

fn electric(result: &CaseResult) -> String {
    let Some(electric) = &result.electric else { return String::new() };
    let rows = electric
        .motors
        .iter()
        .map(|m| {
            vec![
                m.name.clone(),
                format!("{:.1}", 1e-3 * m.shaft_power_w),
                format!("{:.1}", m.torque_nm),
                format!("{:.1}", m.phase_current_a),
                format!("{:.1}", 1e-3 * m.demand_w),
                match (&m.rating, m.time_allowed_s) {
                    (Some(rating), Some(time_s)) => format!("{rating}, {time_s:.0} s"),
                    (Some(rating), None) => rating.clone(),
                    (None, _) => String::new(),
                },
            ]
        })
        .collect();
    let converters = if electric.converters.is_empty() {
        String::new()
    } else {
        let rows = electric
            .converters
            .iter()
            .map(|c| {
                vec![
                    c.name.clone(),
                    format!("{:.3}", 1e-3 * c.output_w),
                    format!("{:.3}", 1e-3 * c.input_w),
                    format!("{:.3}", 1e-3 * c.heat_w),
                ]
            })
            .collect();
        table(&["converter", "output kW", "from bus kW", "heat kW"], &[1, 2, 3], rows)
    };
    format!(
        "Electric drive: bus {:.1} V, {:.1} A; {:.2} kW into the gearbox; derating takes {:.2} kW\n{}{converters}",
        electric.bus_voltage_v,
        electric.bus_current_a,
        1e-3 * electric.gear_input_w,
        1e-3 * electric.lost_power_w,
        table(
            &["motor", "shaft kW", "torque N m", "phase A rms", "from bus kW", "rating"],
            &[1, 2, 3, 4],
            rows
        )
    )
}

fn ledger(result: &CaseResult) -> String {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for is_rejection in [false, true] {
        for line in result.lines.iter().filter(|l| l.is_rejection == is_rejection && l.heat_w.abs() > 5e-4) {
            let heat = format!("{:.3}", 1e-3 * line.heat_w);
            let (generated, rejected) =
                if is_rejection { (String::new(), heat) } else { (heat, String::new()) };
            rows.push(vec![line.what.clone(), generated, rejected]);
        }
    }
    rows.push(vec![
        "total".to_owned(),
        format!("{:.3}", 1e-3 * result.ledger.generated_w),
        format!("{:.3}", 1e-3 * result.ledger.rejected_w),
    ]);
    format!(
        "Ledger: heat balance; residual {:.1e} W, {:.1e} of the heat generated\n{}",
        result.ledger.residual_w,
        result.ledger.residual_w.abs() / result.ledger.generated_w.abs().max(f64::MIN_POSITIVE),
        table(&["booked", "generated kW", "rejected kW"], &[1, 2], rows)
    )
}
