//! Ranges of the numbers of exchangers.

use crate::Range;

/// Capacity ratio `C_min/C_max`.
pub const CAPACITY_RATIO: Range = Range::new(0.0, 1.0);
