//! The gearbox and what follows it on the way to the rotor or propeller.

use super::gear_law::{Gears, gear_law};
use super::{Assembler, liquids};
use aircraft::records::powertrain::Powertrain;
use aircraft::records::surroundings::OUTSIDE_AIR;
use schema::Problem;
use solver::{DriveStage, Gear, Node};

/// Oil of a stage whose losses do not look at it: `check` asks for one where they do.
const UNREAD_OIL: &str = "turbine-oil";

/// Speed of each stage on the side of the motors, and that behind the gearbox, rad/s. A branch turns with the shaft that it leaves.
fn stage_speeds_rad_s(powertrain: &Powertrain, shaft_speed_rad_s: f64) -> (Vec<f64>, f64) {
    let mut speeds = vec![0.0; powertrain.stages.len()];
    let mut behind = shaft_speed_rad_s;
    for (stage, speed) in powertrain.stages.iter().zip(&mut speeds).rev() {
        *speed = behind;
        if !stage.is_branch() {
            *speed *= stage.ratio.si();
            behind = *speed;
        }
    }
    (speeds, behind)
}

/// Speed of the motors at a speed of the output shaft, rad/s.
pub(super) fn motor_speed_rad_s(powertrain: &Powertrain, shaft_speed_rad_s: f64) -> f64 {
    let (_, behind) = stage_speeds_rad_s(powertrain, shaft_speed_rad_s);
    behind * powertrain.gearbox.as_ref().map_or(1.0, |gearbox| gearbox.ratio.si())
}

impl Assembler<'_> {
    pub(super) fn gear(&self, gears: &Gears<'_>, input_speed_rad_s: f64) -> Result<Gear, Problem> {
        let path = &gears.path;
        let field = if gears.is_stage { "into" } else { "sump" };
        Ok(Gear {
            gearbox: gear_law(gears)?,
            oil_node: match gears.into {
                OUTSIDE_AIR => Node::Boundary(self.outside_node),
                component => self.place(component, &format!("{path}.{field}"))?,
            },
            oil: liquids::liquid(
                self.situation.project,
                gears.oil.unwrap_or(UNREAD_OIL),
                &format!("{path}.oil"),
            )?,
            input_speed_rad_s,
        })
    }

    /// The stages behind the gearbox, each with its heat outlet.
    pub(super) fn stages(&mut self, powertrain: &Powertrain) -> Result<Vec<DriveStage>, Problem> {
        let (speeds, _) = stage_speeds_rad_s(powertrain, self.situation.point.shaft_speed.si());
        let mut made = Vec::new();
        for (stage, speed) in powertrain.stages.iter().zip(speeds) {
            let gears = Gears::of_stage(stage);
            made.push(DriveStage {
                gear: self.gear(&gears, speed)?,
                branch: stage.is_branch().then(|| stage.share.si()),
            });
            self.outlet(gears.name.to_owned(), gears.into);
        }
        Ok(made)
    }
}
