//! Settings that may follow a temperature: speed of a pump, opening of a valve, share of power that is left.

use crate::ids::Node;
use numerics::{Scalar, constant, ramp};

/// A setting of an element.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Signal {
    /// The same at any temperature.
    Fixed(f64),
    /// Follows a temperature: one value below the ramp, another above it, a smooth transition between.
    Ramp {
        /// Where the temperature is sensed.
        sensor: Node,
        /// Start of the transition, K.
        from_k: f64,
        /// End of the transition, K.
        to_k: f64,
        /// Value at and below the start.
        at_from: f64,
        /// Value at and above the end.
        at_to: f64,
    },
    /// Switches with hysteresis: on once the temperature rises to one threshold, off once it falls to a lower one. Over
    /// time the position is kept between the two; a steady state that lies between them means that the switch hunts, and
    /// a smooth transition then gives the mean setting.
    Switched {
        /// Where the temperature is sensed.
        sensor: Node,
        /// Switches off here, K.
        off_k: f64,
        /// Switches on here, K.
        on_k: f64,
        /// Value when off.
        at_off: f64,
        /// Value when on.
        at_on: f64,
    },
}

impl Signal {
    /// The sensed place, if there is one.
    pub fn sensor(&self) -> Option<Node> {
        match self {
            Self::Fixed(_) => None,
            Self::Ramp { sensor, .. } | Self::Switched { sensor, .. } => Some(*sensor),
        }
    }

    /// Value of the setting at the sensed temperature, K.
    #[inline]
    pub fn at<S: Scalar>(&self, sensed_k: S) -> S {
        match self {
            Self::Fixed(value) => constant(*value),
            Self::Ramp { from_k, to_k, at_from, at_to, .. } => {
                ramp(sensed_k, *from_k, *to_k) * (at_to - at_from) + *at_from
            }
            Self::Switched { off_k, on_k, at_off, at_on, .. } => {
                ramp(sensed_k, *off_k, *on_k) * (at_on - at_off) + *at_off
            }
        }
    }
}
