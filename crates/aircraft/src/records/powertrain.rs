//! Motors, inverters, gearbox and pack.

use super::charging::{Ageing, Charging, HotCell};
use super::component::Limit;
use super::power_path::{Conductor, ConductorResistance, Converter};
use super::stage::Stage;
use schema::prelude::*;

pub use super::gearbox::{GearEfficiency, GearGeometry, GearLosses, GearMesh, GearWheel, Gearbox};

record! {
    /// The electric drive of the aircraft.
    pub struct Powertrain {
        /// Motors that share the shaft.
        pub motors: List<Motor>,
        /// Gearbox between motors and shaft, or the first of the stages; without it, direct drive.
        pub gearbox: Option<Gearbox>,
        /// What follows it on the way to the rotor or propeller, in the order of the power: belt, rotor gearbox, tail drive.
        pub stages: List<Stage>,
        /// What feeds the bus.
        pub bus: Bus,
        /// Converters that feed the supplies of pumps and fans, and other low-voltage loads. A pump or fan whose supply no
        /// converter feeds draws from the bus itself.
        pub converters: List<Converter>,
        /// Other loads on the bus itself; their heat is not booked.
        pub other_load: Input<Power> = "0 W" where at_least_zero,
    }
}

record! {
    /// A motor with its inverters, one for each winding set.
    pub struct Motor {
        /// Name.
        pub name: Name,
        /// Component that takes the copper loss.
        pub winding: String where refers("component"),
        /// Component that takes the iron loss.
        pub iron: String where refers("component"),
        /// Component that takes magnet and bearing loss.
        pub rotor: String where refers("component"),
        /// Component that takes the windage; without it, the rotor.
        pub windage_into: Option<String> where refers("component"),
        /// Component that takes the inverter loss.
        pub inverter: String where refers("component"),
        /// Loss law of the motor.
        pub losses: MotorLosses,
        /// Loss law of one inverter.
        pub inverter_losses: InverterLosses,
        /// Junctions of the inverter above the component that takes its loss; without it, the temperature of that component is
        /// used for them.
        pub junction: Option<Junction>,
        /// Whether a freewheel lets it stand still while it gives no power. Without one, a motor that is out keeps turning with
        /// the gearbox: iron, magnets, bearings and windage brake it, and the others supply that power.
        pub freewheel: Flag = false,
        /// What an outage of it, or of one of its winding sets, leaves behind.
        pub failure: MotorFailure = Open,
        /// Share of the power that this motor takes, in proportion to the others.
        pub share: Input<Ratio> = 1 where at_least_zero,
        /// Ratings.
        pub ratings: List<Rating>,
        /// Resistance of the cable from the bus, both ways.
        pub cable: ConductorResistance = "0 mOhm" where at_least_zero,
        /// Component that takes the cable loss, and whose temperature the cable has; without it, the inverter.
        pub cable_into: Option<String> where refers("component"),
        /// Power that is left while a component is hot.
        pub derate: Option<Derate>,
        /// Greatest shaft power that its control allows, for example after the other motor fails; what is asked beyond it is lost
        /// and reported. Without it the motor gives what is asked, whatever its ratings.
        pub most_power: Option<Input<Power>> where positive,
        /// Greatest phase current of the inverter of one winding set, root mean square. It bounds the power that is there after a failure.
        pub most_phase_current: Option<Input<Current>> where positive,
        /// Greatest current that its inverters together may draw from the bus. It bounds the power that is there after a failure.
        pub most_bus_current: Option<Input<Current>> where positive,
    }
}

choice! {
    /// What an outage leaves behind.
    pub enum MotorFailure {
        /// No current flows.
        Open,
        /// Winding or inverter is shorted: while the rotor turns it drives a current through the winding. Needs losses by machine
        /// parameters with an inductance; otherwise the motor is not judged.
        Shorted,
    }
}

record! {
    /// Junctions of the power devices above the component that takes the loss of the inverter: `T = T_component + R P`, with the
    /// loss taken at that temperature.
    pub struct Junction {
        /// Thermal resistance to that component.
        pub resistance: JunctionResistance,
        /// Limits of the hotter of switch and diode.
        pub limits: List<Limit>,
    }
}

choice! {
    /// Thermal resistance from the junctions to the component.
    pub enum JunctionResistance {
        /// Of one switch and one diode, each above its own loss: needs losses by power devices.
        PerSwitch(SwitchResistance),
        /// Of the whole bridge of one winding set as one module.
        Whole(Input<ThermalResistance>),
    }
}

