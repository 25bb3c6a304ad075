//! Pumps and fans, conductors, cells and packs, inverters, gearboxes.

use super::record::{Allowed, Cited, Origin, Record};
use super::relations::{by_relation, whole_table};
use numerics::Curve;
use powertrain::cell::{
    CELL_REFERENCE_K, Cell, CellData, CellResistance, Entropic, ResistanceBasis, ResistanceLaw,
    TemperatureLaw, heat_from_voltages,
};
use powertrain::conductor::{ALUMINIUM, COPPER, Conductor, HANDBOOK_TEMPERATURE_K, Resistor};
use powertrain::gearbox::{
    ChurningWheel, GearGeometry, GearLosses, GearPoint, Gearbox, Mesh, drag_coefficient, mesh_loss_factor,
};
use powertrain::inverter::{DeviceParameters, Inverter, InverterLosses, InverterState, Switch};
use powertrain::pack::{current_from_power, greatest_power_w};
use testkit::{Row, table};

const ZERO_C_K: f64 = 273.15;

pub(crate) fn record() -> Record {
    let mut record = Record::new("Pumps, fans and losses");
    whole_table(&mut record, "pump_fan_affinity.csv", by_relation);
    pump_by_hand(&mut record);
    conductors(&mut record);
    conductors_by_hand(&mut record);
    cells(&mut record);
    cell_factors(&mut record);
    sag(&mut record);
    inverters(&mut record);
    gears(&mut record);
    record
}

fn pump_by_hand(record: &mut Record) {
    let cited = Cited {
        source: "Hand calculation (trade facts, section 6)",
        what: "Pump: 12 L/min at 80 kPa and an efficiency of 0.35 take 46 W",
        origin: Origin::Calculated,
    };
    let inputs = [("volume_flow_m3_s", 2e-4), ("pressure_rise_Pa", 80e3), ("efficiency", 0.35)];
    let found = correlations::evaluate("hydraulic_power", &inputs).expect("all inputs are given");
    let power = found.get("shaft_power").expect("an efficiency is given");
    record.value(&cited, power, 46.0, Allowed::Within(0.51, "W"));
}

fn wire(resistance_ohm: f64, material: &Conductor) -> Resistor {
    Resistor {
        resistance_ohm,
        reference_k: HANDBOOK_TEMPERATURE_K,
        temperature_coefficient_per_k: material.temperature_coefficient_per_k,
    }
}

fn conductors(record: &mut Record) {
    for row in &table("copper_resistance.csv") {
        let (material, name) = match row.text("material") {
            "aluminium" => (ALUMINIUM, "Aluminium"),
            _ => (COPPER, "Copper"),
        };
        let computed = match row.text("quantity") {
            "resistivity" => material.resistivity_ohm_m(row.number("temperature_K")),
            "joule_heat" => wire(row.number("resistance_20C_ohm"), &material)
                .heat_w(row.number("current_rms_A"), row.number("temperature_K")),
            "steady_temperature" => steady_wire_k(row, &material),
            other => panic!("no quantity {other}"),
        };
        let quantity = row.text("quantity").replace('_', " ");
        record.row(&format!("{name} conductor: {quantity}"), row, computed);
    }
}

/// Heat and temperature of a wire, each put into the other until they stay.
fn steady_wire_k(row: &Row, material: &Conductor) -> f64 {
    let wire = wire(row.number("resistance_20C_ohm"), material);
    let (current, ambient) = (row.number("current_rms_A"), row.number("ambient_temperature_K"));
    let k_per_w = row.number("thermal_resistance_K_W");
    (0..500).fold(ambient, |t, _| ambient + k_per_w * wire.heat_w(current, t))
}

fn conductors_by_hand(record: &mut Record) {
    let rise = Cited {
        source: "IEC 60228, 0.00393 1/K: 39 % more from 20 to 120 degC (trade facts, section 4)",
        what: "Copper conductor: resistance at 120 degC over that at 20 degC",
        origin: Origin::Memory,
    };
    record.value(&rise, COPPER.factor_from_20c(120.0 + ZERO_C_K), 1.39, Allowed::Digits(0.0051));
    let adiabatic = Cited {
        source: "Hand calculation, 0.0066 J2 K/s with J in A/mm2 (trade facts, section 4)",
        what: "Copper conductor without cooling at 1 and 20 A/mm2",
        origin: Origin::Calculated,
    };
    for (density, printed, digit) in [(1e6, 0.0066, 0.000_051), (20e6, 2.6, 0.051)] {
        let rate = COPPER.adiabatic_heating_k_s(density, 373.15);
        record.value(&adiabatic, rate, printed, Allowed::Digits(digit));
    }
}

