//! Switches with hysteresis: pumps, fans and valves that a temperature turns on and off.

use crate::ids::ElementId;
use crate::network::Network;
use crate::signal::Signal;

/// A switch that changed its position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Switching {
    /// Element whose setting changed.
    pub element: ElementId,
    /// Time, s.
    pub time_s: f64,
    /// New position.
    pub is_on: bool,
}

/// A switch of an element.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Switch {
    pub(crate) element: usize,
    pub(crate) sensed: usize,
    pub(crate) on_k: f64,
    pub(crate) off_k: f64,
    pub(crate) at_on: f64,
    pub(crate) at_off: f64,
    pub(crate) is_on: bool,
}

/// The switches of a network.
pub(super) fn switches(network: &Network, is_on: &[bool]) -> Vec<Switch> {
    let elements = network.elements.iter().zip(&network.placed).enumerate();
    elements
        .filter_map(|(element, (spec, placed))| match spec.signal {
            Signal::Switched { on_k, off_k, at_on, at_off, .. } => Some(Switch {
                element,
                sensed: placed.sensed,
                on_k,
                off_k,
                at_on,
                at_off,
                is_on: is_on[element],
            }),
            _ => None,
        })
        .collect()
}

/// Sets the elements to the positions of their switches.
pub(super) fn apply(network: &mut Network, switches: &[Switch]) {
    for switch in switches {
        let value = if switch.is_on { switch.at_on } else { switch.at_off };
        network.elements[switch.element].signal = Signal::Fixed(value);
    }
}

impl Network {
    /// Whether any element has a switch.
    pub fn has_switches(&self) -> bool {
        self.elements.iter().any(|element| matches!(element.signal, Signal::Switched { .. }))
    }

    /// Elements whose switch would have to stand between on and off at a state: it hunts between the two.
    pub fn hunting_switches(&self, state: &[f64]) -> Vec<ElementId> {
        let elements = self.elements.iter().zip(&self.placed).enumerate();
        elements
            .filter(|(_, (element, placed))| match element.signal {
                Signal::Switched { on_k, off_k, .. } => {
                    let sensed = state[placed.sensed];
                    off_k < sensed && sensed < on_k
                }
                _ => false,
            })
            .map(|(index, _)| ElementId(index))
            .collect()
    }

    /// Sets every switch to a position.
    pub fn fix_switches(&mut self, positions: &[bool]) {
        let switches = switches(self, positions);
        apply(self, &switches);
    }
}
