//! Conductors and converters between the pack and those who use its power.

use super::explanation::edges;
use super::explanation::{Explanation, Fidelity, kw, sources};
use super::written::Written;
use crate::celsius;
use aircraft::records::power_path::{
    ConductorDimensions, ConductorResistance, Converter, ConverterLosses, Metal,
};
use correlations::Evaluated;
use model::result::{ConductorReading, ConverterReading};
use powertrain::conductor::{ALUMINIUM, COPPER};

const GROWTH: &str = "1 + growth (T - 20 degC), over the same at the reference";
const CONDUCTOR_RANGE: &str = "conductor from -100 to 250 degC, at the temperature of its component";
const CONDUCTOR_RANGE_K: (f64, f64) = (173.15, 523.15);

/// Explanation of the heat of a conductor; none for one without resistance.
pub(super) fn conductor(
    place: &str,
    what: &'static str,
    resistance: &ConductorResistance,
    state: Option<&ConductorReading>,
) -> Option<Explanation> {
    let (level, law, source) = conductor_words(resistance);
    let line = Explanation::new(place, what, level, law).stated(source);
    let Some(state) = state else { return Some(line) };
    if state.resistance_ohm <= 0.0 {
        return None;
    }
    Some(line.by(Some(conductor_loss(resistance, state))).giving(format!(
        "{} at {:.1} A and {:.1} degC",
        kw(state.heat_w),
        state.current_a,
        celsius(state.temperature_k)
    )))
}

fn conductor_words(resistance: &ConductorResistance) -> (Fidelity, String, Option<String>) {
    match resistance {
        ConductorResistance::Fixed(value) => (
            Fidelity::Fixed,
            format!("{} at every temperature ({})", value.text(), value.evidence()),
            value.source().map(str::to_owned),
        ),
        ConductorResistance::Measured(law) => (
            Fidelity::Measured,
            format!("{} at {}, grows by {}", law.resistance.text(), law.at.text(), law.growth.text()),
            sources(&[("resistance", law.resistance.source()), ("growth", law.growth.source())]),
        ),
        ConductorResistance::Dimensions(bar) => (
            Fidelity::Geometry,
            format!(
                "{} of {}, metal by IEC 60228, joints {}",
                bar.length.text(),
                bar.area.text(),
                bar.joints.text()
            ),
            sources(&[("joints", bar.joints.source())]),
        ),
    }
}

fn conductor_loss(resistance: &ConductorResistance, state: &ConductorReading) -> Evaluated {
    let law = Written::new("conductor_loss", "conductor_loss", "W").input("current_A", state.current_a);
    match resistance {
        ConductorResistance::Fixed(_) => {
            law.input("resistance_ohm", state.resistance_ohm).range("not carried to its temperature")
        }
        ConductorResistance::Measured(measured) => {
            let at_k = measured.at.si();
            law.inputs(&[
                ("conductor_K", state.temperature_k),
                ("resistance_ohm", measured.resistance.si()),
                ("resistance_at_K", at_k),
                ("growth_1_K", measured.growth.si()),
            ])
            .step("resistance_factor", state.resistance_ohm / measured.resistance.si(), "-", GROWTH)
            .step("resistance", state.resistance_ohm, "ohm", "measured value times factor")
            .within("conductor_K", state.temperature_k, CONDUCTOR_RANGE_K)
            .range(CONDUCTOR_RANGE)
        }
        ConductorResistance::Dimensions(bar) => by_dimensions(law, bar, state),
    }
    .source("I^2 R")
    .giving(state.heat_w)
}

fn by_dimensions(law: Written, bar: &ConductorDimensions, state: &ConductorReading) -> Written {
    let metal = match bar.metal {
        Metal::Copper => COPPER,
        Metal::Aluminium => ALUMINIUM,
    };
    let cold_ohm = metal.resistivity_20c_ohm_m * bar.length.si() / bar.area.si();
    let factor = metal.factor_from_20c(state.temperature_k);
    law.inputs(&[
        ("conductor_K", state.temperature_k),
        ("length_m", bar.length.si()),
        ("area_m2", bar.area.si()),
        ("resistivity_20C_ohm_m", metal.resistivity_20c_ohm_m),
        ("growth_1_K", metal.temperature_coefficient_per_k),
        ("joints_ohm", bar.joints.si()),
    ])
    .step("metal_resistance_20C", cold_ohm, "ohm", "resistivity times length over cross-section")
    .step("resistance_factor", factor, "-", "1 + growth (T - 20 degC)")
    .step("resistance", cold_ohm * factor + bar.joints.si(), "ohm", "metal times factor, and joints")
    .within("conductor_K", state.temperature_k, CONDUCTOR_RANGE_K)
    .range(CONDUCTOR_RANGE)
}

/// Explanation of the heat of a converter.
pub(super) fn converter(converter: &Converter, state: Option<&ConverterReading>) -> Explanation {
    let (level, law, source) = match &converter.losses {
        ConverterLosses::Fixed(heat) => {
            (Fidelity::Fixed, format!("{} at every output", heat.text()), heat.source().map(str::to_owned))
        }
        ConverterLosses::Efficiency(law) => (
            Fidelity::Fixed,
            format!("efficiency {} and {} at no load", law.efficiency.text(), law.standing.text()),
            sources(&[("efficiency", law.efficiency.source()), ("standing loss", law.standing.source())]),
        ),
        ConverterLosses::Table(table) => (
            Fidelity::Measured,
            "loss over output power".to_owned(),
            sources(&[("loss", table.points().iter().find_map(|point| point.1.source()))]),
        ),
    };
    let line = Explanation::new(converter.name.as_str(), "converter loss", level, law).stated(source);
    match state {
        Some(state) => line.by(Some(converter_loss(converter, state))).giving(format!(
            "{}: {} out of {}",
            kw(state.heat_w),
            kw(state.output_w),
            kw(state.input_w)
        )),
        None => line,
    }
}

fn converter_loss(converter: &Converter, state: &ConverterReading) -> Evaluated {
    let law = |name| Written::new(name, "converter_loss", "W").input("output_W", state.output_w);
    match &converter.losses {
        ConverterLosses::Fixed(heat) => {
            law("fixed_converter_loss").input("loss_W", heat.si()).source("value of the project")
        }
        ConverterLosses::Efficiency(efficiency) => {
            let (share, standing) = (efficiency.efficiency.si(), efficiency.standing.si());
            law("converter_efficiency")
                .inputs(&[("efficiency", share), ("standing_W", standing)])
                .step(
                    "load_loss",
                    state.output_w.abs() * (1.0 / share - 1.0),
                    "W",
                    "output (1/efficiency - 1)",
                )
                .source("definition of the efficiency, and the standing loss")
        }
        ConverterLosses::Table(table) => law("converter_loss_table")
            .within("output_W", state.output_w, edges(table.si().iter().map(|point| point.0)))
            .range("inside the table; held at its ends")
            .source("table of the project: monotone cubic"),
    }
    .giving(state.heat_w)
}
