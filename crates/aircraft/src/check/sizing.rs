//! What may be chosen when loops are sized.

use super::Check;
use crate::records::device::devices;
use crate::records::device::{Device, Loop};
use crate::records::sizing::{LengthRange, Sizing};

/// Names of the cores of a loop.
pub fn cores_of(circuit: &Loop) -> Vec<&str> {
    let is_core = |device: &&Device| matches!(device, Device::Core(_));
    devices(&circuit.path).into_iter().filter(is_core).map(Device::name).collect()
}

impl Check<'_> {
    pub(super) fn sizings(&mut self) {
        let project = self.project;
        let loops: Vec<&str> = project.loops.iter().map(|l| l.name.as_str()).collect();
        let mut seen: Vec<&str> = Vec::new();
        for sizing in &project.sizings {
            let path = format!("sizings.{}", sizing.name.as_str());
            if seen.contains(&sizing.name.as_str()) {
                self.error(path.clone(), "another sizing has this name", "give each a name of its own");
            }
            seen.push(sizing.name.as_str());
            self.refers(format!("{path}.circuit"), &sizing.circuit, "loop", &loops);
            if let Some(circuit) = project.loops.iter().find(|l| l.name.as_str() == sizing.circuit) {
                self.core_of_sizing(sizing, circuit, &path);
            }
            self.cases_of_sizing(sizing, &path);
            for (field, range) in
                [("width", &sizing.width), ("height", &sizing.height), ("depth", &sizing.depth)]
            {
                self.range(range.as_ref(), &format!("{path}.{field}"));
            }
            self.candidate_names(sizing, &path);
        }
    }

    fn core_of_sizing(&mut self, sizing: &Sizing, circuit: &Loop, path: &str) {
        let cores = cores_of(circuit);
        match &sizing.core {
            Some(core) => self.refers(format!("{path}.core"), core, "core of this loop", &cores),
            None if cores.len() == 1 => {}
            None => self.error(
                format!("{path}.core"),
                format!("loop {:?} has {} cores", sizing.circuit, cores.len()),
                "name the core that is sized",
            ),
        }
    }

    fn cases_of_sizing(&mut self, sizing: &Sizing, path: &str) {
        let project = self.project;
        for case in &sizing.cases {
            let parts: Vec<&str> = case.split('/').collect();
            let is_known = project.cases.iter().any(|group| {
                let has = |names: &[String], name: &str| names.iter().any(|n| n == name);
                let (Some(condition), Some(point)) = (parts.first(), parts.get(1)) else { return false };
                has(&group.conditions, condition)
                    && (has(&group.points, point) || has(&group.missions, point))
                    && parts.get(2).is_none_or(|failure| has(&group.failures, failure))
                    && parts.len() <= 3
            });
            if !is_known {
                self.error(
                    format!("{path}.cases.{case}"),
                    format!("no case is called {case:?}"),
                    "write condition/point, condition/mission or either with /failure, from one group of cases",
                );
            }
        }
    }

    fn range(&mut self, range: Option<&LengthRange>, path: &str) {
        if let Some(range) = range.filter(|range| range.least.si() > range.most.si()) {
            self.error(
                format!("{path}.most"),
                format!("from {} to {} leaves nothing to choose", range.least, range.most),
                "let the greatest not be below the least",
            );
        }
    }

    fn candidate_names(&mut self, sizing: &Sizing, path: &str) {
        let cores: Vec<&str> = sizing.cores.iter().map(|core| core.name.as_str()).collect();
        let machines = |list: &[crate::records::device::Machine]| -> Vec<String> {
            list.iter().map(|machine| machine.name.as_str().to_owned()).collect()
        };
        let lists = [
            ("cores", cores.iter().map(|name| (*name).to_owned()).collect()),
            ("pumps", machines(&sizing.pumps)),
            ("fans", machines(&sizing.fans)),
        ];
        for (list, names) in lists {
            for (index, name) in names.iter().enumerate() {
                if names[..index].contains(name) {
                    self.error(
                        format!("{path}.{list}.{name}"),
                        "another choice has this name",
                        "give each a name of its own",
                    );
                }
            }
        }
    }
}
