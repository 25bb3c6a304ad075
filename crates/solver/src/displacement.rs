//! Displacement pumps with a relief valve of their own: gear, gerotor and vane pumps.

use numerics::Scalar;

/// Half width of the rounded corner where the relief valve cracks, as a share of the cracking pressure. The rise there is lower by half of
/// it: less flow, the safe side.
const CRACKING_CORNER: f64 = 0.01;

/// A pump that moves a fixed volume each turn. What its clearances let back goes with the pressure and against the viscosity; above the
/// cracking pressure its relief valve lets more back.
///
/// # Formula
/// ```text
/// dp = (Q_th - Q) / k                                  below cracking
/// dp = p_c + ((Q_th - Q) - k p_c) / (k + k_r)          above
/// Q_th = Q_full n       k = k_ref mu_ref / mu
/// ```
/// `Q` flow (m3/s), `Q_full` displaced flow at full speed, `n` speed over full speed, `p_c` cracking pressure (Pa), `k_r` slope of the open
/// relief (m3/s per Pa). The corner is rounded downwards over 1 % of the cracking pressure.
///
/// # Source
/// Laminar leakage through narrow gaps (plane Poiseuille flow): flow ~ pressure over viscosity. Relief: a spring of constant rate,
/// common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Displacement {
    /// Flow displaced at full speed, m3/s.
    pub displaced_m3_s: f64,
    /// Slip for each pascal at the viscosity below, m3/s per Pa.
    pub slip_m3_s_pa: f64,
    /// Viscosity that the slip holds at, Pa s.
    pub slip_viscosity_pa_s: f64,
    /// Pressure at which the relief valve cracks, Pa.
    pub cracking_pa: f64,
    /// Flow through the open relief for each pascal above that, m3/s per Pa.
    pub relief_m3_s_pa: f64,
}

impl Displacement {
    /// Pressure rise, Pa: falls with rising flow everywhere.
    #[inline]
    pub(crate) fn rise<S: Scalar>(&self, flow_m3_s: S, viscosity_pa_s: S, speed: S) -> S {
        let slip = (viscosity_pa_s / self.slip_viscosity_pa_s).recip() * self.slip_m3_s_pa;
        let back = speed * self.displaced_m3_s - flow_m3_s;
        let shut = back / slip;
        let open = (back - slip * self.cracking_pa) / (slip + self.relief_m3_s_pa) + self.cracking_pa;
        let apart = shut - open;
        let corner = CRACKING_CORNER * self.cracking_pa;
        (shut + open - (apart * apart + corner * corner).sqrt()) * 0.5
    }

    /// Work on all that is displaced, what slips and relieves back included, W.
    #[inline]
    pub(crate) fn work_w<S: Scalar>(&self, flow_m3_s: S, viscosity_pa_s: S, speed: S) -> S {
        self.rise(flow_m3_s, viscosity_pa_s, speed) * speed * self.displaced_m3_s
    }

    /// Pressure rise against a shut path at full speed, at the viscosity of the slip, Pa.
    pub(crate) fn greatest_rise_pa(&self) -> f64 {
        self.rise(0.0, self.slip_viscosity_pa_s, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use num_dual::Dual64;

    /// 12 mL a turn at 3000 rpm: 10 L/min = 166.667 mL/s. Slip 0.6 L/min (10 mL/s) at 5 bar and 20 mPa s: k = 2e-11 m3/s per Pa. Relief from 6 bar,
    /// 8 L/min more for 2 bar: k_r = 133.333e-6 / 2e5 = 6.66667e-10.
    fn pump() -> Displacement {
        Displacement {
            displaced_m3_s: 12e-6 * 50.0,
            slip_m3_s_pa: 10e-6 / 5e5,
            slip_viscosity_pa_s: 0.020,
            cracking_pa: 6e5,
            relief_m3_s_pa: 8e-3 / 60.0 / 2e5,
        }
    }

    fn near(computed: f64, expected: f64, within: f64) {
        assert!((computed - expected).abs() < within, "{computed}, expected {expected}");
    }

    #[test]
    fn slip_and_relief_by_hand() {
        let pump = Displacement { displaced_m3_s: 10e-3 / 60.0, ..pump() };
        // (half-way to the corner its rounding takes 31 Pa)
        // 9.64 L/min at 20 mPa s: (10 - 9.64) L/min = 6e-6 m3/s over 2e-11 = 3 bar, far below the corner at 6 bar
        near(pump.rise(9.64e-3 / 60.0, 0.020, 1.0), 3.0e5, 40.0);
        // hot oil of a quarter of the viscosity slips four times as much: 3 bar at (10 - 1.44) L/min
        near(pump.rise(8.56e-3 / 60.0, 0.005, 1.0), 3.0e5, 40.0);
        // cold oil, 500 mPa s: k = 8e-13; against 4 L/min back flow is 6 L/min = 1e-4 m3/s: of it k p_c = 4.8e-7 slips, and
        // dp = 6e5 + (1e-4 - 4.8e-7) / (8e-13 + 6.66667e-10) = 6e5 + 99.52e-6 / 6.67467e-10 = 749,101 Pa
        near(pump.rise(4e-3 / 60.0, 0.5, 1.0), 749_101.0, 60.0);
        // its shaft: 749,101 Pa x 166.667e-6 m3/s = 124.85 W, of which 749,101 x 66.667e-6 = 49.94 W go with the oil
        near(pump.work_w(4e-3 / 60.0, 0.5, 1.0), 124.85, 0.02);
        // at half speed 5 L/min are displaced; 4.64 L/min against 3 bar
        near(pump.rise(4.64e-3 / 60.0, 0.020, 0.5), 3.0e5, 40.0);
        // stopped, the clearances alone: 0.36 L/min forced through them lose 3 bar
        near(pump.rise(0.36e-3 / 60.0, 0.020, 0.0), -3.0e5, 40.0);
    }

    /// At the corner both branches give 6 bar; rounded, the rise is lower by half of the 6 kPa width, and never above either branch.
    #[test]
    fn the_corner_is_rounded_downwards() {
        let pump = pump();
        let at_corner = pump.displaced_m3_s - pump.slip_m3_s_pa * pump.cracking_pa;
        near(pump.rise(at_corner, 0.020, 1.0), 6e5 - 3e3, 1.0);
        let mut slope_before: Option<f64> = None;
        for k in 0..2000 {
            let flow = pump.displaced_m3_s * f64::from(k) / 2000.0;
            let dual =
                pump.rise(Dual64::from_re(flow).derivative(), Dual64::from_re(0.020), Dual64::from_re(1.0));
            let back = pump.displaced_m3_s - flow;
            let open = 6e5 + (back - 2e-11 * 6e5) / (2e-11 + pump.relief_m3_s_pa);
            assert!(dual.re <= (back / 2e-11).min(open) + 1e-6, "{flow}");
            assert!(dual.eps < 0.0, "it rises at {flow}");
            slope_before = Some(slope_before.map_or(dual.eps, |before| before.min(dual.eps)));
        }
    }
}
