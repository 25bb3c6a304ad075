//! Charging of the pack, its age, and its hottest cell.

use schema::prelude::*;

record! {
    /// How a pack is charged: constant current, then constant voltage, inside a window of cell temperatures.
    ///
    /// Never charge outside the limits of the cell maker, and never below 0 degC: it plates lithium and lowers the safety of
    /// the cell for good.
    pub struct Charging {
        /// Rate of the constant-current part, current over rated capacity.
        pub rate: Input<ChargeRate> where positive,
        /// Voltage of a cell that is held at the end.
        pub end_voltage: Input<Voltage> where positive,
        /// Rate at constant voltage at which the charge ends. A twentieth is common practice, no source.
        pub taper: Input<ChargeRate> = "0.05 C" where positive,
        /// Allowed rate by cell temperature: each rate holds from its temperature up to the next one. The last rate is 0 C and
        /// marks the upper end; below the first temperature nothing is charged.
        pub window: Curve<Temperature, ChargeRate> where at_least_zero,
        /// A charge that was stopped at an end of the window starts again this far inside. 3 to 5 K is common practice, no source.
        pub hysteresis: Input<TemperatureDifference> = "5 K" where positive,
        /// Coldest cell a charge starts at, instead of the hysteresis; 15 degC is common practice, no source.
        pub start_from: Option<Input<Temperature>>,
        /// Hottest cell a charge starts at, instead of the hysteresis; 40 degC is common practice, no source.
        pub start_to: Option<Input<Temperature>>,
        /// Charger.
        pub charger: Charger = (),
    }
}

record! {
    /// What feeds the pack on the ground.
    pub struct Charger {
        /// Greatest power at the bus of the aircraft.
        pub power: Option<Input<Power>> where positive,
        /// Greatest power taken from the supply.
        pub supply_power: Option<Input<Power>> where positive,
        /// Power at the bus over power from the supply. Common practice, no source.
        pub efficiency: Input<Ratio> = 0.94 where positive at_most(1.0),
        /// Component that takes the heat of a charger on board; without it, the charger stands beside the aircraft.
        pub into: Option<String> where refers("component"),
    }
}

record! {
    /// What age does to a cell.
    pub struct Ageing {
        /// Resistance at the end of life over that of the new cell: 1.3 to 2 is common practice, no source.
        pub resistance: Input<Ratio> = 1.5 where at_least(1.0),
        /// Capacity at the end of life over that of the new cell: 80 % is the usual convention.
        pub capacity: Input<Ratio> = 0.8 where positive at_most(1.0),
    }
}

record! {
    /// How the hottest cell of a group differs from the mean one.
    pub struct HotCell {
        /// Its Joule heat above that of the mean cell, as a share: 0.05 to 0.3 is common practice, no source.
        pub excess: Input<Ratio> = 0.1 where at_least_zero,
        /// Thermal resistance from one cell to what cools it, neighbours included.
        pub to_coolant: Input<ThermalResistance> where positive,
    }
}

record! {
    /// A charge that runs in a segment or at a point.
    pub struct Charge {
        /// State of charge at which it ends.
        pub to: Input<Ratio> = 1 where positive at_most(1.0),
        /// Rate of the constant-current part, instead of the one of the pack.
        pub rate: Option<Input<ChargeRate>> where positive,
        /// Greatest power at the bus, instead of the one of the charger.
        pub power: Option<Input<Power>> where positive,
    }
}
