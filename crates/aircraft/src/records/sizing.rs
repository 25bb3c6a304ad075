//! What mass and energy are worth, and what may be chosen when a loop is sized.

use super::core::Core;
use super::device::Machine;
use schema::prelude::*;

record! {
    /// What mass, drag and energy are worth to the aircraft: turns what the cooling draws and drags into mass of cells.
    pub struct Worth {
        /// Energy that the pack gives per mass of pack. Common practice, no source: 0.2 kWh for 1 kg.
        pub specific_energy: Input<SpecificEnergy> = "200 W h/kg" where positive,
        /// Power of motors over power of the bus: motors, inverters and gearbox together. Common practice, no source.
        pub drive_efficiency: Input<Ratio> = 0.9 where positive at_most(1.0),
        /// Thrust power over shaft power. Common practice, no source: 0.75 to 0.88 in cruise.
        pub propulsive_efficiency: Input<Ratio> = 0.8 where positive at_most(1.0),
        /// Aeroplanes: lift over drag of the whole aircraft, at every moment. Left out, the drag of one kilogram more follows from the
        /// craft record at the airspeed and climb of the moment; the default is used where that record says nothing about it. Common
        /// practice, no source.
        pub lift_to_drag: Input<Ratio> = 10 where positive,
        /// Rotorcraft: exponent with which power grows with weight, at every moment. Left out, it is 1.5 in hover (momentum theory) and
        /// follows from the craft record at speed.
        pub power_exponent: Input<Ratio> = 1.5 where positive,
        /// Brackets, clamps, connectors and wiring of a loop or duct over the dry mass of its devices. Common practice, no source: 0.1 to
        /// 0.2.
        pub mounting: Input<Ratio> = 0.15 where at_least_zero at_most(1.0),
    }
}

record! {
    /// What may be chosen when a loop is sized. A dimension without a range stays as it is in the core.
    pub struct Sizing {
        /// Name.
        pub name: Name,
        /// Loop that is sized.
        pub circuit: String where refers("loop"),
        /// Core that is sized; may be left out where the loop has one.
        pub core: Option<String> where refers("core"),
        /// Cases that must hold, by their full names; none named: all.
        pub cases: List<String>,
        /// Width of the face that the place on board allows.
        pub width: Option<LengthRange>,
        /// Height of the face that the place on board allows.
        pub height: Option<LengthRange>,
        /// Depth that the place on board allows.
        pub depth: Option<LengthRange>,
        /// Fins to choose from: distances from fin to fin of a louvered core, clear spacings of an offset strip core.
        pub fins: List<Input<Length>> where positive,
        /// Cores to choose from, with their measured maps and masses, instead of a core of free dimensions.
        pub cores: List<Core>,
        /// Pumps to choose from. The one chosen replaces every pump of the loop, keeping the supply, the drive and the control of
        /// each.
        pub pumps: List<Machine>,
        /// Fans to choose from. The one chosen replaces every fan of the duct of the core, as for pumps.
        pub fans: List<Machine>,
        /// Remark.
        pub note: Option<String>,
    }
}

record! {
    /// From the least to the greatest length.
    pub struct LengthRange {
        /// Least.
        pub least: Input<Length> where positive,
        /// Greatest.
        pub most: Input<Length> where positive,
    }
}
