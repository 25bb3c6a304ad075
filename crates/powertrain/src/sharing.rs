//! Sharing of shaft power among machines.

use numerics::Scalar;
use thiserror::Error;

use crate::error::{self, InputError};

/// A machine on a common shaft or gearbox.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    /// Weight of its share: equal weights share equally.
    pub weight: f64,
    /// Speed of the machine over speed of the common shaft.
    pub ratio: f64,
    /// Whether it is in service.
    pub in_service: bool,
}

/// Why power cannot be shared.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SharingError {
    /// No machine with a weight is in service.
    #[error("no machine is in service to take the shaft power")]
    NoMachine,
    /// A weight or ratio is not physical.
    #[error(transparent)]
    Input(#[from] InputError),
}

/// What one machine does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MachinePoint<S> {
    /// Shaft power (W).
    pub power_w: S,
    /// Torque (N m); 0 at rest, where a power has no torque.
    pub torque_nm: S,
    /// Speed (rad/s). A machine out of service turns with the shaft unless it has a freewheel.
    pub speed_rad_s: S,
}

/// Fractions of a common shaft's power that each machine takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Shares {
    fractions: Vec<f64>,
    ratios: Vec<f64>,
}

impl Shares {
    /// Shares by weight among the machines in service; the others take nothing.
    ///
    /// # Errors
    /// [`SharingError::NoMachine`] if nothing is left to take the power; [`SharingError::Input`] for a negative weight or a
    /// ratio that is not positive.
    pub fn new(members: &[Member]) -> Result<Self, SharingError> {
        for member in members {
            error::not_negative("weight of a share", member.weight)?;
            error::positive("speed of a machine over shaft speed", member.ratio)?;
        }
        let active = |member: &Member| if member.in_service { member.weight } else { 0.0 };
        let sum: f64 = members.iter().map(active).sum();
        if !(sum > 0.0) {
            return Err(SharingError::NoMachine);
        }
        Ok(Self {
            fractions: members.iter().map(|member| active(member) / sum).collect(),
            ratios: members.iter().map(|member| member.ratio).collect(),
        })
    }

    /// Fraction of the power that each machine takes; they add up to 1.
    pub fn fractions(&self) -> &[f64] {
        &self.fractions
    }

    /// Power, torque and speed of a machine for the power (W) and speed (rad/s) of the common shaft.
    ///
    /// # Panics
    /// If there is no machine of that index.
    #[inline]
    pub fn point<S: Scalar>(&self, index: usize, shaft_power_w: S, shaft_speed_rad_s: S) -> MachinePoint<S> {
        let power_w = shaft_power_w * self.fractions[index];
        let speed_rad_s = shaft_speed_rad_s * self.ratios[index];
        // P omega / (omega^2 + small): finite, with finite slope, at rest
        let torque_nm = power_w * speed_rad_s / (speed_rad_s * speed_rad_s + 1e-6);
        MachinePoint { power_w, torque_nm, speed_rad_s }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rating::{Rating, WorkPoint};
    use proptest::prelude::*;
    use testkit::assert_close;

    const MEMBER: Member = Member { weight: 1.0, ratio: 6.0, in_service: true };

    #[test]
    fn equal_machines_share_equally_and_one_takes_all_when_the_other_is_out() {
        let both = Shares::new(&[MEMBER, MEMBER]).unwrap();
        // 120 kW at 40 rad/s, ratio 6: 60 kW at 240 rad/s = 250 N m each
        let point = both.point(0, 120e3, 40.0);
        assert_close("W", point.power_w, 60e3, 1e-12);
        assert_close("rad/s", point.speed_rad_s, 240.0, 1e-12);
        assert_close("N m", point.torque_nm, 250.0, 1e-9);
        let one = Shares::new(&[MEMBER, Member { in_service: false, ..MEMBER }]).unwrap();
        assert_close("N m", one.point(0, 120e3, 40.0).torque_nm, 500.0, 1e-9);
        assert_eq!(one.point(1, 120e3, 40.0).power_w, 0.0);
        // the rating says whether it can: 400 N m is too little for 500
        let rating = Rating { torque_nm: Some(400.0), ..Rating::UNLIMITED };
        let left = one.point(0, 120e3, 40.0);
        let work = WorkPoint {
            power_w: left.power_w,
            torque_nm: left.torque_nm,
            speed_rad_s: left.speed_rad_s,
            phase_current_a: 0.0,
        };
        assert!(!rating.check(&work).is_held());
    }

    #[test]
    fn nothing_left_is_named() {
        let out = Member { in_service: false, ..MEMBER };
        assert_eq!(Shares::new(&[out, out]), Err(SharingError::NoMachine));
        assert_eq!(Shares::new(&[]), Err(SharingError::NoMachine));
        assert!(matches!(Shares::new(&[Member { weight: -1.0, ..MEMBER }]), Err(SharingError::Input(_))));
    }

    #[test]
    fn rest_is_finite() {
        let point = Shares::new(&[MEMBER]).unwrap().point(0, 0.0, 0.0);
        assert_eq!((point.power_w, point.torque_nm), (0.0, 0.0));
    }

    proptest! {
        #[test]
        fn the_parts_add_up_to_the_whole(
            weights in prop::collection::vec((0.0..5.0_f64, prop::bool::ANY), 1..6), power in -1e5..1e5_f64,
        ) {
            let members: Vec<Member> =
                weights.iter().map(|&(weight, in_service)| Member { weight, in_service, ..MEMBER }).collect();
            if let Ok(shares) = Shares::new(&members) {
                let sum: f64 = (0..members.len()).map(|i| shares.point(i, power, 30.0).power_w).sum();
                prop_assert!((sum - power).abs() <= 1e-9 * power.abs().max(1.0));
            }
        }
    }
}
