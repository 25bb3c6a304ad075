//! A network between two others of the same layout: what changes along a ramp of power, altitude or speed.

use crate::circuit::{Circuit, Ends};
use crate::electric::Electric;
use crate::flow_law::FlowLaw;
use crate::fluid::Fluid;
use crate::link::LinkLaw;
use crate::mix::mix;
use crate::network::Network;
use crate::signal::Signal;

/// Numbers that differ between the two ends of a stretch of time.
#[derive(Clone, Debug, Default)]
pub(crate) struct Changes {
    links: Vec<usize>,
    elements: Vec<usize>,
    circuits: Vec<usize>,
    sources: Vec<usize>,
    boundaries: bool,
    electric: bool,
}

impl Changes {
    /// Finds what differs.
    pub(crate) fn between(from: &Network, to: &Network) -> Self {
        let differing =
            |count: usize, differs: &dyn Fn(usize) -> bool| (0..count).filter(|&i| differs(i)).collect();
        Self {
            links: differing(from.links.len(), &|i| from.links[i].0 != to.links[i].0),
            elements: differing(from.elements.len(), &|i| {
                let (a, b) = (&from.elements[i], &to.elements[i]);
                a.law != b.law
                    || a.signal != b.signal
                    || a.cells.iter().zip(&b.cells).any(|(a, b)| a.heat_w != b.heat_w)
            }),
            circuits: differing(from.circuits.len(), &|i| {
                from.circuits[i].ends != to.circuits[i].ends
                    || air_pressure(&from.circuits[i].fluid) != air_pressure(&to.circuits[i].fluid)
            }),
            sources: differing(from.sources.len(), &|i| from.sources[i].0 != to.sources[i].0),
            boundaries: from.boundaries != to.boundaries,
            electric: match (&from.electric, &to.electric) {
                (Some(a), Some(b)) => a.differs(b),
                _ => false,
            },
        }
    }

    /// Whether nothing differs.
    pub(crate) fn is_empty(&self) -> bool {
        self.links.is_empty()
            && self.elements.is_empty()
            && self.circuits.is_empty()
            && self.sources.is_empty()
            && !self.boundaries
            && !self.electric
    }
}

fn air_pressure(fluid: &Fluid) -> Option<f64> {
    match fluid {
        Fluid::Air { pressure_pa } => Some(*pressure_pa),
        Fluid::Liquid(_) => None,
    }
}

impl Network {
    /// Whether the unknowns of another network mean the same as those of this one.
    pub fn has_layout_of(&self, other: &Self) -> bool {
        self.unknowns == other.unknowns
            && self.temperatures == other.temperatures
            && self.boundaries.len() == other.boundaries.len()
            && self.links.len() == other.links.len()
            && self.sources.len() == other.sources.len()
            && self.elements.len() == other.elements.len()
            && self.elements.iter().zip(&other.elements).all(|(a, b)| a.cells.len() == b.cells.len())
            && self.circuits.len() == other.circuits.len()
            && self.exchangers.len() == other.exchangers.len()
            && self.electric.is_some() == other.electric.is_some()
    }

    /// Sets every changing number to its value at a share of the way, and the boundaries in the state with them.
    pub(crate) fn blend(&mut self, changes: &Changes, from: &Self, to: &Self, share: f64, state: &mut [f64]) {
        for &i in &changes.links {
            blend_link(&mut self.links[i].0, &from.links[i].0, &to.links[i].0, share);
        }
        for &i in &changes.elements {
            let (element, a, b) = (&mut self.elements[i], &from.elements[i], &to.elements[i]);
            blend_flow(&mut element.law, &a.law, &b.law, share);
            if let (Signal::Fixed(value), Signal::Fixed(a), Signal::Fixed(b)) =
                (&mut element.signal, a.signal, b.signal)
            {
                mix(value, a, b, share);
            }
            for ((cell, a), b) in element.cells.iter_mut().zip(&a.cells).zip(&b.cells) {
                mix(&mut cell.heat_w, a.heat_w, b.heat_w, share);
            }
        }
        for &i in &changes.circuits {
            blend_circuit(&mut self.circuits[i], &from.circuits[i], &to.circuits[i], share);
        }
        for &i in &changes.sources {
            let (source, a, b) = (&mut self.sources[i].0, &from.sources[i].0, &to.sources[i].0);
            mix(&mut source.heat_w, a.heat_w, b.heat_w, share);
            mix(&mut source.slope_1_k, a.slope_1_k, b.slope_1_k, share);
        }
        if changes.boundaries {
            for (i, value) in self.boundaries.iter_mut().enumerate() {
                mix(value, from.boundaries[i], to.boundaries[i], share);
                state[self.unknowns + i] = *value;
            }
        }
        if let (true, Some(electric), Some(a), Some(b)) =
            (changes.electric, &mut self.electric, &from.electric, &to.electric)
        {
            Electric::blend(electric, a, b, share);
        }
    }
}

