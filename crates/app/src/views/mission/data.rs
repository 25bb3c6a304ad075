//! What the page Mission shows, as plain data in display units; times in seconds from the start of the mission.

use crate::views::chart::Chart;
use crate::views::field::InputField;
use crate::views::figure::Figure;
use model::standing::Standing;

/// A segment of the mission.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SegmentBand {
    /// Its name.
    pub name: String,
    /// When it began.
    pub from_s: f64,
    /// When it ended.
    pub to_s: f64,
    /// Shaft power at its start and end, with the unit: `92 kW`.
    pub power: String,
    /// Altitude, airspeed and what else is set, in words.
    pub setting: String,
    /// What can be edited.
    pub inputs: Vec<InputField>,
}

/// Something that happened.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Event {
    /// When.
    pub time_s: f64,
    /// What: `oil thermostat begins to open`.
    pub what: String,
}

/// The moment at which a component was nearest to a limit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Peak {
    /// Component and limit.
    pub where_: String,
    /// The temperature then.
    pub temperature: Figure,
    /// The limit.
    pub limit: Figure,
    /// The margin, positive is good.
    pub margin: Figure,
    /// How it stands against the required margin.
    pub standing: Standing,
    /// When.
    pub time_s: f64,
}

/// Another mission case whose curves lie beneath.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BeneathCase {
    /// Variant and case.
    pub name: String,
    /// Its end.
    pub end_s: f64,
    /// Why it has no curves.
    pub problem: Option<String>,
}

/// A flown mission.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MissionData {
    /// Name of the mission.
    pub name: String,
    /// Its end.
    pub end_s: f64,
    /// Its segments in order.
    pub segments: Vec<SegmentBand>,
    /// What happened, in order.
    pub events: Vec<Event>,
    /// Power over time.
    pub power: Chart,
    /// Temperatures with their limits, a chart for each group.
    pub temperatures: Vec<Chart>,
    /// Heat by source, stacked.
    pub heat: Chart,
    /// The heat balance over the whole mission in one sentence; empty where there is none.
    pub heat_book: String,
    /// State of charge, current.
    pub pack: Vec<Chart>,
    /// Where it came nearest to its limits, worst first.
    pub peaks: Vec<Peak>,
    /// Unit of temperatures.
    pub temperature_unit: String,
    /// The other case, if one is compared.
    pub beneath: Option<BeneathCase>,
}

impl MissionData {
    /// All charts of the page from top to bottom.
    pub fn charts(&self) -> impl Iterator<Item = &Chart> {
        std::iter::once(&self.power).chain(&self.temperatures).chain([&self.heat]).chain(&self.pack)
    }

    /// Lays the curves of another mission case beneath, chart by chart.
    pub fn lay_beneath(&mut self, other: &Self, name: &str) {
        let own = std::iter::once(&mut self.power).chain(&mut self.temperatures).chain([&mut self.heat]);
        for chart in own.chain(&mut self.pack) {
            match other.charts().find(|known| known.title == chart.title && known.unit == chart.unit) {
                Some(known) => chart.lay_beneath(known, name),
                None => chart.lay_beneath(&Chart::default(), name),
            }
        }
        self.beneath = Some(BeneathCase { name: name.to_owned(), end_s: other.end_s, problem: None });
    }

    /// The segment at a moment; at a border the one that begins.
    pub fn segment_at(&self, time_s: f64) -> Option<&SegmentBand> {
        self.segments.iter().rev().find(|segment| segment.from_s <= time_s)
    }

    /// The nearest event after (+1) or before (-1) a moment.
    pub fn event_beside(&self, time_s: f64, step: i32) -> Option<&Event> {
        // A step away from an event must not find that event again.
        const NEAR_S: f64 = 1e-3;
        if step > 0 {
            self.events.iter().find(|event| event.time_s > time_s + NEAR_S)
        } else {
            self.events.iter().rev().find(|event| event.time_s < time_s - NEAR_S)
        }
    }

    /// The end of what comes before a soak that ends the mission; nothing when it does not end so.
    pub fn flight_end_s(&self) -> Option<f64> {
        let last = self.segments.last().filter(|last| last.name.contains("soak"))?;
        Some(last.from_s).filter(|from| *from > 0.0)
    }

    /// The ends of the segments but the last.
    pub fn borders(&self) -> Vec<f64> {
        self.segments.iter().skip(1).map(|segment| segment.from_s).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mission() -> MissionData {
        let band = |name: &str, from_s, to_s| SegmentBand {
            name: name.into(),
            from_s,
            to_s,
            ..SegmentBand::default()
        };
        let event = |time_s| Event { time_s, what: String::new() };
        MissionData {
            end_s: 30.0,
            segments: vec![band("taxi", 0.0, 10.0), band("climb", 10.0, 30.0)],
            events: vec![event(5.0), event(12.0)],
            ..MissionData::default()
        }
    }

    #[test]
    fn a_border_belongs_to_the_segment_that_begins() {
        let mission = mission();
        let name = |time| mission.segment_at(time).map(|segment| segment.name.as_str());
        assert_eq!(
            (name(9.9), name(10.0), name(99.0), name(-1.0)),
            (Some("taxi"), Some("climb"), Some("climb"), None)
        );
        assert_eq!(mission.borders(), [10.0]);
    }

    #[test]
    fn events_are_found_on_both_sides() {
        let mission = mission();
        let time = |from, step| mission.event_beside(from, step).map(|event| event.time_s);
        assert_eq!((time(0.0, 1), time(5.0, 1), time(12.0, 1)), (Some(5.0), Some(12.0), None));
        assert_eq!((time(12.0, -1), time(5.0, -1)), (Some(5.0), None));
    }
}
