//! Stages behind the gearbox, and power that would be counted twice.

use super::Check;
use crate::records::craft::Craft;
use crate::records::gearbox::GearLosses;
use crate::records::stage::Stage;
use schema::Problem;

impl Check<'_> {
    pub(super) fn stages(&mut self) {
        let Some(powertrain) = &self.project.powertrain else { return };
        let components = self.components();
        for stage in &powertrain.stages {
            let name = stage.name.as_str();
            let path = format!("powertrain.stages.{name}");
            if let Some(into) = &stage.into {
                self.refers(format!("{path}.into"), into, "component", &components);
            }
            if name == "gearbox" {
                self.error(
                    path.clone(),
                    "\"gearbox\" names the gearbox of the powertrain",
                    "give the stage another name, such as \"rotor gearbox\"",
                );
            }
            if matches!(stage.losses, GearLosses::Geometry(_)) && stage.oil.is_none() {
                self.error(
                    format!("{path}.oil"),
                    format!("the losses of {name:?} by geometry need its oil"),
                    "name the oil, or give the losses as Fixed or Efficiency",
                );
            }
        }
        if let Some(branch) = powertrain.stages.iter().find(|stage| stage.is_branch()) {
            self.tail_rotor(branch);
        }
    }

    /// A tail rotor is counted by the estimate or by a branch: with both, what the numbers mean has to be stated.
    fn tail_rotor(&mut self, branch: &Stage) {
        let Some(Craft::Rotorcraft(craft)) = &self.project.craft else { return };
        let name = branch.name.as_str();
        for (field, share) in
            [("tail_rotor_hover", &craft.tail_rotor_hover), ("tail_rotor_cruise", &craft.tail_rotor_cruise)]
        {
            if share.si() <= 0.0 {
                continue;
            }
            let path = format!("craft.{field}");
            let message = format!(
                "estimated power holds the tail rotor ({} of the main rotor), and the branch {name:?} comes on top of it",
                share.text()
            );
            let remedy = format!(
                "set {field}: 0 where {name:?} drives the tail rotor; state another value where it drives something else"
            );
            self.problems.push(if share.stated() {
                Problem::warning(path, message, remedy)
            } else {
                Problem::error(path, message, remedy)
            });
        }
    }
}
