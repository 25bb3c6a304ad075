//! Cores and exchangers: each in two circuits.

use super::{Check, has};
use crate::records::core::AirResistance;
use crate::records::device::{Device, FlowResistance, devices};

impl Check<'_> {
    pub(super) fn cores(&mut self) {
        let project = self.project;
        let in_loops = |name: &str| {
            project
                .loops
                .iter()
                .filter(|l| has(&l.path, |d| matches!(d, Device::Core(c) if c.name.as_str() == name)))
                .count()
        };
        let in_ducts = |name: &str| {
            project
                .ducts
                .iter()
                .filter(|l| has(&l.path, |d| matches!(d, Device::Core(c) if c.name.as_str() == name)))
                .count()
        };
        for core in &project.cores {
            let name = core.name.as_str();
            let path = format!("cores.{name}");
            let (loops, ducts) = (in_loops(name), in_ducts(name));
            if ducts != 1 {
                let message =
                    if ducts == 0 { "has no duct".to_owned() } else { format!("stands in {ducts} ducts") };
                self.error(
                    &*path,
                    format!("the core {name:?} {message}"),
                    "put Core(..) into the path of exactly one duct",
                );
            }
            if loops != 1 {
                let message =
                    if loops == 0 { "has no loop".to_owned() } else { format!("stands in {loops} loops") };
                self.error(
                    &*path,
                    format!("the core {name:?} {message}"),
                    "put Core(..) into the path of exactly one loop",
                );
            }
            let built = matches!(
                core.transfer,
                crate::records::core::Transfer::Louvered(_) | crate::records::core::Transfer::OffsetStrip(_)
            );
            if matches!(core.air_flow, AirResistance::OfFins) && !built {
                self.error(
                    format!("{path}.air_flow"),
                    "OfFins needs a core given by its fins",
                    "state the air-side loss by Point(..) or Face(..)",
                );
            }
            let has_film = built || matches!(core.transfer, crate::records::core::Transfer::Sides(_));
            if matches!(core.liquid_flow, FlowResistance::OfFilm) && !has_film {
                self.error(
                    format!("{path}.liquid_flow"),
                    "OfFilm needs a core given by its dimensions",
                    "state the liquid-side loss by Point(..), Table(..) or Loss(..)",
                );
            }
        }
        let cores: Vec<&str> = project.cores.iter().map(|c| c.name.as_str()).collect();
        let paths = (project.loops.iter().map(|l| (format!("loops.{}.path", l.name.as_str()), &l.path)))
            .chain(project.ducts.iter().map(|d| (format!("ducts.{}.path", d.name.as_str()), &d.path)));
        for (path, inside) in paths {
            for device in devices(inside) {
                if let Device::Core(core) = device {
                    self.refers(format!("{path}.{}", device.name()), core.name.as_str(), "core", &cores);
                }
            }
        }
        let loops: Vec<&str> = project.loops.iter().map(|l| l.name.as_str()).collect();
        for exchanger in &project.exchangers {
            let path = format!("exchangers.{}", exchanger.name.as_str());
            for (field, wanted) in [("first", &exchanger.first), ("second", &exchanger.second)] {
                self.refers(format!("{path}.{field}"), wanted, "loop", &loops);
                let stands =
                    project.loops.iter().filter(|l| l.name.as_str() == wanted).any(|l| {
                        has(&l.path, |d| matches!(d, Device::Exchanger(e) if e.name == exchanger.name))
                    });
                if !stands && loops.contains(&wanted.as_str()) {
                    self.error(
                        format!("{path}.{field}"),
                        format!("the loop {wanted:?} does not pass through it"),
                        "put Exchanger(..) into the path of both loops",
                    );
                }
            }
        }
    }
}
