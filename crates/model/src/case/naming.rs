//! Names for the numbers of the solver.

use crate::assembly::{CircuitPart, Parts, Situation};
use crate::case_name::CaseName;
use solver::{Booked, CircuitId, Unknown};

pub(super) struct Naming<'a> {
    pub(super) situation: &'a Situation<'a>,
    pub(super) parts: &'a Parts,
    /// Names of the devices by element.
    pub(super) devices: Vec<&'a str>,
}

impl<'a> Naming<'a> {
    pub(super) fn new(situation: &'a Situation<'a>, parts: &'a Parts) -> Self {
        let mut devices = Vec::new();
        for device in parts.loops.iter().chain(&parts.ducts).flat_map(CircuitPart::devices) {
            let index = device.element.index();
            if devices.len() <= index {
                devices.resize(index + 1, "a device");
            }
            devices[index] = device.name.as_str();
        }
        Self { situation, parts, devices }
    }

    pub(super) fn case(&self) -> CaseName {
        self.situation.name()
    }

    pub(super) fn circuits(&self) -> impl Iterator<Item = &CircuitPart> {
        self.parts.loops.iter().chain(&self.parts.ducts)
    }

    pub(super) fn place(&self, place: Unknown) -> String {
        match place {
            Unknown::Component(id) => self
                .parts
                .components
                .iter()
                .find(|(_, ids)| ids.contains(&id))
                .map_or_else(|| "a component".to_owned(), |(name, _)| name.clone()),
            Unknown::Element(id) => self.devices.get(id.index()).copied().unwrap_or("a device").to_owned(),
            Unknown::Junction(id) | Unknown::Flow(id) => self.circuit(id),
            Unknown::Electric => "electric drive".to_owned(),
        }
    }

    pub(super) fn circuit(&self, id: CircuitId) -> String {
        self.circuits().find(|c| c.id == id).map_or_else(|| "a circuit".to_owned(), |c| c.name.clone())
    }

    /// The component in which a heat is generated.
    pub(super) fn warmed(&self, what: Booked) -> Option<&'a str> {
        match what {
            Booked::Source(id) => {
                self.parts.sources.iter().find(|source| source.id == id).map(|source| source.into.as_str())
            }
            Booked::Electric(outlet) => {
                let into = self.parts.electric_outlets.get(outlet).map(|outlet| outlet.into.as_str());
                into.filter(|into| !into.is_empty())
            }
            _ => None,
        }
    }
}
