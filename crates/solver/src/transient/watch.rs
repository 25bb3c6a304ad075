//! Thresholds that end a step: switches, watches, what happens to a charge, ends of models.

use super::dense::dense_value;
use super::step::Course;
use super::switches::Switch;
use crate::ids::Node;
use powertrain::charge::ChargeState;

/// What a watch looks at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Watched {
    /// A temperature, K.
    Temperature(Node),
    /// State of charge of the pack, 0 to 1.
    StateOfCharge,
    /// Bus current, A; negative while charging.
    BusCurrent,
}

/// Which way a threshold is crossed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// From below.
    Rising,
    /// From above.
    Falling,
}

/// Ends a stretch where a value crosses a threshold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Watch {
    /// Value.
    pub of: Watched,
    /// Threshold, K, 0 to 1, or A.
    pub threshold: f64,
    /// Way.
    pub direction: Direction,
}

/// An accepted step with its dense output.
pub(crate) struct Scene<'a, 'b> {
    pub(crate) course: &'a Course<'b>,
    pub(crate) before: &'a [f64],
    pub(crate) after: &'a [f64],
    pub(crate) dense: &'a [Vec<f64>; 2],
}

/// What crossed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Found {
    Switch(usize),
    Watch(usize),
    Charge(ChargeState),
    /// The component of this unknown passes the end of its model.
    Ceiling(usize),
}

/// Interior points at which a step is looked at, so that a peak inside it is not missed.
const LOOKS: [f64; 4] = [0.25, 0.5, 0.75, 1.0];
/// Halvings that locate a crossing: 2^-40 of a step.
const HALVINGS: u32 = 40;

impl Scene<'_, '_> {
    /// Value of an unknown at a share of the step, as temperature if it is one.
    fn value(&self, unknown: usize, share: f64) -> f64 {
        let content = dense_value(self.before, self.after, self.dense, unknown, share);
        self.course.energy.temperature_of(self.course.network, unknown, content)
    }

    /// First share at which the sign of `value - threshold` becomes that of the direction.
    fn crossing(&self, unknown: usize, threshold: f64, direction: Direction) -> Option<f64> {
        if unknown >= self.before.len() {
            return None;
        }
        let sign = if direction == Direction::Rising { 1.0 } else { -1.0 };
        let beyond = |share: f64| sign * (self.value(unknown, share) - threshold);
        let mut low = 0.0;
        if beyond(0.0) >= 0.0 {
            // already beyond: it counts only after it came back
            low = LOOKS.into_iter().find(|&share| beyond(share) < 0.0)?;
        }
        first_share(low, |share| beyond(share) >= 0.0)
    }

    /// First share at which something happens to the charge that runs, with its state after it.
    fn charge_event(&self) -> Option<(f64, Found)> {
        let event = |share: f64| {
            let value = |unknown: usize| {
                if unknown < self.before.len() { self.value(unknown, share) } else { f64::NAN }
            };
            self.course.network.charge_event(value)
        };
        self.course.network.electric.as_ref()?.charger_piece()?;
        let share = first_share(0.0, |share| event(share).is_some())?;
        Some((share, Found::Charge(event(share)?)))
    }
}

/// First share above a start at which something holds, as seen at the looks and then halved between.
fn first_share(start: f64, holds: impl Fn(f64) -> bool) -> Option<f64> {
    let mut low = start;
    let mut high = None;
    for look in LOOKS.into_iter().filter(|look| *look > start) {
        if holds(look) {
            high = Some(look);
            break;
        }
        low = look;
    }
    let mut high = high?;
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if holds(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}

/// The first crossing in a step, as a share of it.
pub(crate) fn first_crossing(
    scene: &Scene<'_, '_>,
    switches: &[Switch],
    watches: &[Watch],
) -> Option<(f64, Found)> {
    let by_switch = switches.iter().enumerate().filter_map(|(number, switch)| {
        let (threshold, direction) =
            if switch.is_on { (switch.off_k, Direction::Falling) } else { (switch.on_k, Direction::Rising) };
        scene.crossing(switch.sensed, threshold, direction).map(|share| (share, Found::Switch(number)))
    });
    let network = &scene.course.network;
    let by_watch = watches.iter().enumerate().filter_map(|(number, watch)| {
        let unknown = match watch.of {
            Watched::Temperature(node) => network.unknown_of(node),
            Watched::StateOfCharge => network.electric.as_ref()?.charge(),
            Watched::BusCurrent => network.electric.as_ref()?.current(),
        };
        scene.crossing(unknown, watch.threshold, watch.direction).map(|share| (share, Found::Watch(number)))
    });
    let by_ceiling = network.components.iter().enumerate().filter_map(|(unknown, component)| {
        // a cheap look first: few steps end near there
        let is_beyond = scene.value(unknown, 1.0) >= component.ceiling_k;
        let share =
            if is_beyond { scene.crossing(unknown, component.ceiling_k, Direction::Rising) } else { None };
        share.map(|share| (share, Found::Ceiling(unknown)))
    });
    by_switch.chain(by_watch).chain(scene.charge_event()).chain(by_ceiling).min_by(|a, b| a.0.total_cmp(&b.0))
}
