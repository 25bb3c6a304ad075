//! Greatest pressure altitudes for level flight and slow climbs.

use super::needs::{cruise_w, rates_m_s};
use super::search::{RatedPower, longest};
use super::setup::{Lost, Setup};
use aircraft::records::surroundings::Condition;
use model::case::Beside;
use model::estimate::FlightNeeds;
use schema::Input;

const FOOT_M: f64 = 0.3048;
/// Distance of the altitudes at which the power that is there is worked out, m; between them it follows straight lines.
const STEP_M: f64 = 5000.0 * FOOT_M;
/// How many steps are looked at: up to 30,000 ft.
const STEPS: u32 = 6;
/// Halvings between two altitudes: to a tenth of a metre.
const HALVINGS: u32 = 14;

/// How far up it goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HighestAltitude {
    /// Up to this pressure altitude, m.
    UpTo(f64),
    /// Beyond the highest pressure altitude that is looked at, m.
    Above(f64),
    /// Not even at sea level.
    Nowhere,
}

/// The greatest pressure altitude on the day of a condition.
#[derive(Clone, Debug, PartialEq)]
pub struct Ceiling {
    /// Condition whose day is meant.
    pub condition: String,
    /// Failure.
    pub failure: Option<String>,
    /// Mass, kg.
    pub mass_kg: f64,
    /// `level`, `100 ft/min`, `150 ft/min`.
    pub what: &'static str,
    /// Rating, the one that lasts longest.
    pub rating: String,
    /// How far up.
    pub reach: HighestAltitude,
}

/// Names of the rates of climb.
const NAMES: [&str; 3] = ["level", "100 ft/min", "150 ft/min"];

/// Power that lasts longest at an altitude.
struct Known {
    condition: Condition,
    at_m: f64,
    power_w: f64,
}

/// Ceilings with a failure on the day of a condition, mass by mass.
pub(super) fn ceilings(
    setup: &Setup<'_>,
    (condition, lost): (&Condition, &Lost),
    masses_kg: &[f64],
    beside: &Beside,
) -> Vec<Ceiling> {
    let (mut known, mut rating): (Vec<Known>, Option<RatedPower>) = (Vec::new(), None);
    for step in 0..=STEPS {
        let at_m = STEP_M * f64::from(step);
        let Some(condition) = at_altitude(condition, at_m) else { break };
        let there = setup.there(&condition, lost, beside);
        let Some(best) = longest(&there) else { break };
        let Some(power_w) = best.power_w else { break };
        rating.get_or_insert_with(|| best.clone());
        known.push(Known { condition, at_m, power_w });
    }
    let Some(rating) = rating else { return Vec::new() };
    let mut found = Vec::new();
    for &mass_kg in masses_kg {
        for (what, climb_m_s) in NAMES.into_iter().zip(rates_m_s()) {
            found.push(Ceiling {
                condition: condition.name.as_str().to_owned(),
                failure: lost.name(),
                mass_kg,
                what,
                rating: rating.name.clone(),
                reach: reach(setup, &known, mass_kg, climb_m_s),
            });
        }
    }
    found
}

fn at_altitude(condition: &Condition, at_m: f64) -> Option<Condition> {
    Some(Condition { pressure_altitude: Input::from_si(at_m, "m").ok()?, ..condition.clone() })
}

fn reach(setup: &Setup<'_>, known: &[Known], mass_kg: f64, climb_m_s: f64) -> HighestAltitude {
    let spare_w = |condition: &Condition, power_w: f64| -> Option<f64> {
        let craft = setup.project.craft.as_ref()?;
        let needs = FlightNeeds::new(craft, mass_kg, &Setup::outside(condition).ok()?).ok()?;
        Some(power_w - cruise_w(&needs, climb_m_s))
    };
    let holds =
        |known: &Known| spare_w(&known.condition, known.power_w).is_some_and(|spare_w| spare_w >= 0.0);
    let Some(beyond) = known.iter().position(|known| !holds(known)) else {
        return known.last().map_or(HighestAltitude::Nowhere, |last| HighestAltitude::Above(last.at_m));
    };
    let Some(below) = beyond.checked_sub(1) else { return HighestAltitude::Nowhere };
    let (below, beyond) = (&known[below], &known[beyond]);
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let share = f64::midpoint(low, high);
        let at_m = below.at_m + share * (beyond.at_m - below.at_m);
        let power_w = below.power_w + share * (beyond.power_w - below.power_w);
        let spare_w = at_altitude(&below.condition, at_m).and_then(|condition| spare_w(&condition, power_w));
        if spare_w.is_some_and(|spare_w| spare_w >= 0.0) { low = share } else { high = share }
    }
    HighestAltitude::UpTo(below.at_m + low * (beyond.at_m - below.at_m))
}
