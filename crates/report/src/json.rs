//! Results as JSON: SI with the unit in the key, pressures absolute, a number that is not finite is null. Documented in docs/json.md.

use crate::explain;
use crate::explain::Explanation;
use aircraft::records::component::Credibility;
use model::case_name::CaseName;
use model::result::{
    CaseResult, CircuitResult, CushionResult, ElectricResult, Margin, Notice, PowerLost, StationResult,
    Status, reason,
};
use model::standing::Standing;
use serde_json::{Value, json};
use studies::missions::Flown;
use studies::{CaseMargin, Filling};

pub use crate::evaluated::evaluated;

/// Version of the JSON layout.
pub const SCHEMA: u32 = 2;

/// What every result file says about its origin.
#[derive(Clone, Copy, Debug)]
pub struct Origin<'a> {
    /// Program and version.
    pub program: &'a str,
    /// Project.
    pub project: &'a str,
    /// Variant.
    pub variant: &'a str,
    /// Hash of the project file.
    pub input_hash: &'a str,
}

impl Origin<'_> {
    pub(crate) fn head(&self) -> Value {
        json!({
            "schema": SCHEMA,
            "program": self.program,
            "project": self.project,
            "variant": self.variant,
            "input_hash": self.input_hash,
        })
    }
}

pub(crate) fn with(mut head: Value, key: &str, value: Value) -> Value {
    if let Value::Object(fields) = &mut head {
        fields.insert(key.to_owned(), value);
    }
    head
}

/// Results of `solve`.
pub fn results(origin: &Origin<'_>, results: &[CaseResult]) -> Value {
    with(origin.head(), "results", results.iter().map(case).collect())
}

/// Results of `solve` with what stands behind each.
pub fn explained(origin: &Origin<'_>, results: &[(CaseResult, Vec<Explanation>)]) -> Value {
    let cases = results
        .iter()
        .map(|(result, explanations)| with(case(result), "explanations", explain::json(explanations)))
        .collect();
    with(origin.head(), "results", cases)
}

/// Result of `margins`: steady cases and missions.
pub fn margins(
    origin: &Origin<'_>,
    results: &[CaseResult],
    flown: &[Flown],
    margins: &[CaseMargin<'_>],
    filling: &[Filling],
) -> Value {
    let steady = results.iter().filter(|r| !r.status.can_be_judged());
    let failed: Vec<Value> = steady
        .map(|r| outcome(origin, &r.case, r.status, &r.notices))
        .chain(
            flown
                .iter()
                .filter(|f| !f.status.can_be_judged())
                .map(|f| outcome(origin, &f.case, f.status, &f.notices)),
        )
        .collect();
    let lines = margins.iter().map(|line| {
        with(
            with(margin(line.margin, line.time_s), "case", json!(line.case.to_string())),
            "variant",
            json!(origin.variant),
        )
    });
    let told = crate::margins::told_notices(results, flown).map(|(case, notice)| {
        json!({ "case": case.to_string(), "kind": notice.kind, "where": notice.place, "message": notice.message })
    });
    let lost = results.iter().map(|r| (&r.case, r.power_lost()));
    let lost = lost.chain(flown.iter().map(|f| (&f.case, f.power_lost)));
    let lost =
        lost.filter_map(|(case, lost)| Some(with(power_lost(Some(lost?)), "case", json!(case.to_string()))));
    let head = with(origin.head(), "power_lost", lost.collect());
    let head = with(head, "margins", failed.into_iter().chain(lines).collect());
    let head = with(head, "notices", told.collect());
    with(head, "filling", filling.iter().map(crate::filling::json).collect())
}

/// The line of a case without a state: its status where a limit would stand.
fn outcome(origin: &Origin<'_>, case: &CaseName, status: Status, notices: &[Notice]) -> Value {
    let notice = reason(status, notices);
    json!({
        "case": case.to_string(),
        "variant": origin.variant,
        "where": notice.map(|n| n.place.clone()),
        "limit": status.word(),
        "kind": "outcome",
        "unit": Value::Null,
        "value": Value::Null,
        "limit_value": Value::Null,
        "nominal_limit_value": Value::Null,
        "reserve": Value::Null,
        "margin": Value::Null,
        "required": Value::Null,
        "required_by": Value::Null,
        "evidence": Value::Null,
        "standing": Standing::NoResult.word(),
        "rule": Value::Null,
        "time_s": Value::Null,
        "message": notice.map(|n| n.message.clone()),
    })
}

pub(crate) fn margin(margin: &Margin, time_s: Option<f64>) -> Value {
    json!({
        "where": margin.place,
        "limit": margin.limit,
        "kind": margin.kind.word(),
        "unit": margin.kind.unit(),
        "value": margin.value,
        "limit_value": margin.limit_value,
        "nominal_limit_value": margin.nominal_limit,
        "reserve": margin.reserve(),
        "margin": margin.margin,
        "required": margin.required,
        "required_by": margin.required_by.word(),
        "evidence": margin.required_by.evidence().map(Credibility::word),
        "standing": margin.standing().word(),
        "rule": crate::margins::rule_word(margin),
        "time_s": time_s,
        "source": margin.source,
        "owner": margin.owner,
    })
}

pub(crate) fn case(result: &CaseResult) -> Value {
    json!({
        "case": result.case.to_string(),
        "status": result.status.word(),
        "standing": result.standing().standing.word(),
        "components": result.components.iter().map(|c| json!({
            "name": c.name,
            "temperature_K": c.temperature_k(),
            "segments_K": c.segments_k,
            "hot_spot_K": c.hot_spot_k,
            "heat_W": c.heat_w,
        })).collect::<Value>(),
        "loops": result.loops.iter().map(loop_).collect::<Value>(),
        "ducts": result.ducts.iter().map(duct).collect::<Value>(),
        "exchangers": result.exchangers.iter().map(|e| json!({
            "name": e.name,
            "heat_W": e.heat_w,
            "conductance_W_K": e.conductance_w_k,
            "transfer_units": e.transfer_units,
            "capacity_ratio": e.capacity_ratio,
            "effectiveness": e.effectiveness,
        })).collect::<Value>(),
        "electric": result.electric.as_ref().map(|e| json!({
            "bus_voltage_V": e.bus_voltage_v,
            "pack_current_A": e.bus_current_a,
            "shaft_power_W": e.shaft_power_w,
            "shaft_power_at": shaft_place(e),
            "gearbox_input_W": e.gear_input_w,
            "lost_power_W": e.lost_power_w,
            "stages": e.stages.iter().map(|s| json!({
                "name": s.name,
                "share": s.share,
                "input_W": s.input_w,
                "output_W": s.output_w,
                "heat_W": s.heat_w,
                "input_speed_rad_s": s.input_speed_rad_s,
                "output_speed_rad_s": s.output_speed_rad_s,
            })).collect::<Value>(),
            "motors": e.motors.iter().map(|m| json!({
                "name": m.name,
                "shaft_power_W": m.shaft_power_w,
                "torque_Nm": m.torque_nm,
                "speed_rad_s": m.speed_rad_s,
                "rating": m.rating,
                "time_allowed_s": m.time_allowed_s,
                "phase_current_A": m.phase_current_a,
                "demand_W": m.demand_w,
            })).collect::<Value>(),
            "converters": e.converters.iter().map(|c| json!({
                "name": c.name,
                "output_W": c.output_w,
                "input_W": c.input_w,
                "heat_W": c.heat_w,
            })).collect::<Value>(),
        })),
        "power_lost": power_lost(result.power_lost()),
        "margins": result.margins.iter().map(|m| margin(m, None)).collect::<Value>(),
        "ledger": ledger(result),
        "notices": notices(&result.notices),
    })
}

/// Where the shaft power of a case is asked for.
fn shaft_place(electric: &ElectricResult) -> &'static str {
    if electric.stages.is_empty() { "output_shaft" } else { "rotor" }
}

