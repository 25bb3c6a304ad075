//! Channels and tubes by their dimensions.

use schema::prelude::*;

record! {
    /// Equal rectangular channels side by side.
    pub struct Channels {
        /// How many.
        pub count: Count where at_least(1.0) at_most(1000000.0),
        /// Width of one.
        pub width: Input<Length> where positive,
        /// Height of one.
        pub height: Input<Length> where positive,
        /// Length along the flow.
        pub length: Input<Length> where positive,
        /// Wall roughness.
        pub roughness: Input<Length> = "1.5 um" where at_least_zero,
        /// Sum of minor loss coefficients.
        pub losses: Input<Ratio> = 1.5 where at_least_zero,
    }
}

record! {
    /// Equal round tubes side by side.
    pub struct Tubes {
        /// How many.
        pub count: Count where at_least(1.0) at_most(1000000.0),
        /// Inner diameter.
        pub diameter: Input<Length> where positive,
        /// Length along the flow.
        pub length: Input<Length> where positive,
        /// Wall roughness.
        pub roughness: Input<Length> = "1.5 um" where at_least_zero,
        /// Sum of minor loss coefficients.
        pub losses: Input<Ratio> = 1.5 where at_least_zero,
    }
}
