//! Whether the power that is there holds height: the power of level flight at its best speed against what the motors in service may give.
//!
//! Looked at where a motor or winding set is out, and where a control takes power back; where the project states what is flown. The
//! basis of the project (`policy.one_motor_out`) says whether it is a limit; otherwise a notice tells it.

use crate::assembly::{Outside, Situation};
use crate::estimate::{FlightNeeds, Level};
use crate::evidence::RequiredBy;
use crate::result::{ElectricResult, Margin, MarginKind, Notice, WORTH_A_WORD_W};
use crate::{rating, shaft};
use aircraft::records::craft::Craft;
use aircraft::records::failure::Failed;
use aircraft::records::one_motor_out::Ability;
use aircraft::records::project::Policy;
use aircraft::records::study::PointPower;

/// Name of the limit.
pub const LIMIT: &str = "power to hold height";
/// Where it is told.
pub const PLACE: &str = "shaft power";
/// Kind of the notice where height cannot be held.
pub const NOTICE: &str = "cannot_hold_height";
/// Kind of the notice that says what can be done with the power that is there.
pub const CAN: &str = "power_there";

/// Power that flight takes and the power that is there.
#[derive(Clone, Debug)]
pub struct HeightPower {
    needs: FlightNeeds,
    /// Level flight at the speed of least power.
    pub level: Level,
    /// Power that the motors in service may give at the output shaft, W.
    pub there_w: f64,
}

impl HeightPower {
    /// Whether it does not hold height.
    pub fn is_short(&self) -> bool {
        !(self.there_w >= self.level.power_w)
    }

    /// What can be done and what cannot, in words.
    fn words(&self) -> String {
        let hover = |where_: &str, takes_w: Option<f64>| {
            takes_w.map(|takes_w| {
                let can = if self.there_w >= takes_w { "can" } else { "cannot" };
                format!("{can} hover {where_} ({:.1} kW)", 1e-3 * takes_w)
            })
        };
        let hovers = [
            hover("away from the ground", self.needs.hover_out_of_ground_w()),
            hover("near the ground", self.needs.hover_near_ground_w()),
        ];
        let (can, speed, takes) = (!self.is_short(), self.level.speed_m_s, 1e-3 * self.level.power_w);
        let level = format!(
            "{} level flight at {speed:.0} m/s ({takes:.1} kW)",
            if can { "can hold" } else { "cannot hold" }
        );
        let climb = match self.needs.rate_of_climb_m_s(self.level, self.there_w) {
            Some(climb_m_s) if climb_m_s < 0.0 => format!("sinks there with {:.1} m/s", -climb_m_s),
            Some(climb_m_s) => format!("climbs there with {climb_m_s:.1} m/s"),
            None => "nothing but an autorotation".to_owned(),
        };
        hovers.into_iter().flatten().chain([level, climb]).collect::<Vec<_>>().join(", ")
    }
}

/// Whether the basis asks for level flight with one motor out: it does unless it says that a descent is enough.
pub fn is_asked(policy: &Policy) -> bool {
    let demands = &policy.one_motor_out;
    demands.is_empty() || demands.iter().any(|demand| !matches!(demand.what, Ability::Descent))
}

/// Mass of a craft, kg.
pub fn mass_kg(craft: &Craft) -> f64 {
    match craft {
        Craft::Rotorcraft(rotorcraft) => rotorcraft.mass.si(),
        Craft::Aeroplane(aeroplane) => aeroplane.mass.si(),
    }
}

/// Whether a failure takes motors or windings away.
pub fn takes_motors(situation: &Situation<'_>) -> bool {
    situation.failed().any(|failed| matches!(failed, Failed::MotorOut(_) | Failed::WindingSetOut(_)))
}

/// Power of level flight and the power that is there; none where nothing takes power away, on the ground, without a craft, and where
/// no rating and no control bounds a motor.
pub fn look(situation: &Situation<'_>, electric: &ElectricResult, outside: &Outside) -> Option<HeightPower> {
    let point = situation.point;
    let takes = takes_motors(situation) || electric.lost_power_w > WORTH_A_WORD_W;
    if !takes || point.ground || point.shaft_speed.si() <= 0.0 {
        return None;
    }
    let craft = situation.project.craft.as_ref()?;
    let there_w = there_w(situation, electric)?;
    let stated_kg = match &point.shaft_power {
        PointPower::Estimated(power) => power.mass.as_ref().map(|mass| mass.si()),
        PointPower::Fixed(_) => None,
    };
    let needs = FlightNeeds::new(craft, stated_kg.unwrap_or_else(|| mass_kg(craft)), outside).ok()?;
    Some(HeightPower { level: needs.level(), needs, there_w })
}

/// Power at the output shaft that the motors in service may give, W: sharing as the drive shares, up to where the first of them is at its rating or
/// at the greatest power of its control, less their derates. With no motor left all power is lost, which is another thing than one motor out:
/// none, unless the basis states what it asks.
fn there_w(situation: &Situation<'_>, electric: &ElectricResult) -> Option<f64> {
    let used = rating::of_case(situation);
    let powertrain = situation.project.powertrain.as_ref()?;
    let motors = powertrain.motors.iter().zip(&electric.reading.drives);
    let left: Vec<_> = motors.filter(|(_, state)| state.point.is_some()).collect();
    let shares: f64 = left.iter().map(|(motor, _)| motor.share.si()).sum();
    let mut asked_w = f64::INFINITY;
    let mut left_over = 0.0;
    for (motor, state) in &left {
        let share = motor.share.si() / shares;
        asked_w = asked_w.min(rating::cap_w(situation, motor, motor.rating(used))? / share);
        left_over += share * state.derate;
    }
    if left.is_empty() {
        asked_w = 0.0;
    }
    let is_judged = !left.is_empty() || !situation.project.policy.one_motor_out.is_empty();
    is_judged.then(|| shaft::output_w(situation, electric, asked_w * left_over))
}

/// The limit, where the basis asks for it.
pub(crate) fn margin(
    situation: &Situation<'_>,
    electric: &ElectricResult,
    outside: &Outside,
) -> Option<Margin> {
    if !is_asked(&situation.project.policy) {
        return None;
    }
    let HeightPower { level, there_w, .. } = look(situation, electric, outside)?;
    Some(Margin {
        place: PLACE.to_owned(),
        limit: LIMIT.to_owned(),
        kind: MarginKind::Rating,
        value: level.power_w,
        limit_value: there_w,
        nominal_limit: None,
        margin: there_w - level.power_w,
        required: 0.0,
        required_by: RequiredBy::Nothing,
        source: Some(format!(
            "level flight at {:.0} m/s by the craft record against the ratings and controls of the motors in service",
            level.speed_m_s
        )),
        owner: None,
    })
}

/// What is told of the power that is there, and whether it holds height; `from_s` is the moment in a flight.
pub(crate) fn notice(found: &HeightPower, from_s: Option<f64>) -> Notice {
    let from = from_s.map_or(String::new(), |from_s| format!(" from {from_s:.0} s"));
    let (kind, head) =
        if found.is_short() { (NOTICE, format!("cannot hold height{from}: ")) } else { (CAN, String::new()) };
    Notice {
        about: "",
        kind,
        place: PLACE.to_owned(),
        message: format!("{head}{:.1} kW are there{from}: {}", 1e-3 * found.there_w, found.words()),
    }
}
