//! The electric drive: motors with inverters, gearbox, and the bus that feeds them.
//!
//! Four unknowns join the temperatures: power into the gearbox, bus voltage, bus current, state of charge; each converter
//! adds its output power. The loss of a machine, the sag of the bus and the temperature of the cells are circular, so they
//! are solved together. In a steady state the state of charge is held; over time the bus current empties or fills the pack.

mod dragged;
mod points;

pub use points::{DrivePoint, GearReading, GroupReading};

use crate::assemble::Takes;
use crate::blend::mix;
use crate::charging::{ActiveCharge, ChargerHeatPiece, ChargerOnBoard, ChargerPiece, SET_WEIGHT};
use crate::failure::Failure;
use crate::ids::{ElementId, Node};
use crate::network::Network;
use crate::power_path::{
    Conductor, ConductorPiece, ConductorReading, Converter, ConverterPiece, ConverterReading,
};
use crate::signal::Signal;
use crate::stability::LossSlopes;
use crate::stencil::{Column, Piece, Stencil, Target};
use media::Liquid;
use num_dual::Dual64;
use numerics::{Scalar, constant};
use powertrain::cell::Cell;
use powertrain::conductor::Resistor;
use powertrain::gearbox::{GearPoint, Gearbox};
use powertrain::inverter::{Inverter, InverterState, JunctionPoint, JunctionResistance};
use powertrain::motor::{GapAir, Motor, MotorHeat, MotorState};

/// A motor with its inverter.
#[derive(Clone, Debug)]
pub struct Drive {
    /// Motor.
    pub motor: Motor,
    /// Inverter.
    pub inverter: Inverter,
    /// Share of the power into the gearbox.
    pub share: f64,
    /// Speed of the motor, rad/s.
    pub speed_rad_s: f64,
    /// Winding sets in use.
    pub active_sets: u8,
    /// Cable from the bus, at the temperature of the place its heat goes to.
    pub cable: Resistor,
    /// Density of the air round the rotor over the density that the windage law was made at.
    pub air_density_ratio: f64,
    /// Power that is left at the temperature of a sensor, as a share.
    pub derate: Signal,
    /// Share that it takes while nothing has failed: what it would give, where it gives nothing.
    pub usual_share: f64,
    /// Whether a freewheel lets it stand while it gives no power; without one it turns on with the gearbox.
    pub freewheels: bool,
    /// Winding sets whose terminals are joined, by a short in the winding or in the inverter.
    pub shorted_sets: u8,
    /// Thermal resistance from the junctions to the place of the inverter loss; without one, that place stands in for them.
    pub junction: Option<JunctionResistance>,
    /// Greatest shaft power that the control of the motor lets it give, W; infinite without one. What is asked beyond is lost.
    pub most_power_w: f64,
    /// Where its heat goes.
    pub heats: DriveNodes,
}

/// Where the heat of a drive goes.
#[derive(Clone, Copy, Debug)]
pub struct DriveNodes {
    /// Copper loss; also the winding temperature.
    pub winding: Node,
    /// Iron loss.
    pub iron: Node,
    /// Magnet loss; also the magnet temperature.
    pub magnet: Node,
    /// Windage.
    pub windage: Node,
    /// Inverter loss; also the device temperature.
    pub inverter: Node,
    /// Cable loss; also the cable temperature.
    pub cable: Node,
}

/// A gearbox between the motors and the shaft.
#[derive(Clone, Debug)]
pub struct Gear {
    /// Loss law.
    pub gearbox: Gearbox,
    /// Oil temperature and receiver of the heat.
    pub oil_node: Node,
    /// Oil.
    pub oil: Liquid,
    /// Speed on the motor side, rad/s.
    pub input_speed_rad_s: f64,
}

/// Cells that share one temperature.
#[derive(Clone, Debug)]
pub struct CellGroup {
    /// Temperature and receiver of the heat.
    pub node: Node,
    /// Cells in series in this group; groups may stand for parts of a cell row, so it need not be whole.
    pub series: f64,
}

/// Cells in series and parallel.
#[derive(Clone, Debug)]
pub struct PackCells {
    /// The cell.
    pub cell: Cell,
    /// Cells in series.
    pub series: f64,
    /// Strings in parallel.
    pub strings: f64,
    /// State of charge in a steady state and at the start, 0 to 1.
    pub state_of_charge: f64,
    /// Groups that share a temperature; together they hold all cells in series.
    pub groups: Vec<CellGroup>,
    /// Bus bars, contactors, fuses and main cables between the cells and the bus.
    pub conductors: Vec<Conductor>,
}

impl PackCells {
    /// Resistance of a group, ohm.
    #[inline]
    fn resistance<S: Scalar>(&self, group: &CellGroup, temperature_k: S, charge: S) -> S {
        self.cell.resistance_at(temperature_k, charge) * (group.series / self.strings)
    }

    /// Open-circuit voltage, V.
    #[inline]
    pub(crate) fn open_circuit_v<S: Scalar>(&self, charge: S) -> S {
        self.cell.open_circuit_v(charge) * self.series
    }