record! {
    /// Thermal resistances of one of the power devices.
    pub struct SwitchResistance {
        /// From the junction of a switch.
        pub switch: Input<ThermalResistance> where at_least_zero,
        /// From the junction of a diode.
        pub diode: Input<ThermalResistance> where at_least_zero,
    }
}

record! {
    /// Power taken back as a component gets hot.
    pub struct Derate {
        /// Component that is sensed.
        pub sensor: String where refers("component"),
        /// Temperature at which derating starts.
        pub from: Input<Temperature>,
        /// Temperature at which the least power is reached.
        pub to: Input<Temperature>,
        /// Share of the power that is left at the end.
        pub least: Input<Ratio> = 0.5 where fraction,
    }
}

record! {
    /// What a motor may give, and for how long.
    pub struct Rating {
        /// Name.
        pub name: Name,
        /// Power at the motor shaft.
        pub power: Input<Power> where positive,
        /// Torque at the motor shaft.
        pub torque: Option<Input<Torque>> where positive,
        /// Speed of the motor shaft.
        pub speed: Option<Input<RotationalSpeed>> where positive,
        /// How long in one go; without it, always.
        pub duration: Option<Input<Time>> where positive,
        /// How often in one flight; without it, any number of times.
        pub uses: Option<Count> where at_least(1.0),
        /// Whether its use requires an inspection before the next flight.
        pub inspection: Flag = false,
    }
}

choice! {
    /// Losses of a motor.
    pub enum MotorLosses {
        /// Losses at one point, used at every point.
        Fixed(FixedMotor),
        /// One efficiency with a split of the loss.
        Efficiency(EfficientMotor),
        /// Measured loss over torque and speed with a split.
        Map(MotorMap),
        /// Measured loss over torque and speed at several bus voltages with a split.
        Maps(MotorMaps),
        /// Machine parameters.
        Machine(MotorMachine),
    }
}

record! {
    /// Losses at one point.
    pub struct FixedMotor {
        /// Copper.
        pub copper: Input<Power> where at_least_zero,
        /// Iron.
        pub iron: Input<Power> where at_least_zero,
        /// Magnets and bearings.
        pub magnet: Input<Power> = "0 W" where at_least_zero,
        /// Windage.
        pub windage: Input<Power> = "0 W" where at_least_zero,
        /// Winding sets.
        pub winding_sets: Count = 1 where at_least(1.0) at_most(100.0),
    }
}

record! {
    /// Where the loss of a motor goes; the parts add up to 1.
    pub struct LossSplit {
        /// Copper.
        pub copper: Input<Ratio> = 0.65 where fraction,
        /// Iron.
        pub iron: Input<Ratio> = 0.27 where fraction,
        /// Magnets and bearings.
        pub magnet: Input<Ratio> = 0.05 where fraction,
        /// Windage.
        pub windage: Input<Ratio> = 0.03 where fraction,
    }
}

record! {
    /// One efficiency.
    pub struct EfficientMotor {
        /// Shaft power over electrical power.
        pub efficiency: Input<Ratio> where positive at_most(1.0),
        /// Where the loss goes.
        pub split: LossSplit = (),
        /// Winding sets.
        pub winding_sets: Count = 1 where at_least(1.0) at_most(100.0),
    }
}

record! {
    /// Measured loss: one row for each torque, one column for each speed.
    pub struct MotorMap {
        /// Torques, rising from zero.
        pub torque: List<Input<Torque>> where not_empty at_least_zero,
        /// Speeds, rising.
        pub speed: List<Input<RotationalSpeed>> where not_empty at_least_zero,
        /// Losses, row after row.
        pub loss: List<Input<Power>> where not_empty at_least_zero,
        /// Where the loss goes.
        pub split: LossSplit = (),
        /// Winding temperature of the measurement: the copper loss is converted from there to the actual temperature.
        pub winding_at: Input<Temperature> = "80 degC",
        /// Winding sets.
        pub winding_sets: Count = 1 where at_least(1.0) at_most(100.0),
    }
}

