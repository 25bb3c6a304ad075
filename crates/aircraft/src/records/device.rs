//! Devices in loops and ducts, in the order of flow.

use super::component::Credibility;
use super::measured::{MeasuredFilm, Passages, PowerLaw};
use schema::prelude::*;

pub use super::channels::{Channels, Tubes};
pub use super::pump_inlet::InletNeed;

record! {
    /// A closed coolant or oil circuit.
    pub struct Loop {
        /// Name.
        pub name: Name,
        /// Liquid: a fluid of the library such as "ethylene-glycol:0.5", or one of the project.
        pub fluid: String,
        /// Devices in flow order, from the pump outlet back to the pump inlet.
        pub path: List<Device>,
        /// Flow below which a running pump counts as stalled.
        pub least_flow: Input<VolumeFlow> = "0.2 L/min" where at_least_zero,
        /// Margin to local boiling that bulk and walls must keep.
        pub boiling_margin: Input<TemperatureDifference> = "15 K" where at_least_zero,
        /// Margin to freezing that the surroundings must keep.
        pub freezing_margin: Input<TemperatureDifference> = "3 K" where at_least_zero,
        /// Limits on coolant temperatures.
        pub limits: List<StationLimit>,
        /// What stands behind its predicted temperatures, instead of what the policy of the project says of all.
        pub credibility: Option<Credibility>,
        /// Remark.
        pub note: Option<String>,
    }
}

