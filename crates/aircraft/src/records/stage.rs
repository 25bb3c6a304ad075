//! What follows the gearbox.

use super::gearbox::GearLosses;
use schema::prelude::*;

record! {
    /// A stage between the gearbox and the rotor or propeller: a belt, a rotor gearbox, a tail drive. The order of the list is that of
    /// the power. Stages of share 1 are the chain: the shaft power and the shaft speed of points and segments are those behind the last
    /// of them, at the rotor or propeller. A stage of a smaller share is a branch: it leaves where it stands in the list, behind the last
    /// stage of the chain before it, and gives its share of the shaft power to what it drives; that power and its losses come on top.
    pub struct Stage {
        /// Name.
        pub name: Name,
        /// Speed into it over speed out of it: above 1 it slows down, as a rotor gearbox does.
        pub ratio: Input<Ratio> = 1 where positive at_most(1000.0),
        /// Power that it gives over the shaft power: 1 in the chain, less for a branch such as a tail drive.
        pub share: Input<Ratio> = 1 where positive at_most(1.0),
        /// Component that takes the heat; without it, the outside air.
        pub into: Option<String> where refers("component"),
        /// Oil, for losses by geometry; without `into` it has the temperature of the outside air.
        pub oil: Option<String>,
        /// Demonstrated time that it runs to a landing after its oil is lost, as of the gearbox.
        pub run_dry: Option<Input<Time>> where positive,
        /// Losses, over the power and the speed on its side of the motors.
        pub losses: GearLosses,
    }
}

impl Stage {
    /// Whether it leaves the chain.
    pub fn is_branch(&self) -> bool {
        self.share.si() < 1.0
    }
}
