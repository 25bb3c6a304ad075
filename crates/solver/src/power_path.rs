//! What stands between the source and those who use its power: bus bars, contactors, cables, and the converters that
//! feed pumps, fans and other loads of the low-voltage side.

use crate::ids::{ElementId, Node};
use crate::stencil::Piece;
use numerics::Scalar;
use powertrain::conductor::Resistor;

/// A conductor that carries the current of the bus: bus bar, contactor, fuse, main cable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conductor {
    /// Resistance as a law of temperature.
    pub resistor: Resistor,
    /// Its temperature and the receiver of its heat.
    pub node: Node,
}

/// A converter from the bus to a low-voltage side.
#[derive(Clone, Debug, PartialEq)]
pub struct Converter {
    /// Loss over output power.
    pub law: powertrain::converter::Converter,
    /// Pumps and fans it feeds. One that no converter feeds draws from the bus itself.
    pub machines: Vec<ElementId>,
    /// Other loads on its output, W.
    pub load_w: f64,
    /// Receiver of its heat.
    pub node: Node,
}

/// State of a converter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConverterReading {
    /// Power of the pumps, fans and loads it feeds, W.
    pub output_w: f64,
    /// Power drawn from the bus, W.
    pub input_w: f64,
    /// Heat, W.
    pub heat_w: f64,
    /// Whether a measured law is used inside its measurements.
    pub covered: bool,
}

/// State of a conductor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConductorReading {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Resistance at it, ohm.
    pub resistance_ohm: f64,
    /// Current, A.
    pub current_a: f64,
    /// Heat, W.
    pub heat_w: f64,
}

/// Heat and voltage drop of a conductor: lanes are current and temperature.
pub(crate) struct ConductorPiece<'a>(pub(crate) &'a Conductor);

impl Piece<2, 2> for ConductorPiece<'_> {
    const GENERATES: bool = true;

    #[inline]
    fn evaluate<S: Scalar>(&self, [current_a, temperature_k]: [S; 2]) -> [S; 2] {
        let drop = current_a * self.0.resistor.at(temperature_k);
        [current_a * drop, drop]
    }
}

impl ConductorPiece<'_> {
    pub(crate) fn read(&self, [current_a, temperature_k]: [f64; 2]) -> ConductorReading {
        let [heat_w, _] = self.evaluate([current_a, temperature_k]);
        ConductorReading {
            temperature_k,
            resistance_ohm: self.0.resistor.at(temperature_k),
            current_a,
            heat_w,
        }
    }
}

/// A converter: the lane is its output power; outputs are heat, input power, balance of the output without the
/// pumps and fans (own unknown with a minus).
pub(crate) struct ConverterPiece<'a>(pub(crate) &'a Converter);

impl Piece<1, 3> for ConverterPiece<'_> {
    const GENERATES: bool = true;

    #[inline]
    fn evaluate<S: Scalar>(&self, [output_w]: [S; 1]) -> [S; 3] {
        let heat = self.0.law.heat_w(output_w);
        [heat, output_w + heat, -output_w + self.0.load_w]
    }
}

impl ConverterPiece<'_> {
    pub(crate) fn read(&self, output_w: f64) -> ConverterReading {
        let [heat_w, input_w, _] = self.evaluate([output_w]);
        ConverterReading { output_w, input_w, heat_w, covered: self.0.law.is_in_range(output_w) }
    }
}

#[cfg(test)]
mod tests;
