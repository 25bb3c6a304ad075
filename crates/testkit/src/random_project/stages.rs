//! What follows the gearbox: belt, tail drive, rotor gearbox.

use super::{Dice, Growing};

impl Growing {
    /// Adds stages to a drive. They are drawn last, so that everything else of a seed stays as it was.
    pub(super) fn follow_gearbox(&mut self) {
        let (Some(late), Some(powertrain)) = (&mut self.late, &mut self.powertrain) else { return };
        let mut stages = Vec::new();
        if late.chance(0.25) {
            stages.push(stage(late, "belt", ""));
        }
        if late.chance(0.25) {
            let share = format!(" share: {:.3},", late.between(0.01, 0.2));
            stages.push(stage(late, "tail drive", &share));
        }
        if late.chance(0.25) {
            stages.push(stage(late, "rotor gearbox", ""));
        }
        if !stages.is_empty() {
            let list = format!("Powertrain(stages: [\n  {}],\n  ", stages.join(",\n  "));
            *powertrain = powertrain.replacen("Powertrain(", &list, 1);
        }
    }
}

fn stage(late: &mut Dice, name: &str, share: &str) -> String {
    let into = ["", " into: \"sump\",", " into: \"bay\","][late.count(0, 2)];
    let losses = match late.count(0, 2) {
        0 => format!("Fixed({})", late.log(50.0, 800.0, "W")),
        1 => format!(
            "Efficiency(efficiency: {:.3}, drag: {}, reference_speed: \"2700 rpm\")",
            late.between(0.94, 0.995),
            late.log(10.0, 300.0, "W")
        ),
        _ => format!(
            "Geometry(meshes: [GearMesh(name: \"{name} mesh\", pinion_teeth: {}, ratio: 2.5)])",
            late.count(18, 32)
        ),
    };
    let oil = if losses.starts_with("Geometry") { " oil: \"turbine-oil\"," } else { "" };
    format!(
        "Stage(name: \"{name}\", ratio: {:.3},{share}{into}{oil} losses: {losses})",
        late.between(0.8, 1.3)
    )
}