fn blend_circuit(circuit: &mut Circuit, from: &Circuit, to: &Circuit, share: f64) {
    if let (Fluid::Air { pressure_pa }, Some(a), Some(b)) =
        (&mut circuit.fluid, air_pressure(&from.fluid), air_pressure(&to.fluid))
    {
        mix(pressure_pa, a, b, share);
    }
    if let (
        Ends::Open { recirculation, ram_heat_j_kg, .. },
        Ends::Open { recirculation: r0, ram_heat_j_kg: h0, .. },
        Ends::Open { recirculation: r1, ram_heat_j_kg: h1, .. },
    ) = (&mut circuit.ends, from.ends, to.ends)
    {
        mix(recirculation, r0, r1, share);
        mix(ram_heat_j_kg, h0, h1, share);
    }
}

/// Laws of different kinds cannot be mixed: the first holds.
fn blend_link(law: &mut LinkLaw, from: &LinkLaw, to: &LinkLaw, share: f64) {
    use LinkLaw as L;
    match (law, from, to) {
        (
            L::Conductance { conductance_w_k: x },
            L::Conductance { conductance_w_k: a },
            L::Conductance { conductance_w_k: b },
        )
        | (L::Vent { mass_flow_kg_s: x }, L::Vent { mass_flow_kg_s: a }, L::Vent { mass_flow_kg_s: b })
        | (
            L::StillAir { pressure_pa: x, .. },
            L::StillAir { pressure_pa: a, .. },
            L::StillAir { pressure_pa: b, .. },
        ) => {
            mix(x, *a, *b, share);
        }
        (
            L::Limited { conductance_w_k: g, ceiling_w: q },
            L::Limited { conductance_w_k: g0, ceiling_w: q0 },
            L::Limited { conductance_w_k: g1, ceiling_w: q1 },
        ) => {
            mix(g, *g0, *g1, share);
            mix(q, *q0, *q1, share);
        }
        (
            L::MovingAir { speed_m_s: v, pressure_pa: p, .. },
            L::MovingAir { speed_m_s: v0, pressure_pa: p0, .. },
            L::MovingAir { speed_m_s: v1, pressure_pa: p1, .. },
        )
        | (
            L::RotatingGap { speed_rad_s: v, pressure_pa: p, .. },
            L::RotatingGap { speed_rad_s: v0, pressure_pa: p0, .. },
            L::RotatingGap { speed_rad_s: v1, pressure_pa: p1, .. },
        )
        | (
            L::RotatingCylinder { speed_rad_s: v, pressure_pa: p, .. },
            L::RotatingCylinder { speed_rad_s: v0, pressure_pa: p0, .. },
            L::RotatingCylinder { speed_rad_s: v1, pressure_pa: p1, .. },
        ) => {
            mix(v, *v0, *v1, share);
            mix(p, *p0, *p1, share);
        }
        _ => {}
    }
}

/// Laws of different kinds cannot be mixed: the first holds.
fn blend_flow(law: &mut FlowLaw, from: &FlowLaw, to: &FlowLaw, share: f64) {
    use FlowLaw as L;
    match (law, from, to) {
        (L::Rise { rise_pa: x }, L::Rise { rise_pa: a }, L::Rise { rise_pa: b })
        | (L::Loss { coefficient: x, .. }, L::Loss { coefficient: a, .. }, L::Loss { coefficient: b, .. }) => {
            mix(x, *a, *b, share);
        }
        (L::Series(laws), L::Series(a), L::Series(b)) => {
            for ((law, a), b) in laws.iter_mut().zip(a).zip(b) {
                blend_flow(law, a, b, share);
            }
        }
        (L::Scaled { factor, law }, L::Scaled { factor: f0, law: a }, L::Scaled { factor: f1, law: b }) => {
            mix(factor, *f0, *f1, share);
            blend_flow(law, a, b, share);
        }
        _ => {}
    }
}
