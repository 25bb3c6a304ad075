//! Dry masses: stated, from dimensions, or by a rule of thumb.

use super::basis::Basis;
use crate::assembly::build_core;
use aircraft::records::core::{Core, Transfer};
use aircraft::records::device::{Channels, Device, Duct, Film, Hose, Machine, MachinePower, Plate, Tubes};
use aircraft::records::project::Project;
use schema::{Input, Problem, kinds};
use std::f64::consts::PI;

/// Density of aluminium, kg/m3 (handbook value).
const ALUMINIUM_KG_M3: f64 = 2700.0;

// Rules of thumb. Every one is common practice, no source, unless it says otherwise.
const HOSE: &str =
    "rubber wall of 4 mm and 1200 kg/m3, 60 g of clamps and fittings (common practice, no source)";
const HOSE_WALL_M: f64 = 0.004;
const HOSE_DENSITY_KG_M3: f64 = 1200.0;
const HOSE_ENDS_KG: f64 = 0.06;
const PUMP: &str = "0.4 kg and 6 kg for each kW of its greatest power (common practice, no source)";
const PUMP_KG: (f64, f64) = (0.4, 6e-3);
const FAN: &str = "0.5 kg and 6 kg for each kW of its greatest power (common practice, no source)";
const FAN_KG: (f64, f64) = (0.5, 6e-3);
const PLATE: &str =
    "aluminium around its channels: 2 mm above, below and between (common practice, no source)";
const PLATE_WALL_M: f64 = 0.002;
const PLAIN_PLATE: &str = "aluminium of three times its liquid content (common practice, no source)";
const PLAIN_PLATE_SHARE: f64 = 3.0;
const OF_MACHINE: &str = "part of the machine it cools";
const CORE: &str = "550 kg/m3 of core of which 15 % is coolant, tanks 25 % more (common practice, no source: 450 to 650, 10 to 20 %, 20 to 30 %)";
const CORE_KG_M3: f64 = 550.0 * 1.25 / 0.15;
const CORE_BUILD: &str = "metal of tubes and fins from the dimensions; tanks and frame assumed with 28 kg for each m2 of the rim, so that 300 x 260 x 32 mm weigh what published cores do (1.5 to 2.2 kg; common practice, no source)";
const EXCHANGER: &str = "4 kg for each litre of both sides (common practice, no source)";
const EXCHANGER_KG_M3: f64 = 4e3;
const RESERVOIR: &str = "0.2 kg and 0.25 kg for each litre (common practice, no source)";
const RESERVOIR_KG: (f64, f64) = (0.2, 250.0);
const RESTRICTOR: &str = "50 g (common practice, no source)";
const FILTER: &str = "0.3 kg (common practice, no source)";
const SCREEN: &str = "0.2 kg (common practice, no source)";
const CHECK_VALVE: &str = "0.1 kg (common practice, no source)";
const THERMOSTAT: &str = "0.25 kg (common practice, no source)";
const CONNECTION: &str = "0.3 kg (common practice, no source)";
const SHUTTER: &str = "5 kg for each m2 of free area (common practice, no source)";
const SHUTTER_KG_M2: f64 = 5.0;
const FLAP: &str = "3 kg for each m2 of free area (common practice, no source)";
const FLAP_KG_M2: f64 = 3.0;
const WALLS: &str =
    "1 m of a square duct as wide as its inlet, walls of 1.6 kg/m2 (common practice, no source)";
const WALLS_KG_M2: f64 = 1.6;
const MOUNTING: &str = "15 % of the dry mass of the devices (common practice, no source: 10 to 20 %)";

/// A dry mass and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Ruled {
    pub(super) dry_kg: f64,
    pub(super) basis: Basis,
}

impl Ruled {
    fn stated_or(mass: Option<&Input<kinds::Mass>>, dry_kg: f64, basis: Basis) -> Self {
        match mass {
            Some(mass) => Self { dry_kg: mass.si(), basis: Basis::Stated },
            None => Self { dry_kg, basis },
        }
    }

    fn assumed(mass: Option<&Input<kinds::Mass>>, dry_kg: f64, rule: &'static str) -> Self {
        Self::stated_or(mass, dry_kg, Basis::Assumed(rule))
    }
}

/// Greatest power and mass of a pump or fan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MachineSize {
    /// Greatest power it draws along its curve, W.
    pub power_w: f64,
    /// Mass, kg.
    pub mass_kg: f64,
}

impl MachineSize {
    /// Of a pump.
    pub fn of_pump(machine: &Machine) -> Self {
        Self::of(machine, PUMP_KG)
    }

