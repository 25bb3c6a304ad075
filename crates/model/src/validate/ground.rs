//! Mistakes on the ground that show when they are put into numbers: charges, turnarounds, coolant below the dew point.

use super::Tried;
use crate::assembly::{charge_window, limiter};
use crate::mission::plan_turnaround;
use crate::outside::{Outside, Over};
use aircraft::records::charging::Charge;
use aircraft::records::ground::Turnaround;
use schema::Problem;

impl Tried<'_> {
    pub(super) fn ground(&mut self) {
        let project = self.check.project;
        if let Some(charging) = self.check.pack().and_then(|pack| pack.charging.as_ref())
            && let Err(problem) = charge_window(charging)
        {
            self.check.once(problem);
        }
        for point in &project.points {
            if let Some(charge) = &point.charge {
                let path = format!("points.{}", point.name.as_str());
                self.charged(charge, point.shaft_power.is_asked(), &path);
            }
        }
        for turnaround in &project.turnarounds {
            self.dew_points(turnaround);
            if let Some(option) = turnaround.options.first()
                && let Err(problem) = plan_turnaround(project, turnaround, option)
            {
                self.check.once(problem);
            }
        }
    }

    /// A charge needs a pack that says how, a shaft at rest, and a law that holds for its own rate.
    pub(super) fn charged(&mut self, charge: &Charge, is_powered: bool, path: &str) {
        let path = format!("{path}.charge");
        // what is wrong with the charging of the pack itself is told once, there
        let told = self.check.problems.iter().any(|known| known.path.starts_with("powertrain.bus"));
        match self.check.pack() {
            None => {
                self.check.error(path, "there is no pack to charge", "add a pack, or leave out the charge");
            }
            Some(pack) if pack.charging.is_none() => self.check.error(
                path,
                "the pack does not say how it is charged",
                "add charging: Charging(..) to powertrain.bus",
            ),
            Some(_) if is_powered => self.check.error(
                path,
                "the pack is charged while the shaft takes power",
                "charge with the shaft at rest",
            ),
            Some(pack) => {
                let law =
                    pack.charging.as_ref().map(|charging| limiter(pack, charging, charge, pack.parallel));
                if let (Some(Err(problem)), false) = (law, told) {
                    self.check.once(Problem { path, ..problem });
                }
            }
        }
    }

    /// A cart that supplies coolant below the dew point wets the bay.
    fn dew_points(&mut self, turnaround: &Turnaround) {
        let project = self.check.project;
        let named = |name: &str| turnaround.conditions.iter().any(|known| known == name);
        for condition in project.conditions.iter().filter(|condition| named(condition.name.as_str())) {
            let dew_k =
                Outside::at(condition, 0.0, Over::Ground).ok().and_then(|outside| outside.dew_point_k);
            for cart in project.ground_connections().filter_map(|connection| project.cart_of(connection)) {
                if let Some(dew_k) = dew_k.filter(|&dew_k| dew_k > cart.supply.si()) {
                    self.check.once(Problem::warning(
                        format!("carts.{}.supply", cart.name.as_str()),
                        format!(
                            "{:?} lies below the dew point of {:.1} degC in {:?}: water condenses in the bay and on the cells",
                            cart.supply.text(),
                            dew_k - 273.15,
                            condition.name.as_str()
                        ),
                        "raise the supply above the dew point, or watch the bay for water",
                    ));
                }
            }
        }
    }
}