    /// Charge that takes the pack from empty to full, A s.
    fn capacity_as(&self) -> f64 {
        3600.0 * self.cell.data().capacity_ah * self.strings
    }
}

/// What feeds the bus.
#[derive(Clone, Debug)]
pub enum BusFeed {
    /// A supply that holds its voltage, such as a bench supply, V.
    Fixed(f64),
    /// A pack.
    Pack(Box<PackCells>),
}

impl BusFeed {
    fn pack(&self) -> Option<&PackCells> {
        match self {
            Self::Fixed(_) => None,
            Self::Pack(pack) => Some(pack),
        }
    }
}

/// Description of the electric drive.
#[derive(Clone, Debug)]
pub struct ElectricSpec {
    /// Motors with inverters.
    pub drives: Vec<Drive>,
    /// Gearbox, unless direct drive.
    pub gear: Option<Gear>,
    /// Power at the output shaft, W.
    pub shaft_power_w: f64,
    /// Bus.
    pub feed: BusFeed,
    /// Other loads on the bus, W.
    pub other_load_w: f64,
    /// Converters that feed pumps, fans and other loads from the bus.
    pub converters: Vec<Converter>,
    /// Pumps that the shaft turns: their power is taken from it and not from the bus.
    pub shaft_machines: Vec<ElementId>,
    /// Charger on board, which warms its place while a charge runs.
    pub charger: Option<ChargerOnBoard>,
}

/// Unknowns of every electric drive: power into the gearbox, bus voltage, bus current, state of charge. The output
/// powers of the converters follow.
const ELECTRIC_UNKNOWNS: usize = 4;
const POWER: usize = 0;
const VOLTAGE: usize = 1;
const CURRENT: usize = 2;
const CHARGE: usize = 3;
/// Weight of the voltage row, which is in volts among rows in watts.
const VOLT_WEIGHT: f64 = 1e3;

/// Numbered form of the electric drive.
#[derive(Clone, Debug)]
pub(crate) struct Electric {
    spec: ElectricSpec,
    start: usize,
    drives: Vec<Stencil>,
    gear: Stencil,
    groups: Vec<Stencil>,
    conductors: Vec<Stencil>,
    converters: Vec<Stencil>,
    bus: Stencil,
    charge: Stencil,
    /// Bus current of a charge.
    charger: Stencil,
    /// Heat of a charger on board; without lanes if there is none.
    charger_heat: Stencil,
    active_charge: Option<ActiveCharge>,
    /// Whether the state of charge stays what it is.
    is_charge_held: bool,
    /// For each element the row that the power of a pump or fan enters: bus, converter or shaft.
    power_rows: Vec<usize>,
}

struct DrivePiece<'a>(&'a Drive);

mod drive_output {
    pub(super) const COPPER: usize = 0;
    pub(super) const IRON: usize = 1;
    pub(super) const MAGNET: usize = 2;
    pub(super) const WINDAGE: usize = 3;
    pub(super) const INVERTER: usize = 4;
    pub(super) const CABLE: usize = 5;
    pub(super) const DEMAND: usize = 6;
    pub(super) const DRAG: usize = 7;
}

impl DrivePiece<'_> {
    #[inline]
    fn shaft_power<S: Scalar>(&self, gear_power_w: S, sensed_k: S) -> S {
        let asked_w = gear_power_w * self.0.share;
        let within_w =
            if asked_w.value() > self.0.most_power_w { constant(self.0.most_power_w) } else { asked_w };
        within_w * self.0.derate.at(sensed_k)
    }

    #[inline]
    fn motor_state<S: Scalar>(&self, shaft_power_w: S, bus_v: S, winding_k: S, magnet_k: S) -> MotorState<S> {
        let speed = self.0.speed_rad_s;
        MotorState {
            torque_nm: shaft_power_w / speed.max(1e-9),
            speed_rad_s: constant(speed),
            bus_voltage_v: bus_v,
            winding_k,
            magnet_k,
            active_sets: self.0.active_sets,
        }
    }

    #[inline]
    fn motor<S: Scalar>(&self, state: &MotorState<S>) -> MotorHeat<S> {
        let air = GapAir { windage_w: constant(0.0), density_ratio: constant(self.0.air_density_ratio) };
        self.0.motor.heat_in_air(state, &air)
    }

    /// Winding sets that carry current, each with its bridge.
    fn sets(&self) -> u8 {
        self.0.active_sets.min(self.0.motor.winding_sets())
    }

    /// The bridge of one winding set, at its junctions where their resistance is known.
    #[inline]
    fn bridge<S: Scalar>(
        &self,
        motor: &MotorHeat<S>,
        bus_v: S,
        base_k: S,
    ) -> (InverterState<S>, Option<JunctionPoint<S>>) {
        let base = InverterState::from_motor(motor, bus_v, base_k);
        match &self.0.junction {
            None => (base, None),
            Some(resistance) => {
                let (state, point) = self.0.inverter.at_junction(base, resistance);
                (state, Some(point))
            }
        }
    }
}

