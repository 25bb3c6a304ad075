//! Measured laws of devices, and what they were measured with.

use super::channels::{Channels, Tubes};

use schema::prelude::*;

pub use super::statement::{MeasuredAir, Statement};

choice! {
    /// The ways of the liquid through a device that was measured: another liquid is re-rated by their relation.
    pub enum Passages {
        /// Rectangular channels in parallel.
        Channels(Channels),
        /// Round tubes in parallel.
        Tubes(Tubes),
    }
}

record! {
    /// `hA = a (V/V0)^n`, as measured. Air follows its mass flow, `V = m/rho` with the density of the measurement; a liquid its volume
    /// flow, re-rated to the liquid of the loop where `fluid`, `temperature` and `passages` are stated.
    pub struct PowerLaw {
        /// Conductance at the measured flow.
        pub conductance: Input<ThermalConductance> where positive,
        /// Measured flow.
        pub at: Input<VolumeFlow> where positive,
        /// Exponent.
        pub exponent: Input<Ratio> = 0.8 where at_least_zero at_most(1.5),
        /// Liquid of the measurement, in a loop; without it, the liquid of the loop.
        pub fluid: Option<String>,
        /// Temperature of the measurement; for air without it, that of the standard atmosphere at `altitude`, else 15 degC is assumed.
        pub temperature: Option<Input<Temperature>>,
        /// Density of the air of the measurement, in a duct; without it and `altitude`, the pressure of standard sea level is assumed:
        /// 1.225 kg/m3 at 15 degC.
        pub density: Option<Input<Density>> where positive,
        /// Pressure altitude of the measurement, in a duct, instead of `density`.
        pub altitude: Option<Input<Length>>,
        /// Liquid passages of the device, used to convert the measurement to another liquid; without them it is not converted,
        /// and a notice says so.
        pub passages: Option<Passages>,
    }
}

record! {
    /// A film measured over the flow, and what it was measured with. Air follows its mass flow, `V = m/rho` with the density of the
    /// measurement; a liquid its volume flow, re-rated to the liquid of the loop where `fluid`, `temperature` and `passages` are stated.
    pub struct MeasuredFilm {
        /// Conductance over the flow.
        pub points: Curve<VolumeFlow, ThermalConductance> where at_least_zero over_zero_up,
        /// Liquid of the measurement, in a loop; without it, the liquid of the loop.
        pub fluid: Option<String>,
        /// Temperature of the measurement; for air without it, that of the standard atmosphere at `altitude`, else 15 degC is assumed.
        pub temperature: Option<Input<Temperature>>,
        /// Density of the air of the measurement, in a duct; without it and `altitude`, the pressure of standard sea level is assumed:
        /// 1.225 kg/m3 at 15 degC.
        pub density: Option<Input<Density>> where positive,
        /// Pressure altitude of the measurement, in a duct, instead of `density`.
        pub altitude: Option<Input<Length>>,
        /// Liquid passages of the device, used to convert the measurement to another liquid; without them it is not converted,
        /// and a notice says so.
        pub passages: Option<Passages>,
    }
}

record! {
    /// Measured conductance: one row for each liquid flow, one column for each air flow. The air follows its mass flow, `V = m/rho`
    /// with the density of the measurement; the map carries no term for the air's temperature. The liquid follows its volume flow,
    /// re-rated to the liquid of the loop where `fluid`, `temperature` and `passages` are stated.
    pub struct TransferMap {
        /// Liquid flows.
        pub liquid: List<Input<VolumeFlow>> where not_empty at_least_zero,
        /// Air flows, at the density of the measurement.
        pub air: List<Input<VolumeFlow>> where not_empty at_least_zero,
        /// Conductances, row after row.
        pub conductance: List<Input<ThermalConductance>> where not_empty at_least_zero,
        /// Liquid of the measurement; without it, the liquid of the loop.
        pub fluid: Option<String>,
        /// Temperature of the liquid in the measurement.
        pub temperature: Option<Input<Temperature>>,
        /// Density of the air of the measurement; without it and `altitude`, the pressure of standard sea level is assumed:
        /// 1.225 kg/m3 at 15 degC.
        pub density: Option<Input<Density>> where positive,
        /// Pressure altitude of the measurement, instead of `density`.
        pub altitude: Option<Input<Length>>,
        /// Temperature of the air in the measurement; without it, that of the standard atmosphere at `altitude`, else 15 degC is assumed.
        pub air_temperature: Option<Input<Temperature>>,
        /// Liquid passages of the core, used to convert the measurement to another liquid; without them it is not converted, and
        /// a notice says so.
        pub passages: Option<Passages>,
    }
}
