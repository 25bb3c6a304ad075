//! Relief and bypass valves.

use numerics::{Scalar, constant};

/// A spring-loaded valve that opens in proportion to what the pressure difference is above its cracking pressure. A bypass valve is one that
/// cracks at once. It passes nothing backwards.
///
/// # Formula
/// `dp = p_c + Q / k_r` for flow, `Q` volume flow (m3/s), `k_r` slope (m3/s per Pa).
///
/// # Source
/// A spring of constant rate on a seat: common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relief {
    /// Pressure difference at which it cracks, Pa; zero for a bypass.
    pub cracking_pa: f64,
    /// Flow for each pascal above that, m3/s per Pa.
    pub slope_m3_s_pa: f64,
}

impl Relief {
    /// Pressure loss, Pa; shut, it leaks backwards by the inverse of `shut_pa_s_kg`, Pa/(kg/s), and up to cracking it stands on that slope.
    #[inline]
    pub(crate) fn drop<S: Scalar>(&self, mass_flow_kg_s: S, density_kg_m3: S, shut_pa_s_kg: f64) -> S {
        let open = mass_flow_kg_s / (density_kg_m3 * self.slope_m3_s_pa);
        if mass_flow_kg_s.value() <= 0.0 {
            return mass_flow_kg_s * shut_pa_s_kg;
        }
        let lift_pa = self.cracking_pa.max(1.0);
        let stroke = mass_flow_kg_s * (shut_pa_s_kg / lift_pa);
        let lift = if stroke.value() > 20.0 { constant(1.0) } else { stroke.tanh() };
        lift * lift_pa + open
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 3 bar, and 12 L/min for 1 bar more: at 6 L/min of 860 kg/m3 it stands at 3.5 bar; a bypass of the same spring at 0.5 bar.
    #[test]
    fn a_relief_valve_by_hand() {
        let relief = Relief { cracking_pa: 3e5, slope_m3_s_pa: 12e-3 / 60.0 / 1e5 };
        let flow_kg_s: f64 = 6e-3 / 60.0 * 860.0;
        assert!((relief.drop(flow_kg_s, 860.0, 1e9) - 3.5e5).abs() < 1.0);
        let bypass = Relief { cracking_pa: 0.0, ..relief };
        assert!((bypass.drop(flow_kg_s, 860.0, 1e9) - 0.5e5).abs() < 2.0);
        // backwards it is shut: 1 bar passes a tenth of a gram a second
        assert!((relief.drop(-1e-4_f64, 860.0, 1e9) + 1e5).abs() < 1.0);
    }
}
