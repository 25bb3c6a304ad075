//! What the certification basis asks of the aircraft with one motor out.

use schema::prelude::*;

record! {
    /// Something that the basis asks for with one motor or one winding set out. Which paragraph asks for it is for the basis and those who
    /// answer for it to say; name it in the note.
    pub struct Demand {
        /// What the aircraft must be able to do.
        pub what: Ability,
        /// Mass, instead of that of the craft.
        pub mass: Option<Input<Mass>> where positive,
        /// Conditions in which it is asked for; without any, all conditions of the cases.
        pub conditions: List<String> where refers("condition"),
        /// How long it must last. Without it, level flight and climb must last as long as a landing as soon as practicable takes, and a hover
        /// may use any rating.
        pub lasting: Option<Input<Time>> where positive,
        /// Paragraph, or remark.
        pub note: Option<String>,
    }
}

choice! {
    /// What an aircraft can do with the power that is there.
    pub enum Ability {
        /// Hover away from the ground.
        HoverOutOfGround,
        /// Hover near the ground, at the `disc_height` of the craft.
        HoverNearGround,
        /// Level flight at the speed of least power.
        Level,
        /// Climb at that speed, at this rate; 100 and 150 ft/min are usual.
        Climb(Input<Speed>) where positive at_most(50.0),
        /// Nothing but a descent to a landing: no power is asked for.
        Descent,
    }
}
