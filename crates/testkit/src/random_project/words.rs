//! What random projects have to contain.

/// Devices, laws, controls, days, starts and failures of the file format that each occur in two per cent of the projects at
/// least, as they are written.
pub const WORDS: &[&str] = &[
    "Pump(", "Fan(", "Hose(", "ColdPlate(", "Jacket(", "Surface(", "Core(", "Exchanger(", "Reservoir(", "Restrictor(", "Filter(", "Screen(",
    "CheckValve(", "Thermostat(", "GroundConnection(", "Shutter(", "Flap(", "Inlet(", "Outlet(", "Parallel(",
    "film: Fixed(", "film: PowerLaw(", "film: Measured(", "film: Table(", "film: Channels(", "film: Tubes(",
    "flow: Point(", "flow: Table(", "flow: Loss(", "flow: Tubes(", "flow: OfFilm",
    "transfer: Louvered(", "transfer: OffsetStrip(", "transfer: Fixed(", "transfer: Sides(", "transfer: Map(",
    "air_flow: OfFins", "air_flow: Point(", "air_flow: Face(",
    "power: Efficiency(", "power: Fixed(", "power: Table(",
    "Control(", "OnOff(", "ShaftDrive(", "speed: 0", "closes: true", "lag:", "climb:", "into: \"bay\"",
    "law: Conductance(", "law: Contact(", "law: StillAir(", "law: MovingAir(", "law: Radiation(", "law: AirGap(", "law: TurningCylinder(", "law: Vent(",
    "law: Fixed(", "law: Growing(", "sunlit:", "hot_spot:", "recirculation:", "fouling:", "blocked:",
    "passing: Counterflow", "passing: ParallelFlow", "passing: Crossflow",
    "losses: Machine(", "losses: Map(", "losses: Efficiency(", "losses: Geometry(", "inverter_losses: Devices(", "inverter_losses: Bipolar(", "resistance_table:", "hot_growth:", "junction:", "freewheel:", "Pack(", "Supply(\"", "converters:", "Derate(",
    "day: Standard", "day: HotDay", "day: Hot,", "day: Tropical", "day: Cold", "day: Polar", "day: Offset(", "day: Fixed(", "start: Settled", "start: Soaked(", "until:", "charge: Charge(",
    "Stopped(", "Slowed(", "SupplyLost(", "CoreBlocked(", "InletBlocked(", "Clogged(", "CapOpen(", "Leak(", "Together(",
];