impl Piece<7, 8> for DrivePiece<'_> {
    const GENERATES: bool = true;

    #[inline]
    fn evaluate<S: Scalar>(
        &self,
        [gear_power_w, bus_v, winding_k, magnet_k, device_k, sensed_k, cable_k]: [S; 7],
    ) -> [S; 8] {
        let short_w = self.short_w(winding_k, magnet_k);
        if self.0.share <= 0.0 {
            return self.dragged(gear_power_w, [bus_v, winding_k, magnet_k], short_w);
        }
        let shaft = self.shaft_power(gear_power_w, sensed_k);
        let motor = self.motor(&self.motor_state(shaft, bus_v, winding_k, magnet_k));
        let (bridge, _) = self.bridge(&motor, bus_v, device_k);
        let inverter = self.0.inverter.heat(&bridge).total() * f64::from(self.sets());
        let before_cable = motor.electrical_power_w + inverter;
        let cable_current = before_cable / bus_v;
        let cable = self.0.cable.heat_w(cable_current, cable_k);
        let copper = motor.copper_w + short_w;
        let demand = before_cable + cable;
        [copper, motor.iron_w, motor.magnet_w, motor.windage_w, inverter, cable, demand, short_w]
    }
}

impl Gear {
    #[inline]
    fn point<S: Scalar>(&self, input_power_w: S, oil_k: S) -> GearPoint<S> {
        let density = self.oil.density(oil_k);
        GearPoint {
            input_power_w,
            input_speed_rad_s: self.input_speed_rad_s,
            oil_density_kg_m3: density,
            oil_kinematic_viscosity_m2_s: self.oil.viscosity(oil_k) / density,
        }
    }
}

struct GearPiece<'a>(&'a ElectricSpec);

impl Piece<2, 2> for GearPiece<'_> {
    const GENERATES: bool = true;

    /// Outputs: balance of power (own unknown with a minus), heat.
    #[inline]
    fn evaluate<S: Scalar>(&self, [input_w, oil_k]: [S; 2]) -> [S; 2] {
        let loss = match &self.0.gear {
            Some(gear) => gear.gearbox.heat(&gear.point(input_w, oil_k)).total(),
            None => constant(0.0),
        };
        [loss + self.0.shaft_power_w - input_w, loss]
    }
}

struct GroupPiece<'a> {
    pack: &'a PackCells,
    group: &'a CellGroup,
}

impl Piece<3, 2> for GroupPiece<'_> {
    const GENERATES: bool = true;

    /// Outputs: heat, voltage drop.
    #[inline]
    fn evaluate<S: Scalar>(&self, [current_a, temperature_k, charge]: [S; 3]) -> [S; 2] {
        let drop = current_a * self.pack.resistance(self.group, temperature_k, charge);
        let entropic_v_k = self.pack.cell.entropic_v_k(charge) * self.group.series;
        [current_a * drop - current_a * temperature_k * entropic_v_k, drop]
    }
}

struct BusPiece<'a>(&'a BusFeed);

impl Piece<3, 2> for BusPiece<'_> {
    /// Outputs: voltage balance without groups and conductors, power delivered.
    #[inline]
    fn evaluate<S: Scalar>(&self, [bus_v, current_a, charge]: [S; 3]) -> [S; 2] {
        let source = match self.0 {
            BusFeed::Fixed(volts) => constant(*volts),
            BusFeed::Pack(pack) => pack.open_circuit_v(charge),
        };
        [source - bus_v, bus_v * current_a]
    }
}

struct ChargePiece<'a> {
    feed: &'a BusFeed,
    is_held: bool,
}

impl Piece<2, 1> for ChargePiece<'_> {
    /// Output: rate of the state of charge, 1/s; where it is held, the distance to what it shall be.
    #[inline]
    fn evaluate<S: Scalar>(&self, [current_a, charge]: [S; 2]) -> [S; 1] {
        match self.feed.pack() {
            None => [-charge + 1.0],
            Some(pack) if self.is_held => [-charge + pack.state_of_charge],
            Some(pack) => [current_a * (-1.0 / pack.capacity_as())],
        }
    }
}

/// State of the electric drive in a solved network.
#[derive(Clone, Debug, PartialEq)]
pub struct ElectricReading {
    /// Power into the gearbox that the shaft asks for, W.
    pub gear_input_w: f64,
    /// Heat of the gearbox, W.
    pub gear_heat_w: f64,
    /// Bus voltage, V.
    pub bus_voltage_v: f64,
    /// Bus current, A; negative while charging.
    pub bus_current_a: f64,
    /// State of charge of the pack, 0 to 1.
    pub state_of_charge: f64,
    /// Power that derating and the greatest powers of the motors take away, W.
    pub lost_power_w: f64,
    /// Drives in the order they were given.
    pub drives: Vec<DriveReading>,
    /// Heat of each cell group, W.
    pub group_heats_w: Vec<f64>,
    /// Heat of each conductor between the cells and the bus, W.
    pub conductor_heats_w: Vec<f64>,
    /// Converters in the order they were given.
    pub converters: Vec<ConverterReading>,
    /// Gearbox, unless direct drive.
    pub gear: Option<GearReading>,
    /// Voltage of the source without current, V.
    pub open_circuit_v: f64,
    /// Conductors between the cells and the bus, the one of no name first; none for a supply.
    pub conductors: Vec<ConductorReading>,
    /// Cell groups; none for a supply.
    pub groups: Vec<GroupReading>,
}

