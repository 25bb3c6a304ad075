//! Segments of the stages of cooling tests.

use crate::records::cooling_test::{ClimbOneOut, CoolingTest, HoverTest, HoverThenClimb, PoweredSailplane};
use crate::records::mission::{Airspeed, Mission, Segment, ShaftPower, ShaftSpeed, Stabilised, Until};
use schema::kinds::{Ratio, RotationalSpeed, Speed, Time};
use schema::{Input, InputKind, Name};
use std::borrow::Cow;

/// 14 CFR 27.1045 and following: below 2 degF in a minute, 5 min past the peak.
const RATE_K_S: f64 = 2.0 / 1.8 / 60.0;
const WINDOW_S: f64 = 60.0;
const RUN_ON_S: f64 = 300.0;
/// Time of take-off power in CS 22.1047.
const SAILPLANE_TAKE_OFF_S: f64 = 60.0;

/// The segments of a mission: its own, or those of the stage it names.
pub fn segments_of(mission: &Mission) -> Cow<'_, [Segment]> {
    let Some(test) = &mission.test else { return Cow::Borrowed(&mission.segments) };
    let start_m = mission.height.si();
    Cow::Owned(match test {
        CoolingTest::HoverThenClimb(stage) => hover_then_climb(stage, start_m),
        CoolingTest::Hover(stage) => hover(stage),
        CoolingTest::ClimbOneOut(stage) => climb_one_out(stage, start_m),
        CoolingTest::PoweredSailplane(stage) => powered_sailplane(stage, start_m),
    })
}

fn hover_then_climb(stage: &HoverThenClimb, start_m: f64) -> Vec<Segment> {
    let base = Base { point: stage.point.as_ref(), speed: &stage.shaft_speed, longest: &stage.longest };
    let still = number::<Speed>(0.0, "m/s");
    let mut segments = vec![
        base.stabilised("hover until stabilised", &stage.hover, &still),
        base.climb(
            "climb at take-off power",
            &stage.take_off,
            &stage.airspeed,
            &stage.take_off_time,
            &stage.climb_rate,
            start_m,
        ),
    ];
    if let Some(continuous) = &stage.continuous {
        segments.push(base.stabilised("continuous power past the peak", continuous, &stage.airspeed));
    }
    segments
}

fn hover(stage: &HoverTest) -> Vec<Segment> {
    let base = Base { point: stage.point.as_ref(), speed: &stage.shaft_speed, longest: &stage.longest };
    vec![base.stabilised("hover past the peak", &stage.hover, &number::<Speed>(0.0, "m/s"))]
}

fn climb_one_out(stage: &ClimbOneOut, start_m: f64) -> Vec<Segment> {
    let base = Base { point: stage.point.as_ref(), speed: &stage.shaft_speed, longest: &stage.longest };
    vec![
        base.stabilised("entry until stabilised", &stage.entry, &stage.airspeed),
        base.climb(
            "climb on the 30-min rating",
            &stage.climb,
            &stage.airspeed,
            &stage.climb_time,
            &stage.climb_rate,
            start_m,
        ),
        base.stabilised("continuous power past the peak", &stage.continuous, &stage.airspeed),
    ]
}

fn powered_sailplane(stage: &PoweredSailplane, start_m: f64) -> Vec<Segment> {
    let base = Base { point: stage.point.as_ref(), speed: &stage.shaft_speed, longest: &stage.longest };
    let minute = number::<Time>(SAILPLANE_TAKE_OFF_S, "s");
    vec![
        base.stabilised("entry until stabilised", &stage.entry, &stage.airspeed),
        base.climb(
            "climb at take-off power",
            &stage.take_off,
            &stage.airspeed,
            &minute,
            &stage.climb_rate,
            start_m,
        ),
        base.stabilised("continuous power past the peak", &stage.continuous, &stage.airspeed),
    ]
}

/// What the parts of a stage share.
struct Base<'a> {
    point: Option<&'a String>,
    speed: &'a Input<RotationalSpeed>,
    longest: &'a Input<Time>,
}

impl Base<'_> {
    fn segment(
        &self,
        name: &str,
        power: &ShaftPower,
        airspeed: &Input<Speed>,
        duration: &Input<Time>,
    ) -> Segment {
        Segment {
            name: Name::new(name).expect("these names hold letters, digits, hyphens and spaces"),
            duration: Some(duration.clone()),
            until: None,
            point: self.point.cloned(),
            shaft_power: Some(power.clone()),
            shaft_speed: Some(ShaftSpeed::Fixed(self.speed.clone())),
            airspeed: Some(Airspeed::Fixed(airspeed.clone())),
            height: None,
            climb_rate: None,
            converters_off: false,
            other_load: None,
            heats: Vec::new(),
            settings: Vec::new(),
            recirculations: Vec::new(),
            charge: None,
            carts: Vec::new(),
            rating: None,
            ground: false,
            note: None,
        }
    }

    fn stabilised(&self, name: &str, power: &ShaftPower, airspeed: &Input<Speed>) -> Segment {
        let until = Until::Stabilised(Stabilised {
            rate: number(RATE_K_S, "K/s"),
            window: number(WINDOW_S, "s"),
            run_on: number(RUN_ON_S, "s"),
            charge_left: number::<Ratio>(0.0, ""),
        });
        Segment { until: Some(until), ..self.segment(name, power, airspeed, self.longest) }
    }

    fn climb(
        &self,
        name: &str,
        power: &ShaftPower,
        airspeed: &Input<Speed>,
        duration: &Input<Time>,
        rate: &Input<Speed>,
        start_m: f64,
    ) -> Segment {
        let height = start_m + rate.si() * duration.si();
        Segment { height: Some(number(height, "m")), ..self.segment(name, power, airspeed, duration) }
    }
}

/// A number that a segment is given, as an input.
fn number<K: InputKind>(si: f64, unit: &str) -> Input<K> {
    Input::from_si(si, unit).expect("stages are finite and these units are those of the kind")
}
