//! Converters and conductors between the pack and those who use its power.

use super::{Assembler, laws};
use aircraft::records::power_path::{Conductor, ConductorResistance, Converter, ConverterLosses, Metal};
use powertrain::conductor::{ALUMINIUM, COPPER, HANDBOOK_TEMPERATURE_K, Resistor};
use powertrain::loss::Loss;
use schema::Problem;
use solver::Node;

const REMEDY: &str = "correct the number, or give it at another level";

impl Assembler<'_> {
    pub(super) fn converter(&self, converter: &Converter) -> Result<solver::Converter, Problem> {
        let path = format!("powertrain.converters.{}", converter.name.as_str());
        let machines = self
            .parts
            .machines
            .iter()
            .filter(|m| m.supply.as_ref().is_some_and(|supply| converter.supplies.contains(supply)))
            .map(|m| m.element)
            .collect();
        let is_off = self.situation.point.converters_off;
        let off = || powertrain::converter::ConverterLosses::Efficiency { efficiency: 1.0, idle_w: 0.0 };
        let law = law(converter, is_off.then(off), &format!("{path}.losses"))?;
        Ok(solver::Converter {
            law,
            machines,
            load_w: if is_off { 0.0 } else { converter.load.si() },
            node: self.place(&converter.into, &format!("{path}.into"))?,
        })
    }

    pub(super) fn conductor(&self, conductor: &Conductor) -> Result<solver::Conductor, Problem> {
        let path = format!("powertrain.bus.conductors.{}", conductor.name.as_str());
        let node: Node = self.place(&conductor.into, &format!("{path}.into"))?;
        let resistor = resistor(&conductor.resistance, &format!("{path}.resistance"))?;
        Ok(solver::Conductor { resistor, node })
    }
}

/// Losses of a converter; `instead` stands in for them while it is off.
fn law(
    converter: &Converter,
    instead: Option<powertrain::converter::ConverterLosses>,
    path: &str,
) -> Result<powertrain::converter::Converter, Problem> {
    let known = match &converter.losses {
        ConverterLosses::Fixed(heat) => {
            powertrain::converter::ConverterLosses::Efficiency { efficiency: 1.0, idle_w: heat.si() }
        }
        ConverterLosses::Efficiency(law) => powertrain::converter::ConverterLosses::Efficiency {
            efficiency: law.efficiency.si(),
            idle_w: law.standing.si(),
        },
        ConverterLosses::Table(points) => {
            powertrain::converter::ConverterLosses::Law(Loss::Curve(laws::curve(&points.si(), path)?))
        }
    };
    powertrain::converter::Converter::new(instead.unwrap_or(known))
        .map_err(|error| Problem::error(path, error.to_string(), REMEDY))
}

/// Losses of a converter that is on.
///
/// # Errors
/// A [`Problem`] at `path` that names the number that is not physical.
pub fn converter_law(converter: &Converter, path: &str) -> Result<powertrain::converter::Converter, Problem> {
    law(converter, None, path)
}

/// A conductor as a law of temperature.
///
/// # Errors
/// A [`Problem`] at `path` that names the number that is not physical.
pub fn conductor_law(resistance: &ConductorResistance, path: &str) -> Result<Resistor, Problem> {
    resistor(resistance, path)
}

/// A conductor as a law of temperature.
pub(super) fn resistor(resistance: &ConductorResistance, path: &str) -> Result<Resistor, Problem> {
    let refused = |error: powertrain::InputError| Problem::error(path, error.to_string(), REMEDY);
    let resistor = match resistance {
        ConductorResistance::Fixed(value) => constant(value.si()),
        ConductorResistance::Measured(measured) => Resistor {
            resistance_ohm: measured.resistance.si(),
            reference_k: measured.at.si(),
            temperature_coefficient_per_k: measured.growth.si(),
        },
        ConductorResistance::Dimensions(bar) => {
            let metal = match bar.metal {
                Metal::Copper => COPPER,
                Metal::Aluminium => ALUMINIUM,
            };
            let clean = Resistor::cable(bar.length.si(), bar.area.si(), &metal).map_err(refused)?;
            let whole_ohm = clean.resistance_ohm + bar.joints.si();
            Resistor {
                resistance_ohm: whole_ohm,
                // joints keep their resistance: only the metal's share grows
                temperature_coefficient_per_k: clean.temperature_coefficient_per_k * clean.resistance_ohm
                    / whole_ohm,
                ..clean
            }
        }
    };
    resistor.check().map_err(refused)?;
    Ok(resistor)
}

/// A resistance that does not change with temperature.
pub(super) fn constant(resistance_ohm: f64) -> Resistor {
    Resistor { resistance_ohm, reference_k: HANDBOOK_TEMPERATURE_K, temperature_coefficient_per_k: 0.0 }
}
