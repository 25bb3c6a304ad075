//! What a pump needs at its inlet so that the liquid does not boil in it.

use schema::prelude::*;

choice! {
    /// What a pump needs at its inlet above the vapour pressure of the liquid (net positive suction), over its flow. It is stated at the
    /// speed of the pump's curve, or of its `displacement`, and carried to another by similarity: flow with the speed, need with
    /// its square. Beyond the last point it goes on with the square of the flow, and a notice says so; below the first it is held.
    pub enum InletNeed {
        /// As a pressure, measured with a liquid of the pump's `curve_density`; it goes with the density of the liquid.
        Pressure(Curve<VolumeFlow, PressureDifference>) where positive over_zero_up,
        /// As a head: metres of the liquid, whatever it weighs.
        Head(Curve<VolumeFlow, Length>) where positive over_zero_up,
    }
}