record! {
    /// Measured loss at several bus voltages: linear between them, held at the lowest and the highest.
    pub struct MotorMaps {
        /// One table for each bus voltage, voltages rising; torques and speeds may differ from table to table.
        pub tables: List<MotorTable> where not_empty,
        /// Where the loss goes.
        pub split: LossSplit = (),
        /// Winding temperature of the measurement: the copper loss is converted from there to the actual temperature.
        pub winding_at: Input<Temperature> = "80 degC",
        /// Winding sets.
        pub winding_sets: Count = 1 where at_least(1.0) at_most(100.0),
    }
}

record! {
    /// Measured loss at one bus voltage: one row for each torque, one column for each speed.
    pub struct MotorTable {
        /// Bus voltage.
        pub voltage: Input<Voltage> where positive,
        /// Torques, rising from zero.
        pub torque: List<Input<Torque>> where not_empty at_least_zero,
        /// Speeds, rising.
        pub speed: List<Input<RotationalSpeed>> where not_empty at_least_zero,
        /// Losses, row after row.
        pub loss: List<Input<Power>> where not_empty at_least_zero,
    }
}

record! {
    /// Parameters of a permanent-magnet machine.
    pub struct MotorMachine {
        /// Resistance of one phase of one winding set.
        pub phase_resistance: Input<Resistance> where positive,
        /// Winding temperature of that resistance.
        pub resistance_at: Input<Temperature> = "20 degC",
        /// Torque over phase current, A rms.
        pub torque_constant: Input<TorqueConstant> where positive,
        /// Magnet temperature of that constant.
        pub magnet_at: Input<Temperature> = "20 degC",
        /// Relative change of the magnets with temperature.
        pub magnet_coefficient: Input<PerTemperature> = "-0.11 %/K" where at_least(-0.01) at_most(0.01),
        /// Pole pairs.
        pub pole_pairs: Count where at_least(1.0) at_most(1000.0),
        /// Synchronous inductance of one phase: field weakening at high speed, and the current of a short.
        pub inductance: Option<Input<Inductance>> where positive,
        /// Winding sets.
        pub winding_sets: Count = 1 where at_least(1.0) at_most(100.0),
        /// Iron loss at the reference speed, no load.
        pub iron_loss: Input<Power> where at_least_zero,
        /// Magnet and rotor loss at the reference speed.
        pub magnet_loss: Input<Power> = "0 W" where at_least_zero,
        /// Windage at the reference speed.
        pub windage: Input<Power> = "0 W" where at_least_zero,
        /// Reference speed of these losses.
        pub reference_speed: Input<RotationalSpeed> where positive,
    }
}

choice! {
    /// Losses of an inverter.
    pub enum InverterLosses {
        /// One value whenever it carries current.
        Fixed(Input<Power>) where at_least_zero,
        /// One efficiency.
        Efficiency(Input<Ratio>) where positive at_most(1.0),
        /// Measured loss over phase current and bus voltage.
        Map(InverterMap),
        /// Power devices.
        Devices(InverterDevices),
        /// Power devices of bipolar switches with diodes.
        Bipolar(BipolarDevices),
    }
}

record! {
    /// Measured loss: one row for each phase current, one column for each bus voltage.
    pub struct InverterMap {
        /// Phase currents, A rms, rising from zero.
        pub current: List<Input<Current>> where not_empty at_least_zero,
        /// Bus voltages, rising.
        pub voltage: List<Input<Voltage>> where not_empty at_least_zero,
        /// Losses, row after row.
        pub loss: List<Input<Power>> where not_empty at_least_zero,
    }
}

record! {
    /// A bridge of channels that conduct both ways (field-effect transistors).
    pub struct InverterDevices {
        /// On-state resistance of one switch.
        pub resistance: Input<Resistance> where positive,
        /// Turn-on and turn-off energy together at the reference point.
        pub switching_energy: Input<Energy> where at_least_zero,
        /// Recovery energy at the reference point.
        pub recovery_energy: Input<Energy> = "0 mJ" where at_least_zero,
        /// Current of the energies.
        pub reference_current: Input<Current> where positive,
        /// Voltage of the energies.
        pub reference_voltage: Input<Voltage> where positive,
        /// Carrier frequency.
        pub carrier: Input<Frequency> = "16 kHz" where positive,
        /// Devices in parallel in each switch.
        pub parallel: Count = 1 where at_least(1.0) at_most(1000.0),
        /// Junction temperature of the data.
        pub junction_at: Input<Temperature> = "25 degC",
        /// Relative growth of the resistance with temperature.
        pub resistance_growth: Input<PerTemperature> = "0.5 %/K" where at_least(-0.1) at_most(0.1),
        /// Relative growth of the energies with temperature.
        pub energy_growth: Input<PerTemperature> = "0 %/K" where at_least(-0.1) at_most(0.1),
    }
}

