//! A state with the names of the aircraft: components and the lines of the ledger.

use super::naming::Naming;
use crate::assembly::Outside;
use crate::result::{ComponentResult, LedgerLine};
use aircraft::records::component::Component;
use aircraft::records::surroundings::OUTSIDE_AIR;
use solver::{Booked, Reading, Unknown};

pub(super) struct Named<'a> {
    pub(super) naming: Naming<'a>,
    pub(super) reading: Reading<'a>,
    pub(super) outside: Outside,
    /// Rise of the hot spot of each component, K; empty if it follows the heat at once.
    pub(super) rises_k: &'a [f64],
}

impl Named<'_> {
    pub(super) fn lines(&self) -> Vec<LedgerLine> {
        let mut lines: Vec<LedgerLine> = Vec::new();
        for booking in self.reading.bookings() {
            let what = self.booked(booking.what);
            let into = self.naming.warmed(booking.what);
            let is_rejection = booking.what.is_rejection();
            // parts of one thing make one line
            let is_same = |line: &LedgerLine| {
                line.what == what && line.into.as_deref() == into && line.is_rejection == is_rejection
            };
            match lines.iter_mut().find(|line| is_same(line)) {
                Some(line) => line.heat_w += booking.heat_w,
                None => lines.push(LedgerLine {
                    what,
                    into: into.map(str::to_owned),
                    heat_w: booking.heat_w,
                    is_rejection,
                }),
            }
        }
        lines
    }

    /// Name of a booking.
    fn booked(&self, what: Booked) -> String {
        let parts = self.naming.parts;
        match what {
            Booked::Source(id) => {
                let source = parts.sources.iter().find(|source| source.id == id);
                source.map(|source| source.name.clone()).unwrap_or_default()
            }
            Booked::Electric(outlet) => parts.electric_outlets[outlet].name.clone(),
            Booked::Given(outlet) => format!("{} to {OUTSIDE_AIR}", parts.electric_outlets[outlet].name),
            Booked::Element(id) => self.naming.place(Unknown::Element(id)),
            Booked::Ram(id) => format!("ram air of {}", self.naming.circuit(id)),
            Booked::Link(id) => named(&parts.links, id),
            Booked::Wall(id) => format!("{} to {OUTSIDE_AIR}", self.naming.place(Unknown::Element(id))),
            Booked::Casing(id) => format!("casing of {}", self.naming.place(Unknown::Element(id))),
            Booked::Exhaust(id) => format!("exhaust of {}", self.naming.circuit(id)),
        }
    }

    pub(super) fn components(&self, heats_w: &[f64]) -> Vec<ComponentResult> {
        let project = self.naming.situation.project;
        project
            .components
            .iter()
            .zip(&self.naming.parts.components)
            .zip(heats_w)
            .enumerate()
            .map(|(index, ((spec, (name, ids)), &heat_w))| {
                let segments_k: Vec<f64> = ids.iter().map(|&id| self.reading.component_k(id)).collect();
                let hottest = segments_k.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                let rise = self.rises_k.get(index).copied();
                let rise = rise.unwrap_or_else(|| hot_spot_rise_k(spec, heat_w));
                ComponentResult { name: name.clone(), segments_k, hot_spot_k: hottest + rise, heat_w }
            })
            .collect()
    }

    /// Heat generated in each component, W.
    pub(super) fn component_heats(&self) -> Vec<f64> {
        let components = &self.naming.situation.project.components;
        let mut heats_w = vec![0.0; components.len()];
        for booking in self.reading.bookings() {
            let Some(into) = self.naming.warmed(booking.what) else { continue };
            if let Some(index) = components.iter().position(|component| component.name.as_str() == into) {
                heats_w[index] += booking.heat_w;
            }
        }
        heats_w
    }
}

/// Rise of the hot spot of a component in which a heat is generated for long, K.
pub(super) fn hot_spot_rise_k(component: &Component, heat_w: f64) -> f64 {
    component.hot_spot.as_ref().map_or(0.0, |spot| spot.per_heat.si() * heat_w)
}

fn named<I: PartialEq + Copy>(names: &[(String, I)], id: I) -> String {
    names.iter().find(|(_, known)| *known == id).map_or_else(String::new, |(name, _)| name.clone())
}
