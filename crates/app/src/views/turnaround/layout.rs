//! Where the bars of the ways lie.

use super::data::{Phase, TurnaroundOption};

/// A piece of a bar: part of the width from the left, and lane within the row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// What is done.
    pub phase: Phase,
    /// Left end, 0 to 1 of the longest way.
    pub left: f32,
    /// Right end.
    pub right: f32,
    /// 0, or 1 for a phase that overlaps an earlier one.
    pub lane: usize,
}

/// The pieces of one way on a scale that ends with `longest_s`.
pub fn bars(option: &TurnaroundOption, longest_s: f64) -> Vec<Bar> {
    let mut ends = [f64::NEG_INFINITY; 2];
    let part = |time: f64| (time / longest_s.max(1e-9)).clamp(0.0, 1.0) as f32;
    let mut placed = Vec::new();
    for span in option.phases.iter().filter(|span| span.to_s > span.from_s) {
        let lane = usize::from(span.from_s < ends[0] - 1e-6);
        ends[lane] = ends[lane].max(span.to_s);
        placed.push(Bar { phase: span.phase, left: part(span.from_s), right: part(span.to_s), lane });
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::super::data::PhaseSpan;
    use super::*;

    #[test]
    fn overlapping_phases_get_a_lane_of_their_own() {
        let span = |phase, from_s, to_s| PhaseSpan { phase, from_s, to_s };
        let phases = vec![
            span(Phase::Taxi, 0.0, 100.0),
            span(Phase::Cool, 100.0, 900.0),
            span(Phase::Charge, 500.0, 1000.0),
            span(Phase::Soak, 1000.0, 1000.0),
        ];
        let option = TurnaroundOption { phases, ..TurnaroundOption::default() };
        let bars = bars(&option, 1000.0);
        assert_eq!(bars.iter().map(|bar| bar.lane).collect::<Vec<_>>(), [0, 0, 1]);
        assert_eq!((bars[1].left, bars[1].right, bars.len()), (0.1, 0.9, 3));
    }
}
