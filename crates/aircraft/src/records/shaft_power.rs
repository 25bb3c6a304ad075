//! Power at the output shaft.

use super::craft::EstimatedPower;
use schema::prelude::*;

choice! {
    /// Power at the output shaft over a segment.
    pub enum ShaftPower plain Fixed {
        /// The same throughout.
        Fixed(Input<Power>) where at_least_zero,
        /// Changes linearly from the value at the end of the segment before to this one.
        To(Input<Power>) where at_least_zero,
        /// Changes evenly.
        Ramp(PowerRamp),
        /// Follows from the craft record, the airspeed, the rate of climb and the air.
        Estimated(EstimatedPower),
    }
}

record! {
    /// Power that changes evenly.
    pub struct PowerRamp {
        /// At the beginning.
        pub from: Input<Power> where at_least_zero,
        /// At the end.
        pub to: Input<Power> where at_least_zero,
    }
}
