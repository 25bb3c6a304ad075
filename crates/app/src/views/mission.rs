//! The page Mission: one mission from its first segment to the end of its soak, and the timeline below every page.

mod compare;
mod data;
mod paint;
mod timeline;

pub use compare::Compare;
pub use data::{BeneathCase, Event, MissionData, Peak, SegmentBand};
pub use paint::mission_ui;
pub use timeline::timeline_ui;