    /// Of a fan.
    pub fn of_fan(machine: &Machine) -> Self {
        Self::of(machine, FAN_KG)
    }

    fn of(machine: &Machine, (fixed_kg, each_kg_w): (f64, f64)) -> Self {
        let power_w = greatest_power_w(machine);
        let rule_kg = fixed_kg + each_kg_w * power_w;
        Self { power_w, mass_kg: machine.mass.as_ref().map_or(rule_kg, |mass| mass.si()) }
    }
}

/// Greatest power that a pump or fan draws along its curve, W.
fn greatest_power_w(machine: &Machine) -> f64 {
    match &machine.power {
        MachinePower::Fixed(power) => power.si(),
        MachinePower::Table(table) => table.si().iter().map(|(_, power_w)| *power_w).fold(0.0, f64::max),
        MachinePower::Efficiency(efficiency) => {
            let work_w = match (&machine.curve, &machine.displacement) {
                (Some(curve), _) => greatest_product(&curve.si()),
                // at the cracking pressure, with everything displaced
                (None, Some(displacement)) => {
                    displacement.relief.cracking.si() * displacement.displaced_m3_s()
                }
                (None, None) => 0.0,
            };
            work_w / efficiency.si()
        }
    }
}

/// Greatest product of flow and pressure on the straight pieces of a curve: on each, a parabola.
fn greatest_product(points: &[(f64, f64)]) -> f64 {
    let at_points = points.iter().map(|(flow, rise)| flow * rise);
    let inside = points.windows(2).filter_map(|two| {
        let [(x0, y0), (x1, y1)] = [two[0], two[1]];
        let slope = (y1 - y0) / (x1 - x0);
        let top = 0.5 * (x0 - y0 / slope);
        (top > x0 && top < x1).then_some(top * (y0 + slope * (top - x0)))
    });
    at_points.chain(inside).fold(0.0, f64::max)
}

/// Dry mass of a core, kg, and what it rests on.
///
/// # Errors
/// A [`Problem`] for dimensions that no core can have.
pub fn core_dry_kg(core: &Core) -> Result<(f64, Basis), Problem> {
    let (rule_kg, basis) = match &core.transfer {
        Transfer::Louvered(_) | Transfer::OffsetStrip(_) => {
            (build_core(core)?.map_or(0.0, |build| build.dry_mass_kg), Basis::Dimensions(CORE_BUILD))
        }
        Transfer::Fixed(_) | Transfer::Map(_) | Transfer::Sides(_) => {
            (CORE_KG_M3 * core.volume.si(), Basis::Assumed(CORE))
        }
    };
    let Ruled { dry_kg, basis } = Ruled::stated_or(core.mass.as_ref(), rule_kg, basis);
    Ok((dry_kg, basis))
}

/// A device of a loop.
pub(super) fn in_loop(project: &Project, circuit: &str, device: &Device) -> Result<Ruled, Problem> {
    Ok(match device {
        Device::Core(reference) => match project.cores.iter().find(|core| core.name == reference.name) {
            Some(core) => {
                let (dry_kg, basis) = core_dry_kg(core)?;
                Ruled { dry_kg, basis }
            }
            None => Ruled { dry_kg: 0.0, basis: Basis::Stated },
        },
        Device::Exchanger(reference) => {
            let found = project.exchangers.iter().find(|exchanger| exchanger.name == reference.name);
            match found.filter(|exchanger| exchanger.first == circuit) {
                Some(exchanger) => {
                    let rule_kg = EXCHANGER_KG_M3 * 2.0 * exchanger.volume.si();
                    Ruled::assumed(exchanger.mass.as_ref(), rule_kg, EXCHANGER)
                }
                None => Ruled { dry_kg: 0.0, basis: Basis::Dimensions("booked with the first loop") },
            }
        }
        other => part(other),
    })
}

/// A device of a duct; a core is booked with its loop.
pub(super) fn in_duct(device: &Device) -> Option<Ruled> {
    match device {
        Device::Core(_) | Device::Inlet(_) | Device::Outlet(_) => None,
        other => Some(part(other)),
    }
}

/// Walls of a duct.
pub(super) fn walls(duct: &Duct) -> Ruled {
    let area_m2 = duct.path.iter().find_map(|device| match device {
        Device::Inlet(opening) => Some(opening.area.si()),
        _ => None,
    });
    let wall_m2 = 4.0 * area_m2.unwrap_or(0.0).sqrt();
    Ruled::assumed(duct.mass.as_ref(), WALLS_KG_M2 * wall_m2, WALLS)
}

