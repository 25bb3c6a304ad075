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

/// Dew point of air, K: where its water begins to condense. Nothing for a relative humidity (0 to 1) that is not positive, or a dew
/// point below 250 K. Below freezing that of supercooled water, which is extrapolated.
///
/// Pressure is left out: the enhancement factor of moist air is below 0.5 % at 1 bar, 0.1 K of dew point.
pub fn dew_point_k(air_k: f64, relative_humidity: f64) -> Option<f64> {
    let wanted = relative_humidity * water_saturation_pressure_pa(air_k);
    let excess = |t: f64| (water_saturation_pressure_pa(t) / wanted).ln();
    if relative_humidity >= 1.0 {
        return Some(air_k);
    }
    root_rising(excess, WINDOW_K.0, air_k, 1e-9).ok().map(|found| found.root)
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

    /// Also outside the window: below it the value at its lower end, which is not less than the true one; above it the logarithm goes on
    /// along a straight line over `1/T`, as that of a vapour pressure very nearly does.
    pub(crate) fn continued_pa(&self, temperature_k: f64) -> f64 {
        let (low, high) = self.window_k();
        if temperature_k <= high {
            return self.evaluate(temperature_k.max(low));
        }
        let before = high - (high - low).min(1.0);
        let rise = (self.evaluate(high) / self.evaluate(before)).ln() / (1.0 / before - 1.0 / high);
        self.evaluate(high) * (rise * (1.0 / high - 1.0 / temperature_k)).exp()
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
        // over -1/T the logarithm of a vapour pressure is almost a straight line, which the search finds in a few steps
        let excess = |x: f64| (self.evaluate(-1.0 / x) / wanted).ln();
        let close = 1e-9 / (high * high);
        root_rising(excess, -1.0 / low, -1.0 / high, close).ok().map(|found| -1.0 / found.root)
    }
}

#[cfg(test)]
mod tests {
    use super::{VapourLaw, dew_point_k, water_saturation_pressure_pa};
    use numerics::Curve;

    /// A table of water that ends at 100 degC goes on to 120 degC within a per cent, and is held below its first point.
    #[test]
    fn a_table_goes_on_beyond_its_ends() {
        let points = [290.0, 330.0, 360.0, 372.15, 373.15];
        let points = points.map(|t: f64| (-1.0 / t, water_saturation_pressure_pa(t).ln()));
        let law = VapourLaw::Table(Curve::new(&points).expect("rising"));
        let (found, expected) = (law.continued_pa(393.15), water_saturation_pressure_pa(393.15));
        assert!((found / expected - 1.0).abs() < 0.015, "{found}, {expected}");
        assert_eq!(law.continued_pa(260.0), law.continued_pa(290.0));
        assert_eq!(law.continued_pa(340.0), law.pressure_pa(340.0).expect("inside"));
    }

    #[test]
    fn dew_points_agree_with_the_magnus_formula() {
        // WMO-No. 8 (from memory): p = 6.112 exp(17.62 t/(243.12 + t)) hPa, within 0.6 % of the saturation pressure from -45 to 60 degC
        for (air, humidity) in [(30.0_f64, 0.6_f64), (20.0, 0.5), (38.0, 0.35), (15.0, 0.9), (5.0, 0.4)] {
            let exponent = humidity.ln() + 17.62 * air / (243.12 + air);
            let expected = 243.12 * exponent / (17.62 - exponent);
            let found = dew_point_k(air + 273.15, humidity).expect("it is in range") - 273.15;
            assert!((found - expected).abs() < 0.1, "{air} degC, {humidity}: {found}, {expected}");
        }
        assert_eq!(dew_point_k(290.0, 1.0), Some(290.0));
        assert_eq!(dew_point_k(290.0, 0.0), None);
        assert_eq!(dew_point_k(290.0, f64::NAN), None);
    }
}