/// State of one drive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DriveReading {
    /// Power at the motor shaft, W; below zero for a motor that the others turn.
    pub shaft_power_w: f64,
    /// Torque, N m.
    pub torque_nm: f64,
    /// Speed, rad/s.
    pub speed_rad_s: f64,
    /// Phase current, A rms.
    pub phase_current_a: f64,
    /// Heats of copper, iron, magnets, windage, inverter, cable, W.
    pub heats_w: [f64; 6],
    /// Power drawn from the bus, W.
    pub demand_w: f64,
    /// Power that turns it, or its shorted winding, against its own losses, W: the others give it.
    pub drag_w: f64,
    /// Current of each shorted winding set, A rms; none without a short.
    pub short_current_a: Option<f64>,
    /// Whether a measured motor map is used inside its measurements.
    pub motor_covered: bool,
    /// Whether a measured inverter map is used inside its measurements.
    pub inverter_covered: bool,
    /// Working points behind these numbers; none for a motor that takes no share.
    pub point: Option<DrivePoint>,
}

impl Electric {
    /// How many unknowns a drive adds.
    pub(crate) fn unknowns(spec: &ElectricSpec) -> usize {
        ELECTRIC_UNKNOWNS + spec.converters.len()
    }

    pub(crate) fn new(spec: ElectricSpec, start: usize, network: &Network) -> Self {
        let n = network.unknowns;
        let column = |lane, unknown| Column { lane, unknown, weight: 1.0 };
        let drives = spec
            .drives
            .iter()
            .map(|drive| {
                let at = drive.heats;
                let node = |node| network.unknown_of(node);
                let mut columns = vec![
                    column(0, start + POWER),
                    column(1, start + VOLTAGE),
                    column(2, node(at.winding)),
                    column(3, node(at.magnet)),
                    column(4, node(at.inverter)),
                    column(6, node(at.cable)),
                ];
                if let Some(sensor) = drive.derate.sensor() {
                    columns.push(column(5, node(sensor)));
                }
                let targets = [
                    (drive_output::COPPER, node(at.winding)),
                    (drive_output::IRON, node(at.iron)),
                    (drive_output::MAGNET, node(at.magnet)),
                    (drive_output::WINDAGE, node(at.windage)),
                    (drive_output::INVERTER, node(at.inverter)),
                    (drive_output::CABLE, node(at.cable)),
                    (drive_output::DEMAND, start + CURRENT),
                    (drive_output::DRAG, start + POWER),
                ];
                Stencil::new(
                    columns,
                    targets.map(|(output, row)| Target { output, row, weight: 1.0 }).into(),
                    n,
                )
            })
            .collect();
        let gear = match &spec.gear {
            Some(gear) => {
                let oil = network.unknown_of(gear.oil_node);
                Stencil::new(
                    vec![column(0, start + POWER), column(1, oil)],
                    vec![
                        Target { output: 0, row: start + POWER, weight: 1.0 },
                        Target { output: 1, row: oil, weight: 1.0 },
                    ],
                    n,
                )
            }
            None => Stencil::new(
                vec![column(0, start + POWER)],
                vec![Target { output: 0, row: start + POWER, weight: 1.0 }],
                n,
            ),
        };
        let bus_targets = vec![
            Target { output: 0, row: start + VOLTAGE, weight: VOLT_WEIGHT },
            Target { output: 1, row: start + CURRENT, weight: -1.0 },
        ];
        let bus = Stencil::new(
            vec![column(0, start + VOLTAGE), column(1, start + CURRENT), column(2, start + CHARGE)],
            bus_targets,
            n,
        );
        // cells and conductors pass the current of the bus: heat to their own place, drop off the voltage
        let in_series = |node: Node, others: &[Column]| {
            let node = network.unknown_of(node);
            let mut columns = vec![column(0, start + CURRENT), column(1, node)];
            columns.extend_from_slice(others);
            let targets = vec![
                Target { output: 0, row: node, weight: 1.0 },
                Target { output: 1, row: start + VOLTAGE, weight: -VOLT_WEIGHT },
            ];
            Stencil::new(columns, targets, n)
        };
        let (mut groups, mut conductors) = (Vec::new(), Vec::new());
        if let Some(pack) = spec.feed.pack() {
            groups.extend(pack.groups.iter().map(|g| in_series(g.node, &[column(2, start + CHARGE)])));
            conductors.extend(pack.conductors.iter().map(|c| in_series(c.node, &[])));
        }
        let charge = Stencil::new(
            vec![column(0, start + CURRENT), column(1, start + CHARGE)],
            vec![Target { output: 0, row: start + CHARGE, weight: 1.0 }],
            n,
        );
        let (mut columns, mut targets) = (Vec::new(), Vec::new());
        if let Some((first, last)) =
            spec.feed.pack().and_then(|p| Some((p.groups.first()?, p.groups.last()?)))
        {
            columns.extend([column(0, start + CURRENT), column(1, start + CHARGE)]);
            columns.extend([
                column(2, network.unknown_of(first.node)),
                column(3, network.unknown_of(last.node)),
            ]);
            targets.push(Target { output: 0, row: start + CURRENT, weight: 1.0 });
        }
        let charger = Stencil::new(columns, targets, n);
        let heated = spec.charger.map(|charger| network.unknown_of(charger.node));
        let charger_heat = Stencil::new(
            heated.map_or_else(Vec::new, |_| vec![column(0, start + VOLTAGE), column(1, start + CURRENT)]),
            heated.into_iter().map(|row| Target { output: 0, row, weight: 1.0 }).collect(),
            n,
        );
        let converters = spec.converters.iter().enumerate().map(|(index, converter)| {
            let own = start + ELECTRIC_UNKNOWNS + index;
            let targets = vec![
                Target { output: 0, row: network.unknown_of(converter.node), weight: 1.0 },
                Target { output: 1, row: start + CURRENT, weight: 1.0 },
                Target { output: 2, row: own, weight: 1.0 },
            ];
            Stencil::new(vec![column(0, own)], targets, n)
        });
        let converters = converters.collect();
        let power_rows = power_rows(&spec, start, network.elements.len());
        Self {
            spec,
            start,
            drives,
            gear,
            groups,
            conductors,
            converters,
            bus,
            charge,
            charger,
            charger_heat,
            active_charge: None,
            is_charge_held: true,
            power_rows,
        }
    }

