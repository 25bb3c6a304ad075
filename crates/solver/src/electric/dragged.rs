//! Motors that give no power and still turn, shorted windings, and junctions that run away.

use super::{DrivePiece, Electric, drive_output};
use crate::failure::Failure;
use crate::ids::Node;
use crate::network::Network;
use crate::stencil::Piece as _;
use numerics::{Scalar, constant};
use powertrain::motor::{GapAir, MotorState};

impl DrivePiece<'_> {
    /// Whether anything turns it against losses of its own.
    fn is_dragged(&self) -> bool {
        (!self.0.freewheels && self.0.share <= 0.0) || self.shorts()
    }

    /// Whether a shorted winding set turns; behind a freewheel it stands.
    fn shorts(&self) -> bool {
        self.0.shorted_sets > 0 && !(self.0.freewheels && self.0.share <= 0.0)
    }

    fn turning<S: Scalar>(&self, bus_v: S, winding_k: S, magnet_k: S) -> MotorState<S> {
        self.motor_state(constant(0.0), bus_v, winding_k, magnet_k)
    }

    /// Copper loss of the shorted winding sets, W: nothing where its current is not known.
    #[inline]
    pub(super) fn short_w<S: Scalar>(&self, winding_k: S, magnet_k: S) -> S {
        if !self.shorts() {
            return constant(0.0);
        }
        let short = self.0.motor.short_circuit(&self.turning(constant(0.0), winding_k, magnet_k));
        short.map_or(constant(0.0), |short| short.copper_w * f64::from(self.0.shorted_sets))
    }

    /// Outputs of a motor that gives no power.
    #[inline]
    pub(super) fn dragged<S: Scalar>(
        &self,
        gear_power_w: S,
        [bus_v, winding_k, magnet_k]: [S; 3],
        short_w: S,
    ) -> [S; 8] {
        let zero = constant(0.0);
        if self.0.freewheels {
            return [zero; 8];
        }
        let state = self.turning(bus_v, winding_k, magnet_k);
        let air = GapAir { windage_w: zero, density_ratio: constant(self.0.air_density_ratio) };
        let drag = self.0.motor.dragged(&state, &air, gear_power_w * self.0.usual_share);
        [short_w, drag.iron_w, drag.magnet_w, drag.windage_w, zero, zero, zero, drag.total() + short_w]
    }

    /// Current of a shorted winding set, A rms.
    pub(super) fn short_current_a(&self, [_, bus_v, winding_k, magnet_k, ..]: [f64; 7]) -> Option<f64> {
        if !self.shorts() {
            return None;
        }
        self.0.motor.short_circuit(&self.turning(bus_v, winding_k, magnet_k)).map(|short| short.current_a)
    }
}

impl Electric {
    /// Power that turns motors against their own losses, W.
    pub(super) fn drag_w(&self, state: &[f64]) -> f64 {
        let drives = self.spec.drives.iter().zip(&self.drives);
        drives
            .filter(|(drive, _)| DrivePiece(drive).is_dragged())
            .map(|(drive, stencil)| {
                DrivePiece(drive).evaluate(stencil.gather::<7>(state))[drive_output::DRAG]
            })
            .sum()
    }

    /// Place, temperature (K) and gain of a junction whose loss grows by more than what leaves it.
    fn runaway_junction(&self, state: &[f64]) -> Option<(Node, f64, f64)> {
        let mut drives =
            self.spec.drives.iter().zip(&self.drives).filter(|(drive, _)| drive.junction.is_some());
        drives.find_map(|(drive, stencil)| {
            let point = DrivePiece(drive).point(stencil.gather::<7>(state))?.junction?;
            point.runs_away().then_some((drive.heats.inverter, point.hottest_k(), point.gain))
        })
    }
}

impl Network {
    /// A junction needs a slope of its loss that its way to the baseplate carries.
    pub(crate) fn check_junctions(&self, state: &[f64]) -> Result<(), Failure> {
        let found = self.electric.as_ref().and_then(|electric| electric.runaway_junction(state));
        found.map_or(Ok(()), |(node, temperature_k, loop_gain)| {
            Err(Failure::NoEquilibrium {
                loop_gain,
                hottest: self.name_of(self.unknown_of(node)),
                temperature_k,
            })
        })
    }
}
