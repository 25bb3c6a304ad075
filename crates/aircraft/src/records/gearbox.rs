//! The gearbox, and the laws of loss that it shares with the stages behind it.

use schema::prelude::*;

record! {
    /// Gearbox between motors and shaft.
    pub struct Gearbox {
        /// Speed of the motors over the speed behind it: that of the shaft, or of the first stage.
        pub ratio: Input<Ratio> where positive at_most(1000.0),
        /// Component that takes the heat: the oil sump.
        pub sump: String where refers("component"),
        /// Oil; its viscosity at the sump temperature sets the churning.
        pub oil: String,
        /// Greatest torque at one input, which one motor alone may give after the other fails. It bounds the power that is there.
        pub input_torque: Option<Input<Torque>> where positive,
        /// Demonstrated time that it runs to a landing after its oil is lost, counted from the failure, with its source. Without it nothing
        /// can be said of a lost oil: no temperature tells how long teeth and bearings last.
        pub run_dry: Option<Input<Time>> where positive,
        /// Losses.
        pub losses: GearLosses,
    }
}

choice! {
    /// Losses of a gearbox, or of a stage behind it.
    pub enum GearLosses {
        /// One value while it turns.
        Fixed(Input<Power>) where at_least_zero,
        /// Mesh efficiency and drag at the reference speed.
        Efficiency(GearEfficiency),
        /// Teeth and immersion.
        Geometry(GearGeometry),
    }
}

record! {
    /// Efficiency of the meshes, and drag that grows with speed.
    pub struct GearEfficiency {
        /// Output over input power of the meshes.
        pub efficiency: Input<Ratio> where positive at_most(1.0),
        /// Churning, windage and bearing loss at the reference speed.
        pub drag: Input<Power> = "0 W" where at_least_zero,
        /// Speed of the drag, on the side of the motors.
        pub reference_speed: Input<RotationalSpeed> where positive,
        /// Exponent of the speed.
        pub exponent: Input<Ratio> = 2 where at_least_zero at_most(4.0),
    }
}

record! {
    /// Meshes and wheels in oil.
    pub struct GearGeometry {
        /// Meshes.
        pub meshes: List<GearMesh>,
        /// Wheels that dip into the oil.
        pub wheels: List<GearWheel>,
    }
}

record! {
    /// A pair of teeth in mesh (Ohlendorf; ISO/TR 14179-2).
    pub struct GearMesh {
        /// Name.
        pub name: Name,
        /// Share of the power that passes here.
        pub power_share: Input<Ratio> = 1 where fraction,
        /// Teeth of the pinion.
        pub pinion_teeth: Count where at_least(1.0) at_most(10000.0),
        /// Tooth ratio, 1 or more.
        pub ratio: Input<Ratio> where at_least(1.0) at_most(1000.0),
        /// Base helix angle.
        pub helix: Input<Angle> = "0 deg" where at_least_zero below(1.57),
        /// Tip contact ratio of the pinion.
        pub tip_contact_1: Input<Ratio> = 0.8 where at_least_zero at_most(10.0),
        /// Tip contact ratio of the wheel.
        pub tip_contact_2: Input<Ratio> = 0.8 where at_least_zero at_most(10.0),
        /// Mean friction coefficient.
        pub friction: Input<Ratio> = 0.05 where positive at_most(1.0),
    }
}

record! {
    /// A wheel that dips into the oil (Changenet & Velex 2007).
    pub struct GearWheel {
        /// Name.
        pub name: Name,
        /// Its speed over the motor-side speed.
        pub speed_ratio: Input<Ratio> where positive,
        /// Pitch radius.
        pub pitch_radius: Input<Length> where positive,
        /// Face width.
        pub face_width: Input<Length> where positive,
        /// Module.
        pub module: Input<Length> where positive,
        /// Depth of immersion.
        pub immersion: Input<Length> where positive,
        /// Oil volume.
        pub oil_volume: Input<Volume> where positive,
    }
}
