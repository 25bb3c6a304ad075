//! Numbers of decoded records that studies move.

/// A number that can be read and moved in SI.
pub trait Movable {
    /// Its value.
    fn si(&self) -> f64;

    /// Moves it; a count is rounded. False, and nothing is moved, for a value that its kind cannot have.
    fn move_to(&mut self, si: f64) -> bool;
}

impl Movable for f64 {
    fn si(&self) -> f64 {
        *self
    }

    fn move_to(&mut self, si: f64) -> bool {
        let possible = si.is_finite();
        if possible {
            *self = si;
        }
        possible
    }
}

impl Movable for usize {
    fn si(&self) -> f64 {
        *self as f64
    }

    fn move_to(&mut self, si: f64) -> bool {
        let possible = si.is_finite() && si >= -0.5;
        if possible {
            *self = si.round().max(0.0) as Self;
        }
        possible
    }
}