    /// Whether anything that [`Self::blend`] sets differs.
    pub(crate) fn differs(&self, other: &Self) -> bool {
        let (a, b) = (&self.spec, &other.spec);
        let gear_speed = |spec: &ElectricSpec| spec.gear.as_ref().map(|gear| gear.input_speed_rad_s);
        a.shaft_power_w != b.shaft_power_w
            || a.other_load_w != b.other_load_w
            || a.converters.iter().zip(&b.converters).any(|(a, b)| a.load_w != b.load_w)
            || gear_speed(a) != gear_speed(b)
            || a.drives.iter().zip(&b.drives).any(|(a, b)| {
                a.speed_rad_s != b.speed_rad_s
                    || a.air_density_ratio != b.air_density_ratio
                    || a.share != b.share
            })
    }

    /// Sets powers, speeds and air densities to their values at a share of the way between two drives.
    pub(crate) fn blend(&mut self, from: &Self, to: &Self, share: f64) {
        let (spec, a, b) = (&mut self.spec, &from.spec, &to.spec);
        mix(&mut spec.shaft_power_w, a.shaft_power_w, b.shaft_power_w, share);
        mix(&mut spec.other_load_w, a.other_load_w, b.other_load_w, share);
        for ((converter, a), b) in spec.converters.iter_mut().zip(&a.converters).zip(&b.converters) {
            mix(&mut converter.load_w, a.load_w, b.load_w, share);
        }
        if let (Some(gear), Some(a), Some(b)) = (&mut spec.gear, &a.gear, &b.gear) {
            mix(&mut gear.input_speed_rad_s, a.input_speed_rad_s, b.input_speed_rad_s, share);
        }
        for ((drive, a), b) in spec.drives.iter_mut().zip(&a.drives).zip(&b.drives) {
            mix(&mut drive.speed_rad_s, a.speed_rad_s, b.speed_rad_s, share);
            mix(&mut drive.air_density_ratio, a.air_density_ratio, b.air_density_ratio, share);
            mix(&mut drive.share, a.share, b.share, share);
        }
    }

    /// Lets the bus current empty and fill the pack, or holds its state of charge.
    pub(crate) fn hold_charge(&mut self, is_held: bool) {
        self.is_charge_held = is_held;
    }

    pub(crate) fn set_active_charge(&mut self, charge: Option<ActiveCharge>) {
        self.active_charge = charge;
    }

    /// The charge that runs, with its stencil.
    pub(crate) fn charger_piece(&self) -> Option<(ChargerPiece<'_>, &Stencil)> {
        let (pack, charge) = (self.spec.feed.pack()?, self.active_charge.as_ref()?);
        Some((ChargerPiece { pack, charge }, &self.charger))
    }

    /// The heat of a charger on board while a charge runs, with its stencil.
    fn charger_heat_piece(&self) -> Option<(ChargerHeatPiece, &Stencil)> {
        let (charger, _running) = (self.spec.charger?, self.active_charge.as_ref()?);
        Some((ChargerHeatPiece { charger, other_load_w: self.spec.other_load_w }, &self.charger_heat))
    }

    /// Unknown of the bus current.
    pub(crate) fn current(&self) -> usize {
        self.start + CURRENT
    }