/// A cell of 70 g with the resistance at 25 degC, its exponent and its entropic coefficient.
pub(crate) fn cell(resistance_ohm: f64, b_k: f64, entropic_v_k: f64) -> Cell {
    let temperature = TemperatureLaw { reference_k: CELL_REFERENCE_K, cold_b_k: b_k, hot_b_k: b_k };
    let law = ResistanceLaw::Reference { resistance_ohm, temperature, soc_factor: None };
    let basis = ResistanceBasis::DirectCurrentPulse { pulse_s: 10.0 };
    Cell::new(CellData {
        capacity_ah: 5.0,
        open_circuit_v: Curve::new(&[(0.0, 3.0), (0.5, 3.7), (1.0, 4.2)]).expect("rising"),
        resistance: CellResistance::new(law, basis, Some(1.0), 1.0).expect("a direct-current resistance"),
        entropic: Entropic::Fixed(entropic_v_k),
        mass_kg: 0.070,
        specific_heat_j_kgk: 950.0,
    })
    .expect("plain data")
}

fn cells(record: &mut Record) {
    for row in &table("battery_heat.csv") {
        let (current, kelvin) = (row.number("current_A"), row.number("temperature_K"));
        let (open, terminal) = (row.number("open_circuit_voltage_V"), row.number("terminal_voltage_V"));
        let slope = row.number("entropic_coefficient_V_K");
        let heat = heat_from_voltages(current, open, terminal, kelvin, slope);
        record.row("Cell: heat from voltages", row, heat);
        let through_cell = cell((open - terminal) / current, 0.0, slope).heat(current, kelvin, 0.5);
        record.row("Cell: heat through its resistance", row, through_cell);
    }
    let entropic = Cited {
        source: "Hand calculation, 15 A, 298 K, 0.2 mV/K: 0.89 W (trade facts, section 5)",
        what: "Cell: reversible heat",
        origin: Origin::Calculated,
    };
    let reversible =
        cell(0.020, 0.0, 0.0).heat(15.0, 298.0, 0.5) - cell(0.020, 0.0, 2e-4).heat(15.0, 298.0, 0.5);
    record.value(&entropic, reversible, 0.89, Allowed::Within(0.0051, "W"));
}

fn cell_factors(record: &mut Record) {
    let cited = Cited {
        source: "Hand calculation, exp(B (1/T - 1/298.15)) with two or three printed digits (trade facts, section 5)",
        what: "Cell: resistance factor at -20 to 60 degC, B 2000, 2500 and 3500 K",
        origin: Origin::Calculated,
    };
    for (celsius, printed, accepted) in [
        (-20.0, [3.3, 4.4, 8.1], [0.05; 3]),
        (-10.0, [2.4, 3.1, 4.8], [0.05; 3]),
        // the first two to the nearest 0.05
        (0.0, [1.85, 2.15, 2.9], [0.025, 0.025, 0.05]),
        (45.0, [0.66, 0.59, 0.48], [0.005; 3]),
        (60.0, [0.49, 0.41, 0.29], [0.005; 3]),
    ] {
        for ((b_k, factor), accepted) in [2000.0, 2500.0, 3500.0].into_iter().zip(printed).zip(accepted) {
            let law = TemperatureLaw { reference_k: CELL_REFERENCE_K, cold_b_k: b_k, hot_b_k: b_k };
            let found: f64 = law.factor(celsius + ZERO_C_K);
            record.value(&cited, found, factor, Allowed::Digits(1.01 * accepted));
        }
    }
}

fn sag(record: &mut Record) {
    let cited = Cited {
        source: "Quadratic U0 I - R I2 = P (trade facts, section 3), worked by hand: 400 V, 0.1 ohm, 70 kW",
        what: "Pack: current at constant power when discharging and charging, and the greatest power",
        origin: Origin::Calculated,
    };
    for (power, amperes) in [(70e3, 183.410), (-70e3, -167.948)] {
        let current = current_from_power(power, 400.0, 0.1).expect("less than the greatest power");
        record.value(&cited, current, amperes, Allowed::Digits(0.001));
    }
    record.value(&cited, greatest_power_w(400.0, 0.1), 400e3, Allowed::Part(1e-9));
    assert!(current_from_power(400.1e3, 400.0, 0.1).is_err(), "more than the greatest power is refused");
}

