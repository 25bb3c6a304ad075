//! Pumps and fans.

use super::types::{Input, Outcome, Relation};
use crate::{Range, pump_fan};

const FLOW: Input = Input::positive("volume_flow_m3_s", "m3/s", "volume flow").or_zero();
const RISE: Input = Input::positive("pressure_rise_Pa", "Pa", "pressure rise").or_zero();

pub(super) static RELATIONS: &[Relation] = &[
    Relation {
        name: "affinity",
        aliases: &["pump_fan_affinity", "similarity", "fan_laws"],
        summary: "Flow, pressure rise and power of a pump or fan at another speed, size and density",
        quantity: "scaled_volume_flow",
        unit: "m3/s",
        inputs: &[
            FLOW,
            RISE.optional(),
            Input::positive("shaft_power_W", "W", "power at the old point").or_zero().optional(),
            Input::group("speed_ratio", Range::new(0.5, 2.0), "new over old speed").or(1.0),
            Input::group("diameter_ratio", Range::new(0.5, 2.0), "new over old impeller diameter").or(1.0),
            Input::group("density_ratio", Range::new(0.0, f64::INFINITY), "new over old density")
                .above_zero()
                .or(1.0),
        ],
        range: "similar machines at equal efficiency; ratios 0.5 to 2 (common practice, no source)",
        scatter: "a few per cent for a factor of 2 in speed (common practice, no source)",
        source: "similarity laws (ISO 5801 for fans; pump affinity)",
        evaluate: |v| {
            let (speed, size, density) =
                (v.get("speed_ratio"), v.get("diameter_ratio"), v.get("density_ratio"));
            let flow = pump_fan::scaled_volume_flow(v.get("volume_flow_m3_s"), speed, size);
            let mut outcome = Outcome::of(flow);
            if let Some(rise) = v.given("pressure_rise_Pa") {
                let scaled = pump_fan::scaled_pressure_rise(rise, speed, size, density);
                outcome = outcome.step("scaled_pressure_rise", scaled, "Pa", "rho N^2 D^2");
            }
            if let Some(shaft) = v.given("shaft_power_W") {
                let scaled = pump_fan::scaled_shaft_power(shaft, speed, size, density);
                outcome = outcome.step("scaled_shaft_power", scaled, "W", "rho N^3 D^5, equal efficiency");
            }
            Ok(outcome)
        },
    },
    Relation {
        name: "hydraulic_power",
        aliases: &["pump_power", "fan_power"],
        summary: "Hydraulic power of a pump or fan; with an efficiency also the power taken and the heat released inside",
        quantity: "hydraulic_power",
        unit: "W",
        inputs: &[
            FLOW,
            RISE,
            Input::group("efficiency", Range::new(0.01, 1.0), "hydraulic over input power")
                .above_zero()
                .at_most(1.0)
                .optional(),
        ],
        range: "incompressible flow",
        scatter: "exact",
        source: "definition, Q dp",
        evaluate: |v| {
            let (flow, rise) = (v.get("volume_flow_m3_s"), v.get("pressure_rise_Pa"));
            let outcome = Outcome::of(pump_fan::hydraulic_power(flow, rise));
            Ok(match v.given("efficiency") {
                None => outcome,
                Some(efficiency) => outcome
                    .step(
                        "shaft_power",
                        pump_fan::input_power(flow, rise, efficiency),
                        "W",
                        "Q dp/efficiency",
                    )
                    .step(
                        "heat_to_fluid_power",
                        pump_fan::internal_heat(flow, rise, efficiency),
                        "W",
                        "(1/efficiency - 1) Q dp",
                    ),
            })
        },
    },
];
