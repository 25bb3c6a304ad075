//! What feeds the bus.

use super::explanation::{Explanation, Fidelity, kw, sources};
use super::power_path::conductor;
use super::written::Written;
use crate::celsius;
use aircraft::records::power_path::ConductorResistance;
use aircraft::records::powertrain::{Bus, Pack};
use correlations::Evaluated;
use model::result::{ElectricReading, GroupReading};
use powertrain::cell::{Cell, RESISTANCE_RANGE_K, ResistanceLaw};

/// Explanations of the bus.
///
/// `life_used` is that of the point, where it has its own.
pub(super) fn bus(bus: &Bus, state: Option<&ElectricReading>, life_used: Option<f64>) -> Vec<Explanation> {
    match bus {
        Bus::Supply(voltage) => {
            let line =
                Explanation::new("bus", "voltage", Fidelity::Fixed, voltage.text()).sourced(voltage.source());
            vec![match state {
                Some(state) => line.giving(format!(
                    "{:.1} V at {:.1} A: {}",
                    state.bus_voltage_v,
                    state.bus_current_a,
                    kw(state.bus_voltage_v * state.bus_current_a)
                )),
                None => line,
            }]
        }
        Bus::Pack(pack) => pack_lines(pack, state, life_used.unwrap_or(pack.life_used.si())),
    }
}

fn pack_lines(pack: &Pack, state: Option<&ElectricReading>, life_used: f64) -> Vec<Explanation> {
    let law = format!(
        "{} cells in series, {} in parallel; resistance over state of charge, temperature and age, current from power",
        pack.series, pack.parallel
    );
    let line = Explanation::new(&pack.cells, "pack loss", Fidelity::Measured, law).stated(sources(&[
        ("resistance", pack.cell.resistance.source()),
        ("entropic coefficient", pack.cell.entropic.source()),
    ]));
    let (Some(state), Ok(cell)) = (state, model::assembly::aged_cell(pack, life_used, "powertrain.bus"))
    else {
        return vec![line];
    };
    let heat = |group: &&GroupReading| group.heat_w;
    let Some(group) = state.groups.iter().max_by(|a, b| heat(a).total_cmp(&heat(b))) else {
        return vec![line];
    };
    let cells_w: f64 = state.groups.iter().map(|group| group.heat_w).sum();
    let [low, high] = [f64::min, f64::max].map(|pick| {
        celsius(state.groups.iter().map(|group| group.temperature_k).reduce(pick).unwrap_or(f64::NAN))
    });
    let mut line = line
        .by(Some(current(pack, &cell, group, state)))
        .by(Some(resistance(&cell, group, life_used)))
        .by(Some(cell_heat(&cell, group)))
        .giving(format!(
            "{} in the cells at {:.1} A and {:.1} V; cells from {low:.1} to {high:.1} degC",
            kw(cells_w),
            state.bus_current_a,
            state.bus_voltage_v
        ));
    if state.groups.len() > 1 {
        line = line.giving(format!(
            "{} groups along the coolant; the steps are those of the group that heats most",
            state.groups.len()
        ));
    }
    let mut lines = vec![line];
    lines.extend(conductors(pack, Some(state)));
    lines
}

/// The current that the power of the bus takes, with the sag of the voltage.
fn current(pack: &Pack, cell: &Cell, group: &GroupReading, state: &ElectricReading) -> Evaluated {
    let open_v = cell.open_circuit_v(group.state_of_charge);
    let conductors_ohm: f64 = state.conductors.iter().map(|one| one.resistance_ohm).sum();
    let resistance = conductors_ohm + state.groups.iter().map(|g| g.resistance_ohm).sum::<f64>();
    let source_v = pack.series as f64 * open_v;
    let power_w = state.bus_voltage_v * state.bus_current_a;
    let points = pack.cell.open_circuit.si();
    let known = super::explanation::edges(points.iter().map(|point| point.0));
    Written::new("pack_current", "pack_current", "A")
        .inputs(&[
            ("power_W", power_w),
            ("state_of_charge", group.state_of_charge),
            ("series", pack.series as f64),
            ("conductors_ohm", conductors_ohm),
        ])
        .step("cell_open_circuit_voltage", open_v, "V", "curve over state of charge")
        .step("open_circuit_voltage", source_v, "V", "cells in series times cell voltage")
        .step("pack_resistance", resistance, "ohm", "sum of all groups and conductors")
        .step("sag", state.bus_current_a * resistance, "V", "current times resistance")
        .step("bus_voltage", state.bus_voltage_v, "V", "open-circuit voltage less sag")
        .step("greatest_power", source_v * source_v / (4.0 * resistance), "W", "U0^2/(4 R)")
        .within("state_of_charge", group.state_of_charge, known)
        .range("state of charge inside the curve; power below U0^2/(4 R)")
        .source("2 P/(U0 + sqrt(U0^2 - 4 R P)), the smaller root of P = I (U0 - I R)")
        .giving(state.bus_current_a)
}

