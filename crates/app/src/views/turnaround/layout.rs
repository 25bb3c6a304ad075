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
    /// How long it takes.
    pub lasts_s: f64,
    /// Whether it goes on beyond the end of the scale.
    pub goes_on: bool,
}

/// The pieces of one way on a scale that ends with `longest_s`.
pub fn bars(option: &TurnaroundOption, longest_s: f64) -> Vec<Bar> {
    let mut ends = [f64::NEG_INFINITY; 2];
    let part = |time: f64| (time / longest_s.max(1e-9)).clamp(0.0, 1.0) as f32;
    let mut placed = Vec::new();
    for span in option.phases.iter().filter(|span| span.to_s > span.from_s) {
        let lane = usize::from(span.from_s < ends[0] - 1e-6);
        ends[lane] = ends[lane].max(span.to_s);
        if span.from_s >= longest_s {
            continue;
        }
        placed.push(Bar {
            phase: span.phase,
            left: part(span.from_s),
            right: part(span.to_s),
            lane,
            lasts_s: span.to_s - span.from_s,
            goes_on: span.to_s > longest_s * (1.0 + 1e-9),
        });
    }
    placed
}

/// The end of the scale: somewhat beyond the slowest way that gets ready, so that one that never does hides nothing.
pub fn longest_s(options: &[TurnaroundOption]) -> f64 {
    let slowest = options.iter().filter_map(|option| option.ready_s).fold(0.0, f64::max);
    let end =
        options.iter().flat_map(|option| option.phases.iter().map(|span| span.to_s)).fold(1.0, f64::max);
    if slowest > 0.0 { end.min(1.15 * slowest) } else { end }
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
        assert_eq!((bars[2].lasts_s, bars[2].goes_on), (500.0, false));
    }

    #[test]
    fn a_way_that_never_gets_ready_does_not_set_the_scale() {
        let span = |to_s| vec![PhaseSpan { phase: Phase::Cool, from_s: 0.0, to_s }];
        let quick =
            TurnaroundOption { phases: span(600.0), ready_s: Some(600.0), ..TurnaroundOption::default() };
        let never = TurnaroundOption { phases: span(60_000.0), ..TurnaroundOption::default() };
        let end = longest_s(&[quick.clone(), never.clone()]);
        assert!((end - 690.0).abs() < 1e-9);
        assert!(bars(&never, end)[0].goes_on && !bars(&quick, end)[0].goes_on);
        assert_eq!(longest_s(&[never]), 60_000.0);
    }
}