/// Brackets and wiring of a circuit whose devices weigh this, kg.
pub(super) fn mounting(share: &Input<kinds::Ratio>, devices_kg: f64) -> Ruled {
    let basis = if share.stated() { Basis::Stated } else { Basis::Assumed(MOUNTING) };
    Ruled { dry_kg: share.si() * devices_kg, basis }
}

fn part(device: &Device) -> Ruled {
    match device {
        Device::Pump(machine) => {
            Ruled::assumed(machine.mass.as_ref(), MachineSize::of_pump(machine).mass_kg, PUMP)
        }
        Device::Fan(machine) => {
            Ruled::assumed(machine.mass.as_ref(), MachineSize::of_fan(machine).mass_kg, FAN)
        }
        Device::Hose(hose) => Ruled::assumed(hose.mass.as_ref(), hose_kg(hose), HOSE),
        Device::ColdPlate(plate) => plate_of(plate),
        Device::Jacket(plate) | Device::Surface(plate) => {
            Ruled::stated_or(plate.mass.as_ref(), 0.0, Basis::Assumed(OF_MACHINE))
        }
        Device::Reservoir(reservoir) => {
            let rule_kg = RESERVOIR_KG.0 + RESERVOIR_KG.1 * reservoir.volume.si();
            Ruled::assumed(reservoir.mass.as_ref(), rule_kg, RESERVOIR)
        }
        Device::Restrictor(part) => Ruled::assumed(part.mass.as_ref(), 0.05, RESTRICTOR),
        Device::Filter(part) => Ruled::assumed(part.mass.as_ref(), 0.3, FILTER),
        Device::Screen(part) => Ruled::assumed(part.mass.as_ref(), 0.2, SCREEN),
        Device::CheckValve(valve) => Ruled::assumed(valve.mass.as_ref(), 0.1, CHECK_VALVE),
        Device::ReliefValve(valve) => Ruled::assumed(valve.mass.as_ref(), 0.1, CHECK_VALVE),
        Device::BypassValve(valve) => Ruled::assumed(valve.mass.as_ref(), 0.1, CHECK_VALVE),
        Device::Thermostat(valve) => Ruled::assumed(valve.mass.as_ref(), 0.25, THERMOSTAT),
        Device::GroundConnection(part) => Ruled::assumed(part.mass.as_ref(), 0.3, CONNECTION),
        Device::Shutter(part) => Ruled::assumed(part.mass.as_ref(), SHUTTER_KG_M2 * part.area.si(), SHUTTER),
        Device::Flap(part) => Ruled::assumed(part.mass.as_ref(), FLAP_KG_M2 * part.area.si(), FLAP),
        // booked elsewhere: with the loop, with the walls, or part by part
        Device::Core(_)
        | Device::Exchanger(_)
        | Device::Inlet(_)
        | Device::Outlet(_)
        | Device::Parallel(_) => Ruled { dry_kg: 0.0, basis: Basis::Stated },
    }
}

fn hose_kg(hose: &Hose) -> f64 {
    let section_m2 = PI * (hose.diameter.si() + HOSE_WALL_M) * HOSE_WALL_M;
    HOSE_DENSITY_KG_M3 * section_m2 * hose.length.si() + HOSE_ENDS_KG
}

fn plate_of(plate: &Plate) -> Ruled {
    let (metal_m3, how) = match &plate.film {
        Film::Channels(channels) => (around_channels_m3(channels), PLATE),
        Film::Tubes(tubes) => (around_tubes_m3(tubes), PLATE),
        Film::Fixed(_) | Film::PowerLaw(_) | Film::Table(_) | Film::Measured(_) => {
            (PLAIN_PLATE_SHARE * plate.volume.si(), PLAIN_PLATE)
        }
    };
    Ruled::assumed(plate.mass.as_ref(), ALUMINIUM_KG_M3 * metal_m3, how)
}

fn around_channels_m3(channels: &Channels) -> f64 {
    let (width_m, height_m, count) = (channels.width.si(), channels.height.si(), channels.count as f64);
    let cell_m2 = (width_m + PLATE_WALL_M) * (height_m + 2.0 * PLATE_WALL_M) - width_m * height_m;
    count * cell_m2 * channels.length.si()
}

fn around_tubes_m3(tubes: &Tubes) -> f64 {
    let (bore_m, count) = (tubes.diameter.si(), tubes.count as f64);
    let cell_m2 = (bore_m + PLATE_WALL_M) * (bore_m + 2.0 * PLATE_WALL_M) - 0.25 * PI * bore_m * bore_m;
    count * cell_m2 * tubes.length.si()
}