    /// Unknown of the state of charge.
    pub(crate) fn charge(&self) -> usize {
        self.start + CHARGE
    }

    /// Row that the power of a pump or fan enters.
    pub(crate) fn power_row(&self, element: usize) -> usize {
        self.power_rows[element]
    }

    pub(crate) fn stencils(&self) -> impl Iterator<Item = &Stencil> {
        (self.drives.iter())
            .chain([&self.gear, &self.bus, &self.charge, &self.charger, &self.charger_heat])
            .chain(&self.groups)
            .chain(&self.conductors)
            .chain(&self.converters)
    }

    pub(crate) fn stencils_mut(&mut self) -> impl Iterator<Item = &mut Stencil> {
        (self.drives.iter_mut())
            .chain([
                &mut self.gear,
                &mut self.bus,
                &mut self.charge,
                &mut self.charger,
                &mut self.charger_heat,
            ])
            .chain(&mut self.groups)
            .chain(&mut self.conductors)
            .chain(&mut self.converters)
    }

    pub(crate) fn cold_start(&self, state: &mut [f64]) {
        state[self.start + POWER] = self.spec.shaft_power_w;
        state[self.start + CHARGE] = self.spec.feed.pack().map_or(1.0, |pack| pack.state_of_charge);
        state[self.start + VOLTAGE] = self.source_voltage(state);
        state[self.start + CURRENT] = 0.0;
        for (index, converter) in self.spec.converters.iter().enumerate() {
            state[self.start + ELECTRIC_UNKNOWNS + index] = converter.load_w;
        }
    }

    fn source_voltage(&self, state: &[f64]) -> f64 {
        match &self.spec.feed {
            BusFeed::Fixed(volts) => *volts,
            BusFeed::Pack(pack) => pack.open_circuit_v(state[self.start + CHARGE]),
        }
    }

    /// Cell groups of the pack with their stencils.
    fn group_pieces(&self) -> impl Iterator<Item = (GroupPiece<'_>, &Stencil)> {
        self.spec.feed.pack().into_iter().flat_map(|pack| {
            pack.groups
                .iter()
                .zip(&self.groups)
                .map(move |(group, stencil)| (GroupPiece { pack, group }, stencil))
        })
    }

    /// Conductors of the pack with their stencils.
    fn conductor_pieces(&self) -> impl Iterator<Item = (ConductorPiece<'_>, &Stencil)> {
        let conductors = self.spec.feed.pack().map_or(&[][..], |pack| &pack.conductors);
        conductors.iter().map(ConductorPiece).zip(&self.conductors)
    }

    fn converter_readings<'a>(&'a self, state: &'a [f64]) -> impl Iterator<Item = ConverterReading> + 'a {
        self.spec
            .converters
            .iter()
            .zip(&self.converters)
            .map(|(converter, stencil)| ConverterPiece(converter).read(stencil.gather::<1>(state)[0]))
    }

    /// Power into the gearbox at the present oil temperature: Newton on one unknown, which converges from any
    /// start because the loss grows slower than the power.
    fn settle_gear(&self, pumps_w: f64, state: &mut [f64]) {
        let piece = GearPiece(&self.spec);
        for _ in 0..20 {
            let [input_w, oil_k] = self.gear.gather::<2>(state);
            let [balance, _] = piece.evaluate([Dual64::new(input_w, 1.0), constant(oil_k)]);
            // what motors without power take hardly depends on what the others give
            let change = (balance.re + pumps_w + self.drag_w(state)) / -balance.eps;
            state[self.start + POWER] += change;
            if change.abs() <= 1e-10 * self.spec.shaft_power_w.abs() + 1e-9 {
                break;
            }
        }
    }

    /// Sets the output of each converter; returns the power of pumps on the shaft and of everything on the bus that
    /// is no drive, W.
    fn settle_consumers(&self, network: &Network, state: &mut [f64]) -> (f64, f64) {
        let (mut on_shaft, mut on_bus) = (0.0, self.spec.other_load_w);
        let first = self.start + ELECTRIC_UNKNOWNS;
        for (index, converter) in self.spec.converters.iter().enumerate() {
            state[first + index] = converter.load_w;
        }
        for element in 0..network.elements.len() {
            let Some(power_w) = network.machine_power(element, state) else { continue };
            match self.power_rows[element] - self.start {
                POWER => on_shaft += power_w,
                CURRENT => on_bus += power_w,
                converter => state[self.start + converter] += power_w,
            }
        }
        for (index, converter) in self.spec.converters.iter().enumerate() {
            on_bus += ConverterPiece(converter).read(state[first + index]).input_w;
        }
        (on_shaft, on_bus)
    }

