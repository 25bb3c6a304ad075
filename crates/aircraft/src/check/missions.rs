//! Mistakes in missions: names, times, and ends that can never come.

use super::Check;
use crate::records::mission::{Mission, Segment, SoakAfter, Start, Until};
use crate::stages::segments_of;
use schema::Problem;

impl Check<'_> {
    pub(super) fn missions(&mut self) {
        let project = self.project;
        let points: Vec<&str> = project.points.iter().map(|p| p.name.as_str()).collect();
        for mission in &project.missions {
            let path = format!("missions.{}", mission.name.as_str());
            if points.contains(&mission.name.as_str()) {
                self.error(
                    &*path,
                    format!(
                        "{:?} is also the name of a point: a case name would mean both",
                        mission.name.as_str()
                    ),
                    "give the mission another name",
                );
            }
            self.start(mission, &path);
            let list = if mission.test.is_some() { "test" } else { "segments" };
            self.segments(&segments_of(mission), &format!("{path}.{list}"));
            self.segments(&mission.after_failure, &format!("{path}.after_failure"));
            if let SoakAfter::LeftOut(reason) = &mission.soak
                && reason.trim().is_empty()
            {
                self.error(
                    format!("{path}.soak"),
                    "the soak after shutdown is left out without a reason",
                    "say why, or give its duration",
                );
            }
        }
    }

    fn start(&mut self, mission: &Mission, path: &str) {
        let project = self.project;
        let components = self.components();
        let named: Vec<&String> = match &mission.start {
            Start::Soaked(soaked) => soaked.warmer.iter().map(|part| &part.component).collect(),
            Start::Stated(stated) => stated.parts.iter().map(|part| &part.component).collect(),
            _ => Vec::new(),
        };
        for component in named {
            self.refers(format!("{path}.start"), component, "component", &components);
        }
        let missions: Vec<&str> = project.missions.iter().map(|m| m.name.as_str()).collect();
        let mut visited = vec![mission.name.as_str()];
        let mut next = mission;
        while let Start::After(before) = &next.start {
            if std::ptr::eq(next, mission) {
                self.refers(format!("{path}.start"), before, "mission", &missions);
            }
            if visited.contains(&before.as_str()) {
                self.error(
                    format!("{path}.start"),
                    format!(
                        "the mission begins with its own end: {} after {before}",
                        visited.join(" after ")
                    ),
                    "let one of them begin with known temperatures, or repeat them in `chains`",
                );
                break;
            }
            let Some(found) = project.missions.iter().find(|m| m.name.as_str() == before) else { break };
            visited.push(before);
            next = found;
        }
    }

    /// Names in a list of segments.
    pub fn segments(&mut self, segments: &[Segment], path: &str) {
        let project = self.project;
        let points: Vec<&str> = project.points.iter().map(|p| p.name.as_str()).collect();
        let heats: Vec<&str> = project.heats.iter().map(|h| h.name.as_str()).collect();
        let machines = self.machines();
        let motors = || project.powertrain.iter().flat_map(|powertrain| &powertrain.motors);
        let ratings: Vec<&str> =
            motors().flat_map(|m| &m.ratings).map(|rating| rating.name.as_str()).collect();
        for segment in segments {
            let path = format!("{path}.{}", segment.name.as_str());
            if let Some(point) = &segment.point {
                self.refers(format!("{path}.point"), point, "point", &points);
            }
            if let Some(rating) = &segment.rating {
                self.refers(format!("{path}.rating"), rating, "rating of a motor", &ratings);
            }
            for heat in &segment.heats {
                let name = heat.name.as_str();
                self.refers(format!("{path}.heats.{name}"), name, "heat source", &heats);
            }
            for setting in &segment.settings {
                let name = setting.name.as_str();
                self.refers(format!("{path}.settings.{name}"), name, "pump or fan", &machines);
            }
            self.recirculations(&path, &segment.recirculations);
            if let Some(Until::CooledTo(part) | Until::WarmedTo(part)) = &segment.until {
                let components = self.components();
                self.refers(format!("{path}.until"), &part.component, "component", &components);
            }
        }
    }

    /// Tells a problem unless it has been told.
    pub fn once(&mut self, problem: Problem) {
        if !self.problems.iter().any(|known| known.path == problem.path && known.message == problem.message) {
            self.problems.push(problem);
        }
    }
}