record! {
    /// A bridge of bipolar switches with diodes beside them. Values of one device at the junction temperature of the data; the on-state
    /// voltage is a threshold and a slope.
    pub struct BipolarDevices {
        /// Threshold voltage of a switch.
        pub threshold: Input<Voltage> where at_least_zero,
        /// Slope of a switch above it.
        pub slope: Input<Resistance> where at_least_zero,
        /// Threshold voltage of a diode.
        pub diode_threshold: Input<Voltage> where at_least_zero,
        /// Slope of a diode above it.
        pub diode_slope: Input<Resistance> where at_least_zero,
        /// Turn-on and turn-off energy together at the reference point.
        pub switching_energy: Input<Energy> where at_least_zero,
        /// Recovery energy of a diode at the reference point.
        pub recovery_energy: Input<Energy> where at_least_zero,
        /// Current of the energies.
        pub reference_current: Input<Current> where positive,
        /// Voltage of the energies.
        pub reference_voltage: Input<Voltage> where positive,
        /// Carrier frequency.
        pub carrier: Input<Frequency> = "10 kHz" where positive,
        /// Devices in parallel in each switch.
        pub parallel: Count = 1 where at_least(1.0) at_most(1000.0),
        /// Junction temperature of the data.
        pub junction_at: Input<Temperature> = "125 degC",
        /// Change of the thresholds with temperature; below zero for most devices.
        pub threshold_growth: Input<EntropicCoefficient> = "0 mV/K",
        /// Relative growth of the slopes with temperature.
        pub slope_growth: Input<PerTemperature> = "0 %/K" where at_least(-0.1) at_most(0.1),
        /// Relative growth of the energies with temperature.
        pub energy_growth: Input<PerTemperature> = "0 %/K" where at_least(-0.1) at_most(0.1),
    }
}

choice! {
    /// What feeds the bus.
    pub enum Bus {
        /// A supply that holds its voltage.
        Supply(Input<Voltage>) where positive,
        /// A battery pack.
        Pack(Pack),
    }
}

record! {
    /// A battery pack.
    pub struct Pack {
        /// Component that takes the heat of the cells; its segments are groups of cells along the coolant.
        pub cells: String where refers("component"),
        /// Cells in series.
        pub series: Count where at_least(1.0) at_most(100000.0),
        /// Strings in parallel.
        pub parallel: Count where at_least(1.0) at_most(100000.0),
        /// Cell.
        pub cell: Cell,
        /// Resistance of busbars and contactors together, the same at every temperature.
        pub interconnect: Input<Resistance> = "0 mOhm" where at_least_zero,
        /// Component that takes the heat of busbars and contactors; without it, the cells.
        pub interconnect_into: Option<String> where refers("component"),
        /// Bus bars, contactors, fuses and main cables one by one, in addition to `interconnect`.
        pub conductors: List<Conductor>,
        /// Greatest current of the whole pack. It bounds the power that is there after a failure.
        pub most_current: Option<Input<Current>> where positive,
        /// Least bus voltage at which the drive still gives its power. It bounds the power that is there.
        pub least_voltage: Option<Input<Voltage>> where positive,
        /// Strings that are out.
        pub strings_out: Count = 0,
        /// How it is charged.
        pub charging: Option<Charging>,
        /// What age does to its cells.
        pub ageing: Ageing = (),
        /// Share of the life of the cells that is used up, from 0 new to 1 end of life; points and missions may differ.
        pub life_used: Input<Ratio> = 0 where fraction,
        /// Hottest cell of each group.
        pub hot_cell: Option<HotCell>,
    }
}

choice! {
    /// How a cell resistance was measured.
    pub enum ResistanceBasis plain Pulse {
        /// Direct-current pulse.
        Pulse(Input<Time>) where positive,
        /// Alternating current at 1 kHz: refused, it is 50 to 80 % of the direct-current value.
        Ac1kHz,
    }
}

choice! {
    /// How a table is read between its points.
    pub enum Interpolation {
        /// Straight lines; where the points sag, as a resistance over temperature does, they lie above it.
        Linear,
        /// Smooth, and monotone wherever the points are.
        Monotone,
    }
}

