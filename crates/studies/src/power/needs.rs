//! What flight takes, and what can be done with the power that is there.

use super::search::{RatedPower, longest};
use aircraft::records::craft::Craft;
use aircraft::records::one_motor_out::Ability;
use model::estimate::FlightNeeds;
use model::outside::Outside;
use schema::Problem;

/// Usual rates of climb that ceilings are told for, m/s: 100 and 150 ft/min.
const CLIMBS_M_S: [f64; 2] = [100.0 * 0.3048 / 60.0, 150.0 * 0.3048 / 60.0];

/// Halvings of a greatest mass.
const HALVINGS: u32 = 40;

/// Something that can be done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Can {
    /// Its name.
    pub name: &'static str,
    /// For how long, s; none for as long as the energy lasts.
    pub for_s: Option<f64>,
}

/// Power that flight takes at a mass, and what follows from the power that is there.
#[derive(Clone, Debug, PartialEq)]
pub struct Needs {
    /// Hover away from the ground, W; none for an aeroplane.
    pub hover_oge_w: Option<f64>,
    /// Hover near the ground, W.
    pub hover_ige_w: Option<f64>,
    /// Level flight at the speed of least power, W.
    pub level_w: f64,
    /// That speed, m/s.
    pub level_speed_m_s: f64,
    /// Climb at that speed with 100 and 150 ft/min, W.
    pub climbs_w: [f64; 2],
    /// Rate of climb at that speed with the greatest power, m/s, negative in a descent; none where an autorotation would follow.
    pub rate_of_climb_m_s: Option<f64>,
    /// The same with the power that lasts longest.
    pub lasting_climb_m_s: Option<f64>,
    /// What can be done, and for how long.
    pub can: Vec<Can>,
    /// Greatest mass with the power that lasts longest for level flight, 100 and 150 ft/min, kg; none if even a tenth of the mass is too
    /// much.
    pub greatest_mass_kg: [Option<f64>; 3],
}

/// Names of what can be done, in the order of [`Needs::can`].
pub(super) const NAMES: [&str; 5] =
    ["hover_oge", "hover_ige", "level", "climb_100_ft_min", "climb_150_ft_min"];

/// Power of level flight, or of a climb at its speed, W.
pub(super) fn cruise_w(needs: &FlightNeeds, climb_m_s: f64) -> f64 {
    needs.climb_w(needs.level(), climb_m_s)
}

/// Rates of climb that ceilings and greatest masses are told for, level flight first, m/s.
pub(super) fn rates_m_s() -> [f64; 3] {
    [0.0, CLIMBS_M_S[0], CLIMBS_M_S[1]]
}

/// What flight takes, and what can be done.
///
/// # Errors
/// A [`Problem`] for numbers that no craft can have.
pub(super) fn needs(
    craft: &Craft,
    mass_kg: f64,
    outside: &Outside,
    there: &[RatedPower],
) -> Result<Needs, Problem> {
    let flight = FlightNeeds::new(craft, mass_kg, outside)?;
    let level = flight.level();
    let climbs_w = CLIMBS_M_S.map(|climb_m_s| flight.climb_w(level, climb_m_s));
    let (hover_oge_w, hover_ige_w) = (flight.hover_out_of_ground_w(), flight.hover_near_ground_w());
    let takes_w = [hover_oge_w, hover_ige_w, Some(level.power_w), Some(climbs_w[0]), Some(climbs_w[1])];
    let can = NAMES.into_iter().zip(takes_w).filter_map(|(name, takes_w)| {
        let takes_w = takes_w?;
        let enough = there.iter().filter(|rated| rated.power_w.is_some_and(|power_w| power_w >= takes_w));
        let longest = enough.max_by(|a, b| a.lasts_s().total_cmp(&b.lasts_s()))?;
        Some(Can { name, for_s: longest.time_s })
    });
    let climb = |rated: Option<&RatedPower>| flight.rate_of_climb_m_s(level, rated?.power_w?);
    let lasting_w = longest(there).and_then(|rated| rated.power_w);
    let mut greatest_mass_kg = [None; 3];
    for (greatest, climb_m_s) in greatest_mass_kg.iter_mut().zip(rates_m_s()) {
        *greatest =
            lasting_w.and_then(|power_w| greatest_mass(craft, mass_kg, outside, (climb_m_s, power_w)));
    }
    Ok(Needs {
        hover_oge_w,
        hover_ige_w,
        level_w: level.power_w,
        level_speed_m_s: level.speed_m_s,
        climbs_w,
        rate_of_climb_m_s: climb(there.first()),
        lasting_climb_m_s: climb(longest(there)),
        can: can.collect(),
        greatest_mass_kg,
    })
}

/// The mass, between a tenth and ten times that of the craft, at which a power just suffices.
fn greatest_mass(
    craft: &Craft,
    mass_kg: f64,
    outside: &Outside,
    (climb_m_s, power_w): (f64, f64),
) -> Option<f64> {
    let holds = |mass_kg: f64| {
        let needs = FlightNeeds::new(craft, mass_kg, outside);
        needs.is_ok_and(|needs| cruise_w(&needs, climb_m_s) <= power_w)
    };
    let (mut low, mut high) = (0.1 * mass_kg, 10.0 * mass_kg);
    if !holds(low) {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if holds(middle) { low = middle } else { high = middle }
    }
    Some(low)
}

/// What an ability is called, its rate of climb and the power that it takes; none for a descent, which asks for nothing.
///
/// # Errors
/// A [`Problem`] for numbers that no craft can have.
#[expect(clippy::type_complexity, reason = "three facts about one demand, taken apart at once")]
pub(super) fn asked(
    craft: &Craft,
    mass_kg: f64,
    outside: &Outside,
    what: &Ability,
) -> Result<Option<(&'static str, Option<f64>, Option<f64>)>, Problem> {
    let flight = FlightNeeds::new(craft, mass_kg, outside)?;
    Ok(Some(match what {
        Ability::HoverOutOfGround => ("hover_oge", None, flight.hover_out_of_ground_w()),
        Ability::HoverNearGround => ("hover_ige", None, flight.hover_near_ground_w()),
        Ability::Level => ("level", None, Some(flight.level().power_w)),
        Ability::Climb(rate) => ("climb", Some(rate.si()), Some(cruise_w(&flight, rate.si()))),
        Ability::Descent => return Ok(None),
    }))
}
