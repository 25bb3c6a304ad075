//! Vapour pressure and boiling point by absolute pressure.

use numerics::{Curve, root_rising};

/// Critical temperature of water, K.
const WATER_CRITICAL_K: f64 = 647.096;
/// Critical pressure of water, Pa.
const WATER_CRITICAL_PA: f64 = 22.064e6;
/// The laws are evaluated between these temperatures, K.
const WINDOW_K: (f64, f64) = (250.0, 640.0);

/// Saturation pressure of water, Pa.
///
/// # Formula
/// ```text
/// ln(p/pc) = (Tc/T)(a1 v + a2 v^1.5 + a3 v^3 + a4 v^3.5 + a5 v^4 + a6 v^7.5)      v = 1 - T/Tc
/// ```
/// Valid 273.16 to 647.096 K.
///
/// # Source
/// Wagner & Pruss 1993 (IAPWS supplementary release on saturation properties, SR1-86(1992)), eq. (1).
/// Checked by `water_iapws.csv`.
pub fn water_saturation_pressure_pa(temperature_k: f64) -> f64 {
    const A: [(f64, f64); 6] = [
        (-7.85951783, 1.0),
        (1.84408259, 1.5),
        (-11.7866497, 3.0),
        (22.6807411, 3.5),
        (-15.9618719, 4.0),
        (1.80122502, 7.5),
    ];
    let v = 1.0 - temperature_k / WATER_CRITICAL_K;
    let sum: f64 = A.iter().map(|(a, power)| a * v.powf(*power)).sum();
    WATER_CRITICAL_PA * (WATER_CRITICAL_K / temperature_k * sum).exp()
}

/// `log10(p/Pa) = a - b/(T + c)`
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Antoine {
    pub(crate) a: f64,
    pub(crate) b: f64,
    pub(crate) c: f64,
}

impl Antoine {
    fn at(&self, temperature_k: f64) -> f64 {
        10_f64.powf(self.a - self.b / (temperature_k + self.c))
    }
}

/// Vapour pressure by temperature.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum VapourLaw {
    Water,
    /// Raoult's law: mole fractions of water and of the glycol times their own vapour pressures.
    Raoult {
        water_mole_fraction: f64,
        glycol: Antoine,
    },
    /// Logarithm of the pressure over `-1/T`, between measured points.
    Table(Curve),
}

impl VapourLaw {
    fn window_k(&self) -> (f64, f64) {
        match self {
            Self::Table(curve) => {
                let (low, high) = curve.range();
                (-1.0 / low, -1.0 / high)
            }
            Self::Water | Self::Raoult { .. } => WINDOW_K,
        }
    }

    fn evaluate(&self, temperature_k: f64) -> f64 {
        match self {
            Self::Water => water_saturation_pressure_pa(temperature_k),
            Self::Raoult { water_mole_fraction, glycol } => {
                water_mole_fraction * water_saturation_pressure_pa(temperature_k)
                    + (1.0 - water_mole_fraction) * glycol.at(temperature_k)
            }
            Self::Table(curve) => curve.at(-1.0 / temperature_k).exp(),
        }
    }

    /// Nothing outside the window.
    pub(crate) fn pressure_pa(&self, temperature_k: f64) -> Option<f64> {
        let (low, high) = self.window_k();
        (low <= temperature_k && temperature_k <= high).then(|| self.evaluate(temperature_k))
    }

    /// Nothing when the pressure is not reached inside the window.
    pub(crate) fn boiling_point_k(&self, pressure_abs_pa: f64) -> Option<f64> {
        let (low, high) = self.window_k();
        let (least, most) = (self.evaluate(low), self.evaluate(high));
        // a pressure at the very end of a table is inside it, whatever the last bit says
        if !(least * (1.0 - 1e-9) <= pressure_abs_pa && pressure_abs_pa <= most * (1.0 + 1e-9)) {
            return None;
        }
        let wanted = pressure_abs_pa.clamp(least, most);
        let excess = |t: f64| (self.evaluate(t) / wanted).ln();
        root_rising(excess, low, high, 1e-9).ok().map(|found| found.root)
    }
}
