//! Times of a mission: text, round steps, and which part of the time is in view.

/// Round times between two, about as many as asked for.
pub fn clock_ticks(from_s: f64, to_s: f64, about: usize) -> Vec<f64> {
    const STEPS: [f64; 16] = [
        1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0, 7200.0, 14400.0,
        43200.0,
    ];
    let raw = (to_s - from_s) / about.max(1) as f64;
    if !(raw > 0.0 && raw.is_finite()) {
        return Vec::new();
    }
    let step = STEPS.into_iter().find(|step| *step >= raw).unwrap_or(86400.0 * (raw / 86400.0).ceil());
    let (first, last) = ((from_s / step).ceil() as i64, (to_s / step).floor() as i64);
    (first..=last).map(|i| i as f64 * step).collect()
}

/// What of a mission the figures are asked to show.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum ShownTime {
    /// The flight, up to the soak that ends the mission: the soak is mostly much longer and would leave it a few points.
    #[default]
    Flight,
    /// All of it.
    Whole,
    /// From one moment to another, in seconds.
    Part(f64, f64),
}

/// The part of a mission that the figures show, and the moment that every page shows.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TimeView {
    /// The end of the mission; it begins at zero.
    pub end_s: f64,
    /// What is in view; nothing for all of it.
    pub part_s: Option<(f64, f64)>,
    /// The moment.
    pub cursor_s: f64,
}

/// The shortest part that can be looked at.
const SHORTEST_S: f64 = 2.0;

impl TimeView {
    /// What is in view.
    pub fn range(&self) -> (f64, f64) {
        let end = if self.end_s > 0.0 { self.end_s } else { 1.0 };
        self.part_s.unwrap_or((0.0, end))
    }

    /// A part moved and cut so that it lies in the mission; nothing when it is all of it.
    pub fn fitted(&self, (from, to): (f64, f64)) -> Option<(f64, f64)> {
        let length = (to - from).max(SHORTEST_S);
        if !(length.is_finite() && from.is_finite()) || length >= self.end_s {
            return None;
        }
        let from = from.clamp(0.0, self.end_s - length);
        Some((from, from + length))
    }

    /// The part that is seen after zooming by a factor above one (nearer) or below one (farther) around a moment.
    pub fn zoomed(&self, factor: f64, around_s: f64) -> Option<(f64, f64)> {
        let (from, to) = self.range();
        self.fitted((around_s - (around_s - from) / factor, around_s + (to - around_s) / factor))
    }

    /// The part that is seen after moving by some seconds.
    pub fn moved(&self, by_s: f64) -> Option<(f64, f64)> {
        let (from, to) = self.range();
        self.fitted((from + by_s, to + by_s))
    }

    /// The moment held inside the mission.
    pub fn held(&self, time_s: f64) -> f64 {
        if time_s.is_finite() { time_s.clamp(0.0, self.end_s.max(0.0)) } else { 0.0 }
    }
}

/// The value of a curve at an abscissa, straight between its points; nothing outside them.
pub fn value_at(points: &[[f64; 2]], x: f64) -> Option<f64> {
    let after = points.partition_point(|point| point[0] < x);
    let next = points.get(after)?;
    if next[0] == x {
        // A step is two points at one moment: its value is the later one.
        return points[after..].iter().take_while(|point| point[0] == x).last().map(|point| point[1]);
    }
    let before = points.get(after.checked_sub(1)?)?;
    Some(before[1] + (next[1] - before[1]) * (x - before[0]) / (next[0] - before[0]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_times() {
        assert_eq!(clock_ticks(0.0, 3240.0, 6), [0.0, 600.0, 1200.0, 1800.0, 2400.0, 3000.0]);
        assert_eq!(clock_ticks(95.0, 131.0, 3), [105.0, 120.0]);
        assert!(clock_ticks(5.0, 5.0, 4).is_empty());
    }

    #[test]
    fn a_part_stays_in_the_mission() {
        let view = TimeView { end_s: 100.0, part_s: None, cursor_s: 0.0 };
        assert_eq!(view.zoomed(2.0, 50.0), Some((25.0, 75.0)));
        assert_eq!(view.zoomed(2.0, 0.0), Some((0.0, 50.0)));
        assert_eq!(view.zoomed(0.5, 50.0), None, "all of it is no part");
        let near = TimeView { part_s: Some((25.0, 75.0)), ..view };
        assert_eq!(near.moved(100.0), Some((50.0, 100.0)));
        assert_eq!(near.moved(-100.0), Some((0.0, 50.0)));
        assert_eq!((view.held(f64::NAN), view.held(500.0)), (0.0, 100.0));
    }

    #[test]
    fn curves_are_straight_between_their_points_and_steps_have_their_later_value() {
        let points = [[0.0, 1.0], [10.0, 3.0], [10.0, 7.0], [20.0, 7.0]];
        let values = [0.0, 5.0, 10.0, 15.0, 20.0].map(|x| value_at(&points, x));
        assert_eq!(values, [Some(1.0), Some(2.0), Some(7.0), Some(7.0), Some(7.0)]);
        assert_eq!(
            (value_at(&points, -1.0), value_at(&points, 21.0), value_at(&[], 0.0)),
            (None, None, None)
        );
    }
}
