//! Cores (radiators, oil coolers) and liquid-to-liquid exchangers.

use super::device::{Film, FlowResistance};
use super::measured::TransferMap;
use schema::prelude::*;

record! {
    /// Radiator or oil cooler between a loop and a duct.
    pub struct Core {
        /// Name.
        pub name: Name,
        /// Conductance between liquid and air.
        pub transfer: Transfer,
        /// Pressure loss of the liquid side.
        pub liquid_flow: FlowResistance,
        /// Pressure loss of the air side.
        pub air_flow: AirResistance,
        /// Liquid content.
        pub volume: Input<Volume> = "0.3 L" where at_least_zero,
        /// Dry mass, if known; a core given by its geometry has its mass computed.
        pub mass: Option<Input<Mass>> where at_least_zero,
        /// Fouling resistance of both sides together, for the whole core.
        pub fouling: Input<ThermalResistance> = "0 K/W" where at_least_zero,
        /// Share of the air face that is blocked.
        pub blocked: Input<Ratio> = 0 where at_least_zero below(1.0),
    }
}

choice! {
    /// Conductance UA of a core.
    pub enum Transfer {
        /// Known value.
        Fixed(Input<ThermalConductance>) where positive,
        /// Measured over both flows.
        Map(TransferMap),
        /// Films of both sides, each at its own level.
        Sides(TransferSides),
        /// Louvered fins between flat tubes, handbook relation.
        Louvered(LouveredCore),
        /// Offset strip fins, handbook relation.
        OffsetStrip(OffsetStripCore),
    }
}

record! {
    /// Films of both sides.
    pub struct TransferSides {
        /// Liquid side.
        pub liquid: Film,
        /// Air side.
        pub air: Film,
        /// Wall between them.
        pub wall: Input<ThermalResistance> = "0 K/W" where at_least_zero,
    }
}

choice! {
    /// Pressure loss of the air side of a core.
    pub enum AirResistance {
        /// One measured point.
        Point(AirDropPoint),
        /// Loss coefficient on the face.
        Face(FaceLoss),
        /// From the fins, handbook friction.
        OfFins,
    }
}

record! {
    /// One measured point of air-side loss.
    pub struct AirDropPoint {
        /// Pressure loss.
        pub drop: Input<PressureDifference> where positive,
        /// Air flow.
        pub at: Input<VolumeFlow> where positive,
        /// Exponent of the flow.
        pub exponent: Input<Ratio> = 1.6 where at_least(1.0) at_most(2.5),
        /// Air density during the measurement: the loss changes with `rho^(exponent - 1)` at equal volume flow.
        pub density: Input<Density> = "1.2 kg/m3" where positive,
    }
}

record! {
    /// Loss coefficient on the face velocity.
    pub struct FaceLoss {
        /// Coefficient.
        pub coefficient: Input<Ratio> where positive,
        /// Face area.
        pub area: Input<Area> where positive,
    }
}

record! {
    /// Flat tubes with louvered corrugated fins between them, one pass.
    pub struct LouveredCore {
        /// Width of the face across the tubes: sets how many tubes there are.
        pub width: Input<Length> where positive,
        /// Height of the face along the tubes.
        pub height: Input<Length> where positive,
        /// Depth in the direction of the air.
        pub depth: Input<Length> where positive,
        /// Distance from tube to tube.
        pub tube_pitch: Input<Length> = "10 mm" where positive,
        /// Outer thickness of a tube, across the air.
        pub tube_thickness: Input<Length> = "2 mm" where positive,
        /// Wall thickness of a tube.
        pub tube_wall: Input<Length> = "0.3 mm" where positive,
        /// Distance from fin to fin.
        pub fin_pitch: Input<Length> = "1.4 mm" where positive,
        /// Fin thickness.
        pub fin_thickness: Input<Length> = "0.1 mm" where positive,
        /// Distance from louver to louver.
        pub louver_pitch: Input<Length> = "1.1 mm" where positive,
        /// Louver angle.
        pub louver_angle: Input<Angle> = "27 deg" where positive below(1.57),
        /// Louver length.
        pub louver_length: Input<Length> = "6.5 mm" where positive,
        /// Thermal conductivity of the fins.
        pub fin_conductivity: Input<ThermalConductivity> = "180 W/(m K)" where positive,
    }
}

record! {
    /// Plates with offset strip fins on the air side and plain channels on the liquid side.
    pub struct OffsetStripCore {
        /// Width of the face across the layers.
        pub width: Input<Length> where positive,
        /// Height of the face along the liquid.
        pub height: Input<Length> where positive,
        /// Depth in the direction of the air.
        pub depth: Input<Length> where positive,
        /// Clear height of an air layer.
        pub fin_height: Input<Length> = "8 mm" where positive,
        /// Clear spacing between fins.
        pub fin_spacing: Input<Length> = "1.6 mm" where positive,
        /// Strip length in the direction of the air.
        pub strip_length: Input<Length> = "3.2 mm" where positive,
        /// Fin thickness.
        pub fin_thickness: Input<Length> = "0.12 mm" where positive,
        /// Clear height of a liquid layer.
        pub liquid_height: Input<Length> = "2 mm" where positive,
        /// Thickness of the plates between layers.
        pub plate: Input<Length> = "0.5 mm" where positive,
        /// Thermal conductivity of the fins.
        pub fin_conductivity: Input<ThermalConductivity> = "180 W/(m K)" where positive,
    }
}

choice! {
    /// How the two liquids of an exchanger pass each other.
    pub enum Passing {
        /// In opposite directions.
        Counterflow,
        /// In the same direction.
        ParallelFlow,
        /// Across each other.
        Crossflow,
    }
}

record! {
    /// Liquid-to-liquid exchanger between two loops.
    pub struct Exchanger {
        /// Name.
        pub name: Name,
        /// Loop of the first side.
        pub first: String where refers("loop"),
        /// Loop of the second side.
        pub second: String where refers("loop"),
        /// Conductance between the liquids.
        pub conductance: Input<ThermalConductance> where positive,
        /// How the liquids pass each other.
        pub passing: Passing = Counterflow,
        /// Pressure loss of the first side.
        pub first_flow: FlowResistance,
        /// Pressure loss of the second side.
        pub second_flow: FlowResistance,
        /// Liquid content of one side.
        pub volume: Input<Volume> = "0.1 L" where at_least_zero,
        /// Dry mass.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}
