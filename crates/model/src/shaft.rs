//! From the power of the motors to the power at the output shaft: the one way, which everything that lies between the motors and the rotor or
//! propeller must take.

use crate::assembly::{Situation, gear_law};
use crate::result::ElectricResult;
use powertrain::gearbox::GearPoint;

/// Power at the output shaft, W, if the motors of a solved case gave another power together: less the loss of the gearbox at that power, and less
/// what dragged motors and pumps on the shaft take. Oil and speed are those of the case.
pub fn output_w(situation: &Situation<'_>, electric: &ElectricResult, motors_w: f64) -> f64 {
    let read = &electric.reading;
    let taken_w = read.gear_input_w - read.gear_heat_w - read.shaft_power_w;
    let gearbox = situation.project.powertrain.as_ref().and_then(|powertrain| powertrain.gearbox.as_ref());
    let loss_w = match (gearbox, &read.gear) {
        (Some(gearbox), Some(state)) => gear_law(gearbox, "powertrain.gearbox")
            .map_or(read.gear_heat_w, |law| {
                law.heat(&GearPoint { input_power_w: motors_w, ..state.point }).total()
            }),
        _ => 0.0,
    };
    motors_w - loss_w - taken_w
}
