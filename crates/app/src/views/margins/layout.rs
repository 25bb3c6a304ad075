//! Where the cells of the grid lie, and which of them are in sight.

use std::ops::Range;

use egui::{Pos2, Rect, Vec2, pos2};

/// Sizes in points.
pub(super) const NAME: f32 = 250.0;
pub(super) const NAME_NARROW: f32 = 200.0;
pub(super) const UNIT: f32 = 40.0;
pub(super) const REQUIRED: f32 = 68.0;
pub(super) const HEAD: f32 = 50.0;
const CELL: Vec2 = Vec2::new(104.0, 24.0);

/// The cells of a grid, in points from the left top corner of the first one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GridLayout {
    /// Number of limits.
    pub rows: usize,
    /// Number of cases.
    pub columns: usize,
}

impl GridLayout {
    /// The size of all cells.
    pub fn size(self) -> Vec2 {
        CELL * Vec2::new(self.columns as f32, self.rows as f32)
    }

    /// The place of a cell.
    pub fn cell(self, row: usize, column: usize) -> Rect {
        Rect::from_min_size(pos2(column as f32 * CELL.x, row as f32 * CELL.y), CELL)
    }

    /// The rows and columns that a viewport touches.
    pub fn visible(self, viewport: Rect) -> (Range<usize>, Range<usize>) {
        let range = |low: f32, high: f32, step: f32, count: usize| {
            let first = (low / step).floor().max(0.0) as usize;
            let end = (high / step).ceil().max(0.0) as usize;
            first.min(count)..end.min(count)
        };
        (
            range(viewport.top(), viewport.bottom(), CELL.y, self.rows),
            range(viewport.left(), viewport.right(), CELL.x, self.columns),
        )
    }

    /// The row and column under a point.
    pub fn at(self, point: Pos2) -> Option<(usize, usize)> {
        if point.x < 0.0 || point.y < 0.0 {
            return None;
        }
        let (row, column) = ((point.y / CELL.y) as usize, (point.x / CELL.x) as usize);
        (row < self.rows && column < self.columns).then_some((row, column))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_in_a_cell_finds_that_cell() {
        let grid = GridLayout { rows: 30, columns: 12 };
        for (row, column) in [(0, 0), (29, 11), (7, 3)] {
            assert_eq!(grid.at(grid.cell(row, column).center()), Some((row, column)));
        }
        assert_eq!(grid.at(pos2(-1.0, 5.0)), None);
        assert_eq!(grid.at(grid.size().to_pos2() + Vec2::splat(1.0)), None);
    }

    #[test]
    fn only_what_is_in_sight_is_drawn() {
        let grid = GridLayout { rows: 1000, columns: 100 };
        let viewport = Rect::from_min_size(pos2(520.0, 2400.0), Vec2::new(520.0, 240.0));
        assert_eq!(grid.visible(viewport), (100..110, 5..10));
        assert_eq!(grid.visible(Rect::from_min_size(pos2(0.0, 0.0), Vec2::splat(1e9))), (0..1000, 0..100));
    }
}
