//! From the records of a motor to its loss law.

use super::checked::{count, refused, si, surface};
use aircraft::records::powertrain::{LossSplit, Motor, MotorLosses, MotorTable};
use powertrain::loss::LossSurface;
use powertrain::motor::{
    EfficiencyLosses, FixedLosses, MachineParameters, MotorMap, PhaseCurrent, SpeedLoss, Terminals,
    TorqueConstant, Windage,
};
use schema::{Input, Problem};

/// Modulation index and power factor of a motor whose parameters are not known. Common practice, no source.
const ASSUMED_DRIVE: PhaseCurrent = PhaseCurrent::Power { modulation_index: 0.9, power_factor: 0.95 };

/// Magnet temperature of a measured motor map, K: without effect, since no torque constant goes with a map.
const MAP_MAGNET_K: f64 = 333.15;

fn terminals(winding_sets: usize) -> Terminals {
    Terminals { winding_sets: winding_sets.clamp(1, 255) as u8, phase_current: ASSUMED_DRIVE }
}

fn split(split: &LossSplit) -> powertrain::motor::LossSplit {
    powertrain::motor::LossSplit {
        copper: split.copper.si(),
        iron: split.iron.si(),
        magnet: split.magnet.si(),
        windage: split.windage.si(),
    }
}

/// The loss law of a motor.
///
/// # Errors
/// A [`Problem`] at `path` that names the number that is not physical.
pub fn motor_law(motor: &Motor, path: &str) -> Result<powertrain::motor::Motor, Problem> {
    let at = format!("{path}.losses");
    let losses = match &motor.losses {
        MotorLosses::Fixed(fixed) => powertrain::motor::MotorLosses::Fixed(FixedLosses {
            copper_w: fixed.copper.si(),
            iron_w: fixed.iron.si(),
            magnet_w: fixed.magnet.si(),
            windage_w: fixed.windage.si(),
            terminals: terminals(fixed.winding_sets),
        }),
        MotorLosses::Efficiency(law) => powertrain::motor::MotorLosses::Efficiency(EfficiencyLosses {
            efficiency: law.efficiency.si(),
            split: split(&law.split),
            terminals: terminals(law.winding_sets),
        }),
        MotorLosses::Map(map) => {
            // one table holds at every bus voltage, so the number does not matter
            let tables = vec![(1.0, surface(&si(&map.torque), &si(&map.speed), &si(&map.loss), &at)?)];
            measured(tables, &map.split, map.winding_at.si(), map.winding_sets, &at)?
        }
        MotorLosses::Maps(maps) => {
            let table = |(index, table): (usize, &MotorTable)| {
                let at = format!("{at}.tables.{}", index + 1);
                let losses = surface(&si(&table.torque), &si(&table.speed), &si(&table.loss), &at)?;
                Ok((table.voltage.si(), losses))
            };
            let tables = maps.tables.iter().enumerate().map(table).collect::<Result<_, Problem>>()?;
            measured(tables, &maps.split, maps.winding_at.si(), maps.winding_sets, &at)?
        }
        MotorLosses::Machine(machine) => {
            let speed_law = |reference_w, hysteresis_share| SpeedLoss {
                reference_w,
                reference_speed_rad_s: machine.reference_speed.si(),
                hysteresis_share,
                ..SpeedLoss::NONE
            };
            let mut parameters = MachineParameters::new(
                machine.phase_resistance.si(),
                machine.resistance_at.si(),
                TorqueConstant {
                    nm_per_a_rms: machine.torque_constant.si(),
                    reference_magnet_k: machine.magnet_at.si(),
                    magnet_coefficient_per_k: machine.magnet_coefficient.si(),
                },
            );
            parameters.pole_pairs = count(machine.pole_pairs);
            parameters.winding_sets = machine.winding_sets.clamp(1, 255) as u8;
            parameters.inductance_h = machine.inductance.as_ref().map(Input::si);
            parameters.iron = speed_law(machine.iron_loss.si(), 0.5);
            parameters.magnet = speed_law(machine.magnet_loss.si(), 0.0);
            parameters.windage = Windage::SpeedLaw {
                reference_w: machine.windage.si(),
                reference_speed_rad_s: machine.reference_speed.si(),
                exponent: 3.0,
            };
            powertrain::motor::MotorLosses::Machine(Box::new(parameters))
        }
    };
    powertrain::motor::Motor::new(losses).map_err(|error| refused(at, &error))
}

fn measured(
    tables: Vec<(f64, LossSurface)>,
    parts: &LossSplit,
    winding_k: f64,
    winding_sets: usize,
    path: &str,
) -> Result<powertrain::motor::MotorLosses, Problem> {
    MotorMap::new(tables, split(parts), winding_k, MAP_MAGNET_K, terminals(winding_sets))
        .map(powertrain::motor::MotorLosses::Map)
        .map_err(|error| refused(path.to_owned(), &error))
}
