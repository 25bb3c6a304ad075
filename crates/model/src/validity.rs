//! Where a result means anything: the temperature at which the model of a component ends, and numbers that are finite.

use crate::result::{CaseResult, CircuitResult, ElectricResult};

/// The first thing of a result one of whose numbers is not finite, and which number that is. A result that has one is none.
pub fn not_finite(result: &CaseResult) -> Option<(String, &'static str)> {
    component(result).or_else(|| circuit(result)).or_else(|| heat(result)).or_else(|| drive(result)).or_else(
        || {
            let bad = |m: &&crate::result::Margin| {
                ![m.value, m.limit_value, m.margin, m.required].iter().all(|n| n.is_finite())
            };
            result.margins.iter().find(bad).map(|margin| (margin.place.clone(), "margin"))
        },
    )
}

fn component(result: &CaseResult) -> Option<(String, &'static str)> {
    result.components.iter().find_map(|part| {
        let is_temperature = part.hot_spot_k.is_finite() && part.segments_k.iter().all(|k| k.is_finite());
        let what =
            if is_temperature { (!part.heat_w.is_finite()).then_some("heat") } else { Some("temperature") };
        what.map(|what| (part.name.clone(), what))
    })
}

fn circuit(result: &CaseResult) -> Option<(String, &'static str)> {
    result.loops.iter().chain(&result.ducts).find_map(|circuit: &CircuitResult| {
        let station = circuit.stations.iter().find_map(|at| {
            let temperatures = [at.temperature_in_k, at.temperature_out_k];
            let checks = [
                ("temperature", temperatures.iter().chain(&at.walls_k).all(|k| k.is_finite())),
                ("pressure", at.pressure_in_pa.is_finite() && at.pressure_out_pa.is_finite()),
                ("inlet pressure", at.inlet.is_none_or(|inlet| inlet.available_pa.is_finite())),
                ("flow", at.mass_flow_kg_s.is_finite() && at.volume_flow_m3_s.is_finite()),
                ("power", at.power_w.is_finite()),
                ("heat", at.heat_w.is_finite()),
            ];
            checks.into_iter().find(|(_, is_fine)| !is_fine).map(|(what, _)| (at.name.clone(), what))
        });
        let whole = [circuit.power_w, circuit.rise_pa, circuit.mass_flow_kg_s, circuit.drag_n];
        station.or_else(|| {
            whole
                .iter()
                .any(|number| !number.is_finite())
                .then(|| (circuit.name.clone(), "power or pressure"))
        })
    })
}

fn heat(result: &CaseResult) -> Option<(String, &'static str)> {
    let line =
        result.lines.iter().find(|line| !line.heat_w.is_finite()).map(|line| (line.what.clone(), "heat"));
    let ledger = &result.ledger;
    let totals = [ledger.generated_w, ledger.stored_w, ledger.rejected_w, ledger.residual_w];
    line.or_else(|| totals.iter().any(|w| !w.is_finite()).then(|| ("heat balance".to_owned(), "heat")))
}

fn drive(result: &CaseResult) -> Option<(String, &'static str)> {
    let electric: &ElectricResult = result.electric.as_ref()?;
    let bus = [electric.bus_current_a, electric.bus_voltage_v, electric.lost_power_w];
    let motor = electric.motors.iter().find(|motor| {
        [motor.shaft_power_w, motor.torque_nm, motor.speed_rad_s].iter().any(|number| !number.is_finite())
    });
    motor.map(|motor| (motor.name.clone(), "power")).or_else(|| {
        bus.iter()
            .any(|number| !number.is_finite())
            .then(|| ("electric drive".to_owned(), "current or voltage"))
    })
}

/// Moves the end of the model of every part that has a maximum out of reach, for tests of what a bare aircraft does that no one would
/// fly: its parts pass their limits by far.
#[cfg(test)]
pub(crate) fn lift(project: &mut aircraft::records::project::Project) {
    use aircraft::records::component::Bound;
    use aircraft::records::powertrain::Bus;
    use schema::{Node, decode};
    let far = || decode(&Node::text("800 degC")).value.expect("a temperature");
    for component in &mut project.components {
        for limit in component.limits.iter_mut().filter(|limit| matches!(limit.bound, Bound::Maximum)) {
            limit.value = far();
        }
    }
    if let Some(Bus::Pack(pack)) = project.powertrain.as_mut().map(|powertrain| &mut powertrain.bus) {
        pack.cell.self_heating = far();
    }
}
