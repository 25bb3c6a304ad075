//! The sheet of one solved case: components, circuits by station, heat ledger, notices.

use crate::{celsius, table::table};
use model::aircraft::device::{Device, Film, FlowResistance};
use model::aircraft::project::Project;
use model::result::{CaseResult, CircuitResult, Status};
use model::validate::devices;
use std::fmt::Write as _;

/// Everything about one case.
pub fn sheet(result: &CaseResult) -> String {
    let mut text = format!("Case {}: {}\n", result.case, result.status.word());
    for notice in &result.notices {
        let _infallible = writeln!(text, "  notice ({}) {}: {}", notice.kind, notice.place, notice.message);
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
    table(
        &["component", "hottest degC", "coldest degC", "hot spot degC", "own heat kW"],
        &[1, 2, 3, 4],
        rows,
    )
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
            ]
        })
        .collect();
    format!(
        "Electric drive: bus {:.1} V, {:.1} A; {:.2} kW into the gearbox; derating takes {:.2} kW\n{}",
        electric.bus_voltage_v,
        electric.bus_current_a,
        1e-3 * electric.gear_input_w,
        1e-3 * electric.lost_power_w,
        table(&["motor", "shaft kW", "torque N m", "phase A rms", "from bus kW"], &[1, 2, 3, 4], rows)
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

/// What stands behind the numbers of each device: level, law, source, state.
pub fn explanation(project: &Project, result: &CaseResult) -> String {
    let mut text = String::from("Explanation: which law gave each number\n");
    let paths = (project.loops.iter().map(|l| (&l.path, l.name.as_str())).zip(&result.loops))
        .chain(project.ducts.iter().map(|d| (&d.path, d.name.as_str())).zip(&result.ducts));
    for ((path, name), circuit) in paths {
        let specs = devices(path);
        for station in &circuit.stations {
            let Some(spec) = specs.iter().find(|d| d.name() == station.name) else { continue };
            let _infallible = writeln!(text, "\n{name} / {} ({})", station.name, station.kind);
            for line in device_lines(spec) {
                let _infallible = writeln!(text, "  {line}");
            }
            if station.conductance_w_k > 0.0 {
                let _infallible = writeln!(
                    text,
                    "  conductance {:.1} W/K at {:.4} kg/s, walls {}",
                    station.conductance_w_k,
                    station.mass_flow_kg_s,
                    station.walls_k.iter().map(|w| format!("{:.1} degC", celsius(*w))).collect::<Vec<_>>().join(", ")
                );
            }
            if let Some(e) = result.exchangers.iter().find(|e| e.name == station.name) {
                let _infallible = writeln!(
                    text,
                    "  UA {:.1} W/K, NTU {:.3}, Cr {:.3}, effectiveness {:.4} (crossflow, both unmixed: exact series, Mason 1955)",
                    e.conductance_w_k, e.transfer_units, e.capacity_ratio, e.effectiveness
                );
            }
            let drop = 1e-3 * (station.pressure_in_pa - station.pressure_out_pa);
            let _infallible = writeln!(text, "  pressure drop {drop:.3} kPa");
        }
    }
    for margin in &result.margins {
        let source = margin.source.as_deref().unwrap_or("no source given");
        let _infallible = writeln!(text, "limit {}, {}: {source}", margin.place, margin.limit);
    }
    text
}

fn device_lines(spec: &Device) -> Vec<String> {
    match spec {
        Device::ColdPlate(plate) | Device::Jacket(plate) | Device::Surface(plate) => {
            vec![film_line(&plate.film), flow_line(&plate.flow)]
        }
        Device::Pump(_) | Device::Fan(_) => vec![
            "measured curve, carried to other speeds and densities by similarity (pump affinity, ISO 5801)".to_owned(),
        ],
        Device::Hose(_) => vec!["geometry: Darcy friction of all regimes, Churchill 1977".to_owned()],
        Device::Restrictor(part) | Device::Filter(part) | Device::Screen(part) => vec![flow_line(&part.flow)],
        Device::Core(_) => vec!["core: see `cores` of the project for its level".to_owned()],
        Device::Reservoir(_) => {
            vec!["gas cushion: ideal gas, expansion of the liquid, cap above local ambient".to_owned()]
        }
        _ => Vec::new(),
    }
}

fn film_line(film: &Film) -> String {
    match film {
        Film::Fixed(value) => format!("level fixed: conductance {}, {:?}", value.text(), value.evidence()),
        Film::PowerLaw(law) => format!(
            "level measured: {} at {}, exponent {}, {:?}",
            law.conductance.text(),
            law.at.text(),
            law.exponent.text(),
            law.conductance.evidence()
        ),
        Film::Table(_) => "level measured: table of conductance over flow".to_owned(),
        Film::Channels(_) | Film::Tubes(_) => "level geometry: laminar with thermal entry (VDI G1), transition and turbulent \
             (Gnielinski 2013, 1976); scatter about 10 %"
            .to_owned(),
    }
}

fn flow_line(flow: &FlowResistance) -> String {
    match flow {
        FlowResistance::Point(point) => {
            format!("loss measured: {} at {}, exponent {}", point.drop.text(), point.at.text(), point.exponent.text())
        }
        FlowResistance::Table(_) => "loss measured: table over flow".to_owned(),
        FlowResistance::Loss(loss) => format!("loss coefficient {}", loss.coefficient.text()),
        FlowResistance::Channels(_) | FlowResistance::Tubes(_) | FlowResistance::OfFilm => {
            "loss from geometry: Churchill 1977 with the laminar constant of the shape".to_owned()
        }
    }
}