fn inverters(record: &mut Record) {
    for row in &table("inverter_loss.csv") {
        let devices = devices(row);
        let peak = row.number("peak_phase_current_A");
        let state = InverterState {
            phase_current_rms_a: peak / 2.0_f64.sqrt(),
            bus_voltage_v: row.number("dc_link_voltage_V"),
            modulation_index: row.maybe("modulation_index").unwrap_or(0.8),
            power_factor: row.maybe("power_factor").unwrap_or(0.9),
            junction_k: devices.reference_junction_k,
            diode_k: devices.reference_junction_k,
        };
        let one = devices.position_loss(peak, &state);
        let bridge = Inverter::new(InverterLosses::Devices(devices), 0.0).expect("plain data").heat(&state);
        let quantity = row.text("quantity");
        let computed = match quantity {
            "transistor_conduction_loss" => one.transistor_conduction_w,
            "diode_conduction_loss" => one.diode_conduction_w,
            "transistor_switching_loss" => one.transistor_switching_w,
            "diode_recovery_loss" => one.diode_recovery_w,
            "bridge_conduction_loss" => bridge.conduction_w,
            "bridge_total_loss" => bridge.total(),
            other => panic!("no quantity {other}"),
        };
        record.row(&format!("Inverter: {}", quantity.replace('_', " ")), row, computed);
    }
}

fn devices(row: &Row) -> DeviceParameters {
    let switch = match row.text("device") {
        "igbt_diode" => Switch::TransistorDiode {
            threshold_v: row.number("threshold_voltage_V"),
            slope_ohm: row.number("slope_resistance_ohm"),
            diode_threshold_v: row.number("diode_threshold_V"),
            diode_slope_ohm: row.number("diode_slope_ohm"),
        },
        _ => Switch::Channel { resistance_ohm: row.number("slope_resistance_ohm") },
    };
    DeviceParameters {
        switch,
        switching_energy_j: row.number("turn_on_energy_J") + row.number("turn_off_energy_J"),
        recovery_energy_j: row.maybe("recovery_energy_J").unwrap_or(0.0),
        reference_current_a: row.number("reference_current_A"),
        reference_voltage_v: row.number("reference_voltage_V"),
        current_exponent: 1.0,
        voltage_exponent: 1.0,
        carrier_frequency_hz: row.number("switching_frequency_Hz"),
        parallel_devices: 1,
        reference_junction_k: 398.15,
        slope_coefficient_per_k: 0.0,
        threshold_coefficient_v_k: 0.0,
        energy_coefficient_per_k: 0.0,
        capacitor_resistance_ohm: 0.0,
    }
}

fn gears(record: &mut Record) {
    for row in &table("gear_loss.csv") {
        let (what, computed) = match row.text("quantity") {
            "loss_factor_Hv" => ("Gear mesh: loss factor", mesh_loss_factor(&mesh(row))),
            "mesh_power_loss" => {
                let geometry = GearGeometry { meshes: vec![mesh(row)], ..GearGeometry::default() };
                ("Gear mesh: power lost", gear_heat(row, geometry).mesh_w)
            }
            "drag_coefficient_Cm" => {
                let viscosity = row.number("kinematic_viscosity_m2_s");
                let drag = drag_coefficient(&wheel(row), row.number("speed_rad_s"), viscosity);
                ("Dipping gear: drag coefficient", drag)
            }
            "churning_power" => {
                let geometry = GearGeometry { wheels: vec![wheel(row)], ..GearGeometry::default() };
                ("Dipping gear: churning power", gear_heat(row, geometry).churning_w)
            }
            other => panic!("no quantity {other}"),
        };
        record.row(what, row, computed);
    }
}

fn gear_heat(row: &Row, geometry: GearGeometry) -> powertrain::gearbox::GearHeat<f64> {
    let point = GearPoint {
        input_power_w: row.maybe("transmitted_power_W").unwrap_or(0.0),
        input_speed_rad_s: row.maybe("speed_rad_s").unwrap_or(100.0),
        oil_density_kg_m3: row.maybe("density_kg_m3").unwrap_or(900.0),
        oil_kinematic_viscosity_m2_s: row.maybe("kinematic_viscosity_m2_s").unwrap_or(3e-5),
    };
    Gearbox::new(3.0, GearLosses::Geometry(geometry)).expect("plain data").heat(&point)
}

fn mesh(row: &Row) -> Mesh {
    Mesh {
        power_share: 1.0,
        pinion_teeth: row.number("pinion_teeth") as u32,
        tooth_ratio: row.number("gear_ratio"),
        base_helix_rad: row.number("base_helix_angle_deg").to_radians(),
        tip_contact_ratio_1: row.number("tip_contact_ratio_1"),
        tip_contact_ratio_2: row.number("tip_contact_ratio_2"),
        friction: row.number("mesh_friction_coefficient"),
    }
}

fn wheel(row: &Row) -> ChurningWheel {
    ChurningWheel {
        speed_ratio: 1.0,
        pitch_radius_m: row.number("pitch_radius_m"),
        face_width_m: row.number("face_width_m"),
        module_m: row.number("module_m"),
        immersion_depth_m: row.number("immersion_depth_m"),
        oil_volume_m3: row.number("oil_volume_m3"),
        immersed_area_m2: row.number("immersed_area_m2"),
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn losses_agree() {
        assert!(super::record().lines().len() >= 20);
    }
}
