//! Bounds that keep memory and time sane, and dimensions that contradict each other.

use super::Check;
use crate::records::ceiling_k;
use crate::records::component::{Bound, LinkLaw};
use crate::records::core::{LouveredCore, Transfer};
use crate::records::device::devices;
use crate::records::device::{Branch, Channels, Device, Film, FlowResistance, Tubes};
use crate::records::measured::Passages;
use crate::records::powertrain::{Bus, GearLosses};
use crate::stages::segments_of;
use crate::variant::BASE;
use schema::Problem;

/// Components of a project, each counted with its segments.
const MAX_SEGMENTED: usize = 100_000;
/// Loops, and ducts.
const MAX_CIRCUITS: usize = 1_000;
/// Segments of a mission.
const MAX_SEGMENTS: usize = 10_000;
/// Cases of a project.
const MAX_CASES: usize = 100_000;
/// Longest flight, soak included: 31 days, s.
pub const LONGEST_FLIGHT_S: f64 = 31.0 * 86_400.0;

impl Check<'_> {
    /// How much there is of everything. What is beyond is not looked at further.
    pub(super) fn amounts(&mut self) {
        let project = self.project;
        let segmented: usize = project.components.iter().map(|component| component.segments).sum();
        self.at_most("components", segmented, MAX_SEGMENTED, "components, each counted with its segments");
        self.at_most("loops", project.loops.len(), MAX_CIRCUITS, "loops");
        self.at_most("ducts", project.ducts.len(), MAX_CIRCUITS, "ducts");
        for mission in &project.missions {
            let path = format!("missions.{}.segments", mission.name.as_str());
            self.at_most(&path, segments_of(mission).len(), MAX_SEGMENTS, "segments of one mission");
        }
        let cases = project.cases.iter().fold(0_usize, |sum, group| {
            let flown = group.points.len() + group.missions.len();
            sum.saturating_add(
                group.conditions.len().saturating_mul(flown).saturating_mul(1 + group.failures.len()),
            )
        });
        self.at_most("cases", cases, MAX_CASES, "cases");
    }

    fn at_most(&mut self, path: &str, count: usize, most: usize, what: &str) {
        if count > most {
            self.error(path, format!("there are {count} {what}"), format!("keep to {most} at most"));
        }
    }

    /// The word for the design without a variant names no variant.
    pub(super) fn variant_names(&mut self) {
        if self.project.variants.iter().any(|variant| variant.name == BASE) {
            self.error(
                format!("variants.{BASE}"),
                format!("{BASE:?} names the design without a variant: this one could never be applied"),
                "give the variant another name",
            );
        }
    }

    /// Every branch of a parallel group leads somewhere.
    pub(super) fn branches(&mut self, circuit: &str, path: &str, inside: &[Device]) {
        for device in inside {
            let Device::Parallel(group) = device else { continue };
            let name = group.name.as_str();
            if group.branches.is_empty() {
                self.error(
                    format!("{path}.{name}"),
                    format!("the parallel group {name:?} of {circuit:?} has no branch"),
                    "add two branches, or leave the group out",
                );
            }
            for branch in &group.branches {
                self.branch(circuit, path, name, branch);
            }
        }
    }

    fn branch(&mut self, circuit: &str, path: &str, group: &str, branch: &Branch) {
        let name = branch.name.as_str();
        if branch.path.is_empty() {
            self.error(
                format!("{path}.{group}.branches.{name}"),
                format!("the branch {name:?} of {group:?} in {circuit:?} has no device: the whole flow would short through it"),
                "add a device to its path, such as Restrictor(..) or Hose(..), or leave the branch out",
            );
        }
        self.branches(circuit, path, &branch.path);
    }

    /// Dimensions that cannot be together.
    pub(super) fn dimensions(&mut self) {
        let project = self.project;
        for core in &project.cores {
            let path = format!("cores.{}", core.name.as_str());
            match &core.transfer {
                Transfer::Louvered(louvered) => self.louvered(louvered, &format!("{path}.transfer")),
                Transfer::Sides(sides) => {
                    self.film(&sides.liquid, &format!("{path}.transfer.liquid"));
                    self.film(&sides.air, &format!("{path}.transfer.air"));
                }
                _ => {}
            }
            self.resistance(&core.liquid_flow, &format!("{path}.liquid_flow"));
        }
        let loops = project.loops.iter().map(|l| (format!("loops.{}.path", l.name.as_str()), &l.path));
        let ducts = project.ducts.iter().map(|d| (format!("ducts.{}.path", d.name.as_str()), &d.path));
        for (path, inside) in loops.chain(ducts) {
            for device in devices(inside) {
                self.device_dimensions(device, &format!("{path}.{}", device.name()));
            }
        }
        for (index, link) in project.links.iter().enumerate() {
            if let LinkLaw::AirGap(gap) = &link.law {
                let place =
                    link.name.as_ref().map_or_else(|| (index + 1).to_string(), |n| n.as_str().to_owned());
                self.below(
                    format!("links.{place}.law.gap"),
                    ("the gap", gap.gap.si()),
                    ("the rotor radius", gap.radius.si()),
                );
            }
        }
        self.gear_wheels();
        self.onset_of_cells();
    }

    fn device_dimensions(&mut self, device: &Device, path: &str) {
        match device {
            Device::Hose(hose) => {
                self.rough(hose.roughness.si(), hose.diameter.si(), &format!("{path}.roughness"));
            }
            Device::ColdPlate(plate) | Device::Jacket(plate) | Device::Surface(plate) => {
                self.film(&plate.film, &format!("{path}.film"));
                self.resistance(&plate.flow, &format!("{path}.flow"));
            }
            Device::Restrictor(part) | Device::Filter(part) | Device::Screen(part) => {
                self.resistance(&part.flow, &format!("{path}.flow"));
            }
            Device::Inlet(inlet) if inlet.recovery.si() > 1.0 => {
                self.error(
                    format!("{path}.recovery"),
                    format!("an inlet cannot recover {} of the dynamic pressure", inlet.recovery.text()),
                    "give 1 or less",
                );
            }
            _ => {}
        }
    }

    fn louvered(&mut self, core: &LouveredCore, path: &str) {
        let thickness = ("the thickness of the tube", core.tube_thickness.si());
        self.below(
            format!("{path}.tube_wall"),
            ("twice the tube wall", 2.0 * core.tube_wall.si()),
            thickness,
        );
        self.below(format!("{path}.tube_thickness"), thickness, ("the tube pitch", core.tube_pitch.si()));
        self.below(format!("{path}.tube_thickness"), thickness, ("the depth", core.depth.si()));
        let fin = ("the fin thickness", core.fin_thickness.si());
        self.below(format!("{path}.fin_thickness"), fin, ("the fin pitch", core.fin_pitch.si()));
    }

    fn film(&mut self, film: &Film, path: &str) {
        match film {
            Film::Channels(channels) => self.channels(channels, path),
            Film::Tubes(tubes) => self.tubes(tubes, path),
            Film::PowerLaw(law) => self.passages(law.passages.as_ref(), path),
            Film::Measured(table) => self.passages(table.passages.as_ref(), path),
            Film::Fixed(_) | Film::Table(_) => {}
        }
    }

    fn passages(&mut self, passages: Option<&Passages>, path: &str) {
        match passages {
            Some(Passages::Channels(channels)) => self.channels(channels, &format!("{path}.passages")),
            Some(Passages::Tubes(tubes)) => self.tubes(tubes, &format!("{path}.passages")),
            None => {}
        }
    }

    fn resistance(&mut self, flow: &FlowResistance, path: &str) {
        match flow {
            FlowResistance::Channels(channels) => self.channels(channels, path),
            FlowResistance::Tubes(tubes) => self.tubes(tubes, path),
            _ => {}
        }
    }

    fn channels(&mut self, channels: &Channels, path: &str) {
        let least = channels.width.si().min(channels.height.si());
        self.rough(channels.roughness.si(), least, &format!("{path}.roughness"));
    }

    fn tubes(&mut self, tubes: &Tubes, path: &str) {
        self.rough(tubes.roughness.si(), tubes.diameter.si(), &format!("{path}.roughness"));
    }

    /// The friction laws end at a relative roughness of 0.05 (Moody 1944).
    fn rough(&mut self, roughness: f64, width: f64, path: &str) {
        self.not_above(
            path.to_owned(),
            ("the roughness", roughness),
            ("a twentieth of the passage", 0.05 * width),
        );
    }

    fn gear_wheels(&mut self) {
        let Some(powertrain) = &self.project.powertrain else { return };
        let gearbox = powertrain.gearbox.iter().map(|gearbox| ("gearbox".to_owned(), &gearbox.losses));
        let stages = powertrain.stages.iter();
        let stages = stages.map(|stage| (format!("stages.{}", stage.name.as_str()), &stage.losses));
        for (place, losses) in gearbox.chain(stages) {
            let GearLosses::Geometry(geometry) = losses else { continue };
            for wheel in &geometry.wheels {
                let path = format!("powertrain.{place}.losses.wheels.{}.immersion", wheel.name.as_str());
                let diameter = ("the diameter of the wheel", 2.0 * wheel.pitch_radius.si());
                self.not_above(path, ("the immersion", wheel.immersion.si()), diameter);
            }
        }
    }

    /// A limit of the cells beyond the onset of self-heating could never be reached.
    fn onset_of_cells(&mut self) {
        let project = self.project;
        let Some(Bus::Pack(pack)) = project.powertrain.as_ref().map(|powertrain| &powertrain.bus) else {
            return;
        };
        let Some(cells) = project.components.iter().find(|component| component.name == pack.cells) else {
            return;
        };
        let onset_k = ceiling_k(project, cells);
        for (index, limit) in cells.limits.iter().enumerate() {
            if matches!(limit.bound, Bound::Maximum) && limit.value.si() >= onset_k {
                self.problems.push(Problem::warning(
                    format!("components.{}.limits.{}.value", cells.name.as_str(), index + 1),
                    format!(
                        "{:?} is not below the onset of self-heating of the cells, {:?}: from there on there is no result",
                        limit.value.text(),
                        pack.cell.self_heating.text()
                    ),
                    "lower the limit, or state self_heating of the cell from a test",
                ));
            }
        }
    }

    fn below(&mut self, path: String, small: (&str, f64), large: (&str, f64)) {
        if !(small.1 < large.1) {
            self.error(
                path,
                format!("{} is not below {}", small.0, large.0),
                format!("make it less than {}", mm(large.1)),
            );
        }
    }

    fn not_above(&mut self, path: String, small: (&str, f64), large: (&str, f64)) {
        if !(small.1 <= large.1) {
            self.error(
                path,
                format!("{} is above {}", small.0, large.0),
                format!("give {} at most", mm(large.1)),
            );
        }
    }
}

fn mm(metres: f64) -> String {
    format!("{:.6} mm", 1e3 * metres).replace(".000000", "")
}
