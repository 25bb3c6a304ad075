//! From the power of the motors to the power at the output shaft: the one way, which everything that lies between the motors and the
//! rotor or propeller must take.

use crate::assembly::{Gears, Situation, gear_law};
use crate::result::ElectricResult;
use aircraft::records::powertrain::Powertrain;
use powertrain::gearbox::{GearPoint, Gearbox};

/// Powers closer than this are equal, W.
const CLOSE_W: f64 = 1e-3;
/// Steps of a search; each makes the distance smaller by the loss as a share.
const MAX_STEPS: usize = 40;

/// Power at the output shaft, W, if the motors of a solved case gave another power together: less the losses of the gearbox and of what
/// follows it at that power, and less what dragged motors and pumps on the shaft take. Oils and speeds are those of the case.
pub fn output_w(situation: &Situation<'_>, electric: &ElectricResult, motors_w: f64) -> f64 {
    let read = &electric.reading;
    let powertrain = situation.project.powertrain.as_ref();
    let gearbox = powertrain.and_then(|powertrain| powertrain.gearbox.as_ref());
    let loss_w = match (gearbox, &read.gear) {
        (Some(gearbox), Some(state)) => {
            let law = gear_law(&Gears::of_gearbox(gearbox));
            law.map_or(read.gear_heat_w, |law| loss_w(&law, &state.point, motors_w))
        }
        _ => 0.0,
    };
    let Some(stages) = powertrain.and_then(|powertrain| Stages::of(powertrain, electric)) else {
        let taken_w = read.gear_input_w - read.gear_heat_w - read.shaft_power_w;
        return motors_w - loss_w - taken_w;
    };
    let asked_w = stages.asked_w(read.shaft_power_w);
    let taken_w = read.gear_input_w - read.gear_heat_w - asked_w;
    stages.shaft_w(motors_w - loss_w - taken_w)
}

fn loss_w(law: &Gearbox, at: &GearPoint<f64>, input_w: f64) -> f64 {
    law.heat(&GearPoint { input_power_w: input_w, ..*at }).total()
}

/// What follows the gearbox.
struct Stages<'a> {
    powertrain: &'a Powertrain,
    /// Law and state of each.
    laws: Vec<(Gearbox, GearPoint<f64>)>,
}

impl<'a> Stages<'a> {
    /// None where nothing follows the gearbox, or a number is not physical: then there would be no solved case.
    fn of(powertrain: &'a Powertrain, electric: &ElectricResult) -> Option<Self> {
        let stages = powertrain.stages.iter().zip(&electric.reading.stages);
        let laws = stages.map(|(stage, state)| Some((gear_law(&Gears::of_stage(stage)).ok()?, state.point)));
        let laws: Vec<_> = laws.collect::<Option<_>>()?;
        (!laws.is_empty()).then_some(Self { powertrain, laws })
    }

    /// Power that the gearbox must give for a power at the output shaft, W.
    fn asked_w(&self, shaft_w: f64) -> f64 {
        let mut behind_w = shaft_w;
        for (stage, (law, at)) in self.powertrain.stages.iter().zip(&self.laws).rev() {
            if stage.is_branch() {
                behind_w += input_w(law, at, stage.share.si() * shaft_w);
            } else {
                behind_w = input_w(law, at, behind_w);
            }
        }
        behind_w
    }

    /// Power at the output shaft for a power of the gearbox, W: by the secant, for the losses are nearly straight in the power.
    fn shaft_w(&self, gearbox_w: f64) -> f64 {
        let (mut before, mut now) = (0.0, gearbox_w);
        let mut off_before = self.asked_w(before) - gearbox_w;
        for _ in 0..MAX_STEPS {
            let off = self.asked_w(now) - gearbox_w;
            if off.abs() < CLOSE_W || off == off_before {
                break;
            }
            let next = now - off * (now - before) / (off - off_before);
            (before, off_before, now) = (now, off, next);
        }
        now
    }
}

/// Power into a stage that gives a power, W.
fn input_w(law: &Gearbox, at: &GearPoint<f64>, output_w: f64) -> f64 {
    let mut input_w = output_w;
    for _ in 0..MAX_STEPS {
        let next = output_w + loss_w(law, at, input_w);
        let is_close = (next - input_w).abs() < 0.1 * CLOSE_W;
        input_w = next;
        if is_close {
            break;
        }
    }
    input_w
}