record! {
    /// An air path from inlet to outlet.
    pub struct Duct {
        /// Name.
        pub name: Name,
        /// Devices in flow order.
        pub path: List<Device>,
        /// Share of the exhaust that is drawn in again.
        pub recirculation: Input<Ratio> = 0 where at_least_zero below(1.0),
        /// Remark.
        pub note: Option<String>,
        /// Mass of its walls, without cores and fans.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}

choice! {
    /// Which side of a device.
    pub enum Side {
        /// Where the flow comes in.
        Inlet,
        /// Where the flow goes out.
        Outlet,
    }
}

record! {
    /// A limit on the coolant at a device.
    pub struct StationLimit {
        /// Name.
        pub name: Name = "coolant",
        /// Device.
        pub device: String,
        /// Inlet or outlet.
        pub side: Side = Outlet,
        /// Maximum or minimum.
        pub bound: super::component::Bound = Maximum,
        /// Value.
        pub value: Input<Temperature>,
        /// Rating it belongs to: it holds where a point or failure names that rating, instead of a limit at the same place that
        /// names none.
        pub rating: Option<String> where refers("rating"),
        /// Margin to keep, instead of the one the policy of the project asks for.
        pub required: Option<Input<TemperatureDifference>> where at_least_zero,
        /// Document the limit is taken from.
        pub source: Option<String>,
        /// Who is responsible for the limit.
        pub owner: Option<String>,
    }
}

choice! {
    /// An item in a loop or duct.
    pub enum Device {
        /// Pump (loops).
        Pump(Machine),
        /// Fan (ducts).
        Fan(Machine),
        /// Hose or pipe.
        Hose(Hose),
        /// Cold plate under components.
        ColdPlate(Plate),
        /// Jacket around components, or a sump they heat.
        Jacket(Plate),
        /// Surface washed by duct air.
        Surface(Plate),
        /// Radiator or oil cooler, named in `cores`: stands in one loop and in one duct.
        Core(CoreRef),
        /// Liquid-to-liquid exchanger, named in `exchangers`: stands in two loops.
        Exchanger(ExchangerRef),
        /// Reservoir: sets the pressure of its loop.
        Reservoir(Reservoir),
        /// Restrictor, orifice, coupling.
        Restrictor(Resistor),
        /// Filter or strainer.
        Filter(Resistor),
        /// Screen against insects and grass (ducts).
        Screen(Resistor),
        /// Check valve.
        CheckValve(CheckValve),
        /// Relief valve: in a branch beside what it protects, it opens with the pressure difference across the branch (loops).
        ReliefValve(ReliefValve),
        /// Bypass valve: in a branch, it passes flow in proportion to the pressure difference, in one direction (loops).
        BypassValve(BypassValve),
        /// Thermostat: a valve that follows temperature.
        Thermostat(Thermostat),
        /// Couplings by which a cart cools the loop on the ground.
        GroundConnection(GroundConnection),
        /// Shutter or door: a valve in a duct that is set, or follows a temperature (ducts).
        Shutter(Shutter),
        /// Flap that lets air pass in one direction only, behind each of two fans side by side for example (ducts).
        Flap(Flap),
        /// Inlet of a duct.
        Inlet(Opening),
        /// Outlet of a duct.
        Outlet(Opening),
        /// Branches that share one pressure drop.
        Parallel(Parallel),
    }
}

record! {
    /// Branches that share one pressure drop.
    pub struct Parallel {
        /// Name.
        pub name: Name,
        /// Branches.
        pub branches: List<Branch>,
    }
}

record! {
    /// One branch of a parallel group.
    pub struct Branch {
        /// Name.
        pub name: Name,
        /// Devices in flow order.
        pub path: List<Device>,
    }
}

record! {
    /// A pump or a fan.
    pub struct Machine {
        /// Name.
        pub name: Name,
        /// Pressure rise over flow at full speed; must fall. A pump that gives its `displacement` has none.
        pub curve: Option<Curve<VolumeFlow, PressureDifference>> where at_least_zero over_zero_up,
        /// Displacement pump (gear, gerotor, vane) with its relief valve, instead of a `curve` (loops).
        pub displacement: Option<Displacement>,
        /// Density of the fluid the curve was measured with. Without it, a fan curve is assumed to be measured in air of 1.2 kg/m3 (the
        /// standard density of fan tests), a pump curve with the liquid of its loop at 60 degC.
        pub curve_density: Option<Input<Density>> where positive,
        /// Pressure that is lost through it while it stands, at one flow; it goes with the square of the flow. Without it, the square law at the
        /// end of the curve stands in. A displacement pump that stands lets through what slips.
        pub stopped: Option<StoppedLoss>,
        /// Electrical power, or power at its own shaft with a `shaft_drive`.
        pub power: MachinePower,
        /// What a pump needs at its inlet above the vapour pressure of the liquid (loops). Without it, what the inlet has is told, and no
        /// margin is made of it.
        pub need: Option<InletNeed>,
        /// Bore of a pump's inlet. The pressures of a loop are total pressures, which contain the velocity head `rho v^2/2`; with the bore
        /// the static pressure at the inlet, which a gauge there reads, is told beside it and held against ambient pressure. The margin
        /// does not depend on it. Without it nothing is subtracted, and nothing is ever added.
        pub inlet_bore: Option<Input<Length>> where positive,
        /// Speed over the speed of the curve.
        pub speed: Input<Ratio> = 1 where at_least_zero at_most(10.0),
        /// Speed that follows a temperature, instead of `speed`.
        pub control: Option<Control>,
        /// Speed that switches at two temperatures, instead of `speed`.
        pub on_off: Option<OnOff>,
        /// Turned by the output shaft through gears, instead of by a motor of its own: its speed follows the shaft, and its
        /// power is taken from the shaft and not from the bus.
        pub shaft_drive: Option<ShaftDrive>,
        /// Supply that feeds it.
        pub supply: Option<String> where refers("supply"),
        /// Fluid content.
        pub volume: Input<Volume> = "0.1 L" where at_least_zero,
        /// What surrounds its casing and takes its heat while hardly anything flows through it: a component such as the bay air;
        /// without it, the outside air.
        pub into: Option<String> where refers("component"),
        /// Conductance from the fluid held in it through its casing, for that heat. In normal flow the fluid takes all of it.
        /// Assumed.
        pub casing: Input<ThermalConductance> = "2 W/K" where positive,
        /// Mass.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}

record! {
    /// What a flow through a standing pump or fan loses.
    pub struct StoppedLoss {
        /// Pressure lost.
        pub drop: Input<PressureDifference> where positive,
        /// Flow.
        pub at: Input<VolumeFlow> where positive,
        /// Density of the fluid that passed; without it, that of the curve.
        pub density: Option<Input<Density>> where positive,
    }
}

record! {
    /// A pump that moves a fixed volume each turn. Its clearances let some of it back, in proportion to the pressure and against the viscosity;
    /// above the cracking pressure its relief valve lets back the rest.
    pub struct Displacement {
        /// Volume moved by one turn.
        pub per_turn: Input<Volume> where positive,
        /// Speed at which the speed ratio is 1.
        pub speed: Input<RotationalSpeed> where positive,
        /// Flow let back at `slip_pressure` and `slip_viscosity`.
        pub slip: Input<VolumeFlow> where positive,
        /// Pressure rise that the slip was measured at.
        pub slip_pressure: Input<PressureDifference> where positive,
        /// Viscosity that the slip was measured at.
        pub slip_viscosity: Input<DynamicViscosity> where positive,
        /// Relief valve built in or right behind it, back to its inlet.
        pub relief: ReliefSpring,
    }
}

record! {
    /// A valve that opens in proportion to what the pressure difference is above its cracking pressure.
    pub struct ReliefSpring {
        /// Pressure difference at which it cracks.
        pub cracking: Input<PressureDifference> where positive,
        /// Flow that it passes at `over` above that.
        pub flow: Input<VolumeFlow> where positive,
        /// Pressure difference above the cracking pressure.
        pub over: Input<PressureDifference> where positive,
    }
}

choice! {
    /// Power that a pump or fan takes.
    pub enum MachinePower {
        /// Hydraulic over electrical power, or over the power at its shaft; of a displacement pump, the pressure rise times all that it
        /// displaces over that power. With a curve the power is at least 0.3 of the largest along the curve, times
        /// the cube of the speed and the density over that of the curve (assumed): a machine against a shut path still takes power.
        Efficiency(Input<Ratio>) where positive at_most(1.0),
        /// Power over flow at full speed.
        Table(Curve<VolumeFlow, Power>) where at_least_zero over_zero_up,
        /// Power at full speed.
        Fixed(Input<Power>) where at_least_zero,
    }
}

record! {
    /// Gears between the output shaft and a pump.
    pub struct ShaftDrive {
        /// Pump speed over the speed of the output shaft.
        pub ratio: Input<Ratio> where positive at_most(1000.0),
        /// Pump speed of the curve.
        pub curve_speed: Input<RotationalSpeed> where positive,
    }
}

record! {
    /// A setting that follows a temperature with a smooth ramp.
    pub struct Control {
        /// Component, or device whose outlet is sensed.
        pub sensor: String,
        /// Start of the ramp.
        pub from: Input<Temperature>,
        /// End of the ramp.
        pub to: Input<Temperature>,
        /// Setting at and below the start.
        pub at_from: Input<Ratio> where at_least_zero at_most(10.0),
        /// Setting at and above the end.
        pub at_to: Input<Ratio> where at_least_zero at_most(10.0),
    }
}

record! {
    /// A setting that switches with temperature: on where it rises to one, off where it falls to a lower one.
    pub struct OnOff {
        /// Component, or device whose outlet is sensed.
        pub sensor: String,
        /// Switches on here.
        pub on_above: Input<Temperature>,
        /// Switches off here, below the other.
        pub off_below: Input<Temperature>,
        /// Setting while on.
        pub at_on: Input<Ratio> = 1 where at_least_zero at_most(10.0),
        /// Setting while off.
        pub at_off: Input<Ratio> = 0 where at_least_zero at_most(10.0),
    }
}

record! {
    /// Hose or pipe.
    pub struct Hose {
        /// Name.
        pub name: Name,
        /// Length along the centre line.
        pub length: Input<Length> where positive,
        /// Inner diameter.
        pub diameter: Input<Length> where positive,
        /// Wall roughness.
        pub roughness: Input<Length> = "1.5 um" where at_least_zero,
        /// Sum of minor loss coefficients: bends, fittings.
        pub losses: Input<Ratio> = 0 where at_least_zero,
        /// Rise of the outlet above the inlet.
        pub climb: Input<Length> = "0 m" where at_least(-100.0) at_most(100.0),
        /// Heat to the surroundings.
        pub surroundings: Option<HoseSurroundings>,
        /// Mass, empty, with its clamps and fittings.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}

record! {
    /// Heat path from the coolant in a hose to what surrounds it.
    pub struct HoseSurroundings {
        /// A component such as the bay air, or "outside air".
        pub to: String where refers("component"),
        /// Conductance from coolant to surroundings.
        pub conductance: Input<ThermalConductance> where at_least_zero,
    }
}

record! {
    /// Cold plate, jacket, or surface in a duct: passes heat from components to the flow.
    pub struct Plate {
        /// Name.
        pub name: Name,
        /// Components in flow order; each of their segments is a part of the plate.
        pub walls: List<String> where refers("component"),
        /// Conductance from wall to fluid, for the whole plate.
        pub film: Film,
        /// Pressure loss.
        pub flow: FlowResistance,
        /// Fluid content.
        pub volume: Input<Volume> = "0.1 L" where at_least_zero,
        /// Dry mass.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}

choice! {
    /// Conductance between a wall and the flow along it.
    pub enum Film {
        /// Known value.
        Fixed(Input<ThermalConductance>) where at_least_zero,
        /// Measured value and exponent of the flow: `hA = a (V/V0)^n`.
        PowerLaw(PowerLaw),
        /// Measured over the flow; air at standard sea level is assumed.
        Table(Curve<VolumeFlow, ThermalConductance>) where at_least_zero over_zero_up,
        /// Measured over the flow, with what it was measured with.
        Measured(MeasuredFilm),
        /// Rectangular channels in parallel, handbook relation.
        Channels(Channels),
        /// Round tubes in parallel, handbook relation.
        Tubes(Tubes),
    }
}

choice! {
    /// Pressure loss of a device.
    pub enum FlowResistance {
        /// One measured point and an exponent.
        Point(DropPoint),
        /// Measured over the flow, from zero up.
        Table(DropTable),
        /// Loss coefficient on a bore.
        Loss(Loss),
        /// Rectangular channels, handbook friction.
        Channels(Channels),
        /// Round tubes, handbook friction.
        Tubes(Tubes),
        /// The channels or tubes of the film of the same device.
        OfFilm,
    }
}

record! {
    /// One measured point of pressure loss.
    pub struct DropPoint {
        /// Pressure loss.
        pub drop: Input<PressureDifference> where positive,
        /// Flow.
        pub at: Input<VolumeFlow> where positive,
        /// Exponent of the flow: 1 laminar, 1.75 smooth turbulent, 2 rough.
        pub exponent: Input<Ratio> = 1.8 where at_least(1.0) at_most(2.5),
        /// Fluid of the measurement; without it, the fluid of the loop.
        pub fluid: Option<String>,
        /// Temperature of the measurement.
        pub temperature: Input<Temperature> = "60 degC",
        /// Density of the air of the measurement, in a duct; without it and `altitude`, air of this temperature at the pressure of
        /// standard sea level is assumed.
        pub density: Option<Input<Density>> where positive,
        /// Pressure altitude of the measurement, in a duct, instead of `density`.
        pub altitude: Option<Input<Length>>,
        /// Liquid passages of the device: another liquid is converted by their friction at equal flow, which then also sets how
        /// the loss rises with flow. Without them the loss changes with the density and viscosity that `exponent` implies.
        pub passages: Option<Passages>,
    }
}

record! {
    /// Measured pressure loss over flow.
    pub struct DropTable {
        /// Points from zero flow up.
        pub points: Curve<VolumeFlow, PressureDifference> where at_least_zero over_zero_up rising,
        /// Fluid of the measurement; without it, the fluid of the loop.
        pub fluid: Option<String>,
        /// Temperature of the measurement.
        pub temperature: Input<Temperature> = "60 degC",
        /// Density of the air of the measurement, in a duct; without it and `altitude`, air of this temperature at the pressure of
        /// standard sea level is assumed.
        pub density: Option<Input<Density>> where positive,
        /// Pressure altitude of the measurement, in a duct, instead of `density`.
        pub altitude: Option<Input<Length>>,
        /// Liquid passages of the device: another liquid is converted by their friction at equal flow, at every point. Without
        /// them the loss changes with density alone.
        pub passages: Option<Passages>,
    }
}

record! {
    /// Loss coefficient on a bore.
    pub struct Loss {
        /// Coefficient on the mean velocity.
        pub coefficient: Input<Ratio> where positive,
        /// Bore that the velocity is taken in.
        pub diameter: Input<Length> where positive,
    }
}

record! {
    /// A core, by the name it has in `cores`.
    pub struct CoreRef {
        /// Name.
        pub name: Name,
    }
}

record! {
    /// An exchanger, by the name it has in `exchangers`.
    pub struct ExchangerRef {
        /// Name.
        pub name: Name,
    }
}

record! {
    /// Reservoir with a gas cushion and a pressure cap.
    pub struct Reservoir {
        /// Name.
        pub name: Name,
        /// Volume of liquid and gas together.
        pub volume: Input<Volume> where positive,
        /// Share of the volume that is liquid when filled.
        pub fill: Input<Ratio> = 0.6 where positive below(1.0),
        /// Temperature when filled and closed.
        pub filled_at: Input<Temperature> = "20 degC",
        /// Absolute pressure of the gas when filled and closed.
        pub charge: Input<AbsolutePressure> = "101.325 kPa" where positive,
        /// Gauge pressure at which the cap opens; a cap that is open or missing has zero.
        pub cap: Input<GaugePressure> = "0 kPag" where at_least_zero,
        /// Loss coefficient of the flow through it, in and out again.
        pub losses: Input<Ratio> = 0.5 where at_least_zero,
        /// Bore that the loss coefficient is taken on.
        pub bore: Input<Length> = "20 mm" where positive,
        /// Mass, empty.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}

record! {
    /// Restrictor, filter or screen.
    pub struct Resistor {
        /// Name.
        pub name: Name,
        /// Pressure loss.
        pub flow: FlowResistance,
        /// Fluid content.
        pub volume: Input<Volume> = "0.02 L" where at_least_zero,
        /// Mass.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}

record! {
    /// Relief valve.
    pub struct ReliefValve {
        /// Name.
        pub name: Name,
        /// When it opens, and how much it passes.
        pub spring: ReliefSpring,
        /// Fluid content.
        pub volume: Input<Volume> = "0.02 L" where at_least_zero,
        /// Mass.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}

record! {
    /// Bypass valve.
    pub struct BypassValve {
        /// Name.
        pub name: Name,
        /// Flow that it passes at `over`.
        pub flow: Input<VolumeFlow> where positive,
        /// Pressure difference across it.
        pub over: Input<PressureDifference> where positive,
        /// Fluid content.
        pub volume: Input<Volume> = "0.02 L" where at_least_zero,
        /// Mass.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}

record! {
    /// Check valve.
    pub struct CheckValve {
        /// Name.
        pub name: Name,
        /// Pressure difference that lifts it.
        pub opening: Input<PressureDifference> = "2 kPa" where positive,
        /// Loss coefficient when open.
        pub coefficient: Input<Ratio> = 2 where at_least_zero,
        /// Bore.
        pub diameter: Input<Length> where positive,
        /// Mass.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}

record! {
    /// Thermostat: opens or closes with temperature.
    pub struct Thermostat {
        /// Name.
        pub name: Name,
        /// Device whose outlet, or component whose temperature, it senses.
        pub sensor: String,
        /// Start of the stroke.
        pub from: Input<Temperature>,
        /// End of the stroke.
        pub to: Input<Temperature>,
        /// Whether it closes with rising temperature, as the bypass port does.
        pub closes: Flag = false,
        /// Loss coefficient fully open.
        pub coefficient: Input<Ratio> = 4 where positive,
        /// Bore.
        pub diameter: Input<Length> where positive,
        /// Opening that remains when shut.
        pub leak: Input<Ratio> = 0.02 where positive at_most(1.0),
        /// Time constant with which its wax follows the sensed temperature; matters over time only.
        pub lag: Input<Time> = "0 s" where at_least_zero,
        /// Mass.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}

record! {
    /// Shutter or door in a duct.
    pub struct Shutter {
        /// Name.
        pub name: Name,
        /// Free area fully open.
        pub area: Input<Area> where positive,
        /// Loss coefficient on the velocity in that area, fully open.
        pub coefficient: Input<Ratio> = 0.5 where positive,
        /// Opening, unless a point sets another.
        pub opening: Input<Ratio> = 1 where fraction,
        /// Opening that follows a temperature, instead of `opening`.
        pub control: Option<Control>,
        /// Opening that remains when shut.
        pub leak: Input<Ratio> = 0.02 where positive at_most(1.0),
        /// Mass.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}

record! {
    /// Flap that a back-flow shuts.
    pub struct Flap {
        /// Name.
        pub name: Name,
        /// Free area open.
        pub area: Input<Area> where positive,
        /// Pressure difference that lifts it.
        pub lift: Input<PressureDifference> = "10 Pa" where positive,
        /// Loss coefficient on the velocity in the free area, open.
        pub coefficient: Input<Ratio> = 1 where at_least_zero,
        /// Mass.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}

record! {
    /// Inlet or outlet of a duct.
    pub struct Opening {
        /// Name.
        pub name: Name,
        /// Area.
        pub area: Input<Area> where positive,
        /// Share of the onset dynamic pressure that is recovered (inlet), or suction over it (outlet).
        pub recovery: Input<Ratio> = 0 where at_least(-2.0) at_most(2.0),
        /// Loss coefficient on the velocity in the area; an outlet loses at least 1.
        pub losses: Input<Ratio> = 0.5 where at_least_zero,
    }
}

record! {
    /// Dry-break couplings in a loop, by which a cart pumps its coolant through the loop.
    pub struct GroundConnection {
        /// Name.
        pub name: Name,
        /// Cart that may be connected.
        pub cart: String where refers("cart"),
        /// Pressure loss of the couplings while the cart is connected.
        pub connected: FlowResistance,
        /// Pressure loss in flight, couplings apart.
        pub apart: FlowResistance,
        /// Fluid content.
        pub volume: Input<Volume> = "0.1 L" where at_least_zero,
        /// Mass, half that stays on board.
        pub mass: Option<Input<Mass>> where at_least_zero,
    }
}

impl Device {
    /// Name its owner gave it.
    pub fn name(&self) -> &str {
        match self {
            Self::Pump(part) | Self::Fan(part) => part.name.as_str(),
            Self::Hose(part) => part.name.as_str(),
            Self::ColdPlate(part) | Self::Jacket(part) | Self::Surface(part) => part.name.as_str(),
            Self::Core(part) => part.name.as_str(),
            Self::Exchanger(part) => part.name.as_str(),
            Self::Reservoir(part) => part.name.as_str(),
            Self::Restrictor(part) | Self::Filter(part) | Self::Screen(part) => part.name.as_str(),
            Self::CheckValve(part) => part.name.as_str(),
            Self::ReliefValve(part) => part.name.as_str(),
            Self::BypassValve(part) => part.name.as_str(),
            Self::Thermostat(part) => part.name.as_str(),
            Self::GroundConnection(part) => part.name.as_str(),
            Self::Shutter(part) => part.name.as_str(),
            Self::Flap(part) => part.name.as_str(),
            Self::Inlet(part) | Self::Outlet(part) => part.name.as_str(),
            Self::Parallel(part) => part.name.as_str(),
        }
    }

