//! Cores and exchangers: each in two circuits.

use super::{Check, has};
use crate::records::core::{AirResistance, Core, Exchanger, Transfer};
use crate::records::device::{Device, FlowResistance, devices};

impl Check<'_> {
    pub(super) fn cores(&mut self) {
        for core in &self.project.cores {
            self.core(core);
        }
        self.core_devices();
        for exchanger in &self.project.exchangers {
            self.exchanger(exchanger);
        }
    }

    /// A core is in one loop and one duct, and takes losses from dimensions only if it has them.
    fn core(&mut self, core: &Core) {
        let project = self.project;
        let name = core.name.as_str();
        let path = format!("cores.{name}");
        let is_here = |d: &Device| matches!(d, Device::Core(c) if c.name.as_str() == name);
        let ducts = project.ducts.iter().filter(|duct| has(&duct.path, is_here)).count();
        let loops = project.loops.iter().filter(|circuit| has(&circuit.path, is_here)).count();
        for (what, count) in [("duct", ducts), ("loop", loops)] {
            if count != 1 {
                let message =
                    if count == 0 { format!("has no {what}") } else { format!("stands in {count} {what}s") };
                self.error(
                    &*path,
                    format!("the core {name:?} {message}"),
                    format!("put Core(..) into the path of exactly one {what}"),
                );
            }
        }
        let built = matches!(core.transfer, Transfer::Louvered(_) | Transfer::OffsetStrip(_));
        if matches!(core.air_flow, AirResistance::OfFins) && !built {
            self.error(
                format!("{path}.air_flow"),
                "OfFins needs a core given by its fins",
                "state the air-side loss by Point(..) or Face(..)",
            );
        }
        let has_film = built || matches!(core.transfer, Transfer::Sides(_));
        if matches!(core.liquid_flow, FlowResistance::OfFilm) && !has_film {
            self.error(
                format!("{path}.liquid_flow"),
                "OfFilm needs a core given by its dimensions",
                "state the liquid-side loss by Point(..), Table(..) or Loss(..)",
            );
        }
    }

    /// Every core that a path names is in the list of cores.
    fn core_devices(&mut self) {
        let project = self.project;
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
    }

    /// An exchanger is in both loops that it names.
    fn exchanger(&mut self, exchanger: &Exchanger) {
        let project = self.project;
        let path = format!("exchangers.{}", exchanger.name.as_str());
        let loops: Vec<&str> = project.loops.iter().map(|l| l.name.as_str()).collect();
        let is_here = |d: &Device| matches!(d, Device::Exchanger(e) if e.name == exchanger.name);
        for (field, wanted) in [("first", &exchanger.first), ("second", &exchanger.second)] {
            self.refers(format!("{path}.{field}"), wanted, "loop", &loops);
            let mut named = project.loops.iter().filter(|l| l.name.as_str() == wanted);
            if loops.contains(&wanted.as_str()) && !named.any(|l| has(&l.path, is_here)) {
                self.error(
                    format!("{path}.{field}"),
                    format!("the loop {wanted:?} does not pass through it"),
                    "put Exchanger(..) into the path of both loops",
                );
            }
        }
    }
}
