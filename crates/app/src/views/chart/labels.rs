//! Where the names of limits stand: at their line, inside the frame, crossed by no other line.

use egui::{Pos2, Rect, Vec2, pos2};

/// A line across the frame that wants its name beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wish {
    /// Height of the line on screen.
    pub(super) y: f32,
    /// Whether what is forbidden lies below.
    pub(super) is_minimum: bool,
    /// Size of the name.
    pub(super) size: Vec2,
}

/// Distance of a name from its line and from the edge of the frame.
const GAP: f32 = 1.0;
const EDGE: f32 = 4.0;
/// Places that are tried along a line, from the right to the left.
const TRIED: usize = 12;

/// A place for each name; none where every one would be crossed by a curve, another limit, or another name.
pub(super) fn places(frame: Rect, wishes: &[Wish], curves: &[Vec<Pos2>]) -> Vec<Option<Rect>> {
    let mut taken: Vec<Rect> = Vec::new();
    let mut all = Vec::new();
    for (index, wish) in wishes.iter().enumerate() {
        let others: Vec<f32> =
            wishes.iter().enumerate().filter(|(other, _)| *other != index).map(|(_, wish)| wish.y).collect();
        let is_free = |place: &Rect| {
            let near = place.expand(GAP);
            frame.contains_rect(*place)
                && !taken.iter().any(|other| other.intersects(near))
                && !others.iter().any(|y| near.y_range().contains(*y))
                && !curves.iter().any(|curve| curve.windows(2).any(|ends| crosses(near, ends[0], ends[1])))
        };
        let place = candidates(frame, *wish).find(is_free);
        taken.extend(place);
        all.push(place);
    }
    all
}

/// Places at a line: on the forbidden side first, from the right to the left.
fn candidates(frame: Rect, wish: Wish) -> impl Iterator<Item = Rect> {
    let below = wish.y + GAP;
    let above = wish.y - GAP - wish.size.y;
    let sides = if wish.is_minimum { [below, above] } else { [above, below] };
    let room = (frame.width() - 2.0 * EDGE - wish.size.x).max(0.0);
    sides.into_iter().flat_map(move |top| {
        (0..TRIED).map(move |step| {
            let left = frame.right() - EDGE - wish.size.x - room * step as f32 / (TRIED - 1) as f32;
            Rect::from_min_size(pos2(left, top), wish.size)
        })
    })
}

/// Whether a straight line between two points touches a rectangle.
fn crosses(rect: Rect, a: Pos2, b: Pos2) -> bool {
    let step = b - a;
    let (mut from, mut to) = (0.0_f32, 1.0_f32);
    for (start, by, low, high) in
        [(a.x, step.x, rect.left(), rect.right()), (a.y, step.y, rect.top(), rect.bottom())]
    {
        if by.abs() < 1e-6 {
            if start < low || start > high {
                return false;
            }
            continue;
        }
        let (one, other) = ((low - start) / by, (high - start) / by);
        from = from.max(one.min(other));
        to = to.min(one.max(other));
    }
    from <= to
}

/// As many decimals as the distance of the marks needs.
pub(super) fn decimals(marks: &[f64]) -> usize {
    match marks {
        [first, second, ..] => (-(second - first).abs().log10().floor()).clamp(0.0, 4.0) as usize,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Rect = Rect { min: Pos2 { x: 0.0, y: 0.0 }, max: Pos2 { x: 300.0, y: 100.0 } };
    const NAME: Vec2 = Vec2 { x: 80.0, y: 14.0 };

    fn wish(y: f32) -> Wish {
        Wish { y, is_minimum: false, size: NAME }
    }

    #[test]
    fn a_line_crosses_what_it_runs_through() {
        let rect = Rect::from_min_max(pos2(10.0, 10.0), pos2(20.0, 20.0));
        assert!(crosses(rect, pos2(0.0, 0.0), pos2(30.0, 30.0)));
        assert!(crosses(rect, pos2(15.0, 0.0), pos2(15.0, 30.0)), "upright");
        assert!(crosses(rect, pos2(12.0, 12.0), pos2(13.0, 13.0)), "inside");
        assert!(!crosses(rect, pos2(0.0, 0.0), pos2(30.0, 5.0)));
        assert!(!crosses(rect, pos2(0.0, 0.0), pos2(9.0, 9.0)), "it ends before");
        assert!(!crosses(rect, pos2(25.0, 0.0), pos2(25.0, 30.0)));
    }

    #[test]
    fn a_name_stands_on_the_forbidden_side_at_the_right() {
        let place = places(FRAME, &[wish(50.0)], &[])[0].expect("there is room");
        assert_eq!(place, Rect::from_min_size(pos2(216.0, 35.0), NAME));
        let minimum = places(FRAME, &[Wish { is_minimum: true, ..wish(50.0) }], &[])[0];
        assert_eq!(minimum.expect("there is room").top(), 51.0);
        let at_the_top = places(FRAME, &[wish(5.0)], &[])[0].expect("there is room below");
        assert_eq!(at_the_top.top(), 6.0, "it is not clipped by the frame");
    }

    #[test]
    fn nothing_crosses_a_name() {
        // Two limits six points apart, and a curve that runs along the upper one on the right.
        let curve = vec![pos2(0.0, 90.0), pos2(150.0, 40.0), pos2(300.0, 40.0)];
        let wishes = [wish(50.0), wish(56.0)];
        let found = places(FRAME, &wishes, std::slice::from_ref(&curve));
        for (index, place) in found.iter().enumerate() {
            let place = place.expect("there is room on the left");
            assert!(FRAME.contains_rect(place));
            assert!(!curve.windows(2).any(|ends| crosses(place, ends[0], ends[1])), "{place:?}");
            assert!(!place.y_range().contains(wishes[1 - index].y), "{place:?}");
        }
        assert!(!found[0].zip(found[1]).is_some_and(|(a, b)| a.intersects(b)));
    }

    #[test]
    fn a_name_without_room_is_left_out() {
        let everywhere: Vec<Pos2> =
            (0..60).map(|x| pos2(5.0 * x as f32, if x % 2 == 0 { 0.0 } else { 100.0 })).collect();
        assert_eq!(places(FRAME, &[wish(50.0)], &[everywhere]), [None]);
    }
}