/// Power that was asked for and not given; null where there is none.
pub(crate) fn power_lost(lost: Option<PowerLost>) -> Value {
    lost.map_or(Value::Null, |lost| json!({ "W": lost.power_w, "from_s": lost.from_s }))
}

pub(crate) fn notices(notices: &[Notice]) -> Value {
    notices.iter().map(|n| json!({"kind": n.kind, "where": n.place, "message": n.message})).collect()
}

/// The heat balance; null where there is no state to balance.
fn ledger(result: &CaseResult) -> Value {
    if result.components.is_empty() && !result.status.can_be_judged() {
        return json!({
            "generated_W": Value::Null,
            "stored_W": Value::Null,
            "rejected_W": Value::Null,
            "residual_W": Value::Null,
            "lines": [],
        });
    }
    json!({
        "generated_W": result.ledger.generated_w,
        "stored_W": result.ledger.stored_w,
        "rejected_W": result.ledger.rejected_w,
        "residual_W": result.ledger.residual_w,
        "lines": result.lines.iter().map(|l| json!({
            "what": l.what,
            "heat_W": l.heat_w,
            "rejected": l.is_rejection,
        })).collect::<Value>(),
    })
}

fn loop_(circuit: &CircuitResult) -> Value {
    json!({
        "name": circuit.name,
        "fluid": circuit.fluid,
        "volume_flow_m3_s": circuit.volume_flow_m3_s,
        "mass_flow_kg_s": circuit.mass_flow_kg_s,
        "pump_rise_Pa": circuit.rise_pa,
        "pump_power_W": circuit.power_w,
        "cushion": circuit.cushion.as_ref().map(cushion),
        "stations": circuit.stations.iter().map(|s| station(s, "heat_to_coolant_W")).collect::<Value>(),
    })
}

fn cushion(cushion: &CushionResult) -> Value {
    json!({
        "gas_m3": cushion.gas_m3,
        "gauge_Pa": cushion.gauge_pa,
        "cap_open": cushion.cap_open,
        "empty": cushion.empty,
    })
}

/// A device in a loop or duct; pumps of loops tell what their inlet has and needs.
fn station(station: &StationResult, heat: &str) -> Value {
    let mut value = json!({
        "name": station.name,
        "kind": station.kind,
        "temperature_in_K": station.temperature_in_k,
        "temperature_out_K": station.temperature_out_k,
        "pressure_in_Pa": station.pressure_in_pa,
        "pressure_out_Pa": station.pressure_out_pa,
        "friction_Pa": station.friction_pa,
        "climb_Pa": station.climb_pa,
        "mass_flow_kg_s": station.mass_flow_kg_s,
    });
    value = with(value, heat, json!(station.heat_w));
    let Some(inlet) = &station.inlet else { return value };
    let inlet = json!({
        "available_Pa": inlet.available_pa,
        "need_Pa": inlet.need_pa,
        "bubbles_Pa": inlet.bubbles_pa,
        "for_dissolved_air": inlet.for_dissolved_air,
        "velocity_head_Pa": inlet.velocity_head_pa,
    });
    with(value, "inlet", inlet)
}

fn duct(circuit: &CircuitResult) -> Value {
    json!({
        "name": circuit.name,
        "mass_flow_kg_s": circuit.mass_flow_kg_s,
        "fan_power_W": circuit.power_w,
        "drag_N": circuit.drag_n,
        "inlet_K": circuit.inlet_k,
        "stations": circuit.stations.iter().map(|s| station(s, "heat_to_air_W")).collect::<Value>(),
    })
}