record! {
    /// Measured resistance of a cell: one row for each state of charge, one column for each temperature, all at the pulse length of
    /// `basis`. It is a shape: scaled so that it gives `resistance` at `resistance_at` and half charge, both of which it must hold.
    /// Outside it is held at the edge, and the case says so.
    pub struct ResistanceTable {
        /// States of charge, rising.
        pub state_of_charge: List<Input<Ratio>>,
        /// Temperatures, rising.
        pub temperature: List<Input<Temperature>>,
        /// Resistances, row after row.
        pub ohm: List<Input<Resistance>>,
        /// How it is read between its points.
        pub interpolation: Interpolation = Linear,
    }
}

record! {
    /// A cell.
    ///
    /// `resistance` is always the value at `resistance_at` and half charge, so that one number moves all of it. What temperature and
    /// charge do to it is said by `cold_growth`, `hot_growth` and `charge_factor`, or by a measured `resistance_table` instead.
    pub struct Cell {
        /// Capacity.
        pub capacity: Input<Charge> where positive,
        /// Open-circuit voltage over state of charge.
        pub open_circuit: Curve<Ratio, Voltage> where positive over_fraction,
        /// How it is read between its points.
        pub open_circuit_interpolation: Interpolation = Monotone,
        /// Direct-current resistance, new, at the reference temperature and half charge.
        pub resistance: Input<Resistance> where positive,
        /// How it was measured: all of it at one pulse length.
        pub basis: ResistanceBasis = "10 s",
        /// Temperature of the resistance.
        pub resistance_at: Input<Temperature> = "25 degC",
        /// Growth of the resistance when colder than `resistance_at`: `exp(B (1/T - 1/Tref))`; 2000 to 3500 K is common practice,
        /// no source. A cubic rounds the corner over the 2 K below `resistance_at`.
        pub cold_growth: Input<TemperatureDifference> = "2500 K" where at_least_zero,
        /// The same above `resistance_at`: how much lower the resistance of a warm cell is. Without a measurement nothing is
        /// gained, which errs towards more heat.
        pub hot_growth: Input<TemperatureDifference> = "0 K" where at_least_zero,
        /// Factor over state of charge.
        pub charge_factor: Option<Curve<Ratio, Ratio>> where positive over_fraction,
        /// Measured resistance over state of charge and temperature, instead of `cold_growth`, `hot_growth` and `charge_factor`.
        pub resistance_table: Option<ResistanceTable>,
        /// Rise from the pulse of the measurement to minutes of current. Without it, 1.3 for pulses up to 60 s (a short pulse is low
        /// by 10 to 30 %: common practice, no source), 1 from 5 min, linear in the logarithm of the time between.
        pub duration_factor: Option<Input<Ratio>> where positive at_most(10.0),
        /// Rise with age, on top of what the pack's ageing adds; end of life is commonly 1.3 to 2.
        pub age_factor: Input<Ratio> = 1 where positive at_most(100.0),
        /// Entropic coefficient.
        pub entropic: Input<EntropicCoefficient> = "0 mV/K" where at_least(-0.01) at_most(0.01),
        /// Onset of self-heating: from this temperature on the model says nothing about the cells, and there is no result. 80 degC is
        /// common practice, no source; take it from a calorimeter test of the cell.
        pub self_heating: Input<Temperature> = "80 degC" where above(273.15) at_most(573.15),
    }
}

impl Motor {
    /// Winding sets, one at least.
    pub fn winding_sets(&self) -> usize {
        let sets = match &self.losses {
            MotorLosses::Fixed(losses) => losses.winding_sets,
            MotorLosses::Efficiency(losses) => losses.winding_sets,
            MotorLosses::Map(losses) => losses.winding_sets,
            MotorLosses::Maps(losses) => losses.winding_sets,
            MotorLosses::Machine(losses) => losses.winding_sets,
        };
        sets.clamp(1, 255)
    }

    /// The rating it is judged by: the one of this name, else the largest without a time limit.
    pub fn rating(&self, name: Option<&str>) -> Option<&Rating> {
        let named = self.ratings.iter().find(|rating| Some(rating.name.as_str()) == name);
        let lasting = self.ratings.iter().filter(|rating| rating.duration.is_none());
        named.or_else(|| lasting.max_by(|a, b| a.power.si().total_cmp(&b.power.si())))
    }
}