fn resistance(cell: &Cell, group: &GroupReading, life_used: f64) -> Evaluated {
    let data = &cell.data().resistance;
    let (kelvin, charge) = (group.temperature_k, group.state_of_charge);
    let law = Written::new("cell_resistance", "cell_resistance", "ohm").inputs(&[
        ("cell_K", kelvin),
        ("state_of_charge", charge),
        ("pulse_s", data.pulse_s()),
        ("life_used", life_used),
    ]);
    let law = match data.law() {
        ResistanceLaw::Reference { resistance_ohm, temperature, soc_factor } => {
            let factor = soc_factor.as_ref().map_or(1.0, |curve| curve.at(charge));
            let law = law
                .inputs(&[
                    ("resistance_ohm", *resistance_ohm),
                    ("resistance_at_K", temperature.reference_k),
                    ("cold_growth_K", temperature.cold_b_k),
                    ("hot_growth_K", temperature.hot_b_k),
                ])
                .step(
                    "temperature_factor",
                    temperature.factor(kelvin),
                    "-",
                    "exp(B (1/T - 1/T0)), B cold or hot; a cubic over the 2 K below T0",
                )
                .step("charge_factor", factor, "-", "curve over state of charge; 1 without one")
                .within("cell_K", kelvin, RESISTANCE_RANGE_K);
            match soc_factor {
                Some(curve) => law.within("state_of_charge", charge, curve.range()),
                None => law,
            }
        }
        ResistanceLaw::Table { resistance_ohm, shape, shape_at_reference_ohm } => law
            .inputs(&[("resistance_ohm", *resistance_ohm)])
            .step("table", shape.at(charge, kelvin), "ohm", "measured table at this charge and temperature")
            .step(
                "table_at_reference",
                *shape_at_reference_ohm,
                "ohm",
                "the same at half charge and reference temperature",
            )
            .step(
                "table_factor",
                shape.at(charge, kelvin) / shape_at_reference_ohm,
                "-",
                "table over table at reference",
            )
            .within("cell_K", kelvin, shape.second_range())
            .within("state_of_charge", charge, shape.first_range()),
    };
    law.step("duration_factor", data.duration_factor(), "-", "rise from the measured pulse to minutes")
        .step("age_factor", data.age_factor(), "-", "rise with age and the life used, over a new cell")
        .range("-60 to 120 degC, held outside; one pulse length, carried to minutes")
        .scatter("B 2000 to 3500 K, duration 10 to 30 % (common practice, no source)")
        .source("direct-current resistance of the project, exponential law over temperature")
        .giving(cell.resistance(kelvin, charge))
}

fn cell_heat(cell: &Cell, group: &GroupReading) -> Evaluated {
    let current_a = group.current_a / group.strings;
    let ohm = cell.resistance(group.temperature_k, group.state_of_charge);
    let entropic = cell.entropic_v_k(group.state_of_charge);
    Written::new("cell_heat", "cell_heat", "W")
        .inputs(&[
            ("pack_current_A", group.current_a),
            ("strings", group.strings),
            ("cell_K", group.temperature_k),
            ("entropic_V_K", entropic),
        ])
        .step("cell_current", current_a, "A", "pack current over strings in service")
        .step("resistive_heat", current_a * current_a * ohm, "W", "I^2 R")
        .step("entropic_heat", -current_a * group.temperature_k * entropic, "W", "-I T dU/dT")
        .step("group_cells", group.series * group.strings, "-", "count of cells that share this temperature")
        .step("group_heat", group.heat_w, "W", "sum over the cells of the group")
        .range("without heat of mixing and phase change")
        .source("Bernardi, Pawlikowski & Newman 1985, J. Electrochem. Soc. 132, 5")
        .giving(current_a * current_a * ohm - current_a * group.temperature_k * entropic)
}

/// Conductors that carry the whole current: the one without a name of its own, then those by name.
fn conductors(pack: &Pack, state: Option<&ElectricReading>) -> Vec<Explanation> {
    let reading = |index: usize| state.and_then(|state| state.conductors.get(index));
    let into = pack.interconnect_into.as_ref().unwrap_or(&pack.cells);
    let unnamed = ConductorResistance::Fixed(pack.interconnect.clone());
    let mut lines: Vec<Explanation> =
        conductor(into, "busbar and contactor loss", &unnamed, reading(0)).into_iter().collect();
    for (index, one) in pack.conductors.iter().enumerate() {
        lines.extend(conductor(one.name.as_str(), "conductor loss", &one.resistance, reading(index + 1)));
    }
    lines
}