    fn settle(&self, network: &Network, state: &mut [f64]) -> Result<(), Failure> {
        let (pumps_w, machines) = self.settle_consumers(network, state);
        self.settle_gear(pumps_w, state);
        if self.is_charge_held {
            state[self.start + CHARGE] = self.spec.feed.pack().map_or(1.0, |pack| pack.state_of_charge);
        }
        let open_circuit = self.source_voltage(state);
        let resistance = self.resistance(state);
        if let Some((piece, stencil)) = self.charger_piece() {
            let [_, charge, first_k, last_k] = stencil.gather::<4>(state);
            let set_a = piece.point(charge, first_k, last_k).bus_current_a();
            let mut current = set_a;
            for _ in 0..3 {
                let voltage = open_circuit - resistance * current;
                state[self.start + CURRENT] = current;
                state[self.start + VOLTAGE] = voltage;
                current = set_a + (self.demand_w(state) + machines - voltage * current) / SET_WEIGHT;
            }
            return Ok(());
        }
        for _ in 0..60 {
            let demand_w = self.demand_w(state) + machines;
            let Some(current) = bus_current(demand_w, open_circuit, resistance) else {
                return Err(Failure::InsufficientPackPower {
                    demand_w,
                    greatest_w: open_circuit * open_circuit / (4.0 * resistance),
                });
            };
            let voltage = open_circuit - resistance * current;
            let change = (voltage - state[self.start + VOLTAGE]).abs();
            state[self.start + VOLTAGE] = voltage;
            state[self.start + CURRENT] = current;
            if change <= 1e-12 * open_circuit {
                break;
            }
        }
        Ok(())
    }

    /// Power that the drives draw from the bus, W.
    fn demand_w(&self, state: &[f64]) -> f64 {
        let drives = self.spec.drives.iter().zip(&self.drives);
        drives
            .map(|(drive, stencil)| {
                DrivePiece(drive).evaluate(stencil.gather::<7>(state))[drive_output::DEMAND]
            })
            .sum()
    }

    fn resistance(&self, state: &[f64]) -> f64 {
        let cells = self.group_pieces().fold(0.0, |sum, (piece, stencil)| {
            let [_, temperature_k, charge] = stencil.gather::<3>(state);
            sum + piece.pack.resistance(piece.group, temperature_k, charge)
        });
        self.conductor_pieces()
            .fold(cells, |sum, (piece, stencil)| sum + piece.0.resistor.at(stencil.gather::<2>(state)[1]))
    }

    /// Visits the heat of every outlet: six for each drive, then gearbox, cell groups, conductors, converters, and a charger
    /// on board.
    pub(crate) fn heats(&self, state: &[f64], mut book: impl FnMut(usize, f64)) {
        let mut outlet = 0;
        let mut next = |heat| {
            book(outlet, heat);
            outlet += 1;
        };
        for (drive, stencil) in self.spec.drives.iter().zip(&self.drives) {
            let outputs = DrivePiece(drive).evaluate(stencil.gather::<7>(state));
            for &heat in &outputs[..drive_output::DEMAND] {
                next(heat);
            }
        }
        next(GearPiece(&self.spec).evaluate(self.gear.gather::<2>(state))[1]);
        for (piece, stencil) in self.group_pieces() {
            next(piece.evaluate(stencil.gather::<3>(state))[0]);
        }
        for (piece, stencil) in self.conductor_pieces() {
            next(piece.evaluate(stencil.gather::<2>(state))[0]);
        }
        self.converter_readings(state).for_each(|reading| next(reading.heat_w));
        if self.spec.charger.is_some() {
            let heat = self
                .charger_heat_piece()
                .map(|(piece, stencil)| piece.evaluate(stencil.gather::<2>(state))[0]);
            next(heat.unwrap_or(0.0));
        }
    }

    pub(crate) fn add_loss_slopes(&self, state: &[f64], slopes: &mut LossSlopes) {
        for (drive, stencil) in self.spec.drives.iter().zip(&self.drives) {
            stencil.add_slopes(&DrivePiece(drive), state, slopes);
        }
        self.gear.add_slopes(&GearPiece(&self.spec), state, slopes);
        for (piece, stencil) in self.group_pieces() {
            stencil.add_slopes(&piece, state, slopes);
        }
        for (piece, stencil) in self.conductor_pieces() {
            stencil.add_slopes(&piece, state, slopes);
        }
    }