    /// Plain word for what it is.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Pump(_) => "pump",
            Self::Fan(_) => "fan",
            Self::Hose(_) => "hose",
            Self::ColdPlate(_) => "cold plate",
            Self::Jacket(_) => "jacket",
            Self::Surface(_) => "surface",
            Self::Core(_) => "core",
            Self::Exchanger(_) => "exchanger",
            Self::Reservoir(_) => "reservoir",
            Self::Restrictor(_) => "restrictor",
            Self::Filter(_) => "filter",
            Self::Screen(_) => "screen",
            Self::CheckValve(_) => "check valve",
            Self::ReliefValve(_) => "relief valve",
            Self::BypassValve(_) => "bypass valve",
            Self::Thermostat(_) => "thermostat",
            Self::GroundConnection(_) => "ground connection",
            Self::Shutter(_) => "shutter",
            Self::Flap(_) => "flap",
            Self::Inlet(_) => "inlet",
            Self::Outlet(_) => "outlet",
            Self::Parallel(_) => "parallel",
        }
    }
}

/// Devices of a path with those in its branches.
pub fn devices(path: &[Device]) -> Vec<&Device> {
    let mut found = Vec::new();
    for device in path {
        if let Device::Parallel(parallel) = device {
            for branch in &parallel.branches {
                found.extend(devices(&branch.path));
            }
        } else {
            found.push(device);
        }
    }
    found
}

impl Displacement {
    /// Flow displaced at the speed ratio 1, m3/s.
    pub fn displaced_m3_s(&self) -> f64 {
        self.per_turn.si() * self.speed.si() / std::f64::consts::TAU
    }
}

impl ReliefSpring {
    /// Flow for each pascal above the cracking pressure, m3/s per Pa.
    pub fn slope_m3_s_pa(&self) -> f64 {
        self.flow.si() / self.over.si()
    }
}