    pub(crate) fn read(&self, state: &[f64]) -> ElectricReading {
        let mut lost_power_w = 0.0;
        let drives = self
            .spec
            .drives
            .iter()
            .zip(&self.drives)
            .map(|(drive, stencil)| {
                let lanes = stencil.gather::<7>(state);
                let outputs = DrivePiece(drive).evaluate(lanes);
                let [gear_power_w, bus_v, .., sensed_k, _] = lanes;
                let given_w = DrivePiece(drive).shaft_power(gear_power_w, sensed_k);
                lost_power_w += gear_power_w * drive.share - given_w;
                let drag_w = outputs[drive_output::DRAG];
                let shaft_power_w = if drive.share <= 0.0 { -drag_w } else { given_w };
                let short_current_a = DrivePiece(drive).short_current_a(lanes);
                let point = DrivePiece(drive).point(lanes);
                let mut heats_w = [0.0; 6];
                heats_w.copy_from_slice(&outputs[..drive_output::DEMAND]);
                let torque_nm = shaft_power_w / drive.speed_rad_s.max(1e-9);
                let rests = drive.share <= 0.0;
                DriveReading {
                    shaft_power_w,
                    torque_nm,
                    speed_rad_s: drive.speed_rad_s,
                    phase_current_a: point
                        .map_or(short_current_a.unwrap_or(0.0), |point| point.motor.phase_current_rms_a),
                    heats_w,
                    demand_w: outputs[drive_output::DEMAND],
                    drag_w,
                    short_current_a,
                    motor_covered: rests || drive.motor.is_in_range(torque_nm, drive.speed_rad_s, bus_v),
                    inverter_covered: point.is_none_or(|point| {
                        drive.inverter.is_in_range(point.bridge_state.phase_current_rms_a, bus_v)
                    }),
                    point,
                }
            })
            .collect();
        ElectricReading {
            gear_input_w: state[self.start + POWER],
            gear_heat_w: GearPiece(&self.spec).evaluate(self.gear.gather::<2>(state))[1],
            bus_voltage_v: state[self.start + VOLTAGE],
            bus_current_a: state[self.start + CURRENT],
            state_of_charge: state[self.start + CHARGE],
            lost_power_w,
            drives,
            group_heats_w: self
                .group_pieces()
                .map(|(piece, stencil)| piece.evaluate(stencil.gather::<3>(state))[0])
                .collect(),
            conductor_heats_w: self
                .conductor_pieces()
                .map(|(piece, stencil)| piece.evaluate(stencil.gather::<2>(state))[0])
                .collect(),
            converters: self.converter_readings(state).collect(),
            gear: self.spec.gear.as_ref().map(|gear| gear.read(self.gear.gather::<2>(state))),
            open_circuit_v: self.source_voltage(state),
            conductors: self
                .conductor_pieces()
                .map(|(piece, stencil)| piece.read(stencil.gather::<2>(state)))
                .collect(),
            groups: self
                .group_pieces()
                .map(|(piece, stencil)| piece.read(stencil.gather::<3>(state)))
                .collect(),
        }
    }
}

/// Current that delivers a power, A: the smaller root, written without cancellation.
fn bus_current(power_w: f64, open_circuit_v: f64, resistance_ohm: f64) -> Option<f64> {
    powertrain::pack::current_from_power(power_w, open_circuit_v, resistance_ohm).ok()
}

/// For each element the row that the power of a pump or fan enters.
fn power_rows(spec: &ElectricSpec, start: usize, elements: usize) -> Vec<usize> {
    let mut rows = vec![start + CURRENT; elements];
    for (index, converter) in spec.converters.iter().enumerate() {
        for machine in &converter.machines {
            rows[machine.index()] = start + ELECTRIC_UNKNOWNS + index;
        }
    }
    for machine in &spec.shaft_machines {
        rows[machine.index()] = start + POWER;
    }
    rows
}

impl Network {
    /// Power of a pump or fan, W; none for other elements.
    fn machine_power(&self, element: usize, state: &[f64]) -> Option<f64> {
        use crate::pieces::{ElementPiece, element_output};
        let (spec, placed) = (&self.elements[element], &self.placed[element]);
        spec.law.machine()?;
        let fluid = &self.circuits[placed.circuit].fluid;
        let flow = state[self.courses[placed.circuit].runs[placed.run].flow];
        let piece = ElementPiece { fluid, law: &spec.law, signal: &spec.signal };
        let stencil = &placed.stencils[usize::from(flow < 0.0)];
        Some(piece.evaluate(stencil.gather::<3>(state))[element_output::POWER])
    }

    /// Electrical unknowns that the temperatures and flows imply.
    pub(crate) fn settle_electric(&self, state: &mut [f64]) -> Result<(), Failure> {
        match &self.electric {
            Some(electric) => electric.settle(self, state),
            None => Ok(()),
        }
    }
}

/// Hands every electric piece to the collector of residual or Jacobian.
pub(crate) fn collect(electric: &Electric, takes: &mut impl Takes) {
    for (drive, stencil) in electric.spec.drives.iter().zip(&electric.drives) {
        takes.take(stencil, &DrivePiece(drive));
    }
    takes.take(&electric.gear, &GearPiece(&electric.spec));
    for (piece, stencil) in electric.group_pieces() {
        takes.take(stencil, &piece);
    }
    for (piece, stencil) in electric.conductor_pieces() {
        takes.take(stencil, &piece);
    }
    for (converter, stencil) in electric.spec.converters.iter().zip(&electric.converters) {
        takes.take(stencil, &ConverterPiece(converter));
    }
    let feed = &electric.spec.feed;
    takes.take(&electric.bus, &BusPiece(feed));
    takes.take(&electric.charge, &ChargePiece { feed, is_held: electric.is_charge_held });
    takes.constant(electric.start + CURRENT, electric.spec.other_load_w);
    if let Some((piece, stencil)) = electric.charger_piece() {
        takes.take(stencil, &piece);
    }
    if let Some((piece, stencil)) = electric.charger_heat_piece() {
        takes.take(stencil, &piece);
    }
}
